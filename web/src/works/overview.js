// overview.js - the works in one screen: when, as bars, by day, what moved, curing visits, what is passed, all tasks.
import { append, fill, h, icon } from "../dom.js";
import { count } from "../format.js";
import { may } from "../api.js";
import { makePlan, staleNote } from "../plan/head.js";
import { row, table } from "../table.js";
import { atSection } from "./at.js";
import { bars, choice, lines } from "./bars.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Planned} Planned */

const SHOWN = 12; // sentences before the rest is folded away

/** @param {Ctx} ctx @param {{day: number, date: string|null}} d */
export const dayHref = (ctx, d) => `#/job/${encodeURIComponent(ctx.job)}/works/day/${d.date ?? d.day}`;

/** @param {string} label @param {import("../dom.js").Child} value */
const fact = (label, value) => value && h("div", null, h("dt", null, label), h("dd", null, value));

/** @param {Ctx} ctx @param {Planned} w @param {() => void} again */
function head(ctx, w, again) {
  const calendar = w.start_on && h("a", { class: "button", href: ctx.api.at(ctx.job, "works.ics"), download: `${ctx.job}-works.ics` }, icon("file"), "Calendar for a phone");
  const plan = w.current && may(ctx.session.role, "foreman") && h("button", { type: "button", class: "button", click: () => void makePlan(ctx, again) }, icon("again"), "Plan again");
  return [h("div", { class: "row apart" }, h("h1", null, "Works"), h("div", { class: "row" }, calendar, plan)), staleNote(ctx, w.current, again),
    w.late && h("p", { class: "note stop" }, icon("weak"), h("span", null, h("strong", null, "Too late. "), `To be back in service ${w.deadline}.`)),
    h("dl", { class: "summary when" }, fact("Works", w.when), fact("Out of service", w.out), fact("Back in service", w.deadline)),
    h("p", { class: "muted" }, [w.bound, w.absent, w.start_on ? "" : "No first day of work is told: days are numbers, and there is no calendar."].filter(Boolean).join(" "))];
}

/** @param {string} title @param {string} id @param {string[]} list @param {string} [before] */
function sentences(title, id, list, before) {
  if (!list.length) return null;
  const items = list.map((t) => h("li", null, t)), rest = items.slice(SHOWN);
  return h("section", { class: "stack tight", "aria-labelledby": id }, h("h2", { id }, title), before && h("p", { class: "muted" }, before), h("ul", { class: "plain" }, items.slice(0, SHOWN)),
    rest.length > 0 && h("details", null, h("summary", null, `${rest.length} more`), h("ul", { class: "plain" }, rest)));
}

/** @param {Ctx} ctx @param {Planned} w */
function picture(ctx, w) {
  const alt = (/** @type {string} */ how) => `The works as bars, by ${how}: ${w.when}. The days below say the same in words.`;
  const shown = bars(ctx, { form: "leaks", revision: w.revision, alt: alt("leak") });
  const ways = choice("Rows", [["leaks", "By leak"], ["people", "By person"]], "leaks", (way) =>
    shown.change({ form: way === "people" ? "people" : "leaks", revision: w.revision, alt: alt(way === "people" ? "person" : "leak") }));
  return h("section", { class: "stack tight", "aria-labelledby": "bars" }, h("div", { class: "row apart" }, h("h2", { id: "bars" }, "As bars"), h("div", { class: "row" }, ways, shown.larger)),
    shown.frame, h("div", null, shown.alone));
}

/** @param {Ctx} ctx @param {Planned} w */
function days(ctx, w) {
  const heads = ["Day", "Leaks", "#Tasks", "#Curing visits", "Hands and lungs"];
  return h("section", { class: "stack tight", "aria-labelledby": "days" }, h("h2", { id: "days" }, "Day by day"),
    table("Days with work", heads, w.days.map((d) => row(heads, [h("a", { href: dayHref(ctx, d) }, d.label), d.marks.join(", "), String(d.tasks), d.visits ? String(d.visits) : "",
      d.over && h("span", { class: "tag ask" }, icon("weak"), "over a value")]))));
}

