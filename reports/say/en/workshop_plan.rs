//! `workshop plan`.

use sim::sentences;

sentences! {
    /// The plan in a sentence; pressures in kPa.
    steps(count, car, smoke, firmest, normal, shut, open) "{count} steps for {car}: smoke at {smoke} kPa first, pressure up to {firmest} kPa where the pipes see boost (normal boost {normal} kPa). The crankcase's seals bear no more than {smoke} kPa: steps {shut} shut the crankcase in and stay below; steps {open} go above and are safe only with filler cap out and breather open.";
    /// A step's pressure.
    at_most(kpa, psi, why) "At most {kpa} kPa gauge ({psi} psi): {why}.";
    /// What a tight car shows.
    tight(shows) "Tight: {shows}.";
    /// The same, with what is shut in.
    tight_volume(litres, shows) "Tight, {litres} L: {shows}.";
    /// By smoke.
    NO_SMOKE "no smoke, and no flow that the meter tells once filled";
    /// By pressure.
    holds(fall, time, hole) "falls by less than {fall} kPa in {time:.0} s (then no hole is above {hole} mm)";
    /// By pressure, with valves and rings.
    rings(half) "valves and rings let out air: a healthy engine keeps half the pressure for {half} s or longer";
    /// Where the step finds leaks.
    reaches(places) "This reaches: {places}.";
    /// Head of the table.
    HOLES "Round, sharp-edged holes at any place that this reaches.";
    /// Under the picture.
    PRESSURES "The steps in their order; none goes above normal boost.";
    /// Head of what is said before the steps.
    BEFORE "Before the first step";
    /// Head of the picture.
    HIGHEST "highest pressure of each step, kPa gauge";
}

/// Cautions of a whole plan.
pub const MORE: [&str; 3] = [
    "Regulator and relief valve between supply and car, the relief set just above the step's \
     pressure: a workshop line has ten times what a hose bears.",
    "Smoke fluid: only what the machine's maker names, fresh air, no flames; not near an open fuel \
     line, fuel vapour burns. The engine is never run with these plugs in.",
    "Afterwards: plugs and tape out, hoses and clamps back, count them; sealant only if safe for \
     oxygen sensors; then start and look for codes, outdoors or with the exhaust drawn off.",
];
