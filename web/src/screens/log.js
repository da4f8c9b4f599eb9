// log.js - every change of the job: what, who, when, and through what.
import { button, fill, h } from "../dom.js";
import { when } from "../format.js";
import { row, table } from "../table.js";

/** @typedef {{seq: number, at: string, by: string, through: string, what: string}} Change */

const heads = ["#No.", "When", "Who", "Through", "What"];
const most = 100;

/** @param {Change} c */
const changeRow = (c) => row(heads, [c.seq, h("time", { datetime: c.at }, when(c.at)), c.by, c.through, c.what]);

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title(`Log, ${ctx.job}`);
  let before = 0;
  const next = async () => {
    /** @type {{changes: Change[]}} */
    const { changes } = await ctx.api.get(`${ctx.api.at(ctx.job, "log")}${before ? `?before=${before}` : ""}`, ctx.signal);
    before = changes.at(-1)?.seq ?? 0;
    older.hidden = changes.length < most;
    return changes.map(changeRow);
  };
  const older = button("Older changes", () => void next().then((rows) => root.querySelector("tbody")?.append(...rows), ctx.fail));
  const first = await next();
  fill(root, h("div", { class: "stack loose" }, h("h1", null, "Log"), first.length ? table("Changes of the job, newest first", heads, first) : h("p", { class: "note" }, "Nothing has been changed yet."), h("div", null, older)));
  return { close() {} };
}
