// wasm.js - where the page gets its calculator: fetched once; with no signal from the service worker.
import address from "mix.wasm";
import { calculator } from "./calculator.js";

/** @type {ReturnType<typeof calculator> | null} */
let loaded = null;

export function loadCalculator() {
  loaded ??= fetch(address).then((r) => r.arrayBuffer()).then(calculator).catch((e) => {
    loaded = null;
    throw e;
  });
  return loaded;
}
