// test_wall.mjs - the job at the wall from a fresh start, on a phone: open the day, lose the signal, reload, tick hold
// points, run timers, mix, record, come back; every record is there once, also when an answer was lost. Two phones on one
// leak; an expired session; what a refused record does; axe on each view.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join as path } from "node:path";
import { accessible, begin, root, shot, steps } from "./browser.mjs";

/** The pump house before its gauges: all 20 leaks have work, S3 is coated only. */
function withoutGauges() {
  const survey = JSON.parse(readFileSync(path(root, "examples", "pump-house.json"), "utf8"));
  for (const d of survey.defects) for (const member of ["readings", "overrule", "exclude"]) delete d[member];
  const file = path(mkdtempSync(path(tmpdir(), "stanch-wall-")), "pump-house.json");
  writeFileSync(file, JSON.stringify(survey));
  return file;
}

const survey = withoutGauges();
const stage = await begin({ survey, words: ["--site", "--plain", "--address", "127.0.0.1"] });
stage.expected.push(/ERR_INTERNET_DISCONNECTED|ERR_FAILED|status of 401|status of 422/); // no signal and lost answers are what is tested
rmSync(dirname(survey), { recursive: true });
const page = await stage.page({ phone: true });
let other = page;
const sleep = (ms) => new Promise((next) => setTimeout(next, ms));
const at = (hash, on = page) => on.goto(`${stage.base}/${hash}`);
/** Opens a view and waits until it stands, also when only the part of the address behind # changes. */
async function wall(rest = "", on = page, base = stage.base) {
  await on.evaluate(() => document.querySelector(".wall")?.setAttribute("data-old", ""));
  const address = `${base}/#/job/pump/wall${rest}`;
  await (on.url() === address ? on.reload() : on.goto(address));
  await on.locator(".wall:not([data-old]) h1").waitFor();
}
const button = (name, on = page) => on.getByRole("button", { name, exact: true });
const link = (name, on = page) => on.getByRole("link", { name, exact: true });
const heading = (name, on = page) => on.getByRole("heading", { name, level: 1 }).waitFor();
const step = (name, on = page) => on.getByRole("heading", { name, level: 2 }).waitFor();
const says = (words, on = page) => on.getByText(words).first().waitFor();

/** Waits until `f` gives what is true. */
async function until(f, what) {
  for (let i = 0; i < 600; i++) {
    if (await f()) return;
    await sleep(50);
  }
  assert.fail(`never: ${what}`);
}

/** The records that the server really has, asked beside the page. */
let cookie = "";
const onServer = async () => (await (await fetch(`${stage.base}/api/jobs/pump/records?after=0`, { headers: { cookie } })).json()).records;
async function hasOnServer(n) {
  await until(async () => (await onServer()).length >= n, `${n} records on the server`);
  const records = await onServer();
  assert.equal(records.length, n, "no record twice");
  assert.equal(new Set(records.map((r) => r.id)).size, n);
  return records;
}

async function join(on, invitation, name) {
  await at(`#/join?i=${invitation}`, on);
  await on.getByLabel("Your name").fill(name);
  await on.getByLabel("Passphrase", { exact: true }).fill("four words make phrases");
  await button("Join", on).click();
  await heading("Jobs", on);
}

/** Chooses a field of the pad, then its keys. */
async function keys(field, digits, on = page) {
  await on.getByLabel(field, { exact: true }).click();
  for (const d of digits) await on.getByRole("button", { name: d === "." ? "decimal point" : d, exact: true }).click();
}

/** No target smaller than 48 px, no text smaller than 17 px. */
async function big(where, on = page) {
  const small = await on.evaluate(() => {
    const box = (e) => (["checkbox", "radio"].includes(e.type) ? e.closest("label") : e).getBoundingClientRect();
    const targets = [...document.querySelectorAll(".wall button, .wall a, .wall summary, .wall select, .wall textarea, .wall input:not(.unseen)")].filter((e) => e.checkVisibility());
    const texts = [...document.querySelectorAll(".wall *")].filter((e) => e.checkVisibility() && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()));
    return [...targets.filter((e) => box(e).height < 47.5).map((e) => `${e.outerHTML.slice(0, 80)} is ${box(e).height} px high`),
      ...texts.filter((e) => parseFloat(getComputedStyle(e).fontSize) < 16.9).map((e) => `${e.outerHTML.slice(0, 80)} has ${getComputedStyle(e).fontSize}`)];
  });
  assert.deepEqual(small, [], where);
}

