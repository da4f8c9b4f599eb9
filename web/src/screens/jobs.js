// jobs.js - the start: the jobs of the folder, a new one, and a survey dropped on the page.
import { button, fill, h, icon } from "../dom.js";
import { Fault, may } from "../api.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {{job: string, name: string, units: string, leaks: number, revision: number}} Job */

/** Name of a new job file made of the name of a dropped file. @param {string} file */
const nameOf = (file) => file.replace(/\.[a-z]+$/i, "").replace(/[^A-Za-z0-9_-]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60) || "job";

/** Asks for a new job and makes it; what is refused is asked again, with what was typed. @param {Ctx} ctx @param {string} [job] @param {string} [units] @returns {Promise<string|null>} */
async function make(ctx, job, units) {
  const us = units === "us";
  /** @type {Record<string, string>} */
  let last = { job: job ?? "", name: "", units: us ? "us" : "metric", currency: us ? "USD" : "EUR", paper: us ? "letter" : "a4" };
  let fault = "";
  for (;;) {
    const a = await ctx.ask({
      title: "New job", yes: "Make the job", fault,
      fields: [
        { name: "job", label: "Name of the file", value: last.job, most: 60, hint: "The job is one file of this name, in the folder of the server." },
        { name: "name", label: "Name of the site", value: last.name, most: 120, optional: true },
        { name: "units", label: "Units", type: "choice", value: last.units, options: [["metric", "metric: m, mm, l/min"], ["us", "US: ft, in, gal/min"]] },
        { name: "currency", label: "Currency", value: last.currency, most: 3, hint: "Three letters: EUR, USD, CHF." },
        { name: "paper", label: "Paper of the document", type: "choice", value: last.paper, options: [["a4", "A4"], ["letter", "Letter"]] },
      ],
    });
    if (!a) return null;
    last = { ...a, currency: a.currency.trim().toUpperCase() };
    try {
      return (await ctx.api.post("/api/jobs", { ...last, name: a.name.trim() || a.job })).job;
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      fault = error.message;
    }
  }
}

/** Units that a survey file states, so that the new job has the same. @param {File} file */
async function unitsOf(file) {
  return /"units"\s*:\s*"us"/.test(await file.slice(0, 2000).text()) ? "us" : "metric";
}

/** @param {Ctx} ctx @param {FileList|null|undefined} files */
async function openFiles(ctx, files) {
  if (!files?.length) return;
  const list = [...files];
  const other = list.find((f) => !/\.(json|geojson|csv)$/i.test(f.name));
  if (other) return ctx.fail(new Fault(415, `${other.name}: a survey is a .json, .geojson or .csv file.`));
  /** @type {string|null} */
  let job = null;
  try {
    job = await make(ctx, nameOf(list[0].name), await unitsOf(list[0]));
    if (!job) return;
    for (const f of list) await ctx.api.upload(`${ctx.api.at(job, "import")}?name=${encodeURIComponent(f.name)}`, f);
    ctx.say(`${job}: survey taken in.`);
    ctx.go(`#/job/${encodeURIComponent(job)}/plan`);
  } catch (error) {
    ctx.fail(error);
    // The job is there, without the survey: that can be taken in there.
    if (job) ctx.go(`#/job/${encodeURIComponent(job)}/draw`);
  }
}

/** @param {Ctx} ctx */
function dropField(ctx) {
  const choose = h("input", { type: "file", multiple: true, accept: ".json,.csv,.geojson", class: "unseen", id: "survey-file", tabindex: "-1", "aria-label": "Survey file" });
  choose.addEventListener("change", () => void openFiles(ctx, choose.files));
  const box = h("div", { class: "drop stack" }, h("p", { class: "drop-words" }, "Drop a survey here: JSON, CSV or GeoJSON. It becomes a new job."),
    h("div", null, button("Choose a file", () => choose.click(), { sign: "file" })), choose);
  const over = (/** @type {DragEvent} */ e) => {
    e.preventDefault();
    box.classList.add("over");
  };
  document.addEventListener("dragover", over, { signal: ctx.signal });
  document.addEventListener("dragleave", () => box.classList.remove("over"), { signal: ctx.signal });
  document.addEventListener("drop", (e) => {
    e.preventDefault();
    box.classList.remove("over");
    void openFiles(ctx, e.dataTransfer?.files);
  }, { signal: ctx.signal });
  return box;
}

/** @param {Job} j */
function card(j) {
  const to = `#/job/${encodeURIComponent(j.job)}`;
  return h("li", { class: "card stack tight" },
    h("h3", null, h("a", { href: `${to}/plan` }, j.name || j.job)),
    h("p", { class: "muted" }, `${j.leaks === 1 ? "1 leak" : `${j.leaks} leaks`}, ${j.units === "us" ? "US units" : "metric"}, file ${j.job}`),
    h("div", { class: "row" },
      h("a", { class: "button", href: `${to}/draw` }, icon("draw"), "Survey"),
      h("a", { class: "button", href: `${to}/plan` }, icon("plan"), "Plan"),
      h("a", { class: "button", href: `${to}/wall` }, icon("wall"), "At the wall")));
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("Jobs");
  /** @type {{jobs: Job[]}} */
  const { jobs } = await ctx.api.get("/api/jobs", ctx.signal);
  const estimator = may(ctx.session.role, "estimator");
  const fresh = async () => {
    try {
      const job = await make(ctx);
      if (job) ctx.go(`#/job/${encodeURIComponent(job)}/draw`);
    } catch (error) {
      ctx.fail(error);
    }
  };
  fill(root, h("div", { class: "stack loose" },
    h("div", { class: "row apart" }, h("h1", null, "Jobs"), estimator && button("New job", () => void fresh(), { class: "button main", sign: "plus" })),
    jobs.length ? h("section", { class: "stack", "aria-labelledby": "here" }, h("h2", { id: "here", class: "unseen" }, "Jobs of this folder"), h("ul", { class: "cards" }, jobs.map(card)))
      : h("p", { class: "note" }, estimator ? "There is no job yet. Make one, or drop a survey below." : "There is no job yet. An estimator makes one."),
    estimator && dropField(ctx)));
  return { close() {} };
}
