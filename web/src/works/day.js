// day.js - one day of the works for those who do it: by hour, by person, by leak; batches, visits, hold points, hands and lungs. It
// prints on a page of its own.
import { Fault } from "../api.js";
import { append, button, fill, h, icon } from "../dom.js";
import { row, table } from "../table.js";
import { bars, choice, lines } from "./bars.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Day} Day */
/** @typedef {import("./types.js").Turn} Turn */

/** @param {Ctx} ctx @param {string|number} day */
const href = (ctx, day) => `#/job/${encodeURIComponent(ctx.job)}/works/day/${day}`;

/** @param {Day} d */
function byHour(d) {
  const heads = ["Time", "Where", "What", "Who", "Plant"];
  return lines("Tasks of the day by hour", heads, d.tasks.map((t) => row(heads, [t.hours, t.where, t.task, t.people, t.plant])));
}

/** A list of hours with what is done then. @param {string} title @param {string|null} to @param {{hours: string, words: string, done: boolean}[]} list */
const card = (title, to, list) => h("section", { class: "card stack tight" }, h("h3", null, to ? h("a", { href: to }, title) : title),
  h("ol", { class: "hours" }, list.map((t) => h("li", null, h("span", { class: "figures" }, t.hours), h("span", null, t.words, t.done && [" ", h("span", { class: "tag ok" }, icon("yes"), "done")])))));

/** @param {Day} d */
const byPerson = (d) => h("div", { class: "cards" }, d.crew.map((c) => card(c.who, null, c.tasks.map((t) => ({ hours: t.hours, done: t.done, words: t.task.startsWith(t.where) ? t.task : `${t.where}: ${t.task}` })))));

/** The same task of several people is one line. @param {Ctx} ctx @param {Day} d */
function byLeak(ctx, d) {
  /** @type {Map<string, {leak: boolean, tasks: Map<string, {hours: string, task: string, done: boolean, who: string[]}>}>} */
  const by = new Map();
  for (const c of d.crew) for (const t of c.tasks) {
    const place = by.get(t.where) ?? { leak: t.leak, tasks: new Map() };
    const key = `${t.hours} ${t.task}`, line = place.tasks.get(key) ?? { hours: t.hours, task: t.task, done: t.done, who: [] };
    line.who.push(c.who);
    place.tasks.set(key, line);
    by.set(t.where, place);
  }
  return h("div", { class: "cards" }, [...by].map(([where, p]) => card(where, p.leak ? `#/job/${encodeURIComponent(ctx.job)}/wall/${encodeURIComponent(where)}` : null,
    [...p.tasks.values()].map((t) => ({ hours: t.hours, done: t.done, words: `${t.task} (${t.who.join(", ")})` })))));
}

/** @param {Ctx} ctx @param {Day} d */
function tasks(ctx, d) {
  const list = h("div");
  const ways = /** @type {Record<string, () => HTMLElement>} */ ({ hour: () => byHour(d), person: () => byPerson(d), leak: () => byLeak(ctx, d) });
  const draw = (/** @type {string} */ way) => fill(list, ways[way]());
  draw("hour");
  return h("section", { class: "stack tight", "aria-labelledby": "day-tasks" }, h("div", { class: "row apart" }, h("h2", { id: "day-tasks" }, "Who does what"),
    choice("Sorted", [["hour", "By hour"], ["person", "By person"], ["leak", "By leak"]], "hour", draw)), list);
}

/** @param {Ctx} ctx @param {Day} d */
function picture(ctx, d) {
  const shown = bars(ctx, { form: "people", day: d.day, alt: `${d.title} as bars, a row a person. The table below says the same in words.` });
  return h("section", { class: "stack tight", "aria-labelledby": "day-bars" }, h("div", { class: "row apart" }, h("h2", { id: "day-bars" }, "As bars"), shown.larger), shown.frame);
}

/** @param {Day} d */
function batches(d) {
  if (!d.batches.length) return null;
  const heads = ["Batch for", "Mix at", "Use by", "Take, powder + water", "Measure"];
  return h("section", { class: "stack tight", "aria-labelledby": "day-batches" }, h("h2", { id: "day-batches" }, "Batches"),
    h("p", { class: "muted" }, `${d.tub} Each batch is mixed when the one before is placed.`),
    table("Batches of the day", heads, d.batches.map((b) => row(heads, [b.what, b.mixed, b.use_by, b.take, b.measure]))));
}

