// What a reader asks of a page, and what of its first 700 px answers: is it dangerous (a danger stands
// above all else, look.mjs), what is wrong, how big, how sure, what next. Where a page is not asked one
// of them, it says why.
const NUMBER = String.raw`[+−]?\d+(\.\d+)?`;
const of = (text) => new RegExp(text.replaceAll("#", NUMBER));
const because = (why) => ({ why });

const COMPUTED = because("the car is computed, not measured: nothing is uncertain");
const NO_ACT = because("it is asked what would be, not what to do");

export const FIRST = {
  across: { wrong: of("Beyond where 95 % of healthy cars"), big: of("where a healthy car has #"), sure: of("95 % of healthy cars"), next: of("A reading outside it is a finding") },
  atlas: { wrong: of("Seen in no reading"), big: of("A # mm hole is seen"), sure: of("by a gauge at # of # places"), next: of("smallest hole that a gauge shows") },
  "before-after": { wrong: of("A: one of leak: .* B: no fault shown"), big: of("# % in A, # % in B"), sure: of("over # % together.*# % healthy"), next: of("A, next: .*# min, should settle") },
  branches: { wrong: of("the answer depends on how the fault came about|more than one state|one state"), big: of("up to # mm|from # mm to # mm"), sure: COMPUTED, next: NO_ACT },
  class: { wrong: of("# of # graded"), big: of("# points in the mean"), sure: of("Graded anew"), next: of("Receipts") },
  codes: { wrong: of("# of # leaks and faults set a code"), big: of("#, P\\d{4} \\(idle\\)"), sure: COMPUTED, next: of("smallest hole that sets a code") },
  compare: { wrong: of("They differ most at full load"), big: of("# in A, # in B \\(#\\)"), sure: of("19 of 20 healthy cars"), next: NO_ACT },
  // Dangers of every point stand first: a line each, and what to do in the last.
  dangerous: { wrong: of("Too much boost at"), big: of("boost # kPa, at most # kPa"), sure: COMPUTED, next: of("Do not run such a car under load until") },
  decay: { wrong: of("the gauge falls as through a sharp-edged hole"), big: of("# mm \\(# to # mm\\)"), sure: of("90 % confidence"), next: of("in the car, at the cold pipe: idle trim") },
  diagnosis: { wrong: of("One of these.*leak: "), big: of("# mm \\(# to #\\)"), sure: of("over # % together"), next: of("next: .*# min, should settle") },
  "drive-next": { wrong: of("readings are those of a healthy car"), big: of("should settle # % of what is open"), sure: of("healthy car \\(# %\\)"), next: of("lights, blower and heaters on: # min") },
  drive: { wrong: of("furthest from the healthy one at # s"), big: of("torque # N m"), sure: COMPUTED, next: NO_ACT },
  fit: { wrong: of("follows all # readings|does not follow"), big: of("# readings at # conditions"), sure: of("standard deviations"), next: of("written: .*fitted") },
  flow: { wrong: of("is a sharp-edged hole"), big: of("# mm \\(# to # mm\\)"), sure: of("90 % confidence"), next: of("codes P\\d{4}") },
  gap: { wrong: of("this opening passes # g/s"), big: of("sharp-edged # mm hole"), sure: of("g/s \\(# to #\\)"), next: of("the largest gap for the allowed boost loss is # mm") },
  healthy: { wrong: of("Nothing is wrong"), big: of("# N m at full load"), sure: COMPUTED, next: NO_ACT },
  "known-hole": { wrong: of("the car answers this known air"), big: of("lets in # g/s \\(# to # g/s\\)"), sure: of("90 % confidence"), next: of("At idle only, car parked") },
  log: { wrong: of("can be judged by|cannot be judged"), big: of("held for # of the # s"), sure: of("what each second is used for"), next: because("`diagnose --log` says what the log shows") },
  "manifold-gasket": { wrong: of("comes in behind the meter, uncounted"), big: of("# g/s .*# %"), sure: of("19 of 20 healthy cars"), next: of("What tells such a car .* is .* at ") },
  "of-a-log": { wrong: of("One of these.*leak: "), big: of("# mm \\(# to #\\)"), sure: of("over # % together"), next: of("next: .*# min, should settle") },
  payback: { wrong: of("Mend “?\"?hose before throttle"), big: of("# N m, # kW, # L"), sure: of("# % likely"), next: of("first: it gives .* for # h of work") },
  plan: { wrong: of("bear no more than # kPa"), big: of("pressure up to # kPa"), sure: because("a plan of tests: nothing was measured"), next: of("smoke at # kPa first") },
  seal: { wrong: of("the used ring has taken a set of # %"), big: of("keeps # % squeeze"), sure: of("within limits"), next: of("replace it") },
  sensitivity: { wrong: of("this counts most: "), big: of("moves the lambda in cylinders .* by #"), sure: COMPUTED, next: NO_ACT },
  "split-hose": { wrong: of("already counted is lost before the engine"), big: of("# g/s .*# %"), sure: of("19 of 20 healthy cars"), next: of("What tells such a car .* is .* at ") },
  "sweep-car-to-car": { wrong: of("Metered air at full load # rpm moves most"), big: of("# to # g/s"), sure: of("# % of it; on average"), next: NO_ACT },
  "sweep-leak-atlas": { wrong: of("moves most: # to # "), big: of("on average # at .* mm"), sure: of("# % of it"), next: NO_ACT },
  threshold: { wrong: of("a hole shows: "), big: of("From # mm on"), sure: COMPUTED, next: of("by fuel trim off by # % at idle") },
  tolerance: { wrong: of("At most # mm \\(# thou\\) of gap"), big: of("# mm"), sure: COMPUTED, next: of("fuel trim off by # %") },
  verify: { wrong: of("The leak at the manifold gasket is gone"), big: of("# mm \\(# to # mm\\) before"), sure: of("90 % confidence"), next: of("What is left") },
};

// Lists to look things up in, and sheets to fill in: no question is answered there.
export const NO_ANSWER = ["exercise", "answers", "slips", "glossary", "twins"];

/** Which of the questions the text of a page's first screen leaves open, and names that are not known. */
export function open(name, text) {
  if (NO_ANSWER.includes(name)) return [];
  const asked = FIRST[name];
  if (!asked) return [`nobody has said what the first screen of ${name} answers (first.mjs)`];
  const questions = { wrong: "what is wrong", big: "how big", sure: "how sure", next: "what next" };
  const left = Object.entries(questions).filter(([key]) => !(asked[key].why || asked[key].test(text)));
  return left.map(([, question]) => `the first screen does not answer: ${question}?`);
}

/** What of a page stands within its first so many px, dangers aside: runs in the page. */
export function firstText(height) {
  const dangers = [...document.querySelectorAll("header p.danger")];
  const room = dangers.length ? dangers.at(-1).getBoundingClientRect().bottom - dangers[0].getBoundingClientRect().top : 0;
  const out = [];
  for (const element of document.querySelectorAll("h1, h2, p, li, figcaption, tr, text, a")) {
    const { bottom, height: tall } = element.getBoundingClientRect();
    if (tall && bottom + scrollY <= height + room) out.push(element.innerText ?? element.textContent);
  }
  return out.join(" ").replace(/\s+/g, " ");
}
