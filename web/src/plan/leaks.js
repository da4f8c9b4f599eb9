// leaks.js - the leaks of the plan: a table that sorts and filters; on a phone the same as cards.
import { field, fill, h, icon } from "../dom.js";
import { count, hours, money } from "../format.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */
/** @typedef {import("./types.js").LeakLine} LeakLine */
/** @typedef {{key: keyof LeakLine, words: string, number: boolean, show: (l: LeakLine, ctx: Ctx) => import("../dom.js").Child|import("../dom.js").Child[]}} Column */

const kinds = /** @type {Record<string, string>} */ ({ crack: "crack", joint: "construction joint", tie_hole: "tie hole", penetration: "pipe penetration", honeycomb: "honeycomb" });

/** @param {string} kind */
export const kindWords = (kind) => kinds[kind] ?? kind.replace(/_/g, " ");

/** @param {LeakLine} l */
function signs(l) {
  return [
    l.stop && h("span", { class: "tag stop" }, icon("stop"), "STOP"),
    l.asks > 0 && h("span", { class: "tag ask" }, icon("ask"), `ASK ${l.asks}`),
    !l.holds && h("span", { class: "tag stop" }, icon("weak"), "does not hold"),
    l.scan_first && h("span", { class: "tag ask" }, icon("weak"), "scan first"),
    l.changed > 0 && h("span", { class: "tag changed" }, icon("changed"), `changed ${l.changed}`),
  ].filter(Boolean);
}

