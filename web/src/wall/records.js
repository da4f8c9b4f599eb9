/**
 * Records on this phone. A new one is written here first; `queue.js` sends it. Those of the server are kept beside it,
 * so that state and history show with no signal.
 */
import { base, device, newId, setting, keepSetting, utc, askToPersist } from "./db.js";
import { tell } from "./bus.js";

/** @typedef {import("./types.js").Rec} Rec */
/** @typedef {import("./types.js").Kept} Kept */

/**
 * Keep a new record, of now unless `at` says when. Resolves when it is safely on this phone.
 * @param {string} job
 * @param {Partial<Rec> & {mark: string, what: string, by: string}} said
 * @param {Blob} [photo]
 * @returns {Promise<Rec>}
 */
export async function keep(job, said, photo) {
  try {
    return await write(job, said, photo);
  } catch (e) {
    throw unkept(e);
  }
}

/** A transaction that the phone gave up names no reason, or an "AbortError" that everywhere else is no fault. @param {unknown} e */
function unkept(e) {
  const full = e instanceof DOMException && ["QuotaExceededError", "AbortError"].includes(e.name);
  return new Error(full ? "This phone is full: the record was not kept. Make room on the phone, then keep it again."
    : `This phone could not keep the record: ${e instanceof Error ? e.message : e}`);
}

/** @param {string} job @param {Partial<Rec> & {mark: string, what: string, by: string}} said @param {Blob} [photo] */
async function write(job, said, photo) {
  const id = newId();
  const record = /** @type {Rec} */ ({
    ...said, id, at: said.at ?? utc(new Date()), device: await device(), seen: (await setting(`last ${job}`)) ?? 0,
  });
  const db = await base();
  const tx = db.transaction(["records", "photos"], "readwrite", { durability: "strict" });
  /** @type {Kept} */
  const kept = { id, job, state: "waiting", record };
  if (photo) {
    kept.photo_id = newId();
    record.photo = `${kept.photo_id}.jpg`;
  }
  await Promise.all([photo && tx.objectStore("photos").add({ id: kept.photo_id, job, mark: said.mark, blob: photo, state: "waiting" }), tx.objectStore("records").add(kept), tx.done]);
  if (said.by) await keepSetting("by", said.by).catch(() => {}); // the record is kept: said to have failed, it would be written twice
  askToPersist();
  tell("records");
  return record;
}

/** All records of a job: the server's by seq, then those that wait, in the order of keeping.
 * @param {string} job @returns {Promise<Kept[]>} */
export async function all(job) {
  /** @type {Kept[]} */
  const list = await (await base()).getAllFromIndex("records", "job", job);
  const place = (/** @type {Kept} */ k) => k.record.seq ?? Infinity;
  return list.sort((a, b) => (place(a) === place(b) ? (a.n ?? 0) - (b.n ?? 0) : place(a) < place(b) ? -1 : 1));
}

/** @param {string} job @param {import("./types.js").RecState} state @param {number} [most] @returns {Promise<Kept[]>} */
export async function inState(job, state, most) {
  return (await base()).getAllFromIndex("records", "state", IDBKeyRange.only([job, state]), most);
}

/** One record by its id. @param {string} id @returns {Promise<Kept|undefined>} */
export async function one(id) {
  return (await base()).getFromIndex("records", "id", id);
}

/** Jobs that have a record waiting, or one refused. @returns {Promise<string[]>} */
export async function jobsWaiting() {
  const db = await base();
  const jobs = new Set();
  let cursor = await db.transaction("records").store.index("state").openKeyCursor(null, "nextunique");
  while (cursor) {
    const [job, state] = /** @type {[string, string]} */ (cursor.key);
    if (state === "waiting") jobs.add(job);
    cursor = await cursor.continue();
  }
  return [...jobs];
}

/** @param {string} job */
export async function counts(job) {
  const index = (await base()).transaction("records").store.index("state");
  const [waiting, refused] = await Promise.all([index.count([job, "waiting"]), index.count([job, "refused"])]);
  return { waiting, refused };
}

/**
 * What the server said of a batch. One transaction; a record not named stays as it was.
 * @param {Map<string, {state: string, seq?: number, fault?: string}>} results
 * @param {Kept[]} batch
 * @returns {Promise<number>} how many are settled by it
 */
export async function answer(batch, results) {
  const tx = (await base()).transaction("records", "readwrite");
  let settled = 0;
  for (const kept of batch) {
    const r = results.get(kept.id);
    if (!r) continue;
    settled += 1;
    const next = r.state === "refused"
      ? { ...kept, state: "refused", fault: r.fault || "The server refused it without a reason." }
      : { ...kept, state: "sent", fault: undefined, record: { ...kept.record, seq: r.seq } };
    tx.store.put(next);
  }
  await tx.done;
  tell("records");
  return settled;
}

/**
 * A refused record mended by a person: it waits again, under the same id (the server has none of that id). One that a
 * wrong clock put after now is of now.
 * @param {Kept} kept @param {Partial<Rec>} said
 */
export async function mend(kept, said) {
  const record = { ...kept.record, ...said };
  for (const key of Object.keys(record)) if (record[key] === undefined) delete record[key];
  if (Date.parse(record.at) > Date.now()) record.at = utc(new Date());
  const db = await base(), photo = kept.photo_id && (await db.get("photos", kept.photo_id));
  if (photo && photo.state !== "sent") await db.put("photos", { ...photo, mark: record.mark, state: "waiting", fault: undefined });
  await db.put("records", { ...kept, state: "waiting", fault: undefined, record });
  tell("records");
}

/**
 * Take in what the server has. Our own are found by id.
 * @param {string} job @param {{records: Rec[], last: number, conflicts?: any[]}} got
 */
export async function take(job, got) {
  const tx = (await base()).transaction(["records", "settings"], "readwrite");
  const records = tx.objectStore("records");
  for (const record of got.records) {
    const mine = await records.index("id").get(record.id);
    records.put({ ...(mine ?? { id: record.id, job }), job, state: "sent", fault: undefined, record });
  }
  tx.objectStore("settings").put(got.last, `last ${job}`);
  if (got.conflicts) tx.objectStore("settings").put(got.conflicts, `conflicts ${job}`);
  await tx.done;
  tell("records");
}
