/** The tables of one leak: its stations, flow readings, open places of a waterstop, and points. */
import { withList, withPoints, withRow, withStations, leastPoints } from "./edits.js";
import { BAR_WORDS, STATE_WORDS, WETNESS_WORDS, isLine } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {import('./rows.js').Table} Table */

const found = (/** @type {any} */ row) => row.bar === "crossing" || row.bar === "along";

/** Cover belongs to a bar: without one it goes. @param {any} row @param {string} size */
function sound(row, size) {
  if (found(row)) return row;
  const { ["cover" + size]: _cover, ["bar_diameter" + size]: _bar, ...rest } = row;
  return rest;
}

/** @param {Desk} desk @param {string} mark @param {(desk: Desk, defect: Defect) => Table} make */
function renewal(desk, mark, make) {
  return () => {
    const defect = desk.model.defect(mark);
    return defect && make(desk, defect);
  };
}

/** @param {Desk} desk @param {Defect} defect @returns {Table} */
export function stationTable(desk, defect) {
  const { units } = desk;
  const line = isLine(defect.kind);
  const chainage = "chainage" + units.length;
  const cover = "cover" + units.size;
  const { mark } = defect;
  const rows = defect.stations ?? [];
  const size = units.sizeWord;
  const put = (/** @type {number} */ at, /** @type {any} */ row) => desk.change(`station of ${mark}`, desk.editing(mark, (d) => {
    const list = withRow(d.stations, at, sound(row, units.size));
    return line ? withStations(d, list, units) : withList(d, "stations", list);
  }));
  return {
    key: "stations", renew: renewal(desk, mark, stationTable), caption: line ? "Stations along the line" : "What was seen", one: "station", rows,
    columns: [
      ...(line ? [{ member: chainage, label: `chainage, ${units.lengthWord}`, type: /** @type {const} */ ("number") }] : []),
      { member: "width" + units.size, label: `width, ${size}`, type: "number" },
      { member: "wetness", label: "wetness", type: "choice", options: WETNESS_WORDS },
      { member: "bar", label: "bar", type: "choice", options: BAR_WORDS },
      { member: cover, label: `cover, ${size}`, type: "number" },
      { member: "bar_diameter" + units.size, label: `bar dia., ${size}`, type: "number" },
    ],
    blank: line ? { wetness: desk.options.wetness, bar: "not_scanned" } : rows.length ? undefined : { [chainage]: 0, wetness: desk.options.wetness, bar: "not_scanned" },
    lacks: (row) => (typeof row[chainage] !== "number" ? "Type the chainage." : found(row) && typeof row[cover] !== "number" ? "A bar was found: type its cover." : ""),
    put, remove: (at) => desk.change(`station of ${mark} removed`, desk.editing(mark, (d) => withList(d, "stations", withRow(d.stations, at, null)))),
    land: (row) => Math.max(0, (desk.model.defect(mark)?.stations ?? []).findIndex((s) => s[chainage] === row[chainage])),
    enter: (at) => desk.take({ type: "station", index: at }),
    taken: desk.handle?.type === "station" ? desk.handle.index : -1,
  };
}