/** @param {Ctx} ctx @param {string} mark */
const link = (ctx, mark) => h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/plan/${encodeURIComponent(mark)}` }, mark);

/** @param {LeakLine} l */
const flow = (l) => (l.flow ? [l.flow, l.flow_basis && h("span", { class: "muted small" }, ` ${l.flow_basis}`)] : h("span", { class: "muted" }, "not timed"));

/** @type {Column[]} */
const columns = [
  { key: "mark", words: "Mark", number: false, show: (l, ctx) => link(ctx, l.mark) },
  { key: "kind", words: "Kind", number: false, show: (l) => kindWords(l.kind) },
  { key: "face", words: "Face", number: false, show: (l) => l.face },
  { key: "seen", words: "Seen", number: false, show: (l) => l.seen },
  { key: "flow", words: "Flow", number: true, show: flow },
  { key: "head", words: "Head", number: true, show: (l) => l.head },
  { key: "method", words: "Method", number: false, show: (l) => l.method || h("span", { class: "muted" }, "none yet") },
  { key: "slot", words: "Slot", number: true, show: (l) => l.slot },
  { key: "depth", words: "Depth", number: true, show: (l) => l.depth },
  { key: "hours", words: "Hours", number: true, show: (l) => hours(l.hours) },
  { key: "cost", words: "Cost", number: true, show: (l) => money(l.cost) },
  { key: "asks", words: "Signs", number: true, show: (l) => h("span", { class: "signs" }, signs(l)) },
];

/** What sorts a leak; a leak without the figure goes last. @param {LeakLine} l @param {Column} c @returns {number|string} */
function order(l, c) {
  if (c.key === "asks") return (l.stop ? 100 : 0) + (l.holds ? 0 : 50) + l.asks;
  if (!c.number) return String(l[c.key] ?? "");
  const n = parseFloat(String(l[c.key] ?? ""));
  return Number.isNaN(n) ? -1 : n;
}

const words = new Intl.Collator("en", { numeric: true });

/** @param {LeakLine[]} list @param {Column} c @param {boolean} down */
function sorted(list, c, down) {
  const by = [...list].sort((a, b) => {
    const [x, y] = [order(a, c), order(b, c)];
    return typeof x === "number" && typeof y === "number" ? x - y : words.compare(String(x), String(y));
  });
  return down ? by.reverse() : by;
}

/** @type {[string, string, (l: LeakLine) => boolean][]} */
const filters = [
  ["all", "all leaks", () => true],
  ["decide", "with an open decision", (l) => l.stop || l.asks > 0],
  ["weak", "that do not hold", (l) => !l.holds],
  ["scan", "to scan first", (l) => l.scan_first],
  ["changed", "changed since the last plan", (l) => l.changed > 0],
];

/** @param {LeakLine} l @param {string} text */
const matches = (l, text) => [l.mark, kindWords(l.kind), l.face, l.seen, l.method].some((t) => t.toLowerCase().includes(text));

/** @param {LeakLine} l @param {Ctx} ctx @param {string} currency */
function card(l, ctx, currency) {
  return h("li", { class: "card leak-card" }, h("h3", null, link(ctx, l.mark), " ", h("span", { class: "muted" }, `${kindWords(l.kind)}, face ${l.face}`)),
    signs(l).length > 0 && h("p", { class: "signs" }, signs(l)),
    h("dl", { class: "pairs" },
      columns.filter((c) => ["seen", "flow", "head", "method", "slot", "depth"].includes(c.key) && l[c.key]).map((c) => h("div", null, h("dt", null, c.words), h("dd", null, c.show(l, ctx)))),
      l.cost !== null && h("div", null, h("dt", null, "Cost"), h("dd", { class: "figures" }, `${money(l.cost)} ${currency}, ${hours(l.hours)} h`))));
}

/** @param {Ctx} ctx @param {Plan} p */
export function leakTable(ctx, p) {
  const phone = matchMedia("(max-width: 700px)");
  let column = columns[0];
  let down = false;
  const search = h("input", { type: "search", placeholder: "mark, face, method", value: "" });
  const filter = h("select", null, filters.map(([v, t]) => h("option", { value: v }, t)));
  const sorting = h("select", null, columns.map((c, i) => h("option", { value: i }, c.words)));
  const place = h("div");
  const said = h("p", { class: "muted small", role: "status" });
  /** @param {Column} c */
  const sortBy = (c) => {
    down = c === column ? !down : c.number;
    column = c;
    draw();
    place.querySelectorAll("button")[columns.indexOf(c)]?.focus();
  };
  /** @param {LeakLine[]} list */
  const table = (list) => h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Table of leaks" }, h("table", { class: "leaks" }, h("caption", { class: "unseen" }, "Leaks of the plan; the headings sort"),
    h("thead", null, h("tr", null, columns.map((c) => h("th", { scope: "col", class: c.number && c.key !== "asks" ? "n" : null, "aria-sort": c === column ? (down ? "descending" : "ascending") : null },
      h("button", { type: "button", class: "sort", click: () => sortBy(c), title: c.key === "cost" ? "Labour and material of the leak" : null }, c.key === "cost" ? `${c.words}, ${p.currency}` : c.words, h("span", { "aria-hidden": "true" }, c === column ? (down ? "▾" : "▴") : "")))))),
    h("tbody", null, list.map((l) => h("tr", null, columns.map((c, i) => (i ? h("td", { class: c.number && c.key !== "asks" ? "n" : null }, c.show(l, ctx)) : h("th", { scope: "row" }, c.show(l, ctx)))))))));
  const draw = () => {
    const text = search.value.trim().toLowerCase();
    const keep = filters.find(([v]) => v === filter.value)?.[2] ?? (() => true);
    const list = sorted(p.leaks.filter((l) => keep(l) && matches(l, text)), column, down);
    said.textContent = list.length === p.leaks.length ? count(list.length, "leak", "leaks") : `${list.length} of ${count(p.leaks.length, "leak", "leaks")}`;
    fill(place, phone.matches ? h("ul", { class: "cards" }, list.map((l) => card(l, ctx, p.currency))) : table(list));
  };
  search.addEventListener("input", draw);
  filter.addEventListener("change", draw);
  sorting.addEventListener("change", () => {
    column = columns[Number(sorting.value)];
    down = column.number;
    draw();
  });
  phone.addEventListener("change", draw, { signal: ctx.signal });
  draw();
  return h("section", { class: "stack", "aria-labelledby": "leaks" }, h("h2", { id: "leaks" }, "Leaks"),
    h("div", { class: "row filters" }, field("Find", search), field("Show", filter), h("div", { class: "phone-only" }, field("Sort by", sorting))), said, place);
}
