// test_works.mjs - who does what when, from a fresh start in a browser: the bars, the days, one day by its address, the works at
// another temperature, curing visits, what moved after something was recorded. On a laptop, a phone and paper; a job in US units.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { accessible, begin, root, run, shot, steps, touchable } from "./browser.mjs";

const folder = mkdtempSync(join(tmpdir(), "stanch-works-"));
/** Only these leaks, and what was answered about them. */
function only(survey, marks) {
  survey.defects = survey.defects.filter((d) => marks.includes(d.mark));
  survey.answers = (survey.answers ?? []).filter((a) => marks.includes(a.mark));
}
function written(name, example, change) {
  const survey = JSON.parse(readFileSync(join(root, "examples", example), "utf8"));
  change(survey);
  const file = join(folder, name);
  writeFileSync(file, JSON.stringify(survey));
  return file;
}
/** The date so many days from today by this machine's clock. */
function date(days) {
  const at = new Date(Date.now() + days * 86400e3), two = (n) => String(n).padStart(2, "0");
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

const stage = await begin();
const jobs = {
  pit: [["--units", "us"], join(root, "examples", "small-us.json")],
  // Everybody works every day and for ever: whenever this test runs, the first day lies behind and work goes on.
  begun: [[], written("begun.json", "pump-house.json", (s) => {
    only(s, ["N1", "N3", "C1"]);
    Object.assign(s.site.work, { start_on: date(-2), back_on: date(200), days: ["mon", "tue", "wed", "thu", "fri", "sat", "sun"], holidays: [] });
  })],
  nobody: [[], written("nobody.json", "pump-house.json", (s) => {
    s.site.work.plant.lift = 0;
  })],
  dateless: [[], written("dateless.json", "pump-house.json", (s) => {
    only(s, ["C1"]);
    for (const key of ["start_on", "back_on", "holidays"]) delete s.site.work[key];
  })],
};
for (const [name, [words, file]] of Object.entries(jobs)) {
  run("new", join(stage.folder, `${name}.stanch`), ...words);
  run("import", join(stage.folder, `${name}.stanch`), file);
}
rmSync(folder, { recursive: true, force: true });

stage.expected.push(/status of 4(04|09|22)/); // a day without work; no works; a temperature out of range
const page = await stage.page();
const button = (name, on = page) => on.getByRole("button", { name, exact: true });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1 }).waitFor();
const region = (name, on = page) => on.getByRole("region", { name, exact: true });
const get = async (path, job = "pump") => {
  const answer = await page.request.get(`${stage.base}/api/jobs/${job}/${path}`);
  return { code: answer.status(), body: await answer.json() };
};
const plain = (words) => words.replace(/\u00a0/g, " ");
async function send(path, data, job = "pump") {
  const { token } = await (await page.request.get(`${stage.base}/api/session`)).json();
  const answer = await page.request.post(`${stage.base}/api/jobs/${job}/${path}`, { data, headers: { "X-Stanch-Token": token } });
  return { code: answer.status(), body: await answer.json() };
}
async function done(work) {
  for (let i = 0; i < 600; i++) {
    const now = await (await page.request.get(`${stage.base}/api/work/${work}`)).json();
    if (!["waiting", "running"].includes(now.state)) return now;
    await new Promise((next) => setTimeout(next, 50));
  }
  assert.fail("the work does not end");
}
const busiest = (w) => w.days.reduce((a, b) => (b.tasks > a.tasks ? b : a));
const planned = async (job) => assert.equal((await done((await send("plan", { planes: false }, job)).body.work)).state, "done");
const open = async (on, job = "pump") => {
  await on.goto(`${stage.base}/#/job/${job}/works`);
  await heading("Works", on);
  await on.getByRole("heading", { name: "Day by day" }).waitFor();
};
const openDay = async (on, day, title, job = "pump") => {
  await on.goto(`${stage.base}/#/job/${job}/works/day/${day}`);
  await heading(title, on);
};
const loaded = (on, name) => on.waitForFunction((words) => [...document.querySelectorAll("img")].some((i) => i.alt.includes(words) && i.complete && i.naturalWidth > 0), name);

