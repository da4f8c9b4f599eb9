/** The tools: what a press on the drawing does. One is in hand at a time; changing it takes its gestures away. */
import Collection from "ol/Collection.js";
import Draw, { createBox } from "ol/interaction/Draw.js";
import Modify from "ol/interaction/Modify.js";
import { altKeyOnly, singleClick } from "ol/events/condition.js";
import { addStation, nextMark, withPoints } from "./edits.js";
import { reachPx, stationDrag, wetDrag } from "./gestures.js";
import { readNumber, tidyPlace } from "./number.js";
import { gridSnap, snapSource, snapTo } from "./snapping.js";
import { isLine, isRound, say, KIND_WORDS } from "./terms.js";
import { chainageOf, nearestAlong } from "./trace.js";

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./over.js').Over} Over */
/** @typedef {import('./types.js').Place} Place */
/** @typedef {import('./types.js').Defect} Defect */

/** What each drawing tool makes. @type {Record<string, "LineString" | "Point" | "Polygon" | "Circle">} */
const SHAPES = {
  crack: "LineString", joint: "LineString", carry: "LineString", tie_hole: "Point", penetration: "Point",
  honeycomb: "Polygon", opening: "Circle", opening_shape: "Polygon",
};
const THIN_PX = 3; /* points of a freehand line closer to its course than this are left out */

export class Tools {
  /** @param {Board} board @param {Desk} desk @param {Over} over */
  constructor(board, desk, over) {
    this.board = board;
    this.desk = desk;
    this.over = over;
    this.snaps = snapSource(board, desk);
    /** @type {any[]} */
    this.inHand = [];
    /** @type {Draw | null} */
    this.pen = null;
    /** @type {{mark: string, part: number, start: Place, fresh: boolean} | null} a line that is carried on */
    this.carried = null;
    /** @type {((place: Place) => void) | null} the next press only says where */
    this.picking = null;
    /** @type {(edge: number) => void} */
    this.onEdge = () => {};
    /** @type {Place[]} first corner of an opening that is typed */
    this.corners = [];
    this.shapes = new Collection(/** @type {any[]} */ ([]));
    board.map.on("click", (event) => this.click(event));
    desk.on("tool", () => this.take());
    desk.on("options", () => this.snapping());
  }

  /** Features above were made anew. */
  refresh() {
    this.shapes.clear();
    this.shapes.extend(this.over.shapes);
    this.snaps.fill();
  }

  take() {
    const { map } = this.board;
    this.pen?.abortDrawing();
    this.pen = null;
    for (const interaction of this.inHand) map.removeInteraction(interaction);
    const { tool } = this.desk;
    if (tool !== "wet") this.over.stretch = null;
    this.corners = [];
    this.over.outlines = tool === "outline";
    if (tool !== "fold") this.over.edge = null;
    this.over.show();
    this.refresh();
    this.inHand = [...this.gestures(tool), gridSnap(() => (this.desk.options.grid && tool !== "wet" && tool !== "station" ? this.desk.options.step : 0))];
    if (tool !== "wet" && tool !== "station") this.inHand.push(this.snap = snapTo(this.snaps.source));
    for (const interaction of this.inHand) map.addInteraction(interaction);
    this.snapping();
    if (tool === "carry" && this.carried) this.put(this.carried.start);
  }

  snapping() {
    this.snap?.setActive(this.desk.options.snap);
    this.board.grid.changed();
  }

  /** @param {string} tool @returns {any[]} */
  gestures(tool) {
    if (!this.desk.may && tool !== "select") return [];
    if (SHAPES[tool]) return [this.drawing(tool)];
    if (tool === "wet") return [wetDrag(this.board, this.desk, this.over)];
    if (tool === "outline") return [this.modifying()];
    if (tool !== "select") return [];
    return this.desk.may ? [this.modifying(), stationDrag(this.board, this.desk)] : [stationDrag(this.board, this.desk)];
  }

  /** @param {string} tool */
  drawing(tool) {
    const type = SHAPES[tool];
    const pen = new Draw({
      type, ...(type === "Circle" ? { geometryFunction: createBox() } : {}), style: () => this.penStyle(),
      freehandCondition: (event) => type !== "Circle" && this.sweeps(/** @type {PointerEvent} */ (event.originalEvent)),
    });
    pen.on("drawend", (event) => {
      const geometry = /** @type {any} */ (event.feature.getGeometry());
      const points = this.pointsOf(geometry, type);
      setTimeout(() => void this.drawn(tool, points));
    });
    for (const topic of /** @type {const} */ (["drawstart", "drawend", "drawabort"]))
      pen.on(topic, () => setTimeout(() => this.board.element.dispatchEvent(new CustomEvent("pen"))));
    this.pen = pen;
    return pen;
  }

