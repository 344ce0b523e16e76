"use strict";
// Quantities as they were typed: digits and unit stay what a person wrote; SI is for comparing only.
const Units = (() => {
  const catalogue = JSON.parse(document.getElementById("catalogue").textContent);
  const chosen = JSON.parse(Page.kept("units") ?? "{}");
  const all = (kind) => catalogue.units[kind] ?? [];
  const usual = (kind) => (all(kind).some(({ unit }) => unit === chosen[kind]) ? chosen[kind] : all(kind)[0]?.unit ?? "");
  const SIGNS = { degC: "\u00b0C", degF: "\u00b0F", deg: "\u00b0", cm3: "cm\u00b3", "N m": "N\u00a0m", "lbf ft": "lbf\u00a0ft" };
  /** As a button says it; whether a pressure is absolute or gauge stands at the quantity's name. */
  const shown = (unit) => { const bare = unit.replace(/ (abs|gauge)$/, ""); return SIGNS[bare] ?? bare; };
  const next = (kind, unit) => {
    const units = all(kind).map((one) => one.unit);
    const unitNext = units[(units.indexOf(unit) + 1) % units.length];
    chosen[kind] = unitNext;
    Page.keep("units", JSON.stringify(chosen));
    return unitNext;
  };
  const digits = (text) => (/^[-\u2212]?(\d+\.?\d*|\.\d+)$/.test(text ?? "") ? Number(text.replace("\u2212", "-")) : NaN);
  const si = (kind, { v, u }) => {
    const found = all(kind).find(({ unit }) => unit === u);
    return found ? found.zero + digits(v) * (found.one - found.zero) : digits(v);
  };
  /** An SI value in a unit, as digits a person would type. */
  const typed = (kind, value, unit = usual(kind)) => {
    const found = all(kind).find((one) => one.unit === unit);
    const number = found ? (value - found.zero) / (found.one - found.zero) : value;
    return { v: String(Number(number.toPrecision(5))), u: unit };
  };
  /** As files have it: `"85 kPa gauge"`; a plain number where the quantity has no unit. */
  const toml = (kind, { v, u }) => (kind ? JSON.stringify(`${v.replace("\u2212", "-")} ${u}`) : String(digits(v)));
  /** From a file: `"85 kPa gauge"` or a number. */
  const read = (kind, value) => {
    if (typeof value === "number") return kind === "ratio" ? { v: String(Number((100 * value).toPrecision(8))), u: "%" } : { v: String(value), u: kind ? usual(kind) : "" };
    const found = String(value).trim().match(/^([-+\u2212]?[\d.]+)\s*(.*)$/);
    return found ? { v: found[1].replace("+", ""), u: found[2] } : null;
  };
  /** The same in the usual unit, where it was typed in another. */
  const also = (kind, value) => {
    const first = all(kind)[0]?.unit;
    if (!kind || !first || value.u === first || !Number.isFinite(digits(value.v))) return "";
    const { v, u } = typed(kind, si(kind, value), first);
    return `= ${Page.number(Number(v), 4)} ${shown(u)}`;
  };
  const good = (value) => value && Number.isFinite(digits(value.v));
  return { catalogue, all, usual, shown, next, digits, si, typed, toml, read, also, good };
})();
