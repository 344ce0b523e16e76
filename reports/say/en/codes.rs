//! `codes`.

use sim::sentences;

sentences! {
    /// Title.
    TITLE "Which fault sets which code";
    /// What the table says.
    about(car, least, most) "{car}: trouble codes set at steady running (idle, light cruise, full load) \
        with trims learnt, and the size from which each comes, grown from nothing while the car is driven, before a \
        code reduces the torque. Holes are round and sharp-edged, {least} to {most}. Severities count as in a scenario's [[fault]].";
    /// The answer where every fault sets a code.
    all_set(all) "Each of {all} leaks and faults sets a code when it is large enough.";
    /// The answer where some set none.
    some_set(seen, all, silent) "{seen} of {all} leaks and faults set a code when they are large enough. Never: {silent}.";
    /// Head of the table.
    GROWING "Each leak and fault by itself, growing.";
    /// Over the picture.
    SMALLEST "smallest hole that sets a code, mm";
    /// Under it.
    SMALLEST_AT "The smallest round sharp-edged hole at each place that sets a code, which, and where.";
    /// A hole, its code, and where.
    hole(mm, code, point) "{mm}, {code} ({point})";
    /// The same where there is none.
    NO_HOLE "none";
    /// Of a fault without a code.
    NOTHING "no code over the whole range";
    /// Head of the list of codes.
    MEANING "What the codes mean: the titles of SAE J2012 in meaning, paraphrased, not checked against the standard's text.";
    /// What brings a danger.
    danger_from(fault, size, point, code) "{fault} from {size} ({point}, code {code})";
}
