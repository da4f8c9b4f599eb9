// pad.js - big number fields and one number pad for them; typing on a keyboard works as well.
import { h } from "../dom.js";

/** "1,5" or "1.5" -> 1.5; "" -> undefined; else NaN @param {string} typed */
export function read(typed) {
  const t = typed.trim().replace(",", ".");
  if (t === "") return undefined;
  return /^-?(\d+\.?\d*|\.\d+)$/.test(t) ? Number(t) : NaN;
}

/** Keys by rows; the last column holds what is not 1 to 9. */
const rows = ["1", "2", "3", "back", "4", "5", "6", ".", "7", "8", "9", "0"];
/** @type {Record<string, string>} */
const keyLabels = { back: "delete the last digit", ".": "decimal point" };

/** @param {string} value @param {string} key @returns {string} */
export function typed(value, key) {
  if (key === "back") return value.slice(0, -1);
  if (key === "sign") return value.startsWith("-") ? value.slice(1) : `-${value}`;
  if (key === ".") return value.includes(".") ? value : `${value || "0"}.`;
  return value.length < 12 ? value + key : value;
}

/**
 * Fields for numbers, and the keys for them: `keys` belongs under the thumb and hides while something else is typed.
 * A field starts anew when the first key comes after a touch, so that a planned value need not be deleted.
 * @param {{name: string, label: string, unit: string, value?: string}[]} fields
 * @param {() => void} [changed]
 * @param {boolean} [later]  the keys come with the first touch of a field: other things are asked before
 */
export function numberPad(fields, changed, later) {
  /** @type {Map<string, HTMLInputElement>} */
  const inputs = new Map();
  /** @type {HTMLInputElement | undefined} */
  let active;
  let anew = true;
  const foreign = matchMedia("(max-width: 17.5em)").matches; // very large letters leave our keys no room (wall.css)
  const activate = (/** @type {HTMLInputElement} */ input) => {
    active?.closest(".wall-number")?.classList.remove("active");
    active = input;
    anew = true;
    input.closest(".wall-number")?.classList.add("active");
    keys.hidden = foreign;
  };
  const press = (/** @type {string} */ key) => {
    if (!active) return;
    active.value = typed(anew && key !== "back" && key !== "sign" ? "" : active.value, key);
    anew = false;
    changed?.();
    active.closest(".wall-number")?.scrollIntoView({ block: "nearest" }); // on a short phone it may lie under the keys
  };
  const key = (/** @type {string} */ k) => h("button", { type: "button", class: "wall-key", "aria-label": keyLabels[k] ?? null, click: () => press(k), pointerdown: (/** @type {Event} */ e) => e.preventDefault() }, k === "back" ? "⌫" : k);
  const keys = h("div", { class: "wall-keys", role: "group", "aria-label": "Number pad" }, rows.map(key));
  const boxes = fields.map((f) => {
    const input = h("input", { type: "text", inputmode: foreign ? "decimal" : "none", autocomplete: "off", id: `pad-${f.name}`, name: f.name, value: f.value ?? "", maxlength: 12,
      input: () => changed?.(), focus: () => activate(input), click: () => activate(input), "aria-label": f.unit ? `${f.label} in ${f.unit}` : f.label });
    inputs.set(f.name, input);
    const sign = f.unit.startsWith("°") ? h("button", { type: "button", class: "wall-sign", "aria-label": `${f.label}: change the sign`, click: () => (activate(input), press("sign")) }, "±") : null;
    return h("div", { class: "wall-number" }, h("label", { for: input.id }, f.label), h("span", { class: "wall-number-in" }, input, sign, h("span", { class: "muted", "aria-hidden": "true" }, f.unit)));
  });
  const element = h("div", { class: "wall-numbers" }, boxes);
  const first = inputs.values().next().value;
  if (later) keys.hidden = true;
  else if (first) queueMicrotask(() => activate(first));
  return { element, keys, inputs };
}

/** Hides the keys while a text is written: the phone's own keyboard is up then. @param {HTMLElement} root @param {() => HTMLElement|undefined} keys */
export function makeRoom(root, keys) {
  root.addEventListener("focusin", (e) => {
    const pad = keys();
    if (pad && e.target instanceof HTMLElement && e.target.matches("textarea, input:not([inputmode=none]):not([type=radio]):not([type=checkbox]):not([type=file])")) pad.hidden = true;
  });
}
