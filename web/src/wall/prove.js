// prove.js - a test at a leak (hand, blotter, drips, at a level of the water), and why something was done otherwise.
import { h } from "../dom.js";
import { choices, padNumbers, words } from "./said.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Kept} Kept */
/** @typedef {import("./said.js").Kind} Kind */

/** What a test measures, in the order of the form; those from the third on are wanted seldom. */
export const proofNumbers = ["drips", "water_level", "from", "to", "volume", "time"];

/**
 * The form of a test, round fields for its numbers. What does not fit together is the server's to say; that it says
 * nothing at all is told here, where somebody stands at the wall with no signal.
 * @param {import("./said.js").Numbers} numbers @param {Kept} [old] @returns {Kind & {clear: () => void}}
 */
export function proofForm(numbers, old) {
  const r = old?.record;
  const hand = choices("A dry hand on it is", "hand", [["dry", "dry"], ["damp", "damp"], ["wet", "wet"], ["", "not tried"]], r?.hand ?? "");
  const blotter = choices("Blotting paper on it is", "blotter", [["clean", "clean"], ["marked", "marked"], ["", "not tried"]], r?.blotter ?? "");
  const note = words(old), rare = h("div", { class: numbers.element.className });
  for (const name of proofNumbers.slice(2)) rare.append(/** @type {HTMLElement} */ (numbers.inputs.get(name)?.parentElement?.closest("div")));
  const filled = proofNumbers.slice(2).some((n) => numbers.inputs.get(n)?.value);
  const more = h("details", { class: "wall-more", open: filled }, h("summary", null, "A stretch only, or water caught"),
    h("p", { class: "muted" }, "From and to along the leak; left out, the test is of the whole leak. Water caught goes with its time."), rare);
  return { keys: numbers.keys, element: h("div", { class: "stack" }, hand.element, blotter.element, numbers.element,
    h("p", { class: "muted" }, "The level of the water behind it, in the heights of the survey: without it a test proves nothing."), more, note.element),
  read() {
    const values = numbers.read();
    if (typeof values === "string") return values;
    const said = { ...values, hand: hand.read(), blotter: blotter.read(), text: note.area.value.trim() || undefined };
    const tested = said.hand || said.blotter || values.drips_per_min !== undefined || values.volume_l !== undefined || values.volume_gal !== undefined;
    return tested || old?.record.what === "correction" ? said : "Give what the test found: hand, blotting paper, drips or water caught.";
  },
  clear() {
    hand.clear();
    blotter.clear();
    for (const input of numbers.inputs.values()) input.value = "";
    note.area.value = "";
  } };
}

/** @param {View} view @param {Kept} [old] @returns {Kind} */
export function proofKind(view, old) {
  const form = proofForm(padNumbers(view.units, proofNumbers, old, true), old);
  return { ...form, read() {
    const said = form.read();
    return typeof said === "string" ? said : { ...said, step: old?.record.step ?? view.ctx.query.get("step") ?? undefined };
  } };
}

/** Of a step, or of the leak as a whole. @param {View} view @param {Kept} [old] @returns {Kind} */
export function deviationKind(view, old) {
  const note = words(old, "What was done otherwise, and why"), steps = view.leak?.card.steps ?? [];
  const chosen = old?.record.step ?? view.ctx.query.get("step") ?? "";
  const of = h("select", { id: "deviation-step" }, h("option", { value: "" }, view.ctx.mark ? "the leak as a whole" : "the site as a whole"), steps.map((s) => h("option", { value: s.code, selected: s.code === chosen }, s.title)));
  return { element: h("div", { class: "stack" }, steps.length ? h("div", { class: "field" }, h("label", { for: of.id }, "At the step"), of) : null, note.element),
    read: () => (note.area.value.trim() ? { text: note.area.value.trim(), step: of.value || (steps.length ? undefined : chosen || undefined) } : "Write what was done otherwise, and why.") };
}
