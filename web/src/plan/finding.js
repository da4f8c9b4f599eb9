// finding.js - what needs a person's decision: STOP (no design without it), then ASK. Each has its form.
import { button, field, fill, freshId, h, icon } from "../dom.js";
import { may } from "../api.js";

/** @typedef {import("./types.js").Ctx} Ctx */
/** @typedef {import("./types.js").Finding} Finding */

const lastName = "stanch-answers-by";

/** Who answered last at this browser, else who is here. @param {Ctx} ctx */
export function nameNow(ctx) {
  try {
    return localStorage.getItem(lastName) ?? ctx.session.who;
  } catch {
    return ctx.session.who;
  }
}

/** @param {string} name */
export function remember(name) {
  try {
    localStorage.setItem(lastName, name);
  } catch {
    // Then it is typed again.
  }
}

/** @param {"STOP"|"ASK"} level @param {string} [words] */
export const levelTag = (level, words) => h("span", { class: `tag ${level === "STOP" ? "stop" : "ask"}` }, icon(level === "STOP" ? "stop" : "ask"), words ?? level);

/** @param {Ctx} ctx @param {Finding} f @param {() => void} again */
function answerForm(ctx, f, again) {
  const by = h("input", { name: "by", required: true, maxlength: 120, value: f.level === "STOP" ? "" : nameNow(ctx), autocomplete: "off" });
  const what = h("textarea", { name: "what", required: true, maxlength: 400, rows: 2 });
  const submit = h("button", { type: "submit", class: "button main" }, "Keep the answer");
  const form = h("form", { class: "stack answer" },
    field(f.level === "STOP" ? "Who decided (for a STOP: the engineer who has looked)" : "Who decided", by), field("What was decided", what), h("div", { class: "row" }, submit));
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    const blank = [by, what].find((input) => !input.value.trim());
    if (blank) {
      blank.value = ""; // then the browser says that it is missing
      return void form.reportValidity();
    }
    submit.disabled = true;
    try {
      const answer = { mark: f.mark, finding: f.finding, by: by.value.trim(), what: what.value.trim() };
      await ctx.api.post(ctx.api.at(ctx.job, "answer"), answer);
      remember(answer.by);
      ctx.say(`${f.mark}, ${f.finding}: answer kept. Plan again to use it.`);
      again();
    } catch (error) {
      ctx.fail(error);
      submit.disabled = false;
    }
  });
  return { form, first: by.value ? what : by };
}

/** A finding of the whole site has no leak to go to. @param {string} mark */
const isLeak = (mark) => mark !== "" && mark !== "site";

/** @param {Ctx} ctx @param {Finding} f @param {() => void} again @param {boolean} linked */
function item(ctx, f, again, linked) {
  const place = h("div", { id: freshId("answer"), hidden: true });
  const open = button(f.waiting ? "Answer again" : "Answer", () => {
    const opening = place.hidden;
    place.hidden = !opening;
    open.setAttribute("aria-expanded", String(opening));
    if (!opening) return;
    const { form, first } = answerForm(ctx, f, again);
    fill(place, form);
    first.focus();
  }, { "aria-expanded": "false", "aria-controls": place.id, "aria-label": `${f.waiting ? "Answer again" : "Answer"} ${f.level} ${f.finding.replace(/_/g, " ")} of ${isLeak(f.mark) ? f.mark : "the site"}` });
  const where = isLeak(f.mark) ? (linked ? h("a", { href: `#/job/${encodeURIComponent(ctx.job)}/plan/${encodeURIComponent(f.mark)}` }, f.mark) : f.mark) : "the site";
  return h("li", { class: `finding ${f.level.toLowerCase()}${f.open ? "" : " answered"}` },
    h("div", { class: "finding-head" }, levelTag(f.level), h("strong", null, where), h("span", { class: "muted what" }, f.finding.replace(/_/g, " ")), f.open && may(ctx.session.role, "estimator") && open),
    h("p", null, f.sentence),
    (!f.open || f.waiting) && h("p", { class: "answered-by" }, icon("yes"), " ", h("strong", null, f.by ? `${f.by}${f.on ? `, ${f.on}` : ""}: ` : "Answered: "), f.what ?? ""),
    f.waiting && h("p", { class: "muted small" }, "Counts at the next plan."),
    place);
}

/** Lists that somebody has opened whole: they stay so when the plan is drawn again. @type {Set<string>} */
const whole = new Set();

/** A list of findings; of many open ones, the first `most` and a button for the rest.
 * @param {Ctx} ctx @param {Finding[]} list @param {() => void} again @param {{linked: boolean, most?: number}} how */
export function findingList(ctx, list, again, how) {
  const key = `${ctx.job} ${list[0]?.level ?? ""}`;
  const most = whole.has(key) ? list.length : how.most ?? list.length;
  const ul = h("ul", { class: "findings" }, list.slice(0, most).map((f) => item(ctx, f, again, how.linked)));
  if (list.length <= most) return ul;
  const more = button(`Show ${list.length - most} more`, () => {
    const rest = list.slice(most).map((f) => item(ctx, f, again, how.linked));
    ul.append(...rest);
    whole.add(key);
    more.parentElement?.remove();
    const next = rest[0].querySelector("a, button");
    if (next instanceof HTMLElement) next.focus();
  });
  return h("div", { class: "stack" }, ul, h("div", null, more));
}

/** @param {Ctx} ctx @param {Finding[]} findings @param {() => void} again */
export function findingSection(ctx, findings, again) {
  const open = findings.filter((f) => f.open);
  const answered = findings.filter((f) => !f.open);
  /** @param {"STOP"|"ASK"} level @param {string} title @param {string} words @param {number} most */
  const group = (level, title, words, most) => {
    const list = open.filter((f) => f.level === level);
    return list.length > 0 && h("div", { class: "stack tight" }, h("h3", null, title, " ", h("span", { class: "muted" }, `(${list.length})`)), h("p", { class: "muted" }, words), findingList(ctx, list, again, { linked: true, most }));
  };
  return h("section", { class: "stack", "aria-labelledby": "findings" }, h("h2", { id: "findings" }, "What needs a decision"),
    !open.length && h("p", { class: "note ok" }, icon("yes"), "Nothing is open."),
    group("STOP", "STOP", "No design for these leaks until a named person has decided.", 20),
    group("ASK", "ASK", "The design stands on an assumption until these are answered.", 4),
    answered.length > 0 && h("details", null, h("summary", null, `Answered (${answered.length})`), findingList(ctx, answered, again, { linked: true })));
}
