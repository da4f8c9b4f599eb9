// types.js - what the server says about the proof of a job (docs/page.md). Types only.

/** @typedef {{seq: number, on: string, by: string, from: string, to: string, level: string, hand: string, blotter: string, drips: string, flow: string, reached: string,
 *   low_water: boolean, before_work: boolean, keeps: boolean, sentence: string}} Test */
/** @typedef {"kept"|"broken"|"not proven"|"open"} Verdict */
/** @typedef {{mark: string, verdict: Verdict, treated_on: string|null, reached: string, kept: string, broken: string, not_proven: string, of: string, before: string, after: string, saved: string,
 *   drips: string, moved_from: string|null, moved_is_hint: boolean, moved_to: string[], sentence: string, tests: Test[]}} ProofLeak */
/** @typedef {{id: string, name: string, criterion: string, asks: string, source: string, verdict: "pass"|"fail"|"undecided"|"none", reason: string, allowed: string, found: string, uncertainty: string,
 *   loss: string, net_drop: string, hours: string, hours_more: string|null, findings: string[],
 *   readings: {seq: number, at: string, by: string, level: string, temperature: string, pan: string, rain: string}[]}} Tank */
/** @typedef {{mark: string, what: "24 h"|"7 d"|"28 d"|"high water", on: string|null, state: "waiting"|"due"|"overdue"|"done", seq: number|null, dry: boolean|null}} Revisit */
/** @typedef {{state: "judged", current: boolean, verdict: Verdict, agreed: string, judged_by: string, asks: string, source: string, sentence: string, counts: {kept: number, broken: number, not_proven: number, open: number},
 *   before: string, after: string, saved: string, leaks: ProofLeak[], tanks: Tank[], revisits: Revisit[]}} Proof */

/** @typedef {{records: number, head_seq: number, head_hash: string, breaks: string[], more: boolean, known: boolean|null, photos: number, offers: number}} Check */
/** @typedef {{number: number, kind: "offer"|"handover", on: string, by: string, program: string, pdf_sha256: string}} Document */

export {};