  /** Drawn in one sweep: by pen, with Shift, or as the tick says. @param {PointerEvent} event */
  sweeps(event) {
    return event.shiftKey || event.pointerType === "pen" || this.desk.options.freehand;
  }

  penStyle() {
    const { inks } = this.board;
    return [inks.ring];
  }

  /** @param {any} geometry @param {string} type @returns {Place[]} */
  pointsOf(geometry, type) {
    if (type === "Point") return [tidyPlace(geometry.getCoordinates())];
    const thin = this.strokeMany(geometry) ? geometry.simplify(this.board.span(THIN_PX)) : geometry;
    const list = type === "LineString" ? thin.getCoordinates() : thin.getCoordinates()[0].slice(0, -1);
    const places = list.map(tidyPlace);
    return places.filter((/** @type {Place} */ p, /** @type {number} */ i) => i === 0 || p[0] !== places[i - 1][0] || p[1] !== places[i - 1][1]);
  }

  /** Was it drawn freehand: far more points than anybody clicks? @param {any} geometry */
  strokeMany(geometry) {
    const flat = geometry.getFlatCoordinates().length / 2;
    return flat > 12 && geometry.getExtent && this.length(geometry) / flat < this.board.span(20);
  }

  /** @param {any} geometry */
  length(geometry) {
    const extent = geometry.getExtent();
    return extent[2] - extent[0] + extent[3] - extent[1];
  }

  /** @param {string} tool @param {Place[]} points */
  async drawn(tool, points) {
    if (tool === "carry") return this.carriedOn(points);
    if (tool === "opening" || tool === "opening_shape") return this.addOpening(points);
    return this.addLeak(tool, points);
  }

  /** @param {string} kind @param {Place[]} points */
  async addLeak(kind, points) {
    const { desk } = this;
    if (isLine(kind) && points.length < 2) return;
    const mark = nextMark(desk.model.survey.defects, desk.faceId);
    /** @type {Defect} */
    const leak = { mark, kind, parts: [{ face: desk.faceId, points }] };
    const diameter = readNumber(desk.options.diameter);
    if (isRound(kind) && diameter.value !== null) leak["diameter" + desk.units.size] = diameter.value;
    if (!isLine(kind)) leak.stations = [{ ["chainage" + desk.units.length]: 0, wetness: desk.options.wetness, bar: "not_scanned" }];
    if (!(await desk.draw(`${say(KIND_WORDS, kind)} ${mark} drawn`, () => [{ what: "defect", key: mark, after: leak }]))) return;
    desk.select(mark);
    if (isLine(kind)) desk.use("select");
  }

  /** @param {Place[]} points */
  async addOpening(points) {
    const { desk } = this;
    const id = desk.faceId;
    const ok = await desk.draw(`opening in face ${id}`, () => {
      const face = desk.model.face(id);
      return face && [{ what: "face", key: id, after: { ...face, openings: [...(face.openings ?? []), points] } }];
    });
    if (ok) desk.use("select");
  }

  /** Go on drawing a leak, on its face or over a fold. @param {{mark: string, part: number, start: Place, fresh: boolean, face: string}} to */
  carryOn(to) {
    this.desk.openFace(to.face);
    this.carried = to;
    this.desk.use("carry");
  }

  /** @param {Place[]} points */
  async carriedOn(points) {
    const to = this.carried;
    const { desk } = this;
    this.carried = null;
    desk.use("select");
    if (!to || points.length < 2) return;
    const face = desk.faceId;
    const ok = await desk.draw(`${to.mark} carried on`, desk.editing(to.mark, (d) => to.fresh
      ? { ...d, parts: [...d.parts, { face, points }] }
      : withPoints(d, to.part, [...d.parts[to.part].points, ...points.slice(1)])));
    if (ok) desk.select(to.mark);
  }

  /** A point given by numbers. @param {Place} place */
  put(place) {
    const { tool } = this.desk;
    if (SHAPES[tool] === "Point") return void this.drawn(tool, [place]);
    if (tool !== "opening") return this.pen?.appendCoordinates([place]);
    const corner = this.corners.pop();
    if (!corner) return void this.corners.push(place);
    return void this.addOpening([corner, [place[0], corner[1]], place, [corner[0], place[1]]]);
  }

  /** The line or area ends with the points that were set. */
  finish() {
    this.pen?.finishDrawing();
  }

  modifying() {
    const modify = new Modify({
      features: this.shapes, pixelTolerance: 12,
      deleteCondition: (event) => altKeyOnly(event) && singleClick(event),
      style: () => [this.board.inks.ring],
    });
    modify.on("modifystart", (event) => event.features.forEach((f) => f.set("moved", true)));
    modify.on("modifyend", (event) => {
      const feature = event.features.getArray().find((f) => f.getRevision() > 0);
      if (feature) void this.modified(/** @type {any} */ (feature));
    });
    return modify;
  }

