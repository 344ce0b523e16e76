"use strict";
// The air path with its places: open ones filled by how probable they are, ruled-out ones crossed out.
const Drawing = (() => {
  const AT = {
    before_meter: [150, 200], inlet_duct: [234, 200], breather_union: [232, 278], recirculation_seat: [404, 116], recirculation_diaphragm: [404, 73],
    recirculation_cover: [404, 44], hot_pipe: [418, 171], cooler_tank: [512, 171], cold_pipe: [608, 171], manifold_gasket: [716, 232],
    vacuum_line: [560, 22], wastegate_signal: [448, 352], crankcase: [918, 330], ventilation_valve: [908, 224], exhaust_manifold: [600, 449], before_oxygen_sensor: [268, 420],
    meter_reads: [181, 200], meter_at_high_flow: [181, 200], clogged_filter: [90, 200], restricted_cooler: [512, 171], restricted_exhaust: [185, 420],
    wastegate_stuck_open: [448, 516], wastegate_stuck_shut: [448, 516], weak_spring: [448, 516], worn_turbo: [326, 310], recirculation_stuck_open: [404, 92],
    recirculation_stuck_shut: [404, 92], purge_stuck_open: [716, 232], fuel_delivery: [772, 315], fuel_supply: [772, 315], oxygen_sensor: [250, 371], manifold_sensor: [860, 171],
    boost_sensor: [640, 171], tired_engine: [772, 315], misfiring_cylinder: [772, 315],
  };
  // Names that stand beside the parts where there is room; a place's own name is struck when it is ruled out.
  const NAMES = [
    ["part filter", 78, 264, "m"], ["part meter", 188, 148, "m"], ["place inlet_duct", 176, 264, "m", "inlet_duct"], ["part compressor", 326, 280, "m"],
    ["place hot_pipe", 412, 228, "m", "hot_pipe"], ["part valve", 440, 82, "s"], ["part cooler", 512, 112, "m", "cooler_tank"],
    ["place cold_pipe", 604, 228, "m", "cold_pipe"], ["part throttle", 674, 132, "m"], ["part manifold", 832, 132, "m", "manifold_gasket"],
    ["part turbine", 326, 497, "m"], ["part exhaust", 606, 498, "m", "exhaust_manifold"], ["part wastegate", 330, 549, "m"], ["part catalyst", 186, 478, "m"],
    ["part oxygen", 236, 362, "e"], ["part cylinders", 674, 346, "e"], ["place crankcase", 898, 410, "m", "crankcase"], ["part breather", 548, 298, "m", "breather_union"],
    ["part pcv", 930, 230, "s", "ventilation_valve"],
  ];
  const keyOf = (one) => one.place ?? one.fault;

  /** `open`: hypotheses with the number they bear in the list; `ruled`: places that are out. */
  const air = (open, ruled, { state = "full", press = null } = {}) => {
    const small = innerWidth < 700;
    const names = small ? [] : NAMES.map(([word, x, y, side, place]) => {
      const here = open.some((one) => one.place && one.place === place);
      const out = place && ruled.includes(place) && !here;
      return s("text", { x, y, class: `${side} ${here ? "here" : ""} ${out ? "out" : ""}` }, Page.small(say(word)));
    });
    const named = small ? [] : NAMES.map(([, , , , place]) => place);
    const crosses = ruled.filter((place) => AT[place] && !named.includes(place) && !open.some((one) => keyOf(one) === place)).map((place) => {
      const [x, y] = AT[place];
      const d = `M${x - 12},${y - 12} l24,24 m0,-24 l-24,24`;
      return [s("path", { class: "cross-back", d }), s("path", { class: "cross", d })];
    });
    // Two faults of one part stand beside each other.
    const taken = new Map();
    const both = open.flatMap((one) => (one.second ? [one, { ...one, place: one.second.place, fault: one.second.fault }] : [one]));
    const spots = both.reverse().filter((one) => AT[keyOf(one)]).map((one) => {
      const [x0, y0] = AT[keyOf(one)];
      const at = `${x0},${y0}`;
      const beside = taken.get(at) ?? 0;
      taken.set(at, beside + 1);
      const r = Math.max(small ? 27 : 16, (small ? 60 : 46) * Math.sqrt(one.probability));
      const x = x0 + beside * (r + 16);
      const spot = [s("circle", { class: `spot ${one.place ? "" : "other"}`, cx: x, cy: y0, r }), s("text", { class: "spot-n", x, y: y0, "font-size": Math.max(small ? 44 : 20, r) }, String(one.rank))];
      return press ? s("g", { class: "tap", onclick: () => press(one) }, spot) : s("g", {}, spot);
    });
    const told = open.map((one) => `${one.rank} ${one.title} ${Page.percent(one.probability)}`).join("; ");
    return s("svg", { class: `air ${state}`, viewBox: "0 0 960 560", role: "img", "aria-label": `${say("air path")}: ${told || say("none open")}` }, s("use", { href: "#air" }), s("g", { class: "name" }, names), crosses, spots);
  };

  /** A reading against nine of ten healthy cars; `was` is where it stood before. */
  const band = ({ words, unit, read, was = null, low, high, decimals }) => {
    const all = [read, was, low, high].filter((x) => x !== null);
    const [from, to] = [Math.min(...all), Math.max(...all)];
    const room = (to - from) * 0.08 || 1;
    const at = (x) => `${(100 * (x - from + room) / (to - from + 2 * room)).toFixed(1)}%`;
    const marks = h("i", { "--lo": at(low), "--hi": at(high), "--at": at(read), ...(was === null ? {} : { "--was": at(was) }) }, was === null ? null : h("em", { class: read < was ? "down" : "" }));
    return h("li", {}, h("span", {}, `${words}${unit ? `, ${unit}` : ""}`), h("span", {}, was === null ? null : h("span", { class: "quiet" }, `${Page.fixed(was, decimals)} \u2192 `), h("b", {}, Page.fixed(read, decimals)), h("span", { class: "quiet" }, ` ${say("healthy band", Page.fixed(low, decimals), Page.fixed(high, decimals))}`)), marks);
  };

  /** A line of numbers over time. */
  const trace = (time, values, { words, unit }) => {
    const [w, hh, left, foot] = [innerWidth < 700 ? 328 : 640, 200, 60, 34];
    const good = values.map((v, i) => [time[i], v]).filter(([, v]) => Number.isFinite(v));
    if (good.length < 2) return null;
    const [t0, t1] = [good[0][0], good.at(-1)[0]];
    const [low, high] = [Math.min(0, ...good.map(([, v]) => v)), Math.max(...good.map(([, v]) => v))];
    const x = (t) => left + (w - left - 8) * (t - t0) / (t1 - t0 || 1);
    const y = (v) => hh - foot - (hh - foot - 26) * (v - low) / (high - low || 1);
    return h("figure", { class: "trace" }, s("svg", { viewBox: `0 0 ${w} ${hh}`, role: "img", "aria-label": `${words}: ${Page.number(good[0][1])} ${unit}, ${say("at the end")} ${Page.number(good.at(-1)[1])} ${unit}` },
      s("path", { class: "axis", d: `M${left},${y(low)} H${w - 8} M${left},${y(low)} V${y(high)}` }),
      s("text", { x: left - 8, y: y(high) + 6, class: "e" }, Page.number(high)), s("text", { x: left - 8, y: y(low) + 6, class: "e" }, Page.number(low)),
      s("text", { x: left, y: hh - 8 }, `${Page.number(t0)} s`), s("text", { x: w - 8, y: hh - 8, class: "e" }, `${Page.number(t1)} s`),
      s("path", { class: "run", d: `M${good.map(([t, v]) => `${x(t).toFixed(1)},${y(v).toFixed(1)}`).join("L")}` })), h("figcaption", { class: "quiet" }, `${words}, ${unit}`));
  };
  return { air, band, trace, places: () => Object.keys(AT) };
})();
