/** What a person types, as a number. A decimal comma is a decimal point. */

/**
 * @param {string} text
 * @returns {{value: number | null, fault: string}} null: nothing was typed; fault: why it is no number, or ""
 */
export function readNumber(text) {
  const tidy = text.trim().replace(/\u2212/g, "-");
  if (tidy === "") return { value: null, fault: "" };
  if (!/^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(tidy))
    return { value: null, fault: `“${tidy}” is not a number` };
  return { value: Number(tidy.replace(",", ".")), fault: "" };
}

/** @param {unknown} value @returns {string} */
export function showNumber(value) {
  return typeof value === "number" ? String(value) : "";
}

/** Drawn places are kept to a thousandth of the unit: finer than chalk and tape. @param {number} x */
export function tidy(x) {
  const rounded = Math.round(x * 1000) / 1000;
  return rounded === 0 ? 0 : rounded;
}

/** @param {number[]} point @returns {import('./types.js').Place} */
export function tidyPlace(point) {
  return [tidy(point[0]), tidy(point[1])];
}
