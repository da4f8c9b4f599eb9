// rates.js - what the firm's finished jobs say of its rates, beside the shipped ones. Nothing is taken by itself. The figures are the server's.
import { button, fill, h, icon } from "../dom.js";
import { may } from "../api.js";
import { count } from "../format.js";
import { row, table } from "../table.js";
import { faultPlace, pressed, section, shareBar } from "../offer/words.js";
import { takeSection } from "./take.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Rates} Rates */
/** @typedef {import("./types.js").Lesson} Lesson */
/** @typedef {import("./types.js").Learned} Learned */

const unitOf = (/** @type {Learned} */ r) => (r.unit === "-" ? "times" : r.unit);

/** @param {Learned} r */
function classes(r) {
  if (!r.classes.length) return null;
  const one = (/** @type {Learned["classes"][number]} */ c) => h("li", null, h("strong", null, c.what), ` ${c.value}, 90 % between ${c.low} and ${c.high}; ${count(c.leaks, "leak", "leaks")}`, c.differs && [" ", h("span", { class: "tag changed" }, "differs")]);
  const differs = r.classes.filter((c) => c.differs).length;
  return h("details", { class: "classes" }, h("summary", null, `By class${differs ? `, ${count(differs, "differs", "differ")}` : ""}`), h("ul", { class: "plain" }, r.classes.map(one)));
}

/** @param {Lesson} l @param {(r: Learned) => HTMLInputElement} tick */
function rateTable(l, tick) {
  const heads = ["Rate", "#Shipped", "#Ours", "#90 % between", "Unit", "Own evidence weighs", "#Leaks", "#Jobs", "Evidence"];
  return table("Rates from finished jobs", heads, l.rates.map((r) => row(heads, [h("label", { class: "tick" }, tick(r), h("span", null, r.label)), String(r.shipped), h("strong", null, String(r.value)), `${r.low} to ${r.high}`, unitOf(r), shareBar(r.weight), String(r.leaks), String(r.jobs),
    [h("span", { class: "small" }, r.evidence), classes(r)]])));
}

/** @param {Lesson} l */
const leftOut = (l) => l.left_out.length > 0 && section("left-out", "Left out", h("ul", { class: "plain" }, l.left_out.map((t) => h("li", null, t))));

/** @param {Ctx} ctx @param {Lesson} l @param {import("./types.js").Job[]} jobs @param {import("./take.js").Choice} choice */
function lesson(ctx, l, jobs, choice) {
  /** @type {Map<string, HTMLInputElement>} */
  const ticks = new Map();
  const chosen = () => l.rates.filter((r) => choice.ids.has(r.id));
  const take = takeSection(ctx, jobs, choice, chosen, () => {
    choice.ids.clear();
    for (const t of ticks.values()) t.checked = false;
    take.ticked();
  });
  const tick = (/** @type {Learned} */ r) => {
    const input = h("input", { type: "checkbox", value: r.id, checked: choice.ids.has(r.id), change: () => {
      if (input.checked) choice.ids.add(r.id);
      else choice.ids.delete(r.id);
      take.ticked();
    } });
    ticks.set(r.id, input);
    return input;
  };
  const read = h("p", null, `${count(l.files, "file was", "files were")} read, ${count(l.finished, "job of them is", "jobs of them are")} finished.`);
  if (!l.rates.length) return [read, h("div", { class: "note ask" }, icon("weak"), h("p", null, "No finished job says anything of a rate yet: steps are ticked and hours told at the wall, or recorded later.")), leftOut(l)];
  return [read, l.calibration && section("calibration", "How well the offers held", h("p", null, l.calibration)),
    section("learned", "Shipped and ours", h("p", { class: "muted" }, "Ours: the shipped rate and the firm's own records, weighed by how much these say. Tick what is to be taken into a job."), h("div", { class: "figures-side" }, rateTable(l, tick))), take.element, leftOut(l)];
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("Rates from finished jobs");
  const head = h("h1", null, "Rates from finished jobs");
  if (!may(ctx.session.role, "estimator")) {
    fill(root, h("div", { class: "stack rates" }, head, h("div", { class: "note" }, icon("info"), h("p", null, "An estimator reads the finished jobs and takes rates over."))));
    return { close() {} };
  }
  const body = h("div", { class: "stack loose" }), fault = faultPlace();
  const choice = { ids: new Set(), job: ctx.query.get("job") ?? "" }; // stays when the jobs are read again
  const show = async () => {
    /** @type {[Rates, {jobs: import("./types.js").Job[]}]} */
    const [r, { jobs }] = await Promise.all([ctx.api.get("/api/rates", ctx.signal), ctx.api.get("/api/jobs", ctx.signal)]);
    fill(body, ...(r.state === "none" ? [h("p", { class: "muted" }, "The finished jobs of this folder were not read yet since the server began.")] : lesson(ctx, r, jobs, choice)));
  };
  const read = button("Read the finished jobs", () => void pressed(read, fault, async () => {
    const { work } = await ctx.api.post("/api/rates", {});
    const end = await ctx.follow(work, "Reading the finished jobs");
    if (end.state !== "done") return;
    await show();
    ctx.say("The finished jobs are read.");
  }), { class: "button main", sign: "again" });
  await show();
  fill(root, h("div", { class: "stack loose rates" }, h("div", { class: "stack" }, h("div", { class: "row apart" }, head, read), h("p", { class: "muted" }, "What the records of this folder's finished jobs say of hours, waste and call-backs, beside the rates as shipped. Nothing is changed by reading."), fault.element), body));
  return { close() {} };
}
