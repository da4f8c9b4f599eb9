// handover.js - the document that stays with the owner, and whether the log of records is whole.
import { button, fill, h, icon } from "../dom.js";
import { may } from "../api.js";
import { count } from "../format.js";
import { today } from "../wall/db.js";
import { dated, section } from "./words.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Check} Check */
/** @typedef {import("./types.js").Document} Document */

/** @param {Ctx} ctx @param {Document[]} list */
function documents(ctx, list) {
  const mine = list.filter((d) => d.kind === "handover").sort((a, b) => b.number - a.number);
  if (!mine.length) return [h("p", { class: "muted" }, "Nothing was handed over yet.")];
  return [h("ul", { class: "plain documents-kept" }, mine.map((d) => h("li", null, h("a", { href: ctx.api.at(ctx.job, "offers", `${d.number}.pdf`), download: `${ctx.job}-handover-${d.number}.pdf` }, `Handover ${d.number}, ${dated(d.on)} (PDF)`),
    h("span", { class: "muted" }, d.by ? ` by ${d.by}` : ""), h("details", null, h("summary", null, "Its mark"), h("p", { class: "hash" }, `SHA-256 ${d.pdf_sha256}`)))))];
}

/** @param {Ctx} ctx */
export function handoverSection(ctx) {
  const list = h("div"), fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const complain = (/** @type {unknown} */ e) => {
    fault.hidden = !e;
    fault.textContent = e instanceof Error ? e.message : "";
  };
  const load = async () => fill(list, documents(ctx, (await ctx.api.get(ctx.api.at(ctx.job, "offers"), ctx.signal)).offers));
  const on = h("input", { type: "date", value: today(), required: true });
  const make = h("button", { type: "submit", class: "button main" }, icon("file"), "Make the document");
  const form = h("form", { class: "row handover-form", novalidate: true }, h("label", { class: "field" }, h("span", { class: "label" }, "Handed over on"), on), make);
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void go();
  });
  async function go() {
    complain(null);
    make.disabled = true;
    try {
      const { work } = await ctx.api.post(ctx.api.at(ctx.job, "handover"), { on: on.value });
      const end = await ctx.follow(work, "Making the handover document");
      if (end.state === "done") ctx.say("The handover document is kept in the job.");
      await load();
    } catch (e) {
      if (!(e instanceof DOMException)) complain(e);
    } finally {
      make.disabled = false;
    }
  }
  void load().catch(complain);
  return section("handover", "Handover", h("p", { class: "muted" }, "As built, how it was proved, what remains and why, care, warranty basis. Each document is kept in the job as it was handed over."),
    may(ctx.session.role, "estimator") && form, fault, list);
}

/** @param {Check} c */
function verdict(c) {
  const kept = [c.photos > 0 && count(c.photos, "photo", "photos"), c.offers > 0 && count(c.offers, "document", "documents")].filter(Boolean);
  if (c.breaks.length) return [h("div", { class: "note stop" }, icon("weak"), h("p", null, h("strong", null, "The log is not whole. "), `It holds ${count(c.records, "record", "records")}.`)),
    h("ul", { class: "plain" }, c.breaks.map((b) => h("li", null, b)), c.more && h("li", null, "There are more."))];
  if (!c.records) return [h("p", null, "The log is empty: nothing was recorded yet.")];
  return [h("div", { class: "note ok" }, icon("yes"), h("p", null, h("strong", null, "The log is whole: "), `${count(c.records, "record", "records")}${kept.length ? `, ${kept.join(", ")}` : ""}; head ${c.head_seq} `, h("span", { class: "hash" }, c.head_hash)))];
}

/** @param {Check} c */
const answer = (c) => (c.known === null ? null : c.known ? h("p", { class: "note ok" }, icon("yes"), "That head is in this log: nothing up to it was changed.") : h("p", { class: "note stop" }, icon("weak"), "That head is not in this log: it is another log, or it was changed."));

/** @param {Ctx} ctx */
export function checkSection(ctx) {
  const result = h("div", { class: "stack tight", role: "status" }), fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const seq = h("input", { type: "text", inputmode: "numeric", autocomplete: "off", maxlength: 15 }), hash = h("input", { type: "text", autocomplete: "off", spellcheck: "false", maxlength: 64 });
  const load = async (/** @type {string} */ query) => {
    fault.hidden = true;
    try {
      /** @type {Check} */
      const c = await ctx.api.get(ctx.api.at(ctx.job, "check") + query, ctx.signal);
      fill(result, verdict(c), answer(c));
    } catch (e) {
      if (e instanceof DOMException) return;
      fault.hidden = false;
      fault.textContent = e instanceof Error ? e.message : String(e);
    }
  };
  const form = h("form", { class: "stack tight", novalidate: true }, h("p", { class: "muted" }, "The number and the hash of a head that was noted before, such as on a handover document: is this log the same up to it?"),
    h("div", { class: "row known-form" }, h("label", { class: "field" }, h("span", { class: "label" }, "Number"), seq), h("label", { class: "field grow" }, h("span", { class: "label" }, "Hash"), hash), h("button", { type: "submit", class: "button" }, "Compare")));
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void load(`?seq=${encodeURIComponent(seq.value.trim())}&hash=${encodeURIComponent(hash.value.trim())}`);
  });
  void load("");
  return { element: section("log-check", "The log of records", result, fault, h("div", { class: "row" }, button("Check again", () => void load(""), { sign: "again" })), h("details", null, h("summary", null, "Compare with a head noted before"), form)), again: () => load("") };
}
