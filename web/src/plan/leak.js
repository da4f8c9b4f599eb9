// leak.js - one leak: why it leaks, what to do, how much, when; every figure with its help.
import { button, fill, h, icon } from "../dom.js";
import { count, hours, money } from "../format.js";
import { span } from "../wall/clock.js";
import { staleNote, planButton, takeUp } from "./head.js";
import { findingList } from "./finding.js";
import { kindWords } from "./leaks.js";
import { groups, rowGroup } from "./rows.js";
import { row, table } from "../table.js";
import { orderPlayer, orderTable } from "./order.js";
import { tryPanel } from "./try.js";
import { whyMethod } from "./why.js";
import { movement } from "./gauge.js";
import { causes, limits, steel } from "./cause.js";
import { leakNow } from "./pending.js";
import { Fault, may } from "../api.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** now: the leak as it stands in the survey. @typedef {{now: import("./pending.js").Standing|null, again: () => Promise<void>, kept: import("./gauge.js").Kept}} Screen */

/** Which groups of figures answer which question; a group that no question claims is of the design. */
const questions = /** @type {[string, string, string[]][]} */ ([
  ["why", "Why it leaks", ["Why", "Water", "Stations", "Crack plane"]],
  ["what", "What to do", ["Method", "Slot and plug", "Relief"]],
  ["much", "How much", ["Quantities", "Hours and money"]],
]);

/** Groups whose figures stand in cards of their own, in words. */
const told = ["Why", "Method", "Steel"];

/** @param {string} id @param {string} title @param {...(import("../dom.js").Child|import("../dom.js").Child[])} content */
const section = (id, title, ...content) => h("section", { class: "stack", "aria-labelledby": `${id}-title`, id }, h("h2", { id: `${id}-title` }, title), ...content);

/** @param {Leak} leak @param {string} id */
function figuresOf(leak, id) {
  const claimed = new Set(questions.flatMap(([, , g]) => g));
  const mine = questions.find(([q]) => q === id)?.[2] ?? [];
  const wanted = (/** @type {string} */ g) => mine.includes(g) || (id === "what" && !claimed.has(g));
  return [...groups(leak.rows)].filter(([g]) => wanted(g) && !told.includes(g)).map(([g, rows]) => rowGroup(g, rows, leak.changes));
}

/** @param {Leak} leak */
function card(leak) {
  if (!leak.card?.steps?.length) return h("p", { class: "note" }, "There are no steps while a STOP is open.");
  return h("ol", { class: "steps" }, leak.card.steps.map((s) => h("li", { class: s.hold ? "step hold" : "step" }, h("h3", null, s.title, s.hold && h("span", { class: "tag ask" }, icon("stop"), "hold point")),
    h("p", null, s.body), s.timer && h("p", { class: "muted" }, `Timer: ${s.timer}${s.timer_s ? `, ${span(s.timer_s)}` : ""}`))));
}

/** @param {string} code */
const stepWords = (code) => (code === "pack" ? "dry-pack" : code.replace(/_/g, " "));

/** @param {Leak} leak */
function mixes(leak) {
  if (!leak.mixes?.length) return null;
  const heads = ["Step", "Material", "#Powder", "#Water", "#Batches", "#Each", "#Usable"];
  return table("Mixes", heads, leak.mixes.map((m) => row(heads, [stepWords(m.step), m.material, m.powder, m.water, m.batches, `${m.batch_powder} + ${m.batch_water}`, m.usable])), { shown: true });
}

/** Resin or sealant, and the parts that are bought by the piece or the metre. @param {Leak} leak */
function fills(leak) {
  const f = leak.fill;
  /** @type {[string, string][]} */
  const rows = leak.parts.map((p) => [p.label, p.value]);
  if (f) rows.unshift([f.material, `${f.volume}${f.batches > 0 ? `, ${count(f.batches, "batch", "batches")} of ${f.batch_volume}` : ""}${f.usable ? `, each used within ${f.usable}` : ""}`]);
  const heads = ["What goes in", "Amount"];
  return rows.length > 0 && table("Resin, sealant and parts", heads, rows.map((r) => row(heads, r)), { shown: true });
}

