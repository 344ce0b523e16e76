"use strict";
// The list of jobs; a job saved as files of the commands and opened again; the path through a job.
const JobsScreen = (() => {
  const pick = (input) => new Promise((done) => { input.onchange = () => done([...input.files]); input.click(); });
  const chooser = (accept, multiple = true) => h("input", { type: "file", accept, multiple });

  const files = async (job) => {
    const all = await Files.of(job);
    const { found, photos, ...rest } = job;
    all["page.json"] = JSON.stringify({ made_by: "falseair bay", ...rest, car: job.car && { ...job.car, text: undefined, doubt: undefined } });
    for (const [name, text] of Object.entries(job.part.files ?? {})) all[name] = text;
    if (!job.log) delete all["drive.csv"];
    for (const name of photos) {
      const picture = await Big.get(job.id, name);
      if (picture) all[`${name}.jpg`] = Zip.bytes(picture);
    }
    return all;
  };
  const stem = (job) => Files.title(job).toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "job";
  const save = async (job) => Files.save(`${stem(job)}.zip`, Zip.pack(await files(job)), "application/zip");
  const readingsOnly = (job) => Files.save("job.toml", Files.readings(job));
  const saveCar = (job) => { Files.save("car.toml", job.car.text); if (job.car.doubt) Files.save("car.doubt.toml", job.car.doubt); };

  const texts = async (list) => {
    const all = {};
    for (const file of list) {
      if (/\.zip$/i.test(file.name)) Object.assign(all, await Zip.unpack(await file.arrayBuffer()));
      else all[file.name] = await file.text();
    }
    return all;
  };
  /** Opens a job from an archive, or from a readings file with the files it names beside it. */
  const openFiles = async (list) => {
    try {
      const all = await texts(list);
      const job = Jobs.make();
      const from = all["page.json"] ? JSON.parse(all["page.json"]) : {};
      for (const key of ["complaint", "note", "done", "skipped", "part", "repair", "after", "head", "step", "seconds", "made", "plate", "gauges", "title"]) if (from[key]) job[key] = from[key];
      if (!App.STEPS.includes(job.step)) job.step = "readings";
      const tomls = Object.keys(all).filter((name) => /\.toml$/i.test(name) && !/\.doubt\.toml$/i.test(name));
      let readings = null;
      let car = null;
      for (const name of tomls.filter((one) => one !== "healthy.toml")) {
        const { answer } = await Engine.ask({ ask: "read", file: name }, { [name]: all[name] });
        if (answer?.condition || answer?.codes || (answer?.vehicle && answer?.log)) readings = readings ?? answer;
        else if (answer?.cylinders !== undefined || answer?.compressor || answer?.cylinder) car = car ?? name;
      }
      if (!readings && !car) return trouble(say("no job in files", Object.keys(all).join(", ")));
      if (car) {
        const problem = await CarScreen.use(job, all[car], all[car.replace(/\.toml$/i, ".doubt.toml")] ?? all["car.doubt.toml"] ?? null, car);
        if (problem) return trouble(problem);
      }
      for (const name of Object.keys(all).filter((one) => from.made_by && Zip.PICTURE.test(one))) {
        const photo = name.replace(Zip.PICTURE, "");
        await Big.put(job.id, photo, all[name]);
        job.photos.push(photo);
      }
      if (all["healthy.toml"]) job.twin = { name: "healthy.toml", text: all["healthy.toml"] };
      if (readings) {
        const note = from.note;
        Files.opened(job, readings);
        if (from.made_by) job.title = from.title ?? "";
        if (note !== undefined) job.note = note;
        const log = readings.log && Object.keys(all).find((name) => name === readings.log.file?.split("/").pop() || /\.(csv|txt|log)$/i.test(name));
        if (log) { job.log = { name: from.log?.name ?? log }; await Big.put(job.id, "log", all[log]); }
        if (readings.baseline?.length && !job.twin) trouble(say("twin missing", readings.baseline.map((one) => one.readings).join(", ")));
        if (!from.step) job.step = job.car ? "readings" : "car";
      }
      App.open(job);
      if (readings && !job.car) App.tell(say("car missing"));
    } catch (problem) { trouble(String(problem.message ?? problem)); }
    return undefined;
  };
  const trouble = (words) => { const box = document.getElementById("problem"); box.textContent = words; box.hidden = false; setTimeout(() => { box.hidden = true; }, 12000); };
  const dropped = (list) => {
    if (!list.length) return;
    const job = App.job();
    const log = list.length === 1 && !/\.(zip|toml)$/i.test(list[0].name);
    if (job && log) ReadingsScreen.take(list[0]);
    else openFiles(list);
  };

  const jobs = () => {
    const all = Jobs.list();
    const item = (job) => h("li", {}, h("button", { type: "button", class: "open", onclick: () => App.open(job), "data-focus": job.id },
      h("span", {}, Files.title(job)), h("span", { class: "quiet" }, `${say(`step ${job.step}`)}, ${say("minutes", Math.floor(job.seconds / 60))}, ${new Date(job.made).toLocaleDateString(Page.language())}`)),
    job.found?.dangers?.length ? sign("danger", say("danger")) : job.after.says ? sign("tick", say("done")) : null,
    button("", () => { if (confirm(say("delete sure", Files.title(job)))) { Jobs.remove(job); if (App.job()?.id === job.id) location.reload(); App.draw(); } }, { kind: "small", icon: "cross", named: say("delete job", Files.title(job)) }));
    return {
      says: all.length ? say("go on") : say("begin"),
      right: [
        all.length ? h("ul", { class: "pick jobs" }, all.map(item)) : h("p", {}, say("no jobs")),
        h("div", { class: "wrap" }, button(say("open file"), async () => openFiles(await pick(chooser(".zip,.toml,.csv,.txt,.log"))), { kind: "soft" }), settings()),
        h("p", { class: "quiet" }, say("stays"), " ", say("nothing sent"), " ", say("invented demo"), " ", say("engine words")),
        h("details", { class: "notices", ontoggle: (event) => { event.target.querySelector("pre").textContent = document.getElementById("notices").textContent; } }, h("summary", {}, say("licences")), h("pre", { tabindex: "0" })),
      ],
      act: [button(say("new job"), () => { const job = Jobs.make(); Jobs.save(job); App.open(job); }, { kind: "main", icon: "next", focus: "main" })],
    };
  };
  const settings = () => [
    ...Page.languages.filter((one) => one !== Page.language()).map((one) => h("button", { type: "button", class: "b soft", lang: one, onclick: () => { Page.speak(one); App.draw(); } }, say(`language ${one}`))),
    button(say("theme"), () => { const root = document.documentElement; const dark = root.dataset.theme ? root.dataset.theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches; root.dataset.theme = dark ? "light" : "dark"; }, { kind: "soft" }),
  ];
  const path = (job, steps) => ({
    says: Files.title(job),
    right: [
      h("ol", { class: "pick path" }, steps.map((step, i) => h("li", { class: job.step === step ? "on" : "" }, h("button", { type: "button", class: "open", "aria-current": job.step === step ? "step" : null, onclick: () => App.go(step), "data-focus": `path-${step}` },
        h("span", {}, `${i + 1} ${say(`step ${step}`)}`), h("span", { class: "quiet" }, state(job, step))), done(job, step) && sign("tick", say("done"))))),
      h("h2", { class: "head" }, say("job as file")),
      h("div", { class: "wrap" }, button(say("save job"), () => save(job), { kind: "soft" }), button(say("save readings"), () => readingsOnly(job), { kind: "soft" }), job.car && button(say("save car"), () => saveCar(job), { kind: "soft" })),
      h("p", { class: "quiet" }, say("file words")),
      h("div", { class: "wrap" }, settings()),
    ],
    act: [button(say("all jobs"), () => App.show("jobs"), { kind: "soft" })],
  });
  const done = (job, step) => Boolean({ car: job.car, complaint: job.complaint.length || job.codesRead, readings: ReadingsScreen.count(job) > 0 || job.log, fits: job.found, test: job.done.length, part: job.part.says, repairs: job.repair.says, after: job.after.says }[step]);
  const state = (job, step) => ({
    car: job.car?.name ?? "", complaint: job.complaint.map((word) => label("felt", word)).join(", "), readings: job.log?.name ?? (ReadingsScreen.count(job) ? say("readings count", ReadingsScreen.count(job)) : ""),
    fits: job.found?.says_short ?? "", test: job.done.map((one) => one.name).join(", "), part: job.part.says ?? "", repairs: job.repair.says ?? "", after: job.after.says ?? "",
  })[step];
  return { jobs, path, dropped, pick, chooser, save, files, openFiles, trouble, stem };
})();
