// take.js - chosen proposals go into a job, when a person has seen what they change there and said so once more.
import { button, field, fill, h, icon } from "../dom.js";
import { count } from "../format.js";
import { openForm } from "../draw/dialog.js";
import { row, table } from "../table.js";
import { faultPlace, pressed, section } from "../offer/words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Learned} Learned */
/** @typedef {import("./types.js").Job} Job */
/** @typedef {import("../offer/types.js").Rate} Rate */

/** "0.6 (0.4 to 0.8)" @param {{value: number, low?: number, high?: number}|undefined} r */
const between = (r) => (!r ? "none" : r.low === undefined || r.high === undefined ? String(r.value) : `${r.value} (${r.low} to ${r.high})`);

/** @param {Learned[]} chosen @param {Rate[]} now */
function changes(chosen, now) {
  const heads = ["Rate", "#Now in the job", "#From our jobs", "Unit"];
  return table("What would change", heads, chosen.map((r) => row(heads, [r.label, between(now.find((x) => x.id === r.id)), h("strong", null, between(r)), r.unit === "-" ? "times" : r.unit])));
}

/** @param {Ctx} ctx @param {string} job @param {Learned[]} chosen @param {Rate[]} now @param {(words: string) => void} taken */
function question(ctx, job, chosen, now, taken) {
  const text = `${count(chosen.length, "rate of this job is", "rates of this job are")} replaced, with the basis "own records" and the evidence as source. The price is of before until the job is planned again.`;
  const dialog = openForm(`Take into ${job}?`, [h("p", null, text), changes(chosen, now)], "Take them", async () => {
    await ctx.api.post(ctx.api.at(job, "rates"), { ids: chosen.map((r) => r.id) });
    taken(`Taken into ${job}: ${chosen.map((r) => `${r.label} ${between(now.find((x) => x.id === r.id))} is now ${between(r)} ${r.unit === "-" ? "" : r.unit}`.trim()).join("; ")}.`);
    return "";
  });
  dialog.classList.add("take-dialog");
}

/** What is ticked and which job, while the screen is open. @typedef {{ids: Set<string>, job: string}} Choice */
/** @param {Ctx} ctx @param {Job[]} jobs @param {Choice} choice @param {() => Learned[]} chosen what is ticked @param {() => void} clear takes the ticks away */
export function takeSection(ctx, jobs, choice, chosen, clear) {
  const fault = faultPlace(), said = h("div", { role: "status" });
  const pick = h("select", null, h("option", { value: "" }, "choose"), jobs.map((j) => h("option", { value: j.job }, j.name && j.name !== j.job ? `${j.job}, ${j.name}` : j.job)));
  if (jobs.some((j) => j.job === choice.job)) pick.value = choice.job;
  pick.addEventListener("change", () => (choice.job = pick.value));
  const ticked = h("p", { class: "muted" });
  const go = button("Take into job", () => void pressed(go, fault, async () => {
    const list = chosen(), job = pick.value;
    fill(said);
    if (!list.length) throw new Error("No rate is ticked: tick in the table above what is to be taken.");
    if (!job) throw new Error("No job is chosen.");
    const { survey } = await ctx.api.get(ctx.api.at(job, "survey"), ctx.signal);
    question(ctx, job, list, survey.rates ?? [], (words) => {
      fill(said, h("div", { class: "note ok" }, icon("yes"), h("p", null, words, " ", h("a", { href: `#/job/${encodeURIComponent(job)}/offer` }, "To its offer"))));
      clear();
    });
  }), { class: "button main" });
  const sayTicked = () => fill(ticked, chosen().length ? `${count(chosen().length, "rate is", "rates are")} ticked.` : "Nothing is ticked. No rate goes into a job by itself.");
  sayTicked();
  return { element: section("take", "Take into a job", ticked, h("div", { class: "row take-form" }, field("Job", pick), go), fault.element, said), ticked: sayTicked };
}
