/**
 * Shapes that the drawing shares. A survey object is what the survey JSON holds, in the job's own units; its
 * quantities are reached through the suffixes of units.js, so the objects stay open records.
 *
 * @typedef {[number, number]} Place            u, v on a face
 * @typedef {{face: string, points: Place[]}} Part
 * @typedef {Record<string, any> & {wetness: string}} Station
 * @typedef {Record<string, any>} Flow
 * @typedef {Record<string, any> & {mark: string, kind: string, parts: Part[], stations?: Station[], flows?: Flow[]}} Defect
 * @typedef {Record<string, any> & {id: string, lie: string, outline: Place[], openings?: Place[][]}} Face
 * @typedef {Record<string, any> & {id: string, role: string, name?: string}} Material
 * @typedef {{a: [string, Place[]], b: [string, Place[]]}} Fold
 * @typedef {Record<string, any> & {units: string, faces: Face[], folds: Fold[], defects: Defect[], materials: Material[]}} Survey
 * @typedef {{site: string, folds: string, faces: Record<string, string>, defects: Record<string, string>, materials: Record<string, string>}} Hashes
 * @typedef {'site' | 'folds' | 'face' | 'defect' | 'material'} What
 * @typedef {{what: What, key: string, after: any}} Change    after null: it goes
 * @typedef {{what: What, key: string, from: any, to: any}} Done
 * @typedef {{words: string, changes: Done[]}} Step           one edit call, to undo and redo
 * @typedef {{type: 'vertex', part: number, index: number} | {type: 'station', index: number}} Handle
 * @typedef {import('../types.js').Ctx} Context
 */
export {};
