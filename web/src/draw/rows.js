/**
 * A table that is typed in like a sheet: Tab goes on, Enter goes down, a value is sent when its cell is left. A
 * row that is not whole yet is kept here until it is; the sentence of a refusal stands under its row and the
 * value is as before.
 */
import { h } from "../dom.js";
import { picker } from "./dialog.js";
import { readNumber, showNumber } from "./number.js";

/** @typedef {{member: string, label: string, type: "number" | "choice" | "date" | "shown", options?: [string, string][], of?: (row: any) => string}} Column */
/**
 * @typedef {object} Table
 * @property {string} key           names the cells: "stations.2.width_mm"
 * @property {string} caption
 * @property {string} one           what a row is, for the labels: "station"
 * @property {Column[]} columns
 * @property {any[]} rows
 * @property {any} [blank]          the members that a new row begins with; none: rows are not added here
 * @property {() => Table | null} renew   the same table of the leak as it stands now
 * @property {(row: any) => string} lacks   what is still missing, or ""
 * @property {(at: number, row: any, fresh: boolean) => Promise<{fault: string}>} put
 * @property {((at: number) => Promise<{fault: string}>) | null} remove
 * @property {(row: any) => number} [land]  where a new row stands once it is in
 * @property {(at: number) => void} [enter]  a cell of the row is in hand
 * @property {number} [taken]       the row that the drawing has in hand
 */
/** @typedef {{drafts: Map<string, any>, faults: Map<string, string>, moved: [string, string] | null, landed: Map<string, number>, turn: Promise<void>, waiting: number, disabled: boolean, again: () => void}} Keep */

/** @param {Column} column @param {any} row @param {Record<string, any>} more */
function cellInput(column, row, more) {
  const value = row[column.member];
  if (column.type === "choice") return picker(column.options ?? [], value ?? column.options?.[0][0] ?? "", more);
  if (column.type === "date") return h("input", { type: "date", value: value ?? "", ...more });
  return h("input", { type: "text", inputmode: "decimal", autocomplete: "off", value: typeof value === "number" ? showNumber(value) : "", ...more });
}

/** @param {Column} column @param {HTMLInputElement | HTMLSelectElement} input @returns {{value: any, fault: string}} */
function read(column, input) {
  return column.type === "number" ? readNumber(input.value) : { value: input.value || null, fault: "" };
}

/**
 * A cell was left with a new value. Fast fingers are on the next cell before the answer is here, so changes wait
 * for one another, each is of the row as it then stands, and a new row is followed to where it came to stand.
 * @param {Table} table @param {Keep} keep @param {number} at @param {Column} column @param {HTMLInputElement | HTMLSelectElement} input
 */
function changed(table, keep, at, column, input) {
  if (!input.isConnected) return; /* a cell that was made anew meanwhile */
  const { value, fault } = read(column, input);
  const fresh = at >= table.rows.length;
  keep.waiting += 1;
  keep.turn = keep.turn.then(async () => {
    const place = fresh ? keep.landed.get(`${table.key}.${at}`) : at;
    const now = table.renew();
    if (now) await take(now, keep, place ?? at, column, fault ? fault : { value }, fresh && place === undefined);
  }).finally(() => {
    keep.waiting -= 1;
    if (!keep.waiting) keep.landed.clear();
    keep.again();
  });
}

/** @param {Table} table @param {Keep} keep @param {number} at @param {Column} column @param {string | {value: any}} said a fault or a value @param {boolean} fresh */
async function take(table, keep, at, column, said, fresh) {
  const key = `${table.key}.${at}`;
  if (typeof said === "string") return void keep.faults.set(key, `${column.label}: ${said}`);
  const row = { ...(keep.drafts.get(key) ?? (fresh ? table.blank : table.rows[at])) };
  if (said.value === null) delete row[column.member];
  else row[column.member] = said.value;
  keep.faults.delete(key);
  if (table.lacks(row)) return void keep.drafts.set(key, row);
  keep.drafts.delete(key);
  const answer = await table.put(at, row, fresh);
  if (answer.fault) return void keep.faults.set(key, answer.fault);
  if (!fresh) return undefined;
  const landed = table.land ? table.land(row) : at;
  keep.landed.set(key, landed);
  keep.moved = [`${key}.`, `${table.key}.${landed}.`];
  return undefined;
}