await steps(stage, page, {
  async "a job that was not planned is planned from here"() {
    await page.goto(`${stage.base}/#/job/pump/works`);
    await page.getByText("This job has not been planned yet.").waitFor();
    await accessible(page, "works not planned");
    await page.getByLabel("With the water in the crack planes").uncheck();
    await button("Plan").click();
    await page.getByRole("heading", { name: "Day by day" }).waitFor();
    assert.equal((await get("works")).body.state, "planned");
  },
  async "when, out of service, and how much shorter it could be"() {
    const { body: w } = await get("works");
    const text = plain(await page.locator("main").textContent());
    for (const words of [w.when, w.out, w.deadline, w.bound, w.absent]) assert.ok(text.includes(plain(words)), words);
    assert.equal(w.start_on, "2026-03-02"); // as in the example
    assert.match(w.deadline, /kept/);
    assert.ok(w.days.length > 5 && w.visits.length > 20 && w.tasks.length > 100);
    const rows = page.locator("section[aria-labelledby=days] tbody tr");
    assert.equal(await rows.count(), w.days.length);
    for (const [i, d] of w.days.entries()) {
      const words = plain(await rows.nth(i).textContent());
      assert.ok(words.includes(plain(d.label)) && words.includes(d.marks.join(", ")), words);
      assert.equal(words.includes("over a value"), d.over);
    }
    await accessible(page, "works");
    await shot(page, "works-desk", { fullPage: true });
  },
  async "the bars are a picture with its words, by leak and by person"() {
    await loaded(page, "by leak");
    const asked = page.waitForResponse((r) => r.url().includes("form=people"));
    await button("By person").click();
    assert.match((await asked).headers()["content-type"], /image\/svg/);
    await loaded(page, "by person");
    const frame = region("The works as bars"), width = () => frame.locator("img").evaluate((i) => i.getBoundingClientRect().width);
    const small = await width();
    await button("Larger").click();
    assert.ok((await width()) > 1.9 * small);
    assert.equal(await button("Larger").getAttribute("aria-pressed"), "true");
    await frame.focus();
    await page.keyboard.press("ArrowRight");
    await page.waitForFunction(() => document.querySelector(".bars-frame").scrollLeft > 0);
    await button("Larger").click();
  },
  async "curing visits and the calendar that a phone takes in"() {
    const { body: w } = await get("works"), section = page.locator("section[aria-labelledby=visits]");
    assert.match(await section.textContent(), new RegExp(`${w.visits.length} visits keep`));
    await section.getByText(new RegExp(plain(w.days.find((d) => d.visits).label).replaceAll(" ", "\\s"))).first().click();
    await section.getByText(w.visits[0].title).first().waitFor();
    const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Calendar for a phone" }).click()]);
    assert.equal(file.suggestedFilename(), "pump-works.ics");
    const ics = readFileSync(await file.path(), "utf8");
    assert.match(ics, /^BEGIN:VCALENDAR\r\n/);
    assert.equal(ics.match(/BEGIN:VALARM/g).length, w.visits.length); // each visit, and nothing else, has one
  },
  async "the tasks of a leak in their order"() {
    const { body: w } = await get("works"), section = page.locator("section[aria-labelledby=tasks]");
    await section.getByLabel("Tasks of", { exact: true }).selectOption("E3");
    const mine = w.tasks.filter((t) => t.mark === "E3");
    assert.deepEqual(mine.map((t) => t.step).slice(0, 3), ["setup", "scan", "cut"]); // as on the card
    assert.equal(await section.locator("tbody tr").count(), mine.length);
    assert.match(await section.locator("tbody tr").nth(2).textContent(), /Cut back/); // E3 is a honeycomb
  },
  async "what the works would be at 5 and at 35 degrees"() {
    const section = page.locator("section[aria-labelledby=at]");
    const counts = {};
    for (const degrees of [5, 35]) {
      if (degrees === 5) await button("5 °C").click();
      else {
        await section.getByLabel("Another, °C").fill("35");
        await section.getByLabel("Another, °C").press("Enter");
      }
      await section.getByRole("columnheader", { name: `At ${degrees} °C` }).waitFor();
      const { body: a } = await get(`works/at?temperature_c=${degrees}`);
      const words = plain(await section.textContent());
      for (const r of a.rows) assert.ok(words.includes(plain(r.now)) && words.includes(plain(r.at)), r.label);
      const plug = a.batches.find((b) => b.step === "plug");
      for (const value of Object.values(plug.at)) assert.ok(words.includes(plain(value)), value);
      counts[degrees] = [Number(plug.now.batches), Number(plug.at.batches)];
      await page.evaluate(() => scrollTo(0, 0)); // else the bar lies over a part of what is judged
      await accessible(page, `works at ${degrees} degrees`);
      await shot(page, `works-at-${degrees}`, { fullPage: true });
    }
    // Warm plug sets sooner, so it is mixed in more and smaller batches; cold in fewer (trade rules 12).
    assert.ok(counts[5][1] < counts[5][0] && counts[35][1] > counts[35][0], JSON.stringify(counts));
    await section.getByLabel("Another, °C").fill("70");
    await button("Show").click();
    await page.getByRole("alert").getByText("it must lie in 0 °C to 60 °C").waitFor();
    await button("Close").click();
    assert.equal((await get("works")).body.current, true);
  },
  async "a day by its address: by hour, by person, by leak"() {
    const { body: w } = await get("works"), busy = busiest(w);
    await page.goto(`${stage.base}/#/job/pump/works`);
    await page.locator("section[aria-labelledby=days]").getByRole("link", { name: busy.label, exact: true }).click();
    const { body: d } = await get(`works/day/${busy.date}`);
    await heading(d.title);
    assert.ok(page.url().endsWith(`#/job/pump/works/day/${busy.date}`));
    assert.deepEqual((await get(`works/day/${busy.day}`)).body, d); // the number means the same day
    const text = async () => plain(await page.locator("main").textContent());
    const hours = await text();
    for (const words of [d.hours, d.people, d.visits, d.tub]) assert.ok(hours.includes(plain(words)), words);
    for (const t of d.tasks) assert.ok(hours.includes(plain(t.task)), t.task);
    for (const b of d.batches) assert.ok(hours.includes(plain(b.what)) && hours.includes(plain(b.use_by)) && hours.includes(plain(b.measure)), b.what);
    for (const c of d.cautions) assert.ok(hours.includes(plain(c.caution)), c.caution);
    for (const e of d.exposures) assert.ok(hours.includes(plain(e.vibration)) && hours.includes(plain(e.saying)), e.who);
    await loaded(page, d.title);
    await accessible(page, "a day by hour");
    await shot(page, "works-day-desk", { fullPage: true });
    await button("By person").click();
    for (const c of d.crew) assert.equal(await page.locator("section.card", { has: page.getByRole("heading", { name: c.who, exact: true }) }).locator("li").count(), c.tasks.length);
    await accessible(page, "a day by person");
    await shot(page, "works-day-people", { fullPage: true });
    await button("By leak").click();
    await page.getByRole("heading", { name: busy.marks[0], exact: true, level: 3 }).waitFor();
    await accessible(page, "a day by leak");
    await page.getByRole("link", { name: "Day after" }).click();
    await heading((await get(`works/day/${d.after}`)).body.title);
    await page.getByRole("link", { name: "Day before" }).click();
    await heading(d.title);
  },
  async "a day without work says so"() {
    await openDay(page, "2026-03-07", "No such day"); // a Saturday
    await page.getByText(/no work on Sat 7 March 2026; the next day with work is/).waitFor();
    await openDay(page, "soon", "No such day");
    await page.getByText(/it must be a date as YYYY-MM-DD/).waitFor();
    await accessible(page, "no such day");
    await page.getByRole("link", { name: "All works" }).click();
    await heading("Works");
  },
  async "a day on paper"() {
    const { body: w } = await get("works"), d = busiest(w);
    const title = (await get(`works/day/${d.date}`)).body.title;
    await openDay(page, d.date, title);
    await page.emulateMedia({ media: "print" });
    for (const hidden of [".bar", ".tabs", ".choice", "nav[aria-label=Days]"]) assert.equal(await page.locator(hidden).first().isVisible(), false, hidden);
    assert.equal(await page.getByRole("heading", { name: "Batches" }).isVisible(), true);
    await page.setViewportSize({ width: 718, height: 1047 }); // A4 between margins of 10 mm
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(over <= 0, `${over} px are cut off`);
    await shot(page, "works-day-paper", { fullPage: true });
    await page.setViewportSize({ width: 1280, height: 800 });
    await page.emulateMedia({ media: null });
  },
  async "on a phone"() {
    const { body: w } = await get("works"), d = busiest(w);
    const title = (await get(`works/day/${d.date}`)).body.title;
    for (const theme of ["light", "dark"]) {
      const phone = await stage.page({ phone: true, theme });
      await open(phone);
      await loaded(phone, "by leak");
      await accessible(phone, `works on a phone, ${theme}`);
      await touchable(phone, `works on a phone, ${theme}`);
      await shot(phone, `works-phone-${theme}`, { fullPage: true });
      await button("5 °C", phone).tap();
      await phone.getByRole("heading", { name: "To be known at 5 °C" }).waitFor();
      await phone.evaluate(() => scrollTo(0, 0));
      await accessible(phone, `works at 5 degrees on a phone, ${theme}`);
      await shot(phone, `works-phone-at-${theme}`, { fullPage: true });
      await openDay(phone, d.date, title);
      await loaded(phone, title);
      await accessible(phone, `a day on a phone, ${theme}`);
      await touchable(phone, `a day on a phone, ${theme}`);
      await shot(phone, `works-phone-day-${theme}`, { fullPage: true });
      await button("By person", phone).tap();
      await accessible(phone, `a day by person on a phone, ${theme}`);
      await shot(phone, `works-phone-people-${theme}`, { fullPage: true });
      await phone.close();
    }
  },
  async "what is recorded at the wall moves the rest, and what moved is said"() {
    await planned("begun");
    const { body: before } = await get("works", "begun");
    assert.equal(before.begun, false);
    assert.deepEqual(before.moved, []);
    const cut = before.tasks.find((t) => t.step === "cut");
    const record = { id: crypto.randomUUID(), device: crypto.randomUUID(), mark: cut.mark, what: "start", step: "cut", at: new Date(Date.now() - 60e3).toISOString().slice(0, 19) + "Z", by: "N. N.", seen: 0 };
    const kept = await send("records", { records: [record] }, "begun");
    assert.equal(kept.body.results[0].state, "kept", JSON.stringify(kept));
    await open(page, "begun");
    await button("Plan again").click();
    await page.getByRole("heading", { name: "Moved since the works before" }).waitFor();
    const { body: w } = await get("works", "begun");
    assert.equal(w.begun, true);
    assert.ok(w.moved.length > 0);
    assert.ok(plain(await page.locator("section[aria-labelledby=moved]").textContent()).includes(plain(w.moved[0])));
    const task = w.tasks.find((t) => t.step === "cut" && t.mark === cut.mark);
    assert.equal(task.begun, true);
    await page.getByLabel("Tasks of", { exact: true }).selectOption(cut.mark);
    await page.locator("section[aria-labelledby=tasks]").getByText("begun", { exact: true }).waitFor();
    await accessible(page, "what moved");
    await shot(page, "works-moved", { fullPage: true });
  },
  async "without a lift: the sentence instead of a plan"() {
    await planned("nobody");
    await page.goto(`${stage.base}/#/job/nobody/works`);
    await page.getByText("There is no plan of the works.").waitFor();
    await page.getByText(/there is no lift/).waitFor();
    await accessible(page, "no plan of the works");
    await openDay(page, "1", "No such day", "nobody");
  },
  async "without a first day the days are numbers"() {
    await planned("dateless");
    await open(page, "dateless");
    assert.equal(await page.getByRole("link", { name: "Calendar for a phone" }).count(), 0);
    await page.locator("section[aria-labelledby=days]").getByRole("link", { name: "Day 1", exact: true }).click();
    await heading(/^Day 1/);
    assert.ok(page.url().endsWith("#/job/dateless/works/day/1"));
    assert.equal((await page.request.get(`${stage.base}/api/jobs/dateless/works.ics`)).status(), 409);
  },
  async "a job in US units"() {
    await planned("pit");
    await open(page, "pit");
    await button("41 °F").click();
    await page.getByRole("columnheader", { name: "At 41 °F" }).waitFor();
    const metric = /\d ?(mm|cm|m|l|kg)\b|°C/;
    assert.doesNotMatch(await page.locator("section[aria-labelledby=at]").textContent(), metric);
    const { body: w } = await get("works", "pit"), { body: d } = await get(`works/day/${w.days[1].date}`, "pit");
    await openDay(page, w.days[1].date, d.title, "pit");
    assert.match(d.title, /^\w+, March \d+, 2026/);
    await loaded(page, d.title);
    for (const part of ["day-tasks", "day-batches"]) {
      const section = page.locator(`section[aria-labelledby=${part}]`);
      if (await section.count()) assert.doesNotMatch(await section.textContent(), metric);
    }
    await accessible(page, "a day in US units");
    await shot(page, "works-day-us", { fullPage: true });
  },
});
await stage.end();
