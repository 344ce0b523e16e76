"use strict";
// The engine, in a worker beside the page: the page stays alive while it works, and a question can
// be called off.
const Engine = (() => {
  const at = (id) => document.getElementById(id).textContent.trim();
  const work = () => `${at("engine")}
    const ready = (async () => {
      const packed = await new Promise((done) => { addEventListener("message", ({ data }) => done(data), { once: true }); });
      const bytes = Uint8Array.from(atob(packed), (c) => c.charCodeAt(0));
      const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
      wasm_bindgen.initSync({ module: await new Response(stream).arrayBuffer() });
      postMessage({ ready: true });
    })().catch((problem) => postMessage({ broken: String(problem) }));
    // What is known of an answer that takes longer.
    globalThis.falseairFirst = (first) => postMessage({ first });
    addEventListener("message", async ({ data }) => {
      if (!data.question) return;
      await ready;
      try { postMessage({ reply: wasm_bindgen.ask(data.question, data.files) }); } catch (problem) { postMessage({ broken: String(problem) }); }
    });`;
  let worker = null;
  let started = null;
  // One question at a time; others wait in line.
  let current = null;
  // Why it does not start in this browser, if it does not.
  let dead = null;
  const waiting = [];
  const began = performance.now();

  const start = () => {
    const own = new Worker(URL.createObjectURL(new Blob([work()], { type: "text/javascript" })));
    worker = own;
    worker.onmessage = ({ data }) => {
      // What one that was called off had sent before: it is no answer to the question that stands now.
      if (worker !== own) return;
      if (data.ready) { started = performance.now() - began; document.documentElement.dataset.engine = "ready"; return; }
      if (data.broken && started === null) {
        dead = { wrong: { message: say("engine broken", data.broken), broken: true } };
        const off = [current, ...waiting.splice(0)].filter(Boolean);
        current = null;
        for (const one of off) one.done(dead);
        return;
      }
      if (data.first) {
        const { tried, answer, look } = JSON.parse(data.first);
        current?.first(answer ? JSON.parse(answer) : null, tried, look);
        return;
      }
      const asked = current;
      current = null;
      const reply = data.broken ? { wrong: { message: data.broken, broken: true } } : JSON.parse(data.reply);
      // What stops the engine leaves it unfit for more.
      if (data.broken) { worker.terminate(); start(); }
      asked?.done(reply);
      next();
    };
    worker.postMessage(at("engine-bytes"));
    next();
  };
  const next = () => {
    // The engine stands at the end of the page: who is quicker waits.
    if (!worker || current || !waiting.length) return;
    current = waiting.shift();
    worker.postMessage({ question: JSON.stringify(current.question), files: JSON.stringify(current.files) });
  };
  /** Asks; the answer as parsed JSON under `answer`, or what is wrong under `wrong`; `first` is given what
      is known of it before, or how many faults have been tried, and of how many; a first look at a long log comes with how much of it. */
  const ask = (question, files = {}, first = () => {}) => new Promise((done) => {
    const told = (reply) => {
      let answer = reply.answer;
      if (typeof answer === "string" && answer.startsWith("{")) answer = JSON.parse(answer);
      done({ ...reply, answer });
    };
    if (dead) { told(dead); return; }
    waiting.push({ question, files, first, done: told });
    next();
  });
  /** Calls off what is being worked out and all that waits. */
  const cancel = () => {
    const off = [current, ...waiting.splice(0)].filter(Boolean);
    if (current) {
      current = null;
      worker.terminate();
      start();
    }
    for (const one of off) one.done({ wrong: { message: "", cancelled: true } });
  };
  return { start, ask, cancel, busy: () => Boolean(current), started: () => started };
})();
