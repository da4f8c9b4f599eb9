// rows.js - figures with their help: each has a small button that opens equation, inputs and source.
import { freshId, h, icon } from "../dom.js";

/** @typedef {import("./types.js").Row} Row */

/** @param {Row} r */
function help(r) {
  const lines = /** @type {[string, string|null|undefined][]} */ ([["Equation", r.equation], ["From", r.inputs], ["Source", r.source]]);
  return lines.filter(([, text]) => text).map(([t, text]) => h("p", null, h("strong", null, `${t}: `), h("span", t === "Equation" ? { class: "equation" } : null, text)));
}

/** One figure. @param {Row} r @param {{before: string, after: string}|undefined} change */
function figure(r, change) {
  const lines = help(r);
  const panel = h("dd", { class: "help", id: freshId("help"), hidden: true }, lines);
  const open = h("button", { type: "button", class: "why", "aria-expanded": "false", "aria-controls": panel.id, "aria-label": `How ${r.label} comes about` }, icon("info"));
  open.addEventListener("click", () => {
    panel.hidden = !panel.hidden;
    open.setAttribute("aria-expanded", String(!panel.hidden));
  });
  const short = r.value.length <= 28 ? "figures short" : "figures";
  return h("div", { class: change ? "figure changed" : "figure" }, h("dt", null, r.label),
    h("dd", { class: "value" }, h("span", { class: short }, r.value), change && h("span", { class: "tag changed" }, icon("changed"), change.before ? `changed, was ${change.before}` : "new"), lines.length > 0 && open),
    lines.length > 0 && panel);
}

/** @typedef {{label: string, before: string, after: string}} Change */

/** Where what changed stands among the figures: the same value, under the name it has here. @type {Record<string, (r: Row, c: Change) => boolean>} */
const places = {
  head: (r, c) => r.label === "Head on the plug" && r.value === c.after,
  flow: (r, c) => (r.label === "Flow measured" || r.label === "Flow expected") && c.after === `${r.value} ${r.label.slice(5)}`,
  "slot depth": (r, c) => r.group === "Slot and plug" && r.value.startsWith(`${c.after} deep`),
  "relief bore": (r, c) => r.label === "Relief tube" && r.value.startsWith(`${c.after} bore`),
  "slot length": (r, c) => r.group === "Quantities" && r.label === "Slot" && r.value.startsWith(`${c.after},`),
  cost: (r, c) => r.label === "Labour and material of this leak" && r.value === c.after,
};

/** The figures of one group under its heading. @param {string} group @param {Row[]} rows @param {Change[]} changes */
export function rowGroup(group, rows, changes) {
  const changeOf = (/** @type {Row} */ r) => changes.find((c) => places[c.label]?.(r, c));
  const notes = rows.filter((r) => r.label === "Note");
  return h("div", { class: "card stack tight" }, h("h3", null, group), h("dl", { class: "figure-list" }, rows.filter((r) => r.label !== "Note").map((r) => figure(r, changeOf(r)))),
    notes.length > 0 && h("details", null, h("summary", null, `Notes (${notes.length})`), h("ul", { class: "small" }, notes.map((r) => h("li", null, r.value)))));
}

/** The figures behind a card that says them in words. @param {string} group @param {Row[]} all */
export function rowsBehind(group, all) {
  const rows = all.filter((r) => r.group === group);
  return rows.length > 0 && h("details", null, h("summary", null, "Figures and sources"), h("dl", { class: "figure-list" }, rows.map((r) => figure(r, undefined))));
}

/** Rows by group, in the order they came. @param {Row[]} rows */
export function groups(rows) {
  /** @type {Map<string, Row[]>} */
  const by = new Map();
  for (const r of rows) by.set(r.group, [...(by.get(r.group) ?? []), r]);
  return by;
}
