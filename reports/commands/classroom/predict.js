"use strict";
// Predict, then see: before anything moves the learner marks which way five readings will go; both engines
// then run, and the next case is one that asks again for what was missed.
const Predict = (() => {
  const at = (id) => document.getElementById(id);
  const FULL = ["metered_air_g_s", "lambda", "boost_kpa", "shaft_krpm", "torque_nm"];
  const IDLE = ["metered_air_g_s", "fuel_trim_pct", "manifold_kpa", "throttle_pct", "lambda"];
  const CRUISE = ["metered_air_g_s", "fuel_trim_pct", "manifold_kpa", "lambda", "torque_nm"];
  const brake = (speed) => ({ load: "held", speed });
  const WAYS = {
    full: { five: FULL, load: brake(3500), pedal: 1, seconds: 30 },
    idle: { five: IDLE, load: { load: "neutral" }, pedal: 0, seconds: 90 },
    cruise: { five: CRUISE, load: brake(2500), pedal: 0.2, seconds: 90 },
  };
  const hole = (place, mm) => ({ leak: [{ place, round_hole: { diameter: `${mm} mm` } }] });
  const split = { leak: [{ place: "cold_pipe", split: { length: "25 mm", reference_opening: "0.8 mm", reference_pressure: "100 kPa gauge" } }] };
  const fault = (key, value) => ({ fault: [{ [key]: value }] });
  // From where the air goes to what only looks like a leak; the words of each stand under its key.
  const CASES = [
    ["split full", "full", split], ["split idle", "idle", split],
    ["gasket idle", "idle", hole("manifold_gasket", 2.5)], ["gasket full", "full", hole("manifold_gasket", 4)],
    ["union cruise", "cruise", hole("breather_union", 5)], ["hot full", "full", hole("hot_pipe", 6)],
    ["meter cruise", "cruise", fault("meter_reads", 0.85)], ["gate full", "full", fault("wastegate_stuck_open", 0.4)],
    ["fuel idle", "idle", fault("fuel_delivery", 0.9)], ["exhaust full", "full", hole("exhaust_manifold", 6)],
  ];
  const MARKS = [["up", "\u2191", 1], ["same", "=", 0], ["down", "\u2193", -1]];
  let engine = null;
  let names = null;
  let made = null;
  let now = 0;
  let marks = [];
  let left = 0;
  const missed = {};
  const seen = new Set();
  const score = [0, 0];

  const element = (tag, set = {}, ...children) => {
    const one = Object.assign(document.createElement(tag), set);
    one.append(...children);
    return one;
  };
  const form = (key) => names.readings.find((one) => one.key === key);
  const value = (which, key) => {
    const numbers = engine.numbers();
    return numbers[which * (numbers.length / 2) + names.readings.indexOf(form(key))];
  };
  const text = (key, number) => Demo.format(number, form(key).decimals);
  const signed = (key, number) => (number > 0 ? `+${text(key, number)}` : text(key, number));
  const the = () => ({ words: WORDS.cases[CASES[now][0]], trouble: CASES[now][2], ...WAYS[CASES[now][1]] });

  const paint = (seconds) => {
    const numbers = engine.numbers();
    const flows = [0, 1].map((which) => {
      const from = which * (numbers.length / 2) + names.readings.length;
      return Object.fromEntries(names.flows.map(({ key }, i) => [key, numbers[from + i]]));
    });
    const [leak] = (seen.has(now) && the().trouble.leak) || [{}];
    Drawing.draw(at("predict-drawing"), {
      sound: flows[0], faulty: flows[1], leak: flows[1].leak, seconds, place: leak.place ?? "",
      counted: value(1, "metered_air_g_s"), real: value(1, "engine_air_g_s"),
    });
    showDangers(at("predict-dangers"), Demo.dangersOf(engine));
  };

  /** Rows to mark. */
  const ask = () => {
    at("predict-says").textContent = the().words;
    marks = the().five.map(() => null);
    at("predict-five").replaceChildren(...the().five.map((key, i) => {
      const buttons = MARKS.map(([name, sign, mark]) => {
        const button = element("button", { type: "button", textContent: sign });
        button.setAttribute("aria-label", `${form(key).label}: ${WORDS.marks[name]}`);
        button.setAttribute("aria-pressed", "false");
        button.addEventListener("click", () => {
          marks[i] = mark;
          for (const other of buttons) other.setAttribute("aria-pressed", String(other === button));
          toMark();
        });
        return button;
      });
      return element("tr", {}, element("th", { scope: "row", textContent: form(key).label }), element("td", { className: "marks" }, ...buttons));
    }));
    at("predict-why").textContent = "";
    for (const [id, on] of [["predict-see", true], ["predict-again", false], ["predict-next", false]]) at(id).hidden = !on;
    toMark();
  };
  const toMark = () => {
    const open = marks.filter((mark) => mark === null).length;
    at("predict-see").disabled = open > 0;
    at("predict-hint").textContent = open ? fill(WORDS["still to mark"], open) : "";
  };
  /** Both engines idling, with nothing wrong. */
  const begin = () => {
    left = 0;
    seen.delete(now);
    engine.trouble("{}");
    engine.drive(JSON.stringify({ load: "neutral" }), 0);
    engine.restart();
    ask();
    paint(0);
  };
  const see = () => {
    seen.add(now);
    engine.trouble(JSON.stringify(the().trouble));
    engine.drive(JSON.stringify(the().load), the().pedal);
    left = the().seconds;
    at("predict-see").disabled = true;
    at("predict-hint").textContent = WORDS["runs now"];
  };
  /** What a reading did: up, down, or less than usual instruments show. */
  const moved = (key) => {
    const [sound, faulty] = [0, 1].map((which) => value(which, key));
    const { absolute, share } = form(key);
    return Math.abs(faulty - sound) > 2 * Math.hypot(absolute, share * sound) ? Math.sign(faulty - sound) : 0;
  };
  const sign = (mark) => MARKS.find((one) => one[2] === mark)[1];
  const tell = () => {
    const { five } = the();
    const right = five.map((key, i) => moved(key) === marks[i]);
    five.forEach((key, i) => { if (!right[i]) missed[key] = (missed[key] ?? 0) + 1; });
    const hits = right.filter(Boolean).length;
    score[0] += hits;
    score[1] += five.length;
    at("predict-says").textContent = fill(WORDS["so many right"], hits, five.length, ...score);
    at("predict-five").replaceChildren(...five.map((key, i) => {
      const [sound, faulty] = [0, 1].map((which) => value(which, key));
      const head = element("th", { scope: "row", textContent: `${right[i] ? "\u2713" : "\u2717"} ${form(key).label}` });
      const told = right[i] ? "" : fill(WORDS["you said"], sign(marks[i]));
      const did = `${sign(moved(key))} ${signed(key, faulty - sound)} ${form(key).unit}`;
      const small = element("small", { className: "unit", textContent: [fill(WORDS["of healthy"], text(key, sound)), told].filter(Boolean).join("; ") });
      return element("tr", { className: right[i] ? "" : "missed" }, head, element("td", { className: "n" }, did, element("br"), small));
    }));
    at("predict-why").textContent = engine.why();
    at("predict-hint").textContent = "";
    at("predict-see").hidden = true;
    at("predict-again").hidden = false;
    at("predict-next").hidden = false;
    at("predict-next").textContent = WORDS[next() === null ? "from the start" : "next case"];
    at("predict-next").focus();
  };
  /** The case not seen yet that asks most for what was missed; the next in order where all ask alike. */
  const next = () => {
    const asks = (i) => WAYS[CASES[i][1]].five.reduce((sum, key) => sum + (missed[key] ?? 0), 0);
    const open = CASES.map((_, i) => i).filter((i) => !seen.has(i));
    return open.length ? open.reduce((best, i) => (asks(i) > asks(best) ? i : best)) : null;
  };
  const goOn = () => {
    const then = next();
    if (then === null) seen.clear();
    now = then ?? 0;
    begin();
  };
  const frame = () => {
    requestAnimationFrame(frame);
    if (at("predict").hidden || left <= 0) return;
    const seconds = Math.min(0.5, left);
    engine.advance(seconds);
    left -= seconds;
    paint(seconds / 10);
    if (left <= 0) tell();
  };
  /** Made when it is first asked for: two more engines are not free. */
  const show = () => {
    if (engine) return;
    engine = new wasm_bindgen.PageEngine(made);
    at("predict-see").addEventListener("click", see);
    at("predict-again").addEventListener("click", begin);
    at("predict-next").addEventListener("click", goOn);
    begin();
    requestAnimationFrame(frame);
  };
  const start = (vehicle, catalogue) => {
    made = vehicle;
    names = catalogue;
  };
  return { start, show };
})();
