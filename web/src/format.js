// format.js - how dates and bare amounts look. Quantities with units come from the server as text.

const date = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeStyle: "short" });
const amount = new Intl.NumberFormat("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 });

/** A moment in the reader's own time. @param {string|null|undefined} at */
export function when(at) {
  if (!at) return "";
  const d = new Date(at);
  return Number.isNaN(d.getTime()) ? at : date.format(d);
}

/** @param {number|null|undefined} value */
export const money = (value) => (value === null || value === undefined ? "" : amount.format(value));

/** @param {number|null|undefined} value */
export const hours = (value) => (value === null || value === undefined ? "" : value.toFixed(1));

/** @param {number} n @param {string} one @param {string} many */
export const count = (n, one, many) => (n === 1 ? `1 ${one}` : `${n} ${many}`);
