"use strict";
// A car with a hidden fault: tests that cost minutes, an answer, and what would have been best.
const Hunt = (() => {
  const at = (id) => document.getElementById(id);
  const make = (name, words, attributes = {}) => Object.assign(document.createElement(name), { textContent: words, ...attributes });
  let lesson = null;
  let names = null;
  let vehicle = "";
  let sealed = "";
  const path = [];
  let arrival = null;
  // What is open: its seal and passphrase, with which the debrief opens it anew.
  let current = null;

  const say = (words) => { at("hunt-status").textContent = words; };
  /** Everything dangerous that is known of the car, as first told. */
  const dangers = () => [...arrival.dangers, ...path.flatMap((step) => step.dangers)];
  const minutes = () => path.reduce((sum, step) => sum + step.minutes, 0);
  const format = ({ value, unit, decimals }) => `${value.toFixed(decimals).replace("-", "\u2212")} ${unit}`.trim();

  const group = (key) => {
    if (key.startsWith("readings_")) return "drives";
    if (key.startsWith("decay_")) return "sections";
    return /_(idle|light_cruise|full_load)$/.test(key) ? "gauges" : "checks";
  };
  /** One stop of the Tab key; the arrow keys go through what can be done. */
  const roam = (event) => {
    const buttons = [...at("actions").querySelectorAll("button:not(:disabled)")];
    const here = buttons.indexOf(document.activeElement);
    const to = { ArrowDown: here + 1, ArrowUp: here - 1, Home: 0, End: buttons.length - 1 }[event.key];
    if (here < 0 || !buttons[to]) return;
    event.preventDefault();
    buttons[here].tabIndex = -1;
    Object.assign(buttons[to], { tabIndex: 0 }).focus();
  };
  const list = () => {
    const box = at("actions");
    const before = [...box.querySelectorAll("button:not(:disabled)")].indexOf(document.activeElement);
    box.replaceChildren();
    const all = JSON.parse(lesson.actions());
    for (const kind of ["drives", "checks", "sections", "gauges"]) {
      const these = all.filter(({ key }) => group(key) === kind);
      if (!these.length) continue;
      box.append(make("h4", WORDS.groups[kind]));
      for (const action of these) {
        const words = fill(WORDS.minutes, action.what, action.minutes);
        const button = make("button", action.held ? fill(WORDS["held back"], words) : words, { type: "button", disabled: action.held, tabIndex: -1 });
        button.dataset.key = action.key;
        button.addEventListener("click", () => act(action.key));
        box.append(button);
      }
    }
    const buttons = box.querySelectorAll("button:not(:disabled)");
    const stop = buttons[Math.max(0, Math.min(before, buttons.length - 1))];
    if (stop) stop.tabIndex = 0;
    if (stop && before >= 0) stop.focus({ preventScroll: true });
  };
  const show = (step) => {
    const item = make("li", "");
    item.append(make("strong", fill(WORDS.minutes, step.what, step.minutes)));
    if (step.words) item.append(make("div", step.words));
    for (const words of step.dangers) item.append(make("div", `${WORDS.danger}: ${words}`));
    const how = [...step.cautions, ...step.how];
    if (how.length) {
      const box = make("details", "");
      const lines = make("ul", "");
      for (const line of how) lines.append(make("li", line));
      box.append(make("summary", WORDS.how), lines);
      item.append(box);
    }
    for (const one of step.readings) item.append(make("div", `${one.label}: ${format(one)}`));
    return item;
  };
  const act = (key) => {
    const step = JSON.parse(lesson.act(key));
    path.push(step);
    if (path.length === 1) at("found").replaceChildren();
    const item = show(step);
    at("found").append(item);
    showDangers(at("hunt-dangers"), dangers());
    at("spent").textContent = fill(WORDS.spent, minutes());
    list();
    // On a phone the list of what was found lies below all that can be done.
    const { top, bottom } = item.getBoundingClientRect();
    if (top < 0 || bottom > innerHeight) item.scrollIntoView({ block: "nearest" });
    say(step.words || step.readings.map((one) => `${one.label} ${format(one)}`).join(", "));
  };

  const open = () => {
    const asked = { sealed: at("sealed").value.trim() || sealed, passphrase: at("passphrase").value };
    const going = current ? fill(WORDS["goes on"], minutes()) : "";
    if (!asked.sealed) return say(WORDS["none sealed"]);
    if (!asked.passphrase) return say(`${WORDS["give a passphrase"]} ${going}`.trim());
    if (current && asked.sealed === current.sealed && asked.passphrase === current.passphrase) {
      at("passphrase").value = "";
      at("trainer").open = false;
      return say(current.answered ? WORDS.answered : going);
    }
    say(WORDS.opening);
    // The words are painted before the engine works.
    setTimeout(() => {
      try {
        lesson = new wasm_bindgen.PageLesson(vehicle, asked.sealed, asked.passphrase);
      } catch (problem) {
        say(going ? `${problem}. ${going}` : String(problem));
        return;
      }
      current = { ...asked, opened: new Date().toISOString() };
      at("passphrase").value = "";
      for (const id of ["answer", "answer-2", "answer-size"]) at(id).value = "";
      at("export").hidden = true;
      closed(false);
      sized();
      arrival = JSON.parse(lesson.arrival());
      path.length = 0;
      showDangers(at("hunt-dangers"), dangers());
      at("found").replaceChildren(make("li", WORDS["nothing yet"]));
      at("spent").textContent = fill(WORDS.spent, 0);
      const stalls = arrival.stalls.length ? ` ${fill(WORDS.stalls, arrival.stalls.join(", "))}` : "";
      const around = fill(WORDS.around, arrival.celsius.toFixed(0), arrival.kpa.toFixed(1), arrival.boost_control.replaceAll("_", " "));
      at("arrival").textContent = `${around} ${arrival.codes.length ? fill(WORDS.stored, arrival.codes.join(", ")) : WORDS["none stored"]}${stalls}`;
      at("exercise").hidden = false;
      at("trainer").open = false;
      at("debrief").hidden = true;
      list();
      say(WORDS.opened);
    }, 30);
    return undefined;
  };

  const seal = () => {
    const trouble = { ...Demo.trouble(), ambient: Demo.ambient() };
    const chance = crypto.getRandomValues(new Uint8Array(28));
    const [seed] = crypto.getRandomValues(new Uint32Array(1));
    const given = at("seal-passphrase").value.trim();
    const phrase = given || wasm_bindgen.passphrase(crypto.getRandomValues(new Uint8Array(10)));
    try {
      sealed = wasm_bindgen.seal_fault(vehicle, JSON.stringify({ trouble, seed }), phrase, chance);
    } catch (problem) {
      return say(String(problem));
    }
    at("seal-passphrase").value = "";
    at("sealed").value = sealed;
    Demo.healthy();
    return say(fill(WORDS.sealed, given ? "" : `${phrase}.`));
  };

  /** The debrief is worked out beside the page, so that it stays alive meanwhile. */
  const worker = () => {
    const engine = document.getElementById("engine").textContent;
    const work = `${engine}
      onmessage = async ({ data: { wasm, vehicle, sealed, passphrase, keys } }) => {
        try {
          wasm_bindgen.initSync({ module: wasm });
          const lesson = new wasm_bindgen.PageLesson(vehicle, sealed, passphrase);
          for (const key of keys) lesson.act(key);
          postMessage({ debrief: lesson.debrief() });
        } catch (problem) { postMessage({ problem: String(problem) }); }
      };`;
    return new Worker(URL.createObjectURL(new Blob([work], { type: "text/javascript" })));
  };
  const closed = (yes) => { for (const id of ["tell", "answer", "answer-2", "answer-size"]) at(id).disabled = yes; };
  const suspect = (key) => names.suspects.find((one) => one.key === key);
  /** What the size is of: a hole, or the number of the fault that is chosen. */
  const sized = () => {
    const chosen = suspect(at("answer").value);
    const fault = chosen && names.faults.find(({ key }) => key === chosen.part);
    const words = fault ? `${fault.doc.slice(fault.doc.indexOf(":") + 1).trim()}${chosen.unit ? `, ${chosen.unit}` : ""}` : WORDS["hole size"];
    at("answer-size-label").textContent = chosen ? `${WORDS["answer size"]}: ${words}` : WORDS["answer size"];
  };
  const answer = () => {
    const keys = ["answer", "answer-2"].map((id) => at(id).value).filter((key, i, all) => key && all.indexOf(key) === i);
    if (!at("answer").value) return say(WORDS["answer first"]);
    say(WORDS.working);
    closed(true);
    const said = { keys: keys.filter((key) => key !== "none"), size: at("answer-size").value === "" ? null : Number(at("answer-size").value), time: new Date().toISOString() };
    const helper = worker();
    const asked = current;
    helper.onmessage = ({ data }) => {
      helper.terminate();
      if (current !== asked) return;
      if (data.problem) {
        closed(false);
        say(data.problem);
        return;
      }
      current.answered = true;
      tell(JSON.parse(data.debrief), said);
    };
    helper.postMessage({ wasm: Lesson.bytes(), vehicle, sealed: asked.sealed, passphrase: asked.passphrase, keys: path.map(({ key }) => key) });
    return undefined;
  };
  /** The verdict, and which of the truths the first thing named is about. */
  const judged = ({ truth }, { keys }) => {
    const alike = (key, what) => truth.find((one) => suspect(one.key)?.[what] === suspect(key)?.[what]);
    const right = keys.filter((key) => truth.some((one) => one.key === key));
    const meant = alike(keys[0], "key") ?? alike(keys[0], "curve") ?? null;
    const extra = keys.length > right.length;
    if (!truth.length) return [keys.length ? WORDS["was healthy"] : WORDS["healthy right"], null];
    if (right.length === truth.length && !extra) return [WORDS.right, meant];
    if (right.length) return [`${fill(WORDS["some of them"], right.length, truth.length)}${extra ? ` ${WORDS["one too many"]}` : ""}`, meant];
    if (keys.some((key) => alike(key, "part"))) return [WORDS["other way"], null];
    return [keys.some((key) => alike(key, "curve")) ? WORDS.twin : WORDS.wrong, meant];
  };
  /** Near is within a third of how far it is from sound. */
  const near = (said, meant) => {
    const fault = names.faults.find(({ key }) => key === suspect(meant.key).part);
    const sound = fault ? fault.sound * (meant.unit === "kPa" ? 1e-3 : 1) : 0;
    return Math.abs(said - meant.size) <= Math.abs(meant.size - sound) / 3;
  };
  const tell = (debrief, said) => {
    const box = at("debrief");
    const truth = debrief.truth.map(({ name, size, unit }) => `${name}, ${Number(size.toPrecision(3))} ${unit}`.trim());
    const [verdict, meant] = judged(debrief, said);
    const what = truth.length ? truth.join("; ") : WORDS.nothing;
    box.replaceChildren(make("h3", fill(WORDS.truth, what)), make("p", verdict));
    if (debrief.given.length) box.append(make("p", fill(WORDS.given, debrief.given.join("; "))));
    if (said.size !== null && meant) {
      const words = WORDS[near(said.size, meant) ? "sized near" : "sized far"];
      box.append(make("p", fill(words, ...[said.size, Number(meant.size.toPrecision(3))].map((size) => `${size} ${meant.unit}`.trim()))));
    }
    box.append(make("p", fill(WORDS.spent, debrief.minutes)));
    const steps = make("ol", "");
    for (const stage of debrief.stages) {
      const item = make("li", "");
      const title = stage.done ? stage.done.what : WORDS["at the end"];
      item.append(make("strong", title));
      const share = fill(stage.done ? WORDS.before : WORDS.now, (100 * stage.probability_of_the_truth).toFixed(0));
      item.append(make("div", share));
      if (stage.done) {
        const chosen = stage.chosen ? fill(WORDS.settles, stage.chosen.settles.toFixed(0), stage.chosen.minutes) : WORDS.little;
        item.append(make("div", fill(WORDS.yours, chosen)));
      }
      if (stage.best) item.append(make("div", fill(stage.done ? WORDS.best : WORDS["would tell"], `${stage.best.what} (${fill(WORDS.settles, stage.best.settles.toFixed(0), stage.best.minutes)})`)));
      steps.append(item);
    }
    box.append(steps);
    box.hidden = false;
    at("export").hidden = false;
    at("export").onclick = () => {
      const result = { made_by: "falseair classroom", vehicle: names.vehicle, opened: current.opened, answer: said, verdict, notes: at("notes").value, arrival, ...debrief };
      const link = make("a", "", { href: URL.createObjectURL(new Blob([JSON.stringify(result, null, 1)], { type: "application/json" })), download: WORDS.file });
      link.click();
    };
    say(`${verdict} ${fill(WORDS.truth, what)}`);
    box.scrollIntoView({ block: "start" });
  };

  const start = (car, catalogue, hidden) => {
    vehicle = car;
    names = catalogue;
    sealed = hidden;
    say(hidden ? WORDS.closed : WORDS["none sealed"]);
    at("answer").append(make("option", "", { value: "" }), make("option", WORDS.nothing, { value: "none" }));
    at("answer-2").append(make("option", WORDS["no second"], { value: "" }));
    for (const [i, { key, name }] of names.suspects.entries()) {
      if (names.suspects.findIndex((one) => one.name === name) < i) continue;
      for (const id of ["answer", "answer-2"]) at(id).append(make("option", name, { value: key }));
    }
    at("answer").addEventListener("change", sized);
    at("actions").addEventListener("keydown", roam);
    at("open").addEventListener("click", open);
    at("seal").addEventListener("click", seal);
    at("tell").addEventListener("click", answer);
  };
  return { start };
})();