/** @param {Ctx} ctx @param {Planned} w */
function visits(ctx, w) {
  const open = w.visits.filter((v) => !v.done);
  if (!open.length) return null;
  /** @type {Map<number, typeof open>} */
  const by = new Map();
  for (const v of open) by.set(v.day, [...(by.get(v.day) ?? []), v]);
  const names = new Map(w.days.map((d) => [d.day, d.label]));
  const of = (/** @type {typeof open} */ list) => h("details", { class: "card" }, h("summary", null, `${names.get(list[0].day) ?? list[0].at}: ${count(list.length, "visit", "visits")}`),
    h("ul", { class: "plain" }, list.map((v) => h("li", null, h("strong", null, v.at), " ", v.title, v.workers.length > 0 && h("span", { class: "muted" }, `, ${v.workers.join(", ")}`)))));
  return h("section", { class: "stack tight", "aria-labelledby": "visits" }, h("h2", { id: "visits" }, "Curing visits"),
    h("p", { class: "muted" }, `${count(open.length, "visit keeps", "visits keep")} the fresh repairs moist.${w.start_on ? " The calendar for a phone has each with an alarm." : ""}`), h("div", { class: "cards" }, [...by.values()].map(of)));
}

/** @param {Ctx} ctx @param {Planned} w */
function passed(ctx, w) {
  if (!w.exposures.length) return null;
  const heads = ["Day", "Who", "", "What is passed, and what helps"];
  const word = { limit: ["stop", "limit value passed"], action: ["ask", "action value passed"], "": ["", "to be known"] };
  return h("section", { class: "stack tight", "aria-labelledby": "passed" }, h("h2", { id: "passed" }, "Hands and lungs"),
    h("details", null, h("summary", null, `${count(w.exposures.length, "day of a person passes", "days of persons pass")} an action value`),
      table("Days on which an action value is passed", heads, w.exposures.map((e) => row(heads, [h("a", { href: dayHref(ctx, { day: e.day, date: null }) }, e.label), e.worker,
        h("span", { class: `tag ${word[e.over][0]}` }, e.over && icon("weak"), word[e.over][1]), e.saying])))));
}

/** @param {Planned} w */
function tasks(w) {
  const heads = ["When", "What", "Who", "Plant", "Batches"];
  const marks = [...new Set(w.tasks.map((t) => t.mark || t.face))];
  const pick = h("select", { id: "tasks-of" }, marks.map((m) => h("option", { value: m }, m)));
  const list = h("div");
  const draw = () => fill(list, lines(`Tasks of ${pick.value}`, heads, w.tasks.filter((t) => (t.mark || t.face) === pick.value).map((t) =>
    row(heads, [t.when, [t.title, (t.done || t.begun) && h("span", { class: `tag ${t.done ? "ok" : ""}` }, t.done ? "done" : "begun")], t.workers.join(", "), t.plant.join(", "), t.batches ? count(t.batches, "batch", "batches") : ""]))));
  pick.addEventListener("change", draw);
  draw();
  return h("section", { class: "stack tight", "aria-labelledby": "tasks" }, h("h2", { id: "tasks" }, "Leak by leak"),
    h("div", { class: "row" }, h("label", { for: "tasks-of" }, "Tasks of"), pick), list);
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {Planned} w @param {() => void} again */
export function overview(box, ctx, w, again) {
  append(box, [...head(ctx, w, again),
    sentences("Moved since the works before", "moved", w.moved, "Something was recorded at the wall, so the rest was planned again, as near to the old order as can be."),
    h("div", { class: "works-columns" }, days(ctx, w), picture(ctx, w)), visits(ctx, w),
    passed(ctx, w), atSection(ctx), tasks(w), sentences("To be known of these works", "warnings", w.warnings)]);
}
