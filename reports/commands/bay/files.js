"use strict";
// A job as the files of the commands: what the engine is asked, and what is saved and opened.
const Files = (() => {
  const text = (value) => JSON.stringify(String(value));
  const kindOf = Object.fromEntries(Units.catalogue.readings.map((one) => [one.key, one.kind]));
  const PLATE = [
    ["displacement", "volume", "L"], ["cylinders", null], ["rated_power", "power", "kW"], ["rated_speed", "angular_speed", "rpm"],
    ["peak_torque", "torque", "N m"], ["peak_torque_speed", "angular_speed", "rpm"], ["peak_torque_speed_end", "angular_speed", "rpm"],
    ["peak_boost", "gauge_pressure", "kPa gauge"], ["rated_boost", "gauge_pressure", "kPa gauge"], ["idle_speed", "angular_speed", "rpm"],
  ];
  const NEEDED = ["displacement", "cylinders", "rated_power", "rated_speed", "peak_torque", "peak_torque_speed"];
  // What a file may say that no screen asks for: it is kept as it was written.
  const MORE = { top: ["car", "boost_control", "fixed_duty", "tank"], air: ["altitude", "humidity"], condition: ["torque_doubt", "commanded_lambda", "commanded_boost"], log: ["ambient", "interval", "stoichiometric"] };
  const some = (keys, from) => Object.fromEntries(keys.filter((key) => from?.[key] !== undefined).map((key) => [key, from[key]]));
  const lines = (more) => Object.entries(more ?? {}).map(([key, value]) => `${key} = ${JSON.stringify(value)}`);
  const DRIVEN = { speed: "angular_speed", torque: "torque", pedal: "ratio" };

  const given = (kinds, values) => Object.entries(values ?? {}).filter(([key, value]) => key in kinds && Units.good(value)).map(([key, value]) => `${key} = ${Units.toml(kinds[key], value)}`);
  const plate = (job) => {
    const kinds = Object.fromEntries(PLATE);
    const choices = Object.entries(job.plate.choices).map(([key, word]) => `${key} = ${text(word)}`);
    return [`name = ${text(job.plate.name || say("plate name"))}`, ...given(kinds, job.plate), ...choices].join("\n");
  };
  const conditions = (all) => all.filter((one) => !one.runs || Object.values(one.readings).some(Units.good)).flatMap((one) => [
    "", "[[condition]]", `name = ${text(one.name)}`,
    ...(one.idle ? ["idle = true"] : given(DRIVEN, one)),
    ...(one.runs ? [] : ["runs = false"]), ...lines(one.more),
    "[condition.readings]", ...given(kindOf, one.readings),
    ...(one.doubt ? ["[condition.doubt]", ...lines(one.doubt)] : []),
  ]);
  const ambient = (job) => [...given({ temperature: "temperature", pressure: "absolute_pressure" }, job.air), ...lines(job.more?.air)];
  const about = (job) => [job.complaint.length && `${say("complaint")}: ${job.complaint.map((word) => label("felt", word)).join(", ")}`, job.note].filter(Boolean).join("\n");
  /** The readings file; `measured` leaves out what is only known after the repair. */
  const readings = (job, all = job.conditions) => {
    const columns = Object.entries(job.mapping.columns ?? {}).map(([column, to]) => `${text(column)} = ${to.ignore ? text("ignore") : `{ reading = ${text(to.reading)}${to.unit ? `, unit = ${text(to.unit)}` : ""} }`}`);
    const air = ambient(job);
    return [
      `title = ${text(title(job))}`,
      ...(about(job) ? [`about = ${text(about(job))}`] : []),
      `vehicle = "car.toml"`, ...lines(job.more?.top),
      ...(all !== job.conditions ? (job.after.codesRead ? ["codes = []"] : []) : job.codesRead || job.codes.length ? [`codes = [${job.codes.map(text).join(", ")}]`] : []),
      ...(air.length ? ["", "[ambient]", ...air] : []),
      ...(job.log && all === job.conditions ? ["", "[log]", `file = "drive.csv"`, ...lines(job.more?.log), ...mapped(job), ...(columns.length ? ["[log.columns]", ...columns] : [])] : []),
      ...conditions(all),
      ...(job.twin ? ["", "[[baseline]]", 'readings = "healthy.toml"'] : []),
      ...(all === job.conditions ? [
        ...job.checks.flatMap((one) => ["", "[[check]]", `check = ${text(one.check)}`, `found = ${text(one.found)}`, ...lines(one.more)]),
        ...job.holes.flatMap((one) => ["", "[[hole]]", `places = [${one.places.map(text).join(", ")}]`, `diameter = ${text(`${one.diameter} mm`)}`, ...(one.doubt ? [`doubt = ${text(`${one.doubt} mm`)}`] : [])]),
      ] : []),
      "",
    ].join("\n");
  };
  const mapped = (job) => (job.mapping.only ? [`only = { column = ${text(job.mapping.only.column)}, is = ${text(job.mapping.only.is)} }`] : []);
  const title = (job) => job.title || [job.car?.name, ...job.complaint.slice(0, 2).map((word) => label("felt", word).toLowerCase())].filter(Boolean).join(", ") || say("new job");

  /** What a question about this job is asked of. */
  const of = async (job, all = job.conditions) => {
    const files = { "job.toml": readings(job, all), "car.toml": job.car?.text ?? "" };
    if (job.twin) files["healthy.toml"] = job.twin.text;
    if (job.car?.doubt) files["car.doubt.toml"] = job.car.doubt;
    if (job.log && all === job.conditions) files["drive.csv"] = (await Big.get(job.id, "log")) ?? "";
    return files;
  };

  /** A job from a readings file as the engine reads it (`ask: read`). */
  const opened = (job, file) => {
    const value = (kind, given) => Units.read(kind, given) ?? undefined;
    job.title = file.title ?? "";
    job.more = { top: some(MORE.top, file), air: some(MORE.air, file.ambient), log: some(MORE.log, file.log) };
    job.note = file.about ?? "";
    job.codesRead = Array.isArray(file.codes);
    job.codes = file.codes ?? [];
    if (file.ambient?.temperature) job.air.temperature = value("temperature", file.ambient.temperature);
    if (file.ambient?.pressure) job.air.pressure = value("absolute_pressure", file.ambient.pressure);
    job.conditions = (file.condition ?? []).map((one) => ({
      name: one.name, idle: one.idle === true, runs: one.runs !== false,
      ...Object.fromEntries(Object.entries(DRIVEN).filter(([key]) => key in one).map(([key, kind]) => [key, value(kind, one[key])])),
      more: some(MORE.condition, one), ...(one.doubt ? { doubt: one.doubt } : {}),
      readings: Object.fromEntries(Object.entries(one.readings ?? {}).map(([key, text]) => [key, value(kindOf[key], text)])),
    }));
    job.checks = (file.check ?? []).map((one) => ({ check: one.check, found: one.found, more: some(["trust"], one) }));
    job.holes = (file.hole ?? []).map((one) => ({ places: one.places, diameter: Units.si("length", value("length", one.diameter)) * 1e3, doubt: one.doubt ? Units.si("length", value("length", one.doubt)) * 1e3 : null }));
    if (file.log) job.mapping = { columns: Object.fromEntries(Object.entries(file.log.columns ?? {}).map(([column, to]) => [column, to === "ignore" ? { ignore: true } : to])), only: file.log.only };
  };

  const save = (name, content, type = "text/plain") => {
    const link = h("a", { href: URL.createObjectURL(new Blob([content], { type })), download: name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  };
  return { PLATE, NEEDED, plate, readings, title, of, opened, save, kindOf, text };
})();
