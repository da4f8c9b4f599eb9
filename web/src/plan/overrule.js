// overrule.js - a person's choice of method against the table, with the reason that is kept and printed; and its withdrawal.
import { button, field, fill, freshId, h, icon } from "../dom.js";
import { Fault, may } from "../api.js";
import { picker } from "../draw/dialog.js";
import { nameNow, remember } from "./finding.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Leak} Leak */
/** @typedef {import("./types.js").Again} Again */

const opener = "overrule-open";

/** What became of it, when the screen stands again; the cursor is where it was. @param {Ctx} ctx @param {string} words @param {Again} again */
async function done(ctx, words, again) {
  ctx.say(words);
  await again();
  document.getElementById(opener)?.focus();
}

/** @param {Ctx} ctx @param {Leak} leak @param {Again} again @param {() => void} leave */
function overruleForm(ctx, leak, again, leave) {
  const standing = leak.method.waiting ?? leak.method.overruled;
  const word = standing?.method ?? "";
  const method = picker([["", "choose"], ...leak.method.choices.map((c) => /** @type {[string, string]} */ ([c.word, c.name]))], word, { required: true, name: "method" });
  const by = h("input", { name: "by", required: true, maxlength: 120, value: nameNow(ctx), autocomplete: "off" });
  const why = h("textarea", { name: "why", required: true, maxlength: 1000, rows: 3, value: standing?.why ?? "" });
  const fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const submit = h("button", { type: "submit", class: "button main" }, "Overrule the table");
  const form = h("form", { class: "stack answer" }, h("div", { class: "form-fields" }, field("Method instead", method), field("Who chooses it", by)),
    leak.findings.some((f) => f.open && f.level === "STOP") && h("p", { class: "note ask" }, icon("stop"), h("span", null, "A STOP is open: the choice is kept, and taken once the STOP is answered.")),
    field("Why", why, "Kept with name and date, and printed in the document."), fault, h("div", { class: "row" }, submit, button("Leave it", leave)));
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    const blank = [by, why].find((input) => !input.value.trim());
    if (blank) {
      blank.value = ""; // then the browser says that it is missing
      return void form.reportValidity();
    }
    submit.disabled = true;
    fault.hidden = true;
    try {
      const choice = { mark: leak.mark, method: method.value, by: by.value.trim(), why: why.value.trim() };
      await ctx.api.post(ctx.api.at(ctx.job, "overrule"), choice);
      remember(choice.by);
      await done(ctx, `${leak.mark}: choice kept. Plan again to use it.`, again);
    } catch (error) {
      submit.disabled = false;
      if (!(error instanceof Fault)) return ctx.fail(error);
      fill(fault, icon("weak"), h("span", null, error.message));
      fault.hidden = false;
    }
  });
  return { form, first: method };
}

/** @param {Ctx} ctx @param {Leak} leak @param {Again} again */
async function withdraw(ctx, leak, again) {
  const said = await ctx.ask({ title: `Withdraw the choice of ${leak.mark}?`, text: "The table decides again at the next plan. Who chose what and why stays in the log.", yes: "Withdraw", danger: true,
    fields: [{ name: "by", label: "Who withdraws it", value: nameNow(ctx), most: 120 }] });
  if (!said) return;
  try {
    await ctx.api.post(ctx.api.at(ctx.job, "overrule"), { mark: leak.mark, method: null, by: said.by.trim() });
    remember(said.by.trim());
    await done(ctx, `${leak.mark}: choice withdrawn. Plan again to use it.`, again);
  } catch (error) {
    ctx.fail(error);
  }
}

/** What was said since the plan. @param {Leak} leak */
function waiting(leak) {
  const w = leak.method.waiting;
  if (w === undefined) return null;
  const name = w && (leak.method.choices.find((c) => c.word === w.method)?.name ?? w.method);
  return h("div", { class: "note ask" }, icon("people"), h("p", null, h("strong", null, w ? `Chosen since this plan: ${name}. ` : "Withdrawn since this plan: the table decides. "),
    w && `${w.by}${w.on ? `, ${w.on}` : ""}: ${w.why} `, h("span", { class: "muted" }, "Counts at the next plan.")));
}

/** @param {Ctx} ctx @param {Leak} leak @param {Again} again */
export function overrulePanel(ctx, leak, again) {
  if (!may(ctx.session.role, "estimator")) return waiting(leak);
  const standing = leak.method.waiting === undefined ? leak.method.overruled : leak.method.waiting;
  const place = h("div", { id: freshId("overrule"), hidden: true });
  const show = (/** @type {boolean} */ opening) => {
    place.hidden = !opening;
    open.setAttribute("aria-expanded", String(opening));
    if (!opening) return void open.focus();
    const { form, first } = overruleForm(ctx, leak, again, () => show(false));
    fill(place, form);
    first.focus();
  };
  const open = button(standing ? "Choose another method" : "Overrule", () => show(place.hidden), { id: opener, "aria-expanded": "false", "aria-controls": place.id });
  return h("div", { class: "stack" }, waiting(leak), h("div", { class: "row" }, open, standing && button("Withdraw the choice", () => void withdraw(ctx, leak, again))), place);
}
