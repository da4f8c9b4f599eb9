/** The drawing by keyboard alone: leaks, points, stations, moves, zoom. */
import { leastPoints, moveStation, withList, withPoints, withRow } from "./edits.js";
import { tidy, tidyPlace } from "./number.js";
import { remove } from "./sheet.js";
import { TOOLS } from "./toolbar.js";
import { placeAt } from "./trace.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Handle} Handle */

const STEP = 0.01; /* units: what an arrow moves a point; ten times with Shift, the grid's step when it is on */
const REST_MS = 500; /* moves in a row are one step to undo */
const MOVES = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] });

export class Keys {
  /** @param {HTMLElement} element @param {Desk} desk @param {import('./board.js').Board} board @param {import('./tools.js').Tools} tools @param {(text: string) => void} tell */
  constructor(element, desk, board, tools, tell) {
    this.desk = desk;
    this.board = board;
    this.tools = tools;
    this.tell = tell;
    /** @type {{mark: string, before: any, timer: any} | null} moves not sent yet */
    this.moving = null;
    element.addEventListener("keydown", (event) => this.press(event));
    element.addEventListener("blur", () => this.settle());
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const done = this.pen(event) || this.moves(event) || this.walks(event) || this.tool(event);
    if (!done) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @param {KeyboardEvent} event */
  pen(event) {
    const { pen } = this.tools;
    if (event.key === "Escape") return this.escape();
    if (!pen) return false;
    if (event.key === "Enter") return (this.tools.finish(), true);
    if (event.key === "Backspace") return (pen.removeLastPoint(), true);
    return false;
  }

  escape() {
    if (this.tools.picking) this.tools.picking = null;
    else if (this.desk.tool !== "select") this.desk.use("select");
    else if (this.desk.handle) this.desk.take(null);
    else this.desk.select("");
    return true;
  }

  /** @param {KeyboardEvent} event */
  moves(event) {
    const way = MOVES[event.key];
    if (way && this.desk.handle && this.desk.may) return (this.nudge(way, event.shiftKey ? 10 : 1), true);
    if (way) return (this.board.pan(way[0] * 0.15, way[1] * 0.15), true);
    if (event.key === "Delete" && this.desk.may) return (this.erase(), true);
    return false;
  }

  /** @param {KeyboardEvent} event */
  walks(event) {
    const { desk } = this;
    if (event.key === "." || event.key === ",") return this.nextLeak(event.key === "." ? 1 : -1);
    if (event.key === "]" || event.key === "[") return this.nextHandle(event.key === "]" ? 1 : -1);
    if (event.key === "PageDown" || event.key === "PageUp") return this.nextFace(event.key === "PageDown" ? 1 : -1);
    if (event.key === "+" || event.key === "=") return (this.board.zoom(1.5), true);
    if (event.key === "-") return (this.board.zoom(1 / 1.5), true);
    if (event.key === "0") return (this.board.fit(150), true);
    void desk;
    return false;
  }

  /** @param {KeyboardEvent} event */
  tool(event) {
    const row = TOOLS.find((t) => t[2] === event.key);
    if (!row || !this.desk.may) return false;
    this.desk.use(row[0]);
    this.tell(row[1]);
    return true;
  }

  /** @template T @param {T[]} list @param {number} at @param {number} by @returns {T | undefined} */
  next(list, at, by) {
    return list[(at < 0 && by < 0 ? list.length - 1 : at + by + list.length) % list.length];
  }

  /** @param {number} by */
  nextFace(by) {
    const { faces } = this.desk.model.survey;
    const face = this.next(faces, faces.findIndex((f) => f.id === this.desk.faceId), by);
    if (face) this.desk.openFace(face.id);
    return true;
  }

  /** @param {number} by */
  nextLeak(by) {
    const leak = this.next(this.desk.leaks, this.desk.leaks.findIndex((d) => d.mark === this.desk.mark), by);
    if (leak) this.desk.select(leak.mark);
    return true;
  }

  /** Points and then stations of the chosen leak. @returns {Handle[]} */
  handles() {
    const d = this.desk.defect;
    if (!d) return [];
    const points = d.parts.flatMap((p, part) => (p.face === this.desk.faceId ? p.points.map((_, index) => /** @type {Handle} */ ({ type: "vertex", part, index })) : []));
    return [...points, ...(d.stations ?? []).map((_, index) => /** @type {Handle} */ ({ type: "station", index }))];
  }

  /** @param {number} by */
  nextHandle(by) {
    this.settle();
    const all = this.handles();
    const handle = this.next(all, all.findIndex((x) => JSON.stringify(x) === JSON.stringify(this.desk.handle)), by);
    if (handle) this.desk.take(handle);
    return true;
  }

  /** @param {[number, number]} way @param {number} times */
  nudge(way, times) {
    const { desk } = this;
    const { defect, handle } = desk;
    if (!defect || !handle) return;
    const step = (desk.options.grid ? desk.options.step : STEP) * times;
    const after = handle.type === "vertex" ? this.shift(defect, handle, way, step) : this.slide(defect, handle.index, way, step);
    if (this.moving?.mark !== defect.mark) this.settle();
    clearTimeout(this.moving?.timer);
    this.moving = { mark: defect.mark, before: this.moving?.before ?? defect, timer: setTimeout(() => this.settle(), REST_MS) };
    desk.model.put("defect", defect.mark, after, desk.model.hash("defect", defect.mark));
    const slid = handle.type === "station" ? desk.handle : handle;
    desk.tell("data");
    desk.handle = slid;
    desk.tell("handle");
  }

  /** @param {import('./types.js').Defect} defect @param {Extract<Handle, {type: "vertex"}>} handle @param {[number, number]} way @param {number} step */
  shift(defect, handle, way, step) {
    const points = [...defect.parts[handle.part].points];
    const at = points[handle.index];
    points[handle.index] = tidyPlace([at[0] + way[0] * step, at[1] + way[1] * step]);
    return withPoints(defect, handle.part, points);
  }

  /** Right and up lead on along the line. @param {import('./types.js').Defect} defect @param {number} index @param {[number, number]} way @param {number} step */
  slide(defect, index, way, step) {
    const key = "chainage" + this.desk.units.length;
    const to = (defect.stations?.[index]?.[key] ?? 0) + (way[0] + way[1]) * step;
    const after = moveStation(defect, index, to, this.desk.units);
    const now = tidy(Math.max(to, 0));
    const found = (after.stations ?? []).findIndex((s) => s[key] === now);
    if (found >= 0) this.desk.handle = { type: "station", index: found };
    return after;
  }

  /** Moves in a row go to the server as one step. */
  settle() {
    const { moving, desk } = this;
    if (!moving) return;
    clearTimeout(moving.timer);
    this.moving = null;
    const after = desk.model.defect(moving.mark);
    const handle = desk.handle;
    desk.model.put("defect", moving.mark, moving.before, desk.model.hash("defect", moving.mark));
    void desk.draw(`${moving.mark} moved`, desk.editing(moving.mark, () => after)).then(() => desk.take(handle));
  }

  erase() {
    const { desk } = this;
    const { defect, handle } = desk;
    if (!defect) return;
    if (!handle) return void remove(desk, defect.mark);
    if (handle.type === "station")
      return void desk.draw(`station of ${defect.mark} removed`, desk.editing(defect.mark, (d) => withList(d, "stations", withRow(d.stations, handle.index, null))));
    const { points } = defect.parts[handle.part];
    if (points.length <= leastPoints(defect.kind)) return desk.ctx.say(`${defect.mark} needs its points: take the whole leak away instead.`);
    return void desk.draw(`point of ${defect.mark} removed`, desk.editing(defect.mark, (d) => withPoints(d, handle.part, points.filter((_, i) => i !== handle.index))));
  }
}

/** What is in hand, in words. @param {Desk} desk */
export function inHand(desk) {
  const { defect, handle } = desk;
  const unit = desk.units.lengthWord;
  if (!defect) return desk.face ? `face ${desk.faceId}` : "";
  if (!handle) return `${defect.mark} chosen`;
  if (handle.type === "vertex") {
    const { points } = defect.parts[handle.part];
    return `${defect.mark}: point ${handle.index + 1} of ${points.length} at u ${points[handle.index][0]}, v ${points[handle.index][1]} ${unit}`;
  }
  const station = defect.stations?.[handle.index];
  const chainage = station?.["chainage" + desk.units.length] ?? 0;
  const { at } = placeAt(defect, chainage);
  return `${defect.mark}: station ${handle.index + 1} at ${chainage} ${unit}, ${station?.wetness}, at u ${tidy(at[0])}, v ${tidy(at[1])}`;
}