/** @param {Table} table @param {Keep} keep @param {number} at */
function rowOf(table, keep, at) {
  const key = `${table.key}.${at}`;
  const fresh = at >= table.rows.length;
  const row = keep.drafts.get(key) ?? (fresh ? table.blank : table.rows[at]);
  const name = fresh ? `new ${table.one}` : `${table.one} ${at + 1}`;
  const cells = table.columns.map((column) => {
    if (column.type === "shown") return h("td", { class: "muted" }, column.of?.(row) ?? "");
    const input = cellInput(column, row, { "data-cell": `${key}.${column.member}`, "aria-label": `${name}: ${column.label}`, disabled: keep.disabled });
    input.addEventListener("change", () => changed(table, keep, at, column, input));
    input.addEventListener("focus", () => !fresh && table.enter?.(at));
    return h("td", { class: column.type }, input);
  });
  const gone = !fresh && table.remove && !keep.disabled ? h("button", { type: "button", class: "button bare draw-gone", "aria-label": `remove ${name}`, title: "Remove",
    click: async () => {
      const answer = await table.remove?.(at);
      if (answer?.fault) keep.faults.set(key, answer.fault);
      keep.again();
    } }, "×") : null;
  const fault = keep.faults.get(key);
  const lacks = keep.drafts.has(key) ? table.lacks(row) : "";
  const number = h("th", { scope: "row" }, fresh ? "+" : String(at + 1));
  const out = [h("tr", { class: table.taken === at ? "taken" : null, "data-row": key }, number, cells, h("td", null, gone))];
  if (fault || lacks) out.push(h("tr", { class: "draw-under" }, h("td", { colspan: table.columns.length + 2 },
    fault ? h("p", { class: "draw-fault", role: "alert" }, fault) : h("p", { class: "hint" }, lacks))));
  return out;
}

/** @param {Table} table @param {Keep} keep */
export function sheetTable(table, keep) {
  const count = table.rows.length + (table.blank && !keep.disabled ? 1 : 0);
  const heads = table.columns.map((c) => h("th", { scope: "col" }, c.label));
  const body = Array.from({ length: count }, (_, at) => rowOf(table, keep, at)).flat();
  if (!body.length) return null;
  return h("div", { class: "frame draw-rows" }, h("table", null, h("caption", null, table.caption),
    h("thead", null, h("tr", null, h("th", { scope: "col" }, "#"), heads, h("th", null, h("span", { class: "unseen" }, "remove")))), h("tbody", null, body)));
}

/** Enter goes down the column, Shift+Enter up. @param {KeyboardEvent} event */
export function enterMoves(event) {
  const cell = event.target instanceof HTMLElement ? event.target.dataset.cell : null;
  if (event.key !== "Enter" || !cell || event.target instanceof HTMLTextAreaElement) return;
  const [, table, row, member] = /^([^.]+)\.(\d+)\.(.+)$/.exec(cell) ?? [];
  if (!table) return;
  event.preventDefault();
  const to = Number(row) + (event.shiftKey ? -1 : 1);
  const root = /** @type {HTMLElement} */ (event.currentTarget);
  const next = root.querySelector(`[data-cell="${table}.${to}.${CSS.escape(member)}"]`);
  const input = /** @type {HTMLElement} */ (event.target);
  if (next instanceof HTMLElement) next.focus();
  else if (input instanceof HTMLInputElement && input.value !== input.defaultValue) {
    root.dataset.want = `${table}.${to}.${member}\n${cell}`; /* the row below comes with the answer; else here again */
    input.blur();
  }
  if (next instanceof HTMLInputElement) next.select();
}
