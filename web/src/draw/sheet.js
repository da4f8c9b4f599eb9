/**
 * The sheet beside the drawing: the leaks of the face in a list, the chosen one open with its tables. It says
 * in words and numbers all that the drawing shows. Made anew when the survey changes; the cell in hand keeps
 * the cursor and what was begun in it.
 */
import { button, fill, h } from "../dom.js";
import { carryButtons } from "./carry.js";
import { leakFields, leakWords, stretchForm } from "./leakform.js";
import { enterMoves, sheetTable } from "./rows.js";
import { flowTable, openTable, pointTable, stationTable } from "./tables.js";
import { KIND_WORDS, isLine, say, wettest } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Defect} Defect */

/** One line of words for a leak. @param {Defect} defect @param {Desk} desk */
function summary(defect, desk) {
  const wet = wettest(defect);
  const n = defect.stations?.length ?? 0;
  const on = [...new Set(defect.parts.map((p) => p.face))].filter((f) => f !== desk.faceId);
  return [say(KIND_WORDS, defect.kind), wet ? `${n > 1 ? "up to " : ""}${wet}` : "nothing seen yet", isLine(defect.kind) ? `${n} station${n === 1 ? "" : "s"}` : "", on.length ? `also on ${on.join(", ")}` : ""].filter(Boolean).join(" · ");
}

export class Sheet {
  /** @param {HTMLElement} root @param {Desk} desk @param {import('./tools.js').Tools} tools */
  constructor(root, desk, tools) {
    this.root = root;
    this.desk = desk;
    this.tools = tools;
    /** @type {Map<Defect, HTMLElement>} closed rows, by the leak as it was shown */
    this.closed = new Map();
    /** @type {import('./rows.js').Keep} */
    this.keep = { drafts: new Map(), faults: new Map(), moved: null, landed: new Map(), turn: Promise.resolve(), waiting: 0, disabled: !desk.may, again: () => void setTimeout(() => this.show()) }; /* later: the cursor is on its way to the next cell */
    this.editor = h("div", { class: "draw-editor stack tight" });
    /** Making the rows anew takes the cell in hand away, which the browser may call a change. */
    this.making = false;
    root.addEventListener("change", (event) => this.making && event.stopPropagation(), { capture: true });
    root.addEventListener("keydown", enterMoves);
    desk.on("face", () => this.forget());
    desk.on("select", () => this.forget());
    desk.on("data", () => this.show());
    desk.on("handle", () => this.marked());
    this.show();
  }

  forget() {
    this.keep.drafts.clear();
    this.keep.faults.clear();
    this.show();
    this.root.querySelector('[aria-expanded="true"]')?.scrollIntoView({ block: "nearest" });
  }

  /** @param {Defect} defect @param {boolean} open */
  head(defect, open) {
    return h("button", { type: "button", class: "draw-leak", "data-leak": defect.mark, "aria-expanded": String(open), click: () => this.desk.select(open ? "" : defect.mark) },
      h("strong", null, defect.mark), h("span", null, summary(defect, this.desk)));
  }

  /** @param {Defect} defect */
  item(defect) {
    if (defect.mark === this.desk.mark) return h("li", { class: "open" }, this.head(defect, true), this.open(defect));
    let item = this.closed.get(defect);
    if (!item) this.closed.set(defect, (item = h("li", null, this.head(defect, false))));
    return item;
  }

  /** @param {Defect} defect */
  open(defect) {
    const { desk, keep } = this;
    const wide = isLine(defect.kind);
    fill(this.editor,
      leakFields(desk, keep, defect), sheetTable(stationTable(desk, defect), keep), wide ? stretchForm(desk, keep, defect) : null,
      sheetTable(flowTable(desk, defect), keep), defect.waterstop === "there" ? sheetTable(openTable(desk, defect), keep) : null,
      sheetTable(pointTable(desk, defect), keep), leakWords(desk, keep, defect),
      desk.may ? h("div", { class: "row" }, carryButtons(desk, this.tools, defect), button(`Remove ${defect.mark}`, () => void remove(desk, defect.mark), { class: "button danger" })) : null);
    return this.editor;
  }

