// test_people.mjs - the network of the site in a browser: the first estimator joins by the printed invitation, invites
// a foreman, who joins and may plan but not invite; a session is ended; a wrong passphrase and a used invitation are told.
import assert from "node:assert/strict";
import { accessible, begin, shot, steps, touchable } from "./browser.mjs";

const stage = await begin({ words: ["--site", "--address", "127.0.0.1"] });
const page = await stage.page();
const phone = await stage.page({ phone: true, theme: "dark" });
const heading = (name, on) => on.getByRole("heading", { name, level: 1 }).waitFor();
const phrases = { estimator: "kettle harbour violet ladder", foreman: "gravel sunday copper window" };
let invitation = "";

async function printedInvitation() {
  for (let i = 0; i < 100; i++) {
    const found = /https?:\S+#\/join\S+/.exec(stage.said())?.[0];
    if (found) return found;
    await new Promise((next) => setTimeout(next, 100));
  }
  throw new Error(`no invitation in: ${stage.said()}`);
}

async function enter(on, button, name, phrase) {
  await on.getByLabel("Your name").fill(name);
  await on.getByLabel("Passphrase", { exact: true }).fill(phrase);
  await on.getByRole("button", { name: button, exact: true }).click();
}

// The tests ask for no trusted certificate, so there is no service worker here.
stage.expected.push(/status of 4\d\d/, /SSL certificate error/);
await steps(stage, page, {
  async "a stranger is asked who it is"() {
    await page.goto(`${stage.base}/#/job/pump/plan`);
    await heading("Log in", page);
    await accessible(page, "login");
    await enter(page, "Log in", "Nobody", "wrong wrong wrong wrong");
    await page.getByRole("alert").filter({ hasText: /\w/ }).first().waitFor();
    await accessible(page, "a refused login");
  },
  async "the first estimator joins"() {
    await page.goto(await printedInvitation());
    await heading("Join this site", page);
    assert.match(await page.getByLabel("Invitation", { exact: true }).inputValue(), /^[0-9a-f]{16,}$/);
    await accessible(page, "join");
    await enter(page, "Join", "A. Estimator", phrases.estimator);
    await heading("Jobs", page);
  },
  async "a foreman is invited by a code"() {
    await page.getByRole("button", { name: "Menu" }).click();
    await accessible(page, "the menu");
    await page.getByRole("link", { name: "People and sessions" }).click();
    await heading("People", page);
    await page.getByRole("button", { name: "Invite" }).click();
    await page.getByLabel("Role", { exact: true }).selectOption("foreman");
    await page.getByRole("button", { name: "Make the invitation" }).click();
    await page.getByRole("heading", { name: "Invitation: foreman" }).waitFor();
    await page.waitForFunction(() => { const i = document.querySelector("img.code"); return i instanceof HTMLImageElement && i.complete && i.naturalWidth > 0; });
    invitation = (await page.locator("dialog p.figures").textContent()) ?? "";
    await accessible(page, "an invitation");
    await shot(page, "invitation");
    await page.getByRole("button", { name: "Done" }).click();
  },
  async "the foreman joins on a phone"() {
    await phone.goto(invitation);
    await heading("Join this site", phone);
    await touchable(phone, "join");
    await accessible(phone, "join on a phone");
    await enter(phone, "Join", "B. Foreman", phrases.foreman);
    await heading("Jobs", phone);
    assert.equal(await phone.getByRole("button", { name: "New job" }).count(), 0, "a foreman makes no job");
    await phone.goto(`${stage.base}/#/people`);
    await heading("People", phone);
    assert.equal(await phone.getByRole("button", { name: "Invite" }).count(), 0);
    await accessible(phone, "people on a phone");
    await shot(phone, "people-phone");
  },
  async "an invitation works once"() {
    const other = await stage.page();
    await other.goto(invitation);
    await enter(other, "Join", "C. Guest", phrases.foreman);
    await other.getByRole("alert").filter({ hasText: /\w/ }).first().waitFor();
    await other.close();
  },
  async "a role is changed and a session ended"() {
    await page.goto(`${stage.base}/#/`);
    await page.goto(`${stage.base}/#/people`);
    await page.getByLabel("Role of B. Foreman").selectOption("viewer");
    await page.getByText("B. Foreman is viewer.").first().waitFor();
    await accessible(page, "people");
    await page.getByRole("button", { name: /^End the session of B. Foreman/ }).first().click();
    await page.getByRole("button", { name: /^End the session of B. Foreman/ }).waitFor({ state: "detached" });
    await phone.goto(`${stage.base}/#/`);
    await heading("Log in", phone);
    await enter(phone, "Log in", "B. Foreman", phrases.foreman);
    await heading("Jobs", phone);
  },
  async "the estimator logs out"() {
    await page.getByRole("button", { name: "Menu" }).click();
    await page.getByRole("button", { name: "Log out" }).click();
    await heading("Log in", page);
    await page.goto(`${stage.base}/#/people`);
    await heading("Log in", page);
  },
});
await stage.end();
