//! What several workshop commands say.

use crate::text::say::sentences;

sentences! {
    /// What it loses at boost.
    at_boost(boost, flow) "; at {boost:.0} kPa boost it loses {flow}";
    /// Head of the table.
    WHAT_LEAKS "What leaks, with the limits of 90 % confidence.";
    /// Under the picture.
    TRUE_HOLE "The sharp round hole that does the same, to true scale: 10 mm on the ruler are 10 mm on \
               paper when printed at 100 %.";
}

/// Cautions of every test with pressure.
pub const TEST: [&str; 6] = [
    "Wear eye protection and stand aside: plugs, clamps and hoses let go under pressure. Raise it \
     slowly, and let it off before anything is loosened.",
    "Never test above the engine's normal boost; sections with seals not meant for pressure take \
     less.",
    "Never block the crankcase vent while pressure can reach the crankcase (past rings, breather or \
     ventilation valve): it blows out shaft seals.",
    "Engine off, key out, all of it cold: fans start by themselves, belts and turbo spin, exhaust \
     is hot.",
    "Do not look for leaks with a flame or a flammable spray.",
    "The maker's procedure and local codes go first; leave licensed work to those who hold the \
     licence.",
];

/// Cautions of work on joints.
pub const JOINT: [&str; 4] = [
    "Engine off and cold, boost let off: exhaust and turbo are hot, fans and belts start and spin.",
    "Use only sealant that is safe for oxygen sensors, and none where a loose bit is drawn into \
     compressor or valves.",
    "Rubber must suit what it meets: oil mist and heat at a breather, fuel vapour at a manifold.",
    "The maker's procedure, seal and torque go first, then local codes; leave licensed work to \
     those who hold the licence.",
];
