// page_queue.mjs - 1,000 records kept on a phone with no signal: how long until the server has them all, in Chromium on
// this machine. STANCH=build/release/stanch node bench/page_queue.mjs [records]
import assert from "node:assert/strict";
import { begin } from "../tests/page/browser.mjs";

const n = Number(process.argv[2] ?? 1000);
const stage = await begin();
stage.expected.push(/ERR_INTERNET_DISCONNECTED/);
const page = await stage.page({ phone: true });
await page.goto(`${stage.base}/#/job/pump/wall`);
await page.getByRole("heading", { name: "Today's leaks" }).waitFor();
await page.context().setOffline(true);

/** Writes records as wall/records.js does, in one transaction: a person would take a day for it. */
const keep = (count) => new Promise((resolve, reject) => {
  const open = indexedDB.open("stanch-wall");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const tx = open.result.transaction("records", "readwrite");
    for (let i = 0; i < count; i++) {
      const id = crypto.randomUUID();
      const record = { id, mark: "N1", what: "used", step: "plug", at: new Date().toISOString().slice(0, 19) + "Z", by: "Anna", device: "00000000-0000-4000-8000-000000000001", seen: 0,
        material: "plug-generic", powder_kg: 0.5 + i / 1000, water_l: 0.2, text: `Batch ${i + 1} of the day` };
      tx.objectStore("records").add({ id, job: "pump", state: "waiting", record });
    }
    tx.oncomplete = () => resolve(open.result.close());
    tx.onerror = () => reject(tx.error);
  };
});
await page.evaluate(keep, n);
const began = performance.now();
await page.context().setOffline(false);
const have = async () => (await page.evaluate(async () => (await fetch("/api/jobs/pump/records?after=0")).json())).records;
let records = [];
while (records.length < n) {
  await new Promise((next) => setTimeout(next, 100));
  records = await have();
}
const sent_s = (performance.now() - began) / 1000;
await page.getByText("not sent yet").waitFor({ state: "detached" });
const told_s = (performance.now() - began) / 1000;
assert.equal(new Set(records.map((r) => r.id)).size, n);
assert.ok(records.every((r, i) => r.text === `Batch ${i + 1} of the day`), "in the order of keeping");
console.log(`${n} records: on the server after ${sent_s.toFixed(2)} s, the page says so after ${told_s.toFixed(2)} s`);
await stage.end();
