/**
 * The survey as the page holds it, and every change of it: one edit call a step, undone by its inverse.
 *
 * Calls run one after another; what a step changes is worked out when its turn comes, from the survey as it
 * stands then. What the server refuses is never in the model. Hashes say what this page saw; where somebody
 * else changed an object meanwhile a person decides.
 */

/** @typedef {import('./types.js').Survey} Survey */
/** @typedef {import('./types.js').Hashes} Hashes */
/** @typedef {import('./types.js').Change} Change */
/** @typedef {import('./types.js').Step} Step */
/** @typedef {import('./types.js').What} What */
/** @typedef {import('./wire.js').Wire} Wire */
/** @typedef {{what: What, key: string, now: any, hash: string | null}} Conflict */
/** @typedef {(conflict: Conflict, mine: any, fault: string) => Promise<'mine' | 'theirs'>} Decide */

/** Where objects with a name of their own stand, and what that name is. */
const lists = /** @type {const} */ ({ face: ["faces", "id"], defect: ["defects", "mark"], material: ["materials", "id"] });

const same = (/** @type {any} */ a, /** @type {any} */ b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

export class Model {
  /** @param {Wire} wire @param {Decide} decide */
  constructor(wire, decide) {
    this.wire = wire;
    this.decide = decide;
    /** @type {Survey} */
    this.survey = { units: "metric", faces: [], folds: [], defects: [], materials: [] };
    /** @type {Hashes} */
    this.hashes = { site: "", folds: "", faces: {}, defects: {}, materials: {} };
    this.revision = 0;
    /** @type {Set<string>} faces with a picture under them */
    this.underlays = new Set();
    /** @type {Step[]} */
    this.done = [];
    /** @type {Step[]} */
    this.undone = [];
    /** @type {Set<(changes: {what: What, key: string}[]) => void>} */
    this.listeners = new Set();
    /** @type {Promise<any>} */
    this.turn = Promise.resolve();
  }

  /** @param {(changes: {what: What, key: string}[]) => void} heard */
  on(heard) {
    this.listeners.add(heard);
  }

  /** @param {{what: What, key: string}[]} changes */
  tell(changes) {
    for (const heard of this.listeners) heard(changes);
  }

  /** @param {string} id */
  face(id) {
    return this.survey.faces.find((face) => face.id === id) ?? null;
  }

  /** @param {string} mark */
  defect(mark) {
    return this.survey.defects.find((defect) => defect.mark === mark) ?? null;
  }

  /** @param {What} what @param {string} key @returns {any} */
  get(what, key) {
    return find(this.survey, { what, key });
  }

  /** @param {What} what @param {string} key @returns {string | null} */
  hash(what, key) {
    if (what === "site" || what === "folds") return this.hashes[what] || null;
    return this.hashes[lists[what][0]][key] ?? null;
  }

  /** @param {What} what @param {string} key @param {any} after @param {string | null} hash */
  put(what, key, after, hash) {
    if (what === "site" || what === "folds") {
      this.survey[what] = after ?? [];
      this.hashes[what] = hash ?? "";
      return;
    }
    const [member, name] = lists[what];
    const list = /** @type {any[]} */ (this.survey[member]);
    const hashes = this.hashes[member];
    const at = list.findIndex((object) => object[name] === key);
    if (after === null) {
      if (at >= 0) list.splice(at, 1);
      delete hashes[key];
      return;
    }
    if (at >= 0) list[at] = after;
    else list.push(after);
    hashes[key] = hash ?? "";
  }

  /** One after another, whatever became of the one before. @template T @param {() => Promise<T>} work @returns {Promise<T>} */
  queue(work) {
    const mine = this.turn.then(work, work);
    this.turn = mine.catch(() => undefined);
    return mine;
  }

  /** Read the whole survey again; the steps to undo stay. */
  load() {
    return this.queue(() => this.read());
  }

  async read() {
    const answer = await this.wire.survey();
    if (!answer || answer.revision === this.revision) return [];
    const changes = this.take(answer);
    if (changes.length) this.tell(changes);
    return changes;
  }

  /** Put a whole survey in place; what differs from the one before comes back. @param {{revision: number, survey: any, hashes: any, underlays: string[]}} answer */
  take(answer) {
    const before = this.survey;
    const old = this.hashes;
    this.survey = { ...answer.survey };
    this.survey.faces ??= [];
    this.survey.folds ??= [];
    this.survey.defects ??= [];
    this.survey.materials ??= [];
    this.hashes = { ...answer.hashes, faces: { ...answer.hashes.faces }, defects: { ...answer.hashes.defects }, materials: { ...answer.hashes.materials } };
    this.revision = answer.revision;
    this.underlays = new Set(answer.underlays);
    this.survey.faces = kept(this.survey.faces, before.faces, "id", old.faces, this.hashes.faces);
    this.survey.defects = kept(this.survey.defects, before.defects, "mark", old.defects, this.hashes.defects);
    if (old.folds && old.folds === this.hashes.folds) this.survey.folds = before.folds;
    return differences(before, old, this.survey, this.hashes);
  }

  /**
   * One step. `make` gives the changes from the survey as it stands; null or none: nothing to do.
   * @param {string} words what it does, for the undo button
   * @param {() => Change[] | null} make
   */
  change(words, make) {
    return this.queue(async () => {
      const changes = make();
      const wanted = (changes ?? []).filter((c) => !same(this.get(c.what, c.key), c.after));
      if (!wanted.length) return false;
      const done = wanted.map((c) => ({ what: c.what, key: c.key, from: this.get(c.what, c.key), to: c.after }));
      const sent = await this.send(done);
      if (!sent.length) return false;
      this.done.push({ words, changes: sent });
      this.undone = [];
      this.tell(sent);
      return true;
    });
  }

  undo() {
    return this.queue(() => this.step(this.done, this.undone, (c) => ({ ...c, from: c.to, to: c.from })));
  }

  redo() {
    return this.queue(() => this.step(this.undone, this.done, (c) => c));
  }

  /**
   * @param {Step[]} from @param {Step[]} onto
   * @param {(change: import('./types.js').Done) => import('./types.js').Done} turned
   */
  async step(from, onto, turned) {
    const step = from[from.length - 1];
    if (!step) return null;
    const changes = step.changes.map(turned).reverse();
    for (const change of [...changes])
      if (!same(this.get(change.what, change.key), change.from)) {
        const now = this.get(change.what, change.key);
        const conflict = { what: change.what, key: change.key, now, hash: this.hash(change.what, change.key) };
        const word = await this.decide(conflict, change.to, `${name(change)} has been changed by somebody else since`);
        if (word === "theirs") changes.splice(changes.indexOf(change), 1);
      }
    if (changes.length) await this.send(changes);
    from.pop();
    onto.push(step);
    this.tell(changes);
    return step;
  }

  /** Send and keep; where somebody was faster, a person decides. @param {import('./types.js').Done[]} changes */
  async send(changes) {
    const wanted = [...changes];
    while (wanted.length) {
      const answer = await this.wire.edit(wanted.map((c) => ({
        what: c.what, key: c.key, before: this.hash(c.what, c.key), after: c.to,
      })));
      if (!answer.conflict) {
        this.keep(wanted, answer);
        return wanted;
      }
      const { conflict } = answer;
      const at = wanted.findIndex((c) => c.what === conflict.what && c.key === conflict.key);
      const word = await this.decide(conflict, wanted[at]?.to ?? null, answer.fault);
      this.put(conflict.what, conflict.key, conflict.now, conflict.hash);
      if (at >= 0 && word === "theirs") wanted.splice(at, 1);
      else if (at >= 0) wanted[at] = { ...wanted[at], from: conflict.now };
      this.tell([conflict]);
    }
    return wanted;
  }

  /** @param {import('./types.js').Done[]} changes @param {any} answer */
  keep(changes, answer) {
    const hashes = answer.hashes ?? {};
    for (const c of changes) {
      const hash = c.what === "site" || c.what === "folds" ? hashes[c.what] : hashes[lists[c.what][0]]?.[c.key];
      this.put(c.what, c.key, c.to, hash ?? this.hash(c.what, c.key));
    }
    this.revision = answer.revision;
  }

  /** A file of the server's readers; what it changed is one step to undo. @param {File} file */
  importFile(file) {
    return this.queue(async () => {
      const before = this.survey;
      const answer = await this.wire.importFile(file);
      const changes = await this.read();
      const done = changes.map((c) => ({ ...c, from: find(before, c), to: this.get(c.what, c.key) }));
      if (done.length) this.done.push({ words: `import of ${file.name}`, changes: done });
      if (done.length) this.undone = [];
      return answer;
    });
  }
}

/**
 * Objects that did not change stay as this page wrote them: the server leaves out what goes without saying, and
 * a step to undo looks for what it made.
 * @template {Record<string, any>} T @param {T[]} now @param {T[]} before @param {string} name
 * @param {Record<string, string>} old @param {Record<string, string>} hashes
 */
function kept(now, before, name, old, hashes) {
  const had = new Map(before.map((object) => [object[name], object]));
  return now.map((object) => {
    const key = object[name];
    return (old[key] && old[key] === hashes[key] && had.get(key)) || object;
  });
}

/** @param {{what: What, key: string}} c */
function name(c) {
  return c.what === "folds" ? "the list of folds" : c.what === "site" ? "the site" : c.key;
}

/** @param {Survey} survey @param {{what: What, key: string}} c */
function find(survey, c) {
  if (c.what === "site") return survey.site ?? null;
  if (c.what === "folds") return survey.folds;
  const [member, name] = lists[c.what];
  return /** @type {any[]} */ (survey[member]).find((object) => object[name] === c.key) ?? null;
}

/**
 * @param {Survey} before @param {Hashes} old @param {Survey} now @param {Hashes} hashes
 * @returns {{what: What, key: string}[]} faces first: a leak stands on a face
 */
function differences(before, old, now, hashes) {
  /** @type {{what: What, key: string}[]} */
  const out = [];
  const seen = (/** @type {Record<string, string>} */ a, /** @type {Record<string, string>} */ b, /** @type {What} */ what) => {
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) if (a[key] !== b[key]) out.push({ what, key });
  };
  if (!same(before.site, now.site)) out.push({ what: "site", key: "" });
  seen(old.faces, hashes.faces, "face");
  if (old.folds !== hashes.folds) out.push({ what: "folds", key: "" });
  seen(old.defects, hashes.defects, "defect");
  seen(old.materials, hashes.materials, "material");
  return out;
}
