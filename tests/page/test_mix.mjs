// test_mix.mjs - the calculator of the page against the program: 1,000 random mixes by `stanch calc mix`, bit for bit;
// then what calc does not have: slot left, batches, US units, texts, sentences. No browser.
import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { calculator } from "../../web/src/wall/calculator.js";

const stanch = process.env.STANCH ?? "";
const wasm = process.env.PAGE_WASM ?? "";
if (!existsSync(stanch) || !existsSync(wasm)) {
  console.log("skipped: STANCH names no program, or PAGE_WASM no mix.wasm");
  process.exit(77);
}
const seed = Number(process.env.SEED ?? (Date.now() & 0x7fffffff));
console.log(`seed ${seed}`);

/** xorshift32 */
function generator(state) {
  let s = state | 1;
  return () => {
    s ^= s << 13;
    s ^= s >>> 17;
    s ^= s << 5;
    return (s >>> 0) / 2 ** 32;
  };
}
const random = generator(seed);
const between = (low, high) => low + (high - low) * random();
/** Typed numbers and full doubles, both. */
const number = (low, high) => (random() < 0.5 ? Number(between(low, high).toPrecision(3)) : between(low, high));
const run = await calculator(readFileSync(wasm));

function calc(input) {
  return new Promise((resolve, reject) => {
    const child = execFile(stanch, ["calc", "mix"], { env: { ...process.env, OPENBLAS_NUM_THREADS: "1" } }, (error, out) => (error ? reject(error) : resolve(JSON.parse(out))));
    child.stdin.end(JSON.stringify(input));
  });
}

function recipe() {
  const bulk = number(200, 2500);
  return { parts_powder: number(0.5, 10), parts_water: number(0.2, 5), bulk_kg_m3: bulk, particle_kg_m3: number(bulk + 20, 6000) };
}
const given = (r) => ({ powder_parts: r.parts_powder, water_parts: r.parts_water, bulk: r.bulk_kg_m3, particle: r.particle_kg_m3 });

async function one() {
  const r = recipe(), which = Math.floor(random() * 3), need = number(0.01, 200), waste = number(0, 40), air = random() < 0.5 ? 0 : number(0, 30);
  const name = ["volume_l", "powder_kg", "water_l"][which];
  const want = await calc({ ...r, [name]: need, waste_percent: waste, air_percent: air });
  const { numbers } = run({ ...given(r), given: which + 1, need, waste: waste / 100, air: air / 100 });
  const same = (found, wanted, what) => assert.ok(Object.is(found, wanted), `${what}: page ${found}, program ${wanted}, of ${JSON.stringify({ ...r, [name]: need, waste, air })}`);
  same(numbers.powder, want.powder_kg, "powder");
  same(numbers.water, want.water_l, "water");
  same(numbers.yield, want.yield_l, "yield");
  same(numbers.density_kg_m3 / 1000, want.density_kg_l, "density");
  same(numbers.ratio, want.water_powder_ratio, "water/powder");
}

const near = (found, wanted, what, part = 1e-12) => assert.ok(Math.abs(found - wanted) <= part * Math.abs(wanted), `${what}: ${found}, wanted ${wanted}`);
const plain = { powder_parts: 5, water_parts: 2, bulk: 1200, particle: 3000 };

