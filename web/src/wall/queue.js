/**
 * Sends what waits: in the order of keeping, up to 200 at a time, photos before the record that names them. Every record
 * has an id made here, so a batch whose answer was lost is simply sent again: the server says "already". One tab sends
 * (Web Locks; where they are missing the ids do the same duty).
 */
import { base, setting } from "./db.js";
import { tell } from "./bus.js";
import { answer, counts, inState, jobsWaiting, take } from "./records.js";
import { Fault, api } from "../api.js";

/** @typedef {import("./types.js").Kept} Kept */
/** @typedef {import("./types.js").Sending} Sending */

const BATCH = 200;

/** @type {Sending} */
const now = { waiting: 0, refused: 0, sending: false, login: false, trouble: "" };

/** Faults that are not about the records themselves: later they may be gone. @param {unknown} e */
function passes(e) {
  return !(e instanceof Fault) || e.code === 0 || e.code >= 500 || [401, 403, 404, 408, 429].includes(e.code);
}

/** Where sending stands. @param {string} job @returns {Promise<Sending>} */
export async function sending(job) {
  Object.assign(now, await counts(job));
  return { ...now };
}

/** @param {string} id @returns {Promise<string>} the fault, "" when it is sent */
async function sendPhoto(id) {
  const db = await base();
  /** @type {import("./types.js").KeptPhoto | undefined} */
  const photo = await db.get("photos", id);
  if (!photo) return "The photo is no longer on this phone.";
  if (photo.state === "sent") return "";
  try {
    await api.upload(`${api.at(photo.job, "photos")}?id=${photo.id}&mark=${encodeURIComponent(photo.mark)}`, photo.blob);
  } catch (e) {
    if (passes(e)) throw e;
    await db.put("photos", { ...photo, state: "refused", fault: /** @type {Fault} */ (e).message });
    return /** @type {Fault} */ (e).message;
  }
  await db.put("photos", { ...photo, state: "sent", fault: undefined });
  return "";
}

/** Photos of a batch first. Records whose photo was refused are refused with its sentence.
 * @param {Kept[]} batch @returns {Promise<Kept[]>} the rest */
async function sendPhotos(batch) {
  const good = [];
  for (const kept of batch) {
    const fault = kept.photo_id ? await sendPhoto(kept.photo_id) : "";
    if (fault) await answer([kept], new Map([[kept.id, { state: "refused", fault }]]));
    else good.push(kept);
  }
  return good;
}

/** @param {string} job @param {Kept[]} batch @returns {Promise<number>} records settled */
async function post(job, batch) {
  try {
    const got = await api.post(api.at(job, "records"), { records: batch.map((k) => k.record) });
    return await answer(batch, new Map(got.results.map((/** @type {any} */ r) => [r.id, r])));
  } catch (e) {
    if (passes(e)) throw e;
    if (batch.length === 1) return answer(batch, new Map([[batch[0].id, { state: "refused", fault: /** @type {Fault} */ (e).message }]]));
  }
  // The whole batch was refused for one of them: each by itself, so that a wrong one holds up nobody.
  let settled = 0;
  for (const kept of batch) settled += await post(job, [kept]);
  return settled;
}

/** @param {string} job */
async function sendJob(job) {
  for (;;) {
    const batch = await inState(job, "waiting", BATCH);
    if (!batch.length) return;
    const good = await sendPhotos(batch);
    const settled = good.length ? await post(job, good) : batch.length;
    if (settled === 0) throw new Error("The server answered, but said nothing of the records sent.");
  }
}

/** What others did, and conflicts. @param {string} job */
export async function fetchRecords(job) {
  let last = (await setting(`last ${job}`)) ?? 0;
  for (;;) {
    const got = await api.get(`${api.at(job, "records")}?after=${last}`);
    await take(job, got);
    if (!got.records.length || got.last === last) return;
    last = got.last;
  }
}

/** @param {unknown} e */
function note(e) {
  now.login = e instanceof Fault && e.code === 401;
  now.trouble = e instanceof Fault && e.offline ? "" : e instanceof Error ? e.message : String(e);
}

/** A job that the server no longer has, or has for others only, holds up no other job. @param {unknown} e */
function later(e) {
  if (e instanceof Fault && [403, 404].includes(e.code)) return e;
  throw e;
}

/** @param {string} job the one in view: its records are fetched too */
async function sendAndFetch(job) {
  now.sending = true;
  tell("sending");
  try {
    const jobs = await jobsWaiting();
    if (jobs.length && !api.session.token) await api.open(); // begun with no signal: a photo need not go twice for want of a token
    /** @type {unknown} */
    let first = null;
    for (const each of jobs) await sendJob(each).catch((e) => (first ??= later(e)));
    await fetchRecords(job);
    now.login = false;
    now.trouble = "";
    if (first) note(first);
  } catch (e) {
    note(e); // nothing is lost: it waits for the next round
  } finally {
    now.sending = false;
    tell("sending");
  }
}

/** @type {Promise<void> | null} */
let round = null;
let again = false;

/** Send what waits and fetch what is new. Calls while one runs are one more round. @param {string} job @returns {Promise<void>} */
export function sync(job) {
  if (round) {
    again = true;
    return round;
  }
  const run = () => sendAndFetch(job);
  const locked = navigator.locks
    ? navigator.locks.request("stanch-wall-send", { ifAvailable: true }, (lock) => (lock ? run() : undefined))
    : run();
  round = Promise.resolve(locked).then(() => {
    round = null;
    if (!again) return undefined;
    again = false;
    return sync(job);
  });
  return round;
}
