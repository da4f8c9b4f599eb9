/** The survey by drawing: faces, drawing and sheet, held together by one desk. */
import Overlay from "ol/Overlay.js";
import { may } from "../api.js";
import { fill, h } from "../dom.js";
import { Board, neighbours } from "./board.js";
import { Desk } from "./desk.js";
import { choose } from "./dialog.js";
import { differences } from "./differ.js";
import { arrow, faceList, side } from "./faces.js";
import { dropping, fileBar } from "./files.js";
import { inHand, Keys } from "./keys.js";
import { legend } from "./legend.js";
import { Model } from "./model.js";
import { Over } from "./over.js";
import { Photo } from "./photo.js";
import { Sheet } from "./sheet.js";
import { optionBar, toolBar } from "./toolbar.js";
import { Tools } from "./tools.js";
import { tidy } from "./number.js";
import { wireOf } from "./wire.js";

const LOOK_MS = 15000; /* how often the server is asked whether somebody else changed the survey */

/** @param {import('./model.js').Conflict} conflict @param {any} mine @param {string} fault */
function decide(conflict, mine, fault) {
  const name = conflict.what === "folds" ? "the folds" : conflict.key || "the site";
  const theirs = conflict.now === null ? `${name} is gone in their survey.` : `Theirs: ${short(conflict.now)}`;
  const both = mine !== null && conflict.now !== null;
  const lines = both ? differences(mine, conflict.now) : [mine === null ? `Yours: ${name} removed.` : `Yours: ${short(mine)}`, theirs];
  return choose(`${name}: changed by somebody else`, [fault, ...lines],
    /** @type {['mine' | 'theirs', string][]} */ ([["mine", "Keep mine"], ["theirs", "Take theirs"]]));
}

/** An object in some words. @param {any} object */
function short(object) {
  if (Array.isArray(object)) return `${object.length} folds`;
  if (object.parts) return `${object.kind.replace("_", " ")} with ${object.parts.flatMap((/** @type {any} */ p) => p.points).length} points, ${object.stations?.length ?? 0} stations, ${object.flows?.length ?? 0} flow readings${object.notes?.length ? `, “${object.notes[0]}”` : ""}`;
  if (object.outline) return `${object.name ?? object.id}, ${object.outline.length} corners, ${object.openings?.length ?? 0} openings`;
  return "as it stands there";
}

/** Where the folds lead: buttons at the middle of each edge. @param {Board} board @param {Desk} desk */
function foldButtons(board, desk) {
  /** @type {Overlay[]} */
  let shown = [];
  return () => {
    for (const overlay of shown) board.map.removeOverlay(overlay);
    const { face } = desk;
    shown = face ? neighbours(desk.model.survey.folds, face.id).map(({ edge, to }) => {
      const where = side(edge, face.outline);
      const element = h("button", { type: "button", class: `draw-over-fold ${where}`, "aria-label": `over the fold at the ${where} to face ${to}`, click: () => desk.openFace(to) }, `${arrow(where)} ${to}`);
      const positioning = /** @type {const} */ ({ left: "center-right", right: "center-left", foot: "top-center", top: "bottom-center" });
      return new Overlay({ element, position: [(edge[0][0] + edge[1][0]) / 2, (edge[0][1] + edge[1][1]) / 2], positioning: positioning[/** @type {keyof typeof positioning} */ (where)] });
    }) : [];
    for (const overlay of shown) board.map.addOverlay(overlay);
  };
}

/** A bar of a round length. @param {Board} board @param {Desk} desk */
function scaleBar(board, desk) {
  const words = h("span", null);
  const bar = h("div", { class: "draw-scale", "aria-hidden": "true", hidden: true }, words);
  board.view.on("change:resolution", () => {
    const resolution = board.view.getResolution() ?? 1;
    const about = resolution * 110;
    const power = 10 ** Math.floor(Math.log10(about));
    const length = power * (about / power >= 5 ? 5 : about / power >= 2 ? 2 : 1);
    bar.hidden = !desk.face;
    bar.style.setProperty("--px", `${length / resolution}px`);
    words.textContent = `${tidy(length)} ${desk.units.lengthWord}`;
  });
  return bar;
}

