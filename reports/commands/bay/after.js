"use strict";
// After the repair: read again, judge what is left, hand out the record.
const AfterScreen = (() => {
  let problem = "";
  let busy = false;
  let current = "idle";
  const find = ReadingsScreen.find;

  /** `workshop verify` of what was read at idle and at full load both times. */
  const verify = (job) => {
    const faults = RepairScreen.faults(job);
    const mended = faults.find((one) => one.title === job.repair.chosen) ?? faults[0];
    if (!mended) return null;
    const told = new Map(mended.readings.map((one) => [`${one.condition} ${one.reading}`, one]));
    const points = [];
    const side = (name, list) => list.filter((one) => one.idle || ReadingsScreen.kind(one) === "full load").flatMap((one) => {
      if (!one.idle && !points.some((point) => point.name === one.name)) points.push(one);
      return Object.entries(one.readings).filter(([key, value]) => Units.good(value) && told.has(`${one.name} ${ReadingsScreen.known[key].reading}`)).map(([key, value]) => {
        const form = ReadingsScreen.known[key];
        const witness = told.get(`${one.name} ${form.reading}`);
        const all = FitsScreen.spread(witness);
        const model = Math.sqrt(Math.max(0, all ** 2 - witness.doubt ** 2));
        const shown = (Units.si(form.kind, value) - form.zero) / (form.one - form.zero);
        return ["", `[[${name}]]`, `at = ${Files.text(one.name)}`, `reading = ${Files.text(form.reading)}`, `value = ${Number(shown.toPrecision(8))}`, `doubt = ${witness.doubt}`, ...(model > 0 ? [`model_doubt = ${Number(model.toPrecision(4))}`] : [])].join("\n");
      });
    });
    const before = side("before", job.conditions);
    const after = side("after", job.after.conditions);
    if (!before.length || !after.length) return null;
    const air = ["temperature", "pressure"].filter((name) => Units.good(job.air[name])).map((name) => `${name} = ${Units.toml(name === "temperature" ? "temperature" : "absolute_pressure", job.air[name])}`);
    return [`vehicle = "car.toml"`, RepairScreen.defect(mended), ...(air.length ? ["[ambient]", ...air] : []), ...points.flatMap((one) => ["", "[[point]]", `name = ${Files.text(one.name)}`, `speed = ${Units.toml("angular_speed", one.speed)}`, 'pedal = "100 %"']), ...before, ...after].join("\n");
  };
  const work = async () => {
    const job = App.job();
    const lack = ReadingsScreen.lacking(job.after.conditions);
    if (lack) { current = lack.name; problem = say("speed missing", label("condition", lack.name, lack.name)); App.draw(); return; }
    busy = true;
    problem = "";
    App.draw();
    const { answer, wrong } = await Engine.ask({ ask: "diagnose", readings: "job.toml" }, await Files.of(job, job.after.conditions));
    const text = verify(job);
    const verified = text ? await Engine.ask({ ask: "workshop", question: "verify", file: "verify.toml" }, { ...(await Files.of(job)), "verify.toml": text }) : null;
    busy = false;
    if (wrong) { problem = `${wrong.key ? `${wrong.key}: ` : ""}${wrong.message}`; App.draw(); return; }
    const found = FitsScreen.kept(answer);
    App.change((one) => {
      one.after.found = { ...found, hypotheses: found.hypotheses.slice(0, 3) };
      one.after.verified = verified?.answer ? { says: verified.answer.says, verdict: verified.answer.verdict, left: verified.answer.left } : null;
      one.after.says = found.verdict === "no_fault_shown" ? say("after good", Page.percent(found.probability_sound)) : say("after left", FitsScreen.sentence(found));
      if (text) one.part.files = { ...one.part.files, "verify.toml": text };
    });
    App.tell(App.job().after.says);
  };
  const bands = (job) => {
    const witnesses = job.after.found?.hypotheses[0]?.readings ?? [];
    return witnesses.slice(0, 6).map((witness) => {
      const form = Units.catalogue.readings.find((one) => one.reading === witness.reading);
      const before = find(job.conditions, witness.condition)?.readings[form?.key];
      const was = Units.good(before) ? (Units.si(form.kind, before) - form.zero) / (form.one - form.zero) : null;
      const deviation = FitsScreen.spread(witness);
      return Drawing.band({ words: `${form ? ReadingsScreen.words(form.key) : witness.reading}, ${Page.small(label("condition", witness.condition, witness.condition))}`, unit: witness.unit, read: witness.read, was, low: witness.sound_shows - 1.645 * deviation, high: witness.sound_shows + 1.645 * deviation, decimals: form?.decimals ?? 1 });
    });
  };
  const draw = (job) => {
    const { found, verified, says } = job.after;
    const head = (name) => h("label", { class: "choice" }, say(`head ${name}`), h("input", { value: job.head[name] ?? "", "data-focus": `head-${name}`, oninput: (event) => App.type((one) => { one.head[name] = event.target.value; }) }));
    return {
      says: busy ? say("working") : says ?? say("after ask"),
      dangers: FitsScreen.dangers(found),
      over: found?.verdict === "no_fault_shown" ? h("p", { class: "done" }, sign("tick"), say("repaired")) : null,
      pad: !found,
      right: [
        problem && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, problem)),
        found ? [h("ul", { class: "band" }, bands(job)), h("p", { class: "quiet" }, say("before after")),
          verified && h("p", {}, verified.says), verified?.left && h("p", { class: "quiet" }, verified.left),
          button(say("after again"), () => App.change((one) => { one.after = { conditions: one.after.conditions, codesRead: one.after.codesRead }; }), { kind: "soft small" })]
          : [FitsScreen.dangers(job.found).map((one) => h("div", { class: "danger" }, sign("danger"), h("b", {}, one.title), h("p", {}, say("not loaded after")))), ReadingsScreen.cards(job, (of) => of.after.conditions, current, (name) => { current = name; App.draw(); document.querySelector(".fields input")?.focus(); }, "after"),
            button(say("codes after"), () => App.change((one) => { one.after.codesRead = !one.after.codesRead; }), { kind: "soft small", on: Boolean(job.after.codesRead), focus: "codes-after" })],
        h("details", { class: "more", open: Boolean(found) }, h("summary", {}, say("record")), h("div", { class: "heads" }, ["customer", "plate", "workshop", "technician", "work"].map(head)), RecordSheet.sheet(job)),
      ],
      act: [h("div", { class: "row" },
        found ? button(say("print"), () => RecordSheet.print(), { kind: "", focus: "print" }) : button(say("print now"), () => RecordSheet.print(), { kind: "soft", focus: "print" }),
        found ? button(say("share"), () => RecordSheet.share(App.job()), { kind: "main", focus: "share" }) : button(say("did it go"), work, { kind: "main", focus: "main" }))],
    };
  };
  return { draw };
})();

