"use strict";
// One test: its dangers and limits before its steps, a step at a time, a timer, its result, and all
// put back.
const TestScreen = (() => {
  let ticking = null;
  let problem = "";
  const check = (key) => Units.catalogue.checks.find((one) => one.check === key);
  const section = (key) => Units.catalogue.sections.find((one) => one.test === key);
  const begin = (key) => {
    const test = App.job().found?.next_tests.find((one) => one.test === key);
    if (!test) return;
    problem = "";
    App.change((job) => { job.test = { key, of: test, phase: "before", i: 0, values: {}, timer: null, back: [] }; });
    App.go("test");
  };
  /** Sentences one by one: each is a step. */
  const steps = (how) => [...how.set_up, ...how.read].flatMap((text) => text.split(/(?<=\.)\s+(?=[A-Z])/));

  const elapsed = (timer) => (timer ? timer.held + (timer.from ? Date.now() - timer.from : 0) : 0);
  const clock = (ms) => `${Math.floor(ms / 60000)}:${String(Math.floor(ms / 1000) % 60).padStart(2, "0")}.${Math.floor(ms / 100) % 10}`;
  const timer = (job) => {
    const now = job.test.timer;
    const face = h("b", { role: "timer", "aria-live": "off" }, clock(elapsed(now)));
    clearInterval(ticking);
    if (now?.from) ticking = setInterval(() => { face.textContent = clock(elapsed(now)); }, 100);
    const set = (timer) => App.change((one) => { one.test.timer = timer; });
    return h("div", { class: "clock" }, face, now?.from
      ? button(say("timer stop"), () => set({ held: elapsed(now) }), { kind: "", focus: "timer" })
      : h("div", { class: "wrap" }, button(say("timer start"), () => set({ held: now?.held ?? 0, from: Date.now() }), { kind: "", focus: "timer" }), now?.held ? button(say("timer zero"), () => set(null), { kind: "soft small" }) : null));
  };
  const limit = (how) => (how.limit_kpa === null ? null : h("p", { class: "caution big" }, sign("limit", say("limit")), h("span", {}, `${Page.number(how.limit_kpa)} kPa `, h("small", {}, say("at most", Page.number(how.limit_kpa / 6.894757, 2))))));

  const result = (found, words, add) => {
    const { key, of } = App.job().test;
    App.change((job) => {
      add(job);
      job.done.push({ key, name: FitsScreen.testName(key), found, words, minutes: of.minutes, at: new Date().toISOString() });
      job.skipped = job.skipped.filter((one) => one !== key);
      job.test.phase = "back";
    });
    FitsScreen.ask(App.job());
  };
  const outcomes = (job) => {
    const { key } = job.test;
    const known = check(key);
    if (known) {
      return h("div", { class: "results" }, known.outcomes.map(({ word, label: text }) => {
        const words = word === "nothing" ? say("found nothing") : say("found at", word.split("_or_").map((one) => label("place", one, label("fault", one, text))).join(` ${say("or")} `));
        return button(words, () => result(word, words, (one) => { one.checks = one.checks.filter((old) => old.check !== key); one.checks.push({ check: key, found: word }); }), { kind: word === "nothing" ? "" : "", focus: `found-${word}` });
      }));
    }
    if (section(key)) return gauge(job);
    const name = key.match(/(idle|light_cruise|full_load.*)$/)?.[1]?.replaceAll("_", " ") ?? "idle";
    const tab = name.startsWith("full") ? "full load" : name === "idle" ? "idle" : "cruise";
    return h("div", { class: "results" }, button(say("type these"), () => { App.change((one) => { one.condition = tab; one.done.push({ key, name: FitsScreen.testName(key), found: tab, words: say("readings taken"), minutes: one.test.of.minutes, at: new Date().toISOString() }); one.test = null; }); App.go("readings"); }, { kind: "main", focus: "type-these" }));
  };
  /** A decay or flow test of a section: from the gauge to a hole. */
  const gauge = (job) => {
    const { key, values } = job.test;
    const flow = key === "decay_manifold";
    const rows = flow
      ? [["flow", "volume_flow", "L/min"], ["pressure", "gauge_pressure", "kPa gauge"]]
      : [...(key === "decay_inlet_duct" ? [["volume", "volume", "L"]] : []), ["start_pressure", "gauge_pressure", "kPa gauge"], ["end_pressure", "gauge_pressure", "kPa gauge"], ["time", "time", "s"]];
    const fields = rows.map(([name, kind]) => ({ id: `gauge-${name}`, words: say(`gauge ${name}`), kind, get: () => job.test.values[name], set: (value) => { job.test.values[name] = value; App.type((one) => { one.test.values[name] = value; }); } }));
    const kinds = Object.fromEntries(rows);
    const work = async () => {
      const own = App.job();
      const given = Object.entries(own.test.values).filter(([name, value]) => kinds[name] && Units.good(value)).map(([name, value]) => `${name} = ${Units.toml(kinds[name], value)}`);
      const place = section(key).places[0];
      const text = [`vehicle = "car.toml"`, `place = ${Files.text(place)}`, ...given, ...(key === "decay_boost_side" ? ['section = "compressor_to_throttle"'] : [])].join("\n");
      const { answer, wrong } = await Engine.ask({ ask: "workshop", question: flow ? "flow" : "decay", file: "test.toml" }, { ...(await Files.of(own)), "test.toml": text });
      problem = wrong ? wrong.message : "";
      if (wrong) { App.draw(); return; }
      const hole = flow ? answer.equivalent_hole_mm : answer.found.equivalent_hole_mm;
      const words = say("hole found", Page.number(hole.value), Page.number(hole.low), Page.number(hole.high));
      // Half the width of 90 % limits is 1.645 standard deviations of a normal law.
      result(`${Page.number(hole.value)} mm`, words, (one) => { one.holes.push({ places: section(key).places, diameter: Number(hole.value.toPrecision(4)), doubt: Number(Math.max((hole.high - hole.low) / 3.29, 0.12 * hole.value, 0.05).toPrecision(3)) }); });
    };
    const timed = elapsed(job.test.timer);
    return [
      Pad.fields(fields),
      !flow && timed > 0 && button(say("take time", (timed / 1000).toFixed(1)), () => App.change((one) => { one.test.values.time = { v: (timed / 1000).toFixed(1), u: "s" }; }), { kind: "soft" }),
      problem && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, problem)),
      h("div", { class: "results" }, button(say("held tight"), () => result("0", say("held tight"), (one) => { one.holes.push({ places: section(key).places, diameter: 0, doubt: null }); }), { focus: "tight" }), button(say("work out"), work, { kind: "main", focus: "main" })),
    ];
  };
  const cannot = () => button(say("cannot"), () => { App.change((job) => { job.skipped.push(job.test.key); job.test = null; }); App.go("fits"); }, { kind: "soft", focus: "cannot" });
  const list = (words, all) => (all.length ? [h("h2", { class: "small-head" }, words), h("ul", { class: "plain" }, all.map((one) => h("li", {}, one)))] : null);

  const choose = (job) => ({
    says: job.found ? say("choose test") : say("fits first"),
    right: job.found ? h("ul", { class: "pick" }, job.found.next_tests.map((one) => h("li", { class: job.skipped.includes(one.test) ? "was-out" : "" }, h("button", { type: "button", class: "open", onclick: () => begin(one.test), "data-focus": one.test }, h("span", {}, FitsScreen.testName(one.test)), h("span", { class: "quiet" }, say("settles", FitsScreen.settled(one), Page.number(one.minutes, 2), say(`risk ${one.risk}`))))))) : null,
    act: [button(say("to fits"), () => App.go("fits"), { kind: "main" })],
  });
  const draw = (job) => {
    clearInterval(ticking);
    if (!job.test) return choose(job);
    const { key, of, phase, i } = job.test;
    const how = of.procedure;
    const dangers = FitsScreen.dangers(job.found).map((one) => ({ title: one.title, short: true }));
    const name = h("p", { class: "name-of" }, h("b", {}, FitsScreen.testName(key)), h("br"), h("span", { class: "quiet" }, say("settles", FitsScreen.settled(of), Page.number(of.minutes, 2), say(`risk ${of.risk}`))));
    if (phase === "before") {
      return {
        says: say("before test", FitsScreen.testName(key)), dangers,
        right: [
          h("p", { class: "quiet" }, Page.capital(of.what)),
          how.cautions.map((one) => h("div", { class: "caution" }, sign("limit", say("caution")), h("span", {}, one))),
          limit(how), h("p", {}, how.protection),
          list(say("blank off"), how.blank_off), list(say("stays open"), how.stays_open), list(say("stop when"), how.stop),
          h("details", { class: "more" }, h("summary", {}, say("would mean")), h("ul", { class: "plain" }, of.outcomes.map((one) => h("li", {}, one)))),
          h("p", { class: "quiet" }, say("local rules")),
        ],
        act: [h("div", { class: "row" }, cannot(), button(say("begin test"), () => App.change((one) => { one.test.phase = "do"; }), { kind: "main", icon: "next", focus: "main" }))],
      };
    }
    if (phase === "back") {
      const last = job.done.at(-1);
      const back = how.put_back;
      const tick = (n) => App.change((one) => { one.test.back = one.test.back.includes(n) ? one.test.back.filter((x) => x !== n) : [...one.test.back, n]; });
      const all = job.test.back.length >= back.length;
      return {
        says: back.length ? say("put back") : last.words, over: name,
        right: [h("p", {}, `${say("result")}: `, h("b", {}, last.words)), h("ul", { class: "ticks" }, back.map((one, n) => h("li", {}, h("label", {}, h("input", { type: "checkbox", checked: job.test.back.includes(n), onchange: () => tick(n), "data-focus": `back-${n}` }), h("span", {}, one)))))],
        act: [button(all ? say("now fits") : say("tick all"), () => { if (!all) { App.tell(say("tick all")); return; } App.change((one) => { one.test = null; }); App.go("fits"); }, { kind: all ? "main" : "soft", icon: all ? "next" : null, focus: "main" })],
      };
    }
    const all = steps(how);
    const end = i >= all.length - 1;
    const to = (n) => App.change((one) => { one.test.i = n; });
    return {
      says: [h("span", { class: "quiet" }, `${say("step of", i + 1, all.length)} `), all[i]], dangers, over: name,
      left: [limit(how), timer(job), h("ol", { class: "steps" }, all.map((text, n) => h("li", { class: n < i ? "ok" : n === i ? "now" : "" }, h("button", { type: "button", class: "open", "aria-current": n === i ? "step" : null, onclick: () => to(n), "data-focus": `step-${n}` }, n < i ? sign("tick", say("done")) : h("b", {}, String(n + 1)), h("span", {}, text))))) ],
      right: [end && [h("h2", { class: "head" }, say("what result")), outcomes(job)], h("details", { class: "more", open: innerWidth >= 900 }, h("summary", {}, say("stop when")), h("ul", { class: "plain" }, how.stop.map((one) => h("li", {}, one)), how.cautions.map((one) => h("li", {}, one))))],
      pad: end && section(key) ? true : undefined,
      act: end ? [cannot()] : [h("div", { class: "row" }, i > 0 ? button(say("step back"), () => to(i - 1), { kind: "soft" }) : cannot(), button(say("step done"), () => to(i + 1), { kind: "main", icon: "next", focus: "main" }))],
    };
  };
  return { draw, begin };
})();
