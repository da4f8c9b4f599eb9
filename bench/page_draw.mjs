// page_draw.mjs - frames of the drawing while a face with 500 leaks is dragged and zoomed, beside the same face with one.
//
// usage: STANCH=build/release/stanch node bench/page_draw.mjs [LEAKS]
//
// Headless Chromium without a graphics processor: every pixel is drawn by the processor, and the browser asks for at
// most 60 frames a second, so that 16.7 ms is the best there is. A frame is dropped when the next comes later than one
// and a half of these. Nothing here is a test.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { begin, root } from "../tests/page/browser.mjs";

const FRAME_MS = 1000 / 60;
const leaks = Number(process.argv[2] ?? 500);

/** Times of all frames from now until `stop`. */
async function watch(page) {
  await page.evaluate(() => {
    globalThis.frames_ms = [];
    globalThis.watching = true;
    let last = performance.now();
    const next = (/** @type {number} */ now) => {
      globalThis.frames_ms.push(now - last);
      last = now;
      if (globalThis.watching) requestAnimationFrame(next);
    };
    requestAnimationFrame(next);
  });
  return () => page.evaluate(() => ((globalThis.watching = false), globalThis.frames_ms.slice(2)));
}

/** Ten rounds of the pointer with the button held, about three seconds. */
async function drag(page, x, y) {
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let i = 1; i <= 240; i++) await page.mouse.move(x + 150 * Math.sin(i / 8), y + 60 * Math.sin(i / 5));
  await page.mouse.up();
}

async function zoom(page, x, y) {
  await page.mouse.move(x, y);
  for (let i = 0; i < 60; i++) {
    await page.mouse.wheel(0, i < 30 ? -40 : 40);
    await page.waitForTimeout(16);
  }
}

function row(what, times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  const lost = times.reduce((n, t) => n + (t > 1.5 * FRAME_MS ? Math.round(t / FRAME_MS) - 1 : 0), 0);
  return { what, frames: times.length, median: at(0.5), late: at(0.99), worst: sorted[sorted.length - 1], lost, share: lost / (lost + times.length) };
}

async function measure(count) {
  const folder = mkdtempSync(join(tmpdir(), "stanch-bench-"));
  const file = join(folder, "survey.json");
  writeFileSync(file, execFileSync("python3", [join(root, "bench", "make_job.py"), String(count), "1"], { maxBuffer: 1 << 27 }));
  const stage = await begin({ survey: file });
  const page = await stage.page({ reducedMotion: "no-preference" });
  const began = performance.now();
  await page.goto(`${stage.base}/#/job/pump/draw`);
  await page.locator(".draw-leak").first().waitFor();
  const opened = performance.now() - began;
  await page.waitForTimeout(1500);
  const box = await page.locator(".draw-map").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const out = [];
  for (const [what, gesture] of [["drag, the whole face", drag], ["zoom", zoom]]) {
    const stop = await watch(page);
    await gesture(page, x, y);
    out.push(row(what, await stop()));
    await page.waitForTimeout(800);
  }
  stage.expected.push(/underlay/);
  await stage.end();
  rmSync(folder, { recursive: true });
  return { count, opened, out };
}

for (const count of [leaks, 1]) {
  const { opened, out } = await measure(count);
  console.log(`${count} leak${count > 1 ? "s" : ""} on a face (software rendering): open ${opened.toFixed(0)} ms`);
  for (const r of out)
    console.log(`  ${r.what}: ${r.frames} frames, median ${r.median.toFixed(1)} ms, 99 % ${r.late.toFixed(1)} ms, worst ${r.worst.toFixed(1)} ms, ${r.lost} dropped (${(100 * r.share).toFixed(1)} %)`);
}
