"use strict";
// A car with a hidden fault: opened with the trainee's own key, tests that cost minutes. What a test finds
// is unlocked when it is done, and not before; the truth with the trainer's key only.
const Hunt = (() => {
  const at = (id) => document.getElementById(id);
  const make = (name, words, attributes = {}) => Object.assign(document.createElement(name), { textContent: words, ...attributes });
  let names = null;
  let vehicle = "";
  // Every exercise of the page, locked; the one that is open, with all that was done.
  let exercises = [];
  let work = null;
  let tests = null;

  const say = (words) => { at("hunt-status").textContent = words; };
  const read = (part) => JSON.parse(wasm_bindgen.unlock_exercise(vehicle, JSON.stringify(work.exercise), part, work.opening));
  /** Everything dangerous that is known of the car, as first told. */
  const dangers = () => [...work.came.dangers, ...work.path.flatMap((step) => step.dangers)];
  const minutes = () => work.path.reduce((sum, step) => sum + step.minutes, 0);
  const seconds = () => Math.round((Date.now() - Date.parse(work.opened)) / 1000);
  const format = ({ value, unit, decimals }) => `${value.toFixed(decimals).replace("-", "\u2212")} ${unit}`.trim();

  // What was done is kept in this browser, so that it goes on after a reload.
  const shelf = ({ lesson, number }) => `falseair lesson ${lesson} ${number}`;
  const keep = () => {
    const { opening, opened, attempts, trainee, answered } = work;
    const path = work.path.map(({ key, seconds }) => ({ key, seconds }));
    const kept = { opening, opened, attempts, trainee, answered, path, notes: at("notes").value };
    try {
      localStorage.setItem(shelf(work.exercise), JSON.stringify(kept));
    } catch {
      at("not-kept").hidden = false;
    }
  };
  const kept = (exercise) => {
    try {
      return JSON.parse(localStorage.getItem(shelf(exercise)));
    } catch {
      return null;
    }
  };

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
  /** A danger that is known forbids full load, or any drive where nobody may drive. */
  const held = (test) => (test.loads && dangers().length > 0) || (test.driven && dangers().some(({ parks }) => parks));
  const list = () => {
    const box = at("actions");
    const before = [...box.querySelectorAll("button:not(:disabled)")].indexOf(document.activeElement);
    box.replaceChildren();
    if (work.answered) return;
    const left = tests.filter(({ key }) => work.exercise.tests[key] && !work.path.some((step) => step.key === key));
    for (const kind of ["drives", "checks", "sections", "gauges"]) {
      const these = left.filter(({ key }) => group(key) === kind);
      if (!these.length) continue;
      box.append(make("h4", WORDS.groups[kind]));
      for (const test of these) {
        const words = fill(WORDS.minutes, test.what, test.minutes);
        const none = held(test);
        const button = make("button", none ? fill(WORDS["held back"], words) : words, { type: "button", disabled: none, tabIndex: -1 });
        button.dataset.key = test.key;
        button.addEventListener("click", () => act(test.key));
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
    for (const { words } of step.dangers) item.append(make("div", `${WORDS.danger}: ${words}`));
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
  /** Unlocks what a test finds. */
  const found = (key, when) => {
    const { readings, words, dangers: shown } = read(key);
    const known = dangers().map((one) => one.words);
    const shape = ([label, value]) => ({ label, value, ...names.readings.find((one) => one.label === label) });
    const step = { ...tests.find((one) => one.key === key), seconds: when, words, readings: readings.map(shape) };
    step.dangers = shown.filter((one) => !known.includes(one.words));
    work.path.push(step);
    if (work.path.length === 1) at("found").replaceChildren();
    const item = show(step);
    at("found").append(item);
    return [step, item];
  };
  const shown = () => {
    showDangers(at("hunt-dangers"), dangers().map(({ words }) => words));
    at("spent").textContent = fill(WORDS.spent, minutes());
    list();
  };
  const act = (key) => {
    const [step, item] = found(key, seconds());
    keep();
    shown();
    // On a phone the list of what was found lies below all that can be done.
    const { top, bottom } = item.getBoundingClientRect();
    if (top < 0 || bottom > innerHeight) item.scrollIntoView({ block: "nearest" });
    say(step.words || step.readings.map((one) => `${one.label} ${format(one)}`).join(", "));
  };

  /** The exercise that is meant: of the code that was pasted, else of the page, by its number. */
  const meant = () => {
    const code = at("sealed").value.trim();
    const all = code ? JSON.parse(code) : exercises;
    return all.length > 1 ? all.find(({ number }) => String(number) === at("number").value.trim()) : all[0];
  };
  const begin = (exercise, opening, before) => {
    const other = work;
    const fresh = { answered: null, opened: new Date().toISOString(), attempts: 0, trainee: at("trainee").value.trim() };
    work = { ...fresh, ...before, exercise, opening, path: [] };
    try {
      work.came = read("came");
    } catch (problem) {
      work = other;
      throw problem;
    }
    const past = before?.path ?? [];
    work.path = [];
    work.attempts += 1;
    tests ??= JSON.parse(wasm_bindgen.exercise_tests(vehicle));
    at("found").replaceChildren(make("li", WORDS["nothing yet"]));
    for (const { key, seconds: when } of past) found(key, when);
    at("notes").value = before?.notes ?? "";
    at("opening").value = "";
    const { came } = work;
    const stalls = came.stalls.length ? ` ${fill(WORDS.stalls, came.stalls.join(", "))}` : "";
    const around = fill(WORDS.around, came.celsius.toFixed(0), came.kpa.toFixed(1), came.boost_control.replaceAll("_", " "));
    at("arrival").textContent = `${around} ${came.codes.length ? fill(WORDS.stored, came.codes.join(", ")) : WORDS["none stored"]}${stalls}`;
    at("whose").textContent = fill(WORDS.whose, work.trainee || WORDS.nobody, exercise.number);
    at("exercise").hidden = false;
    at("trainer").open = false;
    at("entry").hidden = true;
    Answer.begin(work);
    keep();
    shown();
  };
  const open = () => {
    let exercise;
    try {
      exercise = meant();
    } catch {
      return say(WORDS["spoilt code"]);
    }
    const going = work ? fill(WORDS["goes on"], minutes()) : "";
    if (!exercise) return say(exercises.length || at("sealed").value.trim() ? WORDS["which number"] : WORDS["none sealed"]);
    if (!at("opening").value.trim()) return say(`${WORDS["give a key"]} ${going}`.trim());
    if (!at("trainee").value.trim()) return say(`${WORDS["give a name"]} ${going}`.trim());
    try {
      const before = kept(exercise);
      begin(exercise, at("opening").value.trim(), before);
      say(work.answered ? WORDS.answered : before ? fill(WORDS["goes on"], minutes()) : WORDS.opened);
    } catch (problem) {
      say(`${problem}. ${going}`.trim());
    }
    return undefined;
  };
  /** After a reload: what was open is open again. */
  const resume = () => {
    for (const exercise of exercises) {
      const before = kept(exercise);
      if (!before) continue;
      try {
        begin(exercise, before.opening, before);
        say(work.answered ? WORDS.answered : fill(WORDS["goes on"], minutes()));
        return;
      } catch {
        // Of a page with the same name and other keys: nothing of it can be opened.
      }
    }
  };

  const seal = () => {
    const trouble = { ...Demo.trouble(), ambient: Demo.ambient() };
    const [seed] = crypto.getRandomValues(new Uint32Array(1));
    const phrase = () => wasm_bindgen.passphrase(crypto.getRandomValues(new Uint8Array(10)));
    const given = at("seal-passphrase").value.trim();
    const keys = { lesson: phrase(), number: 1, opening: phrase(), debrief: given || phrase() };
    let sealed;
    try {
      sealed = wasm_bindgen.lock_exercise(vehicle, JSON.stringify({ trouble, seed }), JSON.stringify(keys), crypto.getRandomValues(new Uint8Array(4480)));
    } catch (problem) {
      return say(String(problem));
    }
    at("seal-passphrase").value = "";
    at("sealed").value = `[${sealed}]`;
    Demo.healthy();
    entry();
    return say(fill(WORDS.sealed, keys.opening, given ? WORDS["your own"] : keys.debrief));
  };
  /** The form to open an exercise with; a number where there is more than one. */
  const entry = () => {
    at("entry").hidden = false;
    at("number-row").hidden = exercises.length < 2 || at("sealed").value.trim() !== "";
  };

  const start = (car, catalogue, hidden) => {
    vehicle = car;
    names = catalogue;
    exercises = hidden ? JSON.parse(hidden) : [];
    say(hidden ? WORDS.closed : WORDS["none sealed"]);
    Answer.start({ car, names, keep, list, work: () => work, seconds, minutes, say });
    entry();
    at("actions").addEventListener("keydown", roam);
    at("open").addEventListener("click", open);
    at("other").addEventListener("click", () => { entry(); at("opening").focus(); });
    at("seal").addEventListener("click", seal);
    at("sealed").addEventListener("input", entry);
    at("notes").addEventListener("change", () => work && keep());
    resume();
  };
  return { start };
})();
