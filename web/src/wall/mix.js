// mix.js - the mix calculator: what is left of the slot, or what lies in the tub. Every figure is made in C (wasm.js).
import { field, fill, h, icon } from "../dom.js";
import { makeRoom, numberPad, read } from "./pad.js";
import { span } from "./clock.js";
import { mixStep } from "./progress.js";
import { loadCalculator } from "./wasm.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Mix} Mix */

/** plug 0, pack 1, coats 2: as in web/wasm/mix.c @param {Mix} m */
const partOf = (m) => (mixStep(m) === "plug" ? 0 : mixStep(m) === "pack" ? 1 : 2);

/** @param {Leak} leak @param {string} name @param {"metric"|"us"} units @param {[string, string]} suffix */
const of = (leak, name, units, suffix) => leak[`${name}_${suffix[units === "us" ? 1 : 0]}`];

/** A number as it stands in a field. @param {number|null|undefined} n */
const shown = (n) => (n === null || n === undefined ? "" : String(Number(n.toFixed(3))));

/** @param {View} view @param {Leak} leak @param {Mix} m @returns {import("./calculator.js").Given} */
function planned(view, leak, m) {
  const us = view.units === "us" ? "gal" : "l";
  return {
    system: view.units === "us" ? 1 : 0, part: partOf(m), whole: of(leak, "slot_length", view.units, ["m", "ft"]) ?? 0,
    coat: m[`volume_${us}`] ?? 0, batch: m[`batch_volume_${us}`] ?? 0, usable_s: m.usable_s, waste: view.day.mix_waste,
    powder_parts: m.recipe.parts_powder, water_parts: m.recipe.parts_water, bulk: m.recipe.bulk_kg_m3, particle: m.recipe.particle_kg_m3,
  };
}

/** Fields by what is given and filled. @param {View} view @param {Leak} leak @param {number} given @param {number} part */
function fieldsFor(view, leak, given, part) {
  const us = view.units === "us", u = view.units;
  if (given === 1) return [{ name: "need", label: "Mixed volume", unit: us ? "gal" : "l" }];
  if (given === 2) return [{ name: "need", label: "Powder", unit: us ? "lb" : "kg" }];
  const length = { name: "length", label: "Length left", unit: us ? "ft" : "m", value: shown(of(leak, "slot_length", u, ["m", "ft"])) };
  if (part === 2) return [length];
  const size = us ? "in" : "mm";
  return [length, { name: "width", label: "Slot width", unit: size, value: shown(of(leak, "slot_width", u, ["mm", "in"])) },
    { name: "depth", label: "Depth as cut", unit: size, value: shown(of(leak, "depth", u, ["mm", "in"])) },
    { name: "plug", label: part === 0 ? "Fill with plug" : "Plug in it", unit: size, value: shown(of(leak, "plug", u, ["mm", "in"])) }];
}

/** A hole or a patch has no slot to measure. @param {View} view @param {Leak} leak */
const hasSlot = (view, leak) => of(leak, "slot_length", view.units, ["m", "ft"]) > 0 && of(leak, "slot_width", view.units, ["mm", "in"]) > 0;

/** @param {View} view @param {Mix} m */
function temperatures(view, m) {
  const list = view.day.times.filter((t) => t.material_id === m.material_id && t.pot_s);
  if (!list.length) return null;
  const words = (/** @type {import("./types.js").Time} */ t) => `${t.temperature_c ?? t.temperature_f} ${t.temperature_c !== undefined ? "°C" : "°F"}${t.pot_s ? ", pot life " + span(t.pot_s) : ""}`;
  return h("select", null, h("option", { value: "-1" }, `as planned: ${m.usable}`), list.map((t, i) => h("option", { value: i }, words(t))));
}

/** @param {import("./calculator.js").Found} a */
function answerOf(a) {
  const many = a.numbers.batches > 1, t = a.texts;
  const line = (/** @type {string} */ label, /** @type {string} */ value, /** @type {string} */ kind) => h("div", { class: kind }, h("dt", null, label), h("dd", null, value));
  return h("dl", { class: "wall-answer" }, line(many ? "Powder a batch" : "Powder", t.batch_powder, "big"), line(many ? "Water a batch" : "Water", t.batch_water, "big"),
    line("Batches", t.batches, many ? "big" : ""), line("In all", many ? `${t.powder} and ${t.water}` : t.yield, ""));
}

/** @param {Mix} m */
const mixName = (m) => `${mixStep(m).replace("_", " ")}: ${m.material}`;

/** @param {HTMLElement} root @param {View} view */
export async function mixView(root, view) {
  const leak = view.leak;
  const back = h("a", { class: "button bare", href: view.to(view.ctx.mark) }, icon("back"), view.ctx.mark ?? "Today's leaks");
  const mixes = leak && !leak.stop ? leak.mixes.filter((m) => m.recipe) : [];
  if (!leak || !mixes.length) {
    fill(root, back, h("h1", null, "Mix"), h("p", { class: "note ask" }, leak?.stop ? `STOP: ${leak.stop}` : "There is nothing to mix for this leak."));
    return {};
  }
  const run = await loadCalculator();
  const asked = mixes.findIndex((m) => mixStep(m) === view.ctx.query.get("step"));
  const which = h("select", { change: () => build() }, mixes.map((m, i) => h("option", { value: i, selected: i === asked }, mixName(m))));
  const how = h("select", { change: () => build() }, hasSlot(view, leak) ? h("option", { value: 0 }, "Slot left") : null, h("option", { value: 2 }, "Powder in the tub"), h("option", { value: 1 }, "Mixed volume"));
  const place = h("div", { class: "stack" }), thumb = h("div", { class: "wall-thumb" }), result = h("div", { class: "wall-result", role: "status" });

  function build() {
    const m = mixes[Number(which.value)], part = partOf(m), given = Number(how.value);
    const warm = temperatures(view, m);
    const pad = numberPad(fieldsFor(view, /** @type {Leak} */ (leak), given, part), work);
    warm?.addEventListener("change", work);
    fill(thumb, pad.keys);
    fill(place, pad.element, warm && field("Temperature of the mix", warm));
    function work() {
      const time = warm && Number(warm.value) >= 0 ? view.day.times.filter((t) => t.material_id === m.material_id && t.pot_s)[Number(warm.value)] : null;
      /** @type {Record<string, number>} */
      const typed = {};
      for (const [name, input] of pad.inputs) typed[name] = read(input.value) ?? NaN;
      if (Object.values(typed).some((v) => Number.isNaN(v))) return fill(result, h("p", { class: "muted" }, "Fill in each number."));
      const a = run({ ...planned(view, /** @type {Leak} */ (leak), m), given, pot_s: time?.pot_s ?? 0, set_s: time?.set_s ?? 0, ...(given === 0 ? {} : { waste: 0 }), ...typed });
      return fill(result, "numbers" in a ? answerOf(a) : h("p", { class: "wall-warn" }, `${a.fault}.`));
    }
    work();
  }
  fill(root, h("div", { class: "wall-title" }, back, h("h1", null, `Mix for ${leak.mark}`)), h("div", { class: "wall-two" }, field("For", which), field("Given", how)), result, place,
    h("p", { class: "muted" }, "Waste of the job is added to what a slot takes; a coat is taken by its length. Batches are no larger than planned for the usable time."), thumb);
  makeRoom(root, () => /** @type {HTMLElement|undefined} */ (thumb.firstElementChild ?? undefined));
  build();
  return {};
}
