// record.js - a record in ten seconds: used, found, tested, photo, note, done otherwise. The same form corrects a record and mends a refused one.
import { button, fill, h, icon } from "../dom.js";
import { setting } from "./db.js";
import { mixStep } from "./progress.js";
import { makeRoom } from "./pad.js";
import { shrink } from "./photo.js";
import { deviationKind, proofKind } from "./prove.js";
import { keep, mend } from "./records.js";
import { padNumbers, words } from "./said.js";
import { sync } from "./queue.js";
import { found, used, whats } from "./terms.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Kept} Kept */
/** @typedef {import("./said.js").Kind} Kind */

/** Materials of the leak, or of the day for the site. @param {View} view */
function materials(view) {
  const mixes = view.leak ? view.leak.mixes : view.day.leaks.flatMap((l) => l.mixes);
  return [...new Map(mixes.map((m) => [m.material_id, { id: m.material_id, name: m.material, step: mixStep(m) }])).values()];
}

/** @param {View} view @param {Kept} [old] @returns {Kind} */
function usedKind(view, old) {
  const list = materials(view), pad = padNumbers(view.units, used, old), note = words(old);
  const step = view.ctx.query.get("step");
  const chosen = old ? old.record.material : (list.find((m) => m.step === step) ?? (list.length === 1 ? list[0] : undefined))?.id;
  const radios = list.map((m) => h("label", { class: "wall-choice" }, h("input", { type: "radio", name: "material", value: m.id, checked: m.id === chosen }), h("span", null, m.name)));
  const element = h("div", { class: "stack" }, list.length ? h("fieldset", { class: "wall-choices" }, h("legend", null, "Material"), radios) : null, pad.element, note.element);
  return { element, keys: pad.keys, read() {
    const values = pad.read();
    if (typeof values === "string") return values;
    const id = /** @type {HTMLInputElement|null} */ (element.querySelector("input[name=material]:checked"))?.value ?? (list.length ? undefined : old?.record.material);
    const amounts = Object.values(values).some((v) => v !== undefined);
    if (!amounts) return "Give an amount: powder, water, packs, people or hours.";
    if (!id && list.length) return "Choose the material.";
    return { ...values, material: id, step: old?.record.step ?? list.find((m) => m.id === id)?.step, text: note.area.value.trim() || undefined };
  } };
}

/** @param {View} view @param {Kept} [old] @returns {Kind} */
function foundKind(view, old) {
  const step = view.ctx.query.get("step") ?? undefined;
  const first = step === "scan" ? ["cover", ...found.filter((n) => n !== "cover")] : found;
  const pad = padNumbers(view.units, first, old), note = words(old);
  return { element: h("div", { class: "stack" }, pad.element, note.element), keys: pad.keys, read() {
    const values = pad.read();
    if (typeof values === "string") return values;
    const text = note.area.value.trim() || undefined;
    if (!text && Object.values(values).every((v) => v === undefined)) return "Give a number or a note.";
    return { ...values, step: old?.record.step ?? step, text };
  } };
}

/** @param {View} _view @param {Kept} [old] @returns {Kind} */
function noteKind(_view, old) {
  const note = words(old);
  return { element: note.element, read: () => (note.area.value.trim() ? { text: note.area.value.trim(), step: old?.record.step } : "Write the note.") };
}

/** @param {View} view @returns {Kind} */
function photoKind(view) {
  /** @type {Blob|null} */
  let blob = null;
  const note = words(undefined, "Note to the photo"), preview = h("div", { class: "wall-preview", role: "status" });
  const input = h("input", { type: "file", accept: "image/*", capture: "environment", class: "unseen", id: "record-photo", change: () => void take() });
  async function take() {
    const file = input.files?.[0];
    if (!file) return;
    try {
      fill(preview, "Making it smaller");
      blob = await shrink(file);
      const address = URL.createObjectURL(blob);
      fill(preview, h("img", { src: address, alt: "The photo to be kept", load: () => URL.revokeObjectURL(address) }));
    } catch (e) {
      blob = null;
      fill(preview, "This picture could not be read.");
      view.ctx.fail(e instanceof DOMException ? new Error("This picture could not be read.") : e);
    }
  }
  const element = h("div", { class: "stack" }, input, h("label", { class: "button wall-camera", for: input.id }, icon("plus"), "Take a photo"), preview, note.element);
  return { element, photo: () => blob, read: () => (blob ? { text: note.area.value.trim() || undefined } : "Take the photo first.") };
}

