// table.js - a plain table. On a phone each row piles up, with the heading before each value; the roles keep it a
// table for readers then.
import { h } from "./dom.js";

/** @typedef {import("./dom.js").Child} Child */
/** A heading; one that begins with "#" is over figures; "" is over buttons. @typedef {string} Head */

/** @param {Head} t */
const words = (t) => t.replace(/^#/, "");
/** @param {Head} t */
const side = (t) => (t.startsWith("#") ? "n" : null);

/** One row; the first cell names it. @param {Head[]} heads @param {(Child|Child[])[]} cells */
export function row(heads, cells) {
  return h("tr", { role: "row" }, cells.map((c, i) => {
    const content = Array.isArray(c) ? c : [c];
    if (i === 0) return h("th", { scope: "row", role: "rowheader", class: side(heads[0]) }, ...content);
    const empty = content.every((x) => x === "" || x === null || x === undefined || x === false);
    return h("td", { role: "cell", class: [side(heads[i]), empty && "empty"].filter(Boolean).join(" ") || null, "data-label": words(heads[i]) || null }, h("div", null, ...content));
  }));
}

/** @param {string} caption @param {Head[]} heads @param {HTMLElement[]} rows @param {{shown?: boolean, more?: HTMLElement[]}} [how] shown: the caption is seen; more: further parts of the table */
export function table(caption, heads, rows, how) {
  return h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": `${caption}, table` }, h("table", { class: "pile", role: "table" }, h("caption", { class: how?.shown ? null : "unseen" }, caption),
    h("thead", { role: "rowgroup" }, h("tr", { role: "row" }, heads.map((t) => (t ? h("th", { scope: "col", role: "columnheader", class: side(t) }, words(t)) : h("td", { role: "cell" }))))),
    h("tbody", { role: "rowgroup" }, rows), how?.more ?? null));
}
