// steptimer.js - the timers of a step: set, pot life, tacky, mist, or a time of one's own.
import { button, field, fill, h } from "../dom.js";
import { countdown, span, when } from "./clock.js";
import { mixStep } from "./progress.js";
import { onTick } from "./ringing.js";
import { start, stop } from "./timers.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Step} Step */

/** @type {Record<string, string>} */
const labels = { set: "Set time", "pot life": "Pot life", tacky: "Tacky", mist: "Mist again" };

/** Times of the step's material at other temperatures, looked up. @param {View} view @param {Leak} leak @param {Step} step @returns {{words: string, seconds: number}[]} */
export function timesFor(view, leak, step) {
  const code = step.code === "close_relief" ? "plug" : step.code;
  const material = leak.mixes.find((m) => mixStep(m) === code)?.material_id;
  const member = step.timer === "set" ? "set_s" : step.timer === "pot life" ? "pot_s" : null;
  if (!material || !member) return [];
  const out = [];
  for (const t of view.day.times) {
    const seconds = t[member], degrees = t.temperature_c ?? t.temperature_f;
    if (t.material_id !== material || !seconds || degrees === undefined) continue;
    out.push({ words: `${degrees} ${t.temperature_c !== undefined ? "°C" : "°F"}: ${span(seconds)}`, seconds });
  }
  return out;
}

/** @param {View} view @param {Leak} leak @param {Step} step @param {string} label @param {() => number} seconds */
function startButton(view, leak, step, label, seconds) {
  return button(`Start: ${label}`, () => {
    const s = seconds();
    if (!(s > 0)) return view.ctx.say("Give the minutes first.");
    return void start({ job: view.ctx.job, mark: leak.mark, step: step.code, label }, s).catch(view.ctx.fail);
  }, { class: "button wall-start", sign: "play" });
}

/** @param {View} view @param {Leak} leak @param {Step} step */
function planned(view, leak, step) {
  if (!step.timer || !step.timer_s) return null;
  const choice = h("select", null, h("option", { value: step.timer_s }, `as planned: ${span(step.timer_s)}`), timesFor(view, leak, step).map((t) => h("option", { value: t.seconds }, t.words)));
  const label = labels[step.timer] ?? step.timer;
  const what = step.timer === "set" ? "Colder of wall and leaking water" : "Temperature of the mix";
  return h("div", { class: "wall-timer-new" }, choice.options.length > 1 ? field(what, choice) : h("p", null, `${label}: ${span(step.timer_s)}`),
    startButton(view, leak, step, label, () => Number(choice.value)));
}

/** @param {View} view @param {Leak} leak @param {Step} step */
function own(view, leak, step) {
  const minutes = h("input", { type: "number", inputmode: "decimal", min: 0.1, max: 1440, step: "any", value: "10" });
  return h("details", { class: "wall-more" }, h("summary", null, "Other timer"), h("div", { class: "wall-timer-new" }, field("Minutes", minutes), startButton(view, leak, step, "Timer", () => minutes.valueAsNumber * 60)));
}

/** @param {import("./types.js").Timer} t */
function running(t) {
  const over = t.ends <= Date.now();
  return h("div", { class: over ? "wall-timer over" : "wall-timer" },
    h("span", { class: "wall-timer-words" }, t.label, h("span", { class: "muted" }, over ? `ended ${when(t.ends)}` : `until ${when(t.ends)}`)),
    h("strong", { class: "figures wall-digits", role: "timer", "aria-label": t.label }, countdown((t.ends - Date.now()) / 1000)),
    button(over ? "Stop ringing" : "Stop", () => void stop(t.id), { "aria-label": `${over ? "Stop ringing" : "Stop"}: ${t.label}` }));
}

/** @param {View} view @param {Leak} leak @param {Step} step */
export function timerBlock(view, leak, step) {
  const going = h("div", { class: "wall-timers" });
  let ids = "";
  const close = onTick((timers) => {
    const mine = timers.filter((t) => t.job === view.ctx.job && t.mark === leak.mark);
    const now = Date.now(), key = mine.map((t) => t.id + (t.ends <= now)).join();
    if (key !== ids) fill(going, mine.map(running));
    ids = key;
    mine.forEach((t, i) => {
      const digits = going.children[i]?.querySelector(".wall-digits");
      if (digits) digits.textContent = countdown((t.ends - now) / 1000);
    });
  });
  return { element: h("div", { class: "wall-timer-block" }, going, planned(view, leak, step)), own: own(view, leak, step), close };
}
