// types.js - what the server says about the job as built (docs/page.md). Types only.

/** @typedef {{mark: string, label: string, step: string|null, planned: string, actual: string, deviates: boolean, reason: string|null, seqs: number[]}} Line */
/** @typedef {{code: string, title: string, started: string|null, finished: string|null, by: string|null, people: number, hours: number, planned: boolean, ticked: boolean, seq: number}} Step */
/** @typedef {{seq: number, at: string, by: string|null, text: string}} Note */
/** @typedef {{mark: string, hours: number, hours_planned: number, finished: boolean, wetter: boolean|null, steps: Step[], lines: Line[], notes: Note[]}} BuiltLeak */
/** @typedef {{mark: string, file: string, caption: string, at: string, by: string, seq: number}} Photo */
/** @typedef {{label: string, unit: string, quantity: number|null, offered: number, rate: number, amount: number, basis: string}} Bill */
/** @typedef {{state: "built", current: boolean, first: string|null, last: string|null, people: string[], weather: {label: string, value: string}[], deviations: number, unreasoned: number, totals: Line[], leaks: BuiltLeak[],
 *   materials: {material: string, name: string, planned: string, used: string, packs: string, net: string}[], photos: Photo[], bills: Bill[], currency: string, subtotal: number, total: number}} Built */

export {};
