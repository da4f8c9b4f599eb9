/** What is said of one leak beside its tables: mark, kind, diameter, waterstop, signs, notes, what was tried. */
import { button, field, h } from "../dom.js";
import { picker } from "./dialog.js";
import { withMember, wetStretch } from "./edits.js";
import { readNumber, showNumber } from "./number.js";
import { KIND_WORDS, METHOD_WORDS, SIGN_WORDS, SLOT_WORDS, WATERSTOP_WORDS, WETNESS_WORDS, isLine, isRound } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Defect} Defect */
/** @typedef {import('./rows.js').Keep} Keep */

/** Sends one member and keeps the sentence of a refusal. @param {Desk} desk @param {Keep} keep @param {string} mark @param {string} cell @param {(d: Defect) => Defect} edit */
async function send(desk, keep, mark, cell, edit) {
  const answer = await desk.change(`${mark}: ${cell.replace("_", " ")}`, desk.editing(mark, edit));
  if (answer.fault) keep.faults.set("leak." + cell, answer.fault);
  else keep.faults.delete("leak." + cell);
  keep.again();
}

/** @param {Keep} keep @param {string} cell @param {string} label @param {HTMLElement} input */
function fielded(keep, cell, label, input) {
  const fault = keep.faults.get("leak." + cell);
  input.dataset.cell = "leak." + cell;
  if (keep.disabled) input.setAttribute("disabled", "");
  const out = field(label, input);
  if (fault) out.appendChild(h("p", { class: "draw-fault", role: "alert" }, fault));
  return out;
}

/** @param {Desk} desk @param {Keep} keep @param {Defect} defect @param {string} cell @param {string} label @param {string} member */
function numberField(desk, keep, defect, cell, label, member) {
  const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", value: showNumber(defect[member]) });
  input.addEventListener("change", () => {
    const { value, fault } = readNumber(input.value);
    if (!fault) return void send(desk, keep, defect.mark, cell, (d) => withMember(d, member, value));
    keep.faults.set("leak." + cell, fault);
    return keep.again();
  });
  return fielded(keep, cell, label, input);
}

/** @param {Desk} desk @param {Keep} keep @param {Defect} defect @param {string} cell @param {string} label @param {[string, string][]} options @param {(d: Defect, word: string) => Defect} edit */
function choiceField(desk, keep, defect, cell, label, options, edit) {
  const list = picker(options, defect[cell] ?? options[0][0]);
  list.addEventListener("change", () => void send(desk, keep, defect.mark, cell, (d) => edit(d, list.value)));
  return fielded(keep, cell, label, list);
}

/** A kind takes with it only what it can have. @param {Defect} d @param {string} kind @param {string} size */
function ofKind(d, kind, size) {
  let out = { ...d, kind };
  if (!isRound(kind)) out = withMember(out, "diameter" + size, null);
  if (kind !== "joint") for (const member of ["waterstop", "cutoff" + size, "open"]) out = withMember(out, member, null);
  return out;
}

/** @param {Defect} d @param {string} word @param {string} size */
function ofStop(d, word, size) {
  const out = withMember(d, "waterstop", word);
  return word === "there" ? out : withMember(withMember(out, "cutoff" + size, null), "open", null);
}

/** @param {Desk} desk @param {Keep} keep @param {Defect} defect */
export function leakFields(desk, keep, defect) {
  const { units } = desk;
  const mark = h("input", { type: "text", autocomplete: "off", maxlength: 40, value: defect.mark });
  mark.addEventListener("change", () => void rename(desk, keep, defect.mark, mark.value.trim()));
  const kinds = KIND_WORDS.filter(([kind]) => isLine(kind) === isLine(defect.kind) && (kind === "honeycomb") === (defect.kind === "honeycomb"));
  return h("div", { class: "draw-fields" },
    fielded(keep, "mark", "chalk mark", mark),
    choiceField(desk, keep, defect, "kind", "kind", kinds, (d, kind) => ofKind(d, kind, units.size)),
    isRound(defect.kind) && numberField(desk, keep, defect, "diameter", `diameter, ${units.sizeWord}`, "diameter" + units.size),
    choiceField(desk, keep, defect, "slot_faces", "faces of the slot", SLOT_WORDS, (d, word) => withMember(d, "slot_faces", word)),
    isLine(defect.kind) && numberField(desk, keep, defect, "movement", `movement told, ${units.sizeWord} a year`, "movement" + units.size),
    defect.kind === "honeycomb" && numberField(desk, keep, defect, "depth", `how deep it goes, ${units.sizeWord}`, "depth" + units.size),
    defect.kind === "joint" && choiceField(desk, keep, defect, "waterstop", "waterstop", WATERSTOP_WORDS, (d, word) => ofStop(d, word, units.size)),
    defect.waterstop === "there" && numberField(desk, keep, defect, "cutoff", `depth of the waterstop, ${units.sizeWord}`, "cutoff" + units.size));
}

