// test_offer.mjs - the offer with its risk and the rates of finished jobs, from a fresh start in a browser: the risk counted, an offer
// printed and kept, rates and prices changed (a wrong range, somebody who was faster), proposals taken into a job after a question.
// On a laptop and a phone, light and dark; as a viewer; a job in US units.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { accessible, begin, root, run, shot, steps, touchable } from "./browser.mjs";

const stage = await begin();
run("new", join(stage.folder, "pit.stanch"), "--units", "us");
run("import", join(stage.folder, "pit.stanch"), join(root, "examples", "small-us.json"));
/** Finished jobs of an invented firm (bench/firm.c), where it is built. */
const firm = process.env.FIRM;
if (firm) execFileSync(firm, [stage.folder, "6", "3", "5"], { env: { ...process.env, OPENBLAS_NUM_THREADS: "1" }, stdio: "ignore" });
writeFileSync(join(stage.folder, "torn.stanch"), "no job at all");

stage.expected.push(/status of 4(00|09|22)/); // wrong runs, dates, ranges; somebody was faster
const page = await stage.page();
const button = (name, on = page) => on.getByRole("button", { name, exact: true });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1 }).waitFor();
const region = (id, on = page) => on.locator(`section[aria-labelledby=${id}]`);
const fault = (words, on = page) => on.getByRole("alert").filter({ hasText: words }).first().waitFor();
const get = async (path) => (await page.request.get(`${stage.base}/api/${path}`)).json();
const plain = (words) => words.replace(/[\u00a0\u202f]/g, " ");
const text = async (where) => plain(await where.textContent());
async function send(path, data) {
  const { token } = await (await page.request.get(`${stage.base}/api/session`)).json();
  const answer = await page.request.post(`${stage.base}/api/${path}`, { data, headers: { "X-Stanch-Token": token } });
  return { code: answer.status(), body: await answer.json() };
}
async function done(work) {
  for (let i = 0; i < 900; i++) {
    const now = await get(`work/${work}`);
    if (!["waiting", "running"].includes(now.state)) return now.state;
    await new Promise((next) => setTimeout(next, 50));
  }
  return "for ever";
}
const open = async (on = page, job = "pump") => {
  await on.goto(`${stage.base}/#/job/${job}/offer`);
  await heading("Offer", on);
};
async function as(role, how = {}) {
  const other = await stage.page(how);
  await other.route("**/api/session", async (route) => {
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: { ...(await answer.json()), role } });
  });
  return other;
}
const drawn = (on = page) => on.waitForFunction(() => [...document.querySelectorAll("img.risk-image")].some((i) => i.complete && i.naturalWidth > 0));
const count = async (runs, seed, on = page) => {
  await region("risk", on).getByLabel("Runs").fill(runs);
  await region("risk", on).getByLabel("Seed").fill(seed);
  await button("Count the risk", on).click();
};
const values = (on = page) => region("values", on);
const rate = async (id, job = "pump") => (await get(`jobs/${job}/survey`)).survey.rates.find((r) => r.id === id);
const price = async (id, job = "pump") => (await get(`jobs/${job}/survey`)).survey.prices.find((r) => r.id === id);
const dialog = (on = page) => on.getByRole("dialog").last();

