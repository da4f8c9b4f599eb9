// price.js - the price by group and line.
import { append, h } from "../dom.js";
import { hours, money } from "../format.js";
import { head } from "./head.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

const amount = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 2 });
/** The group of what comes on top of the others. */
const onTop = "additions";

/** The lines of a group; on a phone a line stands in two rows, so the roles keep it a table. @param {Plan} p @param {string} group */
function lines(p, group) {
  const sum = p.price.groups.find((g) => g.group === group)?.amount;
  const cell = (/** @type {string} */ name, /** @type {string} */ text) => h("td", { role: "cell", class: name }, text);
  return h("tbody", { role: "rowgroup" }, h("tr", { class: "group", role: "row" }, h("th", { scope: "rowgroup", role: "rowheader", colspan: 5 }, group), cell("n amount", money(sum))),
    p.price.lines.filter((l) => l.group === group).map((l) => h("tr", { role: "row" }, h("th", { scope: "row", role: "rowheader" }, l.label), cell("n quantity", amount.format(l.quantity)), cell("unit", l.unit),
      cell("n rate", money(l.rate)), cell("basis muted small", l.basis), cell("n amount", money(l.amount)))));
}

/** @param {Plan} p */
function lineTable(p) {
  const heads = [["What", ""], ["Quantity", "n"], ["Unit", ""], ["Rate", "n"], ["Basis", ""], [`Amount, ${p.currency}`, "n"]];
  const groups = [...new Set(p.price.lines.map((l) => l.group))];
  return h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Price by line" }, h("table", { class: "lines", role: "table" }, h("caption", { class: "unseen" }, "Price by line"),
    h("thead", { role: "rowgroup" }, h("tr", { role: "row" }, heads.map(([t, c]) => h("th", { scope: "col", role: "columnheader", class: c || null }, t)))), groups.map((g) => lines(p, g))));
}

/** @param {string} words @param {number} value @param {string} [kind] */
const sumRow = (words, value, kind) => h("tr", { class: kind ?? null }, h("th", { scope: "row" }, words), h("td", { class: "n" }, money(value)));

/** @param {Plan} p */
function groupTable(p) {
  return h("div", { class: "frame narrow" }, h("table", null, h("caption", { class: "unseen" }, "Price by group"),
    h("thead", null, h("tr", null, h("th", { scope: "col" }, "Group"), h("th", { scope: "col", class: "n" }, `Amount, ${p.currency}`))),
    h("tbody", null, p.price.groups.filter((g) => g.group !== onTop).map((g) => sumRow(g.group, g.amount)), sumRow("before additions", p.price.subtotal, "group"), p.price.groups.filter((g) => g.group === onTop).map((g) => sumRow(g.group, g.amount))),
    h("tfoot", null, sumRow("Price, without tax", p.price.total, "total"))));
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {Plan} p @param {() => void} again */
export function price(box, ctx, p, again) {
  append(box, [...head(ctx, "Price", p, again),
    h("p", { class: "big figures price-total" }, `${money(p.price.total)} ${p.currency}`, h("span", { class: "muted" }, ` without tax; ${hours(p.price.hours)} hours, ${p.price.crew_days} crew-days`)),
    h("section", { class: "stack", "aria-labelledby": "groups" }, h("h2", { id: "groups" }, "By group"), groupTable(p)),
    h("section", { class: "stack", "aria-labelledby": "lines" }, h("h2", { id: "lines" }, "By line"), lineTable(p))]);
}
