// said.js - parts that the forms of records share: numbers with their keys, a note, one of some words.
import { h } from "../dom.js";
import { numberPad, read } from "./pad.js";
import { member, symbol, term } from "./terms.js";

/** @typedef {"metric"|"us"} Units */
/** @typedef {import("./types.js").Kept} Kept */
/**
 * One kind's part of a form: `read` gives the members of the record, or a sentence about what is missing.
 * @typedef {{element: HTMLElement, read: () => Record<string, any>|string, keys?: HTMLElement, photo?: () => Blob|null}} Kind
 */
/** Fields for numbers: `read` gives the members, or a sentence about the one that is none. @typedef {{element: HTMLElement, inputs: Map<string, HTMLInputElement>, keys?: HTMLElement, read: () => Record<string, number|undefined>|string}} Numbers */

/** @param {Map<string, HTMLInputElement>} inputs @param {Units} units */
function readAll(inputs, units) {
  /** @type {Record<string, number|undefined>} */
  const said = {};
  for (const [name, input] of inputs) {
    const value = read(input.value);
    if (Number.isNaN(value)) {
      input.focus();
      return `${term(name).label}: "${input.value}" is no number.`;
    }
    said[member(term(name), units)] = value;
  }
  return said;
}

/** @param {string[]} names @param {Units} units @param {Kept} [old] */
const described = (names, units, old) => names.map(term).map((t) => ({ name: t.name, label: t.label, unit: symbol(t, units), value: String(old?.record[member(t, units)] ?? "") }));

/** Big ones, with keys under the thumb. @param {Units} units @param {string[]} names @param {Kept} [old] @param {boolean} [later] as numberPad has it @returns {Numbers} */
export function padNumbers(units, names, old, later) {
  const pad = numberPad(described(names, units, old), undefined, later);
  return { element: pad.element, inputs: pad.inputs, keys: pad.keys, read: () => readAll(pad.inputs, units) };
}

let made = 0;

/** Plain ones, for a desk. @param {Units} units @param {string[]} names @returns {Numbers} */
export function plainNumbers(units, names) {
  /** @type {Map<string, HTMLInputElement>} */
  const inputs = new Map();
  made += 1;
  const element = h("div", { class: "plain-numbers" }, described(names, units).map((f) => {
    const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", id: `n${made}-${f.name}`, name: f.name, maxlength: 12 });
    inputs.set(f.name, input);
    return h("div", { class: "field" }, h("label", { for: input.id }, f.unit ? `${f.label}, ${f.unit}` : f.label), input);
  }));
  return { element, inputs, read: () => readAll(inputs, units) };
}

/** @param {Kept} [old] @param {string} [label] */
export function words(old, label = "Note") {
  made += 1;
  const area = h("textarea", { id: `t${made}-text`, maxlength: 2000, rows: 3 });
  area.value = old?.record.text ?? "";
  return { area, element: h("div", { class: "field" }, h("label", { for: area.id }, label), area) };
}

/** One of some words. @param {string} legend @param {string} name @param {[string, string][]} options @param {string} chosen */
export function choices(legend, name, options, chosen) {
  made += 1;
  const group = `${name}-${made}`;
  const element = h("fieldset", { class: "wall-choices" }, h("legend", null, legend), options.map(([value, word]) =>
    h("label", { class: "wall-choice" }, h("input", { type: "radio", name: group, value, checked: value === chosen }), h("span", null, word))));
  const inputs = () => [...element.querySelectorAll("input")];
  return { element, read: () => inputs().find((i) => i.checked)?.value || undefined, clear: () => inputs().forEach((i) => (i.checked = i.value === "")) };
}
