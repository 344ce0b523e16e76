"use strict";
// Measuring the part: gaps by feeler gauge, ring and groove, decay, flow; drawn as large as they are.
const PartScreen = (() => {
  const PX = 96 / 25.4; // CSS pixels a millimetre
  const FORMS = {
    gap: [["span_length", "length", "20 mm"], ["depth", "length", "3 mm"], ["boost_loss", "pressure_difference", "1 kPa"]],
    ring: [["pipe_diameter", "length"], ["bore_diameter", "length"], ["gland_width", "length"], ["new_section", "length"], ["used_section", "length"]],
    decay: [["start_pressure", "gauge_pressure"], ["end_pressure", "gauge_pressure"], ["time", "time"]],
    flow: [["flow", "volume_flow"], ["pressure", "gauge_pressure"]],
  };
  const PLACES = { gap: ["recirculation_seat", "recirculation_cover", "manifold_gasket", "exhaust_manifold"], decay: ["cold_pipe", "hot_pipe", "cooler_tank", "manifold_gasket"], flow: ["manifold_gasket", "vacuum_line", "cold_pipe", "hot_pipe", "cooler_tank"] };
  const SPOTS = [[58, 93], [164, 26], [270, 93], [164, 160]];
  let problem = "";
  let busy = false;

  const of = (job, which) => ({ place: PLACES[which]?.[0], values: {}, gaps: ["", "", "", ""], unit: "mm", ...job.part[which] });
  const typed = (which, act) => App.type((job) => { job.part[which] = of(job, which); act(job.part[which]); });
  const question = (which, own) => {
    const kinds = Object.fromEntries(FORMS[which]);
    const value = (name) => (Units.good(own.values[name]) ? Units.toml(kinds[name], own.values[name]) : null);
    const given = FORMS[which].map(([name]) => [name, value(name)]).filter(([, text]) => text);
    const lines = (skip = []) => given.filter(([name]) => !skip.includes(name)).map(([name, text]) => `${name} = ${text}`);
    const car = [`vehicle = "car.toml"`, `place = ${Files.text(own.place)}`];
    if (which === "gap") {
      const span = value("span_length") ?? '"20 mm"';
      const depth = value("depth") ?? '"3 mm"';
      const felt = own.gaps.filter((gap) => Units.digits(gap) > 0);
      return ["gap", [...car,
        // Control that finds its boost again would hide what the gap costs.
        'boost_control = "fixed_duty"', `allowed_boost_loss = ${value("boost_loss") ?? '"1 kPa"'}`,
        ...felt.flatMap((gap) => ["", "[[opening]]", `bowed_cover = { gap = ${Files.text(`${gap} ${own.unit}`)}, span_length = ${span}, spans = 1, depth = ${depth} }`])].join("\n")];
    }
    if (which === "ring") return ["seal", lines().join("\n")];
    if (which === "decay") return ["decay", [...car, ...lines(), `section = ${Files.text(own.place === "manifold_gasket" ? "compressor_to_manifold" : "compressor_to_throttle")}`].join("\n")];
    return ["flow", [...car, ...lines()].join("\n")];
  };
  const sentence = (which, answer) => {
    const hole = (of) => say("hole found", Page.number(of.value), Page.number(of.low), Page.number(of.high));
    if (which === "gap") {
      const felt = Math.max(...answer.openings.map((one) => one.gap_mm));
      const allowed = answer.largest.find((one) => one.answer === "found");
      const most = allowed && Math.max(...allowed.gaps_mm);
      if (most && felt > most) return say("gap over", Page.number(felt), Page.number(most, 2));
      return most ? say("gap within", Page.number(felt), Page.number(most, 2)) : say("gap passes", Page.number(felt), Page.number(answer.equivalent_hole_mm));
    }
    if (which === "ring") {
      if (answer.used?.spent) return say("ring spent", Page.number(answer.used.squeeze_left_pct, 2), Page.number(answer.metric?.squeeze_pct, 2));
      if (answer.used && answer.used.spent === null) return answer.says;
      if (answer.used) return say("ring good", Page.number(answer.used.squeeze_left_pct, 2));
      return answer.metric ? say("ring fits", Page.number(answer.metric.inside_diameter_mm), Page.number(answer.metric.section_mm)) : say("ring none");
    }
    return hole(which === "decay" ? answer.found.equivalent_hole_mm : answer.equivalent_hole_mm);
  };
  const work = async () => {
    const job = App.job();
    const which = job.part.which;
    const [name, text] = question(which, of(job, which));
    busy = true;
    App.draw();
    const { answer, wrong } = await Engine.ask({ ask: "workshop", question: name, file: "part.toml" }, { ...(await Files.of(job)), "part.toml": text });
    busy = false;
    problem = wrong ? `${wrong.key ? `${wrong.key}: ` : ""}${wrong.message}` : "";
    if (wrong) { App.draw(); return; }
    const says = sentence(which, answer);
    App.change((one) => {
      const { trace, ...rest } = answer;
      one.part[which] = { ...of(one, which), answer: rest, trace: trace && { time: trace.time_s, likely: trace.likely_kpa }, says };
      one.part.says = says;
      one.part.files = { ...one.part.files, [`${name}.toml`]: text };
    });
    App.tell(says);
  };

  const largest = (input) => {
    const all = [...input.parentElement.querySelectorAll("input.gap")];
    const most = Math.max(...all.map((one) => Units.digits(one.value)).filter(Number.isFinite));
    for (const one of all) one.classList.toggle("most", most > 0 && Units.digits(one.value) === most);
  };
  /** The cover with what went in at six places; the largest stands out. */
  const cover = (own) => {
    const values = own.gaps.map(Units.digits);
    const most = Math.max(...values.filter(Number.isFinite));
    return h("div", { class: "cover-box" }, s("svg", { class: "cover", viewBox: "0 0 328 188", role: "img", "aria-label": say("cover drawing") },
      s("path", { class: "plate", d: "M14,93 Q14,74 30,64 L104,8 Q112,2 124,2 H204 Q216,2 224,8 L298,64 Q314,74 314,93 Q314,112 298,122 L224,178 Q216,184 204,184 H124 Q112,184 104,178 L30,122 Q14,112 14,93 Z" }),
      s("circle", { class: "port", cx: 164, cy: 93, r: 38 }), s("circle", { class: "seat", cx: 164, cy: 93, r: 50 })),
    own.gaps.map((gap, n) => h("input", { type: "text", inputmode: "decimal", class: `gap ${values[n] === most && most > 0 ? "most" : ""}`, "--x": `${100 * SPOTS[n][0] / 328}%`, "--y": `${100 * SPOTS[n][1] / 188}%`, value: gap, "aria-label": say("gap at", n + 1), "data-focus": `gap-${n}`, oninput: (event) => { typed("gap", (one) => { one.gaps = one.gaps.map((old, i) => (i === n ? event.target.value.trim().replace(",", ".") : old)); }); largest(event.target); } })));
  };
  const mm = (own, name) => (Units.good(own.values[name]) ? Units.si("length", own.values[name]) * 1e3 : null);
  /** New and used ring in the groove, ten times their size. */
  const rings = (own) => {
    const [pipe, bore, width, fresh, used] = FORMS.ring.map(([name]) => mm(own, name));
    if (!(bore > pipe) || !width || !fresh) return h("p", { class: "quiet" }, say("ring draw"));
    const depth = (bore - pipe) / 2;
    const scale = Math.min(10 * PX, 150 / Math.max(width, fresh), 100 / fresh);
    const one = (x, section, words) => {
      const [w, d, r] = [width * scale, depth * scale, Math.min(section, 9) * scale / 2];
      const bottom = 112;
      return s("g", {}, s("path", { class: "groove", d: `M${x - 14},${bottom - d} H${x} V${bottom} H${x + w} V${bottom - d} H${x + w + 14}` }), s("circle", { class: "rubber", cx: x + w / 2, cy: bottom - r, r }), s("path", { class: "face", d: `M${x - 14},${bottom - d - 1} H${x + w + 14}` }), s("text", { x: x + w / 2, y: 140, class: "m" }, words));
    };
    const squeeze = (section) => `${Page.number(100 * (1 - depth / section), 2)} %`;
    return [s("svg", { class: "gland", viewBox: `0 0 ${used ? 360 : 190} 150`, role: "img", "aria-label": say("ring drawing", squeeze(fresh), used ? squeeze(used) : "\u2013") }, one(20, fresh, `${say("ring new")}: ${squeeze(fresh)}`), used ? one(200, used, `${say("ring yours")}: ${squeeze(used)}`) : null),
      h("p", { class: "quiet" }, say("times size", Page.number(scale / PX, 2)))];
  };
  const ruler = () => s("svg", { class: "ruler", width: 60 * PX + 24, height: 52, viewBox: `0 0 ${60 * PX + 24} 52`, role: "img", "aria-label": say("ruler") }, Array.from({ length: 61 }, (_, n) => s("path", { d: `M${(8 + n * PX).toFixed(2)},2 v${n % 10 ? n % 5 ? 7 : 12 : 20}` })), [0, 20, 40, 60].map((n) => s("text", { x: 8 + n * PX, y: 44, class: n === 0 ? "" : "m" }, String(n))));
  /** The hole that does the same, as large as it is. */
  const hole = (of) => {
    const [d, room] = [of.value * PX, Math.max(60, of.high * PX + 8)];
    return h("div", { class: "true" }, s("svg", { width: room, height: room, viewBox: `0 0 ${room} ${room}`, role: "img", "aria-label": say("hole found", Page.number(of.value), Page.number(of.low), Page.number(of.high)) }, s("circle", { class: "hole", cx: room / 2, cy: room / 2, r: d / 2 }), s("circle", { class: "span", cx: room / 2, cy: room / 2, r: of.high * PX / 2 })), ruler(), h("p", { class: "quiet" }, say("true size")));
  };
  const effects = (car) => car && h("ul", { class: "plain" }, car.points.filter((one) => one.failure === null).map((one) => h("li", {}, `${Page.capital(label("condition", one.name, one.name))}: `, say("effect", Page.fixed(one.trim_pct, 1), Page.fixed(one.boost_kpa, 1)), one.codes.length ? `, ${one.codes.join(" ")}` : "")));

  const draw = (job) => {
    const which = job.part.which;
    const own = of(job, which);
    const row = ([name, kind, usual]) => ({ id: `part-${which}-${name}`, words: say(`part ${name}`), kind, hint: usual ? say("else", usual) : "", get: () => own.values[name], set: (value) => { own.values[name] = value; typed(which, (one) => { one.values[name] = value; }); } });
    const { answer } = own;
    return {
      says: busy ? say("part working") : own.says ?? say(`part ${which} ask`),
      pad: true,
      under: [
        h("div", { class: "row seg", role: "group", "aria-label": say("what part") }, Object.keys(FORMS).map((name) => button(say(`part ${name}`), () => { problem = ""; App.note((one) => { one.part.which = name; }); App.draw(); }, { kind: "small", on: name === which, focus: `part-${name}` }))),
        PLACES[which] && h("label", { class: "choice" }, say("where"), h("select", { "data-focus": "where-part", onchange: (event) => { typed(which, (one) => { one.place = event.target.value; delete one.answer; delete one.says; }); App.draw(); } }, PLACES[which].map((place) => h("option", { value: place, selected: place === own.place }, label("place", place, place))))),
      ],
      left: [which === "gap" ? cover(own) : which === "ring" ? rings(own) : answer ? hole(answer.found?.equivalent_hole_mm ?? answer.equivalent_hole_mm) : null,
        own.trace && Drawing.trace(own.trace.time, own.trace.likely, { words: say("gauge"), unit: "kPa" }),
        answer && h("p", { class: "quiet" }, answer.says), effects(answer?.in_car)],
      right: [
        which === "gap" && h("div", { class: "wrap" }, h("p", { class: "quiet" }, say("feeler words")), button(own.unit, () => App.change((one) => { one.part.gap = { ...of(one, "gap"), unit: own.unit === "mm" ? "thou" : "mm" }; }), { kind: "small", named: say("unit button", say("part gap"), own.unit), focus: "gap-unit" })),
        problem && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, problem)),
        Pad.fields(FORMS[which].map(row)),
        answer?.dangers?.map((one) => h("div", { class: "danger", role: "alert" }, sign("danger"), h("b", {}, one.words))),
        answer && h("details", { class: "more" }, h("summary", {}, say("cautions")), h("ul", { class: "plain" }, [...(Array.isArray(answer.warnings) ? answer.warnings : []), ...answer.cautions].map((one) => h("li", {}, one)))),
      ],
      act: [h("div", { class: "row" }, button(say("work out"), work, { kind: answer ? "" : "main", focus: "work" }), answer && button(say("to repairs"), () => App.go("repairs"), { kind: "main", icon: "next", focus: "main" }))],
    };
  };
  return { draw };
})();
