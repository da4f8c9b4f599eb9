// pending.js - what was said since the plan: it stands in the survey, and counts at the next plan.

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Finding} Finding */
/** @typedef {Record<string, any> & {gauge?: string, on: string}} Reading */
/** @typedef {{method: string, by: string, on?: string, why: string}} Overrule */
/** A leak as the survey has it. @typedef {{defect: Record<string, any> & {mark: string, readings?: Reading[], overrule?: Overrule}, hash: string}} Standing */
/** @typedef {{survey: {answers?: {mark: string, finding: string, by: string, on?: string, what?: string}[], defects?: Standing["defect"][]}, hashes: {defects: Record<string, string>}}} Survey */

/** @param {Ctx} ctx @returns {Promise<Survey>} */
const surveyNow = (ctx) => ctx.api.get(ctx.api.at(ctx.job, "survey"), ctx.signal);

/** @param {Survey} now @param {Finding[]} findings */
function answered({ survey }, findings) {
  for (const f of findings) {
    const answer = f.open && survey.answers?.find((a) => a.mark === f.mark && a.finding === f.finding);
    if (answer) Object.assign(f, { waiting: true, by: answer.by, on: answer.on, what: answer.what });
  }
}

/** Marks the open findings of a plan that the survey has left behind with the answers that wait there.
 * @param {Ctx} ctx @param {{current: boolean, findings: Finding[]}} plan */
export async function markWaiting(ctx, plan) {
  if (plan.current !== false || !plan.findings.some((f) => f.open)) return;
  answered(await surveyNow(ctx), plan.findings);
}

/** The same of one leak, with the choice of method that waits; the leak as it stands comes back, null where the plan says all
 * that the screen needs. @param {Ctx} ctx @param {Leak} leak @returns {Promise<Standing|null>} */
export async function leakNow(ctx, leak) {
  if (leak.current && !leak.diagnosis.movement.gauges.length) return null;
  const now = await surveyNow(ctx);
  const defect = now.survey.defects?.find((d) => d.mark === leak.mark);
  if (!leak.current) answered(now, leak.findings);
  if (!defect) return null;
  const was = leak.method.overruled, is = defect.overrule;
  const same = is ? was && is.method === was.method && is.by === was.by && is.why === was.why : !was;
  if (!leak.current && !same) leak.method.waiting = is ?? null;
  return { defect, hash: now.hashes.defects[leak.mark] };
}
