//! What several workshop commands say.

use sim::sentences;

sentences! {
    /// What it loses at boost.
    at_boost(boost, flow) "; at {boost:.0} kPa boost it loses {flow}";
    /// Head of the table.
    WHAT_LEAKS "What leaks, with the limits of 90 % confidence.";
    /// What a leak does in the car.
    in_car(place, idle, full_load, codes) "in the car, at the {place}: {idle}, {full_load}, {codes}";
    /// Of idle.
    DOES_NOT_IDLE "the engine does not idle with it";
    /// Of idle.
    IDLE_STAYS "idle trim stays";
    /// Of idle.
    idle_moves(trim) "idle trim moves by {trim:+.1} %";
    /// Of idle.
    IDLE_OPEN "idle has no answer";
    /// Of full load.
    FULL_LOAD_OPEN "full load has no answer";
    /// Of full load.
    FULL_LOAD_KEEPS "full load keeps its boost and torque";
    /// What is lost.
    boost(kpa, psi) "{kpa:.1} kPa ({psi:.2} psi) of boost";
    /// Of full load.
    loses(boost) "full load loses up to {boost}";
    /// Of full load.
    loses_torque(torque) "full load keeps its boost and loses up to {torque:.1} % of torque";
    /// Of full load.
    loses_both(boost, torque) "full load loses up to {boost} and {torque:.1} % of torque";
    /// Head of the table.
    IN_CAR "The leaking car minus the healthy one; pressure across the leak is that of the healthy car, \
            lambda that of the leaking one; air into the path counts as positive.";
    /// Under a picture.
    CHANGE "Change by the leak; thin lines: the smallest and the largest leak that the measurement allows.";
    /// Under the picture.
    TRUE_HOLE "The sharp round hole that does the same, to true scale: 10 mm on the ruler are 10 mm on \
               paper when printed at 100 %.";
    /// Of a leak without a trace.
    NOTHING_IN_CAR "Nothing that one decimal shows changes in fuel trim, boost or torque at any of these points.";
}

/// Cautions of every test with pressure.
pub const TEST: [&str; 6] = [
    "Wear eye protection and stand aside: plugs, clamps and hoses let go under pressure. Raise it \
     slowly, and let it off before anything is loosened.",
    "Never test above the engine's normal boost; sections with seals not meant for pressure take \
     less.",
    "Never block the crankcase vent while pressure can reach the crankcase (past rings, breather or \
     crankcase ventilation (PCV) valve): it blows out shaft seals.",
    "Engine off, key out, all of it cold: fans start by themselves, belts and turbo spin, exhaust \
     is hot.",
    "Do not look for leaks with a flame or a flammable spray.",
    "The maker's procedure and local codes go first; leave licensed work to those who hold the \
     licence.",
];

/// Cautions of work on joints.
pub const JOINT: [&str; 4] = [
    "Engine off and cold, boost let off: exhaust and turbo are hot, fans and belts start and spin.",
    "Use only sealant that is safe for oxygen sensors, and none where a loose piece is drawn into \
     compressor or valves.",
    "Rubber must suit what it meets: oil mist and heat at a breather, fuel vapour at a manifold.",
    "The maker's procedure, seal and torque go first, then local codes; leave licensed work to \
     those who hold the licence.",
];
