// print.js - the offer on paper: printed with its date, kept as its bytes; and all that was printed of this job.
import { field, fill, h, icon } from "../dom.js";
import { may } from "../api.js";
import { row, table } from "../table.js";
import { dated, faultPlace, pressed, section, today } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Kept} Kept */

/** @param {Ctx} ctx @param {Kept} o @param {"pdf"|"xlsx"} ending */
function link(ctx, o, ending) {
  return h("a", { href: ctx.api.at(ctx.job, "offers", `${o.number}.${ending}`), download: true, "aria-label": `${o.kind} ${o.number} as ${ending.toUpperCase()}` }, ending.toUpperCase());
}

/** @param {Ctx} ctx @param {Kept[]} list */
function printed(ctx, list) {
  if (!list.length) return h("p", { class: "muted" }, "Nothing was printed yet.");
  const heads = ["Document", "On", "By", "#Price", "#P50", "#P80", "Files", "SHA-256 of the PDF"];
  const hash = (/** @type {Kept} */ o) => h("details", { class: "hash-of" }, h("summary", null, `${o.pdf_sha256.slice(0, 12)}…`, h("span", { class: "unseen" }, `, the whole of ${o.kind} ${o.number}`)), h("span", { class: "hash" }, o.pdf_sha256));
  return table("What was printed", heads, [...list].sort((a, b) => b.number - a.number).map((o) => row(heads, [`${o.kind === "offer" ? "Offer" : "Handover"} ${o.number}`, dated(o.on), o.by, o.total, o.p50, o.p80,
    h("span", { class: "row files" }, link(ctx, o, "pdf"), o.kind === "offer" && link(ctx, o, "xlsx")), hash(o)])));
}

/** @param {Ctx} ctx @param {() => {runs?: number, seed?: number}} spread runs and seed as typed above @param {() => Promise<void>} after the price above may be planned anew */
export function printSection(ctx, spread, after) {
  const list = h("div", { class: "printed" }), fault = faultPlace(), writes = may(ctx.session.role, "estimator");
  const on = h("input", { type: "date", value: today(), required: true });
  const go = h("button", { type: "submit", class: "button main" }, icon("file"), h("span", null, "Print the offer"));
  const form = h("form", { class: "row offer-form", novalidate: true }, field("Date of the offer", on), go);
  const show = async () => {
    /** @type {{offers: Kept[]}} */
    const { offers } = await ctx.api.get(ctx.api.at(ctx.job, "offers"), ctx.signal);
    fill(list, printed(ctx, offers));
    return offers;
  };
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void pressed(go, fault, async () => {
      if (!on.value) throw new Error("Type the date of the offer.");
      const { work } = await ctx.api.post(ctx.api.at(ctx.job, "offers"), { on: on.value, ...spread() });
      const end = await ctx.follow(work, "Printing the offer");
      if (end.state !== "done") return;
      const offers = await show(), last = Math.max(...offers.filter((o) => o.kind === "offer").map((o) => o.number));
      ctx.say(`Offer ${last} is printed and kept in the job.`);
      await after();
    });
  });
  const element = section("printed", "Offers and handovers", writes ? [h("p", { class: "muted" }, "The job as it stands is planned, its risk counted with the runs and the seed above, and the document kept in the job as it goes out."), form] : null,
    fault.element, list, h("p", { class: "muted small" }, "What is kept never changes. From its kept inputs an offer is printed again to the same bytes; its SHA-256 shows it."));
  return { element, show };
}