// The record: all that was read, done and found, on paper or as a page of its own.
const RecordSheet = (() => {
  const row = (...cells) => h("tr", {}, cells.map((cell, i) => h(i ? "td" : "th", i ? {} : { scope: "row" }, cell)));
  const readings = (job) => {
    const lists = [job.conditions, job.after.conditions];
    const names = [...new Set(lists.flat().map((one) => one.name))];
    const rows = names.flatMap((name) => {
      const both = lists.map((list) => ReadingsScreen.find(list, name)?.readings ?? {});
      const keys = [...new Set(both.flatMap(Object.keys))].filter((key) => both.some((one) => Units.good(one[key])));
      const shown = (value) => (Units.good(value) ? `${value.v} ${Units.shown(value.u)}` : "\u2013");
      return keys.map((key) => row(`${label("condition", name, name)}, ${Page.small(ReadingsScreen.words(key))}`, shown(both[0][key]), shown(both[1][key])));
    });
    return rows.length ? h("table", {}, h("thead", {}, h("tr", {}, [say("reading"), say("before"), say("after")].map((one) => h("th", { scope: "col" }, one)))), h("tbody", {}, rows)) : null;
  };
  const fact = (name, words) => (words ? [h("dt", {}, name), h("dd", {}, words)] : null);
  const sheet = (job) => {
    const photos = h("div", { class: "photos" });
    for (const name of job.photos) Big.get(job.id, name).then((data) => data && photos.append(h("img", { src: data, alt: say("photo") })));
    const { found, head } = job;
    return h("section", { id: "record", class: "record", "aria-label": say("record") },
      h("h2", {}, say("record of", job.car?.name ?? say("new job"))),
      h("dl", {}, fact(say("head customer"), head.customer), fact(say("head plate"), head.plate), fact(say("date"), new Date(job.changed).toLocaleDateString(Page.language())), fact(say("head workshop"), head.workshop), fact(say("head technician"), head.technician),
        fact(say("complaint"), job.complaint.map((word) => label("felt", word)).join(", ")), fact(say("note"), job.note),
        fact(say("codes"), job.codes.length ? job.codes.join(", ") : job.codesRead ? say("none set") : ""),
        fact(say("log"), job.log?.name)),
      found && [h("h3", {}, say("step fits")), (found.dangers ?? []).map((one) => h("p", { class: "danger" }, sign("danger"), h("b", {}, say("danger")), " ", one.words)), h("p", {}, h("b", {}, found.says_short)), h("p", {}, found.says)],
      job.done.length ? [h("h3", {}, say("tests done")), h("ul", {}, job.done.map((one) => h("li", {}, `${one.name}: ${one.words} (${say("minutes", one.minutes)})`)))] : null,
      Object.entries(job.part).filter(([, one]) => one?.says).map(([name, one]) => [h("h3", {}, say(`part ${name}`)), h("p", {}, one.says), h("p", { class: "quiet" }, one.answer?.says)]),
      (job.repair.chosen || head.work) && [h("h3", {}, say("step repairs")), h("p", {}, [job.repair.chosen, head.work].filter(Boolean).join(": "))],
      readings(job),
      job.after.says && [h("h3", {}, say("step after")), h("p", {}, h("b", {}, job.after.says)), job.after.verified && h("p", {}, job.after.verified.says)],
      photos,
      h("p", { class: "quiet" }, say("made by", found?.falseair_version ?? Units.catalogue.version), " ", job.car?.invented ? say("invented car") : "", " ", say("record words")),
      h("p", { class: "signs" }, `${say("head technician")}: ____________________   ${say("head customer")}: ____________________`));
  };
  const print = () => {
    for (const box of document.querySelectorAll("details")) if (box.querySelector("#record")) box.open = true;
    window.print();
  };
  const share = async (job) => {
    const style = [...document.querySelectorAll("style")].map((one) => one.textContent).join("\n");
    const body = document.getElementById("record").outerHTML;
    const html = `<!doctype html><html lang="${Page.language()}"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${say("record")}</title><style>${style}</style><body class="paper">${document.getElementById("drawings").outerHTML}${body}</body></html>`;
    const file = new File([html], `${JobsScreen.stem(job)}.html`, { type: "text/html" });
    try {
      if (navigator.canShare?.({ files: [file] })) { await navigator.share({ files: [file], title: say("record") }); return; }
    } catch (problem) { if (problem.name === "AbortError") return; }
    Files.save(file.name, html, "text/html");
  };
  return { sheet, print, share };
})();
