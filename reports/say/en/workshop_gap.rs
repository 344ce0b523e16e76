//! `workshop gap`.

use sim::sentences;

sentences! {
    /// What openings pass; `flow` with its limits.
    pass(pressure, what, flow, limits, hole) "At {pressure} kPa gauge {what} {flow} g/s{limits}, as much as a sharp-edged {hole} mm hole";
    /// How large they may be.
    largest(limit, gaps) "the largest gap for the {limit} is {gaps}";
    /// How large they may be.
    never_reached(gaps, limit) "no gap up to {gaps} reaches the {limit}";
    /// How large they may be.
    stops_first(limit, gaps) "the engine stops running before the {limit} is reached; it runs up to {gaps}";
}
