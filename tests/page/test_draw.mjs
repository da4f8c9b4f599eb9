// test_draw.mjs - the survey by drawing, in a real browser from a fresh start: a face is made, leaks are drawn by
// mouse, finger and keyboard and typed in the sheet, undone to the start and done again; the survey that the server
// holds is what counts.
import assert from "node:assert/strict";
import { accessible, begin, run, shot, touchable } from "./browser.mjs";

const stage = await begin({ survey: null, job: "site" });
run("new", stage.file);
stage.expected.push(/underlay\.jpg/, /status of 4(09|15|22)/);
let passed = 0;
const survey = async () => (await (await page.request.get(`${stage.base}/api/jobs/site/survey`)).json()).survey;
const leak = async (mark) => (await survey()).defects?.find((d) => d.mark === mark);
const near = (a, b, within, what) => assert.ok(Math.abs(a - b) <= within, `${what}: ${a}, wanted ${b} within ${within}`);

async function test(name, run) {
  try {
    await run();
  } catch (error) {
    await shot(page, "draw-failed").catch(() => {});
    console.log(`not ok - ${name}`);
    console.log(stage.troubles.join("\n"));
    stage.server.kill("SIGTERM");
    await stage.browser.close();
    throw error;
  }
  passed += 1;
  console.log(`ok - ${name}`);
}

/** Until the server's survey is as wanted. */
async function until(what, wanted) {
  for (let i = 0; i < 100; i++) {
    if (await wanted()) return;
    await new Promise((next) => setTimeout(next, 50));
  }
  assert.fail(`in vain: ${what}`);
}

/** Where a place of the face is on the screen: two looks at the readout of the pointer give the scale. */
async function scale(p) {
  const box = await p.locator(".draw-map").boundingBox();
  const look = async (x, y) => {
    await p.mouse.move(x, y);
    await p.waitForTimeout(60);
    const words = /u (-?[\d.]+) +v (-?[\d.]+)/.exec(await p.locator(".draw-at").textContent());
    return [Number(words[1]), Number(words[2])];
  };
  const [x0, y0, x1, y1] = [box.x + 12, box.y + 40, box.x + box.width - 12, box.y + box.height - 40];
  const [[u0, v0], [u1, v1]] = [await look(x0, y0), await look(x1, y1)];
  return (u, v) => ({ x: x0 + ((u - u0) / (u1 - u0)) * (x1 - x0), y: y0 + ((v - v0) / (v1 - v0)) * (y1 - y0) });
}

async function press(p, at) {
  await p.mouse.move(at.x, at.y);
  await p.mouse.down();
  await p.mouse.up();
  await p.waitForTimeout(30);
}

const tool = (p, name) => p.locator(`[data-tool="${name}"]`).click();
const cell = (p, name) => p.locator(`[data-cell="${name}"]`);

/** A line by mouse; its last point is pressed again to end it. */
async function line(p, places) {
  const to = await scale(p);
  for (const [u, v] of places) await press(p, to(u, v));
  await press(p, to(...places[places.length - 1]));
}

async function newFace(p, values) {
  await p.getByRole("button", { name: "New face" }).click();
  for (const [label, value] of Object.entries(values)) await p.locator("dialog").getByLabel(label, { exact: false }).first().fill(value);
  await p.getByRole("button", { name: "Make the face" }).click();
}

/** The survey screen in a window of its own. */
async function open(where, how) {
  const p = await stage.page(how);
  await p.goto(`${stage.base}/#/job/site/draw${where}`);
  await p.locator(".draw-map canvas").first().waitFor();
  await p.waitForTimeout(300);
  return p;
}

const page = await open("");
const start = await survey();

await test("a dialog goes when its screen goes", async () => {
  await page.getByRole("button", { name: "New face" }).click();
  const here = page.url();
  await page.evaluate(() => { location.hash = location.hash.replace("/draw", "/log"); });
  await page.getByRole("heading", { name: "Log" }).waitFor();
  assert.equal(await page.locator("dialog").count(), 0);
  await page.goto(here);
  await page.locator(".draw-map canvas").first().waitFor();
  await page.waitForTimeout(300);
});

