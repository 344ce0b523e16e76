"use strict";
// The one drawing of the air path, for every page that shows it: pipes and parts come from air.svg, where
// they run, what they are called and where things are read from air.json. Colour is pressure, motion is flow.
const Air = (() => {
  const MAP = JSON.parse(document.getElementById("air-path").textContent);
  const STEPS = [30, 60, 95, 100, 130, 160, 185, 220]; // kPa at which tokens.css names a colour
  const SECTIONS = { inlet: "inlet", hot: "hot_pipe", cold: "cold_pipe", plenum: "manifold", exhaust: "exhaust", tail: "downpipe" };
  const WAYS = Object.entries(MAP.ways).map(([key, pieces]) => [key, pieces.map(([section, ...points]) => ({ section, points })), MAP.bores[key] ?? 50]);
  /** Smallest letter, px: that of the page's text. Narrower than so many of them, names do not fit beside
   *  the parts. */
  const letter = () => parseFloat(getComputedStyle(document.documentElement).fontSize);
  const narrow = (width) => width < 38 * letter();
  const STILL = matchMedia("(prefers-reduced-motion: reduce)");

  const SPACE = document.querySelector("svg").namespaceURI;
  const s = (name, attributes = {}, ...children) => {
    const one = document.createElementNS(SPACE, name);
    for (const [key, value] of Object.entries(attributes)) if (value !== null) one.setAttribute(key, value);
    one.append(...children);
    return one;
  };
  const letters = (width) => Math.max(20, (letter() * MAP.size[0]) / Math.max(width, 1));

  /** An arrow of the flow at a point, along a direction. */
  const arrow = ([x, y], [dx, dy], size) => {
    const at = (along, across) => `${(x + size * (along * dx - across * dy)).toFixed(1)},${(y + size * (along * dy + across * dx)).toFixed(1)}`;
    return `M${at(-7, -10)} L${at(5, 0)} L${at(-7, 10)}`;
  };
  /** Arrows of a piece of pipe, `gap` apart, the first `shift` from its start. */
  const arrows = (points, gap, shift, back, size) => {
    let d = "";
    let next = ((shift % gap) + gap) % gap;
    for (let i = 1; i < points.length; i += 1) {
      const [[ax, ay], [bx, by]] = [points[i - 1], points[i]];
      const length = Math.hypot(bx - ax, by - ay);
      const way = [(bx - ax) / length, (by - ay) / length];
      for (; next < length; next += gap) d += arrow([ax + next * way[0], ay + next * way[1]], back ? way.map((one) => -one) : way, size);
      next -= length;
    }
    return d;
  };
  const long = (points) => points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i][0], y - points[i][1]), 0);

  /** An empty drawing: pipes, arrows of the flow, parts; `layers` take what is laid over it. */
  const make = (kind = "") => {
    const flows = WAYS.filter(([key]) => key !== "blow_by").map(([key, pieces, bore]) => ({
      key, bore, gone: 0, drawn: "", pieces: pieces.map(({ section, points }) => ({ points, length: long(points), path: s("path", { class: `flow on-${section}` }) })),
    }));
    const layers = Object.fromEntries(["name", "mark", "lit"].map((name) => [name, s("g", { class: name })]));
    const svg = s("svg", { class: `air ${kind}`, viewBox: `0 0 ${MAP.size.join(" ")}` }, s("use", { href: "#air-pipes" }), s("g", {}, ...flows.flatMap(({ pieces }) => pieces.map(({ path }) => path))), s("use", { href: "#air-parts" }), ...Object.values(layers));
    return { svg, flows, layers, inks: "", kept: {} };
  };
  /** Moves the arrows by so many seconds of flow, g/s; less than nothing flows back. */
  const flow = (drawing, of, seconds = 0) => {
    for (const one of drawing.flows) {
      const now = of(one.key);
      const size = one.bore / 50;
      const gap = 26 + 0.7 * one.bore;
      const none = Math.abs(now) < 2e-3;
      // Told apart from idle to full load: speed goes by the root.
      if (!STILL.matches && !none) one.gone += Math.sign(now) * Math.min(gap / 3, seconds * 26 * Math.sqrt(Math.abs(now)));
      let from = 0;
      const state = none ? "none" : `${one.gone.toFixed(1)} ${now < 0}`;
      if (state === one.drawn) continue;
      one.drawn = state;
      for (const { points, length, path } of one.pieces) {
        path.setAttribute("d", none ? "" : arrows(points, gap, one.gone + gap / 2 - from, now < 0, Math.max(0.4, size)));
        from += length;
      }
    }
  };

  let colours = null;
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { colours = null; });
  const scale = () => {
    const probe = document.body.appendChild(document.createElement("span"));
    const of = (name) => { probe.style.color = `var(--${name})`; return getComputedStyle(probe).color.match(/[\d.]+/g).slice(0, 3).map(Number); };
    colours = STEPS.map((step) => of(`p${step}`));
    probe.remove();
  };
  /** The colour of a pressure, kPa absolute: between two named ones in proportion. */
  const ink = (pressure) => {
    if (!colours) scale();
    const at = Math.min(STEPS.at(-1), Math.max(STEPS[0], pressure));
    const i = Math.max(1, STEPS.findIndex((step) => step >= at));
    const part = (at - STEPS[i - 1]) / (STEPS[i] - STEPS[i - 1]);
    return `rgb(${colours[i].map((one, k) => Math.round(colours[i - 1][k] + part * (one - colours[i - 1][k]))).join(" ")})`;
  };
  const set = (drawing, name, value) => {
    if (drawing.kept[name] === value) return;
    drawing.kept[name] = value;
    drawing.svg.style.setProperty(`--${name}`, value);
  };
  /** Colours the sections by their pressures, kPa absolute; grains where it is below the outside air. */
  const pressures = (drawing, of, outside) => {
    for (const [section, node] of Object.entries(SECTIONS)) {
      set(drawing, section, ink(of[node]));
      set(drawing, `on-${section}`, `var(--on-${of[node] > 145 ? "high" : "low"})`);
    }
    for (const section of ["inlet", "plenum"]) set(drawing, `suck-${section}`, Math.min(1, Math.max(0, (outside - of[SECTIONS[section]] - 0.5) / 4)).toFixed(1));
    const lines = Math.min(1, Math.max(0.3, (of.exhaust - outside) / 20)).toFixed(1);
    set(drawing, "hatch", of.exhaust > 145 ? lines : "0");
    set(drawing, "hatch-low", of.exhaust > 145 ? "0" : lines);
  };
  /** How far plates and valves stand open, 0 to 1. */
  const valves = (drawing, { throttle, gate, bypass }) => {
    set(drawing, "plate", `${Math.round(8 + 82 * Math.min(1, Math.max(0, throttle)))}deg`);
    set(drawing, "gate", `${Math.round(80 * Math.min(1, Math.max(0, gate)))}deg`);
    set(drawing, "lift", `${Math.round(-14 * Math.min(1, Math.max(0, bypass)))}px`);
  };

  const over = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
  const boxOf = (text, x, y, side, size) => {
    const width = 0.56 * size * text.length;
    const left = { m: x - width / 2, e: x - width, s: x }[side];
    return [left, y - 0.85 * size, left + width, y + 0.3 * size];
  };
  const ASIDE = [[0, 0], [26, 0], [-26, 0], [0, -30], [0, 30], [60, 0], [-60, 0], [100, 0], [-100, 0], [0, -56], [0, 56], [140, 0], [-140, 0], [60, -30], [-60, 30]];
  /** Names beside their parts, where nothing of `taken` (boxes) lies; in a narrow drawing a letter at each,
   *  and the list of what they stand for is given back. `kind` says how a place is told of. */
  const names = (drawing, word, width, taken = [], kind = () => "") => {
    const lettered = narrow(width);
    const size = letters(width);
    const all = Object.entries(MAP.names).filter(([key]) => word(key));
    const key = [];
    const texts = all.map(([name, [, x, y, side, place]], i) => {
      const text = lettered ? String.fromCharCode(97 + i) : word(name);
      if (lettered) key.push([text, word(name)]);
      const moved = ASIDE.map(([dx, dy]) => [x + dx, y + dy]).find(([tx, ty]) => {
        const box = boxOf(text, tx, ty, side, size);
        return box[0] > -12 && box[2] < MAP.size[0] + 34 && !taken.some((one) => over(one, box));
      }) ?? [x, y];
      taken.push(boxOf(text, ...moved, side, size));
      return s("text", { x: moved[0], y: moved[1], class: `${side} ${kind(place)}`, "font-size": size }, text);
    });
    drawing.layers.name.replaceChildren(...texts);
    return key;
  };
  /** The arrow of a leak that passes `flow`, g/s, with its words; the boxes that it takes up. */
  const jet = (place, flow, words, width) => {
    const [x, y, angle, reach] = MAP.places[place];
    const size = letters(width);
    if (!reach) return { marks: [s("text", { class: "jet-n halo", x: x + 28, y: y + 6, "font-size": size * 1.15 }, words)], taken: [boxOf(words, x + 28, y + 6, "s", size * 1.15)] };
    const [dx, dy] = [Math.cos(angle * Math.PI / 180), Math.sin(angle * Math.PI / 180)];
    const [from, to] = [18, 18 + reach];
    const half = Math.max(narrow(width) ? 12 : 6, Math.min(14, 2 + 2.6 * Math.sqrt(Math.abs(flow))));
    const at = (along, across) => `${(x + along * dx - across * dy).toFixed(1)},${(y + along * dy + across * dx).toFixed(1)}`;
    const [tip, tail] = flow >= 0 ? [from, to] : [to, from];
    const neck = tip + Math.sign(tail - tip) * (half + 12);
    const body = s("path", { class: "jet", d: `M${at(tip, 0)} L${at(neck, half + 9)} L${at(neck, half)} L${at(tail, half)} L${at(tail, -half)} L${at(neck, -half)} L${at(neck, -half - 9)} Z` });
    const upright = Math.abs(dy) > 0.5;
    const left = upright ? x > 700 : dx < 0;
    const [wx, wy] = upright ? [x + (left ? -1 : 1) * (half + 14), y + dy * (to - 12) + 6] : [x + dx * (to + 8), y + 7];
    const side = left ? "e" : "s";
    const reachBox = [Math.min(x + from * dx, x + to * dx) - half - 9, Math.min(y + from * dy, y + to * dy) - half - 4, Math.max(x + from * dx, x + to * dx) + half + 9, Math.max(y + from * dy, y + to * dy) + half + 4];
    const told = boxOf(words, wx, wy, side, size * 1.15);
    const into = Math.max(0, 4 - told[0]) - Math.max(0, told[2] - MAP.size[0] + 4);
    return {
      marks: [body, s("text", { class: "jet-n halo", x: wx + into, y: wy, "text-anchor": left ? "end" : "start", "font-size": size * 1.15 }, words)],
      taken: [reachBox, told.map((one, i) => (i % 2 ? one : one + into))],
    };
  };
  /** A ring round a place or a part. */
  const ring = (key) => {
    const at = MAP.places[key] ?? MAP.faults[key];
    if (!at) return [];
    const circle = (kind) => s("circle", { class: kind, cx: at[0], cy: at[1], r: 34 });
    return [circle("ring-back"), circle(`ringed ${MAP.places[key] ? "" : "other"}`)];
  };
  const slotOf = (key) => Object.entries(MAP.readings).find(([, { of }]) => of.includes(key))?.[0];
  /** Readings lit beside their place: `{ key, label, read, healthy, unit }`, the first of each place, three of
   *  them; in a narrow drawing a number at each. `taken` is added to. */
  const lit = (drawing, all, healthy, width, taken) => {
    const numbered = narrow(width);
    const size = letters(width);
    const slots = new Map();
    for (const one of all) {
      const slot = slotOf(one.key);
      if (slot && !slots.has(slot) && slots.size < 3) slots.set(slot, one);
    }
    const marks = [...slots].map(([slot, one], i) => {
      const { box: [x, y], lead } = MAP.readings[slot];
      if (numbered) {
        const [px, py] = lead[1];
        taken.push([px - 30, py - 30, px + 30, py + 30]);
        return s("g", { class: "lit" }, s("circle", { cx: px, cy: py, r: size * 0.62 }), s("text", { class: "pin-n", x: px, y: py, "font-size": size }, String(i + 1)));
      }
      const value = `${one.read}${one.unit ? `\u00a0${one.unit}` : ""}`;
      const was = `${healthy} ${one.healthy}`;
      const ghost = 0.54 * size * was.length + 12;
      const wide = Math.max(0.58 * size * one.label.length, 0.68 * size * 1.3 * value.length, ghost) + 16;
      const left = Math.min(x, MAP.size[0] + 14 - wide);
      const high = size * 3.75;
      const top = Math.min(y, MAP.size[1] - high);
      taken.push([left, top, left + wide, top + high]);
      return s("g", {}, s("path", { class: "lead-back", d: `M${lead.join(" L")}` }), s("path", { class: "lead", d: `M${lead.join(" L")}` }),
        s("rect", { x: left, y: top, width: wide, height: high, rx: 2 }),
        s("text", { x: left + 8, y: top + size, "font-size": size }, one.label), s("text", { class: "value", x: left + 8, y: top + size * 2.25, "font-size": size * 1.3 }, value),
        s("rect", { class: "ghost", x: left + 6, y: top + size * 2.5, width: ghost, height: size * 1.1 }), s("text", { x: left + 12, y: top + size * 3.36, "font-size": size }, was));
    });
    drawing.layers.lit.replaceChildren(...marks);
    return [...slots.values()];
  };
  const places = { ...MAP.faults, ...Object.fromEntries(Object.entries(MAP.places).map(([key, [x, y]]) => [key, [x, y]])) };
  return { MAP, narrow, s, make, flow, pressures, valves, names, jet, ring, lit, ink, letters, places, STEPS };
})();
