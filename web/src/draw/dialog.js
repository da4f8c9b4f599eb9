/** Dialogs of this screen: a form that stays open until the server takes what it says, and a choice of words. */
import { append, button, fill, freshId, h } from "../dom.js";

/** @param {string} title @param {(Node | null)[]} body */
function frame(title, body) {
  const id = freshId("dialog");
  const form = h("form", { class: "stack", method: "dialog" }, h("h2", { id }, title), body);
  const dialog = h("dialog", { "aria-labelledby": id, class: "draw-dialog" }, form);
  const leave = () => dialog.close(); /* it belongs to the screen under it */
  addEventListener("hashchange", leave);
  dialog.addEventListener("close", () => {
    removeEventListener("hashchange", leave);
    dialog.remove();
  });
  document.body.appendChild(dialog);
  return { dialog, form };
}

/**
 * @param {string} title @param {(Node | null)[]} body @param {string} yes words of the button
 * @param {() => Promise<string>} run what the button does; a sentence when it was refused
 * @param {(Node | null)[]} [more] other buttons @returns {HTMLDialogElement}
 */
export function openForm(title, body, yes, run, more = []) {
  const fault = h("p", { class: "note stop", role: "alert", hidden: true });
  const { dialog, form } = frame(title, [...body, fault]);
  const save = h("button", { type: "submit", class: "button main" }, yes);
  append(form, [h("div", { class: "row end" }, more, button("Cancel", () => dialog.close()), save)]);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    save.disabled = true;
    const sentence = await run().catch((/** @type {unknown} */ e) => (e instanceof Error ? e.message : String(e)));
    save.disabled = false;
    fill(fault, sentence);
    fault.hidden = !sentence;
    if (!sentence) dialog.close();
  });
  dialog.showModal();
  return dialog;
}

/**
 * A question with its answers as buttons; leaving it is the last answer.
 * @template {string} T @param {string} title @param {string[]} text @param {[T, string][]} answers
 * @returns {Promise<T>}
 */
export function choose(title, text, answers) {
  return new Promise((resolve) => {
    let answer = answers[answers.length - 1][0];
    const { dialog, form } = frame(title, text.map((t) => h("p", null, t)));
    const choice = (/** @type {[T, string]} */ [word, words]) => button(words, () => {
      answer = word;
      dialog.close();
    }, { "data-answer": word });
    append(form, [h("div", { class: "row end" }, answers.map(choice))]);
    dialog.addEventListener("close", () => resolve(answer));
    dialog.showModal();
  });
}

/** A list to choose from. @param {[string, string][]} options @param {string} value @param {Record<string, any>} [more] */
export function picker(options, value, more) {
  const list = h("select", more ?? null, options.map(([word, words]) => h("option", { value: word }, words)));
  list.value = value;
  return list;
}
