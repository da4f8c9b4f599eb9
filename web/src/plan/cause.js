// cause.js - what may have caused a leak, whether it may heal, the tightness agreed, what the steel leaves of a slot.
import { h, icon } from "../dom.js";
import { HEALING_WORDS, say } from "../draw/terms.js";
import { row, table } from "../table.js";
import { rowsBehind } from "./rows.js";

/** @typedef {import("./types.js").Leak} Leak */

/** @type {Record<string, string>} */
const causeWords = {
  shrinkage: "Restrained shrinkage", settlement: "Settlement", thermal: "Season, heat and cold", joint: "Joint or its waterstop", tie: "Tie hole",
  penetration: "Pipe through the concrete", honeycomb: "Badly compacted concrete",
};

/** @param {string} title @param {string[]} list */
const evidence = (title, list) => list.length > 0 && h("div", null, h("p", { class: "muted small" }, title), h("ul", { class: "plain" }, list.map((s) => h("li", null, s))));

/** @param {Leak} leak */
export function causes(leak) {
  const list = leak.diagnosis.causes;
  if (!list.length) return null;
  return h("div", { class: "card stack causes" }, h("div", null, h("h3", null, "What may have caused it"), h("p", { class: "muted" }, "Hints, never a certainty: what was seen speaks for a cause or against it.")),
    list.map((c) => h("div", { class: "stack tight cause" }, h("h4", null, causeWords[c.cause] ?? c.cause.replace(/_/g, " ")), evidence("Speaks for it", c.for), evidence("Speaks against it", c.against))));
}

/** @param {NonNullable<Leak["diagnosis"]["healing"]>} x */
function healing(x) {
  const limit = x.limit ? `${x.limit} at` : "no width at";
  return h("div", { class: "stack tight" }, h("h3", null, "Healing"),
    h("p", null, h("span", { class: x.heals ? "tag ok" : "tag ask" }, icon(x.heals ? "yes" : "weak"), x.heals ? "within the limit" : "wider than the limit")),
    h("p", null, `${x.width} wide; by ${say(HEALING_WORDS, x.rule)} it may be ${limit} a head of ${x.gradient} times the thickness.`), h("p", { class: "muted small" }, x.source));
}

/** @type {Record<string, ["ok"|"stop"|"ask", "yes"|"stop"|"ask", string]>} */
const verdicts = { kept: ["ok", "yes", "kept, as seen"], broken: ["stop", "stop", "not kept"], "not seen": ["ask", "ask", "not seen: it asks for what was not measured"] };

/** @param {NonNullable<Leak["diagnosis"]["tightness"]>} x */
function tightness(x) {
  const [kind, sign, words] = verdicts[x.verdict] ?? verdicts["not seen"];
  return h("div", { class: "stack tight" }, h("h3", null, "Watertightness agreed"), h("p", null, h("strong", null, x.class), " ", h("span", { class: `tag ${kind}` }, icon(sign), words)), h("p", null, x.asks));
}

/** @param {Leak} leak */
export function limits(leak) {
  const { healing: heals, tightness: tight } = leak.diagnosis;
  if (!heals && !tight) return null;
  return h("div", { class: "card stack" }, heals && healing(heals), tight && tightness(tight));
}

/** @param {Leak} leak */
export function steel(leak) {
  const { stretches, advice } = leak.steel;
  if (!stretches.length && !advice.length) return null;
  const heads = ["From", "To", "Steel", "#Safe cut"];
  return h("div", { class: "card stack steel" }, h("h3", null, "Steel"),
    stretches.length > 0 && table("What the steel limits", heads, stretches.map((s) => row(heads, [s.from, s.to, s.bar, s.allowed || "not known: scan first"]))),
    advice.length > 0 && h("div", { class: "stack tight" }, h("h4", null, "The plug wants more than the steel leaves. What helps"),
      h("ul", { class: "plain" }, advice.map((a) => h("li", null, h("span", { class: a.enough ? "tag ok" : "tag" }, icon(a.enough ? "yes" : "close"), a.enough ? "enough" : "not enough"), " ", h("strong", null, a.remedy), `: ${a.saying}.`)))), rowsBehind("Steel", leak.rows));
}
