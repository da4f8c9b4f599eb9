// values.js - the rates and prices of the job as a plain table, each with what it may come out as; an estimator changes them here.
import { append, button, field, fill, h } from "../dom.js";
import { Fault, may } from "../api.js";
import { choose, openForm, picker } from "../draw/dialog.js";
import { differences } from "../draw/differ.js";
import { showNumber } from "../draw/number.js";
import { row, table } from "../table.js";
import { faultPlace, numberIn } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Survey} Survey */
/** Reads all again once something was changed, and once more when the form is gone: the place of the hand. @typedef {{load: () => Promise<void>, focus: (id: string) => void}} After */
/** @typedef {{what: "rate"|"price", list: "rates"|"prices", member: "value"|"price", title: string}} Kind */
/** @typedef {import("./types.js").Rate & import("./types.js").Price} Row  one or the other: `value` and `basis` only of a rate, `price` only of a price */

/** @type {Kind[]} */
const kinds = [{ what: "rate", list: "rates", member: "value", title: "Rates" }, { what: "price", list: "prices", member: "price", title: "Prices" }];
/** @type {[string, string][]} */
const BASIS_WORDS = [["own", "own records"], ["default", "our default"], ["published", "published"]];
const basisWords = (/** @type {string} */ word) => BASIS_WORDS.find(([w]) => w === word)?.[1] ?? word;

/** A member set, or left out when there is nothing to say. @param {Row} row @param {"low"|"high"|"source"} member @param {any} value @returns {Row} */
function withMember(row, member, value) {
  const { [member]: _, ...rest } = row;
  return /** @type {Row} */ (value === undefined || value === "" ? rest : { ...row, [member]: value });
}

/** @param {string} label @param {unknown} value @param {string} [hint] */
function numeric(label, value, hint) {
  const input = h("input", { type: "text", inputmode: "decimal", autocomplete: "off", maxlength: 20, value: showNumber(value) });
  return { input, label, node: field(label, input, hint) };
}

/** The form's fields, and what they say as the whole object. @param {Kind} kind @param {Row} old @param {string} unit */
function fields(kind, old, unit) {
  const value = numeric(`Likely, ${unit}`, old[kind.member]), low = numeric(`Low, ${unit}`, old.low), high = numeric(`High, ${unit}`, old.high);
  const basis = picker(BASIS_WORDS, old.basis ?? "own"), source = h("textarea", { maxlength: 1900 });
  source.value = old.source ?? "";
  const range = h("p", { class: "hint" }, "Low and high: what it may come out as; both, or neither where it does not vary.");
  /** Who types another figure says that it is his own, unless he says otherwise. */
  let chosen = false;
  basis.addEventListener("change", () => (chosen = true));
  for (const f of [value, low, high]) f.input.addEventListener("input", () => {
    if (!chosen) basis.value = "own";
  });
  const nodes = [h("div", { class: "value-fields" }, value.node, low.node, high.node), range, kind.what === "rate" && field("Basis", basis), kind.what === "rate" && field("Source", source, "where the figure comes from")];
  /** @returns {Row} */
  const read = () => {
    const likely = numberIn(value.input, "Likely");
    if (likely === undefined) throw new Error("Type the likely value.");
    let after = /** @type {Row} */ ({ ...old, [kind.member]: likely });
    after = withMember(withMember(after, "low", numberIn(low.input, "Low")), "high", numberIn(high.input, "High"));
    if (kind.what === "price") return after;
    return withMember({ ...after, basis: /** @type {Row["basis"]} */ (basis.value) }, "source", source.value.trim());
  };
  return { nodes: nodes.filter((n) => n !== false), read };
}

/** Somebody was faster: a person decides. @param {Kind} kind @param {Row} mine @param {Fault} fault @returns {Promise<"mine"|"theirs">} */
function decide(kind, mine, fault) {
  const now = fault.conflict?.now, name = mine.label ?? mine.id;
  const lines = now ? differences(mine, now) : [`The ${kind.what} is gone in their survey.`];
  return choose(`${name}: changed by somebody else`, [fault.message, ...lines], /** @type {["mine"|"theirs", string][]} */ ([["mine", "Keep mine"], ["theirs", "Take theirs"]]));
}

/** @param {Ctx} ctx @param {Kind} kind @param {Row} mine @param {string|null} before @returns {Promise<boolean>} false: theirs stays */
async function send(ctx, kind, mine, before) {
  for (let seen = before; ;) {
    try {
      await ctx.api.post(ctx.api.at(ctx.job, "edit"), { changes: [{ what: kind.what, key: mine.id, before: seen, after: mine }] });
      return true;
    } catch (error) {
      if (!(error instanceof Fault && error.conflict)) throw error;
      if ((await decide(kind, mine, error)) === "theirs") return false;
      seen = error.conflict.hash;
    }
  }
}

