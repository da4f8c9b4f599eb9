/** Forms of faces and folds. What they say goes to the server as it is typed; it says what does not fit. */
import { button, field, h } from "../dom.js";
import { openForm, picker } from "./dialog.js";
import { withMember } from "./edits.js";
import { readNumber, showNumber } from "./number.js";
import { ACCESS_WORDS, BEHIND_WORDS, FAR_WORDS, KNOWN_WORDS, LIE_WORDS } from "./terms.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {import('./types.js').Face} Face */
/** @typedef {import('./types.js').Place} Place */

/** @param {unknown} value @param {Record<string, any>} [more] */
export const box = (value, more) => h("input", { type: "text", autocomplete: "off", value: typeof value === "number" ? showNumber(value) : String(value ?? ""), ...more });
export const number = (/** @type {unknown} */ value, /** @type {Record<string, any>} */ more = {}) => box(value, { inputmode: "decimal", ...more });

/** A typed number, or a sentence that names the field. @param {HTMLInputElement} input @param {string} name @param {boolean} needed */
export function typed(input, name, needed) {
  const { value, fault } = readNumber(input.value);
  if (fault) throw new Error(`${name}: ${fault}`);
  if (value === null && needed) throw new Error(`${name} is missing`);
  return value;
}

/** A water level of this face alone: nothing typed means the site's. @param {string} title @param {any} level @param {Desk} desk @param {string} [unless] how it is known, where that is not said yet */
export function levelFields(title, level, desk, unless = "measured") {
  const member = "level" + desk.units.length;
  const height = number(level?.[member]);
  const known = picker(KNOWN_WORDS, level?.known ?? unless);
  const on = h("input", { type: "date", value: level?.on ?? "" });
  const node = h("fieldset", null, h("legend", null, title), h("div", { class: "draw-fields" },
    field(`elevation, ${desk.units.lengthWord}`, height), field("known", known), field("on", on)));
  const read = () => {
    const value = typed(height, title, false);
    return value === null ? null : { [member]: value, known: known.value, ...(on.value ? { on: on.value } : {}) };
  };
  return { node, read };
}

/** @param {Desk} desk @param {Face | null} face null: a new one */
export function faceForm(desk, face) {
  const { units, model } = desk;
  const unit = units.lengthWord;
  const id = box(face?.id, { maxlength: 40 });
  const name = box(face?.name, { maxlength: 200 });
  const lie = picker(LIE_WORDS, face?.lie ?? "wall");
  const behind = picker(BEHIND_WORDS, face?.behind ?? "");
  const far = picker(FAR_WORDS, face?.far_side === "unknown" ? "" : face?.far_side ?? "");
  const access = picker(ACCESS_WORDS, face?.access ?? "ground");
  const turn = number(face?.turn);
  const thickness = number(face?.["thickness" + units.length]);
  const elevation = number(face?.["elevation" + units.length] ?? 0);
  const size = face ? null : { width: number(""), height: number("") };
  const today = levelFields("Water today, if not as on site", face?.today, desk);
  const design = levelFields("Design water, if not as on site", face?.design, desk, "told");
  const read = () => {
    let out = /** @type {any} */ ({ ...(face ?? {}), id: id.value.trim(), lie: lie.value });
    out = withMember(withMember(withMember(out, "name", name.value.trim()), "behind", behind.value), "far_side", far.value);
    if (access.value !== (out.access ?? "ground")) out.access = access.value;
    out = withMember(out, "turn", typed(turn, "the turn", false));
    out["thickness" + units.length] = typed(thickness, "the thickness", true);
    out["elevation" + units.length] = typed(elevation, "the elevation", true);
    if (size) {
      const w = /** @type {number} */ (typed(size.width, "the width", true));
      const t = /** @type {number} */ (typed(size.height, "the height", true));
      if (!(w > 0)) throw new Error(`the width is ${w} ${unit}; it must be more than 0`);
      if (!(t > 0)) throw new Error(`the height or depth is ${t} ${unit}; it must be more than 0`);
      out.outline = [[0, 0], [w, 0], [w, t], [0, t]];
    }
    return withMember(withMember(out, "today", today.read()), "design", design.read());
  };
  const run = async () => {
    const after = read();
    if (!after.id) throw new Error("the face needs a short name, such as N");
    if (!face && model.face(after.id)) throw new Error(`face ${after.id} is there already`);
    const answer = await desk.change(face ? `face ${after.id} changed` : `face ${after.id}`, () => [{ what: "face", key: after.id, after }]);
    if (!answer.fault) desk.openFace(after.id);
    return answer.fault;
  };
  if (face) id.readOnly = true;
  const remove = face && button("Remove the face", async () => {
    dialog.close();
    await removeFace(desk, face.id);
  }, { class: "button danger" });
  const fields = [field("short name", id, face ? "" : "letters and digits, as chalked: N, PE, F2"), field("name", name), field("lie", lie), field("behind it", behind), field("its wet side", far), field("reached", access), field("its turn", turn, "1 is treated first"),
    ...(size ? [field(`width, ${unit}`, size.width), field(`height or depth, ${unit}`, size.height)] : []),
    field(`thickness, ${unit}`, thickness), field(`elevation of v = 0, ${unit}`, elevation)];
  const dialog = openForm(face ? `Face ${face.id}` : "New face", [h("div", { class: "draw-fields" }, fields),
    h("details", null, h("summary", null, "Water of this face alone"), h("div", { class: "stack tight" }, today.node, design.node))], face ? "Save" : "Make the face", run, [remove]);
}

