// serve_load.mjs STANCH [SECONDS] - answers under load: 20 people reading, 5 writing, on loopback.
//
// A reader opens what a page opens, one call after another, with a breath of 100 to 300 ms between two, each in his own order
// of time; a writer sends a record or an edit of his own leak about once a second. Then the same without a breath: everybody asks again at once. Prints percentiles of the
// times by kind, calls a second and the server's memory; beside them GET /api/session alone, which touches no job.
import { execFileSync, spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import http from "node:http";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const stanch = process.argv[2] ?? join(root, "build/release/stanch");
const seconds = Number(process.argv[3] ?? 30);
const folder = mkdtempSync(join(tmpdir(), "stanch-load-"));
const job = join(folder, "pump.stanch");
for (const words of [["new", job], ["import", job, join(root, "examples/pump-house.json")], ["plan", job]]) execFileSync(stanch, words);
const server = spawn(stanch, ["serve", folder, "--port", "0", "--site", "--plain", "--address", "127.0.0.1"], { stdio: ["ignore", "pipe", "inherit"] });
const greeting = await new Promise((resolve) => {
  let said = "";
  server.stdout.on("data", (d) => {
    said += d;
    if (/[0-9a-f]{32}/.test(said)) resolve(said);
  });
});
const base = /http:\/\/[^\s/]+/.exec(greeting)[0];

class Person {
  agent = new http.Agent({ keepAlive: true, maxSockets: 1 });
  headers = {};
  ask(method, path, body) {
    const data = body && JSON.stringify(body);
    const headers = { ...this.headers, ...(data ? { "Content-Type": "application/json", "Content-Length": Buffer.byteLength(data) } : {}) };
    const begun = performance.now();
    return new Promise((resolve, reject) => {
      const request = http.request(base + path, { method, headers, agent: this.agent }, (answer) => {
        const parts = [];
        answer.on("data", (d) => parts.push(d));
        answer.on("end", () => resolve({ code: answer.statusCode, headers: answer.headers, body: Buffer.concat(parts), ms: performance.now() - begun }));
      });
      request.on("error", reject);
      request.end(data);
    });
  }
  /** Joins by an invitation: an account, a passphrase, a session of his own. */
  async join(invitation, name) {
    const answer = await this.ask("POST", "/api/join", { invitation, name, passphrase: "a passphrase of this bench" });
    if (answer.code !== 200) throw new Error(`join: ${answer.code} ${answer.body}`);
    this.headers = { Cookie: answer.headers["set-cookie"][0].split(";")[0], "X-Stanch-Token": JSON.parse(answer.body).token };
  }
}

/** Nobody breathes in step with the others. */
const about = (ms) => ms * (0.5 + Math.random());
const breath = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const quantile = (list, q) => list[Math.min(list.length - 1, Math.floor(q * list.length))];
const memory_mb = () => Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${server.pid}/status`, "utf8"))[1]) / 1024;

const reads = ["/survey", "/plan", "/leaks/N1", "/leaks/W2", "/leaks/E1", "/records?after=0", "/day?date=2026-03-01", "/log"];

async function reader(person, until, pause, times) {
  if (pause) await breath(about(pause));
  for (let i = Math.floor(Math.random() * reads.length); performance.now() < until; i++) {
    const path = reads[i % reads.length];
    const answer = await person.ask("GET", "/api/jobs/pump" + path);
    if (answer.code !== 200) throw new Error(`${path}: ${answer.code} ${answer.body}`);
    (times[path.split(/[?]/)[0].replace(/\/leaks.*/, "/leaks/MARK")] ??= []).push(answer.ms);
    if (pause) await breath(about(pause));
  }
}

async function writer(person, mark, until, pause, times) {
  if (pause) await breath(about(pause));
  for (let i = 0; performance.now() < until; i++) {
    let answer;
    if (i % 2) {
      const record = { id: randomUUID(), mark, what: "note", at: new Date().toISOString().slice(0, 19) + "Z", by: "N. N.", device: randomUUID(), seen: 0, text: "load" };
      answer = await person.ask("POST", "/api/jobs/pump/records", { records: [record] });
      (times["POST records"] ??= []).push(answer.ms);
    } else {
      const now = JSON.parse((await person.ask("GET", "/api/jobs/pump/survey")).body);
      const leak = now.survey.defects.find((d) => d.mark === mark);
      const after = { ...leak, notes: [`load ${i}`] };
      answer = await person.ask("POST", "/api/jobs/pump/edit", { changes: [{ what: "defect", key: mark, before: now.hashes.defects[mark], after }] });
      (times["POST edit"] ??= []).push(answer.ms);
    }
    if (answer.code !== 200) throw new Error(`${mark}: ${answer.code} ${answer.body}`);
    if (pause) await breath(about(pause));
  }
}

async function round(people, name, readPause, writePause, length_s) {
  const times = {};
  const begun = performance.now();
  const until = begun + length_s * 1000;
  const marks = ["N1", "N12", "E1", "W1", "C1"];
  await Promise.all(people.map((p, i) => (i < 20 ? reader(p, until, readPause, times) : writer(p, marks[i - 20], until, writePause, times))));
  const took = (performance.now() - begun) / 1000;
  const all = Object.values(times).flat().sort((a, b) => a - b);
  console.log(`\n${name}: ${all.length} calls in ${took.toFixed(1)} s, ${(all.length / took).toFixed(0)} a second`);
  console.log("call                     n      50 %     95 %     99 %    most (ms)");
  for (const [kind, list] of [...Object.entries(times), ["all", all]]) {
    list.sort((a, b) => a - b);
    const row = [quantile(list, 0.5), quantile(list, 0.95), quantile(list, 0.99), list.at(-1)].map((v) => v.toFixed(1).padStart(8));
    console.log(kind.padEnd(20), String(list.length).padStart(6), ...row);
  }
}

/** 25 people: 20 viewers, 5 estimators, the first of whom came by the invitation on the terminal. */
async function gather() {
  const first = new Person();
  await first.join(/[0-9a-f]{32}/.exec(greeting)[0], "estimator 1");
  const people = [];
  for (let i = 0; i < 24; i++) {
    const role = i < 20 ? "viewer" : "estimator";
    const { invitation } = JSON.parse((await first.ask("POST", "/api/people/invite", { role })).body);
    const person = new Person();
    await person.join(invitation, `${role} ${i + 2}`);
    people.push(person);
  }
  return [...people, first];
}

async function plan(person) {
  const { work } = JSON.parse((await person.ask("POST", "/api/jobs/pump/plan", { planes: true })).body);
  while (["waiting", "running"].includes(JSON.parse((await person.ask("GET", `/api/work/${work}`)).body).state)) await breath(50);
  const alone = [];
  for (let i = 0; i < 2000; i++) alone.push((await person.ask("GET", "/api/session")).ms);
  alone.sort((a, b) => a - b);
  console.log(`GET /api/session alone: 50 % ${quantile(alone, 0.5).toFixed(2)} ms, 95 % ${quantile(alone, 0.95).toFixed(2)} ms`);
}

try {
  const people = await gather();
  await plan(people.at(-1));
  await round(people, "20 reading (a call each 200 ms), 5 writing (one a second)", 200, 1000, seconds);
  await round(people, "the same without a breath", 0, 0, Math.min(seconds, 10));
  console.log(`\nmemory of the server at its peak: ${memory_mb().toFixed(0)} MB`);
  for (const person of people) person.agent.destroy();
} finally {
  server.kill("SIGTERM");
  rmSync(folder, { recursive: true, force: true });
}
