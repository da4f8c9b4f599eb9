// draw.js - the survey by drawing.
import { fill, h } from "../dom.js";

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("Survey");
  fill(root, h("h1", null, "Survey"));
  return { close() {} };
}
