/** What the lines of the drawing mean: each wetness by its pattern and letter. */
import { h } from "../dom.js";
import { LETTERS, WETNESS } from "./terms.js";

export function legend() {
  const rows = WETNESS.map((wetness) => h("li", null, h("span", { class: `draw-line ${wetness}`, "aria-hidden": "true" }), h("span", null, `${LETTERS[wetness]} ${wetness}`)));
  return h("details", { class: "draw-legend" }, h("summary", null, "Lines"), h("ul", null, rows,
    h("li", null, h("span", { class: "draw-line fold", "aria-hidden": "true" }), h("span", null, "fold")),
    h("li", null, h("span", { class: "draw-line joint", "aria-hidden": "true" }), h("span", null, "joint, on its band"))));
}
