// proof.js - is it dry: the verdict of the job, its leaks, its tanks, what is looked at again, handover. What is recorded here or
// on another phone is judged as it comes in; the verdicts and figures are the server's.
import { fill, h, icon, settled } from "../dom.js";
import { Fault } from "../api.js";
import { count } from "../format.js";
import { notPlanned, staleNote, takeUp } from "../plan/head.js";
import { keepSetting, setting } from "../wall/db.js";
import { listen } from "../wall/bus.js";
import { sync } from "../wall/queue.js";
import { dueSection } from "./due.js";
import { checkSection, handoverSection } from "./handover.js";
import { leakCards } from "./leaks.js";
import { tankCards } from "./tanks.js";
import { fact, section, tag } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Proof} Proof */

const ROUND_MS = 15000; // our own default: how soon what another phone recorded is looked for

/** @param {Ctx} ctx @param {Proof} p */
function head(ctx, p) {
  const c = p.counts, job = encodeURIComponent(ctx.job);
  const counts = [c.broken && `${c.broken} broken`, c.not_proven && `${c.not_proven} not proven`, c.open && `${c.open} not treated`, c.kept && `${c.kept} kept`].filter(Boolean).join(", ");
  return [h("div", { class: "row apart" }, h("h1", null, "Proof"), h("a", { class: "button", href: `#/job/${job}/built` }, icon("log"), "As built")),
    staleNote(ctx, p.current, () => ctx.go(location.hash)),
    h("p", { class: "said-large" }, tag(p.verdict), " ", p.sentence), h("p", null, counts ? `Of ${count(p.leaks.length, "leak", "leaks")}: ${counts}.` : "There are no leaks."),
    h("dl", { class: "facts" }, fact("Class agreed", p.agreed || `none; judged as ${p.judged_by}`), fact("Where both are known", p.before && p.after && `${p.before} before, ${p.after} after`), fact("Saved", p.saved)),
    h("p", { class: "muted" }, `${p.judged_by}: ${p.asks} Source: ${p.source}.`)];
}

/** The proof, or with no signal the one that was fetched last. @param {Ctx} ctx @returns {Promise<{proof: Proof, old: boolean}>} */
async function load(ctx) {
  const key = `proof ${ctx.job}`;
  try {
    const proof = await ctx.api.get(ctx.api.at(ctx.job, "proof"), ctx.signal);
    void keepSetting(key, proof).catch(() => {});
    return { proof, old: false };
  } catch (e) {
    const kept = e instanceof Fault && e.offline ? await setting(key).catch(() => undefined) : undefined;
    if (!kept) throw e;
    return { proof: kept, old: true };
  }
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {() => void} again */
async function firstProof(root, ctx, again) {
  try {
    return await load(ctx);
  } catch (e) {
    if (!(e instanceof Fault && e.code === 409)) throw e;
    if (await takeUp(ctx, again)) return null;
    const box = h("div", { class: "stack" });
    notPlanned(box, ctx, "Proof", again);
    fill(root, box);
    return null;
  }
}

/** @param {HTMLElement} root @param {Ctx} ctx @param {{proof: Proof, old: boolean}} first */
function screen(root, ctx, first) {
  const top = h("div", { class: "stack tight" }), note = h("div"), leaks = leakCards(ctx), tanks = tankCards(ctx), due = h("div"), check = checkSection(ctx);
  const tankPart = section("tanks", "Tanks", tanks.element);
  let drawn = "";
  const draw = (/** @type {{proof: Proof, old: boolean}} */ got) => {
    fill(note, got.old && h("p", { class: "note ask" }, icon("weak"), "No signal: this is as it was fetched last. What you write is kept on this device, sent and judged later."));
    const now = JSON.stringify(got.proof);
    if (now === drawn) return;
    drawn = now;
    fill(top, head(ctx, got.proof));
    leaks.show(got.proof);
    tanks.show(got.proof.tanks);
    tankPart.hidden = !got.proof.tanks.length;
    fill(due, dueSection(ctx, got.proof.revisits));
  };
  draw(first);
  fill(root, h("div", { class: "stack loose proof" }, note, top, section("leaks", "Leaks", leaks.element), tankPart, due, handoverSection(ctx), check.element));
  return { draw, check };
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title(`Proof, ${ctx.job}`);
  const first = await firstProof(root, ctx, () => ctx.go(location.hash));
  if (!first) return { close() {} };
  const shown = screen(root, ctx, first);
  const last = () => setting(`last ${ctx.job}`).catch(() => undefined);
  let seen = await last();
  const look = async () => {
    const now = await last();
    if (ctx.signal.aborted || now === seen) return;
    seen = now;
    shown.draw(await load(ctx));
    void shown.check.again();
  };
  const soon = settled(200, () => void look().catch((e) => e instanceof Fault && e.offline || ctx.fail(e)));
  const stop = listen((what) => what === "records" && soon());
  const reach = ctx.api.onReach((reached) => {
    if (!reached) return;
    seen = -1; // what is shown may be of before
    soon();
  });
  const round = () => document.visibilityState === "visible" && void sync(ctx.job);
  const rounds = setInterval(round, ROUND_MS);
  void sync(ctx.job);
  return { close() {
    clearInterval(rounds);
    soon.cancel();
    stop();
    reach();
  } };
}
