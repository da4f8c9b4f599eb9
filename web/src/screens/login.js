// login.js - who are you: by name and passphrase, or for the first time by an invitation (#/join?i=...).
import { button, field, fill, h } from "../dom.js";

/** @typedef {import("../types.js").Ctx} Ctx */

/** Where to go after: an address of this page, nothing else. @param {string|null} to */
const safe = (to) => (to?.startsWith("#/") && !to.startsWith("#/login") ? to : "#/");

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  const joining = ctx.part === "join";
  ctx.title(joining ? "Join" : "Log in");
  const invitation = ctx.query.get("i") ?? ctx.query.get("invitation") ?? "";
  const code = h("input", { name: "invitation", value: invitation, required: true, autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  const name = h("input", { name: "name", required: true, autocomplete: "username", maxlength: 80, pattern: ".*\\S.*", title: "a name" });
  const phrase = h("input", { name: "passphrase", type: "password", required: true, minlength: joining ? 10 : null, autocomplete: joining ? "new-password" : "current-password" });
  const fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const shown = h("input", { type: "checkbox", change: () => void (phrase.type = shown.checked ? "text" : "password") });
  const submit = h("button", { type: "submit", class: "button main" }, joining ? "Join" : "Log in");
  const form = h("form", { class: "stack card narrow" },
    joining && field("Invitation", code, "It stands in the address of the invitation, and is used once."),
    field("Your name", name, joining ? "As it shall stand beside your records." : undefined),
    field("Passphrase", phrase, joining ? "Four or more words that only you know, 10 letters at least." : undefined),
    h("label", { class: "tick" }, shown, "Show the passphrase"), fault, h("div", { class: "row" }, submit));
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    submit.disabled = true;
    fault.hidden = true;
    try {
      const who = { name: name.value.trim(), passphrase: phrase.value };
      ctx.api.enter(await ctx.api.post(joining ? "/api/join" : "/api/login", joining ? { invitation: code.value.trim(), ...who } : who));
      ctx.go(safe(ctx.query.get("to")));
    } catch (error) {
      fault.textContent = error instanceof Error ? error.message : String(error);
      fault.hidden = false;
      submit.disabled = false;
    }
  });
  fill(root, h("div", { class: "stack loose" }, h("h1", null, joining ? "Join this site" : "Log in"), form,
    joining ? h("p", null, "You have joined before? ", h("a", { href: "#/login" }, "Log in")) : h("p", { class: "muted" }, "An estimator invites you: scan the code that they show you.")));
  if (ctx.session.role !== "nobody") root.append(h("p", { class: "row" }, `You are ${ctx.session.who} already. `, button("To the jobs", () => ctx.go("#/"))));
  return { close() {} };
}
