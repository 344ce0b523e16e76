//! `workshop decay`.

use sim::sentences;

sentences! {
    /// Of two readings that are alike.
    no_leak(hole) "The gauge shows no leak: at most a sharp-edged hole of {hole} mm, with 90 % confidence";
    /// What was found; `hole` with its limits.
    found(hole) "The gauge moved as through a sharp-edged hole of {hole}, with 90 % confidence";
    /// The same, less what leaks anyway.
    not_explained(hole) "Beyond what leaks anyway (the reference reading), the gauge falls as through a sharp-edged hole of {hole}, with 90 % confidence";
    /// What a leak leads to.
    gauge_goes(leak, start, end, time) "With this leak ({leak}) the gauge goes from {start:.1} to {end:.1} kPa in {time} s";
    /// Its limits.
    walls(adiabatic, isothermal) " ({adiabatic} s if the walls gave no heat, {isothermal} s if they kept the air at one temperature)";
    /// Nothing but an upper limit is known.
    UPPER_LIMIT_ONLY "the drop is not more than gauge and temperature can tell: all that is known of the leak \
                      is the upper limit; wait longer";
    /// A leak that is shut.
    NOTHING_FLOWS "nothing flows through this leak at the start pressure";
    /// Head of the table.
    LEADS_TO "What this leak leads to.";
    /// Head of the table.
    GAUGE "What the gauge is likely to show.";
    /// Under the picture.
    TRACE "What the gauge shows while the leak empties the volume: likely, and the two limits of what \
           the walls do.";
}
