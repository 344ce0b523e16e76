"use strict";
// Predict, then see: before anything moves the learner marks which way five readings will go; both engines
// then run, and the next case is one that asks again for what was missed.
const Predict = (() => {
  const at = (id) => document.getElementById(id);
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  // Where the air is counted by pressure the idle governor has room to close the throttle; where a meter
  // counts it the throttle is nearly shut already, and speed tells more.
  const FIVE = {
    full: () => ["metered_air_g_s", "lambda", "boost_kpa", "wastegate_solenoid_duty_pct", "torque_nm"],
    idle: (meter) => ["metered_air_g_s", "fuel_trim_pct", "manifold_kpa", meter ? "engine_speed_rpm" : "throttle_pct", "lambda"],
    cruise: () => ["metered_air_g_s", "fuel_trim_pct", "manifold_kpa", "lambda", "torque_nm"],
  };
  // Seconds until what is learnt by the trim stands, too.
  const WAYS = {
    full: { load: { load: "held", speed: 3500 }, pedal: 1, seconds: 30 },
    idle: { load: { load: "neutral" }, pedal: 0, seconds: 90 },
    cruise: { load: { load: "held", speed: 2500 }, pedal: 0.2, seconds: 90 },
  };
  const hole = (place) => (mm) => ({ leak: [{ place, round_hole: { diameter: `${mm} mm` } }] });
  const split = (mm) => ({ leak: [{ place: "cold_pipe", split: { length: `${mm} mm`, reference_opening: "0.8 mm", reference_pressure: "100 kPa gauge" } }] });
  const fault = (key) => (value) => ({ fault: [{ [key]: value }] });
  // Which case, how it is driven, what is wrong, its size with a meter and without one: only where the
  // answer differs from case to case, and is clear of what instruments can tell. The words of each stand
  // under its key.
  const CASES = [
    ["split full", "full", split, 70, 70], ["split idle", "idle", split, 70, 70],
    ["gasket idle", "idle", hole("manifold_gasket"), 1.5, 2.5], ["gasket cruise", "cruise", hole("manifold_gasket"), 4, 4],
    ["gasket full", "full", hole("manifold_gasket"), 4, null], ["union cruise", "cruise", hole("breather_union"), 10, null],
    ["meter cruise", "cruise", fault("meter_reads"), 0.85, null], ["signal full", "full", hole("wastegate_signal"), 1, 1],
    ["fuel idle", "idle", fault("fuel_delivery"), 0.9, 0.9], ["fuel full", "full", fault("fuel_delivery"), 0.8, 0.8],
    ["exhaust full", "full", hole("exhaust_manifold"), 12, 12],
  ];
  const MARKS = [["up", "\u2191", 1], ["same", "=", 0], ["down", "\u2193", -1]];
  /** Frames until both have run to rest; what the drawn air moves in one, s. */
  const FRAMES = 90;
  const DRAWN = 1 / 60;
  let engine = null;
  let names = null;
  let made = null;
  let meter = true;
  let cases = [];
  let now = 0;
  let marks = [];
  let left = 0;
  let put = false;
  let numbers = null;
  let asked = 0;
  const missed = {};
  const seen = new Set();
  const counted = new Set();
  const score = [0, 0];

  const element = (tag, set = {}, ...children) => {
    const one = Object.assign(document.createElement(tag), set);
    one.append(...children);
    return one;
  };
  /** A sign that is read out as a word. */
  const sign = (text, words) => {
    const one = element("span", { className: "sign", textContent: text });
    one.setAttribute("role", "img");
    one.setAttribute("aria-label", words);
    return one;
  };
  const form = (key) => names.readings.find((one) => one.key === key);
  const label = (key) => (key === "metered_air_g_s" && !meter ? WORDS["air by pressure"] : form(key).label);
  const half = () => numbers.length / 2;
  const value = (which, key) => numbers[which * half() + names.readings.indexOf(form(key))];
  const runs = (which) => numbers[(which + 1) * half() - 2] > 0;
  const text = (key, number) => Demo.format(number, form(key).decimals);
  const signed = (key, number) => (Number(number.toFixed(form(key).decimals)) > 0 ? `+${text(key, number)}` : text(key, number));
  const five = () => FIVE[cases[now].way](meter);
  const way = () => WAYS[cases[now].way];

  const paint = (seconds) => {
    numbers = engine.numbers();
    const view = Seen.of(names, numbers);
    const [wrong] = cases[now].trouble.leak ?? cases[now].trouble.fault;
    const place = wrong.place ?? "";
    // Ringed before it is seen; what leaks then shows itself.
    const about = put && place ? "" : place || Object.keys(wrong)[0];
    Drawing.draw(at("predict-drawing"), { ...view, leak: view.faulty.leak, seconds, place: put ? place : "", about, moved: put && left <= 0 ? view.moved() : [] });
    const [read, real, lost] = [value(1, "metered_air_g_s"), value(1, "engine_air_g_s"), view.faulty.leak].map((one) => Math.abs(one).toFixed(2));
    at("predict-air").textContent = put ? fill(WORDS["counted and real"], read, real) : "";
    Drawing.label(at("predict-drawing"), fill(WORDS.seen, read, real, lost, view.faulty.leak >= 0 ? WORDS.in : WORDS.out));
    showDangers(at("predict-dangers"), Demo.dangersOf(engine));
  };
  /** One main button, and what stands beside it. */
  const offer = (ids) => {
    for (const id of ["predict-see", "predict-next", "predict-again"]) at(id).hidden = !ids.includes(id);
  };

  const row = (key, i) => {
    const buttons = MARKS.map(([name, arrow, mark]) => {
      const button = element("button", { type: "button", textContent: arrow });
      button.setAttribute("aria-label", `${label(key)}: ${WORDS.marks[name]}`);
      button.setAttribute("aria-pressed", "false");
      button.addEventListener("click", () => {
        marks[i] = mark;
        for (const other of buttons) other.setAttribute("aria-pressed", String(other === button));
        toMark();
      });
      return button;
    });
    return element("tr", {}, element("th", { scope: "row", textContent: label(key) }), element("td", { className: "marks" }, ...buttons));
  };
  const ask = () => {
    at("predict-says").textContent = `${cases[now].words} ${WORDS["which way"]}`;
    marks = five().map(() => null);
    at("predict-five").replaceChildren(...five().map(row));
    at("predict-why").textContent = "";
    offer(["predict-see"]);
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
    put = false;
    engine.trouble("{}");
    engine.drive(JSON.stringify({ load: "neutral" }), 0);
    engine.restart();
    ask();
    paint(0);
    toTop();
  };
  const see = () => {
    put = true;
    seen.add(now);
    engine.trouble(JSON.stringify(cases[now].trouble));
    engine.drive(JSON.stringify(way().load), way().pedal);
    left = FRAMES;
    for (const button of at("predict").querySelectorAll("button")) button.disabled = true;
    at("predict-hint").textContent = WORDS["runs now"];
    run();
  };

  /** What a reading did: up, down, or less than usual instruments show. */
  const moved = (key) => {
    const [sound, faulty] = [0, 1].map((which) => value(which, key));
    const { absolute, share } = form(key);
    return Math.abs(faulty - sound) > 2 * Math.hypot(absolute, share * sound) ? Math.sign(faulty - sound) : 0;
  };
  const markOf = (mark) => MARKS.find((one) => one[2] === mark);
  const told = (key, i) => {
    const right = moved(key) === marks[i];
    const [sound, faulty] = [0, 1].map((which) => value(which, key));
    const [did, arrow] = markOf(moved(key));
    const apart = ` ${signed(key, faulty - sound)} ${form(key).unit}`;
    const notes = [fill(WORDS["of healthy"], text(key, sound))];
    if (!right) notes.push(fill(WORDS["you said"], WORDS.said[markOf(marks[i])[0]]));
    const small = element("small", { className: "unit", textContent: notes.join("; ") });
    const verdict = sign(right ? "\u2713" : "\u2717", WORDS[right ? "as marked" : "missed"]);
    const head = element("th", { scope: "row" }, verdict, ` ${label(key)}`, element("br"), small);
    return element("tr", { className: right ? "" : "missed" }, head, element("td", { className: "n" }, sign(arrow, WORDS.marks[did]), apart));
  };
  /** Only the first try counts: the second is known. What was marked rightly is asked for less. */
  const count = (right) => {
    five().forEach((key, i) => { missed[key] = Math.max(0, (missed[key] ?? 0) + (right[i] ? -1 : 1)); });
    if (counted.has(now)) return;
    counted.add(now);
    score[0] += right.filter(Boolean).length;
    score[1] += right.length;
  };
  const tell = () => {
    const right = five().map((key, i) => moved(key) === marks[i]);
    if (runs(0) && runs(1)) {
      count(right);
      at("predict-says").textContent = fill(WORDS["so many right"], right.filter(Boolean).length, right.length, ...score, cases[now].words);
      at("predict-five").replaceChildren(...five().map(told));
    } else {
      at("predict-says").textContent = WORDS["no score"];
      at("predict-five").replaceChildren();
    }
    at("predict-why").textContent = engine.why();
    const then = next();
    const again = then === null ? [] : FIVE[cases[then].way](meter).filter((key) => missed[key]);
    at("predict-hint").textContent = again.length ? fill(WORDS["asks again"], again.map(label).join(", ")) : "";
    at("predict-next").textContent = WORDS[then === null ? "from the start" : "next case"];
    for (const button of at("predict").querySelectorAll("button")) button.disabled = false;
    offer(["predict-next", "predict-again"]);
    at("predict-next").focus({ preventScroll: true });
    toTop();
  };
  /** On a small screen the sentence, and a danger before it, would stand above the window. */
  const toTop = () => {
    if (at("predict").getBoundingClientRect().top < 0) at("predict").scrollIntoView();
  };

  /** The case not seen yet that asks most for what was missed; the next in order where all ask alike. */
  const next = () => {
    const asks = (i) => FIVE[cases[i].way](meter).reduce((sum, key) => sum + (missed[key] ?? 0), 0);
    const open = cases.map((_, i) => i).filter((i) => !seen.has(i));
    return open.length ? open.reduce((best, i) => (asks(i) > asks(best) ? i : best)) : null;
  };
  const goOn = () => {
    const then = next();
    if (then === null) {
      seen.clear();
      counted.clear();
      score.fill(0);
    }
    now = then ?? 0;
    again();
  };
  const again = () => {
    begin();
    at("predict-five").querySelector("button").focus({ preventScroll: true });
  };

  // No frame is asked for while another part is on show, nor for standing air where motion is not wanted.
  const frame = () => {
    asked = 0;
    if (at("predict").hidden) return;
    if (left > 0) engine.advance(way().seconds / FRAMES);
    left = Math.max(0, left - 1);
    paint(still.matches ? 0 : DRAWN);
    if (put && left <= 0 && !at("predict-see").hidden) tell();
    run();
  };
  const run = () => {
    if (!asked && put && (left > 0 || !still.matches)) asked = requestAnimationFrame(frame);
  };
  /** Made when it is first asked for: two more engines are not free. */
  const show = () => {
    if (engine) {
      paint(0);
      run();
      return;
    }
    engine = new wasm_bindgen.PageEngine(made);
    at("predict-see").addEventListener("click", see);
    at("predict-again").addEventListener("click", again);
    at("predict-next").addEventListener("click", goOn);
    addEventListener("resize", () => { if (!at("predict").hidden) paint(0); });
    begin();
  };
  const start = (vehicle, catalogue) => {
    made = vehicle;
    names = catalogue;
    meter = JSON.parse(vehicle).metering === "air_flow_meter";
    cases = CASES.map(([key, way, trouble, ...sizes]) => ({ key, way, trouble, size: sizes[meter ? 0 : 1] }))
      .filter(({ size }) => size !== null)
      .map(({ key, way, trouble, size }) => ({ way, trouble: trouble(size), words: fill(WORDS.cases[key], size) }));
  };
  return { start, show };
})();