await test("wrong input in the form of a face is a sentence, and the form stays", async () => {
  await newFace(page, { "short name": "N", width: "6", "height or depth": "3", thickness: "thick" });
  assert.match(await page.locator("dialog [role=alert]").textContent(), /thickness.*“thick” is not a number/);
});

await test("a face is made by its size, a decimal comma is understood", async () => {
  await page.getByLabel("thickness").fill("0,3");
  await page.getByRole("button", { name: "Make the face" }).click();
  await until("face N", async () => (await survey()).faces?.length === 1);
  const [face] = (await survey()).faces;
  assert.deepEqual(face.outline, [[0, 0], [6, 0], [6, 3], [0, 3]]);
  assert.equal(face.thickness_m, 0.3);
});

await test("the site has its water levels, and what is wrong stays in the form", async () => {
  await page.getByRole("button", { name: "Site and water" }).click();
  const level = page.locator("dialog").getByLabel("elevation, m");
  await level.nth(0).fill("1,2");
  await level.nth(1).fill("high");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  assert.match(await page.locator("dialog [role=alert]").textContent(), /Design water level: “high” is not a number/);
  await level.nth(1).fill("2.5");
  await accessible(page, "the form of the site");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await until("levels", async () => (await survey()).site.design?.level_m === 2.5);
  const { site } = await survey();
  assert.deepEqual([site.today.level_m, site.today.known, site.design.known], [1.2, "measured", "told"]);
  assert.equal(site.crew, start.site.crew);
});

await test("the site says when and by whom work is done; what the form does not show stays", async () => {
  const form = page.locator("dialog");
  await page.getByRole("button", { name: "Site and water" }).click();
  await form.getByText("When and by whom work is done").click();
  await form.getByLabel("first day of work").fill("2026-03-02");
  await form.getByLabel("days off").fill("2026-03-19, 2026-03-06");
  await form.getByLabel("Saturday").check();
  await form.getByLabel("work starts at").fill("6,5");
  await form.getByLabel("lifts").fill("2");
  await form.getByLabel("relative humidity").fill("85");
  await form.getByLabel("still air").check();
  for (const name of ["worker A", "worker B"]) {
    await form.getByRole("button", { name: "Add a worker" }).click();
    await form.getByLabel("name of a worker").last().fill(name);
  }
  await form.getByLabel("cuts").last().uncheck();
  await form.getByLabel("noisy work from").fill("20");
  await form.getByRole("button", { name: "Save", exact: true }).click();
  await form.locator("[role=alert]").filter({ hasText: "outside the shift" }).waitFor();
  await form.getByLabel("noisy work from").fill("8");
  await accessible(page, "the hours of work");
  await form.getByRole("button", { name: "Save", exact: true }).click();
  await until("work", async () => (await survey()).site.work?.start_on === "2026-03-02");
  const { site } = await survey();
  assert.deepEqual(site.work, { start_on: "2026-03-02", starts_h: 6.5, noise_from_h: 8, days: ["mon", "tue", "wed", "thu", "fri", "sat"],
    holidays: ["2026-03-06", "2026-03-19"], plant: { lift: 2 },
    workers: [{ name: "worker A", cuts: true, places: true, mixes: true }, { name: "worker B", places: true, mixes: true }] });
  assert.deepEqual([site.still_air, site.humidity_percent, site.today.level_m], [true, 85, 1.2]);
  await page.getByRole("button", { name: "Site and water" }).click();
  await form.getByRole("button", { name: "take worker B off the crew" }).click();
  await form.getByRole("button", { name: "Save", exact: true }).click();
  await until("one worker", async () => (await survey()).site.work.workers.length === 1);
  assert.equal((await survey()).site.work.plant.lift, 2);
});

await test("a face says how it is reached and when its turn is", async () => {
  await page.getByRole("button", { name: "Change face N" }).click();
  await page.locator("dialog").getByLabel("reached").selectOption("lift");
  await page.locator("dialog").getByLabel("its turn").fill("1");
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await until("the lift", async () => (await survey()).faces[0].access === "lift");
  assert.equal((await survey()).faces[0].turn, 1);
});

