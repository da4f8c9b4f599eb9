/**
 * What the wall view is given and keeps. Names of measured members carry the unit of the job"s system.
 *
 * @typedef {{code: string, hold: boolean, title: string, body: string, timer?: string|null, timer_s?: number|null}} Step
 * @typedef {{parts_powder: number, parts_water: number, bulk_kg_m3: number, particle_kg_m3: number}} Recipe
 * @typedef {{step: string, material: string, material_id: string, powder: string, water: string, batches: number,
 *   batch_powder: string, batch_water: string, usable: string, usable_s: number, set_s: number, recipe: Recipe,
 *   volume_l?: number, volume_gal?: number, batch_volume_l?: number, batch_volume_gal?: number}} Mix
 * @typedef {{mark: string, kind: string, face: string, face_name: string, place: string, seen: string, method: string,
 *   stop: string|null, asks: string[], card: {steps: Step[], cautions: string[]}, mixes: Mix[],
 *   stations: {at: string|number, cover?: string|number|null, bar?: string|null}[]} & Record<string, any>} Leak
 * @typedef {{material_id: string, temperature_c?: number, temperature_f?: number, pot_s?: number|null, set_s?: number|null}} Time
 * @typedef {{revision: number, made: string, job: string, name: string, units: "metric"|"us", date: string,
 *   address: string, mix_waste: number, leaks: Leak[], times: Time[], cautions: string[]}} Day
 * @typedef {{job: string, fetched: number, day: Day}} KeptDay
 *
 * @typedef {{id: string, mark: string, what: string, at: string, by: string, device: string, seen: number, step?: string,
 *   about?: string, other?: string, text?: string, photo?: string, material?: string, seq?: number} & Record<string, any>} Rec
 * @typedef {"waiting"|"sent"|"refused"} RecState
 * @typedef {{n?: number, id: string, job: string, state: RecState, record: Rec, fault?: string, photo_id?: string}} Kept
 * @typedef {{id: string, job: string, mark: string, blob: Blob, state: RecState, fault?: string}} KeptPhoto
 * @typedef {{mark: string, a: string, b: string, sentence: string}} Conflict
 * @typedef {{id: string, job: string, mark: string, step: string, label: string, started: number, ends: number}} Timer
 * @typedef {{waiting: number, refused: number, sending: boolean, login: boolean, trouble: string}} Sending
 *
 * @typedef {import("../types.js").Ctx} Ctx
 */
export {};
