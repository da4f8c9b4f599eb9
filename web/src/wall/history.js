// history.js - the records of a leak or the job: what waits, what was refused, what the server has.
import { button, fill, h, icon } from "../dom.js";
import { base } from "./db.js";
import { keep, mend } from "./records.js";
import { sync } from "./queue.js";
import { when } from "./clock.js";
import { valuesOf, whats } from "./terms.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Kept} Kept */

const MOST = 100;

/** @param {View} view @param {string|undefined} code @param {string} mark */
function stepTitle(view, code, mark) {
  if (!code) return "";
  return view.day.leaks.find((l) => l.mark === mark)?.card.steps.find((s) => s.code === code)?.title ?? code.replace("_", " ");
}

/** What a record says. @param {View} view @param {Kept} kept */
export function recordBody(view, kept) {
  const r = kept.record;
  const title = [whats[r.what] ?? r.what, stepTitle(view, r.step, r.mark)].filter(Boolean).join(": ");
  return [h("p", { class: "wall-record-title" }, h("strong", null, `${r.mark === "site" ? "Site" : r.mark} ${title}`)),
    valuesOf(r, view.units, view.material).map((v) => h("p", null, v)), r.text ? h("p", null, r.text) : null, r.photo ? picture(view, kept) : null,
    h("p", { class: "muted" }, `${r.by ? r.by + ", " : ""}${when(r.at)}`)];
}

/** @param {View} view @param {Kept} kept */
function picture(view, kept) {
  const img = h("img", { class: "wall-photo", alt: `Photo of ${kept.record.mark}`, loading: "lazy" });
  const own = kept.photo_id;
  if (!own) img.src = view.ctx.api.at(view.ctx.job, "photos", kept.record.photo ?? "");
  else
    void base().then((db) => db.get("photos", own)).then((p) => {
      if (!p) return;
      const address = URL.createObjectURL(p.blob);
      img.addEventListener("load", () => URL.revokeObjectURL(address), { once: true });
      img.src = address;
    });
  return img;
}

/** @param {View} view @param {Kept} kept */
function stateLine(view, kept) {
  if (kept.state === "refused") return h("p", { class: "wall-state stop" }, icon("weak"), `Refused: ${kept.fault}`);
  if (kept.state === "waiting") return h("p", { class: "wall-state" }, icon("out"), "Kept on this phone, not sent yet");
  const by = view.records.filter((k) => k.record.what === "correction" && k.record.about === kept.id).at(-1);
  return by ? h("p", { class: "wall-state" }, icon("changed"), `Corrected ${when(by.record.at)}${by.record.text ? ": " + by.record.text : ""}`) : h("p", { class: "wall-state done" }, icon("yes"), "Sent");
}

/** A tick or a step done by mistake: a correction says so. @param {View} view @param {Kept} kept */
async function notDone(view, kept) {
  const { ctx } = view;
  const said = await ctx.ask({ title: "This was not done", text: "The record stays; a correction says that it does not count.", yes: "Write the correction",
    fields: [{ name: "by", label: "Name", value: ctx.session.who }, { name: "text", label: "Why" }] });
  if (!said) return;
  await keep(ctx.job, { mark: kept.record.mark, what: "correction", step: kept.record.step, about: kept.id, by: said.by, text: said.text });
  void sync(ctx.job);
}

/** @param {View} view @param {Kept} kept */
function actions(view, kept) {
  const r = kept.record, mark = r.mark === "site" ? "" : r.mark;
  if (!view.writes || r.what === "settled") return null;
  if (kept.state === "refused" && ["used", "found", "note", "correction", "proof", "deviation"].includes(r.what)) return h("a", { class: "button main", href: view.to(mark, `show=mend&id=${kept.id}`) }, "Mend");
  if (kept.state === "refused") return [again(view, kept, {}, "Send again"), kept.photo_id && isGone(view, mark) && again(view, kept, { mark: "site" }, "Send for the site")];
  if (["start", "finish", "hold"].includes(r.what)) return button("Was not done", () => void notDone(view, kept).catch(view.ctx.fail));
  if (r.what === "level") return null; // a tank is read on the screen of the proof
  return h("a", { class: "button", href: view.to(mark, `show=correct&id=${kept.id}`) }, "Correct");
}

/** The leak is not in the day: perhaps it is no longer in the job. @param {View} view @param {string} mark */
const isGone = (view, mark) => mark !== "" && !view.day.leaks.some((l) => l.mark === mark);

/** A tick or photo has nothing to mend but may be sent again, once the cause is gone.
 * @param {View} view @param {Kept} kept @param {Partial<import("./types.js").Rec>} said @param {string} name */
function again(view, kept, said, name) {
  return button(name, async () => {
    await mend(kept, said);
    void sync(view.ctx.job);
  });
}

/** @param {HTMLElement} root @param {View} first */
export function recordsView(root, first) {
  const { ctx } = first;
  const list = h("ol", { class: "wall-records" }), count = h("p", { class: "muted" });
  let drawn = "";
  const draw = (/** @type {View} */ view) => {
    const order = { refused: 0, waiting: 1, sent: 2 };
    const mine = view.records.filter((k) => !ctx.mark || k.record.mark === ctx.mark).reverse().sort((a, b) => order[a.state] - order[b.state]);
    const key = JSON.stringify(mine.slice(0, MOST).map((k) => [k.id, k.state])) + mine.length;
    if (key === drawn) return;
    drawn = key;
    count.textContent = mine.length > MOST ? `${mine.length} records; the newest ${MOST} are shown` : mine.length === 1 ? "1 record" : `${mine.length} records`;
    fill(list, mine.slice(0, MOST).map((k) => h("li", { class: `wall-record ${k.state}` }, ...recordBody(view, k), h("div", { class: "wall-record-foot" }, stateLine(view, k), actions(view, k)))));
  };
  draw(first);
  fill(root, h("a", { class: "button bare", href: first.to(ctx.mark) }, icon("back"), ctx.mark ?? "Today's leaks"), h("h1", null, `Records${ctx.mark ? " of " + ctx.mark : ""}`), count, list);
  return { refresh: draw };
}