async function looks(where, on = page) {
  await accessible(on, where);
  await big(where, on);
  await shot(on, `wall-${where.replace(/\W+/g, "-")}`);
}

const offline = (yes) => page.context().setOffline(yes);
const sounds = () => page.evaluate(() => {
  const a = document.getElementById("wall-sound");
  return a ? !a.paused : false;
});

await steps(stage, page, {
  async "the first estimator joins and opens the day"() {
    await until(() => /#\/join\?i=(\w+)/.test(stage.said()), "an invitation");
    await join(page, /#\/join\?i=(\w+)/.exec(stage.said())[1], "Anna");
    cookie = (await page.context().cookies()).map((c) => `${c.name}=${c.value}`).join("; ");
    await wall();
    await heading("Today's leaks");
    await says("0 of 20 done");
    assert.equal(await page.locator(".wall-row").count(), 20);
    assert.match(await page.locator(".wall-row").first().textContent(), /N1.*north wall.*slot and plug.*not begun/);
    await looks("today");
  },
  async "a leak with a STOP is told and barred"() {
    assert.match(await page.locator(".wall-row", { hasText: "S1" }).textContent(), /STOP: barred.*still growing/);
    await page.locator(".wall-row", { hasText: "S1" }).click();
    await says("STOP: no work on this leak.");
    assert.equal(await page.locator(".wall-step, .wall-thumb").count(), 0);
    assert.equal(await link("Mix").count(), 0);
    await looks("barred");
  },
  async "the service worker has all files"() {
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
      if (!navigator.serviceWorker.controller) await new Promise((ok) => navigator.serviceWorker.addEventListener("controllerchange", ok, { once: true }));
    });
  },
  async "with no signal a reload opens the day from the phone"() {
    await offline(true);
    await wall("/N1");
    await page.reload();
    await step("Scan before cutting");
    await says("No signal. This job was fetched");
    await looks("no signal");
  },
  async "a hold point wants a tick and a name"() {
    await button("Next").click();
    await says("A tick and a name come before the next step.");
    await step("Scan before cutting");
    await button("Tick and go on").click();
    await says("Tick that it is seen and in order.");
    await page.getByLabel("Scan before cutting: seen and in order").check();
    await page.getByLabel("Name").fill("");
    await button("Tick and go on").click();
    await says("Write the name of who saw it.");
    await page.getByLabel("Name").fill("Bo Foreman");
    await looks("hold point");
    await button("Tick and go on").click();
    await step("Cut the slot");
    await button("Step done").click();
    await step("Measure and plan again");
    await until(async () => (await page.getByLabel("Name").inputValue()) === "Bo Foreman", "the name is remembered");
    await says("2 records are kept on this phone, not sent yet.");
  },
  async "what was measured is written on the way"() {
    await link("Write the water caught").click();
    await heading("Record for N1");
    await keys("Water caught in l", "1.2");
    await keys("Time in s", "60");
    await looks("found");
    await button("Keep").click();
    await step("Measure and plan again");
    await page.getByLabel("Measure and plan again: seen and in order").check();
    await button("Tick and go on").click();
    await step("Wash");
    await says("4 records are kept on this phone, not sent yet.");
  },
  async "a timer goes on over a reload and rings"() {
    await page.getByText("Other timer").click();
    await page.getByLabel("Minutes").fill("0.06");
    await button("Start: Timer").click();
    await page.locator(".wall-timer").waitFor();
    assert.ok(await sounds(), "the quiet track plays");
    await page.reload();
    await page.locator(".wall-timer").waitFor();
    await says("N1: Timer is over");
    await page.mouse.click(195, 400); // a touch lets a reloaded page sound
    await until(sounds, "the ring sounds");
    await looks("ringing");
    await page.locator(".wall-ring").getByRole("button", { name: "Stop ringing" }).click();
    await page.locator(".wall-ring").waitFor({ state: "hidden" });
    await until(async () => !(await sounds()), "the ring stops");
  },
  async "a timer that ended while the page was closed is told with how long ago"() {
    await page.getByText("Other timer").click();
    await page.getByLabel("Minutes").fill("0.02");
    await button("Start: Timer").click();
    await page.locator(".wall-timer").waitFor();
    await at("icon.svg"); // the page is gone; a blank one would not know that there is no signal
    await sleep(8000);
    await wall();
    const words = await page.locator(".wall-ring-words").textContent();
    assert.match(words, /N1: Timer is over.*Ended (\d+) s ago/);
    assert.ok(Number(/Ended (\d+) s/.exec(words)[1]) >= 6, words);
    await page.locator(".wall-ring").getByRole("button", { name: "Stop ringing" }).click({ delay: 1300 }); // a thumb that stays while the seconds count
    await page.locator(".wall-ring").waitFor({ state: "hidden" });
  },
  async "several timers run at once, by the planned time and by temperature"() {
    await wall("/S3");
    await step("Wash");
    await button("Step done").click();
    await step("Saturated surface-dry");
    await page.getByLabel("Saturated surface-dry: seen and in order").check();
    await button("Tick and go on").click();
    await step("First coat");
    await button("Start: Pot life").click();
    const choice = page.getByLabel("Temperature of the mix");
    const warm = await choice.locator("option", { hasText: /^30 °C/ }).getAttribute("value");
    await choice.selectOption(warm);
    await button("Start: Pot life").click();
    await page.locator(".wall-timer").nth(1).waitFor();
    const shown = await page.locator(".wall-digits").allTextContents();
    assert.notEqual(shown[0], shown[1], "the warm one ends sooner");
    await looks("timers");
    await wall();
    await until(async () => (await page.locator(".wall-clock").count()) === 2, "both stand above the day");
    await wall("/S3");
    for (let i = 2; i > 0; i--) {
      await page.locator(".wall-timer").first().getByRole("button").click();
      await until(async () => (await page.locator(".wall-timer").count()) === i - 1, "one timer less");
    }
  },
  async "the mix of what is left works with no signal"() {
    await wall("/N1?show=mix");
    await heading("Mix for N1");
    await keys("Length left in m", "1.2");
    const answer = page.locator(".wall-answer");
    const less = await answer.textContent();
    assert.match(less, /Powder.*kg.*Water.*l.*Batches\d/);
    await keys("Length left in m", "2.4");
    assert.notEqual(await answer.textContent(), less);
    await keys("Length left in m", "0");
    await says("Length left (m) is 0; it must lie above 0");
    await keys("Length left in m", "2");
    await looks("mix");
    await page.getByLabel("Given").selectOption({ label: "Powder in the tub" });
    await keys("Powder in kg", "3");
    assert.match(await answer.textContent(), /3\.0 kg/);
  },
  async "used, a photo and a note are kept with no signal"() {
    await wall("/N1?show=record");
    await button("Keep").click();
    await says("Give an amount");
    await page.getByText("Fast-setting plug powder").click();
    await keys("Powder in kg", "3.25");
    await looks("used");
    await button("Keep").click();
    await heading(/^N1/);
    await wall("/N1?show=record&kind=photo");
    const picture = await page.evaluate(async () => {
      const canvas = Object.assign(document.createElement("canvas"), { width: 3000, height: 1500 });
      const c = canvas.getContext("2d");
      for (let i = 0; i < 300; i++) {
        c.fillStyle = `hsl(${i * 7} 60% 50%)`;
        c.fillRect(i * 10, 0, 10, 1500);
      }
      return canvas.toDataURL("image/png").split(",")[1];
    });
    await page.locator("#record-photo").setInputFiles({ name: "wall.png", mimeType: "image/png", buffer: Buffer.from(picture, "base64") });
    await page.getByAltText("The photo to be kept").waitFor();
    await page.getByLabel("Note to the photo").fill("Wet to the left of the joint");
    await looks("photo");
    await button("Keep").click();
    await heading(/^N1/);
    await wall("/N1?show=record&kind=note");
    await page.getByRole("textbox", { name: "Note" }).fill("Saw blade changed");
    await button("Keep").click();
    await heading(/^N1/);
    await says("9 records are kept on this phone, not sent yet.");
    assert.equal((await onServer()).length, 0);
  },
  async "nothing is lost by a reload, and all is sent once though the first answer is lost"() {
    await page.reload();
    await says("9 records are kept on this phone, not sent yet.");
    let lost = 0, open = false;
    await page.context().route("**/api/jobs/pump/records", async (route) => {
      if (route.request().method() !== "POST" || open) return route.continue();
      if (lost++ === 0) await route.fetch(); // the server has kept them
      return route.abort(); // and whatever the phone tries by itself until the test has looked
    });
    await offline(false);
    await until(() => lost > 0, "a lost answer");
    await says("9 records are kept on this phone, not sent yet.");
    assert.equal((await hasOnServer(9)).filter((r) => r.what === "hold").length, 3);
    open = true;
    await until(async () => {
      const send = button("Send now");
      if (await send.count()) await send.first().click({ timeout: 1000 }).catch(() => {}); // it may have gone by itself
      return (await page.getByText("kept on this phone, not sent yet").count()) === 0;
    }, "all is sent");
    await page.getByText("kept on this phone, not sent yet").waitFor({ state: "detached" });
    const records = await hasOnServer(9);
    assert.deepEqual(records.map((r) => r.what).join(" "), "hold finish found hold finish hold used photo note");
    assert.equal(records[0].by, "Bo Foreman");
    assert.equal(records[2].volume_l, 1.2);
    assert.equal(records[6].powder_kg, 3.25);
    await page.context().unroute("**/api/jobs/pump/records");
  },
  async "the photo is on the server, no larger than 2000 px"() {
    const name = (await onServer()).find((r) => r.what === "photo").photo;
    const size = await page.evaluate(async (path) => {
      const answer = await fetch(path);
      const image = await createImageBitmap(await answer.blob());
      return [answer.headers.get("content-type"), image.width, image.height];
    }, `/api/jobs/pump/photos/${name}`);
    assert.deepEqual(size, ["image/jpeg", 2000, 1000]);
  },
  async "a record is corrected by another; a tick is taken back"() {
    await wall("/N1?show=records");
    await looks("records");
    await page.locator(".wall-record", { hasText: "3.25 kg" }).getByRole("link", { name: "Correct" }).click();
    await heading(/^Correct: Used/);
    await keys("Powder in kg", "2.5");
    await button("Keep").click();
    await page.locator(".wall-record", { hasText: "3.25 kg" }).getByText("Corrected").waitFor();
    await page.locator(".wall-record", { hasText: "Measure and plan again" }).getByRole("button", { name: "Was not done" }).click();
    await page.getByLabel("Why").fill("Wrong leak");
    await accessible(page, "taking back");
    await button("Write the correction").click();
    const records = await hasOnServer(11);
    assert.equal(records[9].about, records[6].id);
    assert.equal(records[9].powder_kg, 2.5);
    assert.equal(records[10].about, records[3].id);
    await wall("/N1");
    await says("under way, at step 3: Measure and plan again");
  },
  async "a refused record stays, says why, and is mended"() {
    await wall("/N1?show=record&kind=found");
    await keys("Depth in mm", "99999999");
    await button("Keep").click();
    await says("1 record was refused by the server.");
    await link("Mend").click();
    await says(/^Refused: .*depth/);
    await looks("refused");
    await page.locator(".wall-record.refused").getByRole("link", { name: "Mend" }).click();
    await keys("Depth in mm", "41");
    await button("Keep").click();
    await hasOnServer(12);
    await page.getByText("refused by the server").waitFor({ state: "detached" });
    assert.equal((await onServer())[11].depth_mm, 41);
  },
  async "two phones on one leak: the conflict is shown and a person settles it"() {
    const invitation = await page.evaluate(async () => {
      const { token } = await (await fetch("/api/session")).json();
      const answer = await fetch("/api/people/invite", { method: "POST", headers: { "Content-Type": "application/json", "X-Stanch-Token": token }, body: JSON.stringify({ role: "foreman" }) });
      return (await answer.json()).invitation;
    });
    other = await stage.page({ phone: true, theme: "dark" });
    await join(other, /(\w+)$/.exec(invitation)[1], "Cem");
    await wall("/W2?show=record", other);
    await heading("Record for W2", other);
    await other.context().setOffline(true);
    await other.getByText("Fast-setting plug powder").click();
    await keys("Powder in kg", "4", other);
    await button("Keep", other).click();
    await says("kept on this phone", other);
    await wall("/W2?show=record");
    await page.getByText("Fast-setting plug powder").click();
    await keys("Powder in kg", "5");
    await button("Keep").click();
    await hasOnServer(13);
    await other.context().setOffline(false);
    await hasOnServer(14);
    await wall();
    await page.reload();
    await link("Look").click();
    await heading("Two records, which is right?");
    await says("Powder 5 kg");
    await says("Powder 4 kg");
    await looks("conflict");
    await link("Look", other).click();
    await heading("Two records, which is right?", other);
    await looks("conflict dark", other);
    await button("Both are right").click();
    await button("Settle").click();
    const records = await hasOnServer(15);
    assert.equal(records[14].what, "settled");
    assert.deepEqual([records[14].about, records[14].other].sort(), [records[12].id, records[13].id].sort());
    await link("Look").waitFor({ state: "detached" });
    await wall("", other);
    await other.reload();
    await link("Look", other).waitFor({ state: "detached" });
  },
  async "an expired session: the queue waits for a login, then goes"() {
    await offline(true);
    await wall("/N1?show=record&kind=note");
    await page.getByRole("textbox", { name: "Note" }).fill("Kept while the session ended");
    await button("Keep").click();
    await says("1 record is kept on this phone, not sent yet.");
    await page.context().clearCookies();
    await offline(false);
    await heading("Log in");
    assert.equal((await onServer()).length, 15);
    await page.getByLabel("Your name").fill("Anna");
    await page.getByLabel("Passphrase", { exact: true }).fill("four words make phrases");
    await button("Log in").click();
    await heading(/^N1/);
    assert.equal((await hasOnServer(16))[15].text, "Kept while the session ended");
  },
  async "two windows of one phone send once"() {
    const twin = await page.context().newPage();
    await wall("", twin);
    await offline(true);
    await wall("/N1?show=record&kind=note");
    await page.getByRole("textbox", { name: "Note" }).fill("Seen in both windows");
    await button("Keep").click();
    await says("1 record is kept on this phone, not sent yet.", twin);
    await offline(false);
    await Promise.all([twin, page].map((p) => p.evaluate(() => dispatchEvent(new Event("online")))));
    await hasOnServer(17);
    await twin.getByText("not sent yet").waitFor({ state: "detached" });
    await twin.close();
  },
  async "who is writing a record when the session ends is not taken away from it"() {
    await wall("/N1?show=record&kind=note");
    await page.getByRole("textbox", { name: "Note" }).fill("Half written");
    await page.context().clearCookies();
    await page.evaluate(() => dispatchEvent(new Event("online")));
    await says(/^Log in again/);
    await button("Keep").click();
    await heading("Log in");
    await page.getByLabel("Your name").fill("Anna");
    await page.getByLabel("Passphrase", { exact: true }).fill("four words make phrases");
    await button("Log in").click();
    await heading(/^N1/);
    assert.equal((await hasOnServer(18))[17].text, "Half written");
  },
  async "in a dead spot, where a request hangs, the day opens from the phone"() {
    await page.context().route("**/api/**", () => {}); // never answered
    await page.reload();
    await step("Measure and plan again");
    await says("No signal. This job was fetched");
    await page.context().unroute("**/api/**");
    await page.reload();
    await step("Measure and plan again");
  },
  async "a full phone says that the record was not kept"() {
    await wall("/N1?show=record&kind=note");
    await page.evaluate(() => {
      globalThis.add = IDBObjectStore.prototype.add;
      IDBObjectStore.prototype.add = function (...all) {
        const asked = globalThis.add.apply(this, all);
        this.transaction.abort();
        return asked;
      };
    });
    await page.getByRole("textbox", { name: "Note" }).fill("There is no room");
    stage.expected.push(/This phone is full/);
    await button("Keep").click();
    await says("This phone is full: the record was not kept.");
    await page.reload();
    assert.equal((await onServer()).length, 18);
  },
  async "the estimator puts down the leaks of a day, in order"() {
    await wall("?show=set");
    await button("Remove all").click();
    for (const mark of ["N1", "S2"]) await button(`Add: ${mark}`).click();
    await button("Up: S2").click();
    await looks("a day");
    await button("Put down").click();
    await heading("Today's leaks");
    await until(async () => (await page.locator(".wall-row .wall-mark").allTextContents()).join() === "S2,N1", "the list in its order");
    await wall("/W2");
    await says("This leak is not in today's list");
    await link("Record").waitFor();
    await wall("?show=set");
    await button("Remove all").click();
    await button("Put down").click();
    await until(async () => (await page.locator(".wall-row").count()) === 20, "all that is left to do");
  },
  async "a card that is open is put right when the plan has changed"() {
    await wall("/N1");
    await page.route("**/api/jobs/pump/day?*", async (route) => {
      const answer = await route.fetch(), day = await answer.json();
      for (const leak of day.leaks) if (leak.mark === "N1") leak.stop = "The crack is still growing.";
      await route.fulfill({ response: answer, json: day });
    });
    await sleep(21000);
    await page.evaluate(() => dispatchEvent(new Event("online")));
    await says("STOP: no work on this leak.");
    await page.unrouteAll({ behavior: "wait" }); // the answer to the event may be under way
    await page.reload();
    await step("Measure and plan again");
  },
  async "on its side, and on a small phone, the field that is typed into is in view"() {
    const seen = () => page.evaluate(() => {
      const field = document.querySelector(".wall-number.active").getBoundingClientRect(), thumb = document.querySelector(".wall-thumb").getBoundingClientRect();
      const covered = field.right > thumb.left && field.left < thumb.right && field.bottom > thumb.top && field.top < thumb.bottom;
      return !covered && field.top >= 0 && field.bottom <= innerHeight && thumb.bottom <= innerHeight;
    });
    for (const [width, height] of [[844, 390], [667, 375], [320, 568], [390, 844]]) {
      await page.setViewportSize({ width, height });
      await wall("/N1?show=record");
      await page.getByText("Fast-setting plug powder").click();
      await button("3").click();
      assert.ok(await seen(), `${width} x ${height}`);
      await looks(`record ${width}`);
    }
  },
  async "the QR code of a leak comes from the server"() {
    await wall("/N1");
    await page.getByText("QR code of this leak").click();
    await until(() => page.getByAltText("QR code that opens N1").evaluate((i) => i.complete && i.naturalWidth > 0), "the QR code");
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight)); // nothing half under what the thumb reaches
    await looks("code");
  },
  async "in the dark theme and on a laptop as well"() {
    await wall("/N1", other);
    await looks("leak dark", other);
    await wall("/N1?show=mix", other);
    await heading("Mix for N1", other);
    await looks("mix dark", other);
    const desk = await stage.page();
    await desk.context().addCookies(await page.context().cookies());
    await wall("/N1", desk);
    await step("Measure and plan again", desk);
    await looks("laptop", desk);
  },
});

