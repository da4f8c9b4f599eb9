// types.js - what the server says about rates learned from finished jobs (docs/page.md). Types only.

/** @typedef {{what: string, value: number, low: number, high: number, leaks: number, differs: boolean}} Class */
/** @typedef {{id: string, label: string, unit: string, shipped: number, value: number, low: number, high: number, weight: number, leaks: number, jobs: number, evidence: string, classes: Class[]}} Learned */
/** @typedef {{state: "learned", files: number, finished: number, left_out: string[], calibration: string, within: number, priced: number, rates: Learned[]}} Lesson */
/** @typedef {Lesson | {state: "none"}} Rates */
/** @typedef {{job: string, name: string, units: "metric"|"us", leaks: number, revision: number}} Job */

export {};