/** @param {Desk} desk @param {Keep} keep @param {string} mark @param {string} to */
async function rename(desk, keep, mark, to) {
  if (desk.model.defect(to)) {
    keep.faults.set("leak.mark", `${to} is the mark of another leak`);
    return keep.again();
  }
  const answer = await desk.change(`${mark} marked ${to}`, desk.editing(mark, (d) => ({ ...d, mark: to })));
  if (answer.fault) keep.faults.set("leak.mark", answer.fault);
  if (answer.ok) desk.select(to);
  return keep.again();
}

/** Words of a list as boxes, in the order of `words`. @param {Desk} desk @param {Keep} keep @param {Defect} defect @param {"signs"|"exclude"} cell @param {string} legend @param {[string, string][]} words */
function tickField(desk, keep, defect, cell, legend, words) {
  const seen = new Set(defect[cell] ?? []);
  const tick = (/** @type {[string, string]} */ [word, said]) => {
    const box = h("input", { type: "checkbox", checked: seen.has(word), disabled: keep.disabled, "data-cell": `leak.${cell}.${word}` });
    box.addEventListener("change", () => {
      const now = new Set(seen);
      if (box.checked) now.add(word);
      else now.delete(word);
      void send(desk, keep, defect.mark, cell, (d) => withMember(d, cell, now.size ? words.map((w) => w[0]).filter((w) => now.has(w)) : null));
    });
    return h("label", { class: "tick" }, box, said);
  };
  const fault = keep.faults.get("leak." + cell);
  return h("fieldset", { class: "draw-signs" }, h("legend", null, legend), words.map(tick), fault && h("p", { class: "draw-fault", role: "alert" }, fault));
}

/** @param {Desk} desk @param {Keep} keep @param {Defect} defect */
function strengthTick(desk, keep, defect) {
  const box = h("input", { type: "checkbox", checked: defect.strength_wanted === true, disabled: keep.disabled, "data-cell": "leak.strength_wanted" });
  box.addEventListener("change", () => void send(desk, keep, defect.mark, "strength_wanted", (d) => withMember(d, "strength_wanted", box.checked || null)));
  const fault = keep.faults.get("leak.strength_wanted");
  return h("div", null, h("label", { class: "tick" }, box, "it must carry force again"), fault && h("p", { class: "draw-fault", role: "alert" }, fault));
}

/** @param {Desk} desk @param {Keep} keep @param {Defect} defect */
export function leakWords(desk, keep, defect) {
  const text = (/** @type {string} */ cell, /** @type {string} */ label, /** @type {string} */ value, /** @type {(d: Defect, text: string) => Defect} */ edit) => {
    const area = h("textarea", { rows: 2, value });
    area.addEventListener("change", () => void send(desk, keep, defect.mark, cell, (d) => edit(d, area.value.trim())));
    return fielded(keep, cell, label, area);
  };
  return h("div", { class: "stack tight" },
    tickField(desk, keep, defect, "signs", "Signs", SIGN_WORDS), strengthTick(desk, keep, defect), tickField(desk, keep, defect, "exclude", "Not to be used here", METHOD_WORDS),
    text("notes", "notes, one a line", (defect.notes ?? []).join("\n"), (d, t) => withMember(d, "notes", t ? t.split("\n").map((l) => l.trim()).filter(Boolean) : null)),
    text("tried", "what was tried before", defect.tried ?? "", (d, t) => withMember(d, "tried", t)));
}

/** The wet stretch by typing. @param {Desk} desk @param {Keep} keep @param {Defect} defect */
export function stretchForm(desk, keep, defect) {
  if (!isLine(defect.kind) || keep.disabled) return null;
  const unit = desk.units.lengthWord;
  const from = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "data-cell": "stretch.from" });
  const to = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", "data-cell": "stretch.to" });
  const wet = picker(WETNESS_WORDS, desk.options.wetness);
  const set = () => {
    const [a, b] = [readNumber(from.value), readNumber(to.value)];
    const fault = a.fault || b.fault || (a.value === null || b.value === null ? "type where the stretch begins and ends" : "");
    if (fault) keep.faults.set("leak.stretch", fault);
    if (fault) return keep.again();
    keep.faults.delete("leak.stretch");
    return void send(desk, keep, defect.mark, "stretch", (d) => wetStretch(d, a.value ?? 0, b.value ?? 0, wet.value, desk.units));
  };
  const fault = keep.faults.get("leak.stretch");
  return h("fieldset", { class: "draw-stretch" }, h("legend", null, "Wet stretch"),
    h("div", { class: "draw-fields" }, field(`from, ${unit}`, from), field(`to, ${unit}`, to), field("wetness", wet), button("Set stretch", set, { class: "button draw-set" })),
    fault && h("p", { class: "draw-fault", role: "alert" }, fault));
}