/** A face goes with its folds; leaks on it must be gone before. @param {Desk} desk @param {string} id */
export function removeFace(desk, id) {
  return desk.draw(`face ${id} removed`, () => {
    const { folds } = desk.model.survey;
    const left = folds.filter((f) => f.a[0] !== id && f.b[0] !== id);
    const goes = /** @type {import('./types.js').Change} */ ({ what: "face", key: id, after: null });
    return left.length === folds.length ? [goes] : [{ what: "folds", key: "", after: left }, goes];
  });
}

/** @param {Face} face @returns {[string, string][]} */
function edges(face) {
  return face.outline.map((at, i) => {
    const to = face.outline[(i + 1) % face.outline.length];
    return [String(i), `edge ${i + 1}: (${at.join("; ")}) to (${to.join("; ")})`];
  });
}

/** @param {Face} face @param {string} edge @returns {Place[]} */
function edgeOf(face, edge) {
  const i = Number(edge);
  return [face.outline[i], face.outline[(i + 1) % face.outline.length]];
}

/** Two edges that are one line in space. @param {Desk} desk @param {number} edge of the face on the desk */
export function foldForm(desk, edge) {
  const face = desk.face;
  const others = desk.model.survey.faces.filter((f) => f.id !== desk.faceId);
  if (!face || !others.length) return desk.ctx.say("A fold joins two faces: make the second face first.");
  const mine = picker(edges(face), String(edge));
  const other = picker(others.map((f) => [f.id, f.name ? `${f.id}, ${f.name}` : f.id]), others[0].id);
  const theirs = picker(edges(others[0]), "0");
  const way = picker([["", ""], ["turned", ""]], "turned");
  const beyond = () => /** @type {Face} */ (desk.model.face(other.value));
  const made = (/** @type {boolean} */ turned) => {
    const b = edgeOf(beyond(), theirs.value);
    return { a: /** @type {[string, Place[]]} */ ([face.id, edgeOf(face, mine.value)]), b: /** @type {[string, Place[]]} */ ([other.value, turned ? [b[1], b[0]] : b]) };
  };
  const words = () => [...way.options].forEach((option) => {
    const fold = made(option.value === "turned");
    option.textContent = `corner (${fold.a[1][0].join("; ")}) of ${face.id} meets (${fold.b[1][0].join("; ")}) of ${other.value}`;
  });
  other.addEventListener("change", () => {
    theirs.replaceChildren(...edges(beyond()).map(([v, t]) => h("option", { value: v }, t)));
    words();
  });
  for (const list of [mine, theirs]) list.addEventListener("change", words);
  words();
  return openForm(`Fold of face ${face.id}`, [field(`edge of ${face.id}`, mine), field("next face", other), field("its edge", theirs), field("which corners meet", way)], "Make the fold", async () => {
    const fold = made(way.value === "turned");
    return (await desk.change(`fold ${face.id}-${other.value}`, () => [{ what: "folds", key: "", after: [...desk.model.survey.folds, fold] }])).fault;
  });
}