  show() {
    const held = hold(this.root);
    const moved = this.keep.moved;
    this.keep.moved = null;
    if (held && moved && held.cell.startsWith(moved[0])) held.cell = moved[1] + held.cell.slice(moved[0].length);
    const { desk } = this;
    const leaks = desk.leaks;
    for (const defect of this.closed.keys()) if (!leaks.includes(defect)) this.closed.delete(defect);
    const top = this.root.scrollTop;
    this.making = true;
    const title = desk.face ? `Leaks on face ${desk.faceId}: ${leaks.length}` : "Leaks";
    fill(this.root, h("h2", { class: "small" }, title), leaks.length ? h("ol", { class: "draw-leaks" }, leaks.map((d) => this.item(d)))
      : h("p", { class: "muted small" }, desk.face ? "None drawn yet: take a tool and draw on the face." : ""));
    this.making = false;
    this.root.scrollTop = top;
    release(this.root, held);
    const wanted = this.root.dataset.want?.split("\n") ?? [];
    delete this.root.dataset.want;
    const cell = wanted.map((name) => this.root.querySelector(`[data-cell="${CSS.escape(name)}"]`)).find((found) => found);
    if (cell instanceof HTMLElement) cell.focus();
  }

  /** The row of the point or station that the drawing has in hand. */
  marked() {
    const { handle, defect } = this.desk;
    for (const row of this.root.querySelectorAll("tr.taken")) row.classList.remove("taken");
    if (!handle || !defect) return;
    const at = handle.type === "station" ? handle.index : defect.parts.slice(0, handle.part).reduce((n, p) => n + p.points.length, 0) + handle.index;
    const row = this.root.querySelector(`tr[data-row="${handle.type === "station" ? "stations" : "points"}.${at}"]`);
    row?.classList.add("taken");
    if (!this.root.contains(document.activeElement)) row?.scrollIntoView({ block: "nearest" });
  }
}

/** @param {Desk} desk @param {string} mark */
export async function remove(desk, mark) {
  if (await desk.draw(`${mark} removed`, () => [{ what: "defect", key: mark, after: null }])) desk.ctx.say(`${mark} removed. Undo brings it back.`);
}

/** @typedef {{cell: string, leak: string, value: string | null, from: number | null, to: number | null} | null} Held */

/** The cell in hand, with what was begun in it. @param {HTMLElement} root @returns {Held} */
function hold(root) {
  const at = document.activeElement;
  if (!(at instanceof HTMLElement) || !root.contains(at)) return null;
  const begun = (at instanceof HTMLInputElement && at.type === "text" || at instanceof HTMLTextAreaElement) && at.value !== at.defaultValue ? at.value : null;
  const text = at instanceof HTMLInputElement && at.type === "text";
  return { cell: at.dataset.cell ?? "", leak: at.dataset.leak ?? "", value: begun, from: text ? at.selectionStart : null, to: text ? at.selectionEnd : null };
}

/** @param {HTMLElement} root @param {Held} held */
function release(root, held) {
  for (const input of root.querySelectorAll("input[type=text], textarea")) /** @type {any} */ (input).defaultValue = /** @type {any} */ (input).value;
  if (!held) return;
  const at = held.cell ? root.querySelector(`[data-cell="${CSS.escape(held.cell)}"]`) : held.leak ? root.querySelector(`[data-leak="${CSS.escape(held.leak)}"]`) : null;
  if (!(at instanceof HTMLElement)) return;
  at.focus({ preventScroll: true });
  if (held.value !== null) begun(/** @type {HTMLInputElement} */ (at), held.value);
  if (at instanceof HTMLInputElement && at.type === "text") at.setSelectionRange(held.from, held.to);
}

/** What was begun stands again; a browser that takes it for unchanged is told when the cell is left. @param {HTMLInputElement} input @param {string} value */
function begun(input, value) {
  input.value = value;
  let told = false;
  input.addEventListener("change", () => (told = true), { once: true, capture: true });
  input.addEventListener("blur", () => {
    if (!told && input.isConnected && input.value !== input.defaultValue) input.dispatchEvent(new Event("change", { bubbles: true }));
  }, { once: true });
}
