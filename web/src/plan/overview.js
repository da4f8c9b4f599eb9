// overview.js - the plan in one screen: what needs a decision, what changed, the leaks.
import { append, h, icon } from "../dom.js";
import { count, hours, money } from "../format.js";
import { head } from "./head.js";
import { findingSection } from "./finding.js";
import { leakTable } from "./leaks.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

/** @param {string} label @param {string} value @param {string} [to] */
const fact = (label, value, to) => h("div", null, h("dt", null, label), h("dd", { class: "figures" }, to ? h("a", { href: to }, value) : value));

/** @param {Ctx} ctx @param {Plan} p */
function summary(ctx, p) {
  const to = `#/job/${encodeURIComponent(ctx.job)}`;
  return h("dl", { class: "summary" },
    fact("Open decisions", `${p.open_stops} STOP, ${p.open_asks} ASK`), fact("Leaks", String(p.leaks.length)),
    fact("Hours", hours(p.price.hours)), fact("Crew-days", String(p.price.crew_days)), fact("Price, without tax", `${money(p.price.total)} ${p.currency}`, `${to}/price`));
}

/** What is different from the last plan, by leak. @param {Ctx} ctx @param {Plan} p */
function changes(ctx, p) {
  if (!p.changes.length) return null;
  return h("section", { class: "stack", "aria-labelledby": "changes" }, h("h2", { id: "changes" }, "Since the last plan"),
    h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Before and now" }, h("table", null, h("caption", { class: "unseen" }, "What changed since the last plan"),
      h("thead", null, h("tr", null, ["Leak", "What", "Before", "Now"].map((t) => h("th", { scope: "col" }, t)))),
      h("tbody", null, p.changes.slice(0, 60).map((c) => h("tr", null,
        h("th", { scope: "row" }, c.mark ? h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/plan/${encodeURIComponent(c.mark)}` }, c.mark) : "job"),
        h("td", null, c.label), h("td", { class: "muted" }, c.before), h("td", null, h("span", { class: "tag changed" }, icon("changed"), c.after || "gone"))))))),
    p.changes.length > 60 && h("p", { class: "muted" }, `${count(p.changes.length - 60, "change", "changes")} more.`));
}

/** @param {string} title @param {string[]} list */
const listOf = (title, list) => list.length > 0 && h("details", { class: "card" }, h("summary", null, title), h("ul", { class: "stack tight" }, list.map((t) => h("li", null, t))));

/** @param {HTMLElement} box @param {Ctx} ctx @param {Plan} p @param {() => void} again */
export function overview(box, ctx, p, again) {
  append(box, [...head(ctx, "Plan", p, again), summary(ctx, p),
    p.leaks.length ? findingSection(ctx, p.findings, again) : h("p", { class: "note" }, "The survey has no leaks yet. ", h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/draw` }, "Draw them.")),
    changes(ctx, p), p.leaks.length > 0 && leakTable(ctx, p),
    h("section", { class: "stack tight", "aria-labelledby": "basis" }, h("h2", { id: "basis" }, "What the plan stands on"),
      !p.planes && h("p", { class: "note" }, "This plan was made without the water in the crack planes: there is no order of plugging."),
      listOf("Cautions", p.cautions), listOf("Assumptions", p.assumptions), listOf("Sources", p.sources))]);
}
