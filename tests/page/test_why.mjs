// test_why.mjs - why it leaks and what to do, from a fresh start in a browser: the method with its runner-up, overruled with
// a reason and withdrawn; gauges with their plots, a reading typed in and taken away; what the drawing does not show stays
// in the survey. On a laptop and a phone, as each role; a job in US units.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { accessible, begin, root, run, shot, steps, touchable } from "./browser.mjs";

const GAUGED = "W2"; // still, with a season: 0.01 mm/K, made up here
const mm_in = 25.4; // an inch, exact

/** Two years of monthly readings of a made-up gauge: w = 0.4 - 0.01 (T - 13); one in June 2024 is read wrong by 0.5 mm. */
function readings(unit) {
  const list = [];
  for (let i = 0; i < 24; i++) {
    const on = `${2024 + Math.floor(i / 12)}-${String((i % 12) + 1).padStart(2, "0")}-15`;
    const c = Math.round((13 + 8 * Math.cos((2 * Math.PI * (i - 6)) / 12)) * 10) / 10;
    const mm = Math.round((0.4 - 0.01 * (c - 13) + 0.002 * ((i * 7) % 5 - 2) + (i === 5 ? 0.5 : 0)) * 1000) / 1000;
    list.push(unit === "us" ? { gauge: "upper", on, width_in: Math.round((mm / mm_in) * 10000) / 10000, temperature_f: Math.round((c * 1.8 + 32) * 10) / 10 } : { gauge: "upper", on, width_mm: mm, temperature_c: c });
  }
  return list;
}

const folder = mkdtempSync(join(tmpdir(), "stanch-why-"));
function written(example, mark, change) {
  const survey = JSON.parse(readFileSync(join(root, "examples", example), "utf8"));
  change(survey.defects.find((d) => d.mark === mark), survey);
  const file = join(folder, example);
  writeFileSync(file, JSON.stringify(survey));
  return file;
}
const stage = await begin({ survey: written("pump-house.json", GAUGED, (d, s) => {
  d.readings = readings("metric");
  Object.assign(s.site, { coldest_c: 2, warmest_c: 24, tightness: "ztv_2" });
}) });
const usFile = join(stage.folder, "pit.stanch");
const usMark = "N1";
run("new", usFile, "--units", "us");
run("import", usFile, written("small-us.json", usMark, (d) => { d.readings = readings("us"); }));
for (const file of [stage.file, usFile]) run("plan", file, "--planes", "off");
rmSync(folder, { recursive: true, force: true });

stage.expected.push(/status of 409/); // a plan of before is taken up; one day, two widths
const page = await stage.page();
const button = (name, exact = true, on = page) => on.getByRole("button", { name, exact });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1 }).waitFor();
const survey = async (job = "pump") => (await (await page.request.get(`${stage.base}/api/jobs/${job}/survey`)).json()).survey;
const leak = async (mark = GAUGED, job = "pump") => (await survey(job)).defects.find((d) => d.mark === mark);
const movement = (on = page) => on.getByRole("group", { name: "Movement" });
const method = (on = page) => on.getByRole("group", { name: "Why this method" });
const open = async (on, mark = GAUGED, job = "pump") => {
  await on.goto(`${stage.base}/#/job/${job}/plan/${mark}`);
  await heading(new RegExp(mark), on);
};
const focused = (on = page) => on.evaluate(() => document.activeElement?.getAttribute("name") || document.activeElement?.id || document.activeElement?.tagName);

/** Until a thing asked of the server is so. */
async function until(what, wanted) {
  for (let i = 0; i < 200; i++) {
    if (await wanted()) return;
    await new Promise((next) => setTimeout(next, 50));
  }
  assert.fail(`in vain: ${what}`);
}

async function planAgain(on = page) {
  await button("Plan again", true, on).first().click();
  await on.getByText("The survey changed since this plan.").waitFor({ state: "detached" });
}

/** A window in which the session says another role: what the page then offers. What the server lets a role do is asked in tests/web. */
async function as(role, how = {}) {
  const other = await stage.page(how);
  await other.route("**/api/session", async (route) => {
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: { ...(await answer.json()), role } });
  });
  return other;
}

