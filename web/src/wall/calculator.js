/**
 * calculator.js - the mix calculator: numbers in, numbers and texts out. All arithmetic is web/wasm/mix.c, the project's own C; the
 * order of the numbers here is that of the enums there.
 */
const inputs = /** @type {const} */ (["system", "given", "part", "length", "width", "depth", "plug", "whole", "coat", "powder_parts", "water_parts", "bulk", "particle",
  "air", "waste", "need", "batch", "usable_s", "pot_s", "set_s"]);
const outputs = /** @type {const} */ (["fill", "powder", "water", "yield", "density_kg_m3", "ratio", "batches", "batch_powder", "batch_water", "batch_yield"]);

/** @typedef {{[K in typeof inputs[number]]?: number}} Given */
/** @typedef {{numbers: Record<typeof outputs[number], number>, texts: Record<typeof outputs[number], string>}} Found */
/** @typedef {Found | {fault: string}} Answer */

/** @param {BufferSource} bytes @returns {Promise<(given: Given) => Answer>} */
export async function calculator(bytes) {
  const { instance } = await WebAssembly.instantiate(bytes);
  const c = /** @type {any} */ (instance.exports);
  if (c.mix_in_count() !== inputs.length || c.mix_out_count() !== outputs.length) throw new Error("The calculator is of another version than the page.");
  const text = (/** @type {number} */ at) => {
    const all = new Uint8Array(c.memory.buffer, at);
    return new TextDecoder().decode(all.subarray(0, all.indexOf(0)));
  };
  return (given) => {
    const into = new Float64Array(c.memory.buffer, c.mix_in(), inputs.length);
    inputs.forEach((name, i) => (into[i] = given[name] ?? 0));
    if (c.mix_run() !== 0) return { fault: text(c.mix_fault()) };
    const numbers = [...new Float64Array(c.memory.buffer, c.mix_out(), outputs.length)];
    /** @type {any} */
    const answer = { numbers: {}, texts: {} };
    outputs.forEach((name, i) => {
      answer.numbers[name] = numbers[i];
      answer.texts[name] = text(c.mix_text(i));
    });
    return answer;
  };
}
