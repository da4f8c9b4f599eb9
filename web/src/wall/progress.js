/** How far a leak is, read from its records. A tick about which a correction was written does not count any more. */

/** @typedef {import("./types.js").Kept} Kept */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {{state: "stop"|"none"|"going"|"done", next: number, done: Map<string, import("./types.js").Rec>}} Progress */

/** @param {Leak} leak @param {Kept[]} records @returns {Progress} */
export function progress(leak, records) {
  const mine = records.filter((k) => k.record.mark === leak.mark && k.state !== "refused").map((k) => k.record);
  const corrected = new Set(mine.filter((r) => r.what === "correction").map((r) => r.about));
  const counting = mine.filter((r) => ["start", "finish", "hold"].includes(r.what) && !corrected.has(r.id));
  const steps = leak.card.steps;
  /** @type {Progress["done"]} */
  const done = new Map();
  for (const r of counting) if (r.step && (r.what === "hold" || r.what === "finish") && !done.has(r.step)) done.set(r.step, r);
  const open = steps.findIndex((s) => !done.has(s.code));
  const whole = counting.some((r) => r.what === "finish" && !r.step);
  const next = open < 0 ? steps.length : open;
  const state = leak.stop ? "stop" : whole || (steps.length > 0 && open < 0) ? "done" : counting.length ? "going" : "none";
  return { state, next, done };
}

/** The first hold point before step `at` that nobody has ticked, or -1. @param {Leak} leak @param {Progress} p @param {number} at */
export function holdBefore(leak, p, at) {
  return leak.card.steps.findIndex((s, i) => i < at && s.hold && !p.done.has(s.code));
}

/** "not begun", "step 3 of 12: Wash" ... @param {Leak} leak @param {Progress} p */
export function stateWords(leak, p) {
  if (p.state === "stop") return "STOP: barred";
  if (p.state === "done") return "done";
  const step = leak.card.steps[p.next];
  if (p.state === "none" || !step) return "not begun";
  return `under way, at step ${p.next + 1}: ${step.title}`;
}

/** The code of the step that a mix belongs to. @param {import("./types.js").Mix} m */
export const mixStep = (m) => (m.step === "dry-pack" ? "pack" : m.step.replace(" ", "_"));
