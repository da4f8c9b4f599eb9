// pending.js - answers that were given since the plan: they stand in the survey, and count at the next plan.

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Finding} Finding */

/** Marks the open findings of a plan that the survey has left behind with the answers that wait there.
 * @param {Ctx} ctx @param {{current: boolean, findings: Finding[]}} plan */
export async function markWaiting(ctx, plan) {
  if (plan.current !== false || !plan.findings.some((f) => f.open)) return;
  /** @type {{survey: {answers?: {mark: string, finding: string, by: string, on?: string, what?: string}[]}}} */
  const { survey } = await ctx.api.get(ctx.api.at(ctx.job, "survey"), ctx.signal);
  for (const f of plan.findings) {
    const answer = f.open && survey.answers?.find((a) => a.mark === f.mark && a.finding === f.finding);
    if (answer) Object.assign(f, { waiting: true, by: answer.by, on: answer.on, what: answer.what });
  }
}
