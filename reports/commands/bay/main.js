"use strict";
// The job's path: which screen stands, what was changed and can be undone, one bar at the foot.
const App = (() => {
  const STEPS = ["car", "complaint", "readings", "fits", "test", "part", "repairs", "after"];
  let job = null;
  let panel = "jobs";
  // Kept beside the job, so that a step back is there after a reload too.
  const past = [];
  let typing = null;
  const at = (id) => document.getElementById(id);
  // It stands now below the right column, now at the foot.
  const actions = at("act");

  const keep = () => { Jobs.save(job); at("kept").hidden = Jobs.keeps(); };
  const keepPast = () => Big.put(job.id, "past", JSON.stringify(past));
  const remember = (before) => { past.push(before); if (past.length > 40) past.shift(); keepPast(); };
  const recall = async () => {
    const { id } = job;
    const kept = await Big.get(id, "past");
    if (!kept || job?.id !== id || past.length) return;
    past.push(...JSON.parse(kept));
    foot();
  };
  /** A change that can be undone. */
  const change = (act) => { remember(JSON.stringify(job)); act(job); keep(); draw(); };
  /** What is typed: kept with each digit, undone field by field. */
  const type = (act) => { if (typing !== null) { remember(typing); typing = null; } act(job); keep(); FitsScreen.ahead(job); };
  /** What follows from the job and is no act of a person. */
  const note = (act) => { act(job); keep(); };
  const undo = () => {
    if (!past.length) return;
    job = JSON.parse(past.pop());
    keepPast();
    keep();
    draw();
    tell(say("undone"));
  };
  const tell = (words) => { at("told").textContent = words; };

  const go = (step) => {
    panel = null;
    if (job.step !== step) job.trail = [...job.trail.slice(-30), job.step];
    job.step = step;
    keep();
    draw(true);
  };
  const back = () => {
    if (panel) { panel = job ? null : "jobs"; draw(true); return; }
    if (!job.trail.length) { panel = "jobs"; draw(true); return; }
    job.step = job.trail.pop();
    keep();
    draw(true);
  };
  const open = (chosen) => { job = chosen; past.length = 0; panel = null; Page.keep("last", job.id); keep(); recall(); draw(true); };
  const show = (name) => { panel = name; draw(true); };

  const screen = () => {
    if (panel === "jobs" || !job) return JobsScreen.jobs();
    if (panel === "path") return JobsScreen.path(job, STEPS);
    return { car: CarScreen, complaint: ComplaintScreen, readings: ReadingsScreen, fits: FitsScreen, test: TestScreen, part: PartScreen, repairs: RepairScreen, after: AfterScreen }[job.step].draw(job);
  };
  /** A job that was spoilt elsewhere must not take the others with it. */
  const parts = () => {
    try { return screen(); } catch (problem) {
      JobsScreen.trouble(say("job spoilt", String(problem.message ?? problem)));
      panel = "jobs";
      job = null;
      return screen();
    }
  };
  /** What it is and what it can do at once; until when, on a tap. */
  const danger = ({ title, words, short }) => {
    const [first, second, ...rest] = short ? [] : words.split(/(?<=\.)\s+(?=[A-Z])/);
    return h("div", { class: "danger", role: "alert" }, sign("danger"), h("b", {}, title), first && h("p", {}, [first, second].filter(Boolean).join(" ")), rest.length ? h("details", {}, h("summary", {}, say("until")), h("p", {}, rest.join(" "))) : null);
  };
  const foot = () => {
    const i = job && !panel ? STEPS.indexOf(job.step) : -1;
    const name = panel || !job ? say(`panel ${panel ?? "jobs"}`) : say(`step ${job.step}`);
    const under = i >= 0 ? say("of steps", i + 1, STEPS.length, job.car?.name ?? say("new job")) : say("stays here");
    const minutes = job ? Math.floor(job.seconds / 60) : 0;
    at("foot").style.setProperty("--at", i >= 0 ? `${100 * (i + 1) / STEPS.length}%` : "0%");
    at("foot").replaceChildren(
      h("button", { type: "button", class: "b", "aria-label": say("back"), onclick: back, disabled: !job && "disabled" }, sign("left")),
      h("button", { type: "button", class: "where", onclick: () => show(panel === "path" ? "jobs" : "path"), "data-focus": "where" }, h("b", {}, name), h("span", { class: "quiet" }, under)),
      h("span", { class: "spent" }, job ? say("minutes", minutes) : ""),
      h("button", { type: "button", class: "b", "aria-label": say("undo"), title: say("undo"), onclick: undo, disabled: past.length === 0, "data-focus": "undo" }, sign("back")));
  };
  const draw = (moved = false) => {
    const focused = document.activeElement?.dataset?.focus;
    const caret = document.activeElement?.selectionStart;
    const { says, over, under, dangers = [], left = [], right = [], act = [], pad = false, wide = false } = parts();
    const main = at("main");
    const said = main.querySelector("h1")?.textContent;
    main.className = `${wide ? "wide" : ""} ${[left].flat(3).some(Boolean) ? "two-sided" : ""}`;
    main.replaceChildren(
      h("header", { class: "head-of" }, dangers.map(danger), over, h("h1", { class: "says", tabindex: "-1" }, says), under),
      h("div", { class: "left" }, left), h("div", { class: "right" }, right));
    actions.replaceChildren(...[pad ? Pad.pad() : null, act].flat(3).filter(Boolean));
    actions.hidden = !actions.childNodes.length;
    actions.setAttribute("aria-label", say("acts"));
    // In the bar at the foot it is always in sight; a pad is too high for one beside two columns.
    (pad && innerWidth >= 900 && main.classList.contains("two-sided") ? main.querySelector(".right") : at("bottom")).append(actions);
    at("bottom").append(at("foot"));
    foot();
    const now = main.querySelector("h1").textContent;
    document.title = `${now} \u2013 ${say("page")}`;
    // Another sentence is another screen, and begins at its top.
    if (now !== said && !document.activeElement?.matches("input, textarea, select")) main.scrollTop = 0;
    const again = !moved && focused && [...document.querySelectorAll("[data-focus]")].find((one) => one.dataset.focus === focused);
    if (again) {
      again.focus({ preventScroll: true });
      if (again.tagName === "INPUT" && caret !== undefined && caret !== null) again.setSelectionRange(caret, caret);
    } else if (moved) { main.querySelector("h1").focus({ preventScroll: true }); main.scrollTop = 0; }
  };

  const start = () => {
    document.addEventListener("focusin", (event) => { if (job && event.target.closest?.(".fields, textarea")) typing = JSON.stringify(job); });
    addEventListener("resize", () => { if (!document.activeElement?.matches("input, textarea")) draw(); });
    setInterval(() => { if (job && panel === null && document.visibilityState === "visible") { job.seconds += 10; Jobs.save(job); foot(); } }, 10000);
    for (const kind of ["dragover", "drop"]) addEventListener(kind, (event) => { event.preventDefault(); if (kind === "drop") JobsScreen.dropped([...event.dataTransfer.files]); });
    const last = Page.kept("last");
    const found = Jobs.list().find((one) => one.id === last);
    if (found && !found.closed) { job = found; panel = null; recall(); } else panel = "jobs";
    draw();
    document.documentElement.dataset.ready = "yes";
    window.falseairReady = performance.now();
    // The engine stands at the end of the page, behind what is seen first.
    if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", Engine.start);
    else Engine.start();
  };
  return { STEPS, change, type, note, undo, tell, go, back, open, show, draw, start, job: () => job };
})();
App.start();
