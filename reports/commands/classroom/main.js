"use strict";
// Every English text of the page that is not the engine's own stands in `words.json`.
const WORDS = JSON.parse(document.getElementById("words").textContent);
/** A text with its gaps filled, in order. */
const fill = (text, ...values) => values.reduce((filled, value) => filled.replace("{}", () => String(value)), text);

/** Dangers before all else: only when they change, so that a screen reader says them once. */
const showDangers = (box, dangers) => {
  const lines = dangers.map((words) => `${WORDS.danger}: ${words}`);
  if (lines.join() === [...box.children].map((line) => line.textContent).join()) return;
  box.replaceChildren(...lines.map((words) => Object.assign(document.createElement("p"), { textContent: words })));
};

// Unpacks the engine and starts the lesson's parts.
const Lesson = (() => {
  const at = (id) => document.getElementById(id);
  const PARTS = ["demonstration", "predict", "hunt"];
  let wasm = null;
  const unpack = async () => {
    const packed = Uint8Array.from(atob(at("engine-bytes").textContent.trim()), (c) => c.charCodeAt(0));
    const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
    return new Uint8Array(await new Response(stream).arrayBuffer());
  };
  const show = (id) => {
    for (const name of PARTS) {
      at(name).hidden = name !== id;
      at(`to-${name}`).setAttribute("aria-pressed", String(name === id));
    }
    if (id === "predict") Predict.show();
  };
  const start = async () => {
    const began = performance.now();
    try {
      wasm = await unpack();
      wasm_bindgen.initSync({ module: wasm });
      const vehicle = at("vehicle").textContent;
      const catalogue = JSON.parse(wasm_bindgen.catalogue(vehicle));
      if (JSON.parse(vehicle).metering !== "air_flow_meter") {
        delete WORDS.parts.meter;
        WORDS.flows.filter = WORDS["without meter"].flow;
      }
      Demo.start(vehicle, catalogue);
      Predict.start(vehicle, catalogue);
      Hunt.start(vehicle, catalogue, at("hidden-fault").textContent.trim());
    } catch (problem) {
      at("problem").textContent = fill(WORDS["does not start"], problem);
      at("problem").hidden = false;
      return;
    }
    for (const name of PARTS) at(`to-${name}`).addEventListener("click", () => show(name));
    at("large").addEventListener("click", () => {
      const large = document.documentElement.classList.toggle("large");
      at("large").setAttribute("aria-pressed", String(large));
    });
    window.falseairStarted = performance.now() - began;
    document.documentElement.dataset.ready = "yes";
  };
  document.addEventListener("DOMContentLoaded", start);
  return { bytes: () => wasm };
})();
