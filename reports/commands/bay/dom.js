"use strict";
// What the page is made of: sentences from the catalogue, elements, numbers as people read them.
const Page = (() => {
  const texts = Object.fromEntries(["en", "de"].map((name) => [name, JSON.parse(document.getElementById(`words-${name}`).textContent)]));
  const kept = (key) => { try { return localStorage.getItem(`falseair.${key}`); } catch { return null; } };
  const keep = (key, value) => { try { localStorage.setItem(`falseair.${key}`, value); } catch { /* said by the store */ } };
  let language = texts[kept("language")] ? kept("language") : "en";
  document.documentElement.lang = language;

  /** A sentence of the catalogue with its gaps filled, in order; the key itself shows what is missing. */
  const say = (key, ...values) => {
    const found = texts[language][key] ?? texts.en[key] ?? key;
    return values.reduce((text, value) => text.replace("{}", () => String(value)), found);
  };
  /** The label of a word of files: the catalogue's own, else the engine's. */
  const label = (group, word, other) => texts[language][`${group} ${word}`] ?? texts.en[`${group} ${word}`] ?? other ?? String(word).replaceAll("_", " ");

  const put = (element, attributes, children) => {
    for (const [name, value] of Object.entries(attributes ?? {})) {
      if (value === null || value === undefined || value === false) continue;
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else if (name.startsWith("--")) element.style.setProperty(name, value);
      else if (name === "value") element.value = value;
      else element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));
    return element;
  };
  const h = (name, attributes, ...children) => put(document.createElement(name), attributes, children);
  const s = (name, attributes, ...children) => put(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
  /** A sign; it is named only where no word stands beside it. */
  const sign = (name, words) => s("svg", words ? { class: "sign", role: "img", "aria-label": words } : { class: "sign", "aria-hidden": "true" }, s("use", { href: `#i-${name}` }));

  const number = (value, digits = 3) => {
    if (value === null || value === undefined || !Number.isFinite(value)) return "\u2013";
    const text = Math.abs(value) >= 10 ** digits ? value.toFixed(0) : Number(value.toPrecision(digits)).toString();
    return text.replace("-", "\u2212");
  };
  const fixed = (value, decimals) => (Number.isFinite(value) ? value.toFixed(decimals).replace(/^-(?=0\.?0*$)/, "").replace(/^-/, "\u2212") : "\u2013");
  const percent = (share) => {
    if (share > 0.999) return "> 99.9 %";
    if (share > 0 && share < 0.001) return "< 0.1 %";
    return share < 0.1 ? `${(100 * share).toFixed(1)} %` : `${(100 * share).toFixed(0)} %`;
  };
  /** With a small first letter, where a name stands within a line; not where it begins with initials. */
  const small = (text) => (/^[A-Z\u00c4\u00d6\u00dc]{2}/.test(text) || language === "de" ? text : text.charAt(0).toLowerCase() + text.slice(1));
  const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
  const button = (words, press, { kind = "", on = null, icon = null, named = null, focus = null } = {}) => h("button", {
    type: "button", class: `b ${kind} ${on ? "on" : ""}`.trim(), "aria-pressed": on === null ? null : String(on), "aria-label": named, "data-focus": focus ?? named ?? words, onclick: press,
  }, words, icon && sign(icon));

  const speak = (code) => { if (texts[code]) { language = code; keep("language", code); document.documentElement.lang = code; } };
  return { say, label, h, s, sign, number, fixed, percent, capital, small, button, kept, keep, speak, language: () => language, languages: Object.keys(texts) };
})();
const { say, label, h, s, sign, button } = Page;
