/** The form of the site: water levels, temperatures, crew, and what the document shows. The server says what does not fit. */
import { field, h } from "../dom.js";
import { openForm, picker } from "./dialog.js";
import { withMember } from "./edits.js";
import { box, levelFields, number, typed } from "./forms.js";
import { HEALING_WORDS, METHOD_WORDS, TIGHTNESS_WORDS } from "./terms.js";
import { workFields } from "./workform.js";

/** @typedef {import('./desk.js').Desk} Desk */
/** @typedef {{node: HTMLElement, read: (site: any) => any}} Piece  `read` gives the site with what was typed */

/** @param {string} title @param {Node[]} fields */
const group = (title, fields) => h("fieldset", null, h("legend", null, title), h("div", { class: "draw-fields" }, fields));

/** @param {any} site @param {[string, string, number][]} rows member, label, most letters @returns {Piece} */
function texts(site, rows) {
  const inputs = rows.map(([member, label, most]) => /** @type {const} */ ([member, label, box(site[member], { maxlength: most })]));
  return { node: group("Job", inputs.map(([, label, input]) => field(label, input))), read: (s) => inputs.reduce((all, [member, , input]) => withMember(all, member, input.value.trim()), s) };
}

/** @param {string} title @param {any} site @param {[string, string, boolean][]} rows member, label, needed @returns {Piece} */
function numbers(title, site, rows) {
  const inputs = rows.map(([member, label, needed]) => ({ member, label, needed, input: number(site[member]) }));
  return { node: group(title, inputs.map((i) => field(i.label, i.input))), read: (s) => inputs.reduce((all, i) => withMember(all, i.member, typed(i.input, i.label.split(",")[0], i.needed)), s) };
}

/** @param {string} title @param {any} site @param {[string, string][]} rows member, label @returns {Piece} */
function ticks(title, site, rows) {
  const inputs = rows.map(([member, label]) => ({ member, label, input: h("input", { type: "checkbox", checked: site[member] === true }) }));
  return { node: h("fieldset", null, h("legend", null, title), inputs.map((i) => h("label", { class: "tick" }, i.input, i.label))), read: (s) => inputs.reduce((all, i) => ({ ...all, [i.member]: i.input.checked }), s) };
}

/** What is written only where it is said: the first word goes without saying. @param {any} site @returns {Piece} */
function rules(site) {
  const healing = picker(HEALING_WORDS, site.healing ?? HEALING_WORDS[0][0]);
  const tightness = picker(TIGHTNESS_WORDS, site.tightness ?? TIGHTNESS_WORDS[0][0]);
  const put = (/** @type {any} */ s, /** @type {string} */ member, /** @type {HTMLSelectElement} */ list) => (list.value === (s[member] ?? list.options[0].value) ? s : { ...s, [member]: list.value });
  return { node: group("Rules", [field("width that may heal, by", healing), field("watertightness agreed", tightness)]), read: (s) => put(put(s, "healing", healing), "tightness", tightness) };
}

/** Methods that nobody may use in this job. @param {any} site @returns {Piece} */
function excluded(site) {
  const had = new Set(site.exclude ?? []);
  const inputs = METHOD_WORDS.map(([word, words]) => ({ word, words, input: h("input", { type: "checkbox", checked: had.has(word) }) }));
  const node = h("details", null, h("summary", null, `Not to be used in this job${had.size ? ` (${had.size})` : ""}`), h("fieldset", { class: "draw-signs" }, h("legend", { class: "unseen" }, "Not to be used in this job"), inputs.map((i) => h("label", { class: "tick" }, i.input, i.words))));
  const now = () => inputs.filter((i) => i.input.checked).map((i) => i.word);
  return { node, read: (s) => withMember(s, "exclude", now().length ? now() : null) };
}

/** @param {any} site @returns {Piece} */
function money(site) {
  const currency = box(site.currency, { maxlength: 3, autocapitalize: "characters" });
  const paper = picker([["a4", "A4"], ["letter", "Letter"]], site.letter_paper ? "letter" : "a4");
  return { node: group("Document", [field("currency, three letters", currency), field("paper", paper)]), read: (s) => ({ ...s, currency: currency.value.trim().toUpperCase(), letter_paper: paper.value === "letter" }) };
}

/** @param {Desk} desk @param {any} site @returns {Piece[]} */
function pieces(desk, site) {
  const { length, lengthWord, system } = desk.units;
  const heat = system === "us" ? "f" : "c";
  const degrees = system === "us" ? "°F" : "°C";
  const level = (/** @type {"today"|"design"} */ member, /** @type {string} */ title) => {
    const { node, read } = levelFields(title, site[member], desk, member === "design" ? "told" : "measured");
    return { node, read: (/** @type {any} */ s) => withMember(s, member, read()) };
  };
  return [
    level("today", "Water level today"), level("design", "Design water level"),
    numbers("Retained height", site, [["retained_top" + length, `top of what is retained, ${lengthWord}`, false]]),
    ticks("Conditions", site, [["enclosed", "enclosed place: tank, pit, sump"], ["drinking_water", "in contact with drinking water"], ["hazardous_liquid", "hazardous liquid"], ["materials_approved", "materials approved for it"], ["still_air", "still air, as in a tunnel or basement: no weather"]]),
    numbers(`Temperatures, ${degrees}`, site, [["air_" + heat, "air", false], ["wall_" + heat, "wall", false], ["leak_water_" + heat, "leak water", false], ["mix_" + heat, "mixing water", false],
      ["coldest_" + heat, "wall, coldest in a year", false], ["warmest_" + heat, "wall, warmest in a year", false]]),
    numbers("Air at the wall", site, [["humidity_percent", "relative humidity, %", false]]),
    rules(site), excluded(site),
    numbers("Crew", site, [["crew", "people", true], ["shift_h", "hours a shift", true], ["days_to_start", "days to the start", false]]),
    workFields(site),
    texts(site, [["name", "name of the site", 200], ["place", "place", 200], ["client_note", "note for the client", 4000]]), money(site),
  ];
}

/** @param {Desk} desk */
export function siteForm(desk) {
  const site = desk.model.survey.site ?? {};
  const parts = pieces(desk, site);
  openForm("Site and water", [h("p", { class: "hint" }, "Levels and elevations are over one datum, as on the drawings. A face may have its own level."), ...parts.map((p) => p.node)], "Save", async () => {
    const after = parts.reduce((s, p) => p.read(s), site);
    return (await desk.change("site", () => [{ what: "site", key: "", after }])).fault;
  });
}
