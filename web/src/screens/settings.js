// settings.js - how the page looks on this device, and what program answers.
import { fill, h } from "../dom.js";
import { setTheme, theme } from "../theme.js";

const themes = /** @type {[import("../theme.js").Theme, string, string][]} */ ([
  ["auto", "As the device", "light or dark, as it is set there"],
  ["light", "Light", "for the office"],
  ["dark", "Dark", "for the night shift and the cellar"],
  ["sun", "Full daylight", "black on white with strong edges"],
]);

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("Settings");
  const now = theme();
  const choices = themes.map(([value, words, hint]) => h("label", { class: "tick" },
    h("input", { type: "radio", name: "theme", value, checked: value === now, change: () => setTheme(value) }), h("span", null, words, " ", h("span", { class: "hint" }, hint))));
  fill(root, h("div", { class: "stack loose" }, h("h1", null, "Settings"), h("fieldset", null, h("legend", null, "Colours"), choices),
    h("section", { class: "stack tight" }, h("h2", null, "About"), h("p", null, ctx.session.program),
      h("p", { class: "muted" }, "The tool sizes a water seal; it certifies no structure. Makers' data sheets govern the materials."),
      h("p", null, h("a", { href: "/licences.txt" }, "Licences of the libraries")))));
  return { close() {} };
}
