"use strict";
// The truth, and what each test told, in workshop language; numbers behind a fold.
const Debrief = (() => {
  const make = (name, words, attributes = {}) => Object.assign(document.createElement(name), { textContent: words, ...attributes });
  const short = (number) => Number(number.toPrecision(3));
  /** The likeliest by name, the rest by their number. */
  const MOST = 6;
  /** The drawing's width at most, as in lesson.css, and what lies beside it on a phone, px. */
  const WIDE = 640;
  const MARGIN = 90;
  const listed = (all) => {
    const named = all.slice(0, MOST).map((name) => name.replace(/^leak: /, "")).join("; ");
    return all.length > MOST ? fill(WORDS["and more"], named, all.length - MOST) : named;
  };

  /** The air path with the places that are still open (full), ruled out by this test (crossed), and the true
   *  one (ringed). */
  const map = (names, open, gone, truth) => {
    const places = (all) => new Set(all.map((name) => names.suspects.find((one) => one.name === name)).filter((one) => one?.leak).map((one) => one.part));
    const [now, out] = [places(open), places(gone)];
    const own = Air.make("off open-places");
    const taken = [];
    own.layers.mark.replaceChildren(...Object.entries(Air.MAP.places).flatMap(([key, [cx, cy]]) => {
      taken.push([cx - 18, cy - 18, cx + 18, cy + 18]);
      return [
        ...(truth.includes(key) ? [Air.s("circle", { class: "truth", cx, cy, r: 22 })] : []),
        Air.s("circle", { class: now.has(key) ? "is-open" : "is-shut", cx, cy, r: 13 }),
        ...(out.has(key) && !now.has(key) ? [Air.s("path", { class: "is-out", d: `M${cx - 16} ${cy - 16}l32 32M${cx + 16} ${cy - 16}l-32 32` })] : []),
      ];
    }));
    own.svg.setAttribute("role", "img");
    own.svg.setAttribute("aria-label", fill(WORDS["still open"], listed(open) || WORDS["none of them"]));
    const key = Air.names(own, Drawing.word, Math.min(WIDE, document.documentElement.clientWidth - MARGIN), taken);
    const box = make("div", "");
    box.append(own.svg, make("ul", "", { className: "air-key" }));
    box.lastChild.append(...key.map(([letter, name]) => Drawing.item(letter, name)));
    return box;
  };

  const verdict = ({ verdict: key, named, truths, extra }) => {
    const words = key === "some" ? fill(WORDS["some of them"], named, truths) : WORDS.verdicts[key];
    return key === "some" && extra ? `${words} ${WORDS["one too many"]}` : words;
  };
  /** Kind and size, where they can be told. */
  const graded = (judged, answer) => {
    const lines = [];
    if (judged.kind !== null) lines.push(WORDS[judged.kind ? "kind right" : "kind wrong"]);
    if (judged.near !== null) {
      const sizes = [answer.size, short(judged.size)].map((size) => `${size} ${judged.unit}`.trim());
      lines.push(fill(WORDS[judged.near ? "sized near" : "sized far"], ...sizes));
    }
    lines.push(fill(WORDS.points, judged.points.toFixed(1)));
    return lines.map((words) => make("p", words));
  };
  /** What a test told: what it ruled out, what it left. */
  const telling = (before, after, truths) => {
    const [was, is] = [before, after].map((stage) => stage.open.map(([name]) => name));
    const gone = was.filter((name) => !is.includes(name));
    const lines = [];
    if (gone.length) lines.push(fill(WORDS["ruled out"], listed(gone)));
    else lines.push(WORDS["ruled out nothing"]);
    lines.push(is.length ? fill(WORDS.left, listed(is)) : WORDS["left many"]);
    if (gone.some((name) => truths.includes(name))) lines.push(WORDS["led astray"]);
    return [lines, is, gone];
  };
  const step = (stage, next, hunt, truth, found) => {
    const item = make("li", "");
    item.append(make("strong", stage.done.what));
    const readings = found.readings.map(({ label, value, unit, decimals }) => `${label} ${value.toFixed(decimals)} ${unit}`.trim());
    const [lines, open, gone] = telling(stage, next, truth.map(({ name }) => name));
    item.append(make("div", found.words || readings.join(", ")), ...lines.map((words) => make("div", words)));
    const { best, chosen } = stage;
    const better = best && best.test !== stage.done.key;
    if (better) {
      item.append(make("div", fill(WORDS.better, best.what, best.minutes)));
      const why = best.meaning.slice(0, 2).map((words) => words.replace(/ \(?[\d.]+ %\)?/g, ""));
      if (why.length) item.append(make("div", fill(WORDS.because, why.join("; "))));
    } else item.append(make("div", WORDS["best there was"]));
    item.append(map(hunt.names, open, gone, truth.map(({ part }) => part)));
    const numbers = make("details", "");
    numbers.append(make("summary", WORDS.numbers));
    const share = (told) => fill(WORDS.settles, told.settles.toFixed(0), told.minutes);
    const all = [
      fill(WORDS.before, (100 * stage.probability_of_the_truth).toFixed(0)),
      fill(WORDS.yours, chosen ? share(chosen) : WORDS.little),
      ...(best ? [fill(WORDS.best, `${best.what} (${share(best)})`)] : []),
      ...next.open.map(([name, probability]) => `${name}: ${(100 * probability).toFixed(0)} %`),
    ];
    numbers.append(...all.map((words) => make("div", words)));
    item.append(numbers);
    return item;
  };

  /** Fills the box; what a screen reader is told. */
  const tell = (box, hunt, given, { judged, debrief }, done) => {
    const truth = debrief.truth.map((one) => ({ ...one, part: hunt.names.suspects.find(({ key }) => key === one.key)?.part }));
    const what = truth.length ? truth.map(({ name, size, unit }) => `${name}, ${short(size)} ${unit}`.trim()).join("; ") : WORDS.nothing;
    box.replaceChildren(make("h3", fill(WORDS.truth, what)), make("p", verdict(judged)));
    if (debrief.given.length) box.append(make("p", fill(WORDS.given, debrief.given.join("; "))));
    box.append(...graded(judged, given.answer), make("p", fill(WORDS.spent, debrief.minutes)));
    const steps = make("ol", "");
    debrief.stages.forEach((stage, i) => {
      if (stage.done) steps.append(step(stage, debrief.stages[i + 1], hunt, truth, done[i]));
    });
    box.append(steps);
    const end = debrief.stages[debrief.stages.length - 1];
    box.append(make("h4", WORDS["at the end"]), make("p", end.open.length ? fill(WORDS.left, listed(end.open.map(([name]) => name))) : WORDS["left many"]));
    if (end.best) box.append(make("p", fill(WORDS["would tell"], `${end.best.what} (${end.best.minutes} min)`)));
    Branches.offer(box, hunt, debrief);
    box.hidden = false;
    box.scrollIntoView({ block: "start" });
    return `${verdict(judged)} ${fill(WORDS.truth, what)}`;
  };
  return { tell };
})();
