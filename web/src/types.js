// types.js - what a part is given, and what it gives back. Types only.

/**
 * @typedef {object} Ctx
 * @property {import("./api.js").Api} api
 * @property {import("./api.js").Session} session
 * @property {string} job              name of the job, as in the addresses; "" outside a job
 * @property {"metric"|"us"} units
 * @property {string} part             "draw", "plan", "quantities", "price", "works", "wall", "log", "people" ...
 * @property {string} [mark]           the leak that the address names; of the works: the day
 * @property {URLSearchParams} query   what stands after "?" in the address
 * @property {AbortSignal} signal      aborts when the part is left: give it to requests and listeners
 * @property {(hash: string) => void} go        `go("#/job/pump/plan")`
 * @property {(text: string) => void} say       politely to readers, and as a note at the edge for some seconds
 * @property {(error: unknown) => void} fail    shows a fault as a note that stays until closed
 * @property {(question: Question) => Promise<Record<string, string>|null>} ask   a dialog; null: left without an answer
 * @property {(text: string) => void} title     of the window; the part writes its own h1
 * @property {(work: number, words: string) => Promise<Work>} follow   shows progress with a stop button until it ended
 */

/**
 * @typedef {object} Question
 * @property {string} title
 * @property {string} [text]
 * @property {{name: string, label: string, value?: string, type?: "text"|"number"|"area"|"choice"|"password", options?: [string, string][], hint?: string, optional?: boolean, most?: number}[]} [fields]  most: letters
 * @property {string} [fault]    why the last answer was not taken
 * @property {string} [yes]      words of the button, "OK" unless set
 * @property {boolean} [danger]  the button says that something is lost
 */

/** @typedef {{work: number, what: string, job: string, state: "waiting"|"running"|"done"|"failed"|"stopped", part: number, saying: string, fault?: string}} Work */

/** @typedef {{close: () => void|Promise<void>}} Part */
/** @typedef {Ctx} Context */
/** @typedef {(root: HTMLElement, ctx: Ctx) => Promise<Part>} OpenPart */

export {};
