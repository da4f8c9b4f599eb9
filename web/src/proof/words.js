// words.js - how days and verdicts are said on the screens of the proof and of what was built.
import { h, icon } from "../dom.js";

const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeZone: "UTC" });

/** A date without a time, as written in the record. @param {string|null|undefined} on */
export function dated(on) {
  const d = on ? new Date(`${on}T00:00:00Z`) : null;
  return !d || Number.isNaN(d.getTime()) ? on ?? "" : day.format(d);
}

/** @type {Record<string, [string, Parameters<typeof icon>[0]|null, string]>} */
const tags = {
  kept: ["ok", "yes", "kept"], broken: ["stop", "weak", "broken"], "not proven": ["ask", "ask", "not proven"], open: ["", null, "not treated"],
  pass: ["ok", "yes", "passes"], fail: ["stop", "weak", "fails"], undecided: ["ask", "ask", "undecided"], none: ["", null, "not judged"],
  waiting: ["", null, "waiting"], due: ["ask", "ask", "due"], overdue: ["stop", "weak", "overdue"], done: ["ok", "yes", "done"],
};

/** @param {string} word */
export function tag(word) {
  const [kind, sign, said] = tags[word] ?? ["", null, word];
  return h("span", { class: `tag ${kind}` }, sign && icon(sign), said);
}

/** @param {string} label @param {import("../dom.js").Child|import("../dom.js").Child[]} value */
export const fact = (label, value) => (value ? h("div", null, h("dt", null, label), h("dd", null, value)) : null);

/** @param {string} id @param {string} title @param {...(import("../dom.js").Child|import("../dom.js").Child[])} children */
export const section = (id, title, ...children) => h("section", { class: "stack tight", "aria-labelledby": id }, h("h2", { id }, title), ...children);
