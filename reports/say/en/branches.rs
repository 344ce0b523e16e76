//! `branches`.

use sim::sentences;

sentences! {
    /// Where a danger is.
    at_size(point, size, unit) "{point}, at {size} {unit}";
    /// Title.
    title(scenario) "All steady answers: {scenario}";
    /// What is shown.
    ABOUT "Every steady state found, over the size of what is wrong, before any code reduces the torque. At each \
        size the computer has learnt what it learns while the fault grows, except in the table of histories.";
    /// What sizes are told in.
    sizes_in(unit) "Sizes are in {unit}.";
    /// Head of a part with the other points.
    OTHERS "The other points";
    /// Head of a part.
    curves_at(point) "The steady states at {point}, curve by curve";
    /// There is one answer.
    one(point, most) "{point}: one steady answer at every size up to {most}; how the fault came about makes no difference.";
    /// There are several.
    several(point, from, to) "{point}: more than one steady state that the engine stays in, from {from} to {to}.";
    /// Histories differ though there is one curve.
    learnt(point, most) "{point}: up to {most} the answer depends on how the fault came about: the computer has learnt otherwise, or the \
        engine does not get to the steady state by itself.";
    /// A state that swings.
    swings(point, from, to) "{point}: from {from} to {to} the engine swings away from the steady state. It hunts, \
        surges or stalls there, as a drive shows (`simulate --time`), and may not come through while the fault grows.";
    /// Over the picture.
    over_size(reading) "{reading} over the size: thick where the engine stays, thin where it leaves by itself.";
    /// A jump.
    JUMPS "Where the engine leaves a state that no longer exists.";
    /// Answers by history.
    HISTORIES "What a size comes to, by how it came about: `grown` slowly while driven, `sudden` on the running \
        healthy engine, `restarted` with it there before the start.";
    /// The curves.
    CURVES "The steady states, curve by curve.";
    /// A mark in the picture.
    JUMPS_GROWING "jumps, growing";
    /// A mark in the picture.
    JUMPS_MENDED "jumps back, mended";
    /// Limits.
    LIMITS "Curves are followed from the healthy car, from where jumps end and from where a sudden or restarted \
        fault comes to rest; that there is no other one is not proved. A state that swings away is a steady answer \
        with a warning elsewhere.";
}