await test("a crack is drawn by mouse", async () => {
  await tool(page, "crack");
  await line(page, [[1, 0.5], [1.2, 1.2], [1.1, 2]]);
  await until("N1", () => leak("N1"));
  const { parts, kind } = await leak("N1");
  assert.equal(kind, "crack");
  assert.equal(parts[0].points.length, 3);
  near(parts[0].points[1][0], 1.2, 0.04, "u");
  near(parts[0].points[1][1], 1.2, 0.04, "v");
  await page.locator('[data-leak="N1"][aria-expanded=true]').waitFor();
});

await test("stations are typed as in a sheet: Tab goes on, Enter goes down", async () => {
  await cell(page, "stations.0.chainage_m").fill("0,2");
  await page.keyboard.press("Tab");
  await page.keyboard.type("0,3");
  await page.keyboard.press("Tab");
  await until("one station", async () => (await leak("N1")).stations?.[0]?.width_mm === 0.3);
  await cell(page, "stations.1.chainage_m").focus();
  await page.keyboard.type("1.2");
  await page.keyboard.press("Enter");
  await until("two stations", async () => (await leak("N1")).stations?.length === 2);
  await page.waitForFunction(() => document.activeElement?.getAttribute("data-cell") === "stations.2.chainage_m");
  assert.equal((await leak("N1")).stations[0].chainage_m, 0.2);
});

await test("a bar waits for its cover; then the row is sent", async () => {
  await cell(page, "stations.0.bar").selectOption("crossing");
  await page.getByText("A bar was found: type its cover.").waitFor();
  assert.notEqual((await leak("N1")).stations[0].bar, "crossing");
  await cell(page, "stations.0.cover_mm").fill("45");
  await page.keyboard.press("Tab");
  await until("cover", async () => (await leak("N1")).stations[0].cover_mm === 45);
});

await test("a value that does not fit is told at its row and taken back", async () => {
  await cell(page, "stations.1.chainage_m").fill("99");
  await page.keyboard.press("Tab");
  await page.locator(".draw-under [role=alert]").filter({ hasText: "beyond the trace" }).waitFor();
  assert.equal(await cell(page, "stations.1.chainage_m").inputValue(), "1.2");
  await cell(page, "stations.1.width_mm").fill("wide");
  await page.keyboard.press("Tab");
  await page.locator(".draw-under [role=alert]").filter({ hasText: "“wide” is not a number" }).waitFor();
  assert.equal((await leak("N1")).stations[1].width_mm, undefined);
});

await test("a station is set by pressing the line", async () => {
  await tool(page, "station");
  const to = await scale(page);
  const [a, b] = (await leak("N1")).parts[0].points;
  await press(page, to((a[0] + b[0]) / 2, (a[1] + b[1]) / 2));
  await until("three stations", async () => (await leak("N1")).stations.length === 3);
  near((await leak("N1")).stations[1].chainage_m, Math.hypot(b[0] - a[0], b[1] - a[1]) / 2, 0.03, "chainage");
});

await test("a station is dragged along its line", async () => {
  await tool(page, "select");
  const to = await scale(page);
  const { parts, stations } = await leak("N1");
  const [a, b] = parts[0].points;
  const share = stations[1].chainage_m / Math.hypot(b[0] - a[0], b[1] - a[1]);
  const from = to(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]));
  const onto = to(a[0] + 0.8 * (b[0] - a[0]), a[1] + 0.8 * (b[1] - a[1]));
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(onto.x, onto.y, { steps: 6 });
  await page.mouse.up();
  await until("moved", async () => Math.abs((await leak("N1")).stations[1].chainage_m - 0.8 * Math.hypot(b[0] - a[0], b[1] - a[1])) < 0.03);
  await page.locator('tr.taken[data-row="stations.1"]').waitFor();
});

await test("a wet stretch is dragged out, and its grips move it", async () => {
  await tool(page, "wet");
  await page.locator(".draw-options").getByLabel("wetness").selectOption("run");
  const to = await scale(page);
  const { parts } = await leak("N1");
  const along = (share) => to(...[0, 1].map((i) => parts[0].points[1][i] + share * (parts[0].points[2][i] - parts[0].points[1][i])));
  const drag = async (from, onto) => {
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(onto.x, onto.y, { steps: 8 });
    await page.mouse.up();
  };
  await drag(along(0.2), along(0.6));
  await until("run", async () => (await leak("N1")).stations.filter((s) => s.wetness === "run").length >= 2);
  const before = Math.max(...(await leak("N1")).stations.filter((s) => s.wetness === "run").map((s) => s.chainage_m));
  await drag(along(0.6), along(0.85));
  await until("longer", async () => Math.max(...(await leak("N1")).stations.filter((s) => s.wetness === "run").map((s) => s.chainage_m)) > before + 0.1);
});

