/** Colours, strokes and shapes of the drawing, read from the style sheet once a theme; shared by all features. */
import CircleStyle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import { LETTERS, WETNESS } from "./terms.js";

/** Width and dashes, px: each wetness reads without its colour. @type {Record<string, {width: number, dash?: number[]}>} */
const LINES = {
  dry: { width: 1.5, dash: [2, 5] },
  damp: { width: 2, dash: [5, 4] },
  seep: { width: 2.5, dash: [12, 5] },
  drip: { width: 3, dash: [14, 4, 2, 4] },
  run: { width: 3.5 },
  jet: { width: 6 },
  "": { width: 1.5 },
};
const NAMES = ["paper", "concrete", "edge", "opening", "fold", "joint", "ink", "accent", "halo", "label", "grid", "snap",
  "wet-dry", "wet-damp", "wet-seep", "wet-drip", "wet-run", "wet-jet"];

/** @typedef {ReturnType<typeof makeInks>} Inks */

/** @param {Element} root where the style sheet sets --draw-* */
function colours(root) {
  const style = getComputedStyle(root);
  return Object.fromEntries(NAMES.map((name) => [name, style.getPropertyValue("--draw-" + name).trim() || "#888"]));
}

/** Stone pockets: dots, so that an area does not read as an opening. @param {string} colour */
function dotted(colour) {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 10;
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  pen.fillStyle = colour;
  for (const [x, y] of [[2, 2], [7, 7]]) {
    pen.beginPath();
    pen.arc(x, y, 1.4, 0, 7);
    pen.fill();
  }
  return /** @type {CanvasPattern} */ (pen.createPattern(canvas, "repeat"));
}

/** @param {Element} root */
export function makeInks(root) {
  const c = colours(root);
  const font = "system-ui, 'DejaVu Sans', sans-serif";
  const paper = new Fill({ color: c.paper });
  const ink = new Fill({ color: c.ink });
  const colourOf = (/** @type {string} */ wetness) => c["wet-" + wetness] ?? c.ink;
  const strokes = Object.fromEntries([...WETNESS, ""].map((w) => [w,
    new Stroke({ color: colourOf(w), width: LINES[w].width, lineDash: LINES[w].dash, lineCap: "butt" })]));
  const letters = Object.fromEntries(WETNESS.map((w) => [w,
    new Text({ text: LETTERS[w], font: `600 11px ${font}`, fill: new Fill({ color: c.ink }), stroke: new Stroke({ color: c.paper, width: 4 }), offsetX: 10, offsetY: -8 })]));
  const holes = Object.fromEntries([...WETNESS, ""].map((w) => [w, new CircleStyle({ radius: 7, fill: paper, stroke: strokes[w], declutterMode: "none" })]));
  const pipes = Object.fromEntries([...WETNESS, ""].map((w) => [w,
    new RegularShape({ points: 6, radius: 10, fill: paper, stroke: strokes[w], declutterMode: "none" })]));
  const pockets = Object.fromEntries([...WETNESS, ""].map((w) => [w, new Fill({ color: dotted(colourOf(w)) })]));
  return {
    c, strokes, letters, holes, pipes, pockets,
    casing: new Stroke({ color: c.paper, width: 7 }),
    joint: new Stroke({ color: c.joint, width: 9 }),
    /** @param {string} mark */
    label: (mark) => new Text({
      text: mark, font: `600 12px ${font}`, fill: ink, backgroundFill: new Fill({ color: c.label }),
      backgroundStroke: new Stroke({ color: c.ink, width: 1 }), padding: [2, 3, 1, 4], offsetX: -18, offsetY: 18,
    }),
    /** @param {string} text */
    note: (text) => new Text({ text, font: `11px ${font}`, fill: ink, stroke: new Stroke({ color: c.paper, width: 4 }), textAlign: "right", offsetX: -12 }),
    concrete: new Style({ fill: new Fill({ color: c.concrete }) }),
    outline: new Style({ stroke: new Stroke({ color: c.edge, width: 2 }) }),
    opening: new Style({ stroke: new Stroke({ color: c.opening, width: 1.5 }) }),
    cross: new Stroke({ color: c.opening, width: 1 }),
    fold: new Style({ stroke: new Stroke({ color: c.fold, width: 4, lineDash: [14, 4, 3, 4] }) }),
    halo: new Stroke({ color: c.halo, width: 14 }),
    ring: new Style({ stroke: new Stroke({ color: c.accent, width: 3 }) }),
    corner: new RegularShape({ points: 4, angle: Math.PI / 4, radius: 7, fill: paper, stroke: new Stroke({ color: c.accent, width: 2 }) }),
    cornerTaken: new RegularShape({ points: 4, angle: Math.PI / 4, radius: 10, fill: new Fill({ color: c.accent }), stroke: new Stroke({ color: c.paper, width: 2 }) }),
    station: new CircleStyle({ radius: 6, fill: paper, stroke: new Stroke({ color: c.ink, width: 2 }) }),
    stationTaken: new CircleStyle({ radius: 9, fill: new Fill({ color: c.accent }), stroke: new Stroke({ color: c.paper, width: 2 }) }),
    grip: new CircleStyle({ radius: 10, fill: new Fill({ color: c.label }), stroke: new Stroke({ color: c.accent, width: 4 }) }),
    stretch: new Style({ stroke: new Stroke({ color: c.halo, width: 24, lineCap: "butt" }), zIndex: 3 }),
  };
}
