"use strict";
// The car: a file, the invented one that comes with the page, one of another job, or ten numbers.
const CarScreen = (() => {
  const DEMO = document.getElementById("demo-car").textContent;
  const PLACES = { metering: ["air_flow_meter", "speed_density"], valve: ["inlet_duct", "atmosphere"], fuel: ["petrol", "e10", "e85"] };
  let problem = "";
  let busy = false;

  /** Puts a vehicle file into the job; what is wrong with it, in words, or nothing. */
  const use = async (job, text, doubt = null, file = "car.toml") => {
    const { answer, wrong } = await Engine.ask({ ask: "car", car: "car.toml" }, { "car.toml": text });
    if (wrong) return `${file}${wrong.line ? `, ${say("line", wrong.line)}` : ""}: ${wrong.message}`;
    job.car = { ...answer, text, doubt: doubt?.replace(/^vehicle = .*$/m, 'vehicle = "car.toml"') ?? null, notes: [] };
    return "";
  };
  const take = async (text, doubt, file) => {
    busy = true;
    App.draw();
    const fresh = { car: null };
    problem = await use(fresh, text, doubt, file);
    busy = false;
    if (fresh.car) App.change((job) => { job.car = fresh.car; delete job.found; });
    else App.draw();
  };
  const make = async (job) => {
    busy = true;
    App.draw();
    const { wrong, files } = await Engine.ask({ ask: "new_car", numbers: "numbers.toml", car: "car.toml" }, { "numbers.toml": Files.plate(job) });
    if (wrong) { problem = wrong.message; busy = false; App.draw(); return; }
    await take(files["car.toml"], files["car.doubt.toml"] ?? null, "car.toml");
  };
  const known = (job) => {
    const all = new Map(Jobs.list().filter((one) => one.car && one.id !== job.id).map((one) => [one.car.name, one.car]));
    return [...all.values()];
  };
  const numbers = (job) => {
    const set = (key) => (value) => App.type((now) => { now.plate[key] = value; });
    const rows = Files.PLATE.map(([key, kind, usual]) => ({ id: `plate-${key}`, words: say(`plate ${key}`), kind, hint: Files.NEEDED.includes(key) ? "" : say("may be left out"), get: () => job.plate[key] ?? { v: "", u: usual ?? "" }, set: set(key) }));
    return [
      h("p", { class: "quiet" }, say("plate words")),
      h("label", { class: "choice" }, say("plate called"), h("input", { value: job.plate.name ?? "", "data-focus": "plate-name", oninput: (event) => App.type((now) => { now.plate.name = event.target.value; }) })),
      Pad.fields(rows),
      Object.entries(PLACES).map(([key, words]) => h("div", { class: "group", role: "group", "aria-label": say(`plate ${key}`) }, h("h2", { class: "quiet small-head" }, say(`plate ${key}`)), h("div", { class: "wrap" }, words.map((word) => button(say(`${key} ${word}`), () => App.change((now) => { now.plate.choices[key] = word; }), { kind: "small", on: (job.plate.choices[key] ?? words[0]) === word, focus: `${key}-${word}` }))))),
    ];
  };
  const air = (job) => Pad.fields([["temperature", "temperature", { v: "", u: Units.usual("temperature") }], ["pressure", "absolute_pressure", null]].map(([key, kind]) => ({
    id: `air-${key}`, words: say(`air ${key}`), kind, hint: say(`air ${key} hint`), get: () => job.air[key], set: (value) => App.type((now) => { now.air[key] = value.v === "" ? undefined : value; }),
  })));
  const draw = (job) => {
    const typing = job.plate.open && !job.car;
    const item = (words, under, press, on = false, focus = words) => h("li", { class: on ? "on" : "" }, h("button", { type: "button", class: "open", "aria-pressed": String(on), onclick: press, "data-focus": focus }, h("span", {}, words), under && h("span", { class: "quiet" }, under)), on && sign("tick", say("chosen")));
    const list = h("ul", { class: "pick" },
      job.car && item(job.car.name, job.car.invented ? say("invented") : say(`known ${job.car.known}`), () => {}, true),
      known(job).filter((car) => car.name !== job.car?.name).map((car) => item(car.name, say("from job"), () => App.change((now) => { now.car = car; delete now.found; }))),
      job.car?.text !== DEMO && item(say("demo car"), say("demo words"), () => take(DEMO, null, "demo"), false, "demo"),
      item(say("car file"), say("car file words"), async () => {
        const all = await JobsScreen.pick(JobsScreen.chooser(".toml"));
        const doubt = all.find((file) => /\.doubt\.toml$/i.test(file.name));
        const car = all.find((file) => file !== doubt);
        if (car) take(await car.text(), doubt ? await doubt.text() : null, car.name);
      }, false, "file"),
      item(say("new car"), say("new car words"), () => App.change((now) => { now.car = null; now.plate.open = true; }), typing, "ten"));
    const says = busy ? say("car working") : job.car ? say("car ready", job.car.name) : typing ? say("car numbers") : say("which car");
    return {
      says, pad: typing || undefined,
      over: problem && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", {}, problem)),
      right: [list, typing ? numbers(job) : null,
        job.car?.doubt && h("p", { class: "quiet" }, say("car doubted")),
        job.car && [h("h2", { class: "head" }, say("outside air")), air(job),
          h("ul", { class: "pick" }, job.twin ? h("li", { class: "on" }, h("span", {}, job.twin.name), button("", () => App.change((now) => { now.twin = null; }), { kind: "small", icon: "cross", named: say("twin away") }))
            : item(say("twin"), say("twin words"), async () => { const [file] = await JobsScreen.pick(JobsScreen.chooser(".toml", false)); if (file) { const text = await file.text(); App.change((now) => { now.twin = { name: file.name, text }; }); } }, false, "twin"))]],
      act: [job.car ? button(say("to complaint"), () => App.go("complaint"), { kind: "main", icon: "next", focus: "main" })
        : typing ? button(say("make car"), () => make(job), { kind: "main", focus: "main" }) : null],
    };
  };
  return { draw, use };
})();
