/**
 * A photo or scanned sketch laid under the face by four points: each pressed on the picture and then said on
 * the face, by number or by pressing the drawing. The server straightens the picture.
 */
import { button, field, fill, h } from "../dom.js";
import { readNumber, tidy } from "./number.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Place} Place */
/** @typedef {{x: number | null, y: number | null, u: number | null, v: number | null}} Pair */

/** Corners of the box round the outline, from the foot left, against the clock. @param {Place[]} outline @returns {Place[]} */
function corners(outline) {
  const us = outline.map((p) => p[0]);
  const vs = outline.map((p) => p[1]);
  const [left, right, foot, top] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
  return [[left, foot], [right, foot], [right, top], [left, top]];
}

export class Photo {
  /** @param {HTMLElement} root @param {Desk} desk @param {import('./tools.js').Tools} tools @param {import('./board.js').Board} board @param {() => void} close */
  constructor(root, desk, tools, board, close) {
    this.root = root;
    this.desk = desk;
    this.tools = tools;
    this.board = board;
    this.closing = close;
    /** @type {File | null} */
    this.file = null;
    this.url = "";
    /** @type {Pair[]} */
    this.pairs = [];
    this.at = 0;
    this.fault = "";
  }

  open() {
    const { face } = this.desk;
    if (!face) return this.desk.ctx.say("Open a face first: a photo lies under one face.");
    this.pairs = corners(face.outline).map(([u, v]) => ({ x: null, y: null, u, v }));
    this.at = 0;
    this.fault = "";
    this.root.hidden = false;
    this.tools.picking = (place) => this.said(place);
    this.show();
    return /** @type {HTMLElement | null} */ (this.root.querySelector("input, button"))?.focus();
  }

  close() {
    if (this.url) URL.revokeObjectURL(this.url);
    this.url = "";
    this.file = null;
    this.root.hidden = true;
    this.tools.picking = null;
    this.closing();
  }

  /** @param {Place} place */
  said(place) {
    [this.pairs[this.at].u, this.pairs[this.at].v] = place;
    this.show();
  }

  /** @param {number} x @param {number} y */
  pressed(x, y) {
    [this.pairs[this.at].x, this.pairs[this.at].y] = [tidy(x), tidy(y)];
    const next = this.pairs.findIndex((p) => p.x === null);
    if (next >= 0) this.at = next;
    this.show();
  }

  show() {
    const choose = h("input", { type: "file", accept: "image/jpeg,image/png" });
    choose.addEventListener("change", () => {
      this.file = choose.files?.[0] ?? null;
      if (this.url) URL.revokeObjectURL(this.url);
      this.url = this.file ? URL.createObjectURL(this.file) : "";
      this.show();
    });
    const rows = this.pairs.map((_, i) => this.row(i));
    fill(this.root, h("h2", { class: "small" }, `Photo under face ${this.desk.faceId}`),
      h("p", { class: "hint" }, "Press a point on the picture, then say where it lies on the face: type u and v, or press the drawing. Four points, far apart."),
      field("picture, JPEG or PNG", choose), this.url ? this.picture() : null,
      h("div", { class: "frame draw-rows" }, h("table", null, h("caption", { class: "unseen" }, "The four points"), h("thead", null, h("tr", null, ["#", "x on the picture, 0 to 1", "y from the top, 0 to 1", `u, ${this.desk.units.lengthWord}`, `v, ${this.desk.units.lengthWord}`].map((t) => h("th", { scope: "col" }, t)))), h("tbody", null, rows))),
      this.fault ? h("p", { class: "draw-fault", role: "alert" }, this.fault) : null,
      h("div", { class: "row end" }, button("Cancel", () => this.close()), button("Lay it under", () => void this.send(), { class: "button main" })));
  }

  picture() {
    const image = h("img", { src: this.url, alt: "the picture to lay under", draggable: "false" });
    const points = this.pairs.map((p, i) => {
      if (p.x === null || p.y === null) return null;
      const dot = h("span", { class: i === this.at ? "draw-dot taken" : "draw-dot" }, String(i + 1));
      dot.style.setProperty("--x", `${p.x * 100}%`);
      dot.style.setProperty("--y", `${p.y * 100}%`);
      return dot;
    });
    const frame = h("div", { class: "draw-picture" }, image, points);
    frame.addEventListener("click", (event) => {
      const box = image.getBoundingClientRect();
      this.pressed((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
    });
    return frame;
  }

  /** @param {number} i */
  row(i) {
    const cell = (/** @type {keyof Pair} */ member, /** @type {string} */ words) => {
      const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "aria-label": `point ${i + 1}: ${words}`, "data-point": `${i}.${member}`, value: this.pairs[i][member] ?? "" });
      input.addEventListener("focus", () => (this.at = i));
      input.addEventListener("change", () => (this.pairs[i][member] = readNumber(input.value).value));
      return h("td", null, input);
    };
    const take = button(String(i + 1), () => {
      this.at = i;
      this.show();
    }, { class: i === this.at ? "button main" : "button", "aria-pressed": String(i === this.at), "aria-label": `point ${i + 1} in hand` });
    return h("tr", null, h("th", { scope: "row" }, take), cell("x", "x on the picture"), cell("y", "y on the picture"), cell("u", "u on the face"), cell("v", "v on the face"));
  }

  async send() {
    const { desk, file } = this;
    const whole = this.pairs.every((p) => Object.values(p).every((x) => typeof x === "number"));
    this.fault = !file ? "Choose a picture first." : whole ? "" : "Each of the four points needs x, y, u and v.";
    if (this.fault || !file) return this.show();
    try {
      await desk.model.queue(() => this.board.wire.underlay(desk.faceId, this.pairs.map((p) => [p.x ?? 0, p.y ?? 0]), this.pairs.map((p) => [p.u ?? 0, p.v ?? 0]), file));
      await desk.model.load();
      await this.board.showPhoto(true);
      desk.ctx.say(`The picture lies under face ${desk.faceId}.`);
      return this.close();
    } catch (error) {
      this.fault = error instanceof Error ? error.message : String(error);
      return this.show();
    }
  }
}