/** @param {Leak} leak */
function times(leak) {
  if (!leak.hours?.length) return null;
  return h("div", { class: "frame" }, h("table", null, h("caption", null, "Hours of work"), h("thead", null, h("tr", null, h("th", { scope: "col" }, "Work"), h("th", { scope: "col", class: "n" }, "Hours"))),
    h("tbody", null, leak.hours.map((t) => h("tr", null, h("th", { scope: "row" }, t.work), h("td", { class: "n" }, t.hours.toFixed(2))))),
    h("tfoot", null, h("tr", null, h("th", { scope: "row" }, "Together"), h("td", { class: "n" }, hours(leak.hours_total))))));
}

/** A figure in its frame; it opens by itself to be looked at closely. @param {string} address @param {string} alt */
const figureImage = (address, alt) => h("figure", { class: "figure-frame" }, h("img", { class: "figure-image", src: address, alt, loading: "lazy" }),
  h("figcaption", null, h("a", { href: address, target: "_blank", rel: "noopener" }, "Open the figure by itself")));

/** @param {Ctx} ctx @param {Leak} leak */
function plane(ctx, leak) {
  const p = leak.plane;
  if (!p) return null;
  if (p.why_not) return section("plane", "Order of plugging", h("p", { class: "note" }, `No crack plane: ${p.why_not}`));
  const others = p.leaks.filter((m) => m !== leak.mark);
  return section("plane", "Order of plugging",
    others.length > 0 && h("p", null, `The water of this crack plane also feeds ${others.join(", ")}: they are plugged in one order.`),
    p.steps.length > 0 ? h("div", { class: "card" }, orderPlayer(ctx, leak, p)) : h("p", { class: "note" }, "No order was drawn for this plane."),
    p.orders.length > 0 && orderTable(p), !p.search && h("p", { class: "note" }, "No search for a best order was made."),
    h("details", { class: "card" }, h("summary", null, "The crack plane as in the document"), figureImage(ctx.api.at(ctx.job, "leaks", leak.mark, "plane.svg"), `Crack plane of ${p.leaks.join(", ")} with the order of plugging`)),
    p.warnings.length > 0 && h("details", { class: "card" }, h("summary", null, `What the plane leaves out (${p.warnings.length})`), h("ul", null, p.warnings.map((w) => h("li", null, w)))));
}

/** @param {Leak} leak */
function changeNote(leak) {
  if (!leak.changes.length) return null;
  return h("div", { class: "note changed" }, icon("changed"), h("div", null, h("p", null, h("strong", null, "Changed since the last plan")), h("ul", null, leak.changes.map((c) => h("li", null, `${c.label}: ${c.before || "none"} → ${c.after || "none"}`)))));
}

/** The answers to the questions, in the order that a reader asks. @param {Ctx} ctx @param {Leak} leak @param {import("./types.js").Finding[]} findings @param {Screen} screen */
function answers(ctx, leak, findings, { now, again, kept }) {
  return [
    findings.length > 0 && section("decide", "Decisions", findingList(ctx, findings, again, { linked: false })),
    section("what", "What to do", whyMethod(ctx, leak, again), h("div", { class: "two" }, steel(leak), figuresOf(leak, "what"))),
    section("why", "Why it leaks", movement(ctx, leak, now, again, kept), h("div", { class: "two" }, causes(leak), limits(leak), figuresOf(leak, "why"))),
    plane(ctx, leak),
    section("much", "How much", leak.cost !== null && leak.cost !== undefined && h("p", { class: "big figures" }, money(leak.cost), h("span", { class: "muted" }, ` labour and material of this leak, ${hours(leak.hours_total)} hours`)), mixes(leak), fills(leak), h("div", { class: "two" }, figuresOf(leak, "much"))),
    section("when", "When", card(leak), leak.card?.cautions?.length > 0 && h("ul", { class: "note" }, leak.card.cautions.map((c) => h("li", null, c))), times(leak)),
  ];
}