await test("tie hole, pipe and honeycomb", async () => {
  await tool(page, "tie_hole");
  await page.locator(".draw-options").getByLabel("diameter").fill("26");
  let to = await scale(page);
  await press(page, to(3, 2));
  await until("N2", () => leak("N2"));
  assert.equal((await leak("N2")).diameter_mm, 26);
  await tool(page, "penetration");
  await page.locator(".draw-options").getByLabel("diameter").fill("110");
  to = await scale(page);
  await press(page, to(3.6, 2.2));
  await until("N3", () => leak("N3"));
  await tool(page, "honeycomb");
  to = await scale(page);
  for (const [u, v] of [[3, 0.5], [3.6, 0.5], [3.6, 1], [3, 1]]) await press(page, to(u, v));
  await page.getByRole("button", { name: "Finish" }).click();
  await until("N4", () => leak("N4"));
  assert.equal((await leak("N4")).parts[0].points.length >= 4, true);
});

await test("a pipe without diameter is refused in the server's words", async () => {
  await tool(page, "penetration");
  await page.locator(".draw-options").getByLabel("diameter").fill("");
  const to = await scale(page);
  await press(page, to(2, 2.5));
  await page.locator(".toast.fault").filter({ hasText: "diameter is missing" }).waitFor();
  assert.equal(await leak("N5"), undefined);
  await page.locator(".toast.fault").getByRole("button").click();
});

await test("a flow reading is typed", async () => {
  await page.locator('[data-leak="N2"]').click();
  await cell(page, "flows.0.volume_l").fill("0,8");
  await page.keyboard.press("Tab");
  await page.getByText("Volume and time go together.").waitFor();
  await page.keyboard.type("60");
  await page.keyboard.press("Tab");
  await until("flow", async () => (await leak("N2")).flows?.[0]?.volume_l === 0.8);
});

await test("an opening by two corners, snapped to the outline", async () => {
  await tool(page, "opening");
  const to = await scale(page);
  const edge = to(4.5, 0);
  await press(page, { x: edge.x, y: edge.y - 5 });
  await press(page, to(5.2, 2));
  await until("opening", async () => (await survey()).faces[0].openings?.length === 1);
  const vs = (await survey()).faces[0].openings[0].map((p) => p[1]);
  assert.equal(Math.min(...vs), 0);
});

await test("a second face, and a fold by choosing two edges", async () => {
  await newFace(page, { "short name": "E", width: "4", "height or depth": "3", thickness: "0.3" });
  await until("face E", async () => (await survey()).faces.length === 2);
  await page.locator('[data-face="N"]').click();
  await page.waitForTimeout(200);
  await tool(page, "fold");
  const to = await scale(page);
  await press(page, to(6, 1.5));
  const dialog = page.locator("dialog");
  await dialog.getByLabel("its edge").selectOption("3");
  await dialog.getByRole("button", { name: "Make the fold" }).click();
  await until("fold", async () => (await survey()).folds?.length === 1);
  assert.deepEqual((await survey()).folds[0], { a: ["N", [[6, 0], [6, 3]]], b: ["E", [[0, 0], [0, 3]]] });
  await page.locator(".draw-over-fold").filter({ hasText: "E" }).waitFor();
});

await test("edges of unequal length are refused in the form", async () => {
  await tool(page, "fold");
  const to = await scale(page);
  await press(page, to(2, 3));
  await page.locator("dialog").getByRole("button", { name: "Make the fold" }).click();
  await page.locator("dialog [role=alert]").filter({ hasText: "long" }).waitFor();
  await page.locator("dialog").getByRole("button", { name: "Cancel" }).click();
});

