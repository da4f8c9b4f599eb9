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

/** Can the wet side be reached? @type {[string, string][]} */
export const FAR_WORDS = [["", "not known"], ["closed", "not reachable"], ["open", "reachable"]];
/** Ways to treat a leak, as the plan prints them. @type {[string, string][]} */
export const METHOD_WORDS = [
  ["slot_plug", "slot and plug"], ["slot_pack", "slot without plug"], ["coat", "coat only"], ["hole", "plugged hole"], ["ring", "ring slot"],
  ["cut_back", "cut back and pack"], ["inject_cement", "inject cement"], ["inject_epoxy", "inject epoxy"], ["inject_polyurethane", "inject polyurethane"],
  ["inject_acrylate", "inject acrylate"], ["flexible", "rout and flexible seal"], ["drain", "drain and collect"], ["watch", "leave and watch"],
];
/** Published rules for a width that may heal or is permitted. @type {[string, string][]} */
export const HEALING_WORDS = [
  ["en1992_3", "EN 1992-3"], ["dafstb", "DAfStb guideline"], ["fib2020", "fib Model Code 2020, tight"], ["fib2020_healing", "fib Model Code 2020, healing counted"],
  ["aci224r", "ACI 224R"], ["as3735", "AS 3735"], ["bs8007", "BS 8007"], ["bs8007_appearance", "BS 8007, appearance"], ["aci350", "ACI 350"],
  ["aci350_severe", "ACI 350, severe"], ["hs2", "HS2, outer face"],
];
/** Classes of watertightness. @type {[string, string][]} */
export const TIGHTNESS_WORDS = [
  ["not_agreed", "none agreed"], ["ztv_1", "ZTV-ING class 1"], ["ztv_2", "ZTV-ING class 2"], ["ztv_3", "ZTV-ING class 3"], ["bs8102_1a", "BS 8102 grade 1a"],
  ["bs8102_1b", "BS 8102 grade 1b"], ["bs8102_2", "BS 8102 grade 2"], ["bs8102_3", "BS 8102 grade 3"], ["en1992_3_0", "EN 1992-3 class 0"],
  ["en1992_3_1", "EN 1992-3 class 1"], ["en1992_3_2", "EN 1992-3 class 2"], ["en1992_3_3", "EN 1992-3 class 3"], ["gb50108_1", "GB 50108 grade 1"],
  ["gb50108_2", "GB 50108 grade 2"], ["gb50108_3", "GB 50108 grade 3"], ["gb50108_4", "GB 50108 grade 4"],
];
/** How a face is reached. @type {[string, string][]} */
export const ACCESS_WORDS = [["ground", "from the ground"], ["ladder", "from a ladder"], ["lift", "from a lift"]];
/** @type {[string, string][]} */
export const DAY_WORDS = [["mon", "Monday"], ["tue", "Tuesday"], ["wed", "Wednesday"], ["thu", "Thursday"], ["fri", "Friday"], ["sat", "Saturday"], ["sun", "Sunday"]];
/** @type {[string, string][]} */
export const PLANT_WORDS = [["cutter", "saws and hammers"], ["drill", "drills"], ["mixer", "mixers"], ["compressor", "compressors"], ["lift", "lifts"], ["vacuum", "vacuums"], ["pump", "injection pumps"]];
/** Families of injection resin. @type {[string, string][]} */
export const RESIN_WORDS = [["none", "not for injection"], ["cement", "cement"], ["epoxy", "epoxy"], ["polyurethane", "polyurethane"], ["acrylate", "acrylate"]];

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
