/**
 * What this phone keeps: days, records (the queue and what the server has), photos, timers, small settings.
 * One database for all jobs; a record is never deleted here.
 */
import { openDB } from "idb";

/** @type {Promise<import("idb").IDBPDatabase<any>> | null} */
let opened = null;

/** The database, opened once. */
export function base() {
  opened ??= openDB("stanch-wall", 1, {
    upgrade(db) {
      db.createObjectStore("days", { keyPath: "job" });
      const records = db.createObjectStore("records", { keyPath: "n", autoIncrement: true });
      records.createIndex("id", "id", { unique: true });
      records.createIndex("state", ["job", "state"]);
      records.createIndex("job", "job");
      db.createObjectStore("photos", { keyPath: "id" });
      db.createObjectStore("timers", { keyPath: "id" });
      db.createObjectStore("settings");
    },
    blocking() {
      // A newer page in another tab waits for us.
      opened?.then((db) => db.close());
      opened = null;
    },
    terminated() {
      opened = null;
    },
  });
  return opened;
}

/** @param {string} key */
export async function setting(key) {
  return (await base()).get("settings", key);
}

/** @param {string} key @param {any} value */
export async function keepSetting(key, value) {
  await (await base()).put("settings", value, key);
}

/** Version 4 UUID; `crypto.randomUUID` is missing on a page without a secure context. */
export function newId() {
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const hex = Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

/** The id of this phone, made once. */
export async function device() {
  const db = await base();
  const tx = db.transaction("settings", "readwrite");
  let id = await tx.store.get("device");
  if (!id) {
    id = newId();
    await tx.store.put(id, "device");
  }
  await tx.done;
  return /** @type {string} */ (id);
}

/** Ask that the browser does not clear what waits here when the phone runs full. True when it promised. */
export async function askToPersist() {
  try {
    if (!navigator.storage?.persist) return false;
    return (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    return false;
  }
}

/** @param {Date} d as the records write it: UTC, whole seconds */
export const utc = (d) => `${d.toISOString().slice(0, 19)}Z`;

/** Today on this phone's calendar. */
export function today() {
  const d = new Date();
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}
