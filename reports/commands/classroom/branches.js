"use strict";
// The leak of an exercise grown and mended again on the running engine: whether the idle comes back the way
// it went, or jumps at another size.
const Branches = (() => {
  const make = (name, words, attributes = {}) => Object.assign(document.createElement(name), { textContent: words, ...attributes });
  /** Seconds of engine time to settle, to grow, to stay; of each step; steps a frame. */
  const [SETTLE, GROW, STAY, STEP, STEPS] = [2, 60, 5, 0.25, 8];
  /** Idle speeds of one size that differ by more, rpm, are two answers (own choice: what lags stays below). */
  const APART = 80;
  const share = (time) => {
    const grown = Math.min(1, Math.max(0, (time - SETTLE) / GROW));
    const mended = Math.min(1, Math.max(0, (time - SETTLE - GROW - STAY) / GROW));
    return grown - mended;
  };
  const END = SETTLE + 2 * GROW + STAY + SETTLE;
  const events = [{ time: `${SETTLE} s`, leak: 0, to: 1, ramp: `${GROW} s` }, { time: `${SETTLE + GROW + STAY} s`, leak: 0, to: 0, ramp: `${GROW} s` }];

  const draw = (pen, { width, height }, ways, most) => {
    const style = getComputedStyle(document.documentElement);
    const of = (name) => style.getPropertyValue(`--${name}`).trim();
    pen.clearRect(0, 0, width, height);
    pen.font = `16px ${getComputedStyle(document.body).fontFamily}`;
    const [left, bottom, top] = [70, height - 40, 16];
    pen.strokeStyle = of("quiet");
    pen.fillStyle = of("text");
    pen.strokeRect(left, top, width - left - 16, bottom - top);
    for (const rpm of [0, most / 2, most]) pen.fillText(`${rpm}`, 8, bottom - ((bottom - top) * rpm) / most + 5);
    pen.fillText(WORDS["branch axis"], left, height - 12);
    ways.forEach((way, i) => {
      pen.strokeStyle = of(i ? "faulty" : "leak");
      pen.lineWidth = 3;
      pen.setLineDash(i ? [9, 6] : []);
      pen.beginPath();
      for (const [part, rpm] of way) pen.lineTo(left + (width - left - 16) * part, bottom - ((bottom - top) * Math.min(rpm, most)) / most);
      pen.stroke();
    });
    pen.setLineDash([]);
  };
  /** Where growing and mending differ most: share and rpm of each. */
  const apart = ([up, down]) => {
    let worst = [0, 0, 0, 0];
    for (const [part, rpm] of up) {
      const back = down.reduce((near, one) => (Math.abs(one[0] - part) < Math.abs(near[0] - part) ? one : near), down[0]);
      if (part > 0.02 && Math.abs(back[1] - rpm) > worst[0]) worst = [Math.abs(back[1] - rpm), part, rpm, back[1]];
    }
    return worst;
  };
  const run = (hunt, debrief, canvas, said, button) => {
    button.disabled = true;
    const engine = new wasm_bindgen.PageEngine(hunt.car);
    const speed = hunt.names.readings.findIndex(({ key }) => key === "engine_speed_rpm");
    const ways = [[], []];
    let time = 0;
    engine.trouble(JSON.stringify({ leak: debrief.trouble.leak, event: events }));
    const frame = () => {
      let runs = true;
      for (let i = 0; i < STEPS && time < END; i += 1) {
        engine.advance(STEP);
        time += STEP;
        const numbers = engine.numbers();
        const half = numbers.length / 2;
        runs = numbers[numbers.length - 2] > 0;
        ways[time < SETTLE + GROW + STAY ? 0 : 1].push([share(time), runs ? numbers[half + speed] : 0]);
        if (!runs) break;
      }
      const most = 500 * Math.ceil(Math.max(1000, ...ways.flat().map(([, rpm]) => rpm)) / 500);
      draw(canvas.getContext("2d"), canvas, ways, most);
      if (time < END && runs && canvas.isConnected) {
        requestAnimationFrame(frame);
        return;
      }
      button.disabled = false;
      engine.free();
      if (!runs) said.textContent = fill(WORDS["branch stalls"], (100 * share(time)).toFixed(0));
      else {
        const [rpm, part, up, down] = apart(ways);
        said.textContent = rpm > APART ? fill(WORDS["branch two"], (100 * part).toFixed(0), up.toFixed(0), down.toFixed(0)) : WORDS["branch one"];
      }
    };
    said.textContent = WORDS["branch runs"];
    frame();
  };
  /** A button for it, where one leak is all that is wrong. */
  const offer = (box, hunt, debrief) => {
    const { leak = [], fault = [] } = debrief.trouble;
    if (leak.length !== 1 || fault.length) return;
    const button = make("button", WORDS.grow, { type: "button", id: "grow" });
    const canvas = make("canvas", "", { width: 720, height: 320, id: "branch-map" });
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", WORDS["branch map"]);
    canvas.hidden = true;
    const said = make("p", "", { id: "branch-said" });
    said.setAttribute("role", "status");
    button.addEventListener("click", () => {
      canvas.hidden = false;
      run(hunt, debrief, canvas, said, button);
    });
    box.append(make("h4", WORDS["branch map"]), button, canvas, said);
  };
  return { offer };
})();
