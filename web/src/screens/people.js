// people.js - who may do what, invitations, and the sessions that are open.
import { button, fill, h } from "../dom.js";
import { may } from "../api.js";
import { when } from "../format.js";
import { row, table } from "../table.js";

/** @typedef {import("../types.js").Ctx} Ctx */
/** @typedef {{name: string, role: string, since: string, last: string}} Person */
/** @typedef {{id: string, who: string, since: string, last: string, agent: string, this: boolean}} Sitting */

const roles = /** @type {[string, string][]} */ ([
  ["viewer", "viewer: reads all, changes nothing"],
  ["foreman", "foreman: plans, records at the wall"],
  ["estimator", "estimator: draws, answers, sets days, invites"],
]);

const personHeads = ["Name", "Role", "Since", "Last here", ""];
const sessionHeads = ["Who", "Device", "Since", "Last here", ""];

/** What a browser says of the device it runs on, short: "Linux, Android 13". @param {string} agent */
function device(agent) {
  const parts = /\(([^)]*)\)/.exec(agent)?.[1].split(";").map((p) => p.trim()) ?? [];
  return parts.filter((p) => p && p !== "X11").slice(0, 2).join(", ") || agent;
}

/** @param {Ctx} ctx @param {() => void} again */
async function invite(ctx, again) {
  const a = await ctx.ask({ title: "Invite a person", yes: "Make the invitation", fields: [{ name: "role", label: "Role", type: "choice", value: "foreman", options: roles }] });
  if (!a) return;
  try {
    const made = await ctx.api.post("/api/people/invite", a);
    showInvitation(made, a.role);
    again();
  } catch (error) {
    ctx.fail(error);
  }
}

/** @param {{invitation: string, address: string, until: string}} made @param {string} role */
function showInvitation(made, role) {
  const dialog = h("dialog", { "aria-labelledby": "invitation-title" },
    h("div", { class: "stack" }, h("h2", { id: "invitation-title" }, `Invitation: ${role}`),
      h("p", null, "Let the phone's camera read this, or send the address. It works once."),
      h("img", { class: "code", src: `/api/code?text=${encodeURIComponent(made.address)}`, alt: "QR code of the address below", width: 240, height: 240 }),
      h("p", { class: "figures" }, made.address), h("p", { class: "muted" }, `Good until ${when(made.until)}.`),
      h("div", { class: "row end" }, button("Done", () => dialog.close(), { class: "button main" }))));
  dialog.addEventListener("close", () => dialog.remove());
  document.body.appendChild(dialog);
  dialog.showModal();
}

/** @param {Ctx} ctx @param {Person} p @param {() => void} again */
function personRow(ctx, p, again) {
  const choice = h("select", { "aria-label": `Role of ${p.name}` }, roles.map(([r]) => h("option", { value: r, selected: r === p.role }, r)));
  choice.addEventListener("change", () => {
    ctx.api.put(`/api/people/${encodeURIComponent(p.name)}`, { role: choice.value }).then(() => ctx.say(`${p.name} is ${choice.value}.`), ctx.fail).finally(again);
  });
  const end = async () => {
    if (!(await ctx.ask({ title: `Take ${p.name} off?`, text: "Their sessions end. What they recorded stays.", yes: "Take off", danger: true }))) return;
    await ctx.api.del(`/api/people/${encodeURIComponent(p.name)}`).catch(ctx.fail);
    again();
  };
  return row(personHeads, [p.name, choice, when(p.since), when(p.last), button("Take off", () => void end(), { class: "button danger", "aria-label": `Take off ${p.name}` })]);
}

/** @param {Ctx} ctx @param {Sitting} s @param {() => void} again */
function sessionRow(ctx, s, again) {
  const end = async () => {
    await ctx.api.del(`/api/sessions/${encodeURIComponent(s.id)}`).catch(ctx.fail);
    again();
  };
  return row(sessionHeads, [s.who, device(s.agent), when(s.since), when(s.last), s.this ? h("span", { class: "tag ok" }, "this one") : button("End", () => void end(), { class: "button danger", "aria-label": `End the session of ${s.who}, ${s.agent}` })]);
}

/** @type {import("../types.js").OpenPart} */
export async function open(root, ctx) {
  ctx.title("People");
  const estimator = may(ctx.session.role, "estimator");
  const again = () => void draw().catch(ctx.fail);
  const draw = async () => {
    /** @type {[{people: Person[]}, {sessions: Sitting[]}]} */
    const [{ people }, { sessions }] = await Promise.all([estimator ? ctx.api.get("/api/people", ctx.signal) : { people: [] }, ctx.api.get("/api/sessions", ctx.signal)]);
    fill(root, h("div", { class: "stack loose" },
      h("div", { class: "row apart" }, h("h1", null, "People"), estimator && ctx.session.site && button("Invite", () => void invite(ctx, again), { class: "button main", sign: "plus" })),
      !ctx.session.site && h("p", { class: "note" }, "This server listens to this machine only: nobody logs in. Start it with --site for the network of the site."),
      people.length > 0 && h("section", { class: "stack" }, h("h2", null, "Roles"), table("People and their roles", personHeads, people.map((p) => personRow(ctx, p, again)))),
      sessions.length > 0 && h("section", { class: "stack" }, h("h2", null, "Open sessions"), table("Open sessions", sessionHeads, sessions.map((s) => sessionRow(ctx, s, again))))));
  };
  await draw();
  return { close() {} };
}