  /** @param {any} feature */
  async modified(feature) {
    const { desk } = this;
    const geometry = feature.getGeometry();
    const type = geometry.getType();
    const list = type === "Point" ? [geometry.getCoordinates()] : type === "Polygon" ? geometry.getCoordinates()[0].slice(0, -1) : geometry.getCoordinates();
    const ring = feature.get("ring");
    if (ring !== undefined) return this.outlined(ring, list.map(tidyPlace));
    const part = feature.get("part");
    const { mark } = feature.get("defect");
    return desk.draw(`${mark} reshaped`, desk.editing(mark, (d) => withPoints(d, part, list)));
  }

  /** @param {number} ring 0: the outline @param {Place[]} points */
  outlined(ring, points) {
    const { desk } = this;
    const id = desk.faceId;
    return desk.draw(`outline of face ${id} changed`, () => {
      const face = desk.model.face(id);
      if (!face) return null;
      const openings = (face.openings ?? []).map((o, i) => (i === ring - 1 ? points : o));
      return [{ what: "face", key: id, after: ring === 0 ? { ...face, outline: points } : { ...face, openings } }];
    });
  }

  /** The leak under the finger: lines and places before areas. @param {any} event @param {(d: Defect) => boolean} [wanted] */
  under(event, wanted = () => true) {
    const reach = this.board.span(reachPx(event));
    let best = "";
    let least = Infinity;
    for (const feature of this.board.leakSource.getFeatures()) {
      const defect = feature.get("defect");
      if (!wanted(defect)) continue;
      const at = /** @type {any} */ (feature.getGeometry()).getClosestPoint(event.coordinate);
      const away = Math.hypot(at[0] - event.coordinate[0], at[1] - event.coordinate[1]) + (defect.kind === "honeycomb" ? reach / 2 : 0);
      if (away <= reach && away < least) [best, least] = [defect.mark, away];
    }
    return best;
  }

  /** The point of the chosen leak under the finger. @param {any} event @returns {import('./types.js').Handle | null} */
  corner(event) {
    const reach = this.board.span(reachPx(event));
    const defect = this.desk.defect;
    for (const [part, p] of (defect?.parts ?? []).entries()) {
      if (p.face !== this.desk.faceId) continue;
      const index = p.points.findIndex((at) => Math.hypot(at[0] - event.coordinate[0], at[1] - event.coordinate[1]) <= reach);
      if (index >= 0) return { type: "vertex", part, index };
    }
    return null;
  }

  /** @param {any} event */
  click(event) {
    const { desk } = this;
    if (this.picking) return this.picking(tidyPlace(event.coordinate));
    if (desk.tool === "station") return this.clickStation(event);
    if (desk.tool === "fold") return this.clickEdge(event);
    if (desk.tool === "wet" && !this.over.stretch) return desk.select(this.under(event, (d) => isLine(d.kind)) || desk.mark);
    if (desk.tool !== "select") return;
    if (desk.handle?.type === "station" && this.overStation(event)) return;
    const corner = this.corner(event);
    if (corner) return desk.take(corner);
    const mark = this.under(event);
    if (mark) desk.select(mark);
    else desk.select("");
  }

  /** @param {any} event */
  overStation(event) {
    const d = this.desk.defect;
    const station = d?.stations?.[this.desk.handle?.index ?? 0];
    const at = d && station && this.desk.placeAt(d, station["chainage" + this.desk.units.length]);
    return at && Math.hypot(at[0] - event.coordinate[0], at[1] - event.coordinate[1]) <= this.board.span(reachPx(event));
  }

  /** @param {any} event */
  clickStation(event) {
    const { desk } = this;
    const near = desk.defect && isLine(desk.defect.kind) ? chainageOf(desk.defect, desk.faceId, event.coordinate) : { away: Infinity, chainage: 0 };
    const here = near.away <= this.board.span(reachPx(event));
    const mark = here ? desk.mark : this.under(event, (d) => isLine(d.kind));
    if (!mark) return desk.ctx.say("A station stands on a crack or a joint: press on its line.");
    desk.select(mark);
    const defect = /** @type {Defect} */ (desk.defect);
    const { chainage } = here ? near : chainageOf(defect, desk.faceId, event.coordinate);
    void desk.draw(`station on ${mark}`, desk.editing(mark, (d) => addStation(d, chainage, desk.options.wetness, desk.units)));
  }

  /** @param {any} event */
  clickEdge(event) {
    const face = this.desk.face;
    if (!face) return;
    let best = 0;
    let least = Infinity;
    face.outline.forEach((at, i) => {
      const { away } = nearestAlong([at, face.outline[(i + 1) % face.outline.length]], event.coordinate);
      if (away < least) [best, least] = [i, away];
    });
    this.over.edge = [face.outline[best], face.outline[(best + 1) % face.outline.length]];
    this.over.show();
    this.onEdge(best);
  }
}
