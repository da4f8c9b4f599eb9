/**
 * What rings: one watch for the whole page, begun when the wall is first opened and going on in the other parts. Shows
 * the timers that have ended over everything, with sound, vibration and, if allowed, a notice of the phone.
 */
import { button, fill, h, icon } from "../dom.js";
import { ago, when } from "./clock.js";
import { listen } from "./bus.js";
import * as sound from "./sound.js";
import { list, stop } from "./timers.js";

/** @typedef {import("./types.js").Timer} Timer */

let begun = false;
/** @type {Timer[]} */
let timers = [];
/** Ids for which a notice was shown. @type {Set<string>} */
const told = new Set();
/** @type {HTMLElement} */
let panel;
/** @type {Set<(timers: Timer[]) => void>} */
const clocks = new Set();
let shown = "";
let silent = false;

/** Called every second with all timers. @param {(timers: Timer[]) => void} f @returns {() => void} */
export function onTick(f) {
  clocks.add(f);
  f(timers);
  return () => void clocks.delete(f);
}

const words = (/** @type {Timer} */ t) => `${t.mark}: ${t.label} is over`;

/** @param {Timer} t */
async function notice(t) {
  if (told.has(t.id)) return;
  told.add(t.id);
  if (navigator.userActivation?.hasBeenActive !== false) navigator.vibrate?.([600, 200, 600, 200, 600, 200, 1200]);
  if (typeof Notification === "undefined" || Notification.permission !== "granted") return;
  const more = { tag: t.id, body: `Ended at ${when(t.ends)}.`, requireInteraction: true, data: `#/job/${encodeURIComponent(t.job)}/wall/${encodeURIComponent(t.mark)}` };
  try {
    const worker = await navigator.serviceWorker?.getRegistration();
    if (worker) await worker.showNotification(words(t), more);
    else new Notification(words(t), more);
  } catch {
    // A phone without notices has the sound.
  }
}

const ended = (/** @type {Timer} */ t) => `Ended ${ago(t.ends)}, at ${when(t.ends)}.`;

/** The buttons stay while the seconds count: one that was made anew under a thumb would not feel it. @param {Timer[]} over */
function show(over) {
  const key = over.map((t) => t.id).join() + silent;
  if (key !== shown) build(over);
  shown = key;
  over.forEach((t, i) => fill(/** @type {HTMLElement} */ (panel.querySelectorAll(".wall-ring-ended")[i]), ended(t)));
}

/** @param {Timer[]} over */
function build(over) {
  panel.hidden = over.length === 0;
  const link = (/** @type {Timer} */ t) => `#/job/${encodeURIComponent(t.job)}/wall/${encodeURIComponent(t.mark)}`;
  fill(panel, over.map((t) => h("div", { class: "wall-ring-one" },
    h("p", { class: "wall-ring-words" }, icon("again"), h("span", null, h("strong", null, words(t)), h("br"), h("span", { class: "wall-ring-ended" }))),
    h("div", { class: "wall-ring-do" }, button("Stop ringing", () => void stop(t.id), { class: "button main" }), h("a", { class: "button", href: link(t) }, "Open")))),
  over.length && silent ? h("p", null, "No sound yet: touch the page once, then it rings.") : null);
}

function tick() {
  const now = Date.now();
  const over = timers.filter((t) => t.ends <= now);
  const next = timers.find((t) => t.ends > now);
  for (const t of over) void notice(t);
  const playing = over.length ? sound.ring() : next ? sound.untilEnd(next.ends, `${next.mark}: ${next.label} until ${when(next.ends)}`) : (sound.hush(), Promise.resolve(true));
  void playing.then((yes) => {
    silent = !yes;
  });
  show(over);
  for (const f of clocks) f(timers);
}

async function load() {
  timers = await list();
  tick();
}

/** Begin to watch; more calls do nothing. */
export async function watch() {
  if (begun) return;
  begun = true;
  panel = h("section", { class: "wall-ring", role: "alert", hidden: true, "aria-label": "Timers that have ended" });
  document.body.appendChild(panel);
  listen((what) => {
    if (what === "timers") void load();
  });
  setInterval(tick, 1000);
  document.addEventListener("visibilitychange", tick);
  addEventListener("pageshow", tick);
  // A browser lets a page sound only after a touch.
  addEventListener("pointerdown", () => silent && tick(), { capture: true });
  await load();
}
