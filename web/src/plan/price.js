// price.js - the price by group and line.
import { append, h } from "../dom.js";
import { hours, money } from "../format.js";
import { head } from "./head.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

const amount = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 2 });

/** @param {Plan} p @param {string} group */
function lines(p, group) {
  const sum = p.price.groups.find((g) => g.group === group)?.amount;
  return h("tbody", null, h("tr", { class: "group" }, h("th", { scope: "rowgroup", colspan: 5 }, group), h("td", { class: "n" }, money(sum))),
    p.price.lines.filter((l) => l.group === group).map((l) => h("tr", null, h("th", { scope: "row" }, l.label), h("td", { class: "n" }, amount.format(l.quantity)), h("td", null, l.unit), h("td", { class: "n" }, money(l.rate)),
      h("td", { class: "muted small" }, l.basis), h("td", { class: "n" }, money(l.amount)))));
}

/** @param {Plan} p */
function groupTable(p) {
  return h("div", { class: "frame narrow" }, h("table", null, h("caption", { class: "unseen" }, "Price by group"),
    h("thead", null, h("tr", null, h("th", { scope: "col" }, "Group"), h("th", { scope: "col", class: "n" }, `Amount, ${p.currency}`))),
    h("tbody", null, p.price.groups.map((g) => h("tr", null, h("th", { scope: "row" }, g.group), h("td", { class: "n" }, money(g.amount))))),
    h("tfoot", null, h("tr", null, h("th", { scope: "row" }, "Before additions"), h("td", { class: "n" }, money(p.price.subtotal))), h("tr", { class: "total" }, h("th", { scope: "row" }, "Price"), h("td", { class: "n" }, money(p.price.total))))));
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {Plan} p @param {() => void} again */
export function price(box, ctx, p, again) {
  const groups = [...new Set(p.price.lines.map((l) => l.group))];
  append(box, [...head(ctx, "Price", p, again),
    h("p", { class: "big figures price-total" }, `${money(p.price.total)} ${p.currency}`, h("span", { class: "muted" }, ` ${hours(p.price.hours)} hours, ${p.price.crew_days} crew-days`)),
    h("section", { class: "stack", "aria-labelledby": "groups" }, h("h2", { id: "groups" }, "By group"), groupTable(p)),
    h("section", { class: "stack", "aria-labelledby": "lines" }, h("h2", { id: "lines" }, "By line"), h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Price by line" }, h("table", { class: "lines" }, h("caption", { class: "unseen" }, "Price by line"),
      h("thead", null, h("tr", null, [["What", ""], ["Quantity", "n"], ["Unit", ""], ["Rate", "n"], ["Basis", ""], [`Amount, ${p.currency}`, "n"]].map(([t, c]) => h("th", { scope: "col", class: c || null }, t)))), groups.map((g) => lines(p, g)))))]);
}
