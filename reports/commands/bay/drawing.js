"use strict";
// The air path with its places: open ones filled by how probable they are, ruled-out ones crossed out.
const Drawing = (() => {
  const AT = Air.places;
  const keyOf = (one) => one.place ?? one.fault;
  // The places beside whose parts a name stands: it is struck instead of the part.
  const NAMED = Object.values(Air.MAP.names).map(([, , , , place]) => place).filter(Boolean);

  const word = (key) => Page.small(label("part", key, label("place", key)));

  /** `open`: hypotheses with the number they bear in the list; `ruled`: places that are out. */
  const air = (open, ruled, { state = "full", press = null } = {}) => {
    const small = innerWidth < 700;
    const drawing = Air.make(state);
    Air.flow(drawing, () => 1);
    const here = (place) => open.some((one) => one.place && one.place === place);
    if (!small) Air.names(drawing, word, 960, [], (place) => `${here(place) ? "here" : ""} ${place && ruled.includes(place) && !here(place) ? "out" : ""}`);
    const named = small ? [] : NAMED;
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
    drawing.layers.mark.append(...crosses.flat(), ...spots);
    const told = open.map((one) => `${one.rank} ${one.title} ${Page.percent(one.probability)}`).join("; ");
    for (const [key, value] of [["role", "img"], ["aria-label", `${say("air path")}: ${told || say("none open")}`]]) drawing.svg.setAttribute(key, value);
    return drawing.svg;
  };
  /** On a phone each part's name, on a tap: its letter stands in a drawing of its own. */
  const parts = () => {
    if (innerWidth >= 700) return null;
    const drawing = Air.make("off");
    const key = Air.names(drawing, word, 360);
    drawing.svg.setAttribute("aria-hidden", "true");
    return h("details", { class: "more" }, h("summary", {}, say("parts")), drawing.svg, h("ul", { class: "air-key" }, key.map(([letter, name]) => h("li", {}, h("b", {}, letter), name))));
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
  return { air, parts, band, trace };
})();
