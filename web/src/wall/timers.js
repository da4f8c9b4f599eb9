/**
 * Timers: an end time kept in the database, so that reload, a locked phone and a closed page change nothing. A timer
 * past its end rings until a person stops it, and says how long ago it ended.
 */
import { base, newId } from "./db.js";
import { tell } from "./bus.js";

/** @typedef {import("./types.js").Timer} Timer */

/** @param {Omit<Timer, "id"|"started"|"ends">} what @param {number} seconds @returns {Promise<Timer>} */
export async function start(what, seconds) {
  const started = Date.now();
  const timer = { ...what, id: newId(), started, ends: started + seconds * 1000 };
  await (await base()).put("timers", timer);
  tell("timers");
  return timer;
}

/** @returns {Promise<Timer[]>} the next to end first */
export async function list() {
  /** @type {Timer[]} */
  const all = await (await base()).getAll("timers");
  return all.sort((a, b) => a.ends - b.ends);
}

/** @param {string} id */
export async function stop(id) {
  await (await base()).delete("timers", id);
  tell("timers");
}
