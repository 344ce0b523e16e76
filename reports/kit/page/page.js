"use strict";
// Values under the pointer, and lines shown or hidden; without it every number still stands
// in the pictures and tables.
(() => {
  const box = document.getElementById("values");
  const parse = (text) => {
    const [kind, ...rest] = text.split(" ");
    const [low, high, from, to] = rest.map(Number);
    const log = kind === "log";
    return {
      value: (px) => {
        const share = (px - from) / (to - from);
        return log ? low * (high / low) ** share : low + share * (high - low);
      },
      place: (value) => {
        const share = log ? Math.log(value / low) / Math.log(high / low) : (value - low) / (high - low);
        return from + share * (to - from);
      },
    };
  };
  const say = (value) => String(Number(value.toPrecision(4))).replace("-", "\u2212");
  const shower = (frame, svg) => {
    const [left, top, right, bottom] = frame.dataset.frame.split(" ").map(Number);
    const x = parse(frame.dataset.x);
    const series = [...frame.querySelectorAll("[data-series]")].map((line) => ({
      line,
      name: line.dataset.series,
      xs: line.dataset.xs.split(" ").map(Number),
      ys: line.dataset.ys.split(" ").map(Number),
    }));
    return (event) => {
      const area = svg.getBoundingClientRect();
      const scale = Number(svg.getAttribute("width")) / area.width;
      const px = (event.clientX - area.left) * scale;
      const py = (event.clientY - area.top) * scale;
      if (px < left - 4 || px > right + 4 || py < top - 4 || py > bottom + 4) return false;
      const nearest = series
        .filter((one) => one.line.style.display !== "none")
        .map((one) => {
          let best = -1;
          one.xs.forEach((value, i) => {
            const nearer = best < 0 || Math.abs(x.place(value) - px) < Math.abs(x.place(one.xs[best]) - px);
            if (Number.isFinite(one.ys[i]) && nearer) best = i;
          });
          return { one, best };
        })
        .filter(({ best }) => best >= 0);
      if (!nearest.length) return false;
      const { one, best } = nearest[0];
      const lines = [`${frame.dataset.xLabel} ${say(one.xs[best])} ${frame.dataset.xUnit}`];
      for (const { one, best } of nearest) {
        lines.push(`${one.name} ${say(one.ys[best])} ${frame.dataset.yUnit}`.trim());
      }
      box.textContent = lines.join("\n");
      box.hidden = false;
      const width = document.documentElement.clientWidth;
      const wanted = event.clientX + 14;
      box.style.left = `${window.scrollX + Math.max(4, Math.min(wanted, width - box.offsetWidth - 4))}px`;
      box.style.top = `${window.scrollY + Math.max(4, event.clientY - box.offsetHeight - 12)}px`;
      return true;
    };
  };
  for (const svg of document.querySelectorAll("svg")) {
    const frames = [...svg.querySelectorAll("[data-frame]")].map((frame) => shower(frame, svg));
    if (!frames.length) continue;
    svg.addEventListener("pointermove", (event) => {
      box.hidden = !frames.some((show) => show(event));
    });
    svg.addEventListener("pointerleave", () => { box.hidden = true; });
  }
  // When it was made, as the disk knows it: the page itself has the same bytes whenever it is made.
  const made = new Date(document.lastModified);
  const on = document.getElementById("made-on");
  if (on && made.getTime() > 0) {
    const day = made.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
    on.textContent = ` This file is of ${day}.`;
  }
  // On paper everything is open but what is looked up on a screen; a link into a part opens it.
  const folds = [...document.querySelectorAll("details:not(.screen)")];
  window.addEventListener("beforeprint", () => {
    for (const fold of folds.filter((fold) => !fold.open)) {
      fold.open = true;
      window.addEventListener("afterprint", () => { fold.open = false; }, { once: true });
    }
  });
  const follow = () => {
    const part = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const fold = part && part.querySelector(":scope > details");
    if (fold) fold.open = true;
  };
  window.addEventListener("hashchange", follow);
  follow();
  // One box a name in a picture of several lines.
  for (const figure of document.querySelectorAll("figure")) {
    const names = [...new Set([...figure.querySelectorAll("svg:not(.held) [data-series]")].map((line) => line.dataset.series))]
      .filter((name) => name);
    if (names.length < 2 || !figure.classList.contains("wide")) continue;
    const keys = document.createElement("div");
    keys.className = "keys";
    for (const name of names) {
      const label = document.createElement("label");
      const tick = document.createElement("input");
      tick.type = "checkbox";
      tick.checked = true;
      tick.addEventListener("change", () => {
        for (const line of figure.querySelectorAll("[data-series]")) {
          // A drawing for a screen that is held may shorten it.
          if (line.dataset.series && name.startsWith(line.dataset.series)) line.style.display = tick.checked ? "" : "none";
        }
      });
      label.append(tick, name);
      keys.append(label);
    }
    figure.append(keys);
  }
})();