await steps(stage, page, {
  async "the method says why, and what else"() {
    await open(page);
    await method().getByText("Runner-up:").waitFor();
    await method().getByText(/^Row \d+ of the table\. /).waitFor();
    await method().getByRole("heading", { name: "What would tip it" }).waitFor();
    assert.ok((await method().locator("ul li").count()) > 0);
    const told = await (await page.request.get(`${stage.base}/api/jobs/pump/leaks/${GAUGED}`)).json();
    assert.equal((await method().locator(".big").textContent()).trim(), told.method.name);
    for (const tip of told.method.tips) await method().getByText(tip.change).first().waitFor();
  },
  async "the movement says its verdict, and the plot has words"() {
    await movement().getByRole("heading", { name: /^Gauge upper: cyclic/ }).waitFor();
    assert.equal(await movement().locator(".gauge .figure", { hasText: /^Set aside/ }).locator("dd").textContent(), "2024-06-15");
    await movement().getByText("24, 2024-01-15 to 2025-12-15").waitFor();
    const plot = movement().locator("img");
    await plot.scrollIntoViewIfNeeded();
    await page.waitForFunction(() => { const i = document.querySelector(".movement img"); return i instanceof HTMLImageElement && i.complete && i.naturalWidth > 0; });
    assert.match(await plot.getAttribute("alt"), /^Movement of W2, gauge upper: cyclic; 24 readings from 2024-01-15 to 2025-12-15; drift .* mm a year; .* mm\/K/);
    await movement().getByText("Readings (24)").click();
    assert.equal(await movement().locator("tbody tr").count(), 24);
    assert.match(await movement().locator("tbody tr").first().textContent(), /2025-12-15.*mm.*°C/s);
    assert.match(await movement().locator("tbody tr", { hasText: "2024-06-15" }).textContent(), /set aside/);
    await page.getByRole("heading", { name: "Watertightness agreed" }).waitFor();
    assert.match(await page.locator("main").textContent(), /by EN 1992-3 it may be/);
    await movement().getByText("Figures and sources").click();
    await movement().getByRole("button", { name: "How Movement comes about", exact: true }).click();
    await page.getByRole("heading", { name: "What may have caused it" }).waitFor();
    await accessible(page, "why");
    await shot(page, "why-desk", { fullPage: true });
  },
  async "the table is overruled, and a fault loses nothing"() {
    await button("Overrule").click();
    assert.equal(await focused(), "method");
    const form = method().locator("form");
    await form.getByLabel("Method instead").selectOption({ label: "rout and flexible seal" });
    await form.getByLabel("Who chooses it").fill("A. Estimator");
    await accessible(page, "a choice being written");
    await button("Overrule the table").click();
    assert.equal((await leak()).overrule, undefined, "not without a reason");
    await form.getByLabel("Why").fill("The client wants the joint to stay open to the eye.");
    stage.expected.push(/status of 422/);
    const refuse = (route) => route.fulfill({ status: 422, contentType: "application/json", body: JSON.stringify({ fault: "why is refused here" }) });
    await page.route("**/overrule", refuse);
    await button("Overrule the table").click();
    await form.getByRole("alert").getByText("why is refused here").waitFor();
    assert.equal(await form.getByLabel("Why").inputValue(), "The client wants the joint to stay open to the eye.");
    assert.equal(await form.getByLabel("Method instead").inputValue(), "flexible");
    await page.unroute("**/overrule", refuse);
    await button("Overrule the table").click();
    await method().getByText("Chosen since this plan: rout and flexible seal.").waitFor();
    assert.equal(await focused(), "overrule-open");
    const { overrule } = await leak();
    assert.deepEqual([overrule.method, overrule.by, overrule.why], ["flexible", "A. Estimator", "The client wants the joint to stay open to the eye."]);
    await planAgain();
    await method().getByText("The table says:").waitFor();
    assert.match(await method().locator(".big").textContent(), /rout and flexible seal.*overruled/);
    await method().getByText(/^Chosen by A\. Estimator, \d{4}-\d{2}-\d{2}:/).waitFor();
    await accessible(page, "an overruled method");
    await shot(page, "why-overruled", { fullPage: true });
  },
  async "who may not overrule sees who did"() {
    for (const role of ["viewer", "foreman"]) {
      const other = await as(role);
      await open(other);
      await method(other).getByText(/^Chosen by A\. Estimator/).waitFor();
      assert.equal(await button("Choose another method", true, other).count() + await button("Withdraw the choice", true, other).count(), 0, role);
      assert.equal(await button("Add a reading", true, other).count(), role === "foreman" ? 1 : 0, role);
      await movement(other).getByText("Readings (24)").click();
      assert.equal(await movement(other).getByRole("button", { name: /^Remove/ }).count(), 0, role);
      await accessible(other, `why, as ${role}`);
      await other.close();
    }
  },
  async "the choice is withdrawn"() {
    await button("Withdraw the choice").click();
    await page.getByRole("dialog").getByRole("button", { name: "Cancel" }).click();
    assert.ok((await leak()).overrule, "not withdrawn by leaving the question");
    await button("Withdraw the choice").click();
    await accessible(page, "a choice being withdrawn");
    await page.getByRole("dialog").getByRole("button", { name: "Withdraw" }).click();
    await method().getByText("Withdrawn since this plan: the table decides.").waitFor();
    assert.equal(await focused(), "overrule-open");
    assert.equal((await leak()).overrule, undefined);
    await planAgain();
    await button("Overrule").waitFor();
    assert.equal(await method().getByText("The table says:").count(), 0);
  },
  async "a reading is added, and what is wrong is said"() {
    await button("Add a reading").click();
    assert.equal(await focused(), "width");
    const form = movement().locator("form");
    const keep = button("Keep the reading");
    const alert = form.getByRole("alert");
    assert.match(await form.getByLabel("Day").inputValue(), /^\d{4}-\d{2}-\d{2}$/);
    assert.equal(await form.getByLabel("Gauge").inputValue(), "upper");
    await keep.click();
    await alert.getByText("Type the width that the gauge shows.").waitFor();
    await form.getByLabel("Width, mm", { exact: true }).fill("wide");
    await keep.click();
    await alert.getByText("Width: “wide” is not a number.").waitFor();
    await form.getByLabel("Width, mm", { exact: true }).fill("0,43");
    await form.getByLabel("Day").fill("2026-01-15");
    await keep.click();
    await alert.getByText(/no temperature, and the site has no log of the air/).waitFor();
    assert.equal(await form.getByLabel("Width, mm", { exact: true }).inputValue(), "0,43");
    await form.getByLabel("Temperature of the wall, °C", { exact: true }).fill("4");
    await form.getByRole("button", { name: "Change the sign: Temperature of the wall, °C" }).click();
    await accessible(page, "a reading being typed");
    await keep.click();
    await movement().getByText("25 readings now, 24 in this plan.").waitFor();
    assert.match(await movement().locator("tbody tr").first().textContent(), /2026-01-15.*0\.43 mm.*-4 °C/s);
    assert.equal(await focused(), "width");
    assert.deepEqual((await leak()).readings.at(-1), { gauge: "upper", on: "2026-01-15", width_mm: 0.43, temperature_c: -4 });
    await form.getByLabel("Width, mm", { exact: true }).fill("0.5");
    await keep.click();
    await alert.getByText(/2026-01-15/).waitFor();
    assert.equal(await form.getByLabel("Width, mm", { exact: true }).inputValue(), "0.5");
    await button("Done").click();
    assert.equal(await form.isVisible(), false);
    await shot(page, "why-reading", { fullPage: true });
    await planAgain();
    await movement().getByText("25, 2024-01-15 to 2026-01-15").waitFor();
  },
  async "a wrong reading is taken away"() {
    await movement().getByText("Readings (25)").click();
    await button("Remove the reading of gauge upper, 2024-06-15").click();
    await page.getByRole("dialog").getByRole("button", { name: "Remove" }).click();
    await movement().getByText("24 readings now, 25 in this plan.").waitFor();
    assert.equal((await leak()).readings.some((r) => r.on === "2024-06-15"), false);
    await planAgain();
  },
  async "the drawing keeps what it does not show"() {
    await page.request.get(`${stage.base}/api/session`);
    await button("Overrule").click();
    await method().getByLabel("Method instead").selectOption({ label: "drain and collect" });
    await method().getByLabel("Why").fill("A sump is there.");
    await button("Overrule the table").click();
    await method().getByText("Chosen since this plan").waitFor();
    const before = await leak();
    await page.goto(`${stage.base}/#/job/pump/draw/${GAUGED}`);
    const cell = (name) => page.locator(`[data-cell="${name}"]`);
    await cell("leak.strength_wanted").check();
    await until("strength", async () => (await leak()).strength_wanted === true);
    await cell("leak.exclude.inject_epoxy").check();
    await until("one excluded", async () => (await leak()).exclude?.join() === "inject_epoxy");
    await cell("leak.exclude.coat").check();
    await until("two excluded", async () => (await leak()).exclude?.length === 2);
    await cell("leak.movement").fill("0,25");
    await cell("leak.movement").press("Tab");
    await until("movement", async () => (await leak()).movement_mm === 0.25);
    await cell("stations.0.width_mm").fill("0.9");
    await cell("stations.0.width_mm").press("Tab");
    await until("width", async () => (await leak()).stations[0].width_mm === 0.9);
    const after = await leak();
    assert.deepEqual(after.readings, before.readings);
    assert.deepEqual(after.overrule, before.overrule);
    assert.equal(after.overrule.method, "drain");
    await accessible(page, "the sheet of a leak");
    await cell("leak.exclude.coat").uncheck();
    await until("one excluded again", async () => (await leak()).exclude?.join() === "inject_epoxy");
    const told = (await (await page.request.get(`${stage.base}/api/jobs/pump/leaks/${GAUGED}`)).json()).method.choices;
    const words = await page.locator(".draw-signs", { hasText: "Not to be used here" }).locator("label").allTextContents();
    assert.deepEqual(words, told.map((c) => c.name), "the drawing names the methods as the plan does");
  },
  async "face, site and materials have their forms"() {
    const dialog = page.getByRole("dialog");
    await page.locator(".draw-face[aria-current]").first().waitFor();
    const face = (await leak()).parts[0].face;
    await button("Site and water").click();
    await dialog.getByLabel("width that may heal, by").selectOption("dafstb");
    await dialog.getByLabel("wall, coldest in a year").fill("-3");
    await dialog.getByText("Not to be used in this job").first().click();
    await dialog.getByLabel("drain and collect").check();
    await accessible(page, "the form of the site");
    await shot(page, "why-site");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "detached" });
    const { site } = await survey();
    assert.deepEqual([site.healing, site.tightness, site.coldest_c, site.warmest_c, site.exclude], ["dafstb", "ztv_2", -3, 24, ["drain"]]);
    await button("Resins and sealants").click();
    await dialog.getByLabel(/family$/).first().selectOption("epoxy");
    await dialog.getByLabel(/movement class/).first().fill("12,5");
    await accessible(page, "the form of resins and sealants");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "detached" });
    const { materials } = await survey();
    assert.equal(materials.find((m) => m.role === "resin").resin, "epoxy");
    assert.equal(materials.find((m) => m.role === "sealant").movement_percent, 12.5);
    await page.getByRole("button", { name: `Change face ${face}` }).click();
    await dialog.getByLabel("its wet side").selectOption("open");
    await dialog.getByRole("button", { name: "Save" }).click();
    await dialog.waitFor({ state: "detached" });
    assert.equal((await survey()).faces.find((f) => f.id === face).far_side, "open");
  },
  async "on a phone, in the light and in the dark"() {
    for (const theme of ["light", "dark"]) {
      const phone = await as("foreman", { phone: true, theme });
      await open(phone);
      await movement(phone).getByRole("heading", { name: /^Gauge upper/ }).waitFor();
      await movement(phone).locator("img").scrollIntoViewIfNeeded();
      await phone.waitForFunction(() => { const i = document.querySelector(".movement img"); return i instanceof HTMLImageElement && i.complete && i.naturalWidth > 0; });
      await button("Add a reading", true, phone).tap();
      const form = movement(phone).locator("form");
      await form.getByLabel("Width, mm", { exact: true }).fill(theme === "dark" ? "0.41" : "0.42");
      await form.getByLabel("Temperature of the wall, °C", { exact: true }).fill("14");
      await form.getByLabel("Day").fill(theme === "dark" ? "2026-03-15" : "2026-02-15");
      await accessible(phone, `a reading on a phone, ${theme}`);
      await touchable(phone, `a reading on a phone, ${theme}`);
      await shot(phone, `why-phone-reading-${theme}`);
      await button("Keep the reading", true, phone).tap();
      await movement(phone).getByText(/^2\d readings now/).waitFor();
      await accessible(phone, `why on a phone, ${theme}`);
      await touchable(phone, `why on a phone, ${theme}`);
      await shot(phone, `why-phone-${theme}`, { fullPage: true });
      await phone.close();
    }
    assert.deepEqual((await leak()).readings.slice(-2).map((r) => r.width_mm), [0.42, 0.41]);
    const desk = await stage.page({ theme: "dark" });
    await open(desk);
    await accessible(desk, "why in the dark");
    await shot(desk, "why-desk-dark", { fullPage: true });
    await desk.close();
  },
  async "a reading is one step from elsewhere"() {
    await page.goto(`${stage.base}/#/job/pump/plan/N1?show=reading`);
    await heading(/N1/);
    await movement().getByRole("heading", { name: "Movement" }).waitFor();
    await movement().locator("form").waitFor();
    assert.equal(await focused(), "width");
    assert.equal(await movement().getByLabel("Gauge").inputValue(), "");
    await button("Done").click();
    assert.equal(await page.evaluate(() => document.activeElement?.textContent), "Add a reading");
  },
  async "a job in US units"() {
    await open(page, usMark, "pit");
    await movement().getByRole("heading", { name: /^Gauge upper: cyclic/ }).waitFor();
    assert.doesNotMatch(await movement().textContent(), /\d ?mm\b|°C/);
    await button("Add a reading").click();
    await movement().getByLabel("Width, in", { exact: true }).fill("0.0165");
    await movement().getByLabel("Temperature of the wall, °F", { exact: true }).fill("41");
    await movement().getByLabel("Day").fill("2026-01-15");
    await button("Keep the reading").click();
    await movement().getByText("25 readings now").waitFor();
    assert.deepEqual((await leak(usMark, "pit")).readings.at(-1), { gauge: "upper", on: "2026-01-15", width_in: 0.0165, temperature_f: 41 });
  },
});
await stage.end();
