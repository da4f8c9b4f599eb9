// offer.js - the part of the offer: the price with its risk, the documents that went out, and the rates and prices it is made of.
// All figures are the server's.
import { fill, h, icon } from "../dom.js";
import { money } from "../format.js";
import { notPlanned, staleNote, takeUp } from "../plan/head.js";
import { printSection } from "./print.js";
import { riskSection } from "./risk.js";
import { valuesSection } from "./values.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("../plan/types.js").Plan} Plan */

/** @param {string} words @param {number} amount @param {string} [kind] */
const sum = (words, amount, kind) => h("tr", { class: kind ?? null }, h("th", { scope: "row" }, words), h("td", { class: "n" }, money(amount)));

/** @param {Ctx} ctx @param {Plan} p @param {() => void} again */
function price(ctx, p, again) {
  const to = `#/job/${encodeURIComponent(ctx.job)}/price`;
  const stops = p.open_stops > 0 && h("div", { class: "note stop" }, icon("stop"), h("p", null, h("strong", null, p.open_stops === 1 ? "One stop is open. " : `${p.open_stops} stops are open. `), "The offer says so: ", h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/plan` }, "to the findings")));
  return [h("div", { class: "row apart" }, h("h1", null, "Offer"), h("a", { class: "button", href: to }, icon("price"), "Price by line")), staleNote(ctx, p.current, again), stops,
    h("div", { class: "frame price-short" }, h("table", null, h("caption", { class: "unseen" }, "Price by group"),
      h("thead", null, h("tr", null, h("th", { scope: "col" }, "Price"), h("th", { scope: "col", class: "n" }, `Amount, ${p.currency}`))),
      h("tbody", null, p.price.groups.map((g) => sum(g.group, g.amount))), h("tfoot", null, sum("Price, without tax", p.price.total))))];
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title(`Offer, ${ctx.job}`);
  const top = h("div", { class: "stack" });
  const again = () => void show().catch(ctx.fail);
  const risk = riskSection(ctx), documents = printSection(ctx, risk.read, () => show()), values = valuesSection(ctx, () => show());
  /** What the plan says; what is typed in the forms below stays. */
  const show = async () => {
    /** @type {Plan} */
    const p = await ctx.api.get(ctx.api.at(ctx.job, "plan"), ctx.signal);
    if (p.state === "none" && p.before && (await takeUp(ctx, again))) return;
    fill(top);
    if (p.state === "none") notPlanned(top, ctx, "Offer", again);
    else fill(top, ...price(ctx, p, again));
    await risk.show(p);
  };
  await Promise.all([show(), documents.show()]);
  fill(root, h("div", { class: "stack loose offer" }, top, risk.element, documents.element, values.element));
  return { close() {} };
}
