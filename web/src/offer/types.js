// types.js - what the server says about an offer and its risk (docs/page.md). Types only.

/** @typedef {{label: string, group: string, low: string, likely: string, high: string, unit: string, basis: string, share: number}} Input */
/** @typedef {{state: "counted", current: boolean, runs: number, seed: number, correlation: number, total: string, mean: string, p20: string, p50: string, p80: string, p90: string, contingency: string,
 *   groups: {group: string, share: number}[], inputs: Input[], warnings: string[]}} Counted */
/** @typedef {Counted | {state: "none"}} Risk */
/** @typedef {{number: number, kind: "offer"|"handover", on: string, by: string, program: string, total: string, p50: string, p80: string, pdf_sha256: string}} Kept */

/** @typedef {{id: string, label?: string, unit?: string, value: number, low?: number, high?: number, basis: "published"|"default"|"own", source?: string}} Rate */
/** @typedef {{id: string, label?: string, unit?: string, price: number, low?: number, high?: number}} Price */
/** @typedef {{revision: number, survey: {rates?: Rate[], prices?: Price[], site?: {currency?: string}}, hashes: {rates: Record<string, string>, prices: Record<string, string>}}} Survey */

export {};
