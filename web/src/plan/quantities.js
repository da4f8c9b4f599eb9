// quantities.js - areas, volumes, and what to buy.
import { append, h, icon } from "../dom.js";
import { money } from "../format.js";
import { head } from "./head.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

/** @param {Plan} p */
function orders(p) {
  const row = (/** @type {import("./types.js").Order} */ o) => h("tr", null, h("th", { scope: "row" }, o.material), h("td", { class: "n" }, o.need), h("td", null, o.packs), h("td", { class: "n" }, o.left),
    h("td", { class: "n" }, money(o.cost)), h("td", null, o.problem && h("span", { class: "problem" }, icon("weak"), " ", o.problem)));
  return h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "What to buy" }, h("table", { class: "pile" }, h("caption", { class: "unseen" }, "Order list"),
    h("thead", null, h("tr", null, h("th", { scope: "col" }, "Material"), h("th", { scope: "col", class: "n" }, "Needed"), h("th", { scope: "col" }, "Packs to buy"), h("th", { scope: "col", class: "n" }, "Left over"),
      h("th", { scope: "col", class: "n" }, `Cost, ${p.currency}`), h("th", { scope: "col" }, "Problem"))), h("tbody", null, p.orders.map(row))));
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {Plan} p @param {() => void} again */
export function quantities(box, ctx, p, again) {
  append(box, [...head(ctx, "Quantities", p, again),
    h("section", { class: "stack", "aria-labelledby": "order" }, h("h2", { id: "order" }, "Order list"), p.orders.length ? orders(p) : h("p", { class: "note" }, "Nothing to buy.")),
    h("section", { class: "stack", "aria-labelledby": "amounts" }, h("h2", { id: "amounts" }, "Amounts of the job"), h("div", { class: "frame narrow" }, h("table", null, h("caption", { class: "unseen" }, "Amounts of the job"),
      h("thead", null, h("tr", null, h("th", { scope: "col" }, "What"), h("th", { scope: "col", class: "n" }, "Amount"))),
      h("tbody", null, p.quantities.map((q) => h("tr", null, h("th", { scope: "row" }, q.label), h("td", { class: "n" }, q.value)))))))]);
}