/** @param {Board} board @param {Desk} desk */
function photoSlider(board, desk) {
  const slider = h("input", { type: "range", min: 0, max: 1, step: 0.05, value: desk.options.opacity, "aria-label": "how much the photo shows" });
  slider.addEventListener("input", () => {
    desk.options.opacity = Number(slider.value);
    board.photo.setOpacity(desk.options.opacity);
  });
  const box = h("label", { class: "draw-opacity", hidden: true }, h("span", { class: "small" }, "photo"), slider);
  board.element.addEventListener("photo", () => (box.hidden = !board.hasPhoto));
  return box;
}

/** The screen's parts in their frame. */
function frame() {
  const map = h("div", { class: "draw-map", tabindex: 0, role: "application", "aria-label": "Drawing of the face", "aria-describedby": "draw-help" });
  const drawer = h("button", { type: "button", class: "draw-drawer", "aria-expanded": "true", "aria-controls": "draw-sheet" }, h("span", { class: "draw-bar" }), h("span", { class: "unseen" }, "Sheet of leaks: more or less of it"));
  return {
    map, drawer, faces: h("nav", { class: "draw-faces", "aria-label": "Faces" }), options: h("div", { class: "draw-options" }),
    sheet: h("section", { class: "draw-sheet", id: "draw-sheet", "aria-label": "Leaks of the face, as a table", tabindex: -1 }), photo: h("section", { class: "draw-photo", "aria-label": "Photo under the face", hidden: true }),
    hint: h("p", { class: "draw-hint" }), hand: h("span", { role: "status" }), place: h("span", { class: "draw-at", "aria-hidden": "true" }),
    help: h("p", { id: "draw-help", class: "unseen" }, "Arrow keys move the drawing, plus and minus zoom, 0 shows the whole face. Full stop and comma choose the next and the last leak; ] and [ its points and stations; arrows then move the point, with Shift ten times as far; Delete takes away. Page down and page up open the next face. Letters take a tool: v choose, c crack, j joint, t tie hole, p pipe, h honeycomb, s station, w wet stretch, r opening. The sheet of leaks says in words all that is drawn."),
  };
}

/** @type {import('../types.js').OpenPart} */
export async function open(root, ctx) {
  ctx.title(`Survey of ${ctx.job}`);
  const wire = wireOf(ctx);
  const model = new Model(wire, decide);
  const desk = new Desk(model, ctx, may(ctx.session.role, "estimator"));
  const f = frame();
  const screen = h("div", { class: "draw" });
  fill(root, screen);
  root.classList.add("draw-root");
  screen.appendChild(f.map);
  const board = new Board(f.map, desk, wire);
  await model.load();
  const over = new Over(board, desk);
  const tools = new Tools(board, desk, over);
  const photo = new Photo(f.photo, desk, tools, board, () => {
    f.sheet.hidden = false;
    f.map.focus();
  });
  const stage = h("div", { class: "draw-stage" }, f.map, f.hint, legend(), scaleBar(board, desk), photoSlider(board, desk), h("div", { class: "draw-foot" }, f.hand, f.place));
  const files = fileBar(desk, wire, () => {
    f.sheet.hidden = true;
    photo.open();
    if (f.photo.hidden) f.sheet.hidden = false;
  });
  const bar = toolBar(desk, board);
  bar.appendChild(files);
  fill(screen, h("h1", { class: "unseen" }, `Survey of ${ctx.job}`), f.faces, bar, h("div", { class: "draw-middle" }, f.options, stage), h("div", { class: "draw-side" }, f.drawer, f.photo, f.sheet), f.help);
  faceList(f.faces, desk);
  optionBar(f.options, desk, tools, over, f.hint);
  new Sheet(f.sheet, desk, tools);
  const keys = new Keys(f.map, desk, board, tools, (text) => (f.hand.textContent = text));
  follow(desk, board, over, tools, foldButtons(board, desk), f.hand);
  drawerOf(f.drawer, screen, desk);
  hearing(root, ctx, desk, board, f.place);
  begin(desk, board, ctx);
  return {
    close() {
      keys.settle();
      photo.close();
      board.close();
    },
  };
}

