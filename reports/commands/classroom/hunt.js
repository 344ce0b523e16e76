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
  const list = () => {
    const box = at("actions");
    box.replaceChildren();
    const all = JSON.parse(lesson.actions());
    for (const kind of ["drives", "checks", "sections", "gauges"]) {
      const these = all.filter(({ key }) => group(key) === kind);
      if (!these.length) continue;
      box.append(make("h4", WORDS.groups[kind]));
      for (const action of these) {
        const words = fill(WORDS.minutes, action.what, action.minutes);
        const button = make("button", action.held ? fill(WORDS["held back"], words) : words, { type: "button", disabled: action.held });
        button.dataset.key = action.key;
        button.addEventListener("click", () => act(action.key));
        box.append(button);
      }
    }
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
    at("found").append(show(step));
    showDangers(at("hunt-dangers"), dangers());
    at("spent").textContent = fill(WORDS.spent, minutes());
    list();
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
      return say(going);
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
      current = asked;
      at("passphrase").value = "";
      at("answer").value = "";
      at("answer-size").value = "";
      at("export").hidden = true;
      at("tell").disabled = false;
      arrival = JSON.parse(lesson.arrival());
      path.length = 0;
      showDangers(at("hunt-dangers"), dangers());
      at("found").replaceChildren(make("li", WORDS["nothing yet"]));
      at("spent").textContent = fill(WORDS.spent, 0);
      const stalls = arrival.stalls.length ? ` ${fill(WORDS.stalls, arrival.stalls.join(", "))}` : "";
      at("arrival").textContent = (arrival.codes.length ? fill(WORDS.stored, arrival.codes.join(", ")) : WORDS["none stored"]) + stalls;
      at("exercise").hidden = false;
      at("trainer").open = false;
      at("debrief").hidden = true;
      list();
      say(WORDS.opened);
    }, 30);
    return undefined;
  };

  const seal = () => {
    const trouble = Demo.trouble();
    const phrase = at("seal-passphrase").value;
    if (!phrase.trim()) return say(WORDS["give a passphrase"]);
    if (!Object.keys(trouble).length) return say(WORDS["seal first"]);
    const chance = crypto.getRandomValues(new Uint8Array(28));
    const [seed] = crypto.getRandomValues(new Uint32Array(1));
    try {
      sealed = wasm_bindgen.seal_fault(vehicle, JSON.stringify({ trouble, seed }), phrase, chance);
    } catch (problem) {
      return say(String(problem));
    }
    at("seal-passphrase").value = "";
    at("sealed").value = sealed;
    Demo.healthy();
    return say(WORDS.sealed);
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
  const answer = () => {
    const [kind, key] = at("answer").value.split(":");
    if (!kind) return say(WORDS["answer first"]);
    say(WORDS.working);
    at("tell").disabled = true;
    const helper = worker();
    const asked = current;
    helper.onmessage = ({ data }) => {
      helper.terminate();
      if (current !== asked) return;
      at("tell").disabled = false;
      if (data.problem) say(data.problem);
      else tell(JSON.parse(data.debrief), { key, size: Number(at("answer-size").value) || null });
    };
    helper.postMessage({ wasm: Lesson.bytes(), vehicle, ...asked, keys: path.map(({ key }) => key) });
    return undefined;
  };
  /** The verdict, and which of the truths the answer is about. */
  const judged = ({ truth }, said) => {
    const right = truth.find(({ key }) => key === said.key);
    if (right) return [truth.length > 1 ? fill(WORDS["one of them"], truth.length) : WORDS.right, right];
    const known = (key, what) => names.suspects.filter((one) => one.key === key).map((one) => one[what]);
    const alike = (what) => truth.find(({ key }) => known(key, what).some((one) => known(said.key, what).includes(one)));
    if (alike("part")) return [WORDS["other way"], null];
    const twin = alike("curve");
    return twin ? [WORDS.twin, twin] : [WORDS.wrong, null];
  };
  const tell = (debrief, said) => {
    const box = at("debrief");
    const truth = debrief.truth.map(({ name, size, unit }) => `${name}, ${Number(size.toPrecision(3))} ${unit}`.trim());
    const [verdict, meant] = judged(debrief, said);
    box.replaceChildren(make("h3", fill(WORDS.truth, truth.join("; "))), make("p", verdict));
    if (said.size && meant) box.append(make("p", fill(WORDS.sized, said.size, meant.unit, Number(meant.size.toPrecision(3)), meant.unit)));
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
      const result = { made_by: "falseair classroom", vehicle: names.vehicle, answer: said, verdict, notes: at("notes").value, arrival, ...debrief };
      const link = make("a", "", { href: URL.createObjectURL(new Blob([JSON.stringify(result, null, 1)], { type: "application/json" })), download: WORDS.file });
      link.click();
    };
    say(`${verdict} ${fill(WORDS.truth, truth.join("; "))}`);
    box.scrollIntoView({ block: "start" });
  };

  const start = (car, catalogue, hidden) => {
    vehicle = car;
    names = catalogue;
    sealed = hidden;
    say(hidden ? WORDS.closed : WORDS["none sealed"]);
    const choice = at("answer");
    choice.append(make("option", "", { value: "" }));
    choice.append(make("option", WORDS.nothing, { value: "none:none" }));
    const seen = new Set();
    for (const { key, name, unit } of names.suspects) {
      if (seen.has(name)) continue;
      seen.add(name);
      choice.append(make("option", unit ? `${name} (${unit})` : name, { value: `suspect:${key}` }));
    }
    at("open").addEventListener("click", open);
    at("seal").addEventListener("click", seal);
    at("tell").addEventListener("click", answer);
  };
  return { start };
})();
