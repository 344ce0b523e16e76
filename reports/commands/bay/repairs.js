"use strict";
// What each repair gives back, in minutes and money; the one that is chosen.
const RepairScreen = (() => {
  let problem = "";
  let busy = false;
  // A healthy verdict leaves nothing to mend but what was measured.
  const faults = (job) => (job.found?.verdict === "no_fault_shown" ? [] : job.found?.hypotheses ?? []).filter((one) => one.fault !== "none" && !one.second && one.size && one.probability >= 0.02).slice(0, 3);
  const defect = (one) => {
    if (one.place) return `leak = { place = ${Files.text(one.place)}, round_hole = { diameter = ${Files.text(`${one.size.best} mm`)} } }`;
    return `fault = { ${one.fault} = ${one.size.unit ? Files.text(`${one.size.best} ${one.size.unit}`) : one.size.best} }`;
  };
  const key = (one) => `${one.fault} ${one.place ?? ""}`;
  const row = (job, one) => job.repair.rows.find((own) => own.key === key(one)) ?? { key: key(one), minutes: { v: "", u: "min" }, parts: { v: "", u: "" } };
  const set = (one, act) => App.type((job) => { let own = job.repair.rows.find((old) => old.key === key(one)); if (!own) { own = row(job, one); job.repair.rows.push(own); } act(own); });
  const money = (job, name) => (Units.good(job.repair[name]) ? [`${name} = ${Units.digits(job.repair[name].v)}`] : []);
  const question = (job) => [
    `vehicle = "car.toml"`, `currency = ${Files.text(job.repair.currency || "EUR")}`, ...money(job, "labour_rate"), ...money(job, "fuel_price"),
    ...faults(job).filter((one) => Units.good(row(job, one).minutes)).flatMap((one) => {
      const own = row(job, one);
      return ["", "[[repair]]", `name = ${Files.text(one.title)}`, `state = "suspected"`, `chance = "${(100 * Math.min(1, one.probability)).toFixed(1)} %"`, defect(one),
        `time = ${Units.toml("time", own.minutes)}`, ...(Units.good(own.parts) ? [`parts = ${Units.digits(own.parts.v)}`] : [])];
    }),
  ].join("\n");
  const work = async () => {
    const job = App.job();
    if (!faults(job).some((one) => Units.good(row(job, one).minutes))) { problem = say("minutes needed"); App.draw(); return; }
    busy = true;
    App.draw();
    const text = question(job);
    const { answer, wrong } = await Engine.ask({ ask: "workshop", question: "payback", file: "payback.toml" }, { ...(await Files.of(job)), "payback.toml": text });
    busy = false;
    problem = wrong ? `${wrong.key ? `${wrong.key}: ` : ""}${wrong.message}` : "";
    if (wrong) { App.draw(); return; }
    App.change((one) => {
      const best = answer.repairs[0];
      one.repair.answer = answer;
      one.repair.says = say("repair first", best.name);
      one.repair.chosen = one.repair.chosen ?? best.name;
      one.part.files = { ...one.part.files, "payback.toml": text };
    });
  };
  const gives = (one) => {
    const { torque_nm: torque, fuel_l_100km: fuel } = one.alone;
    return say("gives back", Page.fixed(torque.value ?? 0, 1), Page.fixed(fuel.value ?? 0, 2));
  };
  const draw = (job) => {
    const list = faults(job);
    const { answer } = job.repair;
    const most = answer ? Math.max(...answer.repairs.map((one) => Math.abs(one.expected.torque_nm.value ?? 0)), 0.1) : 1;
    const line = (one) => h("li", { class: job.repair.chosen === one.name ? "on" : "" }, h("button", { type: "button", class: "open", "aria-pressed": String(job.repair.chosen === one.name), onclick: () => App.change((now) => { now.repair.chosen = one.name; }), "data-focus": `repair-${one.rank}` },
      h("b", {}, one.name), h("span", { class: "cost" }, [one.time_h ? `${Page.number(60 * one.time_h, 3)} min` : "", one.price ? `${answer.currency} ${Page.number(one.price)}` : ""].filter(Boolean).join(", ")),
      h("i", { class: "meter", "--at": `${(100 * Math.abs(one.expected.torque_nm.value ?? 0) / most).toFixed(0)}%` }), h("span", { class: "quiet wide" }, gives(one), one.risks_removed.length ? `; ${say("removes", [...new Set(one.risks_removed.map((risk) => risk.what.split(":")[0]))].join(", "))}` : "")));
    const priced = [["labour_rate", say("labour rate", job.repair.currency || "EUR")], ["fuel_price", say("fuel price", job.repair.currency || "EUR")]].map(([name, words]) => ({ id: `repair-${name}`, words, kind: null, get: () => job.repair[name], set: (value) => App.type((one) => { one.repair[name] = value; }) }));
    const rows = list.flatMap((one) => [
      { id: `repair-${one.rank}-min`, words: `${one.title}: ${say("work time")}`, kind: "time", get: () => row(job, one).minutes, set: (value) => set(one, (own) => { own.minutes = value; }) },
      { id: `repair-${one.rank}-parts`, words: `${one.title}: ${say("parts price")}`, kind: null, get: () => row(job, one).parts, set: (value) => set(one, (own) => { own.parts = value; }) }]);
    return {
      says: busy ? say("repair working") : !list.length ? job.part.says ?? say("no repair") : job.repair.says ?? say("repair ask"),
      dangers: answer ? FitsScreen.dangers(answer).slice(0, 1) : [],
      pad: list.length > 0 && !answer,
      right: [
        problem && h("div", { class: "caution", role: "alert" }, sign("limit"), h("span", { class: "lines" }, problem)),
        answer ? [h("ul", { class: "opts" }, answer.repairs.map(line)), h("details", { class: "more" }, h("summary", {}, say("in full")), h("p", {}, answer.says), answer.sum_differs.map((one) => h("p", { class: "quiet" }, one))), h("details", { class: "more" }, h("summary", {}, say("cautions")), h("ul", { class: "plain" }, answer.cautions.map((one) => h("li", {}, one)))), button(say("other numbers"), () => App.change((one) => { delete one.repair.answer; delete one.repair.says; }), { kind: "soft small" })] : null,
        !answer && list.length ? [h("p", { class: "quiet" }, say("repair words")), Pad.fields([...rows, ...priced])] : null,
        !list.length && h("p", {}, job.part.says ? say("repair part") : say("no repair words")),
      ],
      act: [answer || !list.length ? button(say("to after"), () => App.go("after"), { kind: "main", icon: "next", focus: "main" }) : button(say("which pays"), work, { kind: "main", focus: "main" })],
    };
  };
  return { draw, faults, defect };
})();
