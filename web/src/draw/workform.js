/** The part of the site's form that says when and by whom work is done: days and hours, plant, people. */
import { button, field, h } from "../dom.js";
import { withMember } from "./edits.js";
import { box, number, typed } from "./forms.js";
import { DAY_WORDS, PLANT_WORDS } from "./terms.js";

/** @typedef {{node: HTMLElement, read: (work: any) => any}} Part  `read` gives the work with what was typed */

/** @param {string} title @param {(Node | null)[]} nodes */
const group = (title, nodes) => h("fieldset", null, h("legend", null, title), h("div", { class: "draw-fields" }, nodes));

/** @param {string} title @param {any} from @param {[string, string][]} rows member, label @returns {Part} */
function hours(title, from, rows) {
  const inputs = rows.map(([member, label]) => ({ member, label, input: number(from[member]) }));
  return { node: group(title, inputs.map((i) => field(i.label, i.input))), read: (work) => inputs.reduce((all, i) => withMember(all, i.member, typed(i.input, i.label, false)), work) };
}

/** @param {any} work @returns {Part} */
function dates(work) {
  const start = h("input", { type: "date", value: work.start_on ?? "" });
  const back = h("input", { type: "date", value: work.back_on ?? "" });
  const off = box((work.holidays ?? []).join(" "));
  const list = () => off.value.split(/[\s,;]+/).filter(Boolean).sort();
  return {
    node: group("Days", [field("first day of work", start), field("back in service by", back), field("days off", off, "dates, such as 2026-12-24 2026-12-25")]),
    read: (w) => withMember(withMember(withMember(w, "start_on", start.value), "back_on", back.value), "holidays", list().length ? list() : null),
  };
}

/** Monday to Friday goes without saying. @param {any} work @returns {Part} */
function weekdays(work) {
  const had = new Set(work.days ?? DAY_WORDS.slice(0, 5).map(([day]) => day));
  const inputs = DAY_WORDS.map(([day, words]) => ({ day, words, input: h("input", { type: "checkbox", checked: had.has(day) }) }));
  return {
    node: h("fieldset", { class: "draw-signs" }, h("legend", null, "Worked on"), inputs.map((i) => h("label", { class: "tick" }, i.input, i.words))),
    read: (w) => {
      if (inputs.every((i) => i.input.checked === had.has(i.day))) return w;
      const days = inputs.filter((i) => i.input.checked).map((i) => i.day);
      if (!days.length) throw new Error("tick at least one day that is worked on");
      return { ...w, days };
    },
  };
}

/** @param {any} work @returns {Part} */
function plant(work) {
  const part = hours("Plant on site, how many", work.plant ?? {}, PLANT_WORDS);
  return {
    node: part.node,
    read: (w) => {
      const now = part.read(w.plant ?? {});
      return withMember(w, "plant", Object.keys(now).length ? now : null);
    },
  };
}

const SKILLS = /** @type {const} */ ([["cuts", "cuts"], ["places", "places"], ["mixes", "mixes"]]);

/** One worker, and what he may do. @param {any} worker @param {() => void} gone */
function workerRow(worker, gone) {
  const name = box(worker.name, { maxlength: 40, "aria-label": "name of a worker" });
  const ticks = SKILLS.map(([member, words]) => ({ member, words, input: h("input", { type: "checkbox", checked: worker[member] === true }) }));
  const remove = button("×", gone, { class: "button bare draw-gone", "aria-label": `take ${worker.name || "the worker"} off the crew`, title: "Take off the crew" });
  const node = h("div", { class: "row", role: "group", "aria-label": worker.name || "a new worker" }, name, ticks.map((t) => h("label", { class: "tick" }, t.input, t.words)), remove);
  const read = () => ticks.reduce((all, t) => withMember(all, t.member, t.input.checked || null), { ...worker, name: name.value.trim() });
  return { node, name, read };
}

/** Nobody named: as many as the crew, each able to do everything. @param {any} work @returns {Part} */
function workers(work) {
  /** @type {ReturnType<typeof workerRow>[]} */
  let rows = [];
  const list = h("div", { class: "stack tight" });
  const add = (/** @type {any} */ worker) => {
    const row = workerRow(worker, () => {
      rows = rows.filter((r) => r !== row);
      row.node.remove();
      more.focus();
    });
    rows.push(row);
    list.appendChild(row.node);
    return row;
  };
  const more = button("Add a worker", () => add({ name: "", cuts: true, places: true, mixes: true }).name.focus(), { class: "button small", sign: "plus" });
  for (const worker of work.workers ?? []) add(worker);
  return {
    node: h("fieldset", null, h("legend", null, "People by name"), h("p", { class: "hint" }, "Without names everybody of the crew can do everything."), list, more),
    read: (w) => {
      const named = rows.map((row) => row.read()).filter((worker) => worker.name);
      return withMember(w, "workers", named.length ? named : null);
    },
  };
}

/** @param {any} site @returns {{node: HTMLElement, read: (site: any) => any}} */
export function workFields(site) {
  const work = site.work ?? {};
  const parts = [dates(work), weekdays(work),
    hours("Hours of the day, 0 to 24", work, [["starts_h", "work starts at"], ["break_h", "break begins at"], ["break_length_h", "break lasts, h"], ["noise_from_h", "noisy work from"], ["noise_to_h", "noisy work until"]]),
    plant(work), workers(work)];
  return {
    node: h("details", { open: site.work !== undefined }, h("summary", null, "When and by whom work is done"), h("div", { class: "stack tight" }, parts.map((p) => p.node))),
    read: (s) => {
      const now = parts.reduce((w, part) => part.read(w), s.work ?? {});
      return withMember(s, "work", Object.keys(now).length ? now : null);
    },
  };
}
