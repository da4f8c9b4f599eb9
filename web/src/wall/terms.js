/** What can be measured and used: label, unit by system. The member of a record is name_unit. */

/** @typedef {{name: string, label: string, metric: string, us: string}} Term */

/** @type {Term[]} */
export const terms = [
  { name: "volume", label: "Water caught", metric: "l", us: "gal" },
  { name: "time", label: "Time", metric: "s", us: "s" },
  { name: "length", label: "Length", metric: "m", us: "ft" },
  { name: "width", label: "Width", metric: "mm", us: "in" },
  { name: "depth", label: "Depth", metric: "mm", us: "in" },
  { name: "cover", label: "Cover to steel", metric: "mm", us: "in" },
  { name: "powder", label: "Powder", metric: "kg", us: "lb" },
  { name: "water", label: "Water", metric: "l", us: "gal" },
  { name: "packs", label: "Packs", metric: "", us: "" },
  { name: "people", label: "People", metric: "", us: "" },
  { name: "hours", label: "Hours", metric: "h", us: "h" },
  { name: "air", label: "Air", metric: "c", us: "f" },
  { name: "wall", label: "Wall", metric: "c", us: "f" },
  { name: "leak_water", label: "Leaking water", metric: "c", us: "f" },
  { name: "humidity", label: "Humidity", metric: "percent", us: "percent" },
  { name: "drips", label: "Drips", metric: "per_min", us: "per_min" },
  { name: "water_level", label: "Water level behind", metric: "m", us: "ft" },
  { name: "from", label: "From", metric: "m", us: "ft" },
  { name: "to", label: "To", metric: "m", us: "ft" },
  { name: "level", label: "Level in the tank", metric: "mm", us: "in" },
  { name: "tank_water", label: "Water in the tank", metric: "c", us: "f" },
  { name: "pan_level", label: "Level in the pan", metric: "mm", us: "in" },
  { name: "rain", label: "Rain since the last reading", metric: "mm", us: "in" },
];

export const used = ["powder", "water", "packs", "people", "hours"];
export const found = ["volume", "time", "length", "width", "depth", "cover", "wall", "leak_water", "air", "humidity"];

/** @type {Record<string, string>} */
const symbols = { c: "°C", f: "°F", percent: "%", per_min: "a minute" };

/** @param {string} name */
export const term = (name) => /** @type {Term} */ (terms.find((t) => t.name === name));

/** The member of a record: "depth" -> "depth_mm" @param {Term} t @param {"metric"|"us"} units */
export function member(t, units) {
  return t[units] && t.name !== "hours" ? `${t.name}_${t[units]}` : t.name;
}

/** As printed: "mm", "°C" @param {Term} t @param {"metric"|"us"} units */
export const symbol = (t, units) => symbols[t[units]] ?? t[units];

/** @type {Record<string, string>} */
export const whats = {
  start: "Begun", finish: "Done", hold: "Hold point ticked", found: "Found", used: "Used", photo: "Photo", note: "Note",
  correction: "Correction", settled: "Conflict settled", level: "Tank read", proof: "Tested", deviation: "Done otherwise",
};

/** The measured part of a record as words. @param {import("./types.js").Rec} r @param {"metric"|"us"} units @param {(id: string) => string} material */
export function valuesOf(r, units, material) {
  const words = [r.material && material(r.material), r.tank && `Tank ${r.tank}`].filter(Boolean);
  for (const t of terms) {
    const value = r[member(t, units)];
    if (value !== undefined && value !== null) words.push(`${t.label} ${value}${symbol(t, units) ? " " + symbol(t, units) : ""}`);
  }
  if (r.hand) words.push(`Hand ${r.hand}`);
  if (r.blotter) words.push(`Blotting paper ${r.blotter}`);
  return words;
}
