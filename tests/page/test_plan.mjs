// test_plan.mjs - from a fresh start in a browser: plan, read the findings, answer one, open a leak, play its order,
// try a change, keep it, see what changed, read the price, take the documents, stop a plan. On a laptop, then a phone.
import assert from "node:assert/strict";
import { copyFileSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { accessible, begin, run, shot, steps, touchable } from "./browser.mjs";

const stage = await begin();
const page = await stage.page();
const at = (hash) => page.goto(`${stage.base}/${hash}`);
const button = (name, exact = true) => page.getByRole("button", { name, exact });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1 }).waitFor();
let total = "";

/** Saves what a button gives; returns its bytes. */
async function take(name) {
  const [download] = await Promise.all([page.waitForEvent("download"), button(name).click()]);
  return { bytes: readFileSync(await download.path()), name: download.suggestedFilename() };
}

/**
 * Keeps the one worker planning copies of the job, so that what is begun next waits its turn: a plan alone may be done
 * before a hand is at the button. Returns what ends that.
 */
async function busy() {
  const { token } = await (await page.request.get(`${stage.base}/api/session`)).json();
  const ask = { headers: { "X-Stanch-Token": token, "Content-Type": "application/json" } };
  const files = ["busy1", "busy2", "busy3", "busy4", "busy5", "busy6"].map((name) => join(stage.folder, `${name}.stanch`));
  const works = [];
  for (const [i, file] of files.entries()) {
    copyFileSync(stage.file, file);
    const answer = await page.request.post(`${stage.base}/api/jobs/busy${i + 1}/plan`, { ...ask, data: { planes: true } });
    assert.equal(answer.status(), 200, await answer.text());
    works.push((await answer.json()).work);
  }
  return async () => {
    for (const work of works) await page.request.delete(`${stage.base}/api/work/${work}`, ask);
    const state = async (work) => (await (await page.request.get(`${stage.base}/api/work/${work}`)).json()).state;
    for (const work of works) while (["waiting", "running"].includes(await state(work))) await page.waitForTimeout(50);
    for (const file of files) for (const end of ["", "-wal", "-shm"]) rmSync(file + end, { force: true });
  };
}

/** Plans again and waits until the new plan stands. */
async function planAgain() {
  await button("Plan again").click();
  await page.getByText("Planned.").first().waitFor();
  await page.getByText("The survey changed since this plan.").waitFor({ state: "detached" });
}