/** @param {Ctx} ctx @param {Leak} leak @param {Screen} screen */
function drawLeak(ctx, leak, screen) {
  const { again } = screen;
  const to = `#/job/${encodeURIComponent(ctx.job)}`;
  const jump = (/** @type {string} */ id, /** @type {string} */ words) => button(words, () => {
    const target = document.getElementById(id);
    target?.scrollIntoView();
    const heading = target?.querySelector("h2");
    if (heading) {
      heading.tabIndex = -1;
      heading.focus({ preventScroll: true });
    }
  }, { class: "button bare" });
  const open = leak.findings.filter((f) => f.open).sort((a, b) => (a.level === b.level ? 0 : a.level === "STOP" ? -1 : 1));
  const all = [...open, ...leak.findings.filter((f) => !f.open)];
  return h("div", { class: "stack loose plan leak" },
    h("div", { class: "stack tight" }, h("div", { class: "row apart" }, h("h1", null, h("span", null, leak.mark), " ", h("span", { class: "muted kind" }, kindWords(leak.kind))),
      h("div", { class: "row" }, h("a", { class: "button", href: `${to}/plan` }, icon("back"), "All leaks"), h("a", { class: "button", href: `${to}/draw/${encodeURIComponent(leak.mark)}` }, icon("draw"), "Survey"), h("a", { class: "button", href: `${to}/wall/${encodeURIComponent(leak.mark)}` }, icon("wall"), "At the wall"))),
    leak.place && h("p", { class: "muted" }, leak.place)),
    staleNote(ctx, leak.current, again), changeNote(leak),
    h("nav", { class: "row jumps", "aria-label": "On this leak" }, all.length > 0 && jump("decide", "Decisions"), jump("what", "What to do"), jump("why", "Why it leaks"), leak.plane && jump("plane", "Order of plugging"), jump("much", "How much"), jump("when", "When"), jump("try", "Change an input")),
    h("div", { class: "leak-columns" }, h("div", { class: "stack loose" }, ...answers(ctx, leak, all, screen)),
      h("aside", { "aria-label": "Trial" }, section("try", "Change an input", h("div", { class: "card" }, tryPanel(ctx, leak, again))))));
}

/** Not planned yet, gone from the survey, or drawn after the plan: each way on. @param {Ctx} ctx @param {string} mark @param {Fault} fault @param {() => void} again */
function noLeak(ctx, mark, fault, again) {
  const to = `#/job/${encodeURIComponent(ctx.job)}`;
  const sentence = fault.code === 404 ? `${mark} is not in the plan: it was drawn after it, or it is gone from the survey.` : "This job has not been planned yet.";
  return h("div", { class: "stack" }, h("h1", null, mark), h("p", { class: "note" }, sentence),
    h("div", { class: "row" }, may(ctx.session.role, "foreman") && planButton(ctx, fault.code === 404 ? "Plan again" : "Plan", again), h("a", { class: "button", href: `${to}/plan` }, icon("back"), "All leaks"), h("a", { class: "button", href: `${to}/draw` }, icon("draw"), "Survey")));
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {string} mark @returns {Promise<import("../types.js").Part>} */
export async function leakScreen(root, ctx, mark) {
  ctx.title(`${mark}, ${ctx.job}`);
  /** @type {import("./gauge.js").Kept} */
  const kept = { open: ctx.query.get("show") === "reading" };
  const again = () => show().catch(ctx.fail);
  const show = async () => {
    try {
      /** @type {Leak} */
      const leak = await ctx.api.get(ctx.api.at(ctx.job, "leaks", mark), ctx.signal);
      const now = await leakNow(ctx, leak);
      fill(root, drawLeak(ctx, leak, { now, again, kept }));
      if (kept.open) /** @type {HTMLElement|null} */ (root.querySelector("form.reading input"))?.focus();
    } catch (error) {
      // 404 is an unknown leak; where the job is unknown there is no plan to go to.
      if (!(error instanceof Fault && (error.code === 409 || (error.code === 404 && error.message.startsWith("no leak"))))) throw error;
      if (error.code === 409 && (await takeUp(ctx, again))) return;
      fill(root, noLeak(ctx, mark, error, again));
    }
  };
  await show();
  return { close() {} };
}
