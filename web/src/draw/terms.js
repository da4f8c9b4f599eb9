/** The words of the trade for the words of the survey JSON, and the letters that stand on the lines. */

export const WETNESS = ["dry", "damp", "seep", "drip", "run", "jet"];

/** Letters beside the line, so that no one needs the colour. @type {Record<string, string>} */
export const LETTERS = { dry: "Dy", damp: "Da", seep: "S", drip: "Dr", run: "R", jet: "J" };

/** @type {[string, string][]} */
export const WETNESS_WORDS = [
  ["dry", "dry"], ["damp", "damp"], ["seep", "seep"], ["drip", "drip"], ["run", "run"], ["jet", "jet"],
];
/** @type {[string, string][]} */
export const KIND_WORDS = [
  ["crack", "crack"], ["joint", "construction joint"], ["tie_hole", "tie hole"],
  ["penetration", "pipe penetration"], ["honeycomb", "honeycomb"],
];
/** @type {[string, string][]} */
export const BAR_WORDS = [
  ["not_scanned", "not scanned"], ["none", "none"], ["crossing", "crossing"], ["along", "along"],
];
/** @type {[string, string][]} */
export const SLOT_WORDS = [["", "not said"], ["sawn", "sawn"], ["chipped", "chipped"]];
/** @type {[string, string][]} */
export const STATE_WORDS = [["uncut", "uncut"], ["cut", "cut"]];
/** @type {[string, string][]} */
export const WATERSTOP_WORDS = [["unknown", "unknown"], ["none", "none"], ["there", "there"]];
/** @type {[string, string][]} */
export const LIE_WORDS = [["wall", "wall"], ["floor", "floor, seen from above"], ["soffit", "soffit, seen from below"]];
/** @type {[string, string][]} */
export const BEHIND_WORDS = [["", "not said"], ["ground", "ground"], ["tank", "tank"]];
/** @type {[string, string][]} */
export const KNOWN_WORDS = [["measured", "measured"], ["told", "told"], ["assumed", "assumed"]];

/** Signs that send a leak to a person; those of a licensed engineer first. @type {[string, string][]} */
export const SIGN_WORDS = [
  ["growing", "growing"], ["offset", "faces offset"], ["bulging", "bulging or leaning"],
  ["prestress", "prestressed member"], ["soil", "soil in the water"], ["bar_cut", "bar cut or wasted"],
  ["drainage", "sealing takes drainage"], ["rust", "rust stain"], ["cause_unknown", "cause unknown"],
  ["moving", "opens and closes"], ["settled", "cause known and ended"],
];

/** @param {[string, string][]} words @param {string} word */
export function say(words, word) {
  const row = words.find((pair) => pair[0] === word);
  return row ? row[1] : word;
}

/** @param {string} kind */
export function isLine(kind) {
  return kind === "crack" || kind === "joint";
}

/** @param {string} kind */
export function isRound(kind) {
  return kind === "tie_hole" || kind === "penetration";
}

/** The wettest word of the stations, or "". @param {import('./types.js').Defect} defect */
export function wettest(defect) {
  const ranks = (defect.stations ?? []).map((s) => WETNESS.indexOf(s.wetness));
  return ranks.length ? WETNESS[Math.max(...ranks)] : "";
}