await test("a crack ends on the edge by snapping and goes on over the fold", async () => {
  await tool(page, "crack");
  const to = await scale(page);
  await press(page, to(5.4, 2.6));
  const end = to(6, 2.4);
  await press(page, { x: end.x - 6, y: end.y });
  await press(page, { x: end.x - 6, y: end.y });
  await until("N5", () => leak("N5"));
  assert.equal((await leak("N5")).parts[0].points.at(-1)[0], 6);
  await page.locator('[data-carry="E"]').click();
  await page.locator('[data-face="E"][aria-current]').waitFor();
  await page.waitForTimeout(200);
  const over = await scale(page);
  await press(page, over(0.8, 2.2));
  await press(page, over(0.8, 2.2));
  await until("two parts", async () => (await leak("N5")).parts.length === 2);
  const { parts } = await leak("N5");
  assert.equal(parts[1].face, "E");
  near(parts[1].points[0][0], 0, 1e-9, "u at the fold");
  near(parts[1].points[0][1], parts[0].points.at(-1)[1], 0.002, "v at the fold");
});

await test("a point is dragged; grid and typed places", async () => {
  await page.locator(".draw-over-fold").filter({ hasText: "N" }).click();
  await page.locator('[data-face="N"][aria-current]').waitFor();
  await page.waitForTimeout(200);
  await page.locator('[data-option="grid"]').check();
  await tool(page, "joint");
  await page.locator('[data-place="u"]').fill("0,4");
  await page.locator('[data-place="v"]').fill("0,2");
  await page.keyboard.press("Enter");
  const to = await scale(page);
  await press(page, to(1.53, 0.22));
  await page.getByRole("button", { name: "Finish" }).click();
  await until("N6", () => leak("N6"));
  assert.deepEqual((await leak("N6")).parts[0].points.slice(0, 2), [[0.4, 0.2], [1.5, 0.2]]);
  await page.locator('[data-option="grid"]').uncheck();
  const now = await scale(page);
  const from = now(1.5, 0.2);
  const onto = now(1.8, 0.3);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(onto.x, onto.y, { steps: 6 });
  await page.mouse.up();
  await until("dragged", async () => Math.abs((await leak("N6")).parts[0].points.at(-1)[0] - 1.8) < 0.04);
});

const plain = (s) => JSON.stringify({ site: s.site, faces: [...(s.faces ?? [])].sort((a, b) => (a.id < b.id ? -1 : 1)), folds: s.folds ?? [], defects: [...(s.defects ?? [])].sort((a, b) => (a.mark < b.mark ? -1 : 1)) });

await test("undo to the start and redo to the end", async () => {
  const end = plain(await survey());
  const undo = page.locator('[data-act="undo"]');
  const redo = page.locator('[data-act="redo"]');
  let steps = 0;
  while (await undo.isEnabled()) {
    const before = plain(await survey());
    if (steps % 2) await undo.click();
    else await page.keyboard.press("Control+z");
    await until(`undo ${steps + 1}`, async () => plain(await survey()) !== before);
    await page.waitForTimeout(60);
    assert.ok(++steps < 60);
  }
  assert.ok(steps >= 15, `${steps} steps`);
  assert.equal(plain(await survey()), plain(start));
  for (let i = 0; i < steps; i++) {
    const before = plain(await survey());
    if (i % 2) await redo.click();
    else await page.keyboard.press("Control+y");
    await until(`redo ${i + 1}`, async () => plain(await survey()) !== before);
    await page.waitForTimeout(60);
  }
  assert.equal(plain(await survey()), end);
});

await test("a table is dropped on the drawing; undone as one step", async () => {
  const csv = "mark,kind,face,u_m,v_m,chainage_m,wetness\nX1,crack,N,2,0.4,,\nX1,crack,N,,,0.5,drip\nX1,crack,N,2.4,1.4,,\n";
  const files = await page.evaluateHandle((text) => {
    const data = new DataTransfer();
    data.items.add(new File([text], "walls.csv", { type: "text/csv" }));
    return data;
  }, csv);
  await page.dispatchEvent(".draw-map", "dragover", { dataTransfer: files });
  await page.dispatchEvent(".draw-map", "drop", { dataTransfer: files });
  await until("X1", () => leak("X1"));
  await page.locator('[data-leak="X1"]').waitFor();
  await page.keyboard.press("Control+z");
  await until("gone", async () => !(await leak("X1")));
  await page.keyboard.press("Control+y");
  await until("back", () => leak("X1"));
});

