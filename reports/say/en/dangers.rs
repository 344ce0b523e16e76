//! Dangers of any answer.

use sim::sentences;

sentences! {
    /// Of one car of several.
    of(of, danger) "{of}: {danger}";
    /// The worst of several, and where the others are.
    also_at(worst, others) "{worst} Also at {others}.";
    /// A danger that faults bring.
    brought(what, by, threat, until) "{what}: {by}. {threat}. Do not run such a car under load until {until}.";
    /// All that leaks and faults bring, by name.
    all_brought(names, until) "Some of these leaks and faults bring, from some size on: {names}. {until}";
    /// One of several, in a line, and at how many points more.
    also_at_more(danger, others) "{danger}, and at {others} more";
    /// After several.
    UNTIL_LOADED "Do not run such a car under load until each of them is put right; what each can do and what to check first stands under: Dangers, one by one.";
    /// The same where one of them forbids to drive at all.
    UNTIL_DRIVEN "Do not run such a car under load, and do not drive it, until each of them is put right; what each can do and what to check first stands under: Dangers, one by one.";
    /// Head of the part that says them whole.
    ONE_BY_ONE "Dangers, one by one";
    /// Of a test under pressure.
    UNTIL_VENTED "the pressure is let off";
    /// Of sweeps.
    in_rows(point, rows, of) "{point}, {rows} of {of} cases";
}