/** @param {Ctx} ctx @param {Kind} kind @param {Row} old @param {string|null} hash @param {string} currency @param {After} after */
function edit(ctx, kind, old, hash, currency, after) {
  const unit = unitOf(kind, old, currency), { nodes, read } = fields(kind, old, unit), name = old.label ?? old.id;
  const dialog = openForm(name, nodes, "Save", async () => {
    try {
      const mine = read();
      const changed = await send(ctx, kind, mine, hash);
      ctx.say(changed ? `${name}: ${mine[kind.member]} ${unit}. The price is of before until the job is planned again.` : `${name}: theirs stays.`);
    } catch (error) {
      return error instanceof Fault && error.faults.length > 1 ? error.faults.join(" ") : error instanceof Error ? error.message : String(error);
    }
    await after.load();
    return "";
  });
  dialog.addEventListener("close", () => after.focus(old.id));
}

/** @param {Kind} kind @param {Row} r @param {string} currency */
function unitOf(kind, r, currency) {
  const unit = r.unit && r.unit !== "-" ? r.unit : "";
  return kind.what === "rate" ? unit || "times" : unit === "%" ? unit : unit ? `${currency} / ${unit}` : currency;
}

/** @param {Ctx} ctx @param {Kind} kind @param {Survey} s @param {string} find @param {After} after */
function valueTable(ctx, kind, s, find, after) {
  const writes = may(ctx.session.role, "estimator"), rate = kind.what === "rate", currency = s.survey.site?.currency ?? "";
  const heads = ["What", "#Likely", "#Low", "#High", "Unit", ...(rate ? ["Basis"] : []), ...(writes ? [""] : [])];
  const list = /** @type {Row[]} */ (s.survey[kind.list] ?? []).filter((r) => `${r.label ?? ""} ${r.id}`.toLowerCase().includes(find));
  if (!list.length) return h("p", { class: "muted" }, `No ${kind.what} with these words.`);
  /** The source mostly begins with the basis: not said twice. */
  const basis = (/** @type {Row} */ r) => {
    const word = basisWords(r.basis), source = r.source ?? "", rest = source.startsWith(word) ? source.slice(word.length) : source && ` ${source}`;
    return [h("strong", null, word), rest && h("span", { class: "muted small" }, rest)];
  };
  const change = (/** @type {Row} */ r) => button("Change", () => edit(ctx, kind, r, s.hashes[kind.list][r.id] ?? null, currency, after), { class: "button small", "aria-label": `Change ${r.label ?? r.id}`, "data-value": r.id });
  return table(kind.title, heads, list.map((r) => row(heads, [r.label ?? r.id, showNumber(r[kind.member]), showNumber(r.low), showNumber(r.high), unitOf(kind, r, currency), ...(rate ? [basis(r)] : []), ...(writes ? [change(r)] : [])])));
}

/** Read when first opened. @param {Ctx} ctx @param {() => Promise<void>} after the price above is of before */
export function valuesSection(ctx, after) {
  const lists = h("div", { class: "stack figures-side" }), fault = faultPlace();
  const find = h("input", { type: "search", autocomplete: "off", maxlength: 60 });
  /** @type {Survey|null} */
  let survey = null;
  const draw = () => survey && fill(lists, ...kinds.map((k) => h("div", { class: `stack tight values-${k.list}` }, h("h3", null, k.title), valueTable(ctx, k, /** @type {Survey} */ (survey), find.value.trim().toLowerCase(), changed))));
  const load = async () => {
    survey = await ctx.api.get(ctx.api.at(ctx.job, "survey"), ctx.signal);
    draw();
  };
  const changed = { load: () => load().then(after), focus: (/** @type {string} */ id) => /** @type {HTMLElement|null} */ (lists.querySelector(`[data-value="${CSS.escape(id)}"]`))?.focus() };
  find.addEventListener("input", () => void draw());
  const details = h("details", { class: "values" }, h("summary", null, h("h2", { id: "values" }, "Rates and prices of this job")));
  append(details, [h("div", { class: "stack" }, h("p", { class: "muted" }, "What the price is made of, and what each may come out as. Learned from finished jobs: ", may(ctx.session.role, "estimator") ? h("a", { href: `#/rates?job=${encodeURIComponent(ctx.job)}` }, "our own rates") : "an estimator takes our own rates over", ".", ctx.units === "us" && " Rates are kept a metre, square metre and litre, as the survey file has them."), field("Find", find), fault.element, lists)]);
  details.addEventListener("toggle", () => {
    if (details.open && !survey) void load().catch(fault.show);
  });
  return { element: h("section", { "aria-labelledby": "values" }, details) };
}