await test("a file of another sort is refused in a sentence", async () => {
  const files = await page.evaluateHandle(() => {
    const data = new DataTransfer();
    data.items.add(new File(["x"], "wall.docx"));
    return data;
  });
  await page.dispatchEvent(".draw-map", "drop", { dataTransfer: files });
  await page.locator(".toast.fault").filter({ hasText: "wall.docx" }).waitFor();
  await page.locator(".toast.fault").getByRole("button").click();
});

await test("the job is given out", async () => {
  await page.locator('[data-act="export"]').click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-export="json"]').click()]);
  const chunks = [];
  for await (const chunk of await download.createReadStream()) chunks.push(chunk);
  assert.equal(plain(JSON.parse(Buffer.concat(chunks).toString())), plain(await survey()));
});

await test("a second browser changes the same leak: a person decides", async () => {
  const other = await open("/N2");
  await other.locator('[data-cell="leak.tried"]').fill("mortar plug");
  await other.locator('[data-cell="leak.diameter"]').focus();
  await until("theirs", async () => (await leak("N2")).tried === "mortar plug");
  await page.locator('[data-leak="N2"]').click();
  await cell(page, "leak.diameter").fill("24");
  await page.keyboard.press("Tab");
  await page.locator("dialog").filter({ hasText: "changed by somebody else" }).waitFor();
  await page.locator('[data-answer="theirs"]').click();
  await page.waitForFunction(() => document.querySelector('[data-cell="leak.tried"]')?.value === "mortar plug");
  assert.equal((await leak("N2")).diameter_mm, 26);
  await other.locator('[data-cell="leak.tried"]').fill("resin");
  await other.locator('[data-cell="leak.diameter"]').focus();
  await until("theirs again", async () => (await leak("N2")).tried === "resin");
  await cell(page, "leak.diameter").fill("24");
  await page.keyboard.press("Tab");
  await page.locator('[data-answer="mine"]').click();
  await until("mine", async () => (await leak("N2")).diameter_mm === 24);
  await other.context().close();
});

await test("the keyboard alone: face, leak, point, station, new crack by numbers", async () => {
  const map = page.locator(".draw-map");
  await map.focus();
  await page.keyboard.press("Escape");
  await page.keyboard.press("PageDown");
  await page.locator('[data-face="E"][aria-current]').waitFor();
  await page.keyboard.press("PageDown");
  await page.locator('[data-face="N"][aria-current]').waitFor();
  await page.keyboard.press("Escape");
  await page.keyboard.press(".");
  await page.locator('[data-leak="N1"][aria-expanded=true]').waitFor();
  const [u, v] = (await leak("N1")).parts[0].points[0];
  await page.keyboard.press("]");
  for (const key of ["ArrowRight", "ArrowRight", "ArrowUp"]) await page.keyboard.press(key);
  await until("point moved", async () => Math.abs((await leak("N1")).parts[0].points[0][0] - u - 0.02) < 1e-6);
  near((await leak("N1")).parts[0].points[0][1], v + 0.01, 1e-6, "v");
  for (let i = 0; i < 3; i++) await page.keyboard.press("]");
  await page.locator('[role=status]').filter({ hasText: "station 1" }).waitFor();
  await page.keyboard.press("Shift+ArrowUp");
  await until("station moved", async () => Math.abs((await leak("N1")).stations[0].chainage_m - 0.3) < 1e-6);
  const many = (await leak("N1")).stations.length;
  await page.keyboard.press("Delete");
  await until("station gone", async () => (await leak("N1")).stations.length === many - 1);
  await page.keyboard.press("c");
  await page.locator('[data-place="u"]').focus();
  for (const text of ["2", "Tab", "2", "Enter", "2,5", "Tab", "2,5", "Enter", "Enter"]) {
    if (["Tab", "Enter"].includes(text)) await page.keyboard.press(text);
    else await page.keyboard.type(text);
    await page.waitForTimeout(30);
  }
  await until("N7", () => leak("N7"));
  assert.deepEqual((await leak("N7")).parts[0].points, [[2, 2], [2.5, 2.5]]);
  await map.focus();
  await page.keyboard.press("Delete");
  await until("N7 gone", async () => !(await leak("N7")));
});