/** The drawing keeps step with the desk. @param {Desk} desk @param {Board} board @param {Over} over @param {Tools} tools @param {() => void} folds @param {HTMLElement} hand */
function follow(desk, board, over, tools, folds, hand) {
  const above = () => {
    over.show();
    tools.refresh();
    hand.textContent = inHand(desk);
  };
  const whole = () => {
    board.showFace();
    board.showLeaks();
    folds();
    above();
  };
  desk.on("face", () => {
    whole();
    board.fit();
    void board.showPhoto();
    board.element.setAttribute("aria-label", desk.face ? `Drawing of face ${desk.faceId}` : "Drawing, no face yet");
  });
  desk.on("data", () => {
    const first = !board.faceSource.getFeatures().length;
    whole();
    if (first) desk.tell("face");
  });
  desk.on("select", above);
  desk.on("handle", () => {
    board.overSource.changed();
    hand.textContent = inHand(desk);
  });
}

/** On a phone the sheet is a drawer of three heights. @param {HTMLElement} drawer @param {HTMLElement} screen @param {Desk} desk */
function drawerOf(drawer, screen, desk) {
  const heights = ["peek", "half", "tall"];
  const set = (/** @type {string} */ height) => {
    screen.dataset.drawer = height;
    drawer.setAttribute("aria-expanded", String(height !== "peek"));
  };
  drawer.addEventListener("click", () => set(heights[(heights.indexOf(screen.dataset.drawer ?? "half") + 1) % 3]));
  desk.on("select", () => set(desk.mark && screen.dataset.drawer === "peek" ? "half" : screen.dataset.drawer ?? "half"));
  desk.on("tool", () => {
    screen.dataset.hand = desk.tool;
    if (desk.tool !== "select") set("peek");
  });
  set("half");
}

/** Keys of the whole screen, the pointer's place, the theme, other people's changes. @param {HTMLElement} root @param {import('../types.js').Ctx} ctx @param {Desk} desk @param {Board} board @param {HTMLElement} place */
function hearing(root, ctx, desk, board, place) {
  const { signal } = ctx;
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || !desk.may || document.querySelector("dialog[open]")) return;
    const key = event.key.toLowerCase();
    const begun = event.target instanceof HTMLInputElement && event.target.type === "text" && event.target.value !== event.target.defaultValue;
    if (begun || (key !== "z" && key !== "y")) return;
    event.preventDefault();
    void desk.back(key === "y" || event.shiftKey ? "redo" : "undo");
  }, { signal });
  board.map.on("pointermove", (event) => {
    place.textContent = `u ${event.coordinate[0].toFixed(2)}  v ${event.coordinate[1].toFixed(2)} ${desk.units.lengthWord}`;
  });
  const themed = new MutationObserver(() => board.restyle());
  themed.observe(document.documentElement, { attributes: true, attributeFilter: ["data-theme"] });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => board.restyle(), { signal });
  dropping(root, desk);
  const look = () => void (document.hidden ? null : desk.model.load().catch(() => {}));
  const timer = setInterval(look, LOOK_MS);
  document.addEventListener("visibilitychange", look, { signal });
  const sized = new ResizeObserver(() => board.resized());
  sized.observe(board.element);
  signal.addEventListener("abort", () => {
    clearInterval(timer);
    themed.disconnect();
    sized.disconnect();
  });
}

/** The leak that the address names, else the first face. @param {Desk} desk @param {Board} board @param {import('../types.js').Ctx} ctx */
function begin(desk, board, ctx) {
  const face = ctx.query.get("face");
  const named = ctx.mark ? desk.model.defect(ctx.mark) : null;
  desk.faceId = named?.parts[0].face ?? (face && desk.model.face(face) ? face : desk.model.survey.faces[0]?.id ?? "");
  board.map.setTarget(board.element);
  desk.tell("face");
  if (named) desk.select(named.mark);
  else desk.tell("select");
  if (ctx.mark && !named) ctx.say(`${ctx.mark} is not in the survey.`);
  desk.use("select");
}