/** @type {Record<string, (view: View, old?: Kept) => Kind>} */
const kinds = { used: usedKind, found: foundKind, photo: photoKind, note: noteKind, proof: proofKind, deviation: deviationKind };
/** @type {[string, string][]} */
const kindWords = [["used", "Used"], ["found", "Found"], ["proof", "Test"], ["photo", "Photo"], ["note", "Note"], ["deviation", "Otherwise"]];

/** @param {View} view @param {Kept} [old] */
function heading(view, old) {
  const show = view.ctx.query.get("show"), place = view.ctx.mark ?? "the site";
  if (old && show === "correct") return `Correct: ${whats[old.record.what] ?? old.record.what}, ${place}`;
  if (old) return `Mend the record of ${place}`;
  return `Record for ${place}`;
}

/** Kind of the form for an old record. @param {Kept} old */
function kindOf(old) {
  if (old.record.what in kinds && old.record.what !== "photo") return old.record.what;
  const has = (/** @type {string[]} */ names) => names.some((n) => Object.keys(old.record).some((k) => k === n || k.startsWith(n + "_")));
  if (has(["hand", "blotter", "drips", "water_level"])) return "proof";
  return has(used) && old.record.what === "correction" ? "used" : has(found) ? "found" : "note";
}

/** @param {HTMLElement} root @param {View} view */
export function recordView(root, view) {
  const { ctx } = view, q = ctx.query, show = q.get("show");
  const old = view.records.find((k) => k.id === q.get("id"));
  const mark = old?.record.mark ?? ctx.mark ?? "site";
  let name = old ? kindOf(old) : q.get("kind") ?? "used";
  /** @type {Kind} */
  let kind;
  const by = h("input", { type: "text", autocomplete: "name", id: "record-by", maxlength: 80, value: ctx.session.who, required: true });
  void setting("by").then((last) => last && by.value === ctx.session.who && (by.value = last));
  const of = h("select", { id: "record-mark" }, [...new Set([mark, ...view.day.leaks.map((l) => l.mark), "site"])].map((m) => h("option", { value: m, selected: m === mark }, m === "site" ? "the site" : m)));
  const place = h("div"), dock = h("div", { class: "wall-dock" }), warn = h("p", { class: "wall-warn", role: "alert" });
  const tabs = h("div", { class: "wall-kinds", role: "group", "aria-label": "What to record" });
  function build() {
    fill(tabs, kindWords.filter(([k]) => mark !== "site" || k !== "proof").map(([k, w]) => h("button", { type: "button", class: "button", "aria-pressed": String(k === name), click: () => choose(k) }, w)));
    kind = (kinds[name] ?? noteKind)(view, old);
    fill(place, kind.element);
    fill(dock, kind.keys);
  }
  const choose = (/** @type {string} */ k) => {
    name = k;
    warn.textContent = "";
    build();
  };
  async function save() {
    const said = kind.read(), who = by.value.trim();
    warn.textContent = typeof said === "string" ? said : who ? "" : "Write the name of who records.";
    if (typeof said === "string" || !who) return;
    const clean = Object.fromEntries(Object.entries(said).filter(([, v]) => v !== undefined));
    try {
      if (old && show === "mend") await mend(old, { ...said, by: who, mark: of.value });
      else if (old) await keep(ctx.job, { ...clean, mark, by: who, what: "correction", about: old.id });
      else await keep(ctx.job, { ...clean, mark, by: who, what: name }, kind.photo?.() ?? undefined);
    } catch (e) {
      return ctx.fail(e);
    }
    ctx.say("Kept on this phone.");
    void sync(ctx.job);
    ctx.go(view.to(ctx.mark, old ? "show=records" : ""));
  }
  build();
  if (!view.writes) return viewer(root, view);
  fill(root, h("h1", null, heading(view, old)), old?.fault ? h("p", { class: "note stop" }, old.fault) : null, old ? null : tabs, place,
    old && show === "mend" ? h("div", { class: "field" }, h("label", { for: of.id }, "Leak"), of) : null,
    h("div", { class: "field" }, h("label", { for: by.id }, "Name"), by),
    h("div", { class: "wall-thumb" }, warn, dock, h("a", { class: "button wall-side", href: view.to(ctx.mark, old ? "show=records" : "") }, icon("close"), "Leave"), button("Keep", () => void save(), { class: "button main wall-main", sign: "yes" })));
  makeRoom(root, () => kind.keys);
  return {};
}

/** @param {HTMLElement} root @param {View} view */
function viewer(root, view) {
  fill(root, h("h1", null, "Record"), h("p", { class: "note ask" }, "A viewer may look; to record, the estimator makes you a foreman."), h("a", { class: "button", href: view.to(view.ctx.mark) }, icon("back"), "Back"));
  return {};
}