await test("typed points and the wet stretch by numbers are in step with the drawing", async () => {
  await page.locator('[data-leak="X1"]').click();
  await cell(page, "points.2.u").fill("2.6");
  await page.keyboard.press("Tab");
  await page.keyboard.type("1.8");
  await page.keyboard.press("Tab");
  await until("third point", async () => (await leak("X1")).parts[0].points.length === 3);
  await cell(page, "stretch.from").fill("0,1");
  await cell(page, "stretch.to").fill("0,9");
  await page.getByRole("button", { name: "Set stretch" }).click();
  await until("stretch", async () => (await leak("X1")).stations.length === 3);
  assert.equal(await page.getByText("Type u and v.").count(), 0);
  assert.deepEqual((await leak("X1")).stations.map((s) => s.chainage_m), [0.1, 0.5, 0.9]);
});

await test("a photo is laid under by four points", async () => {
  const picture = await page.screenshot({ type: "jpeg", clip: { x: 0, y: 0, width: 300, height: 200 } });
  await page.locator('[data-act="photo"]').click();
  await page.locator('.draw-photo input[type="file"]').setInputFiles({ name: "wall.jpg", mimeType: "image/jpeg", buffer: picture });
  const box = await page.locator(".draw-picture img").boundingBox();
  for (const [x, y] of [[0.1, 0.9], [0.9, 0.9], [0.9, 0.1], [0.1, 0.1]]) {
    await page.mouse.click(box.x + x * box.width, box.y + y * box.height);
    await page.waitForTimeout(30);
  }
  near(Number(await page.locator('[data-point="2.x"]').inputValue()), 0.9, 0.01, "x");
  await page.getByRole("button", { name: "point 2 in hand" }).click();
  const to = await scale(page);
  await press(page, to(5.9, 0.1));
  near(Number(await page.locator('[data-point="1.u"]').inputValue()), 5.9, 0.03, "u");
  await page.getByRole("button", { name: "Lay it under" }).click();
  await page.locator(".draw-opacity").waitFor();
  await page.locator(".draw-photo").waitFor({ state: "hidden" });
});

await test("axe finds nothing, light and dark", async () => {
  for (const theme of ["light", "dark", "sun"]) {
    await page.evaluate((t) => (document.documentElement.dataset.theme = t), theme);
    await page.waitForTimeout(150);
    await accessible(page, `the survey, ${theme}`);
  }
  await page.evaluate(() => (document.documentElement.dataset.theme = "light"));
  await page.getByRole("button", { name: "Change face N" }).click();
  await accessible(page, "the form of a face");
  await page.locator("dialog").getByRole("button", { name: "Cancel" }).click();
});

await test("a phone: a crack by finger, in one sweep and by taps; targets are large; axe finds nothing", async () => {
  const phone = await open("?face=E", { phone: true, deviceScaleFactor: 2 });
  await phone.locator('[data-face="E"][aria-current]').waitFor();
  const cdp = await phone.context().newCDPSession(phone);
  const touch = (type, at) => cdp.send("Input.dispatchTouchEvent", { type, touchPoints: at ? [{ x: at.x, y: at.y }] : [] });
  await tool(phone, "crack");
  await phone.waitForTimeout(400);
  let to = await scale(phone);
  for (const [u, v] of [[1, 1], [1.6, 1.8], [2.2, 2]]) {
    const at = to(u, v);
    await phone.touchscreen.tap(at.x, at.y);
    await phone.waitForTimeout(350);
  }
  await phone.locator('[data-pen="finish"]').tap();
  await until("E1", () => leak("E1"));
  assert.equal((await leak("E1")).parts[0].points.length, 3);
  await tool(phone, "crack");
  await phone.locator('[data-option="freehand"]').check();
  await phone.waitForTimeout(400);
  to = await scale(phone);
  await touch("touchStart", to(2.5, 0.4));
  for (let i = 1; i <= 24; i++) await touch("touchMove", to(2.5 + i * 0.04, 0.4 + Math.sin(i / 4) * 0.2));
  await touch("touchEnd");
  await until("E2", () => leak("E2"));
  const { points } = (await leak("E2")).parts[0];
  assert.ok(points.length >= 3 && points.length < 20, `${points.length} points`);
  await touchable(phone, "the survey");
  await accessible(phone, "the survey on a phone");
  await shot(phone, "draw-phone");
  await phone.context().close();
});

await shot(page, "draw");
console.log(`${passed} passed`);
await stage.end();