/** @param {Day} d */
function holds(d) {
  if (!d.holds.length) return null;
  /** @type {Map<string, string[]>} */
  const by = new Map();
  for (const x of d.holds) by.set(x.title, [...(by.get(x.title) ?? []), x.where]);
  return h("section", { class: "stack tight", "aria-labelledby": "day-holds" }, h("h2", { id: "day-holds" }, "Hold points"),
    h("p", { class: "muted" }, "A tick and a name at the wall before the next step."),
    h("ul", { class: "plain" }, [...by].map(([title, where]) => h("li", null, h("strong", null, title), `: ${where.join(", ")}`))));
}

/** @param {Day} d */
function safety(d) {
  const heads = ["Who", "Vibration (100 points: action)", "Noise", "Dust", "Respirator", "What is passed, and what helps"];
  return h("section", { class: "stack tight", "aria-labelledby": "day-safety" }, h("h2", { id: "day-safety" }, "Hands, ears and lungs"),
    d.exposures.length ? table("Each person's day", heads, d.exposures.map((e) => row(heads, [e.who, e.vibration, e.noise, e.silica, e.respirator,
      e.saying ? [h("span", { class: "tag ask" }, icon("weak"), "passed"), " ", e.saying] : "below the action values"]))) : h("p", null, "No tool that counts is used this day."),
    d.controls.length > 0 && h("ul", { class: "plain" }, d.controls.map((c) => h("li", null, h("strong", null, c.tool), c.control && `: ${c.control}`))));
}

/** @param {Day} d */
const cautions = (d) => d.cautions.length > 0 && h("section", { class: "stack tight", "aria-labelledby": "day-cautions" }, h("h2", { id: "day-cautions" }, "Cautions"),
  h("ul", { class: "plain" }, d.cautions.map((c) => h("li", null, c.marks && h("strong", null, `${c.marks}: `), c.caution))));

/** @param {Ctx} ctx @param {Day} d */
function head(ctx, d) {
  const step = (/** @type {number|null} */ to, /** @type {string} */ words, /** @type {"back"|"next"} */ sign) => to !== null && h("a", { class: "button", href: href(ctx, to) }, sign === "back" && icon(sign), words, sign === "next" && icon(sign));
  return [h("div", { class: "row apart" }, h("h1", null, d.title), h("nav", { class: "row no-print", "aria-label": "Days" }, step(d.before, "Day before", "back"), step(d.after, "Day after", "next"),
    h("a", { class: "button", href: `#/job/${encodeURIComponent(ctx.job)}/works` }, "All works"), button("Print", () => print(), { sign: "file" }))),
    !d.current && h("p", { class: "note ask" }, icon("weak"), h("span", null, h("strong", null, "The survey changed since this plan."), " What stands below is of before.")),
    h("dl", { class: "summary when" }, [["Site", d.site], ["Hours", d.hours], ["Crew", d.people], ["Keep moist", d.visits]].map(([label, value]) => value && h("div", null, h("dt", null, label), h("dd", null, value))))];
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {string} sentence */
function noDay(root, ctx, sentence) {
  fill(root, h("div", { class: "stack" }, h("h1", null, "No such day"), h("p", { class: "note ask" }, icon("weak"), h("span", null, sentence)),
    h("div", { class: "row" }, h("a", { class: "button main", href: `#/job/${encodeURIComponent(ctx.job)}/works` }, "All works"))));
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {string} day @returns {Promise<import("../types.js").Part>} */
export async function dayScreen(root, ctx, day) {
  ctx.title(`Day ${day}, ${ctx.job}`);
  try {
    /** @type {Day} */
    const d = await ctx.api.get(ctx.api.at(ctx.job, "works", "day", day), ctx.signal);
    ctx.title(`${d.title}, ${ctx.job}`);
    const box = h("div", { class: "stack loose works day" });
    append(box, [...head(ctx, d), tasks(ctx, d), batches(d), picture(ctx, d), holds(d), safety(d), cautions(d)]);
    fill(root, box);
  } catch (error) {
    if (!(error instanceof Fault && (error.code === 404 || error.code === 409))) throw error;
    noDay(root, ctx, error.message);
  }
  return { close() {} };
}
