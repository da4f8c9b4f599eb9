// types.js - what the server says about a plan (docs/page.md). Types only.

/** @typedef {{level: "STOP"|"ASK", mark: string, finding: string, sentence: string, open: boolean, waiting?: boolean, by?: string, on?: string, what?: string}} Finding */
/** @typedef {{mark: string, label: string, before: string, after: string}} Change */
/** @typedef {{mark: string, kind: string, face: string, seen: string, flow: string, flow_basis: string, head: string, method: string, slot: string, depth: string,
 *   holds: boolean, scan_first: boolean, hours: number|null, cost: number|null, changed: number, stop: boolean, asks: number}} LeakLine */
/** @typedef {{material: string, need: string, packs: string, left: string, cost: number, problem: string}} Order */
/** @typedef {{group: string, label: string, quantity: number, unit: string, rate: number, amount: number, basis: string}} PriceLine */
/** @typedef {{groups: {group: string, amount: number}[], lines: PriceLine[], hours: number, crew_days: number, subtotal: number, total: number}} Price */
/** @typedef {{state: "planned"|"none", before?: boolean, revision: number, current: boolean, planes: boolean, job: string, currency: string, open_stops: number, open_asks: number,
 *   findings: Finding[], leaks: LeakLine[], quantities: {label: string, value: string}[], orders: Order[], price: Price, changes: Change[],
 *   assumptions: string[], cautions: string[], sources: string[]}} Plan */

/** @typedef {{group: string, label: string, value: string, equation?: string|null, inputs?: string|null, source?: string|null}} Row */
/** @typedef {{mark: string, from: string, to: string, met: string, total: string, behind: string, fresh: string, relief: boolean}} Step */
/** @typedef {{name: string, best: boolean, drawn: boolean, peak: string, met: string, over: number}} PlugOrder */
/** @typedef {{why_not: string|null, leaks: string[], uncut: string, search: boolean, orders: PlugOrder[], steps: Step[], warnings: string[]}} Plane */
/** @typedef {{code: string, hold: boolean, title: string, body: string, timer?: string|null, timer_s?: number|null}} CardStep */
/** @typedef {{step: string, material: string, powder: string, water: string, batches: number, batch_powder: string, batch_water: string, usable: string}} Mix */
/** waiting: chosen (null: withdrawn) since the plan; set by pending.js
 * @typedef {{name: string, word: string, row: number, reason: string, basis: string, runner_up: string, tip: string, tips: {change: string, to: string}[], passed: {method: string, why: string}[],
 *   by_table: string, overruled: {method: string, by: string, on: string, why: string, objection: string|null}|null, choices: {word: string, name: string}[], waiting?: import("./pending.js").Overrule|null}} Method */
/** @typedef {{gauge: string, readings: number, first: string, last: string, verdict: string, rule: string, months_more: number|null, drift: string, per_kelvin: string, widest: string, narrowest: string,
 *   year_basis: string|null, set_aside: string[], warnings: string[]}} Gauge */
/** @typedef {{movement: {verdict: string, basis: string, reason: string, total: string, gauges: Gauge[]}, healing: {rule: string, width: string, limit: string, gradient: string, heals: boolean, source: string}|null,
 *   tightness: {class: string, asks: string, verdict: string}|null, causes: {cause: string, for: string[], against: string[]}[]}} Diagnosis */
/** @typedef {{stretches: {from: string, to: string, bar: string, allowed: string}[], advice: {remedy: string, enough: boolean, saying: string}[]}} Steel */
/** Draws the screen anew. @typedef {() => void|Promise<void>} Again */
/** @typedef {{mark: string, kind: string, face: string, place: string, current: boolean, findings: Finding[],
 *   method: Method, diagnosis: Diagnosis, steel: Steel, rows: Row[], card: {steps: CardStep[], cautions: string[]},
 *   mixes: Mix[], fill: {material: string, volume: string, batches: number, batch_volume: string, usable: string}|null, parts: {label: string, value: string}[], hours: {work: string, hours: number}[], hours_total: number|null, cost: number|null, plane: Plane|null, changes: {label: string, before: string, after: string}[]}} Leak */

/** @typedef {import("../types.js").Ctx} Ctx */

export {};
