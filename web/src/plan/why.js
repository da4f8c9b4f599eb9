// why.js - the method of a leak with what speaks for it: reason, runner-up, what would tip it, what was passed over, who
// overruled the table.
import { h, icon } from "../dom.js";
import { rowsBehind } from "./rows.js";
import { overrulePanel } from "./overrule.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Method} Method */

/** A sentence that begins and ends like one. @param {string} words */
export const sentence = (words) => words && words[0].toUpperCase() + words.slice(1) + (/[.!?]$/.test(words) ? "" : ".");

/** Where the table's answer comes from. @param {Method} m */
const source = (m) => h("p", { class: "muted" }, m.row > 0 && `Row ${m.row} of the table. `, sentence(m.basis));

/** @param {Method} m */
function overruled(m) {
  const o = m.overruled;
  if (!o) return null;
  return h("div", { class: "stack tight" },
    h("p", null, h("strong", null, `Chosen by ${o.by}${o.on ? `, ${o.on}` : ""}: `), o.method !== m.word && `${m.choices.find((c) => c.word === o.method)?.name ?? o.method}. `, o.why),
    o.objection && h("p", { class: "note ask" }, icon("weak"), h("span", null, h("strong", null, "Against it: "), sentence(o.objection))),
    h("p", null, h("strong", null, "The table says: "), m.by_table, m.reason && `. ${sentence(m.reason)}`));
}

/** @param {Method} m */
function tips(m) {
  if (!m.tips.length) return m.tip && h("p", null, h("strong", null, "What would tip it: "), sentence(m.tip));
  return h("div", null, h("h4", null, "What would tip it"), h("ul", { class: "plain" }, m.tips.map((t) => h("li", null, t.change, ": ", h("strong", null, t.to)))));
}

/** @param {Method} m */
function passed(m) {
  if (!m.passed.length) return null;
  return h("details", null, h("summary", null, `Passed over (${m.passed.length})`), h("ul", { class: "plain" }, m.passed.map((p) => h("li", null, h("strong", null, p.method), ": ", p.why))));
}

/** @param {Ctx} ctx @param {Leak} leak @param {import("./types.js").Again} again */
export function whyMethod(ctx, leak, again) {
  const m = leak.method;
  return h("div", { class: "card stack method", role: "group", "aria-labelledby": "method-title" },
    h("div", { class: "stack tight" }, h("h3", { id: "method-title" }, "Why this method"),
      h("p", { class: "big" }, m.name || "No method yet", m.overruled?.method === m.word && h("span", { class: "tag ask" }, icon("people"), "overruled")),
      m.overruled ? overruled(m) : m.reason && h("p", null, sentence(m.reason)), source(m)),
    m.runner_up && h("p", null, h("strong", null, "Runner-up: "), m.runner_up), tips(m), passed(m), rowsBehind("Method", leak.rows),
    overrulePanel(ctx, leak, again));
}
