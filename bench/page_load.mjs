// page_load.mjs - the first load of the page: bytes over the wire, and how long until its first screen stands, on a
// laptop and on two profiles of a phone (slowed line, processor four times slower).
//
//   STANCH=build/release/stanch PAGE_MODULES=build/release/page-tests node bench/page_load.mjs
//
// A browser without a cache each time; the median of 5. Aim: under 250 kB compressed, and usable in under 1 s.
import { begin } from "../tests/page/browser.mjs";

const tries = 5;
const profiles = [["laptop", 0, 0, 1], ["phone, 9 Mbit/s, 60 ms", 60, 9e6, 4], ["phone, 1.6 Mbit/s, 150 ms", 150, 1.6e6, 4]];
const stage = await begin();

/** One load: milliseconds from the start of navigation until the heading of the screen stands; bytes and requests. */
async function load(latency, bits, slower) {
  const page = await stage.page({ phone: true, serviceWorkers: "block" });
  const chrome = await page.context().newCDPSession(page);
  const seen = { bytes: 0, requests: 0 };
  chrome.on("Network.loadingFinished", (e) => {
    seen.bytes += e.encodedDataLength;
    seen.requests += 1;
  });
  const rate = bits ? bits / 8 : -1;
  await chrome.send("Network.enable");
  await chrome.send("Network.emulateNetworkConditions", { offline: false, latency, downloadThroughput: rate, uploadThroughput: rate });
  await chrome.send("Emulation.setCPUThrottlingRate", { rate: slower });
  await page.addInitScript(() => {
    const look = () => {
      if (!globalThis.standing && document.querySelector("main h1")) globalThis.standing = performance.now();
    };
    new MutationObserver(look).observe(document, { childList: true, subtree: true });
  });
  await page.goto(stage.base + "/", { waitUntil: "load" });
  await page.locator("main h1").waitFor();
  const ms = await page.evaluate(() => globalThis.standing);
  await page.waitForLoadState("networkidle");
  await page.context().close();
  return { ms, ...seen };
}

for (const [name, latency, bits, slower] of profiles) {
  const runs = [];
  for (let i = 0; i < tries; i++) runs.push(await load(latency, bits, slower));
  runs.sort((a, b) => a.ms - b.ms);
  const middle = runs[Math.floor(tries / 2)];
  console.log(`${name.padEnd(28)} ${middle.ms.toFixed(0).padStart(6)} ms  ${(middle.bytes / 1000).toFixed(1).padStart(6)} kB in ${middle.requests} requests`);
}
await stage.end();
