// plan.js - the plan, its leaks, quantities and price.
import { fill, h } from "../dom.js";

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("Plan");
  fill(root, h("h1", null, "Plan"));
  return { close() {} };
}
