"use strict";
// What fits: dangers first, a sentence, the air path lit by probability, and why.
const FitsScreen = (() => {
  const OPEN = 0.005; // share from which a place is still open
  let open = null;
  let working = null;
  let problem = null;

  // Faults that go two ways, and the size of a healthy part.
  const WAYS = { meter_reads: 1, fuel_delivery: 1, oxygen_sensor: 0, manifold_sensor: 0, boost_sensor: 0 };
  const partOf = (fault, place, of, name) => {
    if (!place) return fault === "none" ? say("no fault") : label("fault", fault in WAYS && of ? `${fault} ${of.best < WAYS[fault] ? "low" : "high"}` : fault, Page.capital(name));
    const where = label("place", place, Page.capital(Units.catalogue.places.find((one) => one.place === place)?.label ?? place));
    return fault === "leak" ? where : `${where}, ${label("shape", fault)}`;
  };
  const title = (one) => {
    const first = partOf(one.fault, one.place, one.size, one.name);
    return one.second ? `${first} + ${Page.small(partOf(one.second.fault, one.second.place, one.second.size, one.second.fault))}` : first;
  };
  const size = (one) => {
    const part = (of) => (of ? `${Page.number(of.best)}${of.unit ? ` ${of.unit}` : ""} (${say("span", Page.number(of.low90), Page.number(of.high90))})` : "");
    const own = part(one.size);
    const as = one.place && one.fault === "leak" && own ? say("as hole", own) : own;
    return one.second ? `${as}; ${part(one.second.size)}` : as;
  };
  const testName = (key) => {
    const [, read] = key.match(/^readings_(.+)$/) ?? [];
    if (read) return say("test readings", Page.small(label("condition", read.replaceAll("_", " "))));
    const instrument = Units.catalogue.signals.find((one) => key.startsWith(`${one.key}_`) && one.key.length > 3);
    if (instrument) return `${Page.capital(instrument.label)}, ${label("condition", key.slice(instrument.key.length + 1).replaceAll("_", " "))}`;
    return label("test", key, Units.catalogue.checks.find((one) => one.check === key)?.what);
  };
  const settled = (test) => (test.settles_pct < 1 ? "< 1" : Page.fixed(test.settles_pct, 0));
  /** Short enough to keep: what people see, and what the next steps need. */
  const kept = (answer) => ({
    ...answer,
    hypotheses: answer.hypotheses.slice(0, 24).map((one, i) => ({ ...one, rank: i + 1, title: title(one), readings: i < 6 ? one.readings.slice(0, 10) : [] })),
    all: answer.hypotheses.map(({ place, second, probability }) => [place, probability, second?.place ?? null]),
  });
  const ruled = (found) => {
    const most = new Map();
    for (const [place, probability, second] of found.all) for (const one of [place, second]) if (one) most.set(one, Math.max(most.get(one) ?? 0, probability));
    return Units.catalogue.places.map(({ place }) => place).filter((place) => (most.get(place) ?? 0) < OPEN);
  };
  const sentence = (found) => {
    const [first, ...rest] = found.hypotheses;
    if (!first) return say("fits nothing");
    const group = found.inseparable.find((names) => names.includes(first.name));
    if (found.verdict === "no_fault_shown") return say("fits healthy", Page.percent(found.probability_sound));
    if (first.second) return group ? say("fits pair", Page.small(first.title), group.length - 1) : say("fits pair alone", Page.small(first.title));
    if (found.verdict === "fault") return say("fits fault", first.title);
    if (found.verdict === "one_of_several") {
      const names = [first, ...rest].filter((one) => group?.includes(one.name)).map((one, i) => (i ? Page.small(one.title) : one.title));
      return names.length > 3 ? say("fits many", names.slice(0, 2).join(", "), names.length - 2) : say("fits several", names.slice(0, -1).join(", "), names.at(-1));
    }
    if (found.verdict === "nothing_fits") return say("fits nothing");
    return say("fits undecided", first.fault === "none" ? rest[0]?.title ?? "" : first.title);
  };

  const key = (files, job) => `${files["job.toml"]}\n${files["car.toml"].length} ${files["healthy.toml"] ?? ""} ${job.log?.name ?? ""} ${job.log?.size ?? ""} ${job.pairs}`;
  let asked = null;
  /** Asks where the job changed since the answer stood. */
  const ask = async (job) => {
    if (!job.car) return;
    const files = await Files.of(job);
    // Meanwhile a step back, or another job, may have taken its place.
    if (App.job() !== job) return;
    const now = key(files, job);
    if (asked === now) return;
    if (asked) Engine.cancel();
    asked = working = null;
    if (job.found?.key === now) return;
    asked = now;
    working = { since: performance.now(), pairs: job.pairs };
    problem = null;
    if (App.job()?.step === "fits") App.draw();
    const first = (answer, tried, look) => {
      if (asked !== now || !working) return;
      if (tried) {
        working.tried = tried;
        const bar = document.querySelector(".busy");
        if (bar && App.job()?.step === "fits") bar.replaceWith(busy());
        return;
      }
      working.tried = null;
      working.look = look;
      working.first = kept(answer);
      working.first.says_short = sentence(working.first);
      if (App.job()?.step === "fits") App.draw();
    };
    const { answer, wrong } = await Engine.ask({ ask: "diagnose", readings: "job.toml", pairs: job.pairs }, files, first);
    // Another question took its place.
    if (asked !== now) return;
    working = null;
    asked = null;
    const here = App.job();
    if (here?.id !== job.id || key(await Files.of(here), here) !== now) { if (here?.step === "fits") App.draw(); return; }
    if (wrong) { problem = wrong.cancelled ? null : wrong; if (wrong.cancelled && job.pairs) App.note((one) => { one.pairs = false; }); if (App.job()?.step === "fits") App.draw(); return; }
    const found = kept(answer);
    found.key = now;
    found.says_short = sentence(found);
    window.falseairAnswered = performance.now();
    App.note((one) => { if (one.id === job.id) { one.found = found; one.story = [...(one.story ?? []).slice(-20), { says: found.says_short, at: new Date().toISOString() }]; } });
    if (App.job()?.step !== "fits") return;
    App.draw();
    App.tell(found.says_short);
  };
  /** Begins while readings are still typed, so that the answer may stand when it is asked for; what
      changed since is called off. */
  let soon = null;
  const ahead = (job) => {
    clearTimeout(soon);
    if (!job.car || job.step !== "readings" || job.log || ReadingsScreen.count(job) < 4 || ReadingsScreen.lacking(job.conditions)) return;
    soon = setTimeout(() => { if (App.job() === job && job.step === "readings") ask(job); }, 1500);
  };
  const dangers = (found) => (found?.dangers ?? []).map((one) => ({ title: say(`danger ${one.kind}`), words: one.words }));

  const form = (witness) => Units.catalogue.readings.find((one) => one.reading === witness.reading);
  /** How far healthy cars scatter in a reading, instrument and all: from how far off it is said to be. */
  const spread = (w) => (Math.abs(w.sound_off_by_deviations) > 0.05 ? Math.max(w.doubt, Math.abs((w.read - w.sound_shows) / w.sound_off_by_deviations)) : w.doubt);
  const bandOf = (witness) => {
    const deviation = FitsScreen.spread(witness);
    const one = form(witness);
    return Drawing.band({
      words: `${one ? ReadingsScreen.words(one.key) : witness.reading}, ${Page.small(label("condition", witness.condition, witness.condition))}`,
      unit: witness.unit, read: witness.read, low: witness.sound_shows - 1.645 * deviation, high: witness.sound_shows + 1.645 * deviation, decimals: one?.decimals ?? 1,
    });
  };
  /** What speaks for and against one of them. */
  const why = (one) => {
    const speaks = (w) => Math.abs(w.sound_off_by_deviations) - Math.abs(w.this_off_by_deviations);
    const list = one.fault === "none" ? one.readings : one.readings.filter((w) => Math.abs(speaks(w)) > 0.7);
    const pro = list.filter((w) => one.fault === "none" || speaks(w) > 0);
    const con = list.filter((w) => one.fault !== "none" && speaks(w) <= 0);
    return h("section", { class: "why-box", "aria-label": say("why of", one.title) },
      h("h2", { class: "head" }, say("why of", one.title)),
      h("p", {}, say("speaks", pro.length, con.length), " ", size(one)),
      pro.length ? [h("h3", {}, one.fault === "none" ? say("readings") : say("for it")), h("ul", { class: "band" }, pro.slice(0, 6).map(bandOf))] : null,
      con.length ? [h("h3", {}, say("against it")), h("ul", { class: "band" }, con.slice(0, 6).map(bandOf))] : null,
      one.bad_reading && h("p", {}, say("misfit", one.bad_reading.replaceAll("_", " "))),
      !one.readings.length && h("p", { class: "quiet" }, say("too small a share")),
      h("p", { class: "quiet" }, say("dashed")));
  };
  const bars = (list) => [
    h("ol", { class: "bars" }, list.map((one) => h("li", { "--at": `${(100 * one.probability).toFixed(1)}%` }, h("button", { type: "button", class: "bar-row", "aria-expanded": String(open === one.name), onclick: () => { open = open === one.name ? null : one.name; App.draw(); }, "data-focus": `bar-${one.rank}` },
      h("span", { class: `pin ${one.place ? "" : "other"}` }, String(one.rank)), h("span", {}, one.title), h("b", {}, Page.percent(one.probability)), h("i", {}), size(one) && h("span", { class: "quiet size" }, size(one)))))),
    list.filter((one) => open === one.name).map(why),
  ];

  /** How far it is: faults tried, once the log is read. */
  const busy = () => {
    const [done, of] = working?.tried ?? [];
    return h("div", { class: "busy", role: "status" }, h("i", { class: `bar ${of ? "" : "run"}`, "--at": of ? `${(100 * done) / of}%` : null }), of ? h("p", {}, say("tried", done + 1, of)) : null, h("p", { class: "quiet" }, say("alive")));
  };
  /** Names in the language that is read now. */
  const named = (found) => { for (const one of found?.hypotheses ?? []) one.title = title(one); if (found) found.says_short = sentence(found); };
  const draw = (job) => {
    named(job.found);
    named(working?.first);
    if (!job.car) return { says: say("car first"), act: [button(say("which car"), () => App.go("car"), { kind: "main" })] };
    ask(job);
    const found = job.found;
    if (working && (working.first || !(found && !working.pairs))) {
      // Dangers and what fits best stand there while the rest of a log, pairs and the next test are worked out.
      const early = working.first ?? found;
      const long = working.look ? say("first look", ...working.look) : job.log ? say("working log") : working.pairs ? say("working pairs") : say("working");
      return { says: long, dangers: dangers(early), right: [busy(), early && bars(early.hypotheses.slice(0, 3))], act: [button(say("stop"), () => { Engine.cancel(); App.go("readings"); }, { kind: "soft" })] };
    }
    if (problem) return { says: say("not answered"), right: [h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, `${problem.key ? `${problem.key}: ` : ""}${problem.message}`))], act: [button(say("to readings again"), () => App.go("readings"), { kind: "main" })] };
    if (!found) return { says: say("working"), right: [h("p", { role: "status", class: "quiet" }, say("alive"))] };
    const shown = found.hypotheses.filter((one, i) => i < 3 || one.probability >= 0.02).slice(0, innerWidth < 900 ? 3 : 5);
    const more = found.hypotheses.filter((one) => !shown.includes(one) && one.probability >= 0.002).slice(0, 12);
    const faults = shown.filter((one) => one.fault !== "none");
    const next = nextTest(job, found);
    const list = dangers(found);
    return {
      says: found.says_short,
      dangers: list,
      over: list.length ? null : h("p", { class: "done" }, sign("tick"), say("no danger")),
      left: [Drawing.air(faults, ruled(found), { state: "full", press: (one) => { open = one.name; App.draw(); document.querySelector(".why-box")?.scrollIntoView({ block: "center" }); } })],
      right: [bars(shown),
        h("p", { class: "quiet" }, say("crossed")),
        Drawing.parts(),
        more.length ? h("details", { class: "more" }, h("summary", {}, say("more fits", more.length)), bars(more)) : null,
        found.cautions.map((one) => h("div", { class: "caution" }, sign("limit"), h("span", {}, Page.capital(one)))),
        h("details", { class: "more" }, h("summary", {}, say("in full")), h("p", {}, found.says), found.why_first && h("p", {}, found.why_first), found.remarks.map((one) => h("p", {}, one)), found.log_notes?.map((one) => h("p", { class: "quiet" }, one)), h("p", { class: "quiet" }, say("version", found.falseair_version))),
        h("div", { class: "wrap" }, !job.pairs && button(say("two faults"), () => App.change((now) => { now.pairs = true; }), { kind: "soft small", focus: "pairs" }), button(say("measure part"), () => App.go("part"), { kind: "soft small" }), button(say("to repairs"), () => App.go("repairs"), { kind: "soft small" }))],
      act: [next ? button(say("go test", testName(next.test), Page.number(next.minutes, 2)), () => TestScreen.begin(next.test), { kind: "main", icon: "next", focus: "main" })
        : button(say("no test left"), () => App.go("part"), { kind: "main", icon: "next", focus: "main" })],
    };
  };
  /** Whether what is answered is of the job as it stands. */
  const answered = async (job) => !asked && job.found?.key === key(await Files.of(job), job);
  const nextTest = (job, found) => found.next_tests.find(({ test }) => !job.skipped.includes(test) && !job.done.some((one) => one.key === test));
  return { draw, ask, ahead, answered, testName, nextTest, dangers, size, title, sentence, kept, bandOf, ruled, spread, settled };
})();
