// send.js - a form whose answer is a record: kept on this device first, sent when there is a signal. What the server refuses
// stays in the form, with its sentence beside it.
import { button, fill, h, icon } from "../dom.js";
import { setting } from "../wall/db.js";
import { all, keep, mend, one } from "../wall/records.js";
import { sync } from "../wall/queue.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {import("../wall/types.js").Kept} Kept */
/**
 * @typedef {object} Entry
 * @property {string} title
 * @property {string} yes                     words of the button
 * @property {HTMLElement} element            its fields
 * @property {{mark: string, what: string, tank?: string}} fixed   what the record is of
 * @property {() => Record<string, any>|string} read
 * @property {() => void} clear
 * @property {(r: Record<string, any>) => void} [refill]  with a record that was refused
 */

/** One that this device kept and the server refused before. @param {Ctx} ctx @param {Entry} entry */
async function refusedBefore(ctx, entry) {
  const { mark, what, tank } = entry.fixed;
  const list = await all(ctx.job).catch(() => /** @type {Kept[]} */ ([]));
  return list.find((k) => k.state === "refused" && k.record.mark === mark && k.record.what === what && k.record.tank === tank);
}

/** Keeps and sends. @param {Ctx} ctx @param {Record<string, any>} said @param {Kept|undefined} refused @returns {Promise<Kept|undefined>} */
async function send(ctx, said, refused) {
  let id = refused?.id;
  const clean = Object.fromEntries(Object.entries(said).filter(([, v]) => v !== undefined));
  if (refused) await mend(refused, { ...said, at: said.at ?? refused.record.at });
  else id = (await keep(ctx.job, /** @type {any} */ (clean))).id;
  await sync(ctx.job);
  return id ? one(id) : undefined;
}

/** @param {Ctx} ctx @param {Entry} entry @returns {HTMLFormElement} */
export function recordForm(ctx, entry) {
  const by = h("input", { type: "text", autocomplete: "name", maxlength: 80, value: ctx.session.who });
  void setting("by").then((last) => last && by.value === ctx.session.who && (by.value = last)).catch(() => {});
  const said = h("p", { class: "said", role: "status" }), fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const submit = h("button", { type: "submit", class: "button main" }, icon("yes"), entry.yes);
  /** @type {Kept|undefined} */
  let refused;
  const complain = (/** @type {string} */ sentence) => {
    fault.hidden = !sentence;
    fault.textContent = sentence;
  };
  void refusedBefore(ctx, entry).then((k) => {
    if (!k || !entry.refill) return;
    refused = k;
    entry.refill(k.record);
    complain(`Refused before: ${k.fault}`);
  });
  const form = h("form", { class: "stack record-form", novalidate: true, "aria-label": entry.title }, h("h4", null, entry.title), entry.element,
    h("label", { class: "field" }, h("span", { class: "label" }, "Name"), by), fault, h("div", { class: "row" }, submit, said));
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    void go();
  });
  async function go() {
    const values = entry.read(), who = by.value.trim();
    fill(said);
    complain(typeof values === "string" ? values : who ? "" : "Write the name of who tested.");
    if (typeof values === "string" || !who) return;
    submit.disabled = true;
    try {
      const kept = await send(ctx, { ...values, ...entry.fixed, by: who }, refused);
      refused = kept?.state === "refused" ? kept : undefined;
      if (refused) return complain(refused.fault ?? "The server refused it.");
      entry.clear();
      fill(said, kept?.state === "sent" ? `Kept as record ${kept.record.seq}.` : "Kept on this device; it is sent when there is a signal.");
    } catch (e) {
      complain(e instanceof Error ? e.message : String(e));
    } finally {
      submit.disabled = false;
    }
  }
  return form;
}

/** A button that opens a form in its place, once. @param {string} words @param {() => HTMLFormElement} make */
export function formDoor(words, make) {
  const place = h("div");
  const open = button(words, () => {
    const form = make();
    fill(place, form);
    /** @type {HTMLElement|null} */ (form.querySelector("input, select, textarea"))?.focus();
  }, { sign: "plus" });
  fill(place, open);
  return place;
}
