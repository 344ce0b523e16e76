"use strict";
// The demonstration: both engines run, people change what they like, everything is shown.
const Demo = (() => {
  const at = (id) => document.getElementById(id);
  const SHOWN = [
    "engine_speed_rpm", "metered_air_g_s", "engine_air_g_s", "metering_error_pct", "lambda", "lambda_sensor",
    "short_trim_pct", "long_trim_pct", "boost_kpa", "boost_psi", "manifold_kpa", "intake_temp_c", "shaft_krpm",
    "wastegate_pct", "wastegate_solenoid_duty_pct", "throttle_pct", "torque_nm", "fuel_g_s", "vehicle_speed_km_h", "exhaust_temp_c",
  ];
  const mm = (value) => `${value} mm`;
  // What the slider moves, from where to where, and what it makes of the shape.
  const SHAPES = {
    round_hole: ["diameter", 0.3, 20, 3, (v) => ({ diameter: mm(v) })],
    slot: ["gap", 0.03, 3, 0.3, (v) => ({ gap: mm(v), length: "20 mm", depth: "3 mm" })],
    bowed_cover: ["gap", 0.03, 2, 0.4, (v) => ({ gap: mm(v), spans: 4, span_length: "20 mm", depth: "3 mm" })],
    ring_gap: ["clearance", 0.02, 1.5, 0.15, (v) => ({ pipe_diameter: "10 mm", bore_diameter: mm(10 + 2 * v), depth: "2 mm" })],
    split: ["length", 2, 120, 25, (v) => ({ length: mm(v), reference_opening: "0.8 mm", reference_pressure: "100 kPa gauge" })],
  };
  /** Seconds of engine time in a trace; points kept of it at most. */
  const TRACE = 20;
  const POINTS = 1000;
  /** A boost that moves by less, kPa, in so long, s, has settled; slow motion lasts so long, s. */
  const [STILL, SETTLES, SHORTEST, LONGEST] = [1, 0.5, 1, 8];
  let engine = null;
  let names = null;
  let rows = [];
  let held = false;
  let pace = 1;
  let playing = null;
  const past = [];
  const ledger = [];
  const measure = { frames: 0, busy: 0, run: 0, since: 0 };

  const option = (value, words) => {
    const one = document.createElement("option");
    one.value = value;
    one.textContent = words;
    return one;
  };
  const plain = (key) => key.replaceAll("_", " ");
  const meaning = (doc) => doc.slice(doc.indexOf(":") + 1).trim();
  const faultKey = ({ key, way }) => (way ? `${key}_${way}` : key);
  const faultOf = (key) => names.faults.find((one) => faultKey(one) === key);
  /** How bad, from a healthy car at the left end to as bad as it gets. */
  const severity = (fault) => fault.sound + (Number(at("size").value) / 1000) * (fault.worst - fault.sound);
  const inKpa = (fault) => fault.dimension === "PressureDifference";
  /** A slider's place (0 to 1000) to a size and back, by equal ratios. */
  const size = (place, low, high) => Number((low * (high / low) ** (place / 1000)).toPrecision(2));
  const place = (value, low, high) => Math.round((1000 * Math.log(value / low)) / Math.log(high / low));

  const setUpChoices = () => {
    const what = at("what");
    what.append(option("", WORDS.nothing));
    const leaks = document.createElement("optgroup");
    leaks.label = WORDS.leak;
    for (const { key } of names.places) leaks.append(option(`leak:${key}`, plain(key)));
    const faults = document.createElement("optgroup");
    faults.label = WORDS.fault;
    for (const one of names.faults) faults.append(option(`fault:${faultKey(one)}`, one.name));
    what.append(leaks, faults);
    for (const key of Object.keys(SHAPES)) at("shape").append(option(key, WORDS.shapes[key]));
    for (const key of Object.keys(WORDS.loads)) at("load").append(option(key, WORDS.loads[key]));
    for (let gear = 1; gear <= 6; gear += 1) at("gear").append(option(String(gear), String(gear)));
    at("gear").value = "3";
  };

  const setUpTable = () => {
    const body = at("readings");
    rows = SHOWN.map((key) => {
      const index = names.readings.findIndex((one) => one.key === key);
      const form = names.readings[index];
      const row = document.createElement("tr");
      const head = document.createElement("th");
      head.scope = "row";
      head.textContent = form.label;
      const cells = [0, 1, 2].map(() => Object.assign(document.createElement("td"), { className: "n" }));
      const chart = document.createElement("canvas");
      chart.setAttribute("aria-hidden", "true");
      const [last, range] = ["chart", "unit range"].map((className) => Object.assign(document.createElement("td"), { className }));
      last.append(chart);
      range.textContent = form.unit;
      row.append(head, ...cells, last, range);
      body.append(row);
      return { index, form, cells, chart, range, key };
    });
    for (const key of Object.keys(WORDS.flows)) {
      const row = document.createElement("tr");
      const head = Object.assign(document.createElement("th"), { scope: "row", textContent: WORDS.flows[key] });
      const cells = [0, 1].map(() => Object.assign(document.createElement("td"), { className: "n" }));
      row.append(head, ...cells);
      at("ledger").append(row);
      ledger.push({ key, cells });
    }
  };

  /** The fault that is chosen, as in a scenario file. */
  const trouble = () => {
    const [kind, key] = at("what").value.split(":");
    if (kind === "leak") {
      const shape = at("shape").value;
      const [, low, high, , make] = SHAPES[shape];
      return { leak: [{ place: key, [shape]: make(size(Number(at("size").value), low, high)) }] };
    }
    if (kind === "fault") {
      const fault = faultOf(key);
      const value = severity(fault);
      return { fault: [{ [fault.key]: inKpa(fault) ? `${(value / 1000).toFixed(1)} kPa` : Number(value.toFixed(3)) }] };
    }
    return {};
  };
  const sizeWords = () => {
    const [kind, key] = at("what").value.split(":");
    if (kind === "leak") {
      const [name, low, high] = SHAPES[at("shape").value];
      return [WORDS.sizes[name], String(size(Number(at("size").value), low, high))];
    }
    if (kind !== "fault") return [WORDS.size, ""];
    const fault = faultOf(key);
    const value = severity(fault);
    return [meaning(fault.doc), inKpa(fault) ? `${(value / 1000).toFixed(1)} kPa` : value.toFixed(2)];
  };

  const say = (message) => {
    at("problem").textContent = message;
    at("problem").hidden = !message;
  };
  const attempt = (act) => {
    try {
      act();
      say("");
    } catch (problem) {
      say(String(problem));
    }
  };
  const showChoice = () => {
    const [kind] = at("what").value.split(":");
    at("shape").disabled = kind !== "leak";
    at("size").disabled = !kind;
    const [label, value] = sizeWords();
    at("size-label").textContent = label;
    at("size-value").textContent = value;
    at("size").setAttribute("aria-valuetext", `${value} ${label}`);
  };
  /** What is on show, of this very moment: also while time is held, so that nothing of another fault stays. */
  const show = () => {
    numbers = engine.numbers();
    const view = paint(0);
    table();
    books(view);
    words(view);
  };
  const changed = () => {
    showChoice();
    attempt(() => engine.trouble(JSON.stringify(trouble())));
    if (held) show();
  };
  const chosen = () => {
    const [kind, key] = at("what").value.split(":");
    if (kind === "leak") {
      const [, low, high, usual] = SHAPES[at("shape").value];
      at("size").value = place(usual, low, high);
    } else if (kind === "fault") {
      at("size").value = 200;
    }
    changed();
  };
  const drive = () => {
    const kind = at("load").value;
    at("gear").disabled = kind !== "in_gear";
    at("speed").disabled = kind !== "held";
    at("speed-value").textContent = `${at("speed").value} rpm`;
    at("pedal-value").textContent = `${at("pedal").value} %`;
    const load = { load: kind, gear: Number(at("gear").value), speed: Number(at("speed").value) };
    const wanted = { neutral: { load: kind }, in_gear: { load: kind, gear: load.gear }, held: { load: kind, speed: load.speed } }[kind];
    attempt(() => engine.drive(JSON.stringify(wanted), Number(at("pedal").value) / 100));
  };
  const showAir = () => {
    at("temperature-value").textContent = `${at("temperature").value} °C`;
    at("altitude-value").textContent = `${at("altitude").value} m`;
  };
  const air = () => {
    showAir();
    attempt(() => engine.air(Number(at("temperature").value), Number(at("altitude").value)));
    if (held) show();
  };
  const pedal = (value) => {
    at("pedal").value = value;
    drive();
  };
  const setPace = (slow) => {
    pace = slow ? 0.2 : 1;
    at("slow").checked = slow;
  };
  /** Foot down or off in slow motion, then at full pace again. */
  const play = (value) => {
    if (at("load").value === "neutral") at("load").value = "in_gear";
    setPace(true);
    pedal(value);
    playing = { since: now(), boosts: [] };
    go(false);
  };
  /** Slow until neither car's boost moves any more. */
  const follow = () => {
    if (!playing) return;
    const index = names.readings.findIndex(({ key }) => key === "boost_kpa");
    const boosts = playing.boosts;
    boosts.push([now(), ...[0, 1].map((which) => reading(which, index))]);
    while (boosts[0][0] < now() - SETTLES) boosts.shift();
    const moved = [1, 2].some((which) => Math.abs(boosts[0][which] - boosts[boosts.length - 1][which]) > STILL);
    const long = now() - playing.since;
    if (long < LONGEST && (long < SHORTEST || moved)) return;
    playing = null;
    setPace(false);
  };
  const go = (stop) => {
    held = stop;
    at("hold").textContent = held ? WORDS["go on"] : WORDS.hold;
    at("hold").setAttribute("aria-pressed", String(held));
  };

  let numbers = null;
  let [moved, movedAt] = [[], 0];
  const now = () => (numbers ? numbers[numbers.length - 1] : 0);
  const half = () => numbers.length / 2;
  const reading = (which, index) => numbers[which * half() + index];
  const { format } = Seen;

  const paint = (seconds) => {
    const [kind, key] = at("what").value.split(":");
    const view = Seen.of(names, numbers);
    const [counted, real] = ["metered_air_g_s", "engine_air_g_s"].map((one) => view.value(1, one));
    // What moved stays as long as a person needs to read it.
    if (!seconds || now() < movedAt || now() - movedAt > 0.5) [moved, movedAt] = [view.moved(), now()];
    Object.assign(view, { seconds, counted, real, leak: view.faulty.leak, moved, place: kind === "leak" ? key : "", about: kind === "fault" ? faultOf(key).key : "" });
    Drawing.draw(at("drawing"), view);
    return view;
  };
  /** An engine that has stalled turns no more, and nothing is read of it. */
  const runs = (which) => numbers[(which + 1) * half() - 2] > 0;
  const read = (which, index, key) => (runs(which) ? reading(which, index) : { engine_speed_rpm: 0 }[key] ?? NaN);
  const table = () => {
    for (const { index, form, cells, key } of rows) {
      const [sound, faulty] = [0, 1].map((which) => read(which, index, key));
      cells[0].textContent = format(sound, form.decimals);
      cells[1].textContent = format(faulty, form.decimals);
      const apart = format(faulty - sound, form.decimals);
      cells[2].textContent = faulty - sound > 0 && Number(apart) !== 0 ? `+${apart}` : apart;
    }
  };
  const books = (view) => {
    at("believes").textContent = format(view.counted, 1);
    at("gets").textContent = format(view.real, 1);
    for (const { key, cells } of ledger) {
      [view.sound, view.faulty].forEach((flows, i) => { cells[i].textContent = format(flows[key], 2); });
    }
  };
  const charts = () => {
    const style = getComputedStyle(document.documentElement);
    const [sound, faulty] = [style.getPropertyValue("--sound"), style.getPropertyValue("--faulty")];
    const end = now();
    for (const { chart, range, index, form } of rows) {
      const scale = Math.min(2, window.devicePixelRatio || 1);
      const [w, h] = [chart.clientWidth * scale, chart.clientHeight * scale];
      if (!w) continue;
      if (chart.width !== Math.round(w)) Object.assign(chart, { width: Math.round(w), height: Math.round(h) });
      const pen = chart.getContext("2d");
      pen.clearRect(0, 0, chart.width, chart.height);
      const all = past.flatMap(({ sides }) => [sides[0][index], sides[1][index]]).filter(Number.isFinite);
      const [low, high] = [Math.min(...all), Math.max(...all)];
      range.textContent = fill(WORDS["lowest to highest"], format(low, form.decimals), format(high, form.decimals), form.unit);
      const room = Math.max(high - low, 1e-3 * Math.max(Math.abs(high), 1));
      [[0, sound, 3], [1, faulty, 1.5]].forEach(([which, ink, wide]) => {
        pen.strokeStyle = ink;
        pen.lineWidth = wide * scale;
        pen.beginPath();
        for (const { time, sides } of past) {
          const value = sides[which][index];
          if (Number.isFinite(value)) pen.lineTo(w * (1 - (end - time) / TRACE), h - 2 * scale - (h - 4 * scale) * ((value - low) / room));
        }
        pen.stroke();
      });
    }
  };
  /** What both cars have is said of both. */
  const dangersOf = (engine) => {
    const found = JSON.parse(engine.dangers());
    const of = (kind) => found.filter((one) => one[1] === kind).map(([faulty]) => (faulty ? "faulty car" : "healthy car"));
    const said = found.filter(([faulty, kind], i) => found.findIndex((one) => one[1] === kind) === i);
    return said.map(([, kind, words]) => fill(WORDS["in which"], WORDS[of(kind).length > 1 ? "both cars" : of(kind)[0]], words));
  };
  /** What it comes to first, larger than its reasons. */
  const reason = (text) => {
    if (at("why").textContent === text) return;
    const [first] = text.match(/^.*?\.(?=\s+[A-Z]|$)/s) ?? [text];
    at("why").replaceChildren(Object.assign(document.createElement("strong"), { textContent: first }), text.slice(first.length));
  };
  const words = (view) => {
    showDangers(at("dangers"), dangersOf(engine));
    reason(engine.why());
    const codes = JSON.parse(engine.codes());
    const listed = codes.slice(-8).map(([time, faulty, code]) => `${code} (${faulty ? WORDS["faulty car"] : WORDS["healthy car"]}, ${time.toFixed(0)} s)`);
    at("codes").textContent = listed.length ? listed.join(", ") : WORDS["no codes"];
    const inward = view.leak >= 0 ? WORDS.in : WORDS.out;
    Drawing.label(at("drawing"), fill(WORDS.seen, view.counted.toFixed(2), view.real.toFixed(2), Math.abs(view.leak).toFixed(2), inward));
  };

  let before = 0;
  let counters = { table: 0, charts: 0, words: 0 };
  const frame = (time) => {
    requestAnimationFrame(frame);
    const gone = Math.min(0.1, Math.max(0, (time - before) / 1000));
    before = time;
    if (held || !engine || at("demonstration").hidden) return;
    const start = performance.now();
    engine.advance(gone * pace);
    numbers = engine.numbers();
    const ran = performance.now() - start;
    follow();
    const view = paint(gone * pace);
    if (time - counters.charts > 100) {
      counters.charts = time;
      past.push({ time: now(), sides: [0, 1].map((which) => Array.from(numbers.slice(which * half(), which * half() + names.readings.length))) });
      while (past.length > POINTS || past[0].time < now() - TRACE) past.shift();
      table();
      books(view);
    }
    if (time - counters.table > 250) {
      counters.table = time;
      charts();
    }
    if (time - counters.words > 700) {
      counters.words = time;
      words(view);
    }
    measure.frames += 1;
    measure.busy += performance.now() - start;
    measure.run += ran;
    if (time - measure.since > 2000) {
      const factor = ((time - measure.since) * pace) / Math.max(measure.run, 0.1);
      at("pace").textContent = factor > 1 ? fill(WORDS["keeps time"], factor.toFixed(0)) : WORDS.late;
      window.falseairPace = { frames: (1000 * measure.frames) / (time - measure.since), busy: measure.busy / measure.frames, run: measure.run / measure.frames };
      Object.assign(measure, { frames: 0, busy: 0, run: 0, since: time });
    }
  };

  const restart = () => attempt(() => {
    pedal(0);
    engine.restart();
    past.length = 0;
  });
  /** A healthy car again: settings, engines, sentence, tables and drawing keep nothing of a fault.
   *  At once, since no frame is drawn while another part of the page is on show. */
  const healthy = () => {
    at("what").value = "";
    at("shape").selectedIndex = 0;
    at("size").value = 0;
    changed();
    playing = null;
    setPace(false);
    restart();
    for (const { chart, range, form } of rows) {
      chart.getContext("2d").clearRect(0, 0, chart.width, chart.height);
      range.textContent = form.unit;
    }
    show();
  };

  const start = (vehicle, catalogue) => {
    names = catalogue;
    engine = new wasm_bindgen.PageEngine(vehicle);
    numbers = engine.numbers();
    setUpChoices();
    setUpTable();
    at("what").addEventListener("change", chosen);
    at("shape").addEventListener("change", chosen);
    at("size").addEventListener("input", changed);
    for (const id of ["pedal", "load", "gear", "speed"]) at(id).addEventListener("input", drive);
    for (const id of ["temperature", "altitude"]) at(id).addEventListener("input", air);
    at("tip-in").addEventListener("click", () => play(100));
    at("lift-off").addEventListener("click", () => play(0));
    at("hold").addEventListener("click", () => go(!held));
    at("slow").addEventListener("change", () => setPace(at("slow").checked));
    at("restart").addEventListener("click", restart);
    showChoice();
    showAir();
    drive();
    table();
    words(paint(0));
    requestAnimationFrame(frame);
  };
  const ambient = () => ({ temperature: `${at("temperature").value} degC`, altitude: `${at("altitude").value} m` });
  return { start, trouble, ambient, healthy, format, dangersOf };
})();
