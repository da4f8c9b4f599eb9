// works.js - the part of the works: who does what when, a day of it, the same at another temperature. The times and figures are
// the server's.
import { fill, h } from "../dom.js";
import { notPlanned, planButton, staleNote, takeUp } from "../plan/head.js";
import { may } from "../api.js";
import { dayScreen } from "./day.js";
import { overview } from "./overview.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Works} Works */

/** Nobody can do them yet: why. @param {HTMLElement} box @param {Ctx} ctx @param {{current: boolean, problem: string}} w @param {() => void} again */
function problem(box, ctx, w, again) {
  const change = may(ctx.session.role, "estimator") && h("a", { class: "button", href: `#/job/${encodeURIComponent(ctx.job)}/draw` }, "To the survey");
  fill(box, h("h1", null, "Works"), staleNote(ctx, w.current, again),
    h("div", { class: "card stack" }, h("p", null, h("strong", null, "There is no plan of the works.")), h("p", null, w.problem),
      h("div", { class: "row" }, change, w.current && may(ctx.session.role, "foreman") && planButton(ctx, "Plan again", again))));
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  if (ctx.mark) return dayScreen(root, ctx, ctx.mark);
  ctx.title(`Works, ${ctx.job}`);
  const again = () => void show().catch(ctx.fail);
  const show = async () => {
    /** @type {Works} */
    const w = await ctx.api.get(ctx.api.at(ctx.job, "works"), ctx.signal);
    if (w.state === "none" && w.before && (await takeUp(ctx, again))) return;
    const box = h("div", { class: "stack loose works" });
    if (w.state === "none") notPlanned(box, ctx, "Works", again);
    else if (w.state === "problem") problem(box, ctx, w, again);
    else overview(box, ctx, w, again);
    fill(root, box);
  };
  await show();
  return { close() {} };
}
