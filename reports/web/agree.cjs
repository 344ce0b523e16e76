// The page's engine against the program on the cases of `examples/cases.rs`.
//   node agree.cjs CASES.json FOLDER ...   (folders with engine.js and engine_bg.wasm.gz)
// Exit code 1 where a reading differs by more than 1e-9 of its size.
"use strict";
const { readFileSync } = require("node:fs");
const { gunzipSync } = require("node:zlib");
const { join } = require("node:path");

const WITHIN = 1e-9;
// Readings that count from a zero of people's own are compared from nature's: shares of a
// whole, gauge pressures with the air's own, degrees from absolute zero, the crank's with its work.
const FROM = [[/_pct$/, 100], [/_kpa$/, 100], [/_psi$/, 14.5], [/_c$/, 273], [/_nm$/, 100], [/_kw$/, 10], [/_g_s$/, 1], [/_deg$/, 10], [/./, 1e-3]];
const least = (key) => FROM.find(([form]) => form.test(key))[1];
const { vehicle, cases } = JSON.parse(readFileSync(process.argv[2], "utf8"));

function engine(folder) {
  const script = readFileSync(join(folder, "engine.js"), "utf8");
  const bindings = new Function(`${script}; return wasm_bindgen;`)();
  bindings.initSync({ module: gunzipSync(readFileSync(join(folder, "engine_bg.wasm.gz"))) });
  return bindings;
}

let bad = 0;
for (const folder of process.argv.slice(3)) {
  const { steady } = engine(folder);
  let worst = { apart: 0 };
  let count = 0;
  let without = 0;
  const start = performance.now();
  for (const [i, { scenario, answer }] of cases.entries()) {
    const shown = JSON.parse(steady(vehicle, JSON.stringify(scenario)));
    for (const side of ["healthy", "faulty"]) {
      const [a, b] = [answer, shown].map((all) => all.points[0][side]);
      if (!a !== !b) {
        console.log(`case ${i}, ${side}: ${a ? "only the program" : "only the page"} has an answer`);
        bad += 1;
        continue;
      }
      if (!a) without += 1;
      for (const key of Object.keys(a ?? {})) {
        const [x, y] = [a[key], b[key]];
        const apart = x === y ? 0 : Math.abs(x - y) / Math.max(Math.abs(x), Math.abs(y), least(key));
        count += 1;
        if (apart > worst.apart) worst = { apart, where: `case ${i}, ${side}, ${key}: ${x} and ${y}` };
      }
    }
  }
  const ok = worst.apart <= WITHIN;
  if (!ok) bad += 1;
  const time = (performance.now() - start).toFixed(0);
  console.log(`${cases.length} scenarios, ${count} readings, ${without} sides without an answer in both, ${time} ms`);
  console.log(`  largest difference ${worst.apart.toExponential(1)} of the reading ${worst.where ? `(${worst.where})` : ""}: ${ok ? "agrees" : "TOO FAR APART"}`);
}
process.exit(bad ? 1 : 0);
