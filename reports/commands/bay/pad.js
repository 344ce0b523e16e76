"use strict";
// Typed quantities: a row each with its unit as a button, and a number pad for a thumb. A unit that
// is switched leaves the digits alone; what it comes to in the usual unit stands beside it.
const Pad = (() => {
  let active = null;
  const enter = () => {
    const all = [...document.querySelectorAll(".fields input")];
    const next = all[all.indexOf(active) + 1];
    if (next) next.focus();
    else { active?.blur(); document.querySelector(".act .main")?.focus(); }
  };
  const press = (key) => {
    if (!active?.isConnected) active = document.querySelector(".fields input");
    if (!active) return;
    if (key === "enter") { enter(); return; }
    let text = active.value;
    if (key === "delete") text = text.slice(0, -1);
    else if (key === "none") text = "";
    else if (key === "minus") text = /^[-\u2212]/.test(text) ? text.slice(1) : `\u2212${text}`;
    else if (!(key === "." && text.includes("."))) text += key;
    active.value = text;
    active.dispatchEvent(new Event("input", { bubbles: true }));
    if (key === "none") enter();
    else active.focus();
  };
  const KEYS = ["7", "8", "9", "delete", "none", "4", "5", "6", "minus", "enter", "1", "2", "3", "0", "."];
  const FACES = { delete: "\u232b", minus: "\u2212" };
  const pad = () => h("div", { class: "pad", role: "group", "aria-label": say("number pad") }, KEYS.map((key) => h("button", {
    type: "button", class: `b ${key === "enter" ? "on" : "soft"}`, tabindex: "-1", "data-key": key, "aria-label": /^\d$/.test(key) ? null : say(`key ${key}`),
    onpointerdown: (event) => event.preventDefault(), onclick: () => press(key),
  }, FACES[key] ?? (/^[\d.]$/.test(key) ? key : say(`key ${key}`)))));

  /** One row: `kind` of units or none; `get` and `set` of `{ v, u }`. */
  const field = ({ id, words, kind, get, set, hint }) => {
    const value = () => get() ?? { v: "", u: kind ? Units.usual(kind) : "" };
    const also = h("span", { class: "quiet also" });
    const tell = () => {
      const now = value();
      const wrong = now.v !== "" && !Units.good(now);
      also.textContent = wrong ? say("no number") : Units.also(kind, now) || (hint ?? "");
      input.setAttribute("aria-invalid", String(wrong));
    };
    const input = h("input", {
      id, type: "text", inputmode: "none", autocomplete: "off", value: value().v, "data-focus": id, "aria-describedby": `${id}-also`,
      oninput: () => { set({ ...value(), v: input.value.trim().replace(",", ".") }); tell(); },
      onfocus: () => { active = input; input.select(); for (const row of document.querySelectorAll(".fields li")) row.classList.toggle("on", row === input.closest("li")); input.closest("li")?.scrollIntoView({ block: "nearest" }); },
      onkeydown: (event) => { if (event.key === "Enter") { event.preventDefault(); enter(); } },
    });
    also.id = `${id}-also`;
    const many = kind && Units.all(kind).length > 1;
    const unit = kind && (many ? h("button", {
      type: "button", class: "b small", "aria-label": say("unit button", words, Units.shown(value().u)), "data-focus": `${id}-unit`,
      onclick: (event) => {
        set({ ...value(), u: Units.next(kind, value().u) });
        event.currentTarget.textContent = Units.shown(value().u);
        event.currentTarget.setAttribute("aria-label", say("unit button", words, Units.shown(value().u)));
        tell();
      },
    }, Units.shown(value().u)) : h("span", { class: "unit only" }, Units.shown(value().u)));
    tell();
    return h("li", {}, h("label", { for: id }, words, " ", also), input, unit || h("span", {}));
  };
  const fields = (all) => h("ul", { class: "fields" }, all.map(field));
  return { fields, field, pad };
})();