await steps(stage, page, {
  async "a job that was not planned is planned from here"() {
    await open();
    await page.getByText("This job has not been planned yet.").waitFor();
    assert.equal(await region("risk").isVisible(), false);
    await page.getByText("Nothing was printed yet.").waitFor();
    await accessible(page, "an offer not planned");
    await page.getByLabel("With the water in the crack planes").uncheck();
    await button("Plan").click();
    await page.getByRole("rowheader", { name: "Price, without tax" }).waitFor();
    const plan = await get("jobs/pump/plan");
    const amount = new Intl.NumberFormat("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 });
    const words = await text(page.locator(".price-short"));
    for (const g of plan.price.groups) assert.ok(words.includes(g.group) && words.includes(amount.format(g.amount)), g.group);
    assert.ok(words.includes(amount.format(plan.price.total)));
    await region("risk").getByText("Not counted yet.").waitFor();
    await accessible(page, "a risk not counted");
  },
  async "wrong runs and seeds are told beside the button, and stay typed"() {
    for (const [runs, seed, words] of [["many", "1", /Runs: “many” is not a number/], ["3", "1", /runs: is 3; it must lie in 100 to 200000/], ["900000", "1", /it must lie in 100 to 200000/], ["500", "-4", /seed: is -4/]]) {
      await count(runs, seed);
      await region("risk").getByRole("alert").filter({ hasText: words }).waitFor();
      assert.deepEqual([await region("risk").getByLabel("Runs").inputValue(), await region("risk").getByLabel("Seed").inputValue()], [runs, seed]);
    }
    await accessible(page, "wrong runs");
    assert.equal((await get("jobs/pump/risk")).state, "none");
  },
  async "the risk is counted and said"() {
    await count("2000", "7");
    await region("risk-inputs").waitFor();
    assert.equal(await region("risk").getByRole("alert").count(), 0);
    const r = await get("jobs/pump/risk"), words = await text(region("risk"));
    assert.deepEqual([r.runs, r.seed], [2000, 7]);
    for (const figure of [r.total, r.p20, r.p50, r.p80, r.p90, r.mean, r.contingency]) assert.ok(words.includes(plain(figure)), figure);
    for (const g of r.groups) assert.ok(words.includes(g.group), g.group);
    for (const warning of r.warnings) assert.ok(words.includes(plain(warning)), warning);
    const rows = region("risk-inputs").locator("tbody tr");
    assert.equal(await rows.count(), r.inputs.length);
    assert.equal(await region("risk-inputs").locator("tbody tr:visible").count(), Math.min(8, r.inputs.length));
    for (const [i, input] of r.inputs.entries()) {
      const row = await text(rows.nth(i));
      for (const part of [input.label, input.low, input.likely, input.high, input.unit, input.basis]) assert.ok(row.includes(plain(part)), `${row} lacks ${part}`);
    }
    await drawn();
    await accessible(page, "a counted risk");
    await shot(page, "offer-desk", { fullPage: true });
    await button(`${r.inputs.length - 8} more inputs`).click();
    assert.equal(await region("risk-inputs").locator("tbody tr:visible").count(), r.inputs.length);
  },
  async "counted again with another seed, the new count is shown"() {
    const before = await get("jobs/pump/risk");
    await count("3000", "8");
    await page.getByText(/3,000 cases, seed 8/).waitFor();
    const after = await get("jobs/pump/risk");
    assert.notEqual(after.p80, before.p80);
    assert.ok((await text(region("risk"))).includes(plain(after.p80)));
    await drawn();
  },
  async "an offer is printed, kept and given out as its bytes"() {
    await page.getByLabel("Date of the offer").fill("2026-03-02");
    await button("Print the offer").click();
    await page.getByText("Offer 1 is printed and kept in the job.").first().waitFor();
    const { offers: [o] } = await get("jobs/pump/offers");
    assert.deepEqual([o.number, o.kind, o.on], [1, "offer", "2026-03-02"]);
    const words = await text(region("printed").locator("tbody tr").first());
    for (const part of ["Offer 1", "2 Mar 2026", o.by, o.total, o.p50, o.p80, o.pdf_sha256.slice(0, 12)]) assert.ok(words.includes(plain(part)), `${words} lacks ${part}`);
    assert.equal(await region("printed").getByText(o.pdf_sha256, { exact: true }).isVisible(), false);
    await region("printed").locator("summary").first().click();
    assert.equal(await region("printed").getByText(o.pdf_sha256, { exact: true }).isVisible(), true);
    const [pdf] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "offer 1 as PDF" }).click()]);
    assert.equal(createHash("sha256").update(readFileSync(await pdf.path())).digest("hex"), o.pdf_sha256);
    const [xlsx] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "offer 1 as XLSX" }).click()]);
    assert.equal(readFileSync(await xlsx.path()).subarray(0, 2).toString(), "PK");
    assert.equal(xlsx.suggestedFilename(), "pump-1.xlsx");
    assert.equal(await page.getByLabel("Date of the offer").inputValue(), "2026-03-02");
    assert.match(await text(region("printed")), /printed again to the same bytes/);
    await accessible(page, "a printed offer");
  },
  async "an offer without a date, or with wrong runs, is not printed"() {
    await page.getByLabel("Date of the offer").fill("");
    await button("Print the offer").click();
    await region("printed").getByRole("alert").filter({ hasText: "Type the date of the offer." }).waitFor();
    await page.getByLabel("Date of the offer").fill("2026-03-03");
    await region("risk").getByLabel("Runs").fill("1");
    await button("Print the offer").click();
    await region("printed").getByRole("alert").filter({ hasText: /runs: is 1/ }).waitFor();
    await accessible(page, "an offer that is not printed");
    await shot(page, "offer-faults", { fullPage: true });
    await region("risk").getByLabel("Runs").fill("2000");
    assert.equal((await get("jobs/pump/offers")).offers.length, 1);
  },
  async "a handover stands in the list"() {
    assert.equal(await done((await send("jobs/pump/handover", { on: "2026-03-04" })).body.work), "done");
    await open(page, "pit");
    await open();
    const row = region("printed").locator("tbody tr").filter({ hasText: "Handover" });
    await row.waitFor();
    assert.equal(await row.getByRole("link").count(), 1);
    assert.equal(await row.getByRole("link").textContent(), "PDF");
  },
  async "a rate and its range are changed by keyboard"() {
    await values().locator("summary").first().focus();
    await page.keyboard.press("Enter");
    await values().getByLabel("Find").fill("plug_h");
    const change = button("Change Set one plug");
    await change.focus();
    await page.keyboard.press("Enter");
    assert.equal(await dialog().getByLabel("Basis").inputValue(), "default");
    await dialog().getByLabel("Likely, h").fill("0,08");
    await dialog().getByLabel("Low, h").fill("0.09");
    assert.equal(await dialog().getByLabel("Basis").inputValue(), "own");
    await dialog().getByLabel("Source").fill("stop watch, 40 plugs");
    await button("Save", dialog()).click();
    await fault(/0\.09/, dialog()); // low above likely, as the server says it
    assert.equal(await dialog().getByLabel("Source").inputValue(), "stop watch, 40 plugs");
    await accessible(page, "a wrong range");
    await shot(page, "offer-wrong-range");
    await dialog().getByLabel("High, h").fill("");
    await dialog().getByLabel("Low, h").fill("little");
    await button("Save", dialog()).click();
    await fault(/Low: “little” is not a number/, dialog());
    await dialog().getByLabel("Low, h").fill("0.06");
    await dialog().getByLabel("High, h").fill("0.12");
    await page.keyboard.press("Enter");
    await page.getByRole("dialog").waitFor({ state: "detached" });
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("data-value")), "plug_h_each");
    const now = await rate("plug_h_each");
    assert.deepEqual([now.value, now.low, now.high, now.basis, now.source], [0.08, 0.06, 0.12, "own", "stop watch, 40 plugs"]);
    const row = await text(values().locator("tbody tr").first());
    for (const part of ["0.08", "0.06", "0.12", "own records", "stop watch, 40 plugs"]) assert.ok(row.includes(part), row);
  },
  async "then the price and the risk are of before"() {
    await page.getByText("The survey changed since this plan.").waitFor();
    await region("risk").getByText(/no longer holds|is of before/).first().waitFor();
    await accessible(page, "an offer of before");
    await shot(page, "offer-before", { fullPage: true });
    await button("Plan again").click();
    await page.getByText("The survey changed since this plan.").waitFor({ state: "detached" });
    await count("2000", "1");
    await region("risk-inputs").waitFor();
    assert.ok((await get("jobs/pump/risk")).inputs.some((i) => i.label === "Set one plug" && i.likely === "0.08"));
  },
  async "a price is changed; somebody who was faster is seen"() {
    await values().getByLabel("Find").fill("labour");
    const before = await price("labour_h"), { hashes } = await get("jobs/pump/survey");
    await button(`Change ${before.label}`).click();
    assert.equal(await dialog().getByLabel("Basis").count(), 0);
    const theirs = await send("jobs/pump/edit", { changes: [{ what: "price", key: "labour_h", before: hashes.prices.labour_h, after: { ...before, price: 55 } }] });
    assert.equal(theirs.code, 200, JSON.stringify(theirs));
    await dialog().getByLabel(/^Likely/).fill("58");
    await button("Save", dialog()).click();
    await page.getByRole("heading", { name: /changed by somebody else/ }).waitFor();
    assert.match(await text(dialog()), /price: yours 58, theirs 55/);
    await accessible(page, "two prices");
    await button("Take theirs").click();
    await page.getByRole("dialog").first().waitFor({ state: "detached" });
    assert.equal((await price("labour_h")).price, 55);
    await button(`Change ${before.label}`).click();
    const again = await get("jobs/pump/survey");
    await send("jobs/pump/edit", { changes: [{ what: "price", key: "labour_h", before: again.hashes.prices.labour_h, after: { ...before, price: 54 } }] });
    await dialog().getByLabel(/^Likely/).fill("57");
    await button("Save", dialog()).click();
    await button("Keep mine").click();
    await page.getByRole("dialog").first().waitFor({ state: "detached" });
    assert.deepEqual(await price("labour_h"), { ...before, price: 57 });
  },
  async "all rates and prices as a table"() {
    await values().getByLabel("Find").fill("");
    const { survey } = await get("jobs/pump/survey");
    assert.equal(await values().locator("tbody tr").count(), survey.rates.length + survey.prices.length);
    await accessible(page, "rates and prices");
    await shot(page, "offer-values", { fullPage: true });
    await values().getByLabel("Find").fill("zzz");
    await values().getByText("No rate with these words.").waitFor();
  },
  async "a viewer sees, and prints and changes nothing"() {
    const viewer = await as("viewer");
    await open(viewer);
    await viewer.getByText("Offer 1", { exact: true }).waitFor();
    await values(viewer).locator("summary").first().click();
    await values(viewer).getByRole("rowheader", { name: "Set one plug" }).waitFor();
    await count("500", "3", viewer);
    await viewer.getByText(/500 cases, seed 3/).waitFor();
    assert.equal(await button("Print the offer", viewer).count() + (await viewer.getByRole("button", { name: /^Change/ }).count()), 0);
    await accessible(viewer, "an offer, as a viewer");
    await viewer.goto(`${stage.base}/#/rates`);
    await viewer.getByText(/An estimator reads the finished jobs/).waitFor();
    assert.equal(await button("Read the finished jobs", viewer).count(), 0);
    await accessible(viewer, "rates, as a viewer");
    await viewer.close();
  },
  async "the finished jobs are read"() {
    await page.goto(`${stage.base}/#/rates?job=pump`);
    await heading("Rates from finished jobs");
    await page.getByText(/were not read yet/).waitFor();
    await accessible(page, "rates not read");
    await button("Read the finished jobs").click();
    await page.getByText(/files? were read|files were read/).first().waitFor();
    const r = await get("rates"), words = await text(page.locator("main"));
    assert.ok(r.left_out.some((l) => l.startsWith("torn")) && r.left_out.some((l) => l.startsWith("pump")), r.left_out.join());
    for (const sentence of r.left_out) assert.ok(words.includes(plain(sentence)), sentence);
    await accessible(page, "rates read");
    await shot(page, "rates-desk", { fullPage: true });
    if (!firm) return;
    assert.equal(r.finished, 6);
    assert.ok(words.includes(plain(r.calibration)));
    const rows = region("learned").locator(".pile > tbody > tr");
    assert.equal(await rows.count(), r.rates.length);
    for (const [i, one] of r.rates.entries()) {
      const row = await text(rows.nth(i));
      for (const part of [one.label, one.shipped, one.value, `${one.low} to ${one.high}`, one.evidence, one.leaks, one.jobs]) assert.ok(row.includes(plain(String(part))), `${row} lacks ${part}`);
      assert.equal(await rows.nth(i).locator("progress").evaluate((p) => p.value), one.weight);
    }
    const cut = rows.filter({ hasText: "Cut a slot" });
    assert.equal(await cut.getByText(/^lift/).isVisible(), false);
    await cut.locator("summary").click();
    assert.equal(await cut.getByText("lift", { exact: true }).isVisible(), true);
    await accessible(page, "classes of a rate");
  },
  async "proposals are taken after a question, and only those ticked"() {
    if (!firm) return;
    const take = region("take");
    await button("Take into job").click();
    await take.getByRole("alert").filter({ hasText: "No rate is ticked" }).waitFor();
    const { rates } = await get("rates"), [one, two] = [rates.find((r) => r.id === "cut_slot_h_m"), rates.find((r) => r.id === "plug_h_each")];
    for (const r of [one, two]) await page.getByLabel(r.label, { exact: true }).check();
    await take.getByText("2 rates are ticked.").waitFor();
    await take.getByLabel("Job").selectOption("");
    await button("Take into job").click();
    await take.getByRole("alert").filter({ hasText: "No job is chosen" }).waitFor();
    assert.equal(await page.getByLabel(one.label, { exact: true }).isChecked(), true);
    await take.getByLabel("Job").selectOption("pump");
    const before = await get("jobs/pump/survey");
    await button("Take into job").click();
    await page.getByRole("heading", { name: "Take into pump?" }).waitFor();
    const asked = await text(dialog());
    for (const part of ["0.6 (0.4 to 0.8)", `${one.value} (${one.low} to ${one.high})`, "0.08 (0.06 to 0.12)", `${two.value} (${two.low} to ${two.high})`]) assert.ok(asked.includes(part), `${asked} lacks ${part}`);
    await accessible(page, "the question before taking");
    await shot(page, "rates-question");
    await button("Cancel", dialog()).click();
    assert.equal((await get("jobs/pump/survey")).revision, before.revision, "nothing is taken by itself");
    await button("Take into job").click();
    await button("Take them", dialog()).click();
    await take.getByText(/^Taken into pump/).waitFor();
    const now = await rate(one.id);
    assert.deepEqual([now.value, now.low, now.high, now.basis, now.source], [one.value, one.low, one.high, "own", one.evidence]);
    assert.equal((await rate("wash_h_m2")).basis, "default", "what was not ticked stays");
    assert.equal(await page.getByLabel(one.label, { exact: true }).isChecked(), false);
    await accessible(page, "what was taken");
    await shot(page, "rates-taken", { fullPage: true });
    await take.getByRole("link", { name: "To its offer" }).click();
    await page.getByText("The survey changed since this plan.").waitFor();
  },
  async "a job in US units"() {
    assert.equal(await done((await send("jobs/pit/plan", { planes: false })).body.work), "done");
    await open(page, "pit");
    await count("500", "1");
    await region("risk-inputs").waitFor();
    assert.doesNotMatch(await text(region("risk")), /\d ?(mm|cm)\b|°C/);
    await accessible(page, "an offer in US units");
    await shot(page, "offer-us", { fullPage: true });
  },
  async "on a phone"() {
    await open();
    await button("Plan again").click();
    await page.getByText("The survey changed since this plan.").waitFor({ state: "detached" });
    for (const theme of ["light", "dark"]) {
      const phone = await stage.page({ phone: true, theme });
      await open(phone);
      await count("2000", "1", phone);
      await region("risk-inputs", phone).waitFor();
      await drawn(phone);
      await accessible(phone, `an offer on a phone, ${theme}`);
      await touchable(phone, `an offer on a phone, ${theme}`);
      await shot(phone, `offer-phone-${theme}`, { fullPage: true });
      await values(phone).locator("summary").first().tap();
      await values(phone).getByLabel("Find").fill("plug");
      await accessible(phone, `rates and prices on a phone, ${theme}`);
      await touchable(phone, `rates and prices on a phone, ${theme}`);
      await values(phone).scrollIntoViewIfNeeded();
      await shot(phone, `offer-phone-values-${theme}`);
      await phone.getByRole("button", { name: "Change Set one plug" }).tap();
      await accessible(phone, `a rate on a phone, ${theme}`);
      await shot(phone, `offer-phone-rate-${theme}`);
      await button("Cancel", dialog(phone)).tap();
      await button("Menu", phone).tap();
      await phone.getByRole("link", { name: "Rates from finished jobs" }).tap();
      await heading("Rates from finished jobs", phone);
      await region("left-out", phone).waitFor();
      await accessible(phone, `rates on a phone, ${theme}`);
      await touchable(phone, `rates on a phone, ${theme}`);
      await shot(phone, `rates-phone-${theme}`, { fullPage: true });
      await phone.close();
    }
  },
});
await stage.end();