/** By hand: 1.2 m x 25 mm x 18.5 mm is 0.555 l; with a tenth of waste 0.6105 l; 5:2 by volume yields 4 of 7 parts. */
function byHand() {
  const slot = { ...plain, given: 0, part: 0, length: 1.2, width: 25, depth: 37, plug: 18.5, waste: 0.1, batch: 0.2, usable_s: 108 };
  const a = run(slot);
  near(a.numbers.fill, 0.555, "fill");
  near(a.numbers.yield, 0.6105, "yield");
  near(a.numbers.powder, (0.6105 / 4) * 6, "powder");
  near(a.numbers.water, (0.6105 / 4) * 2, "water");
  assert.equal(a.numbers.batches, 4);
  near(a.numbers.batch_powder, a.numbers.powder / 4, "powder of a batch");
  assert.equal(a.texts.powder, "0.92 kg");
  assert.equal(a.texts.batch_water, "0.076 l");
  assert.equal(run({ ...slot, part: 1, plug: 30 }).texts.fill, "0.210 l", "the plug is taken off");
  assert.equal(run({ ...slot, pot_s: 216, set_s: 216 }).numbers.batches, 2, "twice the time, half the batches");
  assert.equal(run({ ...slot, pot_s: 1200, set_s: 54 }).numbers.batches, 7, "a plug has the shorter of pot life and set");
  assert.equal(run({ ...slot, part: 1, pot_s: 216, set_s: 54 }).numbers.batches, 2, "a pack has the pot life");
  const coat = run({ ...slot, part: 2, whole: 3.6, coat: 3 });
  near(coat.numbers.yield, 1, "a third of a coat, its waste in it already");
}

/** The same slot in both systems is the same mix. */
function unitsAgree() {
  for (let i = 0; i < 1000; i++) {
    const size = { length: number(0.1, 30), width: number(5, 60), depth: number(20, 90) }, plug = between(0, size.depth);
    const part = random() < 0.5 ? 0 : 1, waste = number(0, 0.3), batch = number(0.05, 2);
    const si = run({ ...plain, given: 0, part, ...size, plug, waste, batch });
    const us = run({ ...plain, system: 1, given: 0, part, length: size.length / 0.3048, width: size.width / 25.4, depth: size.depth / 25.4, plug: plug / 25.4, waste, batch: batch / 3.785411784 });
    near(us.numbers.powder * 0.45359237, si.numbers.powder, "powder in lb", 1e-9);
    near(us.numbers.yield * 3.785411784, si.numbers.yield, "yield in gal", 1e-9);
    assert.ok(us.texts.powder.endsWith(" lb") && us.texts.water.endsWith(" gal") && si.texts.powder.endsWith(" kg"));
  }
}

/** Texts are rounded as printf does: the nearest decimal. Halves go to the even one there and up here, so none is compared. */
function texts() {
  const half = (value, decimals) => Number.isInteger(value * 10 ** decimals * 2) && !Number.isInteger(value * 10 ** decimals);
  const compare = (text, value, decimals, unit) => half(value, decimals) || assert.equal(text, `${value.toFixed(decimals)} ${unit}`);
  for (let i = 0; i < 20000; i++) {
    const powder = number(0.001, 10 ** between(0, 4)), { numbers, texts: t } = run({ ...plain, given: 2, need: powder });
    compare(t.powder, numbers.powder, powder < 1 ? 2 : 1, "kg");
    compare(t.water, numbers.water, numbers.water < 1 ? 3 : 2, "l");
  }
}

function sentences() {
  const slot = { ...plain, given: 0, part: 1, length: 1, width: 25, depth: 37, plug: 18 };
  for (const [name, value, words] of [["length", 0, "Length left (m) is 0"], ["length", -1, "is -1"], ["length", NaN, "not a finite number"], ["length", 1e9, "up to 1000"], ["width", 0, "Slot width (mm)"],
    ["depth", 1e300, "Depth as cut (mm) is a very large number"], ["plug", 40, "Plug in the slot (mm) is 40; it must lie in 0 to 37"], ["particle", 1000, "particle_kg_m3 is 1000; it must lie above 1200"]]) {
    const { fault } = run({ ...slot, [name]: value });
    assert.ok(fault?.includes(words), `${name} ${value}: "${fault}" has "${words}"`);
  }
  assert.match(run({ ...slot, system: 1, length: 0 }).fault, /^Length left \(ft\)/);
  assert.equal(run({ ...slot }).fault, undefined);
}

byHand();
unitsAgree();
texts();
sentences();
for (let i = 0; i < 1000; i += 4) await Promise.all([one(), one(), one(), one()]);
console.log("1,000 mixes are the program's, bit for bit");
