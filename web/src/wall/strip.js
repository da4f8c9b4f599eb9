// strip.js - what stands at the top of each view: timers that go, what waits on this phone, conflicts, age of the day.
import { button, fill, h, icon } from "../dom.js";
import { ago, countdown, span } from "./clock.js";
import { today } from "./db.js";
import { listen } from "./bus.js";
import { onTick } from "./ringing.js";
import { sending, sync } from "./queue.js";

/** @typedef {import("./wall.js").View} View */

/** Our own default: what a person would set right. */
const CLOCK_S = 600;

/** @param {number} n @param {string} one @param {string} many */
const count = (n, one, many) => `${n} ${n === 1 ? one : many}`;

/** @param {View} view @param {import("./types.js").Timer[]} timers */
function timerLinks(view, timers) {
  const going = timers.filter((t) => t.ends > Date.now() && !(t.job === view.ctx.job && t.mark === view.ctx.mark && !view.ctx.query.get("show")));
  return going.map((t) => h("a", { class: "wall-clock", href: `#/job/${encodeURIComponent(t.job)}/wall/${encodeURIComponent(t.mark)}` },
    h("span", null, `${t.mark} ${t.label}`), h("strong", { class: "figures" }, countdown((t.ends - Date.now()) / 1000))));
}

/** @param {View} view @param {import("./types.js").Sending} s */
function queueLine(view, s) {
  const { ctx } = view, lines = [];
  const records = view.to(ctx.mark, "show=records");
  if (s.refused) lines.push(h("p", { class: "wall-line stop" }, icon("weak"), h("span", null, `${count(s.refused, "record was", "records were")} refused by the server.`), h("a", { class: "button", href: view.to("", "show=records") }, "Mend")));
  if (s.login)
    lines.push(h("p", { class: "wall-line ask" }, icon("ask"), h("span", null, s.waiting ? `Log in again: ${count(s.waiting, "record is", "records are")} kept on this phone and sent then.` : "Log in again: what you record is kept on this phone and sent then."),
      h("a", { class: "button main", href: `#/login?to=${encodeURIComponent(location.hash)}` }, "Log in")));
  else if (s.waiting) {
    const words = s.sending ? `Sending ${count(s.waiting, "record", "records")}` : `${count(s.waiting, "record is", "records are")} kept on this phone, not sent yet.`;
    lines.push(h("p", { class: "wall-line" }, icon("out"), h("span", null, h("a", { href: records }, words), s.trouble ? ` ${s.trouble}` : ""), s.sending ? null : button("Send now", () => void sync(ctx.job))));
  } else if (s.trouble) lines.push(h("p", { class: "wall-line ask" }, icon("weak"), h("span", null, s.trouble)));
  return lines;
}

/** @param {View} view */
function conflictLines(view) {
  return view.conflicts.map((c) => h("p", { class: "wall-line ask" }, icon("ask"), h("span", null, c.sentence),
    h("a", { class: "button", href: view.to(c.mark === "site" ? "" : c.mark, `show=conflict&a=${c.a}&b=${c.b}`) }, "Look")));
}

/** What a page without HTTPS lacks; said above the day's list. @param {View} view */
function insecure(view) {
  if (isSecureContext || view.ctx.mark || view.ctx.query.get("show")) return null;
  return h("p", { class: "wall-line" }, icon("info"), h("span", null, "Opened without HTTPS: it works while there is signal, but it cannot be opened without one, keep the screen on or show notices; see Settings."));
}

/** A list of another day, a clock that is wrong. @param {View} view */
function dateLines(view) {
  const { day, fetched } = view.kept;
  /** @type {HTMLElement[]} */
  const lines = [];
  const line = (/** @type {string} */ words) => lines.push(h("p", { class: "wall-line ask" }, icon("weak"), h("span", null, words)));
  const ahead = (fetched - Date.parse(day.made)) / 1000;
  if (Math.abs(ahead) > CLOCK_S) line(`The clock of this phone is ${span(Math.abs(ahead))} ${ahead > 0 ? "ahead" : "behind"}. Set it right: records carry its time.`);
  if (day.date !== today()) line(`This list is of ${day.date}, not of today. Today's comes with the next signal.`);
  return lines;
}

/** @param {HTMLElement} root @param {HTMLElement} foot the age stands there while there is signal @param {View} view */
export function strip(root, foot, view) {
  const clocks = h("div", { class: "wall-clocks" }), lines = h("div", { class: "wall-lines", "aria-live": "polite" }), age = h("p", { class: "wall-age muted" });
  fill(root, clocks, lines);
  let conflicting = "";
  async function draw() {
    const s = await sending(view.ctx.job);
    const key = JSON.stringify([s, view.conflicts, view.day.date, today(), view.kept.fetched]);
    if (key !== conflicting) fill(lines, insecure(view), dateLines(view), queueLine(view, s), view.ctx.query.get("show") === "conflict" ? null : conflictLines(view));
    conflicting = key;
    age.textContent = `${view.ctx.api.reached ? "" : "No signal. "}This job was fetched ${ago(view.kept.fetched)}.`;
    (view.ctx.api.reached ? foot : root).appendChild(age);
  }
  let shown = "";
  const stopTick = onTick((timers) => {
    const key = timers.map((t) => t.id + countdown((t.ends - Date.now()) / 1000)).join();
    if (key !== shown) fill(clocks, timerLinks(view, timers));
    shown = key;
  });
  const stop = listen((what) => void (what === "sending" ? draw() : undefined));
  const reach = view.ctx.api.onReach(() => void draw());
  const minute = setInterval(draw, 20000);
  void draw();
  return {
    /** @param {View} next */
    refresh(next) {
      view = next;
      void draw();
    },
    close() {
      stopTick();
      stop();
      reach();
      clearInterval(minute);
    },
  };
}
