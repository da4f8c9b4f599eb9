/**
 * How a leak is drawn: pieces in the pattern of their wetness with its letter, a pale band under a joint, a
 * ring for a tie hole, a hexagon for a pipe, dots in honeycomb. Styles are kept on the feature until the leak,
 * the theme or the step of zoom changes; strokes and shapes are shared.
 */
import Feature from "ol/Feature.js";
import LineString from "ol/geom/LineString.js";
import MultiLineString from "ol/geom/MultiLineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import Style from "ol/style/Style.js";
import { isLine, isRound, wettest } from "./terms.js";
import { wetPieces } from "./trace.js";

/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {import('./inks.js').Inks} Inks */
/** @typedef {import('./trace.js').Piece} Piece */

const LETTER_PX = 34; /* a piece shorter than this on the screen has no room for its letter */

/** @param {Defect} defect @param {number} part */
export function geometryOf(defect, part) {
  const { points } = defect.parts[part];
  if (isLine(defect.kind)) return new LineString(points);
  return defect.kind === "honeycomb" ? new Polygon([[...points, points[0]]]) : new Point(points[0]);
}

/** One feature a part on the face. @param {Defect} defect @param {string} face */
export function leakFeatures(defect, face) {
  return defect.parts.flatMap((part, i) => {
    if (part.face !== face) return [];
    const feature = new Feature({ geometry: geometryOf(defect, i) });
    feature.setId(`${i}:${defect.mark}`);
    feature.set("defect", defect, true);
    feature.set("part", i, true);
    return [feature];
  });
}

/** @param {Piece[]} pieces @param {Inks} inks @param {boolean} joint */
function lineStyles(pieces, inks, joint) {
  const lines = (/** @type {Piece[]} */ some) => new MultiLineString(some.map((p) => p.coordinates));
  const out = [new Style({ geometry: lines(pieces), stroke: joint ? inks.joint : inks.casing, zIndex: 0 })];
  for (const wetness of new Set(pieces.map((p) => p.wetness)))
    out.push(new Style({ geometry: lines(pieces.filter((p) => p.wetness === wetness)), stroke: inks.strokes[wetness], zIndex: 1 }));
  return out;
}

/** @param {Piece[]} pieces @param {Inks} inks @param {number} resolution */
function letterStyles(pieces, inks, resolution) {
  return pieces.flatMap((piece) => {
    const line = new LineString(piece.coordinates);
    if (!inks.letters[piece.wetness] || line.getLength() / resolution < LETTER_PX) return [];
    return [new Style({ geometry: new Point(line.getCoordinateAt(0.5)), text: inks.letters[piece.wetness], zIndex: 2 })];
  });
}

/** @param {Defect} defect @param {Inks} inks */
function placeStyles(defect, inks) {
  const wetness = wettest(defect);
  const style = isRound(defect.kind)
    ? new Style({ image: (defect.kind === "penetration" ? inks.pipes : inks.holes)[wetness], zIndex: 1 })
    : new Style({ stroke: inks.strokes[wetness], fill: inks.pockets[wetness], zIndex: 1 });
  return { style, letter: inks.letters[wetness] };
}

/** Where the mark and the letter of a place or area stand. @param {Defect} defect */
function anchor(defect) {
  const { points } = defect.parts[0];
  return new Point(defect.kind === "honeycomb" ? new Polygon([[...points, points[0]]]).getInteriorPoint().getCoordinates() : points[0]);
}

/** @param {Defect} defect @param {number} part @param {Inks} inks @param {string} length @param {number} resolution */
function make(defect, part, inks, length, resolution) {
  const label = (/** @type {Point} */ at) => new Style({ geometry: at, text: inks.label(defect.mark), zIndex: 3 });
  if (!isLine(defect.kind)) {
    const { style, letter } = placeStyles(defect, inks);
    const at = anchor(defect);
    return [style, label(at), ...(letter ? [new Style({ geometry: at, text: letter, zIndex: 2 })] : [])];
  }
  const pieces = wetPieces(defect, length).filter((p) => p.part === part);
  const start = new Point(defect.parts[part].points[0]);
  return [...lineStyles(pieces, inks, defect.kind === "joint"), ...letterStyles(pieces, inks, resolution), label(start)];
}

/** @param {() => Inks} inks @param {() => string} length @returns {(feature: any, resolution: number) => Style[]} */
export function leakStyle(inks, length) {
  return (feature, resolution) => {
    const zoom = Math.round(Math.log2(resolution) * 2);
    const kept = feature.get("styles");
    if (kept && kept.zoom === zoom && kept.inks === inks()) return kept.list;
    const list = make(feature.get("defect"), feature.get("part"), inks(), length(), resolution);
    feature.set("styles", { zoom, inks: inks(), list }, true);
    return list;
  };
}
