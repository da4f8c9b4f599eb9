// wall.js - the job at the wall: today's leaks, one leak step by step, mix, records. Which view stands in the
// address: #/job/J/wall, #/job/J/wall/E3, and ?show=mix, record, records, conflict, correct, set behind either.
import { Fault, may } from "../api.js";
import { button, fill, h, icon } from "../dom.js";
import { fetchDay, keptDay } from "./day.js";
import { listen } from "./bus.js";
import { all } from "./records.js";
import { setting } from "./db.js";
import { sync } from "./queue.js";
import { watch } from "./ringing.js";
import { strip } from "./strip.js";
import { listView } from "./list.js";
import { leakView } from "./leak.js";
import { mixView } from "./mix.js";
import { recordView } from "./record.js";
import { recordsView } from "./history.js";
import { conflictView } from "./conflict.js";
import { setView } from "./setday.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/**
 * What each view is given.
 * @typedef {object} View
 * @property {Ctx} ctx
 * @property {import("./types.js").KeptDay} kept
 * @property {import("./types.js").Day} day
 * @property {Leak} [leak]
 * @property {import("./types.js").Kept[]} records   of the job
 * @property {import("./types.js").Conflict[]} conflicts
 * @property {"metric"|"us"} units
 * @property {boolean} writes                        this person may record
 * @property {(mark?: string, query?: string) => string} to   address of a view
 * @property {(id: string) => string} material       name of a material
 */
/** @typedef {{close?: () => void, refresh?: (view: View) => void}} Shown */

/** Back in the hand or in the signal, a day older than this is asked for again; and one that lies open, after so long. */
const DAY_OLD_MS = 20000, DAY_OPEN_MS = 300000;

/** @type {Record<string, (root: HTMLElement, view: View) => Shown|Promise<Shown>>} */
const views = { mix: mixView, record: recordView, mend: recordView, correct: recordView, records: recordsView, conflict: conflictView, set: setView };

/** @param {Ctx} ctx @param {import("./types.js").KeptDay} kept @returns {Promise<View>} */
async function viewOf(ctx, kept) {
  const day = kept.day, job = encodeURIComponent(ctx.job);
  const names = new Map(day.leaks.flatMap((l) => l.mixes.map((m) => /** @type {[string, string]} */ ([m.material_id, m.material]))));
  return {
    ctx, kept, day, leak: day.leaks.find((l) => l.mark === ctx.mark),
    records: await all(ctx.job), conflicts: (await setting(`conflicts ${ctx.job}`)) ?? [], units: day.units === "us" ? "us" : "metric",
    writes: may(ctx.session.role, "foreman"),
    to: (mark, query) => `#/job/${job}/wall${mark ? "/" + encodeURIComponent(mark) : ""}${query ? "?" + query : ""}`,
    material: (id) => names.get(id) ?? id,
  };
}

/** No day on this phone and none from the server. @param {HTMLElement} root @param {Ctx} ctx @param {unknown} error */
function noDay(root, ctx, error) {
  const sentence = error instanceof Error ? error.message : "There is no signal, and this job was never opened on this phone. Open it once where there is one; then it stays here.";
  const again = button("Try again", () => ctx.go(location.hash), { class: "button main", sign: "again" });
  fill(root, h("div", { class: "stack" }, h("h1", null, "At the wall"), h("p", { class: "note ask", role: "alert" }, sentence), h("div", { class: "row" }, again)));
}

/** Done, of another day or gone: what is seen there can be recorded all the same. @param {HTMLElement} root @param {View} view */
function unknownLeak(root, view) {
  const mark = view.ctx.mark ?? "", door = (/** @type {string} */ to, /** @type {Parameters<typeof icon>[0]} */ sign, /** @type {string} */ words) => h("a", { class: "button", href: to }, icon(sign), words);
  fill(root, h("a", { class: "button bare", href: view.to() }, icon("back"), "Today's leaks"), h("h1", null, mark),
    h("p", { class: "note ask" }, "This leak is not in today's list on this phone: it is done, of another day, or no longer in the job."),
    h("div", { class: "wall-doors" }, view.writes ? door(view.to(mark, "show=record"), "plus", "Record") : null, door(view.to(mark, "show=records"), "log", "Records"),
      door(`#/job/${encodeURIComponent(view.ctx.job)}/plan/${encodeURIComponent(mark)}`, "plan", "Plan of it")));
  return {};
}

/** @param {View} view */
function choose(view) {
  const show = view.ctx.query.get("show") ?? "";
  if (views[show]) return views[show];
  if (!view.ctx.mark) return listView;
  return view.leak ? leakView : unknownLeak;
}

/** @param {HTMLElement} root @param {Ctx} ctx */
export async function open(root, ctx) {
  root.classList.add("wall");
  void watch();
  let kept = await keptDay(ctx.job);
  /** @type {unknown} */
  let trouble = null;
  const fresh = fetchDay(ctx.job, ctx.signal).catch((e) => {
    if (e instanceof Fault) trouble = e;
  });
  if (!kept) kept = (await fresh) ?? undefined;
  if (!kept) {
    noDay(root, ctx, trouble);
    return { close() {} };
  }
  const head = h("div", { class: "wall-head" }), body = h("div", { class: "wall-body" }), foot = h("div");
  fill(root, head, body, foot);
  let view = await viewOf(ctx, kept);
  ctx.title(`${ctx.mark ? ctx.mark + ", at the wall" : "At the wall"}, ${view.day.name || ctx.job}`);
  /** @type {Shown} */
  const shown = await choose(view)(body, view);
  const bar = strip(head, foot, view);
  const stop = listen((what) => void (what === "records" || what === "day" ? refresh() : undefined));

  async function refresh() {
    const now = (await keptDay(ctx.job)) ?? /** @type {import("./types.js").KeptDay} */ (kept);
    const before = view.leak;
    view = await viewOf(ctx, now);
    if (ctx.signal.aborted) return;
    if (ctx.mark && !ctx.query.get("show") && JSON.stringify(before) !== JSON.stringify(view.leak)) {
      ctx.say(`${ctx.mark} has changed in the plan: this is how it is now.`);
      return ctx.go(location.hash);
    }
    bar.refresh(view);
    shown.refresh?.(view);
  }

  void sync(ctx.job);
  const ask = (/** @type {number} */ old) => {
    void sync(ctx.job);
    if (Date.now() - view.kept.fetched > old) void fetchDay(ctx.job, ctx.signal).catch(() => {});
  };
  const rounds = setInterval(() => ask(DAY_OPEN_MS), 20000);
  const soon = () => ask(DAY_OLD_MS);
  addEventListener("online", soon, { signal: ctx.signal });
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon(), { signal: ctx.signal });
  return {
    close() {
      clearInterval(rounds);
      stop();
      bar.close();
      shown.close?.();
    },
  };
}
