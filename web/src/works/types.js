// types.js - what the server says about the works (docs/page.md). Types only.

/** @typedef {{day: number, date: string|null, label: string, hours: string, tasks: number, marks: string[], visits: number, over: boolean}} WorksDay */
/** @typedef {{id: string, mark: string, face: string, title: string, step: string, day: number, when: string, workers: string[], plant: string[], done: boolean, begun: boolean, batches: number}} Task */
/** @typedef {{day: number, date: string|null, at: string, where: string, title: string, workers: string[], done: boolean}} Visit */
/** @typedef {{day: number, label: string, worker: string, over: ""|"action"|"limit", saying: string}} Passed */
/** @typedef {{state: "planned", revision: number, current: boolean, start_on: string|null, when: string, out: string, deadline: string, late: boolean, bound: string, absent: string, begun: boolean,
 *   days: WorksDay[], tasks: Task[], visits: Visit[], exposures: Passed[], warnings: string[], moved: string[]}} Planned */
/** @typedef {Planned | {state: "none", before: boolean} | {state: "problem", current: boolean, problem: string}} Works */

/** @typedef {{hours: string, where: string, leak: boolean, task: string, done: boolean}} Turn */
/** @typedef {{hours: string, where: string, task: string, people: string, plant: string}} DayTask */
/** @typedef {{job: string, current: boolean, day: number, date: string|null, title: string, site: string, hours: string, people: string, before: number|null, after: number|null,
 *   crew: {who: string, tasks: Turn[]}[], tasks: DayTask[], batches: {what: string, mixed: string, use_by: string, take: string, measure: string}[], tub: string, visits: string,
 *   holds: {where: string, title: string}[], exposures: {who: string, vibration: string, noise: string, silica: string, respirator: string, saying: string}[],
 *   controls: {tool: string, control: string}[], cautions: {marks: string, caution: string}[]}} Day */

/** @typedef {{batches: string, size: string, usable: string, set: string, waste: string}} Mixed */
/** @typedef {{state: "made", at: string, problem: string|null, rows: {label: string, now: string, at: string}[], batches: {step: string, material: string, now: Mixed, at: Mixed, saying: string}[], warnings: string[]}} At */

export {};
