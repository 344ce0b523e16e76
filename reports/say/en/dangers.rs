//! Dangers of any answer.

use sim::sentences;

sentences! {
    /// Of one car of several.
    of(of, danger) "{of}: {danger}";
    /// The worst of several, and where the others are.
    also_at(worst, others) "{worst} Also at {others}.";
    /// A danger that faults bring.
    brought(what, by, threat, until) "{what}: {by}. {threat}. Do not run such a car under load until {until}.";
    /// Of a test under pressure.
    UNTIL_VENTED "the pressure is let off";
    /// Of sweeps.
    in_rows(point, rows, of) "{point}, {rows} of {of} cases";
}
