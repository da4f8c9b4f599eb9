/** The day's job: fetched when there is a signal, kept whole, opened from the phone when there is none. */
import { Fault, api } from "../api.js";
import { base, today } from "./db.js";
import { tell } from "./bus.js";

/** @typedef {import("./types.js").KeptDay} KeptDay */

/** @param {string} job @returns {Promise<KeptDay | undefined>} */
export async function keptDay(job) {
  return (await base()).get("days", job);
}

/**
 * The day from the server, kept. No signal: undefined. Another fault is thrown.
 * @param {string} job @param {AbortSignal} [signal] @returns {Promise<KeptDay | undefined>}
 */
export async function fetchDay(job, signal) {
  try {
    const day = await api.get(`${api.at(job, "day")}?date=${today()}`, signal);
    /** @type {KeptDay} */
    const kept = { job, fetched: Date.now(), day };
    await base().then((db) => db.put("days", kept)).catch(() => {}); // a full phone shows it all the same
    tell("day");
    return kept;
  } catch (e) {
    if (e instanceof Fault && (e.offline || e.code === 401)) return undefined;
    throw e;
  }
}
