"use strict";
// What is wrong, once: its receipt, the result file, and with the trainer's key the truth.
const Answer = (() => {
  const at = (id) => document.getElementById(id);
  const make = (name, words, attributes = {}) => Object.assign(document.createElement(name), { textContent: words, ...attributes });
  const FIELDS = ["tell", "give-up", "answer", "answer-2", "answer-kind", "answer-size"];
  let hunt = null;
  let told = null;

  const suspect = (key) => hunt.names.suspects.find((one) => one.key === key);
  /** What the size is of: the chosen kind of leak, or the number of the fault. */
  const sized = () => {
    const chosen = suspect(at("answer").value);
    const kind = hunt.names.kinds.find(({ key }) => key === at("answer-kind").value);
    const fault = chosen && hunt.names.faults.find(({ key }) => key === chosen.part);
    at("kind-row").hidden = !chosen?.leak;
    at("size-row").hidden = !(fault || (chosen?.leak && kind));
    const [measure, unit] = fault ? [fault.doc.slice(fault.doc.indexOf(":") + 1).trim(), chosen.unit] : [kind?.measure, kind?.unit];
    at("answer-size-label").textContent = `${WORDS["answer size"]}: ${measure}${unit ? `, ${unit}` : ""}`;
  };
  const closed = (yes) => {
    for (const id of FIELDS) at(id).disabled = yes;
    at("notes").readOnly = yes;
  };

  /** Everything that a receipt holds, in the words in which it is saved. */
  const give = (answer) => {
    const work = hunt.work();
    const { exercise, trainee, opened, attempts } = work;
    const given = JSON.stringify({
      lesson: exercise.lesson, number: exercise.number, trainee, attempts, opened,
      tests: work.path.map(({ key, seconds }) => ({ key, seconds })),
      answer, seconds: hunt.seconds(), notes: at("notes").value,
    });
    work.answered = { given, receipt: wasm_bindgen.receipt(given) };
    hunt.keep();
    begin(work);
    hunt.list();
    hunt.say(fill(WORDS.receipted, work.answered.receipt));
    at("receipt-box").scrollIntoView({ block: "nearest" });
    at("debrief-key").focus({ preventScroll: true });
  };
  const answer = () => {
    const keys = ["answer", "answer-2"].map((id) => at(id).value).filter((key, i, all) => key && all.indexOf(key) === i);
    if (!at("answer").value) return hunt.say(WORDS["answer first"]);
    const leak = suspect(keys[0])?.leak ?? false;
    if (leak && !at("answer-kind").value) return hunt.say(WORDS["kind first"]);
    const size = at("size-row").hidden || at("answer-size").value === "" ? null : Number(at("answer-size").value);
    return give({ keys: keys.filter((key) => key !== "none"), kind: leak ? at("answer-kind").value : null, size, gave_up: false });
  };

  /** Shows the answer that was given, or room for one. */
  const begin = (work) => {
    const given = work.answered && JSON.parse(work.answered.given);
    told = null;
    at("answer").value = given ? given.answer.keys[0] ?? (given.answer.gave_up ? "" : "none") : "";
    at("answer-2").value = given?.answer.keys[1] ?? "";
    at("answer-kind").value = given?.answer.kind ?? "";
    at("answer-size").value = given?.answer.size ?? "";
    sized();
    closed(Boolean(given));
    at("debrief").hidden = true;
    at("receipt-box").hidden = !given;
    at("receipt").textContent = work.answered?.receipt ?? "";
    at("debrief-key").value = "";
  };

  /** The truth is opened, and the debrief worked out, beside the page, so that it stays alive meanwhile. */
  const worker = () => {
    const engine = document.getElementById("engine").textContent;
    const job = `${engine}
      onmessage = async ({ data: { wasm, vehicle, exercise, key, keys, answer } }) => {
        try {
          wasm_bindgen.initSync({ module: wasm });
          const lesson = new wasm_bindgen.PageLesson(vehicle, wasm_bindgen.unlock_exercise(vehicle, exercise, "truth", key));
          for (const test of keys) lesson.act(test);
          postMessage({ judged: lesson.judge(answer), debrief: lesson.debrief() });
        } catch (problem) { postMessage({ problem: String(problem) }); }
      };`;
    return new Worker(URL.createObjectURL(new Blob([job], { type: "text/javascript" })));
  };
  const debrief = () => {
    const work = hunt.work();
    const key = at("debrief-key").value.trim();
    if (!key) return hunt.say(WORDS["give a debrief key"]);
    hunt.say(WORDS.working);
    at("see-debrief").disabled = true;
    const given = JSON.parse(work.answered.given);
    const helper = worker();
    helper.onmessage = ({ data }) => {
      helper.terminate();
      at("see-debrief").disabled = false;
      if (hunt.work() !== work) return;
      if (data.problem) {
        hunt.say(data.problem);
        return;
      }
      at("debrief-key").value = "";
      told = { judged: JSON.parse(data.judged), debrief: JSON.parse(data.debrief) };
      hunt.say(Debrief.tell(at("debrief"), hunt, given, told, work.path));
    };
    helper.postMessage({ wasm: Lesson.bytes(), vehicle: hunt.car, exercise: JSON.stringify(work.exercise), key, keys: given.tests.map((one) => one.key), answer: JSON.stringify(given.answer) });
    return undefined;
  };
  const save = () => {
    const { answered, exercise } = hunt.work();
    const result = { made_by: "falseair classroom", vehicle: hunt.names.vehicle, ...answered, ...(told ?? {}) };
    const file = new Blob([JSON.stringify(result, null, 1)], { type: "application/json" });
    make("a", "", { href: URL.createObjectURL(file), download: fill(WORDS.file, exercise.number) }).click();
  };

  const start = (from) => {
    hunt = from;
    at("answer").append(make("option", "", { value: "" }), make("option", WORDS.nothing, { value: "none" }));
    at("answer-2").append(make("option", WORDS["no second"], { value: "" }));
    const { suspects, kinds } = hunt.names;
    // A place is one answer, whatever the shape of its leak.
    const own = suspects.filter(({ key }, i) => suspects.findIndex((one) => one.key === key) === i);
    for (const id of ["answer", "answer-2"]) {
      for (const leak of [true, false]) {
        const group = make("optgroup", "", { label: leak ? WORDS["leak at"] : WORDS.fault });
        group.append(...own.filter((one) => one.leak === leak).map(({ key, name, place }) => make("option", place ?? name, { value: key })));
        at(id).append(group);
      }
    }
    at("answer-kind").append(make("option", "", { value: "" }), ...kinds.map(({ key }) => make("option", WORDS.shapes[key] ?? key.replaceAll("_", " "), { value: key })));
    for (const id of ["answer", "answer-kind"]) at(id).addEventListener("change", sized);
    at("tell").addEventListener("click", answer);
    at("give-up").addEventListener("click", () => give({ keys: [], kind: null, size: null, gave_up: true }));
    at("see-debrief").addEventListener("click", debrief);
    at("export").addEventListener("click", save);
  };
  return { start, begin };
})();
