// test_proof.mjs - is it dry, and what was built: the verdict of the job, leaks and their tests, tanks with their figure, looks that
// are due, handover, the log; then the job as built against the plan. Records come in from this device, from another phone, from the
// wall with no signal; what the server refuses stays in its form. On a laptop and a phone; a viewer; a job in US units.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { cpSync, readdirSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { accessible, begin, root, run, shot, steps, touchable } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "stanch-proof-"));
const made = (...words) => execFileSync("python3", [join(root, "bench", "make_records.py"), ...words], { maxBuffer: 1 << 27 });
const file = (name, bytes) => {
  writeFileSync(join(folder, name), bytes);
  return join(folder, name);
};

const photo = readdirSync(join(root, "examples", "pump-house-photos"))[0];
const stage = await begin();
// The job of the demo at its end: planned, its records, a tank filled against the east wall, a leak that came after.
const planned = run("plan", stage.file, "--planes", "off", "--json");
run("import", stage.file, join(root, "examples", "pump-house-after.json"));
run("record", stage.file, "--from", file("records.json", made(file("plan.json", planned))));
run("tank", stage.file, "T", file("tank.csv", made("--tank")), "--by", "worker A");
run("new", join(stage.folder, "pit.stanch"), "--units", "us");
const us = JSON.parse(readFileSync(join(root, "examples", "small-us.json"), "utf8"));
us.tanks = [{ id: "T", name: "pit", capacity_gal: 8000, plan_area_ft2: 150, depth_ft: 7, criterion: "awwa_d110", pan_factor: 0.9, pan: "open" }];
run("import", join(stage.folder, "pit.stanch"), file("us.json", JSON.stringify(us)));
run("new", join(stage.folder, "empty.stanch"));
rmSync(folder, { recursive: true, force: true });

stage.expected.push(/status of 4(04|09|22)/, /ERR_INTERNET_DISCONNECTED/); // not planned; wrong input; no signal
const page = await stage.page();
const button = (name, on = page) => on.getByRole("button", { name, exact: true });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1, exact: true }).waitFor();
const plain = (words) => words.replace(/\u00a0/g, " ");
const part = (id, on = page) => on.locator(`section[aria-labelledby=${id}]`);
const get = async (path, job = "pump") => {
  const answer = await page.request.get(`${stage.base}/api/jobs/${job}/${path}`);
  return { code: answer.status(), body: await answer.json() };
};
const records = async (job = "pump") => (await get("records?after=0", job)).body.records;
async function until(f, what) {
  for (let i = 0; i < 600; i++) {
    if (await f()) return;
    await new Promise((next) => setTimeout(next, 50));
  }
  assert.fail(`never: ${what}`);
}
const open = async (what, title, on = page, job = "pump") => {
  await on.goto("about:blank");
  await on.goto(`${stage.base}/#/job/${job}/${what}`);
  await heading(title, on);
};
const card = (mark, on = page) => on.locator("details.leak-card", { has: on.locator(".leak-mark", { hasText: new RegExp(`^${mark}$`) }) });
const verdictOf = async (mark, job = "pump") => (await get("proof", job)).body.leaks.find((l) => l.mark === mark).verdict;
/** What is judged by axe lies at the top, not in part under the bar. */
async function clean(on, where) {
  await on.evaluate(() => scrollTo(0, 0));
  await accessible(on, where);
}
const says = (on, words) => on.getByText(words).first().waitFor();

