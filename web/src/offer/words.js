// words.js - what the screens of the offer and of the rates share: sections, dates, shares, faults beside what caused them.
import { append, button, fill, h, icon } from "../dom.js";
import { Fault } from "../api.js";
import { readNumber } from "../draw/number.js";

const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeZone: "UTC" });
const part = new Intl.NumberFormat("en-GB", { style: "percent", maximumFractionDigits: 0 });

/** A date without a time, as written. @param {string} on */
export function dated(on) {
  const d = new Date(`${on}T00:00:00Z`);
  return Number.isNaN(d.getTime()) ? on : day.format(d);
}

/** Today by this machine's clock. */
export function today() {
  const d = new Date(), two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}

/** @typedef {import("../dom.js").Child} Child */

/** @param {string} id @param {string} title @param {...(Child|Child[])} children */
export const section = (id, title, ...children) => h("section", { class: "stack tight", "aria-labelledby": id }, h("h2", { id }, title), ...children);

/** A part of a whole: a bar with its figure. @param {number} share @param {number} [most] where the bar is full: it compares, the figure says */
export const shareBar = (share, most = 1) => h("span", { class: "share" }, h("span", { class: "share-bar", "aria-hidden": "true" }, h("progress", { max: most || 1, value: share })), h("span", { class: "figures" }, share > 0 && share < 0.005 ? "< 1 %" : part.format(share).replace("%", "\u00a0%")));

/** The place of a fault beside what caused it. */
export function faultPlace() {
  const element = h("div", { class: "note stop", role: "alert", hidden: true });
  const show = (/** @type {unknown} */ error) => { // null: nothing is wrong any more
    if (error instanceof DOMException && error.name === "AbortError") return;
    element.hidden = !error;
    fill(element);
    if (!error) return;
    if (!(error instanceof Error)) console.error(error);
    const many = error instanceof Fault && error.faults.length > 1 ? error.faults : null;
    append(element, [icon("weak"), many ? h("ul", { class: "plain" }, many.map((f) => h("li", null, f))) : h("p", null, error instanceof Error ? error.message : String(error))]);
  };
  return { element, show };
}

/** Says it and waits until it ended; a second press meanwhile does nothing. @param {HTMLButtonElement} b @param {ReturnType<typeof faultPlace>} fault @param {() => Promise<void>} work */
export async function pressed(b, fault, work) {
  if (b.disabled) return;
  const had = document.activeElement === b;
  fault.show(null);
  b.disabled = true;
  try {
    await work();
  } catch (error) {
    fault.show(error);
  } finally {
    b.disabled = false;
    if (had && b.isConnected && [document.body, b].includes(/** @type {HTMLElement} */ (document.activeElement))) b.focus();
  }
}

/** What was typed as a number, or undefined for nothing; a sentence that names the field is thrown. @param {HTMLInputElement} input @param {string} name @returns {number|undefined} */
export function numberIn(input, name) {
  const { value, fault } = readNumber(input.value);
  if (!fault) return value ?? undefined;
  input.focus();
  throw new Error(`${name}: ${fault}.`);
}

/** The first rows of a table, the others when asked for. @param {HTMLElement} frame @param {number} shown @param {string} words */
export function folded(frame, shown, words) {
  const rows = [...frame.querySelectorAll("tbody > tr")].slice(shown);
  if (rows.length < 2) return [frame];
  for (const r of rows) /** @type {HTMLElement} */ (r).hidden = true;
  const more = button(`${rows.length} more ${words}`, () => {
    for (const r of rows) /** @type {HTMLElement} */ (r).hidden = false;
    more.parentElement?.remove();
    frame.focus();
  });
  return [frame, h("div", null, more)];
}