await steps(stage, page, {
  async "the start lists the job"() {
    await at("");
    await heading("Jobs");
    await accessible(page, "jobs");
    await page.getByRole("link", { name: "Pump house, basement and lift pit" }).click();
    await heading("Plan");
    await page.getByText("has not been planned yet").waitFor();
    await accessible(page, "a job without a plan");
  },
  async "a plan is stopped"() {
    const rest = await busy();
    await button("Plan").click();
    await button("Stop").click();
    await page.getByText("Planning: stopped.").first().waitFor();
    await rest();
    await page.getByText("has not been planned yet").waitFor();
  },
  async "the findings come first"() {
    const rest = await busy();
    await button("Plan").click();
    await page.getByRole("progressbar", { name: "Planning" }).waitFor();
    await rest();
    await page.getByRole("heading", { name: "What needs a decision" }).waitFor();
    const order = await page.locator("main h2").allTextContents();
    assert.equal(order[0], "What needs a decision");
    assert.match(await page.locator(".finding").first().textContent(), /STOP/, "STOP before ASK");
    assert.match(await page.locator(".summary").textContent(), /2 STOP/);
    await accessible(page, "plan");
    await shot(page, "plan-desk");
  },
  async "a finding is answered"() {
    const all = button(/^Show \d+ more$/, false); /* the list of findings is long */
    if (await all.count()) await all.first().click();
    await button(/^Answer ASK waterstop of E1/, false).click();
    await page.getByLabel("Who decided").fill("A. Estimator");
    await page.getByLabel("What was decided").fill("There is none; seen in the core hole.");
    await accessible(page, "an answer being written");
    await button("Keep the answer").click();
    await page.getByText("The survey changed since this plan.").waitFor();
    await page.getByText("Counts at the next plan").first().waitFor();
    await planAgain();
    await page.getByText(/^Answered \(/).click();
    await page.getByText("There is none; seen in the core hole.").waitFor();
  },
  async "the table sorts and filters"() {
    await button("Cost", false).first().click();
    const costs = (await page.locator("table.leaks tbody tr td:nth-child(11)").allTextContents()).map((t) => parseFloat(t.replace(/,/g, "")) || -1);
    assert.deepEqual(costs, [...costs].sort((a, b) => b - a), "dearest first");
    assert.equal(await page.locator("table.leaks th[aria-sort=descending]").count(), 1);
    await page.getByLabel("Find").fill("tie hole");
    assert.deepEqual(await page.locator("table.leaks tbody th").allTextContents().then((m) => m.sort()), ["N3", "N4"]);
    await page.getByLabel("Find").fill("");
  },
  async "a leak explains its figures"() {
    await page.getByRole("link", { name: "W2", exact: true }).first().click();
    await heading(/W2/);
    const why = page.getByRole("button", { name: "How Head on the plug comes about" });
    await why.click();
    assert.equal(await why.getAttribute("aria-expanded"), "true");
    assert.match(await page.locator(".help:visible").textContent(), /Equation: .*level.*Source: /s);
    await page.getByText("Runner-up:").waitFor();
    await accessible(page, "a leak");
    await shot(page, "leak-desk");
  },
  async "the order of plugging plays"() {
    await button("Play").click();
    await page.getByText(/^Step 2 of \d+:/).waitFor();
    await button("Pause").click();
    const slider = page.getByRole("slider", { name: "Steps closed" });
    await slider.fill("0");
    await slider.press("ArrowRight");
    await page.getByText(/^Step 1 of \d+:/).waitFor();
    assert.equal(await page.locator("tr[aria-current=step]").count(), 1);
    await page.waitForFunction(() => { const i = document.querySelector(".order-image"); return i instanceof HTMLImageElement && i.complete && i.naturalWidth > 0; });
  },
  async "a change is tried, then kept"() {
    await button("Change an input").last().click();
    const width = page.getByLabel(/^Width at 0 m/);
    const before = Number(await width.inputValue());
    const [began] = [Date.now()];
    await width.fill(String(before * 2));
    await page.locator(".try-table").waitFor();
    console.log(`# a trial was shown after ${Date.now() - began} ms`);
    assert.ok((await page.locator(".try-table tbody tr").count()) > 0);
    await accessible(page, "a trial");
    await shot(page, "leak-trial");
    await width.fill("1,3");
    await page.getByRole("cell", { name: "1.300 mm", exact: true }).waitFor(); // a decimal comma is a decimal point
    await width.fill(String(before));
    await page.getByText("That changes no figure of this leak.").waitFor();
    await width.fill("wide");
    await page.getByText(/Width at 0 m: “wide” is not a number/).waitFor();
    assert.ok(await button("Keep").isDisabled());
    await width.fill("-1");
    await page.getByText("Width at 0 m is -1").waitFor();
    await page.locator(".try-result .note.stop").waitFor();
    assert.ok(await button("Keep").isDisabled());
    await width.fill(String(before * 2));
    await page.locator(".try-table").waitFor();
    await button("Keep").click();
    await page.getByText("The survey changed since this plan.").waitFor();
    stage.expected.push(/422/);
  },
  async "what changed is marked"() {
    await planAgain();
    await page.getByText("Changed since the last plan").waitFor();
    assert.ok((await page.locator(".figure.changed .tag.changed").count()) > 0, "figures say what they were");
    await page.getByRole("link", { name: "All leaks" }).click();
    await page.getByRole("heading", { name: "Since the last plan" }).waitFor();
    assert.match(await page.locator("table.leaks tr", { hasText: "W2" }).textContent(), /changed/);
    await accessible(page, "a plan with changes");
  },
  async "quantities and price"() {
    await page.getByRole("link", { name: "Quantities" }).click();
    await heading("Quantities");
    await accessible(page, "quantities");
    await page.getByRole("link", { name: "Price", exact: true }).click();
    await heading("Price");
    total = (await page.locator("tr.total td").textContent()) ?? "";
    assert.match(total, /^\d[\d,]*\.\d\d$/);
    await accessible(page, "price");
  },
  async "the documents are there"() {
    const pdf = await take("PDF");
    assert.equal(pdf.bytes.subarray(0, 5).toString(), "%PDF-");
    assert.match(pdf.bytes.subarray(-32).toString("latin1"), /%%EOF/);
    const xlsx = await take("XLSX");
    assert.equal(xlsx.bytes.subarray(0, 4).toString("latin1"), "PK\u0003\u0004");
    assert.ok(xlsx.bytes.includes("xl/workbook.xml"));
    assert.match((await take("DXF")).bytes.toString("latin1"), /EOF\s*$/);
  },
  async "the other screens"() {
    await page.getByRole("link", { name: "Log" }).first().click();
    await heading("Log");
    assert.match(await page.locator("main table").textContent(), /W2/);
    await accessible(page, "log");
    await at("#/people");
    await heading("People");
    await accessible(page, "people");
    await at("#/settings");
    await heading("Settings");
    await page.getByLabel(/Full daylight/).check();
    await accessible(page, "settings in full daylight");
    await at("#/job/pump/plan");
    await heading("Plan");
    await accessible(page, "plan in full daylight");
    await at("#/nowhere");
    await heading("There is no such screen");
    await at("#/job/none/plan");
    stage.expected.push(/404/);
    await heading("This screen did not open");
  },
  async "all of it in the dark, and on a phone"() {
    for (const how of [{ theme: "dark" }, { phone: true }, { phone: true, theme: "dark" }]) {
      const other = await stage.page(how);
      const words = JSON.stringify(how);
      for (const [hash, h1] of [["", "Jobs"], ["#/settings", "Settings"], ["#/people", "People"], ["#/job/pump/plan", "Plan"], ["#/job/pump/plan/W2", /W2/], ["#/job/pump/plan/S1", /S1/], ["#/job/pump/quantities", "Quantities"],
        ["#/job/pump/price", "Price"], ["#/job/pump/log", "Log"]]) {
        await other.goto(`${stage.base}/${hash}`);
        await heading(h1, other);
        await accessible(other, `${hash || "jobs"} ${words}`);
        if (how.phone) await touchable(other, `${hash || "jobs"} ${words}`);
        await shot(other, `${hash.replace(/\W+/g, "-") || "jobs"}-${how.phone ? "phone" : "desk"}-${how.theme ?? "light"}`, { fullPage: true });
      }
      await other.close();
    }
  },
  async "the price is the one of the terminal"() {
    const plan = JSON.parse(run("plan", stage.file, "--json"));
    assert.equal(total, plan.price.total.toLocaleString("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 }));
  },
});
await stage.end();
