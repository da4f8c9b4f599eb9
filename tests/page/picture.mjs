// picture.mjs - the README's picture: the order of plugging on a laptop, a step card on a phone.
//   STANCH=build/release/stanch PAGE_MODULES=build/release/page-tests node tests/page/picture.mjs docs/img/page.png
import { begin, run } from "./browser.mjs";

const stage = await begin({ job: "pump-house" });
run("plan", stage.file);
const desk = await stage.page({});
await desk.setViewportSize({ width: 1120, height: 800 });
await desk.goto(`${stage.base}/#/job/pump-house/plan`);
await desk.getByRole("heading", { name: "What needs a decision" }).waitFor();
await desk.goto(`${stage.base}/#/job/pump-house/plan/W2`);
await desk.getByRole("heading", { name: "Order of plugging" }).waitFor();
for (let i = 0; i < 4; i++) await desk.getByRole("button", { name: "Next", exact: true }).click();
await desk.getByRole("heading", { name: "Order of plugging" }).evaluate((e) => e.scrollIntoView({ block: "start" }));
await desk.waitForTimeout(6000); // the note "Planned." goes
const phone = await stage.page({ phone: true });
await phone.goto(`${stage.base}/#/job/pump-house/wall/W2`);
await phone.getByRole("heading", { name: "Scan before cutting" }).waitFor();
const [left, right] = [await desk.screenshot(), await phone.screenshot()];
const sheet = await stage.page({});
await sheet.setViewportSize({ width: 1120 + 390 + 60, height: 844 + 40 });
await sheet.setContent(`<body style="margin:0;display:flex;gap:20px;padding:20px;background:#c9d2cf">${[left, right]
  .map((p) => `<img style="align-self:flex-start;border-radius:10px" src="data:image/png;base64,${p.toString("base64")}">`)
  .join("")}</body>`);
await sheet.screenshot({ path: process.argv[2] });
await stage.end();