await stage.end();

/* A site without encryption, by its address in the network: no secure context. And a job in feet and pounds. */
const plain = await begin({ words: ["--site", "--plain"], survey: path(root, "examples", "small-us.json") });
const there = await plain.page({ phone: true });

const plainWall = (rest) => wall(rest, there, plain.base);
plain.expected.push(/Cross-Origin-Opener-Policy header has been ignored/);

await steps(plain, there, {
  async "without HTTPS it works while there is signal, and says what is missing"() {
    await until(() => /#\/join\?i=(\w+)/.test(plain.said()), "an invitation");
    await there.goto(`${plain.base}/#/join?i=${/#\/join\?i=(\w+)/.exec(plain.said())[1]}`);
    await there.getByLabel("Your name").fill("Dana");
    await there.getByLabel("Passphrase", { exact: true }).fill("four words make phrases");
    await button("Join", there).click();
    await heading("Jobs", there);
    if (await there.evaluate(() => isSecureContext)) return console.log("this machine has no address but its own: not tried");
    await plainWall("");
    await says("Opened without HTTPS", there);
    await looks("plain", there);
    return undefined;
  },
  async "in feet, inches, pounds and gallons"() {
    await plainWall("");
    const mark = await there.locator(".wall-row:not(.stop) .wall-mark").first().textContent();
    await plainWall(`/${mark}?show=mix`);
    assert.match(await there.locator(".wall-answer").textContent(), /lb.*gal/);
    await keys("Length left in ft", "4", there);
    await keys("Slot width in in", "1", there);
    await looks("mix in feet", there);
    await plainWall(`/${mark}?show=record&kind=found`);
    await keys("Depth in in", "1.5", there);
    await button("Keep", there).click();
    const kept = async () => (await there.evaluate(async () => (await fetch("/api/jobs/pump/records?after=0")).json())).records;
    await until(async () => (await kept()).length === 1, "the record on the server");
    assert.equal((await kept())[0].depth_in, 1.5);
  },
});
await plain.end();
console.log("passed");
