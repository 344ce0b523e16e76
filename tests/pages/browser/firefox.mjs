// The same steps in Firefox, over its own protocol (WebDriver BiDi, W3C): from an empty page to what
// fits, a test, a part, the record. Exit code 1 if anything is wrong.
//   node --experimental-websocket firefox.mjs FIREFOX BAY.html
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { CASES } from "./bay-cases.mjs";

const [program, file] = process.argv.slice(2);
const profile = mkdtempSync(join(tmpdir(), "bay-firefox-"));
const browser = spawn(program, ["--headless", "--no-remote", "--profile", profile, "--remote-debugging-port", "0"], { stdio: ["ignore", "ignore", "pipe"] });
const wrong = [];
const address = await new Promise((done, failed) => {
  let said = "";
  browser.stderr.on("data", (data) => { said += data; const found = said.match(/WebDriver BiDi listening on (ws:\/\/\S+)/); if (found) done(found[1]); });
  browser.on("exit", () => failed(new Error(`it ended: ${said.slice(-400)}`)));
  setTimeout(() => failed(new Error("it does not start")), 60000);
});
const socket = new WebSocket(`${address}/session`);
await new Promise((done) => { socket.onopen = done; });
let last = 0;
const waiting = new Map();
socket.onmessage = ({ data }) => {
  const message = JSON.parse(data);
  if (message.method === "log.entryAdded" && ["error", "warn"].includes(message.params.level)) wrong.push(`console: ${message.params.text}`);
  if (message.method === "network.beforeRequestSent" && !/^(file|data|blob|about|resource|chrome):/.test(message.params.request.url)) wrong.push(`asks for ${message.params.request.url}`);
  waiting.get(message.id)?.(message);
};
const send = (method, params) => new Promise((done, failed) => {
  last += 1;
  waiting.set(last, (message) => (message.type === "error" ? failed(new Error(`${method}: ${message.message}`)) : done(message.result)));
  socket.send(JSON.stringify({ id: last, method, params }));
});

/** One job, done in the page: what is tapped is clicked, what is typed goes into the fields. */
async function work(one) {
  const found = (name) => document.querySelector(`[data-focus="${name}"]`);
  const until = async (fact, words) => { for (let i = 0; i < 900; i += 1) { const value = fact(); if (value) return value; await new Promise((done) => setTimeout(done, 100)); } throw new Error(`waits for ${words}: ${document.querySelector("h1").textContent}`); };
  const tap = async (name) => (await until(() => found(name), name)).click();
  const says = () => document.querySelector("h1").textContent;
  const type = (prefix, values) => { for (const [key, value] of Object.entries(values)) { const field = document.getElementById(`${prefix}-${key}`); field.focus(); field.value = value; field.dispatchEvent(new Event("input", { bubbles: true })); } };
  await until(() => document.documentElement.dataset.ready, "the page");
  await tap("main");
  await tap("demo");
  await until(() => /is ready/.test(says()), "the car");
  await tap("main");
  for (const word of one.felt) await tap(word);
  await tap("main");
  for (const [name, values] of Object.entries(one.read)) { await tap(`tab-${name}`); type("read", values); }
  const began = performance.now();
  await tap("main");
  // The first suspects stand before the whole answer does.
  await until(() => document.querySelector(".bars") && !document.querySelector(".busy"), "an answer");
  const took = performance.now() - began;
  const fits = says();
  await tap("main");
  await tap("main");
  for (let i = 0; i < 40 && !document.querySelector(".results"); i += 1) await tap("main");
  const gauge = document.querySelector("#gauge-time, #gauge-flow");
  if (!gauge) await tap(found(`found-${one.found}`) ? `found-${one.found}` : found("found-nothing") ? "found-nothing" : "type-these");
  await tap("where");
  await tap("path-part");
  await tap(`part-${one.part.which}`);
  type(`part-${one.part.which}`, one.part.values);
  await tap("work");
  await until(() => new RegExp(one.partSays, "i").test(says()), "the part");
  await tap("where");
  await tap("path-after");
  for (const [name, values] of Object.entries(one.after)) { await tap(`tab-${name}`); type("after", values); }
  await tap("codes-after");
  await tap("main");
  await until(() => document.querySelector(".right > .band"), "the record");
  return JSON.stringify({ fits, took, after: says(), record: document.getElementById("record").textContent.length });
}

try {
  await send("session.new", { capabilities: {} });
  await send("session.subscribe", { events: ["log.entryAdded", "network.beforeRequestSent"] });
  const { context } = await send("browsingContext.create", { type: "tab" });
  for (const one of CASES.filter(({ name }) => ["gasket", "hard-ring"].includes(name))) {
    await send("browsingContext.navigate", { context, url: pathToFileURL(resolve(file)).href, wait: "complete" });
    const asked = JSON.stringify({ ...one, partSays: one.part.says.source });
    await send("script.evaluate", { expression: "localStorage.clear(); location.reload();", target: { context }, awaitPromise: false });
    await new Promise((done) => { setTimeout(done, 3000); });
    const reply = await send("script.evaluate", { expression: `(${work})(${asked})`, target: { context }, awaitPromise: true });
    if (reply.type !== "success") { wrong.push(`${one.name}: ${reply.exceptionDetails?.text}`); continue; }
    const told = JSON.parse(reply.result.value);
    if (!one.fits.test(told.fits)) wrong.push(`${one.name}: ${told.fits}`);
    if (!/No fault shows/.test(told.after) || told.record < 300) wrong.push(`${one.name}: ${told.after}, a record of ${told.record} letters`);
    console.log(`firefox, ${one.name}: "${told.fits}" after ${told.took.toFixed(0)} ms`);
  }
} catch (problem) { wrong.push(problem.message); }
browser.kill();
rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 300 });
for (const words of wrong) console.log(`  ${words}`);
console.log(`firefox: ${wrong.length ? `${wrong.length} faults` : "nothing wrong"}`);
process.exit(wrong.length ? 1 : 0);
