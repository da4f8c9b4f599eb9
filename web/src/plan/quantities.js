// quantities.js - areas, volumes, and what to buy.
import { append, h, icon } from "../dom.js";
import { money } from "../format.js";
import { row, table } from "../table.js";
import { head } from "./head.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

/** @param {Plan} p */
function orders(p) {
  const heads = ["Material", "#Needed", "Packs to buy", "#Left over", `#Cost, ${p.currency}`, "Problem"];
  return table("What to buy", heads, p.orders.map((o) => row(heads, [o.material, o.need, o.packs, o.left, money(o.cost), o.problem && h("span", { class: "problem" }, icon("weak"), " ", o.problem)])));
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {Plan} p @param {() => void} again */
export function quantities(box, ctx, p, again) {
  append(box, [...head(ctx, "Quantities", p, again),
    h("section", { class: "stack", "aria-labelledby": "order" }, h("h2", { id: "order" }, "Order list"), p.orders.length ? orders(p) : h("p", { class: "note" }, "Nothing to buy.")),
    h("section", { class: "stack", "aria-labelledby": "amounts" }, h("h2", { id: "amounts" }, "Amounts of the job"), h("div", { class: "frame narrow" }, h("table", null, h("caption", { class: "unseen" }, "Amounts of the job"),
      h("thead", null, h("tr", null, h("th", { scope: "col" }, "What"), h("th", { scope: "col", class: "n" }, "Amount"))),
      h("tbody", null, p.quantities.map((q) => h("tr", null, h("th", { scope: "row" }, q.label), h("td", { class: "n" }, q.value)))))))]);
}
