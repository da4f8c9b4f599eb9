// leaks.js - one leak as built: planned and actual, steps, notes, photos.
import { h, icon } from "../dom.js";
import { count, hours, when } from "../format.js";
import { row, table } from "../table.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Built} Built */
/** @typedef {import("./types.js").BuiltLeak} BuiltLeak */
/** @typedef {import("./types.js").Line} Line */

/** @param {string} mark */
export const placeOf = (mark) => (mark === "site" ? "the site" : mark);

/** Whether a person told anything of it. @param {Built} b @param {BuiltLeak} l */
export const wasRecorded = (b, l) => l.notes.length > 0 || l.steps.some((s) => s.started || s.finished || s.ticked) || l.lines.some((x) => x.seqs.length) || b.photos.some((p) => p.mark === l.mark);

/** @param {Line} x */
const why = (x) => (x.deviates ? x.reason ?? h("span", { class: "tag ask" }, icon("ask"), "no reason given") : "");

/** @param {BuiltLeak} l */
function lines(l) {
  const heads = ["What", "#Planned", "#As built", "Why it differs"];
  return l.lines.length ? table(`${placeOf(l.mark)}: planned and as built`, heads, l.lines.map((x) => row(heads, [[x.deviates ? h("strong", null, x.label) : x.label], x.planned || "none", x.actual || "not recorded", why(x)]))) : null;
}

/** A step of which nobody told anything; that of the proof stands on its own screen. @param {BuiltLeak["steps"][number]} s */
export const isUntold = (s) => !s.started && !s.finished && !s.ticked && s.code !== "prove";

/** @param {Ctx} ctx @param {BuiltLeak} l */
function steps(ctx, l) {
  if (!l.steps.length) return null;
  const heads = ["Step", "Begun", "Done", "By", "#People", "#Hours"];
  const begun = (/** @type {typeof l.steps[number]} */ s) => {
    if (isUntold(s)) return h("span", { class: "muted" }, "not recorded");
    return s.started || s.finished || s.code !== "prove" ? when(s.started) : h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/proof` }, "see the proof");
  };
  return table(`${placeOf(l.mark)}: steps`, heads, l.steps.map((s) => row(heads, [[s.title || "Without a step", " ", s.ticked && h("span", { class: "tag ok" }, icon("yes"), "ticked"), !s.planned && h("span", { class: "tag ask" }, "not planned")],
    begun(s), when(s.finished), s.by ?? "", s.people ? String(s.people) : "", s.hours ? hours(s.hours) : ""])));
}

/** @param {BuiltLeak} l */
const notes = (l) => (l.notes.length ? h("ul", { class: "plain" }, l.notes.map((n) => h("li", null, n.text, h("span", { class: "muted" }, ` ${[n.by, when(n.at)].filter(Boolean).join(", ")}`)))) : null);

/** @param {Ctx} ctx @param {Built["photos"]} list */
export function photos(ctx, list) {
  if (!list.length) return null;
  return h("ul", { class: "photos" }, list.map((p) => {
    const address = ctx.api.at(ctx.job, "photos", p.file), words = p.caption || `Photo of ${placeOf(p.mark)}`, lost = h("p", { class: "muted", hidden: true }, `${p.file} cannot be shown here.`);
    const link = h("a", { href: address, target: "_blank", rel: "noopener" }, h("img", { src: address, alt: `${placeOf(p.mark)}: ${words}`, loading: "lazy", error: () => {
      link.hidden = true;
      lost.hidden = false;
    } }));
    return h("li", null, link, lost, h("p", null, h("strong", null, placeOf(p.mark)), ` ${words}`), h("p", { class: "muted small" }, [p.by, when(p.at)].filter(Boolean).join(", ")));
  }));
}

/** @param {BuiltLeak} l @param {boolean} recorded */
function state(l, recorded) {
  if (l.mark === "site") return null;
  return l.finished ? h("span", { class: "tag ok" }, icon("yes"), "finished") : h("span", { class: "tag" }, recorded ? "begun" : "nothing recorded");
}

/** @param {Ctx} ctx @param {Built} b @param {BuiltLeak} l */
export function leakCard(ctx, b, l) {
  const differs = l.lines.filter((x) => x.deviates).length, recorded = wasRecorded(b, l), job = encodeURIComponent(ctx.job);
  return h("details", { class: "leak-card", open: ctx.mark === l.mark, "data-mark": l.mark },
    h("summary", null, h("span", { class: "leak-row" }, h("strong", { class: "leak-mark" }, placeOf(l.mark)), h("span", null, state(l, recorded)),
      h("span", null, recorded ? `${hours(l.hours)} h of ${hours(l.hours_planned)} h planned` : ""), h("span", null, differs ? h("span", { class: "tag changed" }, icon("changed"), count(differs, "thing differs", "things differ")) : null),
      h("span", { class: "muted" }, l.wetter ? "found wet where it was dry" : ""))),
    h("div", { class: "stack leak-inside" }, !recorded && h("p", { class: "muted" }, "Nothing was recorded here."), recorded && [lines(l), steps(ctx, l), notes(l), photos(ctx, b.photos.filter((p) => p.mark === l.mark))],
      l.mark !== "site" && h("div", { class: "row" }, h("a", { href: `#/job/${job}/plan/${encodeURIComponent(l.mark)}` }, `Plan of ${l.mark}`), h("a", { href: `#/job/${job}/proof` }, "Proof"))));
}
