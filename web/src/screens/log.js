// log.js - every change of the job: what, who, when, and through what.
import { button, fill, h } from "../dom.js";
import { when } from "../format.js";

/** @typedef {{seq: number, at: string, by: string, through: string, what: string}} Change */

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title(`Log, ${ctx.job}`);
  const body = h("tbody");
  const older = button("Older changes", () => void more().catch(ctx.fail));
  let before = 0;
  const more = async () => {
    /** @type {{changes: Change[]}} */
    const { changes } = await ctx.api.get(`${ctx.api.at(ctx.job, "log")}${before ? `?before=${before}` : ""}`, ctx.signal);
    for (const c of changes)
      body.append(h("tr", null, h("th", { scope: "row", class: "n" }, c.seq), h("td", null, h("time", { datetime: c.at }, when(c.at))), h("td", null, c.by), h("td", null, c.through), h("td", null, c.what)));
    before = changes.at(-1)?.seq ?? 0;
    older.hidden = changes.length < 100;
  };
  await more();
  fill(root, h("div", { class: "stack loose" }, h("h1", null, "Log"),
    body.childElementCount ? h("div", { class: "frame", tabindex: "0", role: "region", "aria-label": "Changes of the job" },
      h("table", { class: "pile" }, h("caption", { class: "unseen" }, "Changes of the job, newest first"),
        h("thead", null, h("tr", null, ["No.", "When", "Who", "Through", "What"].map((t, i) => h("th", { scope: "col", class: i ? null : "n" }, t)))), body))
      : h("p", { class: "note" }, "Nothing has been changed yet."), h("div", null, older)));
  return { close() {} };
}
