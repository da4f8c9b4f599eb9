/** What is different in two states of one object, in words, for a person who has to choose between them. */

const MOST = 8;

/** @param {unknown} value */
const words = (value) => (value === undefined || value === null ? "nothing" : typeof value === "object" ? "more of it" : String(value).replace(/_/g, " "));

/** "stations" of one of them -> "station 2" @param {string} path @param {string} key @param {boolean} listed */
function further(path, key, listed) {
  if (listed) return `${path.replace(/s$/, "")} ${Number(key) + 1}`;
  const name = key.replace(/_(m|mm|l|c|ft|in|gal|f|s|h)$/, ", $1").replace(/_/g, " ");
  return path ? `${path}: ${name}` : name;
}

/** @param {any} mine @param {any} theirs @param {string} path @param {string[]} out */
function walk(mine, theirs, path, out) {
  if (JSON.stringify(mine) === JSON.stringify(theirs)) return;
  const both = [mine, theirs].every((x) => x !== null && typeof x === "object");
  if (!both) return void out.push(`${path}: yours ${words(mine)}, theirs ${words(theirs)}`);
  const listed = Array.isArray(mine);
  for (const key of new Set([...Object.keys(mine), ...Object.keys(theirs)])) walk(mine[key], theirs[key], further(path, key, listed), out);
}

/** Sentences such as "station 1: width, mm: yours 0.7, theirs 0.5". @param {any} mine @param {any} theirs @returns {string[]} */
export function differences(mine, theirs) {
  /** @type {string[]} */
  const out = [];
  walk(mine, theirs, "", out);
  return out.length > MOST ? [...out.slice(0, MOST), `and ${out.length - MOST} more`] : out;
}
