"use strict";
// The air path, drawn anew for every frame: bands as wide as the flow, air that moves with it,
// the healthy car as a ghost. Our own drawing.
const Drawing = (() => {
  const path = JSON.parse(document.getElementById("air-path").textContent);
  const SIZE = path.size;
  const WAYS = Object.entries(path.ways);
  const PLACES = path.places;
  const BOXES = Object.values(path.boxes);
  const NAMES = Object.entries(path.names);
  const length = (way) => {
    let sum = 0;
    for (let i = 1; i < way.length; i += 1) sum += Math.hypot(way[i][0] - way[i - 1][0], way[i][1] - way[i - 1][1]);
    return sum;
  };
  const along = (way, share) => {
    let left = share * length(way);
    for (let i = 1; i < way.length; i += 1) {
      const [a, b] = [way[i - 1], way[i]];
      const step = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (left <= step || i === way.length - 1) {
        const part = Math.min(1, left / step);
        return [a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])];
      }
      left -= step;
    }
    return way[0];
  };
  // Square root: idle and full load are both seen; one scale for both cars.
  const width = (flow) => Math.min(30, 1.5 + 2.6 * Math.sqrt(Math.abs(flow)));
  const offsets = WAYS.map(() => 0);
  let colours = null;
  const inks = () => {
    const style = getComputedStyle(document.documentElement);
    const of = (name) => style.getPropertyValue(`--${name}`).trim();
    colours = { text: of("text"), quiet: of("quiet"), hair: of("hair"), paper: of("paper"), sound: of("sound"), faulty: of("faulty"), leak: of("leak"), band: of("band") };
  };
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", inks);

  const trace = (pen, way) => {
    pen.beginPath();
    way.forEach(([x, y], i) => (i ? pen.lineTo(x, y) : pen.moveTo(x, y)));
    pen.stroke();
  };
  const arrow = (pen, [x, y], inward, size) => {
    const [tail, head] = inward ? [y - 44, y - 10] : [y - 8, y - 42];
    const way = Math.sign(head - tail);
    pen.lineWidth = size;
    trace(pen, [[x, tail], [x, head - way * (5 + size)]]);
    pen.beginPath();
    pen.moveTo(x, head);
    pen.lineTo(x - 5 - size, head - way * (7 + size));
    pen.lineTo(x + 5 + size, head - way * (7 + size));
    pen.fill();
  };

  /** Names of parts. In large letters, where none covers another or what the leak passes; the one that is
   *  spoken of comes first. */
  const nameParts = (pen, size, { large, about = "" }, leak) => {
    const taken = leak ? [[leak.x, leak.y, leak.half]] : [];
    // Where a name runs over a pipe it keeps a rim of paper.
    Object.assign(pen, { strokeStyle: colours.paper, lineWidth: 4 });
    const spoken = ([key]) => (about.startsWith(key) ? 0 : 1);
    for (const [key, [, x, y]] of [...NAMES].sort((a, b) => spoken(a) - spoken(b))) {
      const half = pen.measureText(WORDS.parts[key]).width / 2;
      if (large && taken.some(([tx, ty, th]) => Math.abs(tx - x) < th + half + 6 && Math.abs(ty - y) < size)) continue;
      taken.push([x, y, half]);
      pen.strokeText(WORDS.parts[key], x, y);
      pen.fillText(WORDS.parts[key], x, y);
    }
  };
  /** Draws both cars. `view`: flows of each, leak, counted and real air, place, seconds gone; `large`: no
   *  letter below 16 px, and on a phone no words but the leak's. */
  const draw = (canvas, view) => {
    if (!colours) inks();
    const scale = Math.min(2, window.devicePixelRatio || 1);
    const wide = canvas.clientWidth || SIZE[0];
    const [w, h] = [Math.round(wide * scale), Math.round((wide * SIZE[1] * scale) / SIZE[0])];
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    const pen = canvas.getContext("2d");
    // On a phone fewer words, but readable ones.
    const letters = Math.max(1, (view.large ? SIZE[0] : 600) / wide);
    const crowded = letters >= (view.large ? 1.5 : 1.25);
    const font = (size, weight = "") => `${weight} ${Math.round(size * letters)}px ${getComputedStyle(document.body).fontFamily}`;
    pen.setTransform(w / SIZE[0], 0, 0, h / SIZE[1], 0, 0);
    pen.clearRect(0, 0, ...SIZE);
    pen.lineJoin = "round";
    pen.lineCap = "butt";
    pen.strokeStyle = colours.sound;
    for (const [key, way] of WAYS) {
      pen.lineWidth = width(view.sound[key]) + 5;
      trace(pen, way);
    }
    pen.strokeStyle = colours.paper;
    for (const [key, way] of WAYS) {
      pen.lineWidth = width(view.sound[key]) + 1.5;
      trace(pen, way);
    }
    pen.strokeStyle = colours.faulty;
    for (const [key, way] of WAYS) {
      if (Math.abs(view.faulty[key]) < 2e-3) continue;
      pen.lineWidth = width(view.faulty[key]);
      trace(pen, way);
    }
    pen.fillStyle = colours.paper;
    WAYS.forEach(([key, way], i) => {
      const flow = view.faulty[key];
      const band = width(flow);
      // Air in a band moves with flow over width, as in a pipe.
      offsets[i] += (view.seconds * 60 * flow) / (band * band);
      const count = Math.max(1, Math.round(length(way) / 34));
      if (Math.abs(flow) < 2e-3) return;
      for (let k = 0; k < count; k += 1) {
        const share = (((k + offsets[i] / 4) / count) % 1 + 1) % 1;
        const [x, y] = along(way, share);
        pen.beginPath();
        pen.arc(x, y, Math.max(1.2, Math.min(4, band / 4)), 0, 7);
        pen.fill();
      }
    });
    pen.lineWidth = 1.5;
    pen.strokeStyle = colours.text;
    for (const [x, y, bw, bh] of BOXES) {
      pen.fillStyle = colours.band;
      pen.globalAlpha = 0.55;
      pen.fillRect(x, y, bw, bh);
      pen.globalAlpha = 1;
      pen.strokeRect(x, y, bw, bh);
    }
    trace(pen, path.shaft);
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    const leak = PLACES[view.place] && leakWords(pen, view, font, letters);
    pen.font = font(17);
    pen.fillStyle = colours.text;
    if (!crowded) nameParts(pen, 17 * letters, view, leak);
    if (!crowded || !view.large) {
      callout(pen, path.counted, WORDS.counted, view.counted, font, letters);
      callout(pen, path.real, WORDS.real, view.real, font, letters);
    }
    if (leak) leakMark(pen, view, leak, font, letters);
  };
  /** What a leak passes, in words, and where they stand. */
  const leakWords = (pen, view, font, letters) => {
    const at = PLACES[view.place];
    pen.font = font(18, "bold");
    const words = `${Math.abs(view.leak).toFixed(2)} g/s ${view.leak >= 0 ? WORDS.in : WORDS.out}`;
    const half = pen.measureText(words).width / 2 + 4;
    return { words, half, x: Math.min(SIZE[0] - half, Math.max(half, at[0])), y: Math.max(11 * letters, at[1] - 46 - 11 * letters) };
  };
  /** The leak: an arrow with a rim of paper where it crosses a pipe, and what it passes. */
  const leakMark = (pen, view, { words, half, x, y }, font, letters) => {
    const at = PLACES[view.place];
    pen.strokeStyle = colours.leak;
    pen.fillStyle = colours.leak;
    const size = Math.max(Math.min(12, width(view.leak) / 2), view.large ? 3 * letters : 0);
    if (view.large) {
      Object.assign(pen, { strokeStyle: colours.paper, fillStyle: colours.paper });
      arrow(pen, at, view.leak >= 0, size + 4);
      Object.assign(pen, { strokeStyle: colours.leak, fillStyle: colours.leak });
    }
    arrow(pen, at, view.leak >= 0, size);
    pen.font = font(18, "bold");
    pen.fillStyle = colours.paper;
    pen.fillRect(x - half, y - 11 * letters, 2 * half, 22 * letters);
    pen.fillStyle = colours.leak;
    pen.textAlign = "center";
    pen.fillText(words, x, y);
  };
  const callout = (pen, [x, y], words, value, font, letters) => {
    pen.textAlign = x < SIZE[0] / 2 ? "left" : "right";
    pen.fillStyle = colours.quiet;
    pen.font = font(16);
    pen.fillText(words, x, y);
    pen.fillStyle = colours.text;
    pen.font = font(23, "bold");
    pen.fillText(`${value.toFixed(2)} g/s`, x, y + 23 * letters);
  };
  return { draw, PLACES };
})();
