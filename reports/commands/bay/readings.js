"use strict";
// What was read: a card a condition, typed; or a drive log, read beside the page.
const ReadingsScreen = (() => {
  const STANDARD = {
    idle: ["metered_air", "short_trim", "long_trim", "manifold_pressure", "engine_speed", "lambda"],
    cruise: ["metered_air", "short_trim", "long_trim", "manifold_pressure", "lambda"],
    "full load": ["metered_air", "lambda", "boost_sensor", "wastegate_solenoid_duty", "intake_temperature", "long_trim", "manifold_pressure"],
  };
  const UNITS = ["kPa abs", "kPa gauge", "bar abs", "bar gauge", "psi abs", "psi gauge", "inHg abs", "g/s", "kg/h", "lb/min", "degC", "degF", "%", "s", "ms"];
  const known = Object.fromEntries(Units.catalogue.readings.map((one) => [one.key, one]));
  let more = false;
  let reading = false;

  const kind = (one) => (one.idle ? "idle" : Units.digits(one.pedal?.v) >= 99 ? "full load" : "cruise");
  const fresh = (name) => ({ name, idle: name === "idle", runs: true, readings: {}, ...(name === "full load" ? { pedal: { v: "100", u: "%" } } : {}) });
  const tabs = (list) => [...new Set([...Object.keys(STANDARD), ...list.map((one) => one.name)])];
  const find = (list, name) => list.find((one) => one.name === name);
  const some = (list, name) => { let one = find(list, name); if (!one) { one = fresh(name); list.push(one); } return one; };
  const filled = (one) => Object.values(one?.readings ?? {}).filter(Units.good).length;
  const count = (job, list = job.conditions) => list.reduce((sum, one) => sum + filled(one), 0);
  const words = (key) => label("reading", key, Page.capital(known[key]?.label ?? key));
  const driven = (one) => one.idle || Units.good(one.speed);
  /** The first condition that has readings and lacks its speed. */
  const lacking = (list) => list.find((one) => (filled(one) || !one.runs) && !driven(one));

  /** Cards of conditions; `list` gives the conditions of a job, before or after the repair. */
  const cards = (job, list, current, choose, prefix) => {
    const now = find(list(job), current) ?? fresh(current);
    const set = (act) => App.type((job) => act(some(list(job), current)));
    const usual = STANDARD[current] ?? STANDARD[kind(now)];
    const extra = Object.keys(known).filter((key) => !usual.includes(key));
    const shown = [...usual, ...extra.filter((key) => more || Units.good(now.readings[key]))];
    const rows = shown.map((key) => ({ id: `${prefix}-${key}`, words: words(key), kind: known[key].kind, get: () => now.readings[key], set: (value) => { now.readings[key] = value; set((one) => { one.readings[key] = value; }); } }));
    const speed = now.idle ? [] : [{ id: `${prefix}-speed`, words: say("held speed"), kind: "angular_speed", get: () => now.speed, set: (value) => { now.speed = value; set((one) => { one.speed = value; }); } }];
    return [
      h("div", { class: "row seg", role: "group", "aria-label": say("condition") }, tabs(list(job)).map((name) => button(label("condition", name, name), () => choose(name), { kind: "small", on: name === current, icon: filled(find(list(job), name)) > 2 ? "tick" : null, focus: `tab-${name}` }))),
      Pad.fields([...speed, ...rows]),
      h("div", { class: "wrap" },
        button(more ? say("fewer readings") : say("more readings"), () => { more = !more; App.draw(); }, { kind: "soft small", focus: "more" }),
        button(say("stalls here"), () => App.change((job) => { const one = some(list(job), current); one.runs = !one.runs; }), { kind: "soft small", on: !now.runs, focus: "stalls" })),
    ];
  };

  const files = async (job) => {
    const all = { "drive.csv": (await Big.get(job.id, "log")) ?? "" };
    const columns = Object.entries(job.mapping.columns ?? {}).map(([column, to]) => `${Files.text(column)} = ${to.ignore ? '"ignore"' : `{ reading = ${Files.text(to.reading)}${to.unit ? `, unit = ${Files.text(to.unit)}` : ""} }`}`);
    all["mapping.toml"] = [...(job.mapping.only ? [`only = { column = ${Files.text(job.mapping.only.column)}, is = ${Files.text(job.mapping.only.is)} }`] : []), "[columns]", ...columns].join("\n");
    return all;
  };
  const readLog = async (job) => {
    reading = true;
    App.draw();
    const { answer, wrong } = await Engine.ask({ ask: "log", log: "drive.csv", mapping: "mapping.toml" }, await files(job));
    reading = false;
    if (wrong?.cancelled) { App.draw(); return; }
    App.note((now) => {
      now.log.wrong = wrong ? wrong.message : null;
      const { columns, windows, pulls, notes, rows, seconds } = answer ?? {};
      const pull = pulls?.[0];
      const thin = (list) => list?.filter((_, i) => i % Math.ceil(list.length / 120) === 0);
      now.log.read = answer && {
        columns, notes, rows, seconds, windows: windows.map(({ name, seconds: held }) => ({ name, held })), pulls: pulls.length,
        pull: pull && { time: thin(pull.time_s), signals: Object.fromEntries(Object.entries(pull.signals).filter(([key]) => ["boost_sensor_kpa", "boost_kpa", "manifold_kpa", "lambda_sensor", "metered_air_g_s"].includes(key)).map(([key, list]) => [key, thin(list)])) },
      };
      delete now.found;
    });
    App.draw();
  };
  const take = async (file) => {
    const text = await file.text();
    await Big.put(App.job().id, "log", text);
    App.change((job) => { job.log = { name: file.name, size: file.size, read: null }; job.mapping = {}; job.step = "readings"; });
    readLog(App.job());
  };
  const logWords = (job) => {
    if (!job.log) return button(say("use log"), async () => { const [file] = await JobsScreen.pick(h("input", { type: "file", accept: ".csv,.txt,.log,.tsv" })); if (file) take(file); }, { kind: "soft", focus: "log" });
    const { read, wrong } = job.log;
    const map = (column, to) => { App.change((now) => { now.mapping.columns = { ...now.mapping.columns, [column]: to }; }); readLog(App.job()); };
    const unitsOf = (one) => [one.unit, ...UNITS].filter((unit, i, all) => all.indexOf(unit) === i);
    return [
      h("h2", { class: "head" }, job.log.name),
      reading ? h("div", { role: "status" }, h("p", {}, say("log working")), button(say("stop"), () => Engine.cancel(), { kind: "soft" })) : null,
      wrong && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, wrong)),
      read && h("p", {}, say("log read", read.rows, Page.number(read.seconds / 60, 2), read.windows.length, read.pulls)),
      read && h("p", { class: "quiet" }, read.windows.map(({ name }) => name).join(", ")),
      read?.notes.map((one) => h("p", { class: "quiet" }, one)),
      read?.pull && Object.entries(read.pull.signals).slice(0, 3).map(([key, list]) => { const form = Units.catalogue.signals.find((one) => one.key === key); return Drawing.trace(read.pull.time, list, { words: `${say("first pull")}: ${form.label}`, unit: form.unit || "1" }); }),
      read && h("details", { class: "mapping" }, h("summary", {}, say("log columns", read.columns.filter((one) => one.reading).length, read.columns.length)), h("ul", { class: "pick" }, read.columns.map((one, i) => h("li", { class: "map" },
        h("label", { for: `map-${i}` }, h("b", {}, one.column), h("span", { class: "quiet" }, one.why)),
        h("select", { id: `map-${i}`, onchange: (event) => map(one.column, event.target.value ? { reading: event.target.value } : { ignore: true }) }, h("option", { value: "" }, say("left out")), h("option", { value: "time", selected: one.reading === "time" }, say("time")), Units.catalogue.signals.map(({ key, label: text }) => h("option", { value: key, selected: one.reading === key }, text))),
        one.reading && one.reading !== "time" && h("select", { "aria-label": say("unit of", one.column), onchange: (event) => map(one.column, { reading: one.reading, unit: event.target.value }) }, unitsOf(one).map((unit) => h("option", { value: unit, selected: unit === one.unit }, unit || say("no unit")))))))),
      h("details", { class: "mapping" }, h("summary", {}, say("only rows")), h("div", { class: "two" },
        h("label", {}, say("column"), h("input", { value: job.mapping.only?.column ?? "", onchange: (event) => App.type((now) => { now.mapping.only = { is: "", ...now.mapping.only, column: event.target.value }; }) })),
        h("label", {}, say("holds"), h("input", { value: job.mapping.only?.is ?? "", onchange: (event) => App.type((now) => { now.mapping.only = { column: "", ...now.mapping.only, is: event.target.value }; }) }))),
      button(say("read again"), () => readLog(App.job()), { kind: "soft" })),
      button(say("log away"), () => App.change((now) => { now.log = null; now.mapping = {}; }), { kind: "soft small" }),
    ];
  };
  const draw = (job) => {
    const lack = lacking(job.conditions);
    const enough = count(job) > 0 || (job.log?.read && !job.log.wrong) || job.conditions.some((one) => !one.runs);
    return {
      says: job.log && !count(job) ? say("log in", job.log.name) : say("type readings", Page.small(label("condition", job.condition, job.condition))),
      pad: !job.log || count(job) > 0,
      right: [
        !job.car && h("div", { class: "caution" }, sign("limit"), h("span", {}, say("car first"))),
        lack && h("div", { class: "caution" }, sign("limit"), h("span", {}, say("speed missing", label("condition", lack.name, lack.name)))),
        cards(job, (of) => of.conditions, job.condition, (name) => { App.note((now) => { now.condition = name; }); App.draw(); document.querySelector(".fields input")?.focus(); }, "read"),
        logWords(job),
      ],
      act: [button(say("to fits"), () => { const now = App.job(); const still = lacking(now.conditions); if (!now.car) App.go("car"); else if (still) { App.note((one) => { one.condition = still.name; }); App.draw(); } else if (count(now) || now.log || enough) App.go("fits"); else App.tell(say("six readings")); }, { kind: "main", icon: "next", focus: "main" })],
    };
  };
  return { draw, cards, count, take, words, known, find, lacking, kind };
})();
