/** Suffixes and words of the two systems. Nothing is ever converted here: the document's units are shown. */

/** @typedef {{system: string, length: string, size: string, volume: string, lengthWord: string, sizeWord: string, volumeWord: string}} Units */

/** @type {Units} */
const METRIC = {
  system: "metric", length: "_m", size: "_mm", volume: "_l",
  lengthWord: "m", sizeWord: "mm", volumeWord: "l",
};
/** @type {Units} */
const US = {
  system: "us", length: "_ft", size: "_in", volume: "_gal",
  lengthWord: "ft", sizeWord: "in", volumeWord: "gal",
};

/** @param {string} system @returns {Units} */
export function unitsOf(system) {
  return system === "us" ? US : METRIC;
}
