// risk.js - what the price may come out as: counted when asked for, said so that a client understands it, with what carries most of it.
import { append, field, fill, h, icon } from "../dom.js";
import { row, table } from "../table.js";
import { faultPlace, folded, numberIn, pressed, section, shareBar } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Risk} Risk */
/** @typedef {import("./types.js").Counted} Counted */

const SHOWN = 8; // inputs before the rest is folded away
const whole = new Intl.NumberFormat("en-GB");

/** @param {string} label @param {string} value @param {string} saying */
const figure = (label, value, saying) => h("div", null, h("dt", null, label), h("dd", null, h("span", { class: "big figures" }, value), h("span", { class: "muted small" }, saying)));

/** @param {Counted} r */
const figures = (r) => h("dl", { class: "risk-figures" }, figure("Price as planned", r.total, "with every quantity and rate at its likely value"),
  figure("P50, the middle", r.p50, "as likely to cost more as to cost less"), figure("P80, the careful price", r.p80, "enough in four of five cases"),
  figure("To hold back (contingency)", r.contingency, "besides the price, so that four of five cases are covered"));

/** @param {Ctx} ctx @param {Counted} r */
function picture(ctx, r) {
  const alt = `How often which price comes out: half of the cases at or below ${r.p50}, four of five at or below ${r.p80}. The figures above say the same.`;
  return h("div", { class: "risk-frame" }, h("img", { class: "risk-image", src: `${ctx.api.at(ctx.job, "risk.svg")}?v=${r.runs}-${r.seed}-${Date.now()}`, alt }));
}

/** @param {Counted} r */
function groups(r) {
  const heads = ["From", "Share"];
  return h("section", { class: "stack tight", "aria-labelledby": "risk-groups" }, h("h3", { id: "risk-groups" }, "Where the spread comes from"), h("div", { class: "shares" },
    table("Share of each group in the spread of the price", heads, r.groups.map((g) => row(heads, [g.group, shareBar(g.share)])))));
}

/** @param {Counted} r */
function inputs(r) {
  const heads = ["What", "Share", "#Low", "#Likely", "#High", "Unit", "Basis"];
  const t = table("What carries most of the spread", heads, r.inputs.map((i) => row(heads, [[i.label, h("span", { class: "muted kind" }, `, ${i.group}`)], shareBar(i.share, r.inputs[0].share), i.low, i.likely, i.high, i.unit, i.basis])));
  return h("section", { class: "stack tight", "aria-labelledby": "risk-inputs" }, h("h3", { id: "risk-inputs" }, "What carries most of it"),
    h("p", { class: "muted" }, "The largest first. Whatever is made surer here makes the price surer."), h("div", { class: "inputs figures-side stack tight" }, folded(t, SHOWN, "inputs")));
}

/** @param {Ctx} ctx @param {Counted} r */
function counted(ctx, r) {
  const warnings = r.warnings.length > 0 && h("section", { class: "stack tight", "aria-labelledby": "risk-warnings" }, h("h3", { id: "risk-warnings" }, "To be known"), h("ul", { class: "plain" }, r.warnings.map((w) => h("li", null, w))));
  const of = `${whole.format(r.runs)} cases, seed ${r.seed}; what moves together does so by a rank correlation of ${r.correlation}. The same runs and seed give the same figures.`;
  return [figures(r), h("div", { class: "risk-columns" }, picture(ctx, r), h("div", { class: "stack" },
    h("p", null, `In three of five cases between ${r.p20} and ${r.p80}; in one of ten more than ${r.p90}; ${r.mean} in the mean.`), groups(r), warnings, h("p", { class: "muted small" }, of))), inputs(r)];
}

/**
 * @param {Ctx} ctx
 * @returns {{element: HTMLElement, show: (plan: {state: string, current: boolean}) => Promise<void>, read: () => {runs?: number, seed?: number}}} read: what is typed of runs and seed
 */
export function riskSection(ctx) {
  const result = h("div", { class: "stack", role: "group", "aria-label": "What was counted" }), fault = faultPlace();
  const runs = h("input", { type: "text", inputmode: "numeric", autocomplete: "off", value: "20000", maxlength: 9 }), seed = h("input", { type: "text", inputmode: "numeric", autocomplete: "off", value: "1", maxlength: 16 });
  const go = h("button", { type: "submit", class: "button main" }, icon("play"), h("span", null, "Count the risk"));
  const form = h("form", { class: "row offer-form", novalidate: true }, field("Runs", runs), field("Seed", seed), go);
  const element = section("risk", "What the price may come out as", h("p", { class: "muted" }, "Lengths, depths, dry leaks found wet, rates and prices each within their range, many times over."), form, fault.element, result);
  const read = () => ({ runs: numberIn(runs, "Runs"), seed: numberIn(seed, "Seed") });
  let before = false; // the plan was counted on this screen
  async function show(/** @type {{state: string, current: boolean}} */ plan) {
    element.hidden = plan.state === "none";
    if (element.hidden) return;
    /** @type {Risk} */
    const r = await ctx.api.get(ctx.api.at(ctx.job, "risk"), ctx.signal);
    const is = r.state === "counted", old = !plan.current || (is && !r.current);
    if (is) before = true;
    fill(result);
    append(result, [old && before && h("div", { class: "note ask" }, icon("weak"), h("p", null, h("strong", null, "The job changed since this plan."), is ? " The risk is of before: plan again, then count again." : " What was counted no longer holds: plan again, then count again.")),
      is ? counted(ctx, r) : !before && h("p", { class: "muted" }, "Not counted yet.")].flat());
  }
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void pressed(go, fault, async () => {
      const { work } = await ctx.api.post(ctx.api.at(ctx.job, "risk"), read());
      const end = await ctx.follow(work, "Counting the risk");
      if (end.state !== "done") return;
      const plan = await ctx.api.get(ctx.api.at(ctx.job, "plan"), ctx.signal);
      await show(plan);
      ctx.say("The risk is counted.");
    });
  });
  return { element, show, read };
}
