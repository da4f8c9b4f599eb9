/**
 * What is chosen, above all else: the leak with a halo, a square at each point, a circle at each station, two
 * grips at a wet stretch. The features here are the ones that are dragged; the survey is changed when the
 * finger lifts.
 */
import Feature from "ol/Feature.js";
import LineString from "ol/geom/LineString.js";
import MultiPoint from "ol/geom/MultiPoint.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import Style from "ol/style/Style.js";
import { leakFeatures } from "./leakstyle.js";
import { isLine } from "./terms.js";
import { showNumber } from "./number.js";
import { placeAt, stretchOf } from "./trace.js";

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {{mark: string, base: Defect, from: number, to: number}} Stretch */

export class Over {
  /** @param {Board} board @param {import('./desk.js').Desk} desk */
  constructor(board, desk) {
    this.board = board;
    this.desk = desk;
    /** @type {Stretch | null} */
    this.stretch = null;
    /** Drag the outline instead of the leak. */
    this.outlines = false;
    /** @type {import('./types.js').Place[] | null} an edge to show */
    this.edge = null;
    board.over.setStyle((feature) => this.style(feature));
  }

  /** @returns {Feature<any>[]} what may be dragged by its points */
  get shapes() {
    return this.board.overSource.getFeatures().filter((f) => f.get("what") === "shape");
  }

  show() {
    const source = this.board.overSource;
    source.clear();
    if (this.edge) source.addFeature(new Feature({ geometry: new LineString(this.edge), what: "edge" }));
    if (this.outlines) source.addFeatures(this.rings());
    const defect = this.desk.defect;
    if (!defect || this.outlines) return;
    const shapes = leakFeatures(defect, this.desk.faceId);
    for (const shape of shapes) shape.set("what", "shape", true);
    source.addFeatures([...shapes, ...this.stations(defect), ...this.stretchFeatures(defect)]);
  }

  rings() {
    const face = this.desk.face;
    if (!face) return [];
    return [face.outline, ...(face.openings ?? [])].map((ring, index) =>
      new Feature({ geometry: new Polygon([[...ring, ring[0]]]), what: "shape", ring: index }));
  }

  /** @param {Defect} defect */
  stations(defect) {
    if (!isLine(defect.kind)) return [];
    const key = "chainage" + this.desk.units.length;
    return (defect.stations ?? []).flatMap((station, index) => {
      const place = placeAt(defect, station[key]);
      if (defect.parts[place.part].face !== this.desk.faceId) return [];
      const note = showNumber(station[key]);
      return [new Feature({ geometry: new Point(place.at), what: "station", index, note })];
    });
  }

  /** @param {Defect} defect */
  stretchFeatures(defect) {
    const stretch = this.stretch;
    if (!stretch || stretch.mark !== defect.mark) return [];
    const here = (/** @type {number} */ part) => defect.parts[part].face === this.desk.faceId;
    const low = Math.min(stretch.from, stretch.to);
    const lines = stretchOf(defect, low, Math.max(stretch.from, stretch.to)).filter((p) => here(p.part));
    const grips = /** @type {const} */ (["from", "to"]).flatMap((end) => {
      const place = placeAt(defect, stretch[end]);
      return here(place.part) ? [new Feature({ geometry: new Point(place.at), what: "grip", end })] : [];
    });
    return [...lines.map((p) => new Feature({ geometry: new LineString(p.coordinates), what: "stretch" })), ...grips];
  }

  /** @param {any} feature @returns {Style | Style[]} */
  style(feature) {
    const { inks } = this.board;
    const what = feature.get("what");
    if (what === "station") return this.stationStyle(feature);
    if (what === "grip") return new Style({ image: inks.grip, zIndex: 9 });
    if (what === "stretch") return inks.stretch;
    if (what === "edge") return inks.ring;
    return this.shapeStyle(feature);
  }

  /** @param {any} feature */
  stationStyle(feature) {
    const { inks } = this.board;
    const taken = this.desk.handle?.type === "station" && this.desk.handle.index === feature.get("index");
    return new Style({ image: taken ? inks.stationTaken : inks.station, text: inks.note(feature.get("note")), zIndex: taken ? 8 : 7 });
  }

  /** @param {any} feature */
  shapeStyle(feature) {
    const { inks } = this.board;
    const geometry = feature.getGeometry();
    const type = geometry.getType();
    const corners = type === "Polygon" ? geometry.getCoordinates()[0].slice(0, -1) : type === "Point" ? [geometry.getCoordinates()] : geometry.getCoordinates();
    const styles = [new Style({ geometry: new MultiPoint(corners), image: inks.corner, zIndex: 6 })];
    if (type !== "Point") styles.push(new Style({ stroke: inks.halo, zIndex: 4 }));
    if (feature.get("moved") || this.outlines) styles.push(new Style({ stroke: inks.strokes[""], zIndex: 5 }));
    const handle = this.desk.handle;
    if (handle?.type === "vertex" && handle.part === feature.get("part") && corners[handle.index])
      styles.push(new Style({ geometry: new Point(corners[handle.index]), image: inks.cornerTaken, zIndex: 8 }));
    return styles;
  }
}
