/** What one gesture or one typed value does to a leak: new objects from old, nothing sent, nothing shown. */
import { WETNESS, isLine } from "./terms.js";
import { tidy, tidyPlace } from "./number.js";
import { beginnings } from "./trace.js";

/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {import('./types.js').Station} Station */
/** @typedef {import('./types.js').Place} Place */
/** @typedef {import('./units.js').Units} Units */

/** A member set, or left out when there is nothing to say. @template {Record<string, any>} T @param {T} object @param {string} member @param {any} value @returns {T} */
export function withMember(object, member, value) {
  const out = /** @type {Record<string, any>} */ ({ ...object });
  if (value === null || value === "" || value === undefined) delete out[member];
  else out[member] = value;
  return /** @type {T} */ (out);
}

/** A list with one row changed, added (at the end) or, with null, taken away. @template T @param {T[] | undefined | null} list @param {number} at @param {T | null} row */
export function withRow(list, at, row) {
  const out = [...(list ?? [])];
  if (row === null) out.splice(at, 1);
  else out[Math.min(at, out.length)] = row;
  return out;
}

/** @param {Defect} defect @param {string} member @param {any[]} list */
export function withList(defect, member, list) {
  return withMember(defect, member, list.length ? list : null);
}

/** Stations in their order along the trace. @param {Defect} defect @param {Station[]} stations @param {Units} units */
export function withStations(defect, stations, units) {
  const key = "chainage" + units.length;
  return withList(defect, "stations", [...stations].sort((a, b) => a[key] - b[key]));
}

/** @param {Defect} defect @param {number} chainage @param {string} wetness @param {Units} units */
export function addStation(defect, chainage, wetness, units) {
  const key = "chainage" + units.length;
  const whole = beginnings(defect)[defect.parts.length];
  const at = isLine(defect.kind) ? tidy(Math.min(Math.max(chainage, 0), whole)) : 0;
  const others = (defect.stations ?? []).filter((s) => s[key] !== at);
  return withStations(defect, [...others, { [key]: at, wetness, bar: "not_scanned" }], units);
}

/** @param {Defect} defect @param {number} index @param {number} chainage @param {Units} units */
export function moveStation(defect, index, chainage, units) {
  const key = "chainage" + units.length;
  const whole = beginnings(defect)[defect.parts.length];
  const at = tidy(Math.min(Math.max(chainage, 0), whole));
  const stations = (defect.stations ?? []).map((s, i) => (i === index ? { ...s, [key]: at } : s));
  return withStations(defect, stations, units);
}

/** The station seen nearest to a chainage. @param {Station[]} stations @param {string} key @param {number} at */
function nearest(stations, key, at) {
  let best = stations[0];
  for (const s of stations) if (Math.abs(s[key] - at) < Math.abs(best[key] - at)) best = s;
  return best;
}

/**
 * A stretch of one wetness: stations between take it, and its two ends become stations. An end that is new has
 * the width of the nearest station; steel is not scanned there.
 * @param {Defect} defect @param {number} from @param {number} to @param {string} wetness @param {Units} units
 */
export function wetStretch(defect, from, to, wetness, units) {
  const key = "chainage" + units.length;
  const width = "width" + units.size;
  const whole = beginnings(defect)[defect.parts.length];
  const low = tidy(Math.min(Math.max(Math.min(from, to), 0), whole));
  const high = tidy(Math.min(Math.max(from, to), whole));
  const seen = defect.stations ?? [];
  const stations = seen.map((s) => (s[key] >= low && s[key] <= high ? { ...s, wetness } : s));
  for (const at of new Set([low, high])) {
    if (stations.some((s) => s[key] === at)) continue;
    const near = seen.length ? nearest(seen, key, at) : null;
    stations.push(withMember({ [key]: at, wetness, bar: "not_scanned" }, width, near ? near[width] : null));
  }
  return withStations(defect, stations, units);
}

/** @param {Defect} defect @param {number} part @param {number[][]} points */
export function withPoints(defect, part, points) {
  const parts = defect.parts.map((p, i) => (i === part ? { ...p, points: points.map(tidyPlace) } : p));
  return { ...defect, parts };
}

/** Least number of points of a kind. @param {string} kind */
export function leastPoints(kind) {
  return isLine(kind) ? 2 : kind === "honeycomb" ? 3 : 1;
}

/** The next free mark on a face: its id and a number. @param {Defect[]} defects @param {string} face */
export function nextMark(defects, face) {
  const taken = new Set(defects.map((d) => d.mark));
  let n = 1;
  while (taken.has(face + n)) n++;
  return face + n;
}

/** A station's wetness on a new leak: what the toolbar says, else damp. @param {string} word */
export function wetnessOr(word) {
  return WETNESS.includes(word) ? word : "damp";
}
