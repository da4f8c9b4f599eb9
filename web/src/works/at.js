// at.js - the works at another temperature, beside what is planned. The server makes them; nothing of the job changes.
import { append, button, field, fill, h, icon } from "../dom.js";
import { row, table } from "../table.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").At} At */
/** @typedef {import("./types.js").Mixed} Mixed */

/** Cold and hot: the limits of the usual advice for concrete work, as the server knows them (5 and 35 °C). @type {Record<"metric"|"us", {unit: string, suffix: string, often: number[]}>} */
const scales = { metric: { unit: "°C", suffix: "c", often: [5, 35] }, us: { unit: "°F", suffix: "f", often: [41, 95] } };

/** @param {Ctx} ctx @param {number} degrees @returns {Promise<At|null>} null: it was stopped */
async function ask(ctx, degrees) {
  const scale = scales[ctx.units], name = `temperature_${scale.suffix}`, path = ctx.api.at(ctx.job, "works", "at");
  /** @returns {Promise<At|null>} */
  const kept = async () => {
    const a = await ctx.api.get(`${path}?${name}=${degrees}`, ctx.signal);
    return a.state === "made" ? a : null;
  };
  const before = await kept();
  if (before) return before;
  const { work } = await ctx.api.post(path, { [name]: degrees });
  const end = await ctx.follow(work, `The works at ${degrees} ${scale.unit}`);
  return end.state === "done" ? kept() : null;
}

/** @param {string} who @param {Mixed} m @param {string} saying */
const cells = (who, m, saying) => [who, m.batches || (saying ? "" : "none"), m.size, m.usable, m.set, m.waste];

/** @param {At} a */
function batches(a) {
  const heads = ["Mix", "When", "#Batches", "#Largest", "#Usable", "#Sets in", "#Left over"];
  const title = (/** @type {At["batches"][number]} */ b) => h("span", null, `${b.step[0].toUpperCase()}${b.step.slice(1)}`, h("span", { class: "muted kind" }, `, ${b.material}`));
  return table(`Batches at ${a.at}`, heads, a.batches.flatMap((b) => {
    const there = row(heads, [h("span", { class: "unseen" }, b.step), ...cells(`at ${a.at}`, b.at, b.saying)]);
    if (b.saying) append(there.children[1].firstElementChild ?? there, [h("span", { class: "tag stop" }, icon("stop"), "not to be placed"), " ", b.saying]);
    return [row(heads, [title(b), ...cells("as planned", b.now, "")]), there];
  }));
}

/** @param {At} a */
function result(a) {
  const heads = ["", "As planned", `At ${a.at}`];
  return [a.problem && h("p", { class: "note stop" }, icon("stop"), h("span", null, h("strong", null, `No plan at ${a.at}: `), a.problem)),
    table(`The works as planned and at ${a.at}`, heads, a.rows.map((r) => row(heads, [r.label, r.now, r.at && r.at !== r.now ? h("strong", null, r.at) : r.at || "none"]))),
    batches(a),
    a.warnings.length > 0 && h("div", { class: "stack tight" }, h("h3", null, `To be known at ${a.at}`), h("ul", { class: "plain" }, a.warnings.map((t) => h("li", null, t))))];
}

/** @param {Ctx} ctx */
export function atSection(ctx) {
  const scale = scales[ctx.units], found = h("div", { class: "stack", "aria-live": "polite" });
  const own = h("input", { type: "number", name: "degrees", step: "0.1", required: true, inputmode: "decimal", class: "degrees" });
  /** @type {HTMLButtonElement[]} */
  const buttons = [];
  const show = async (/** @type {number} */ degrees) => {
    for (const b of buttons) b.disabled = true;
    try {
      const a = await ask(ctx, degrees);
      if (a && !ctx.signal.aborted) fill(found, result(a));
    } catch (error) {
      ctx.fail(error);
    }
    for (const b of buttons) b.disabled = false;
  };
  const often = scale.often.map((d) => button(`${d} ${scale.unit}`, () => void show(d)));
  const go = h("button", { type: "submit", class: "button" }, "Show");
  buttons.push(...often, go);
  const form = h("form", { class: "row at-form" }, often, field(`Another, ${scale.unit}`, own), go);
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void show(own.valueAsNumber);
  });
  return h("section", { class: "stack tight", "aria-labelledby": "at" }, h("h2", { id: "at" }, "At another temperature"),
    h("p", { class: "muted" }, "What the works would be with air, wall, water and mix at that temperature. The job stays as it is."), form, found);
}
