// head.js - what stands over every screen of the plan: whether it is of today's survey, planning, the documents.
import { append, button, h, icon } from "../dom.js";
import { may } from "../api.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Plan} Plan */

/** Plans, shows how far it is, then calls `again`. @param {Ctx} ctx @param {() => void} again @param {boolean} [planes] */
export async function makePlan(ctx, again, planes = true) {
  try {
    const { work } = await ctx.api.post(ctx.api.at(ctx.job, "plan"), { planes });
    const end = await ctx.follow(work, "Planning");
    if (end.state === "done") ctx.say("Planned.");
    if (!ctx.signal.aborted) again();
  } catch (error) {
    ctx.fail(error);
  }
}

/**
 * A job that was planned before the server began is planned again without being asked: its crack planes are kept in it, so
 * that it is quick. False where it never was, or where this person may not plan. @param {Ctx} ctx @param {() => void} again
 */
export async function takeUp(ctx, again) {
  const plan = await ctx.api.get(ctx.api.at(ctx.job, "plan"), ctx.signal);
  if (plan.state !== "none" || !plan.before || !may(ctx.session.role, "foreman")) return false;
  await makePlan(ctx, again);
  return true;
}

/** A button that plans and cannot be pressed twice. @param {Ctx} ctx @param {string} words @param {() => void} again @param {() => boolean} [planes] */
export function planButton(ctx, words, again, planes) {
  const b = button(words, async () => {
    b.disabled = true;
    await makePlan(ctx, again, planes ? planes() : true);
    b.disabled = false;
  }, { class: "button main", sign: "again" });
  return b;
}

/** @param {HTMLElement} box @param {Ctx} ctx @param {string} title @param {() => void} again */
export function notPlanned(box, ctx, title, again) {
  const planes = h("input", { type: "checkbox", checked: true });
  append(box, [h("h1", null, title), h("div", { class: "card stack" },
    h("p", null, "This job has not been planned yet."),
    may(ctx.session.role, "foreman") ? [h("label", { class: "tick" }, planes, "With the water in the crack planes and the order of plugging"), h("div", null, planButton(ctx, "Plan", again, () => planes.checked))]
      : h("p", { class: "muted" }, "A foreman or an estimator plans it."))]);
}

/** The note on a plan that the survey has left behind. @param {Ctx} ctx @param {boolean} current @param {() => void} again */
export function staleNote(ctx, current, again) {
  if (current) return null;
  return h("div", { class: "note ask", role: "status" }, icon("weak"), h("p", null, h("strong", null, "The survey changed since this plan."), " What stands below is of before."),
    may(ctx.session.role, "foreman") && planButton(ctx, "Plan again", again));
}

/** Saves what an address gives. @param {string} address @param {string} name */
function save(address, name) {
  const link = h("a", { href: address, download: name, hidden: true });
  document.body.appendChild(link);
  link.click();
  link.remove();
}

const documents = /** @type {[string, string, string][]} */ ([
  ["PDF", "plan.pdf", "The document: findings, drawings, step cards, price"],
  ["XLSX", "quantities.xlsx", "Quantities and price as a workbook"],
  ["DXF", "faces.dxf", "The faces as a drawing"],
]);

/** @param {Ctx} ctx */
export function documentButtons(ctx) {
  /** @param {string} words @param {string} file @param {HTMLButtonElement} b */
  const get = async (words, file, b) => {
    b.disabled = true;
    try {
      const { work } = await ctx.api.post(ctx.api.at(ctx.job, "report"));
      const end = await ctx.follow(work, `Making the ${words}`);
      if (end.state === "done") save(ctx.api.at(ctx.job, "report", file), `${ctx.job}-${file}`);
    } catch (error) {
      ctx.fail(error);
    }
    b.disabled = false;
  };
  return h("div", { class: "row documents", role: "group", "aria-label": "Documents" }, documents.map(([words, file, title]) => {
    const b = button(words, () => void get(words, file, b), { sign: "file", title });
    return b;
  }));
}

/** Heading, documents, and the note if the plan is of before. @param {Ctx} ctx @param {string} title @param {Plan} plan @param {() => void} again */
export function head(ctx, title, plan, again) {
  return [h("div", { class: "row apart" }, h("h1", null, title), h("div", { class: "row" }, documentButtons(ctx),
    plan.current && may(ctx.session.role, "foreman") && button("Plan again", () => void makePlan(ctx, again), { sign: "again" }))), staleNote(ctx, plan.current, again)];
}
