/** The bar of tools above the drawing, and the bar of what the tool in hand needs. */
import { button, field, fill, h } from "../dom.js";
import { picker } from "./dialog.js";
import { foldForm } from "./forms.js";
import { readNumber } from "./number.js";
import { sign } from "./signs.js";
import { isLine, isRound, WETNESS_WORDS } from "./terms.js";
import { wetten } from "./gestures.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./tools.js').Tools} Tools */

/** Tool, its words, its key. @type {[string, string, string][]} */
export const TOOLS = [
  ["select", "Choose", "v"], ["crack", "Crack", "c"], ["joint", "Joint", "j"], ["tie_hole", "Tie hole", "t"], ["penetration", "Pipe", "p"],
  ["honeycomb", "Honeycomb", "h"], ["station", "Station", "s"], ["wet", "Wet stretch", "w"],
  ["opening", "Opening", "r"], ["opening_shape", "Opening by corners", "o"], ["fold", "Fold", "f"], ["outline", "Outline", "e"],
];
const HINTS = /** @type {Record<string, string>} */ ({
  select: "Press a leak to choose it; drag its points and stations. Alt+press takes a point away.",
  crack: "Press point after point; press the last again, or Finish. Shift or Freehand draws in one sweep.",
  joint: "Press point after point; press the last again, or Finish.",
  carry: "Goes on from the end. Press point after point, then Finish.",
  tie_hole: "Press where the hole is.", penetration: "Type the diameter, then press where the pipe comes through.",
  honeycomb: "Press round the area; close it at its first point, or Finish.",
  station: "Press on a crack or joint to set a station.",
  wet: "Choose a line, press on it and drag along it; then drag the two grips.",
  opening: "Press one corner, then the one across.", opening_shape: "Press round the opening; close it at its first corner, or Finish.",
  fold: "Press the edge that folds.", outline: "Drag corners of the outline and of openings.",
});

/** @param {Desk} desk @param {import('./board.js').Board} board */
export function toolBar(desk, board) {
  const tools = TOOLS.filter(([tool]) => desk.may || tool === "select").map(([tool, words, key]) =>
    h("button", { type: "button", class: "draw-tool", "data-tool": tool, "aria-pressed": "false", "aria-keyshortcuts": key, title: `${words} (${key})`, click: () => desk.use(tool) }, sign(tool), h("span", null, words)));
  const act = (/** @type {string} */ name, /** @type {string} */ words, /** @type {() => void} */ click, /** @type {string} */ keys) =>
    h("button", { type: "button", class: "draw-tool", "data-act": name, "aria-keyshortcuts": keys, title: `${words} (${keys.replace("Control", "Ctrl")})`, click }, sign(name), h("span", null, words));
  const undo = act("undo", "Undo", () => void desk.back("undo"), "Control+Z");
  const redo = act("redo", "Redo", () => void desk.back("redo"), "Control+Y");
  const views = [act("in", "Nearer", () => board.zoom(1.5), "+"), act("out", "Farther", () => board.zoom(1 / 1.5), "-"), act("whole", "Whole face", () => board.fit(150), "0")];
  const show = () => {
    for (const tool of tools) tool.setAttribute("aria-pressed", String(tool.dataset.tool === desk.tool));
    undo.disabled = !desk.model.done.length;
    redo.disabled = !desk.model.undone.length;
    undo.title = desk.model.done.length ? `Undo: ${desk.model.done[desk.model.done.length - 1].words} (Ctrl+Z)` : "Nothing to undo";
  };
  desk.on("tool", show);
  desk.on("data", show);
  show();
  return h("div", { class: "draw-tools", role: "toolbar", "aria-label": "Tools" },
    h("div", { class: "draw-group", role: "group", "aria-label": "what a press does" }, tools),
    desk.may && h("div", { class: "draw-group", role: "group", "aria-label": "steps" }, undo, redo), h("div", { class: "draw-group", role: "group", "aria-label": "view" }, views));
}

/** What the tool needs, and the place typed as numbers. @param {HTMLElement} root @param {Desk} desk @param {Tools} tools @param {import('./over.js').Over} over @param {HTMLElement} hint */
export function optionBar(root, desk, tools, over, hint) {
  tools.onEdge = (edge) => void foldForm(desk, edge);
  const unit = () => desk.units.lengthWord;
  const wetness = picker(WETNESS_WORDS, desk.options.wetness);
  wetness.addEventListener("change", () => {
    desk.set({ wetness: wetness.value });
    if (desk.tool === "wet" && over.stretch) void wetten(desk, over, over.stretch);
  });
  const diameter = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", value: desk.options.diameter, input: () => desk.set({ diameter: diameter.value }) });
  const check = (/** @type {"snap" | "grid" | "freehand"} */ name, /** @type {string} */ words) => {
    const box = h("input", { type: "checkbox", checked: desk.options[name], "data-option": name, change: () => desk.set({ [name]: box.checked }) });
    return h("label", { class: "tick" }, box, words);
  };
  const step = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "aria-label": "step of the grid", value: String(desk.options.step), class: "draw-short" });
  step.addEventListener("change", () => {
    const { value } = readNumber(step.value);
    if (value !== null && value >= 0.001) desk.set({ step: value });
    step.value = String(desk.options.step);
  });
  const snap = check("snap", "snap");
  const grid = check("grid", "grid");
  const freehand = check("freehand", "freehand");
  const show = () => {
    const { tool } = desk;
    const draws = isLine(tool) || tool === "carry" || tool === "honeycomb" || tool === "opening_shape";
    const wets = ["station", "wet", "tie_hole", "penetration", "honeycomb"].includes(tool);
    const typed = draws || isRound(tool) || tool === "opening";
    const grids = h("span", { class: "draw-grid-step" }, grid, step, h("span", { class: "small" }, unit()));
    fill(hint, desk.face ? HINTS[tool] ?? "" : "Make a face first, or drop a survey file on the drawing.");
    fill(root, wets && field("wetness", wetness), isRound(tool) && field(`diameter, ${desk.units.sizeWord}`, diameter), (draws && tool !== "opening_shape") && freehand,
      typed && placeForm(desk, tools), draws && penButtons(tools), desk.may && snap, desk.may && grids);
  };
  desk.on("tool", show);
  desk.on("face", show);
  desk.on("data", () => {
    if (!root.contains(document.activeElement)) show();
  });
  show();
}

/** @param {Tools} tools */
function penButtons(tools) {
  return h("span", { class: "row" }, button("Finish", () => tools.finish(), { "data-pen": "finish" }), button("Last point back", () => tools.pen?.removeLastPoint(), { "data-pen": "back" }));
}

/** @param {Desk} desk @param {Tools} tools */
function placeForm(desk, tools) {
  const unit = desk.units.lengthWord;
  const u = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "data-place": "u", "aria-label": `u, ${unit}`, class: "draw-short" });
  const v = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "data-place": "v", "aria-label": `v, ${unit}`, class: "draw-short" });
  const put = (/** @type {Event} */ event) => {
    event.preventDefault();
    const [a, b] = [readNumber(u.value), readNumber(v.value)];
    const fault = a.fault || b.fault;
    if (fault) return desk.ctx.say(fault);
    if (a.value === null || b.value === null) return tools.finish();
    tools.put([a.value, b.value]);
    u.value = v.value = "";
    return u.focus();
  };
  return h("form", { class: "draw-place", submit: put, "aria-label": "a point by numbers" }, h("span", { class: "small" }, "u"), u, h("span", { class: "small" }, "v"), v,
    h("button", { type: "submit", class: "button", "data-place": "put" }, "Put point"));
}
