/** The calls of this screen, as docs/page.md has them. */
import { Fault } from "../api.js";

/** @typedef {import('../types.js').Ctx} Ctx */
/** @typedef {ReturnType<typeof wireOf>} Wire */

/** @param {Ctx} ctx */
export function wireOf(ctx) {
  const { api, job } = ctx;
  const at = (/** @type {string[]} */ ...parts) => api.at(job, ...parts);
  return {
    /** @returns {Promise<any>} */
    survey: () => api.get(at("survey"), ctx.signal),
    /** A conflict is an answer; every other fault is thrown. @param {any[]} changes @returns {Promise<any>} */
    async edit(changes) {
      try {
        return await api.post(at("edit"), { changes });
      } catch (error) {
        if (error instanceof Fault && error.conflict) return { conflict: error.conflict, fault: error.message };
        throw error;
      }
    },
    /** @param {File} file @returns {Promise<any>} */
    importFile: (file) => api.upload(`${at("import")}?name=${encodeURIComponent(file.name)}`, file),
    /** @param {string} face @param {number[][]} corners @param {number[][]} onto @param {Blob} file */
    underlay(face, corners, onto, file) {
      const query = `corners=${encodeURIComponent(JSON.stringify(corners))}&onto=${encodeURIComponent(JSON.stringify(onto))}`;
      return api.upload(`${at("faces", face, "underlay")}?${query}`, file);
    },
    /** @param {string} face */
    picture: (face) => `${at("faces", face)}/underlay.jpg`,
    /** @param {string} as */
    exported: (as) => `${at("export")}?as=${as}`,
  };
}
