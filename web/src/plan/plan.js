// plan.js - the part of the plan: findings and leaks, one leak, quantities, price. The figures are the server's.
import { fill, h } from "../dom.js";
import { notPlanned, takeUp } from "./head.js";
import { overview } from "./overview.js";
import { leakScreen } from "./leak.js";
import { quantities } from "./quantities.js";
import { price } from "./price.js";
import { markWaiting } from "./pending.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

/** @type {Record<string, {title: string, draw: (root: HTMLElement, ctx: Ctx, plan: Plan, again: () => void) => void}>} */
const screens = {
  plan: { title: "Plan", draw: overview },
  quantities: { title: "Quantities", draw: quantities },
  price: { title: "Price", draw: price },
};

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  if (ctx.part === "plan" && ctx.mark) return leakScreen(root, ctx, ctx.mark);
  const screen = screens[ctx.part];
  ctx.title(`${screen.title}, ${ctx.job}`);
  const again = () => void show().catch(ctx.fail);
  const show = async () => {
    /** @type {Plan} */
    const plan = await ctx.api.get(ctx.api.at(ctx.job, "plan"), ctx.signal);
    if (plan.state === "none" && plan.before && (await takeUp(ctx, again))) return;
    if (plan.state === "planned" && ctx.part === "plan") await markWaiting(ctx, plan);
    const box = h("div", { class: "stack loose plan" });
    if (plan.state === "none") notPlanned(box, ctx, screen.title, again);
    else screen.draw(box, ctx, plan, again);
    fill(root, box);
  };
  await show();
  return { close() {} };
}
