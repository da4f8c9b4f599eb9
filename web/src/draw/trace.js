/**
 * Places along a trace, by the drawing library's plane geometry: chainage of a place, place at a chainage,
 * the pieces of one wetness. Chainage runs through the parts one after another, in the document's units.
 */
import { closestOnSegment, distance } from "ol/coordinate.js";
import LineString from "ol/geom/LineString.js";
import { isLine } from "./terms.js";

/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {import('./types.js').Place} Place */
/** @typedef {{part: number, wetness: string, coordinates: number[][]}} Piece */

/** @param {Place[]} points */
export function lengthOf(points) {
  return points.length > 1 ? new LineString(points).getLength() : 0;
}

/** Chainage at which each part begins, and the whole length at the end. @param {Defect} defect */
export function beginnings(defect) {
  const out = [0];
  for (const part of defect.parts) out.push(out[out.length - 1] + lengthOf(part.points));
  return out;
}

/** @param {Place[]} points @param {number} along @returns {Place} */
function pointAlong(points, along) {
  const length = lengthOf(points);
  if (!(length > 0)) return points[0];
  const at = new LineString(points).getCoordinateAt(Math.min(Math.max(along / length, 0), 1));
  return [at[0], at[1]];
}

/** @param {Defect} defect @param {number} chainage @returns {{part: number, at: Place}} */
export function placeAt(defect, chainage) {
  if (!isLine(defect.kind)) return { part: 0, at: defect.parts[0].points[0] };
  const starts = beginnings(defect);
  let part = 0;
  while (part + 1 < defect.parts.length && chainage >= starts[part + 1]) part++;
  return { part, at: pointAlong(defect.parts[part].points, chainage - starts[part]) };
}

/**
 * Chainage of the place of a run that lies nearest.
 * @param {Place[]} points @param {number[]} place
 */
export function nearestAlong(points, place) {
  let best = { along: 0, away: Infinity, at: points[0], after: 0 };
  let done = 0;
  for (let i = 1; i < points.length; i++) {
    const at = /** @type {Place} */ (closestOnSegment(place, [points[i - 1], points[i]]).slice(0, 2));
    const away = distance(at, place);
    if (away < best.away) best = { along: done + distance(points[i - 1], at), away, at, after: i - 1 };
    done += distance(points[i - 1], points[i]);
  }
  return best;
}

/** @param {Defect} defect @param {string} face @param {number[]} place */
export function chainageOf(defect, face, place) {
  const starts = beginnings(defect);
  let best = { chainage: 0, away: Infinity };
  defect.parts.forEach((part, i) => {
    if (part.face !== face) return;
    const near = nearestAlong(part.points, place);
    if (near.away < best.away) best = { chainage: starts[i] + near.along, away: near.away };
  });
  return best;
}

/** The run between two distances along it. @param {Place[]} points @param {number} from @param {number} to */
function cut(points, from, to) {
  const out = [pointAlong(points, from)];
  let done = 0;
  for (let i = 1; i + 1 < points.length; i++) {
    done += distance(points[i - 1], points[i]);
    if (done > from && done < to) out.push(points[i]);
  }
  out.push(pointAlong(points, to));
  return out;
}

/** Chainages between which one wetness is drawn: half way to the next station. */
function reaches(/** @type {Defect} */ defect, /** @type {string} */ length, /** @type {number} */ whole) {
  const stations = defect.stations ?? [];
  return stations.map((station, i) => {
    const here = station["chainage" + length];
    const before = i > 0 ? (stations[i - 1]["chainage" + length] + here) / 2 : 0;
    const after = i + 1 < stations.length ? (here + stations[i + 1]["chainage" + length]) / 2 : whole;
    return { from: before, to: after, wetness: station.wetness };
  });
}

/** What of a stretch lies on each part. @param {Defect} defect @param {number} from @param {number} to */
export function stretchOf(defect, from, to) {
  const starts = beginnings(defect);
  /** @type {{part: number, coordinates: number[][]}[]} */
  const out = [];
  defect.parts.forEach((part, i) => {
    const low = Math.max(from, starts[i]);
    const high = Math.min(to, starts[i + 1]);
    if (high > low) out.push({ part: i, coordinates: cut(part.points, low - starts[i], high - starts[i]) });
  });
  return out;
}

/** @param {Defect} defect @param {string} length suffix of lengths @returns {Piece[]} */
export function wetPieces(defect, length) {
  const whole = beginnings(defect)[defect.parts.length];
  const ranges = reaches(defect, length, whole);
  if (!ranges.length) ranges.push({ from: 0, to: whole, wetness: "" });
  return ranges.flatMap((range) =>
    stretchOf(defect, range.from, range.to).map((piece) => ({ ...piece, wetness: range.wetness })));
}

/**
 * Where a line that ends at `end` goes on over an edge: the same share of the other edge.
 * @param {Place[]} edge @param {Place[]} other @param {Place} end
 */
export function overFold(edge, other, end) {
  const near = nearestAlong(edge, end);
  const length = lengthOf(edge);
  const share = length > 0 ? near.along / length : 0;
  return { away: near.away, at: pointAlong(other, share * lengthOf(other)) };
}