/** @param {Desk} desk @param {Defect} defect @returns {Table} */
export function flowTable(desk, defect) {
  const { units } = desk;
  const line = isLine(defect.kind);
  const [from, to, volume] = ["from" + units.length, "to" + units.length, "volume" + units.volume];
  const { mark } = defect;
  const has = (/** @type {any} */ row, /** @type {string} */ member) => typeof row[member] === "number";
  const lacks = (/** @type {any} */ row) => {
    if (line && !(has(row, from) && has(row, to))) return "Type where the stretch begins and ends.";
    if (has(row, volume) !== has(row, "time_s")) return "Volume and time go together.";
    return has(row, volume) || has(row, "drips_per_min") ? "" : "Type volume and time, or drips a minute.";
  };
  return {
    key: "flows", renew: renewal(desk, mark, flowTable), caption: "Flow readings", one: "reading", lacks,
    rows: (defect.flows ?? []).map((flow) => ({ [from]: 0, [to]: 0, ...flow })), /* a stretch from 0 is written without it */
    columns: [
      ...(line ? /** @type {import('./rows.js').Column[]} */ ([{ member: from, label: `from, ${units.lengthWord}`, type: "number" }, { member: to, label: `to, ${units.lengthWord}`, type: "number" }]) : []),
      { member: volume, label: `volume, ${units.volumeWord}`, type: "number" },
      { member: "time_s", label: "time, s", type: "number" },
      { member: "drips_per_min", label: "drips/min", type: "number" },
      { member: "state", label: "state", type: "choice", options: STATE_WORDS },
      { member: "on", label: "on", type: "date" },
    ],
    blank: line ? { state: "uncut" } : { [from]: 0, [to]: 0, state: "uncut" },
    put: (at, row) => desk.change(`flow reading of ${mark}`, desk.editing(mark, (d) => withList(d, "flows", withRow(d.flows, at, row)))),
    remove: (at) => desk.change(`flow reading of ${mark} removed`, desk.editing(mark, (d) => withList(d, "flows", withRow(d.flows, at, null)))),
  };
}

/** @param {Desk} desk @param {Defect} defect @returns {Table} */
export function openTable(desk, defect) {
  const { units } = desk;
  const [from, to] = ["from" + units.length, "to" + units.length];
  const { mark } = defect;
  const put = (/** @type {number} */ at, /** @type {any} */ row) => desk.change(`open place of ${mark}`, desk.editing(mark, (d) =>
    withList(d, "open", withRow(d.open, at, row).sort((a, b) => (a ? a[from] - b[from] : 0)))));
  return {
    key: "open", renew: renewal(desk, mark, openTable), caption: "Where the waterstop lets water through", one: "open place", rows: defect.open ?? [],
    columns: [{ member: from, label: `from, ${units.lengthWord}`, type: "number" }, { member: to, label: `to, ${units.lengthWord}`, type: "number" }],
    blank: {}, put, lacks: (row) => (typeof row[from] === "number" && typeof row[to] === "number" ? "" : "Type where it begins and ends."),
    remove: (at) => put(at, null),
  };
}

/** All points, part by part. @param {Defect} defect */
function listed(defect) {
  return defect.parts.flatMap((part, p) => part.points.map((at, index) => ({ part: p, index, face: part.face, u: at[0], v: at[1] })));
}

/** @param {Desk} desk @param {Defect} defect @returns {Table} */
export function pointTable(desk, defect) {
  const rows = listed(defect);
  const { mark } = defect;
  const unit = desk.units.lengthWord;
  const last = defect.parts.length - 1;
  const many = leastPoints(defect.kind) > 1;
  return {
    key: "points", renew: renewal(desk, mark, pointTable), caption: "Points", one: "point", rows,
    columns: [{ member: "face", label: "face", type: "shown", of: (row) => row.face }, { member: "u", label: `u, ${unit}`, type: "number" }, { member: "v", label: `v, ${unit}`, type: "number" }],
    blank: many ? { part: last, face: defect.parts[last].face } : undefined,
    lacks: (row) => (typeof row.u === "number" && typeof row.v === "number" ? "" : "Type u and v."),
    put: (_at, row, fresh) => desk.change(`point of ${mark}`, desk.editing(mark, (d) => {
      const points = [...d.parts[row.part].points];
      points[fresh ? points.length : row.index] = [row.u, row.v];
      return withPoints(d, row.part, points);
    })),
    remove: many ? (at) => desk.change(`point of ${mark} removed`, desk.editing(mark, (d) => withPoints(d, rows[at].part, d.parts[rows[at].part].points.filter((_, i) => i !== rows[at].index)))) : null,
    enter: (at) => desk.take({ type: "vertex", part: rows[at].part, index: rows[at].index }),
    taken: desk.handle?.type === "vertex" ? rows.findIndex((r) => desk.handle?.type === "vertex" && r.part === desk.handle.part && r.index === desk.handle.index) : -1,
  };
}
