// tanks.js - the tanks: what their readings say, the figure, and a form for the next reading.
import { fill, h } from "../dom.js";
import { may } from "../api.js";
import { count, when } from "../format.js";
import { row, table } from "../table.js";
import { utc } from "../wall/db.js";
import { plainNumbers, words } from "../wall/said.js";
import { member, term } from "../wall/terms.js";
import { formDoor, recordForm } from "./send.js";
import { fact, tag } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Tank} Tank */

const measured = ["level", "tank_water", "pan_level", "rain"];
const SHOWN = 15; // readings before the older ones are folded away

/** A moment as the field for it wants it. @param {string} at */
function localTime(at) {
  const d = new Date(at);
  return new Date(d.getTime() - d.getTimezoneOffset() * 60000).toISOString().slice(0, 16);
}

/** @param {Ctx} ctx @param {string} id */
function readingForm(ctx, id) {
  const numbers = plainNumbers(ctx.units, measured), note = words(undefined, "Note");
  const at = h("input", { type: "datetime-local" });
  const level = member(term("level"), ctx.units);
  return recordForm(ctx, { title: "A reading", yes: "Keep the reading", fixed: { mark: "site", what: "level", tank: id },
    element: h("div", { class: "stack" }, numbers.element, h("p", { class: "hint" }, "Levels above any mark that stays where it is; higher water is the larger number. Pan, rain and temperature of every reading make the verdict surer."),
      h("label", { class: "field" }, h("span", { class: "label" }, "Read at (empty: now)"), at), note.element),
    read() {
      const values = numbers.read();
      if (typeof values === "string") return values;
      if (values[level] === undefined) return "Write the level of the water in the tank.";
      return { ...values, at: at.value ? utc(new Date(at.value)) : undefined, text: note.area.value.trim() || undefined };
    },
    clear() {
      for (const input of numbers.inputs.values()) input.value = "";
      at.value = "";
      note.area.value = "";
    },
    refill(r) {
      for (const [name, input] of numbers.inputs) input.value = String(r[member(term(name), ctx.units)] ?? "");
      at.value = localTime(r.at);
      note.area.value = r.text ?? "";
    } });
}

/** @param {Tank} t */
function readings(t) {
  const heads = ["Read at", "#Level", "#Water", "#Pan", "#Rain", "By"];
  const of = (/** @type {Tank["readings"]} */ list, /** @type {string} */ caption) => table(caption, heads, list.map((r) => row(heads, [when(r.at), r.level, r.temperature, r.pan, r.rain, r.by])));
  if (!t.readings.length) return h("p", { class: "muted" }, "No reading is recorded.");
  const newest = [...t.readings].reverse(), older = newest.slice(SHOWN);
  return h("details", { open: t.readings.length <= 4 }, h("summary", null, count(t.readings.length, "reading", "readings")), of(newest.slice(0, SHOWN), `Readings of ${t.name}`),
    older.length > 0 && h("details", null, h("summary", null, `${older.length} older`), of(older, `Older readings of ${t.name}`)));
}

/** @param {Ctx} ctx @param {Tank} t */
function figure(ctx, t) {
  if (t.verdict === "none") return null;
  const address = `${ctx.api.at(ctx.job, "tanks", `${t.id}.svg`)}?v=${t.readings.at(-1)?.seq ?? 0}`;
  const box = h("div", { class: "figure-frame" }, h("img", { src: address, alt: `Levels of ${t.name}: as read, corrected for evaporation, rain and warmth, and the fall that is allowed. ${t.reason}.`, error: () => box.remove() }));
  return box;
}

/** @param {Ctx} ctx @param {Tank} t */
function result(ctx, t) {
  const found = t.found && (t.uncertainty ? `${t.found} ± ${t.uncertainty}` : t.found);
  return [h("div", { class: "row" }, h("h3", null, t.name), tag(t.verdict)), h("p", { class: "said-large" }, t.reason),
    h("div", { class: "tank-columns" }, h("div", { class: "stack" },
      h("dl", { class: "facts" }, fact("Allowed", t.allowed), fact("Found", found), fact("Net drop", t.net_drop), fact("Loss", t.loss), fact("Read over", t.hours && `${t.hours} h`), fact("To go on for", t.hours_more && `${t.hours_more} h`)),
      t.criterion && h("p", { class: "muted" }, `${t.criterion}: ${t.asks}. Source: ${t.source}.`),
      t.findings.length > 0 && h("div", null, h("h4", null, "What was noticed"), h("ul", { class: "plain" }, t.findings.map((f) => h("li", null, f))))), figure(ctx, t)), readings(t)];
}

/** Cards of the tanks; the forms in them outlast a new verdict. @param {Ctx} ctx */
export function tankCards(ctx) {
  /** @type {Map<string, {card: HTMLElement, result: HTMLElement}>} */
  const made = new Map();
  const list = h("div", { class: "stack" });
  return { element: list, show(/** @type {Tank[]} */ tanks) {
    for (const t of tanks) {
      let one = made.get(t.id);
      if (!one) {
        const box = h("div", { class: "stack" });
        one = { result: box, card: h("article", { class: "card stack", "aria-label": t.name }, box, may(ctx.session.role, "foreman") && formDoor("Write a reading", () => readingForm(ctx, t.id))) };
        made.set(t.id, one);
        list.append(one.card);
      }
      const open = one.result.querySelector("details")?.open;
      fill(one.result, result(ctx, t));
      const again = one.result.querySelector("details");
      if (open !== undefined && again) again.open = open;
    }
  } };
}
