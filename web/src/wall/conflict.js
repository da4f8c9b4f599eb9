// conflict.js - two phones said different things of one leak: both are kept, a person decides.
import { button, fill, h, icon } from "../dom.js";
import { keep } from "./records.js";
import { sync } from "./queue.js";
import { recordBody } from "./history.js";

/** @typedef {import("./wall.js").View} View */
/** @typedef {import("./types.js").Kept} Kept */

/** @param {View} view @param {Kept} a @param {Kept} b @param {string} title @param {string} text */
async function settle(view, a, b, title, text) {
  const { ctx } = view;
  const said = await ctx.ask({ title, text: "Both records stay; this is written beside them.", yes: "Settle",
    fields: [{ name: "by", label: "Name", value: ctx.session.who }, { name: "text", label: "Remark", value: text, optional: true }] });
  if (!said) return;
  await keep(ctx.job, { mark: a.record.mark, what: "settled", about: a.id, other: b.id, by: said.by, ...(a.record.step ? { step: a.record.step } : {}), ...(said.text ? { text: said.text } : {}) });
  ctx.say("Kept on this phone.");
  await sync(ctx.job);
  ctx.go(view.to(ctx.mark));
}

/** @param {View} view @param {Kept} one @param {Kept} other @param {string} name */
function version(view, one, other, name) {
  const mark = one.record.mark === "site" ? "" : one.record.mark;
  const values = one.record.what === "used" || one.record.what === "found";
  return h("section", { class: "wall-record", "aria-label": name }, h("h2", null, name), ...recordBody(view, one),
    view.writes ? h("div", { class: "wall-record-foot" },
      button("This one is right", () => void settle(view, one, other, `${name} is right`, `${name === "First" ? "The first" : "The second"} record is right.`).catch(view.ctx.fail), { class: "button main" }),
      values ? h("a", { class: "button", href: view.to(mark, `show=correct&id=${one.id}`) }, "Correct it") : null) : null);
}

/** @param {HTMLElement} root @param {View} view */
export function conflictView(root, view) {
  const q = view.ctx.query;
  const a = view.records.find((k) => k.id === q.get("a")), b = view.records.find((k) => k.id === q.get("b"));
  const said = view.conflicts.find((c) => c.a === q.get("a") && c.b === q.get("b"));
  const back = h("a", { class: "button bare", href: view.to(view.ctx.mark) }, icon("back"), view.ctx.mark ?? "Today's leaks");
  if (!a || !b) {
    fill(root, back, h("h1", null, "Conflict"), h("p", { class: "note ask" }, "These two records are not on this phone yet; they come with the next signal."));
    return {};
  }
  fill(root, back, h("h1", null, "Two records, which is right?"), h("p", null, said?.sentence ?? "This conflict is settled."),
    h("div", { class: "wall-versions" }, version(view, a, b, "First"), version(view, b, a, "Second")),
    view.writes && said ? button("Both are right", () => void settle(view, a, b, "Both are right", "Both records are right.").catch(view.ctx.fail)) : null);
  return {};
}
