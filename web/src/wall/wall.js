// wall.js - the record at the wall.
import { fill, h } from "../dom.js";

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("At the wall");
  fill(root, h("h1", null, "At the wall"));
  return { close() {} };
}
