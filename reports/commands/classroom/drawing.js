"use strict";
// The lesson's picture: the one drawing, alive. Pressure as colour, flow as motion, the leak, the place that is
// spoken of, and the three readings that moved most beside where they are read.
const Drawing = (() => {
  const drawings = new WeakMap();
  const word = (key) => (key === "meter" && !WORDS.parts.meter ? "" : WORDS.parts[key]);
  const within = (box) => {
    const own = { ...Air.make("live"), key: document.createElement("ul"), shown: "" };
    own.key.className = "air-key";
    own.svg.setAttribute("role", "img");
    if (!WORDS.parts.meter) own.svg.style.setProperty("--meter", "none");
    box.replaceChildren(own.svg, own.key);
    drawings.set(box, own);
    return own;
  };
  const item = (sign, words) => {
    const one = document.createElement("li");
    const bold = Object.assign(document.createElement("b"), { textContent: sign });
    one.append(bold, words);
    return one;
  };
  /** Words and marks over the drawing: only when they change. `moved` are the readings, the one that moved
   *  most first; `about` is ringed as long as nothing leaks there. */
  const words = (own, { place, leak, about = "", moved = [] }, width) => {
    // What passes less than can be told is a ring, not an arrow.
    const open = Air.MAP.places[place] && Math.abs(leak) >= 0.005;
    const lost = `${Math.abs(leak).toFixed(2)} g/s ${leak >= 0 ? WORDS.in : WORDS.out}`;
    const state = JSON.stringify([place, open && lost, about, moved.slice(0, 6), width, document.documentElement.className]);
    if (state === own.shown) return;
    own.shown = state;
    const told = open ? Air.jet(place, leak, lost, width) : { marks: [], taken: [] };
    const taken = [...told.taken];
    const lit = Air.lit(own, moved, WORDS.sound, width, taken);
    own.layers.mark.replaceChildren(...(about || (place && !open) ? Air.ring(about || place) : []), ...told.marks);
    const key = Air.names(own, word, width, taken, (at) => (at && at === (about || place) ? "here" : ""));
    const narrow = Air.narrow(width);
    const read = (one) => `${one.label} ${one.read} ${one.unit} (${WORDS.sound} ${one.healthy})`;
    own.key.replaceChildren(...(narrow ? lit.map((one, i) => Object.assign(item(String(i + 1), read(one)), { className: "read" })) : []), ...key.map(([letter, name]) => item(letter, name)));
  };
  /** Draws the faulty car. `view`: its flows, pressures and openings, the outside pressure, the leak and its
   *  place, what is spoken of, what moved, and the seconds gone. */
  const draw = (box, view) => {
    const own = drawings.get(box) ?? within(box);
    const width = own.svg.clientWidth;
    // While another part of the page is on show nothing is measured; and nothing is kept of what was drawn.
    if (!width) {
      for (const layer of Object.values(own.layers)) layer.replaceChildren();
      own.key.replaceChildren();
      own.shown = "";
      return;
    }
    own.svg.style.setProperty("--wall", Air.narrow(width) ? "5px" : "3px");
    Air.pressures(own, view.pressures, view.outside);
    Air.valves(own, { throttle: view.throttle / 100, gate: view.gate / 100, bypass: view.faulty.recirculation / 2 });
    Air.flow(own, (key) => view.faulty[key] ?? 0, view.seconds);
    words(own, view, width);
  };
  const label = (box, text) => drawings.get(box)?.svg.setAttribute("aria-label", text);
  return { draw, label, word, item, PLACES: Air.places };
})();

// What both cars read, in the shape that the drawing takes.
const Seen = (() => {
  // Which moved most is told by these: each thing that an instrument shows stands once.
  const TOLD = ["metered_air_g_s", "lambda_sensor", "fuel_trim_pct", "boost_kpa", "manifold_kpa", "shaft_krpm", "wastegate_solenoid_duty_pct", "torque_nm", "engine_speed_rpm", "exhaust_temp_c", "intake_temp_c", "throttle_pct"];
  const format = (value, decimals) => {
    if (!Number.isFinite(value)) return "\u2013";
    const text = value.toFixed(decimals);
    return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "\u2212");
  };
  /** `numbers` of both engines, healthy first, in the order of the catalogue `names`. */
  const of = (names, numbers) => {
    const half = numbers.length / 2;
    const index = Object.fromEntries(names.readings.map(({ key }, i) => [key, i]));
    const value = (which, key) => numbers[which * half + index[key]];
    const list = (which, keys, from) => Object.fromEntries(keys.map(({ key }, i) => [key, numbers[which * half + from + i]]));
    const [readings, flows] = [names.readings.length, names.flows.length];
    const pressures = list(1, names.pressures, readings + flows);
    const runs = (which) => numbers[(which + 1) * half - 2] > 0;
    const moved = () => (runs(0) && runs(1) ? TOLD : []).map((key) => {
      const { label, unit, decimals, absolute, share } = names.readings[index[key]];
      const [healthy, read] = [value(0, key), value(1, key)];
      return { key, label, unit, by: Math.abs(read - healthy) / Math.hypot(absolute, share * healthy), read: format(read, decimals), healthy: format(healthy, decimals) };
    }).filter(({ by }) => by > 2).sort((a, b) => b.by - a.by);
    return {
      value, runs, half, moved, pressures, sound: list(0, names.flows, readings), faulty: list(1, names.flows, readings),
      outside: pressures.cold_pipe - value(1, "boost_kpa"), throttle: value(1, "throttle_pct"), gate: value(1, "wastegate_pct"),
    };
  };
  return { of, format };
})();
