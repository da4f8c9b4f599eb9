// leaks.js - the leaks by verdict, what is broken first; one opened shows its tests and takes another.
import { append, fill, h, icon } from "../dom.js";
import { may } from "../api.js";
import { row, table } from "../table.js";
import { member, term } from "../wall/terms.js";
import { plainNumbers } from "../wall/said.js";
import { proofForm, proofNumbers } from "../wall/prove.js";
import { formDoor, recordForm } from "./send.js";
import { dated, tag } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Proof} Proof */
/** @typedef {import("./types.js").ProofLeak} ProofLeak */
/** @typedef {import("./types.js").Revisit} Revisit */

/** @type {[import("./types.js").Verdict, string][]} */
const groups = [["broken", "Broken"], ["not proven", "Not proven"], ["open", "Not treated"], ["kept", "Kept"]];

/** @param {Ctx} ctx @param {string} mark */
function testForm(ctx, mark) {
  const numbers = plainNumbers(ctx.units, proofNumbers);
  const form = proofForm(numbers);
  return recordForm(ctx, { title: `A test at ${mark}`, yes: "Keep the test", fixed: { mark, what: "proof" }, element: form.element,
    read() {
      const said = form.read();
      return typeof said === "string" ? said : { ...said, step: "prove" };
    },
    clear: form.clear,
    refill(r) {
      for (const [name, input] of numbers.inputs) input.value = String(r[member(term(name), ctx.units)] ?? "");
      for (const name of ["hand", "blotter"]) form.element.querySelectorAll("input").forEach((i) => i.type === "radio" && i.name.startsWith(name) && (i.checked = i.value === (r[name] ?? "")));
      const note = form.element.querySelector("textarea");
      if (note) note.value = r.text ?? "";
    } });
}

/** "1.30 m of 2.60 m"; "whole" of a leak that is a point or an area. @param {ProofLeak} l */
const keptOf = (l) => (l.verdict === "open" ? "" : l.of === "whole" ? (l.kept === "whole" ? "kept whole" : "nothing kept") : `${l.kept} of ${l.of} kept`);

/** @param {ProofLeak} l */
const flows = (l) => [l.before && `before ${l.before}`, l.after && `after ${l.after}`].filter(Boolean).join(", ") || l.drips;

/** The next look. @param {Revisit[]} list */
function due(list) {
  const next = list.find((v) => v.state !== "done");
  if (!next) return null;
  if (next.state === "waiting") return h("span", { class: "muted" }, next.on ? `${next.what} look on ${dated(next.on)}` : `look after ${next.what}`);
  return h("span", { class: `tag ${next.state === "overdue" ? "stop" : "ask"}` }, icon(next.state === "overdue" ? "weak" : "ask"), `${next.what} look ${next.state}`);
}

/** @param {ProofLeak} l */
function tests(l) {
  if (!l.tests.length) return h("p", { class: "muted" }, "No test is recorded.");
  const heads = ["On", "What it says", "Stretch", "#Water level", "Hand", "Paper", "Drips", "Collected", "By"];
  return table(`Tests at ${l.mark}`, heads, [...l.tests].reverse().map((t) => row(heads, [dated(t.on), t.sentence, t.from && t.to ? `${t.from} to ${t.to}` : "whole", t.level, t.hand, t.blotter, t.drips, t.flow, t.by])));
}

/** @param {ProofLeak} l */
const sentences = (l) => [l.sentence, l.treated_on && `Last work on it: ${dated(l.treated_on)}.`, l.saved && `Saved: ${l.saved}.`, l.moved_from && `Its water may have come from ${l.moved_from}${l.moved_is_hint ? " (by place and time only)" : ""}.`,
  l.moved_to.length > 0 && `Since it was closed, water shows at ${l.moved_to.join(", ")}.`].filter(Boolean);

/** @param {Ctx} ctx @param {ProofLeak} l */
function makeCard(ctx, l) {
  const head = h("span", { class: "leak-row" }), inside = h("div", { class: "stack" }), job = encodeURIComponent(ctx.job);
  const card = h("details", { class: "leak-card" }, h("summary", null, head), h("div", { class: "stack leak-inside" }, inside,
    may(ctx.session.role, "foreman") && formDoor("Write a test", () => testForm(ctx, l.mark)),
    h("div", { class: "row" }, h("a", { href: `#/job/${job}/plan/${encodeURIComponent(l.mark)}` }, `Plan of ${l.mark}`), h("a", { href: `#/job/${job}/built/${encodeURIComponent(l.mark)}` }, "As built"))));
  return { card, show(/** @type {ProofLeak} */ now, /** @type {Revisit[]} */ looks) {
    fill(head, h("strong", { class: "leak-mark" }, now.mark), tag(now.verdict), h("span", null, keptOf(now)), h("span", { class: "muted" }, flows(now)), due(looks));
    fill(inside, h("p", null, sentences(now).join(" ")), tests(now));
  } };
}

/** @param {Ctx} ctx */
export function leakCards(ctx) {
  /** @type {Map<string, ReturnType<typeof makeCard>>} */
  const made = new Map();
  const element = h("div", { class: "stack" });
  return { element, show(/** @type {Proof} */ p) {
    const at = document.activeElement;
    fill(element);
    for (const [verdict, title] of groups) {
      const mine = p.leaks.filter((l) => l.verdict === verdict);
      if (!mine.length) continue;
      const list = h("div", { class: "leak-list" });
      for (const l of mine) {
        const card = made.get(l.mark) ?? makeCard(ctx, l);
        made.set(l.mark, card);
        card.show(l, p.revisits.filter((v) => v.mark === l.mark));
        list.append(card.card);
      }
      append(element, [h("h3", null, `${title}: ${mine.length}`), list]);
    }
    if (at instanceof HTMLElement && at !== document.activeElement && element.contains(at)) at.focus({ preventScroll: true }); // what was moved is still being typed in
  } };
}
