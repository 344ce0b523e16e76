// What the bay page's engine answers against the program, on the jobs of `door/examples/questions.rs`.
//   node answers.cjs JOBS.json FOLDER ...   (folders with engine.js and engine_bg.wasm.gz)
// Exit code 1 where an answer says anything else: other words, another order, a probability that differs
// by more than 1e-6 (as printed), or another number by more than its last printed digit.
"use strict";
const { readFileSync } = require("node:fs");
const { gunzipSync } = require("node:zlib");
const { join } = require("node:path");

// A number may fall on the other side of a half, and then differs by its last printed digit.
const WITHIN = 1.1e-3;
const SMALL = 1e-6;
// Wanted of probabilities (the last digit of what is subtracted aside). They are printed to four digits: one may
// fall on the other side of a half, but seldom, for one in a thousand is what a difference of a ten-millionth of
// them would bring about.
const PROBABLE = 1.000001e-6;
const FLIPPED = 1 / 1000;
const digit = (x) => 10 ** (Math.floor(Math.log10(Math.abs(x))) - 3);
/** The finest digit that two numbers are printed with. */
const printed = (...all) => Math.min(...all.map((x) => {
  const [, decimals = "", power = "0"] = String(x).match(/^-?\d+\.?(\d*)(?:e(.*))?$/);
  return 10 ** (Number(power) - decimals.length);
}));
const jobs = JSON.parse(readFileSync(process.argv[2], "utf8"));

// What fits before pairs and tests are worked out: it names the same faults.
let first = null;
globalThis.falseairFirst = (told) => { const { answer } = JSON.parse(told); if (answer) first = JSON.parse(answer); };

function engine(folder) {
  const script = readFileSync(join(folder, "engine.js"), "utf8");
  const bindings = new Function(`${script}; return wasm_bindgen;`)();
  bindings.initSync({ module: gunzipSync(readFileSync(join(folder, "engine_bg.wasm.gz"))) });
  return bindings;
}

const numbers = /[-\u2212]?\d+\.?\d*(?:e[-+]?\d+)?/g;
/** The first place where two answers part, and by how much numbers differ at most. */
function apart(a, b, path = "") {
  if (typeof a === "number" && typeof b === "number") {
    const by = a === b || Math.abs(a - b) <= SMALL ? 0 : Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b));
    const flip = Math.abs(a - b) < 1.01 * printed(a, b);
    return { by, where: by > WITHIN && !flip ? `${path}: ${a} and ${b}` : null };
  }
  // Numbers within a sentence are rounded further.
  if (typeof a === "string" && typeof b === "string") {
    return { by: 0, where: a === b || a.replace(numbers, "#") === b.replace(numbers, "#") ? null : `${path}: "${a}" and "${b}"` };
  }
  if (a === null || b === null || typeof a !== "object" || typeof b !== "object") return { by: 0, where: a === b ? null : `${path}: ${a} and ${b}` };
  let by = 0;
  for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
    const found = apart(a[key] ?? null, b[key] ?? null, `${path}/${key}`);
    if (found.where) return found;
    by = Math.max(by, found.by);
  }
  return { by, where: null };
}

let bad = 0;
for (const folder of process.argv.slice(3)) {
  const { ask } = engine(folder);
  let most = 0;
  let probability = 0;
  let compared = 0;
  let flipped = 0;
  let longest = 0;
  for (const [i, { question, files, answer }] of jobs.entries()) {
    const start = performance.now();
    first = null;
    const given = JSON.parse(ask(question, files));
    longest = Math.max(longest, performance.now() - start);
    const [own, page] = [answer, given].map((one) => one.answer ? JSON.parse(one.answer) : one);
    const found = apart(own, page);
    most = Math.max(most, found.by);
    for (const [k, one] of (own.hypotheses ?? []).entries()) {
      const off = Math.abs(one.probability - (page.hypotheses?.[k]?.probability ?? 2));
      if (off > PROBABLE && off < 1.01 * digit(one.probability)) flipped += 1;
      else if (!(off <= PROBABLE)) { bad += 1; console.log(`job ${i}: ${one.name}: ${one.probability} and ${page.hypotheses?.[k]?.probability}`); }
      probability = Math.max(probability, off);
      compared += 1;
    }
    if (given.answer && !first?.hypotheses.length) { bad += 1; console.log(`job ${i}: nothing is told first`); }
    if (found.where) { bad += 1; console.log(`job ${i}${found.where}`); }
  }
  if (flipped > 1 + FLIPPED * compared) { bad += 1; console.log(`${flipped} of ${compared} probabilities are printed otherwise`); }
  console.log(`${jobs.length} diagnoses: numbers differ by at most ${most.toExponential(1)}, ${compared} probabilities by ${probability.toExponential(1)}, ${flipped} in their last printed digit; the longest took ${longest.toFixed(0)} ms`);
}
process.exit(bad ? 1 : 0);