await steps(stage, page, {
  async "the verdict of the job, the log, the figure of the tank"() {
    const { token } = await (await page.request.get(`${stage.base}/api/session`)).json();
    const { work } = await (await page.request.post(`${stage.base}/api/jobs/pump/plan`, { data: { planes: false }, headers: { "X-Stanch-Token": token } })).json();
    await until(async () => (await (await page.request.get(`${stage.base}/api/work/${work}`)).json()).state === "done", "the job is planned");
    await open("proof", "Proof");
    await part("log-check").getByText("The log is not whole.").waitFor();
    await part("log-check").getByText(new RegExp(`photo ${photo} of record \\d+ is not beside the job`)).waitFor();
    mkdirSync(join(stage.folder, "pump.photos"), { recursive: true });
    cpSync(join(root, "examples", "pump-house-photos", photo), join(stage.folder, "pump.photos", photo));
    await button("Check again").click();
    await part("log-check").getByText("The log is whole:").waitFor();
    await page.locator(".figure-frame img").evaluate((i) => i.complete || new Promise((done) => i.addEventListener("load", done)));
    const { body: p } = await get("proof");
    const text = plain(await page.locator("main").textContent());
    for (const words of [p.sentence, p.agreed, p.before, p.saved, p.asks]) assert.ok(text.includes(plain(words)), words);
    assert.match(text, /Of 21 leaks: 1 broken, 2 not proven, 3 not treated, 15 kept\./); // as bench/make_records.py has them
    await clean(page, "proof");
    await shot(page, "proof-desk", { fullPage: true });
  },
  async "leaks by verdict, the broken first; one opened shows its tests"() {
    const { body: p } = await get("proof");
    const marks = await page.locator(".leak-mark").allTextContents();
    const order = ["broken", "not proven", "open", "kept"].flatMap((v) => p.leaks.filter((l) => l.verdict === v).map((l) => l.mark));
    assert.deepEqual(marks, order);
    assert.equal(marks[0], "W2"); // still drips
    const w2 = p.leaks.find((l) => l.mark === "W2"), box = card("W2");
    assert.ok(plain(await box.locator("summary").textContent()).includes(plain(`${w2.kept} of ${w2.of} kept`)));
    await box.locator("summary").first().focus();
    await page.keyboard.press("Enter");
    const inside = plain(await box.textContent());
    for (const words of [w2.sentence, w2.tests[0].sentence, w2.tests[0].drips, w2.tests[0].level, "wet", "marked", "worker A"]) assert.ok(inside.includes(plain(words)), words);
    await card("N1").locator("summary").first().click();
    assert.match(await card("N1").textContent(), /water shows at N9/);
    assert.equal(await card("N1").locator("tbody tr").count(), 2);
    await clean(page, "a leak opened");
    await shot(page, "proof-leak", { fullPage: true });
  },
  async "a tank: verdict, figure, readings"() {
    const { body: p } = await get("proof"), t = p.tanks[0], box = part("tanks");
    const text = plain(await box.textContent());
    for (const words of [t.name, "passes", t.reason, t.allowed, t.found, t.uncertainty, t.net_drop, t.asks, t.source, "11 readings"]) assert.ok(text.includes(plain(words)), words);
    assert.ok(await box.locator("img").evaluate((i) => i.naturalWidth > 0));
    await box.getByText("11 readings").click();
    assert.equal(await box.locator("tbody tr").count(), 11);
    assert.match(plain(await box.locator("tbody tr").first().textContent()), /37\d\d\.\d mm.*1\d\.\d °C.*\d\.\d mm/); // newest first, to a tenth
  },
  async "looks that are due, and their calendar"() {
    const { body: p } = await get("proof"), box = part("due");
    const open = p.revisits.filter((v) => v.state !== "done");
    const shown = (await box.locator("tbody tr td:last-child").allTextContents()).slice(0, await box.locator(".frame").first().locator("tbody tr").count()).join(", ").split(", ");
    assert.deepEqual(shown.sort(), open.map((v) => v.mark).sort());
    await box.getByText(/looks? done/).click();
    assert.match(await box.textContent(), /N1.*24 h.*18 Mar 2026.*dry/);
    const [ics] = await Promise.all([page.waitForEvent("download"), box.getByRole("link", { name: "Calendar for a phone" }).click()]);
    assert.equal(ics.suggestedFilename(), "pump-looks.ics");
    assert.match(readFileSync(await ics.path(), "utf8"), /^BEGIN:VCALENDAR\r\n/);
  },
  async "a reading: wrong first, then right, judged at once"() {
    const box = part("tanks");
    await button("Write a reading").click();
    await box.getByLabel("Level in the tank, mm").waitFor();
    await clean(page, "a reading");
    await button("Keep the reading").click();
    await says(box, "Write the level of the water in the tank.");
    await box.getByLabel("Level in the tank, mm").fill("37x");
    await button("Keep the reading").click();
    await says(box, 'Level in the tank: "37x" is no number.');
    await box.getByLabel("Level in the tank, mm").fill("3701,5");
    await box.getByLabel("Water in the tank, °C").fill("70");
    await box.getByLabel("Level in the pan, mm").fill("170.8");
    await box.getByLabel("Rain since the last reading, mm").fill("0");
    await box.getByLabel("Read at (empty: now)").fill("2026-03-23T20:00");
    await box.getByLabel("Name").fill("Anna");
    await button("Keep the reading").click();
    await says(box, /0 to 60|0 °C to 60/); // the server's sentence
    assert.equal(await box.getByLabel("Level in the tank, mm").inputValue(), "3701,5"); // nothing typed is lost
    await clean(page, "a reading refused");
    await shot(page, "proof-refused", { fullPage: true });
    await open("proof", "Proof"); // nor is it by going away
    await button("Write a reading").click();
    await says(box, /Refused before:/);
    assert.equal(await box.getByLabel("Level in the tank, mm").inputValue(), "3701.5");
    await box.getByLabel("Water in the tank, °C").fill("11.3");
    await box.getByLabel("Name").fill("Anna");
    await button("Keep the reading").click();
    await says(box, /Kept as record \d+/);
    await says(box, "12 readings");
    const kept = (await records()).at(-1);
    assert.deepEqual([kept.what, kept.mark, kept.tank, kept.level_mm, kept.tank_water_c, kept.pan_level_mm, kept.rain_mm, kept.by], ["level", "site", "T", 3701.5, 11.3, 170.8, 0, "Anna"]);
    assert.equal(kept.at.slice(0, 10), "2026-03-23");
    assert.equal(await box.getByLabel("Level in the tank, mm").inputValue(), "");
    assert.ok(plain(await box.textContent()).includes(plain((await get("proof")).body.tanks[0].reason)));
  },
  async "a test at a leak turns its verdict, and the leak moves to its new place"() {
    const box = card("W2");
    await box.locator("summary").first().click();
    await button("Write a test", box).click();
    await clean(page, "a test");
    await button("Keep the test", box).click();
    await says(box, "Give what the test found");
    await box.getByRole("group", { name: "A dry hand on it is" }).getByLabel("dry").check();
    await box.getByRole("group", { name: "Blotting paper on it is" }).getByLabel("clean").check();
    await box.getByLabel("Drips, a minute").fill("0");
    await box.getByLabel("Water level behind, m").fill("2.63");
    await box.getByText("A stretch only, or water caught").click();
    await box.getByLabel("From, m").fill("1");
    await box.getByLabel("Name").fill("Anna");
    await button("Keep the test", box).click();
    await says(box, /a stretch of the leak/); // the server: from without to
    await shot(page, "proof-test", { fullPage: true });
    await box.getByLabel("From, m").fill("");
    await button("Keep the test", box).click();
    await says(box, /Kept as record/);
    await until(async () => (await verdictOf("W2")) === "kept", "W2 is kept");
    await until(async () => (await page.locator(".leak-mark").first().textContent()) !== "W2", "W2 has left the head of the list");
    assert.match(await card("W2").locator("summary").first().textContent(), /kept/);
    const kept = (await records()).at(-1);
    assert.deepEqual([kept.what, kept.mark, kept.step, kept.hand, kept.blotter, kept.drips_per_min, kept.water_level_m, kept.from_m], ["proof", "W2", "prove", "dry", "clean", 0, 2.63, undefined]);
    assert.ok((await page.locator("main").textContent()).includes((await get("proof")).body.sentence));
  },
  async "what another phone records is judged as it comes in, and a form half written stays"() {
    const phone = await stage.page({ phone: true });
    await open("proof", "Proof", phone);
    await card("C1").locator("summary").first().click();
    await button("Write a test", card("C1")).click();
    await card("C1").getByLabel("Note").fill("half a sen");
    await card("N4", phone).locator("summary").first().tap();
    await button("Write a test", card("N4", phone)).tap();
    const box = card("N4", phone);
    await box.getByRole("group", { name: "A dry hand on it is" }).getByLabel("wet").check();
    await box.getByLabel("Water level behind, m").fill("2.7");
    await box.getByLabel("Name").fill("Ben");
    await clean(phone, "a test on a phone");
    await touchable(phone, "a test on a phone");
    await shot(phone, "proof-phone-test", { fullPage: true });
    await button("Keep the test", box).tap();
    await says(box, /Kept as record/);
    await until(async () => (await page.locator(".leak-mark").first().textContent()) === "N4", "the laptop hears of N4");
    assert.equal(await card("C1").getByLabel("Note").inputValue(), "half a sen");
    assert.equal(await page.evaluate(() => document.activeElement?.tagName), "TEXTAREA");
    const devices = new Set((await records()).slice(-3).map((r) => r.device));
    assert.equal(devices.size, 2);
    await phone.close();
  },
  async "with no signal a test is kept, and sent when there is one"() {
    await page.context().setOffline(true);
    const box = card("N9"), before = (await records()).length;
    await box.locator("summary").first().click();
    await button("Write a test", box).click();
    await box.getByRole("group", { name: "A dry hand on it is" }).getByLabel("damp").check();
    await box.getByLabel("Name").fill("Anna");
    await button("Keep the test", box).click();
    await says(box, "Kept on this device; it is sent when there is a signal.");
    await page.context().setOffline(false);
    await until(async () => (await records()).length === before + 1, "it is sent");
    assert.equal((await records()).at(-1).mark, "N9");
  },
  async "at the wall, offline: a test at the step that proves, and what was done otherwise"() {
    const phone = await stage.page({ phone: true }), before = (await records()).length;
    const wall = async (rest, title) => {
      await phone.goto(`${stage.base}/#/job/pump/wall${rest}`);
      await phone.getByRole("heading", { name: title, level: 1 }).waitFor();
    };
    await wall("", "Today's leaks");
    const mark = (await phone.locator(".wall-row .wall-mark").allTextContents()).find((m) => m === "N9") ?? (await phone.locator(".wall-row .wall-mark").first().textContent());
    await phone.context().setOffline(true);
    await wall(`/${mark}`, new RegExp(`^${mark}`));
    await wall(`/${mark}?show=record&kind=proof&step=prove`, `Record for ${mark}`);
    await clean(phone, "a test at the wall");
    await shot(phone, "proof-wall-test", { fullPage: true });
    await phone.getByText("wet", { exact: true }).tap();
    for (const [field, digits] of [["Drips in a minute", "12"], ["Water level behind in m", "2.6"]]) {
      await phone.getByLabel(field, { exact: true }).tap();
      for (const d of digits) await phone.getByRole("button", { name: d === "." ? "decimal point" : d, exact: true }).tap();
    }
    await phone.getByLabel("Name").fill("Cleo");
    await button("Keep", phone).tap();
    await phone.getByText("1 record is kept on this phone, not sent yet.").waitFor();
    await wall(`/${mark}?show=record&kind=deviation&step=cut`, `Record for ${mark}`);
    await button("Keep", phone).tap();
    await phone.getByText("Write what was done otherwise, and why.").waitFor();
    await phone.getByLabel("What was done otherwise, and why").fill("Cut shorter: a pipe crosses it.");
    await phone.getByLabel("At the step").selectOption("cut");
    await clean(phone, "a deviation at the wall");
    await shot(phone, "proof-wall-deviation", { fullPage: true });
    await button("Keep", phone).tap();
    await phone.getByText("2 records are kept on this phone, not sent yet.").waitFor();
    await wall(`/${mark}?show=records`, `Records of ${mark}`);
    await phone.getByText("Hand wet").first().waitFor();
    await phone.getByText("Drips 12 a minute").first().waitFor();
    await phone.context().setOffline(false);
    await until(async () => (await records()).length === before + 2, "both are sent");
    const [proof, deviation] = (await records()).slice(-2);
    assert.deepEqual([proof.what, proof.hand, proof.drips_per_min, proof.water_level_m, proof.step, proof.by], ["proof", "wet", 12, 2.6, "prove", "Cleo"]);
    assert.deepEqual([deviation.what, deviation.text, deviation.step, deviation.by], ["deviation", "Cut shorter: a pipe crosses it.", "cut", "Cleo"]);
    await wall(`/${mark}`, new RegExp(`^${mark}`));
    for (let i = 0; i < 20 && !(await phone.getByRole("link", { name: /Write the test/ }).count()); i++) {
      const at = await phone.locator(".wall-count").textContent();
      if (await button("Tick and go on", phone).count()) {
        await phone.getByLabel(/seen and in order/).check();
        await phone.getByLabel("Name").fill("Cleo");
        await button("Tick and go on", phone).tap();
      } else await (await button("Step done", phone).count() ? button("Step done", phone) : button("Next", phone)).tap();
      await until(async () => (await phone.locator(".wall-count").textContent()) !== at, `on from ${at}`);
    }
    await phone.getByRole("link", { name: /Write the test/ }).tap();
    await phone.getByRole("group", { name: "Blotting paper on it is" }).waitFor();
    await phone.close();
  },
  async "handover: a wrong date is told, then the document is kept and comes as it was"() {
    await open("proof", "Proof");
    const box = part("handover");
    await says(box, "Nothing was handed over yet.");
    await box.getByLabel("Handed over on").fill("");
    await button("Make the document").click();
    await box.getByRole("alert").getByText(/on/).waitFor();
    await box.getByLabel("Handed over on").fill("2026-03-24");
    await button("Make the document").click();
    const link = box.getByRole("link", { name: /Handover 1, 24 Mar 2026/ });
    await link.waitFor();
    const [pdf] = await Promise.all([page.waitForEvent("download"), link.click()]);
    assert.equal(readFileSync(await pdf.path()).subarray(0, 5).toString(), "%PDF-");
    await clean(page, "after handing over");
  },
  async "the log is whole, and a head noted before is found in it"() {
    const { body: c } = await get("check"), box = part("log-check");
    await button("Check again").click();
    await until(async () => (await box.textContent()).includes(`head ${c.head_seq} ${c.head_hash}`), "the head");
    assert.match(await box.textContent(), new RegExp(`The log is whole: ${c.records} records`));
    await box.getByText("Compare with a head noted before").click();
    await box.getByLabel("Number").fill("12");
    await box.getByLabel("Hash").fill("zz");
    await button("Compare").click();
    await says(box, /64 small hex digits/);
    await box.getByLabel("Number").fill(String(c.head_seq));
    await box.getByLabel("Hash").fill(c.head_hash);
    await button("Compare").click();
    await says(box, "That head is in this log");
    await box.getByLabel("Hash").fill("0".repeat(64));
    await button("Compare").click();
    await says(box, "That head is not in this log");
    await clean(page, "the log");
  },
  async "as built: what differs and why, each leak, materials, the bill"() {
    await open("built", "As built");
    const { body: b } = await get("built");
    const text = plain(await page.locator("main").textContent());
    for (const words of [...b.people, ...b.weather.map((w) => w.value), ...b.totals.map((t) => t.planned), ...b.materials.map((m) => m.name), ...b.bills.map((x) => x.label)]) assert.ok(text.includes(plain(words)), words);
    assert.ok(text.includes(`${b.deviations} things, ${b.unreasoned} without a reason`));
    assert.ok(text.includes("Cut deeper: the outer concrete was loose, sound only below."));
    const rows = part("differs").locator("tbody tr");
    assert.equal(await rows.count(), b.leaks.flatMap((l) => l.lines.filter((x) => x.deviates)).length);
    const total = new Intl.NumberFormat("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(b.total);
    assert.ok(text.includes(total) && text.includes(`Amount, ${b.currency}`));
    assert.match(plain(await part("untold").textContent()), /Nothing at S1, S3.*Not billed.*Set up at the leaks/);
    await clean(page, "as built");
    await shot(page, "built-desk", { fullPage: true });
    await card("N1").locator("summary").first().click();
    const n1 = b.leaks.find((l) => l.mark === "N1"), inside = plain(await card("N1").textContent());
    for (const words of [...n1.lines.map((x) => x.actual), ...n1.steps.map((s) => s.title), n1.notes[0].text, "ticked", "After the last coat"]) assert.ok(inside.includes(plain(words)), words);
    await card("N1").locator("img").scrollIntoViewIfNeeded();
    await until(() => card("N1").locator("img").evaluate((i) => i.complete && i.naturalWidth > 0), "its photo");
    await clean(page, "a leak as built");
    await shot(page, "built-leak", { fullPage: true });
    await open("built/N12", "As built");
    assert.equal(await card("N12").getAttribute("open"), "");
    await part("differs").getByRole("link", { name: /N12, Hours/ }).click();
    await page.getByLabel("What was done otherwise, and why").fill("The hose had to be brought from the other side.");
    await page.getByLabel("Name").fill("Anna");
    await button("Keep").click();
    await until(async () => (await get("built")).body.leaks.find((l) => l.mark === "N12").lines.some((x) => x.reason?.startsWith("The hose had")), "the reason stands as built");
  },
  async "a survey that was changed since the plan is told"() {
    const told = "The survey changed since this plan.";
    await open("proof", "Proof");
    assert.equal(await page.getByText(told).count(), 0);
    const later = join(stage.folder, "later.json");
    writeFileSync(later, JSON.stringify({ stanch_survey: 1, units: "metric", site: { warranty: "one year" } }));
    run("import", stage.file, later);
    rmSync(later);
    for (const [screen, title] of [["proof", "Proof"], ["built", "As built"]]) {
      await open(screen, title);
      await page.reload();
      await says(page, told);
    }
    await button("Plan again").first().click();
    await until(async () => (await page.getByText(told).count()) === 0, "it is planned again");
  },
  async "on a phone, light and dark"() {
    for (const theme of ["light", "dark"]) {
      const phone = await stage.page({ phone: true, theme });
      await open("proof", "Proof", phone);
      await part("log-check", phone).getByText("The log is whole:").waitFor();
      await card("N1", phone).locator("summary").first().tap();
      await clean(phone, `proof on a phone, ${theme}`);
      await touchable(phone, `proof on a phone, ${theme}`);
      await shot(phone, `proof-phone-${theme}`, { fullPage: true });
      await open("built", "As built", phone);
      await card("N1", phone).locator("summary").first().tap();
      await clean(phone, `as built on a phone, ${theme}`);
      await touchable(phone, `as built on a phone, ${theme}`);
      await shot(phone, `built-phone-${theme}`, { fullPage: true });
      await phone.close();
    }
    const dark = await stage.page({ theme: "dark" });
    await open("proof", "Proof", dark);
    await part("log-check", dark).getByText("The log is whole:").waitFor();
    await clean(dark, "proof, dark");
    await shot(dark, "proof-dark", { fullPage: true });
    await dark.setViewportSize({ width: 768, height: 900 });
    await clean(dark, "proof, 768 wide");
    await dark.close();
  },
  async "a job in US units, and one without anything"() {
    await page.goto(`${stage.base}/#/job/pit/proof`);
    await page.getByText("This job has not been planned yet.").waitFor();
    await clean(page, "proof, not planned");
    await page.getByLabel("With the water in the crack planes").uncheck();
    await button("Plan").click();
    await part("tanks").waitFor();
    await button("Write a reading").click();
    await part("tanks").getByLabel("Level in the tank, in").fill("80.125");
    await part("tanks").getByLabel("Water in the tank, °F").fill("52");
    await part("tanks").getByLabel("Name").fill("Anna");
    await button("Keep the reading").click();
    await says(part("tanks"), /Kept as record 1/);
    await says(part("tanks"), "80.125 in");
    assert.equal((await records("pit"))[0].level_in, 80.125);
    const mark = await page.locator(".leak-mark").first().textContent();
    await card(mark).locator("summary").first().click();
    await button("Write a test", card(mark)).click();
    await card(mark).getByLabel("Water level behind, ft").waitFor();
    assert.doesNotMatch(await page.locator("main").textContent(), /\d ?(mm|cm|m|l|kg)\b|°C/);
    await clean(page, "proof in US units");
    await shot(page, "proof-us", { fullPage: true });
    await open("built", "As built", page, "pit");
    assert.doesNotMatch(await page.locator("main").textContent(), /\d ?(mm|cm|m|l|kg)\b|°C/);
    await page.goto(`${stage.base}/#/job/empty/built`);
    await page.getByText("This job has not been planned yet.").waitFor();
    await button("Plan").click();
    await page.getByText("nothing recorded yet").waitFor();
    await clean(page, "as built, empty");
    await shot(page, "built-empty", { fullPage: true });
    await open("proof", "Proof", page, "empty");
    await page.getByText("The log is empty").waitFor();
    await clean(page, "proof, empty");
    await shot(page, "proof-empty", { fullPage: true });
  },
});
await stage.end();
