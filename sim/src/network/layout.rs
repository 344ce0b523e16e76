//! Names and positions of the network's places, states and ledger entries.

/// Where gas can be: seven volumes, two signal lines, the atmosphere, and the
/// compressor inlet, which is the inlet duct seen at its lowest static pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Node {
    /// Duct between meter and compressor.
    Inlet,
    /// Pipe from compressor to cooler.
    HotPipe,
    /// Cooler outlet tank and pipe to the throttle.
    ColdPipe,
    /// Intake manifold.
    Manifold,
    /// Crankcase.
    Crankcase,
    /// Exhaust manifold.
    Exhaust,
    /// Pipe behind the turbine, with the oxygen sensor.
    Downpipe,
    /// Wastegate capsule and its signal hose.
    Capsule,
    /// Chamber above the compressor bypass valve's diaphragm, and its hose.
    Chamber,
    /// The compressor inlet: mass belongs to the inlet duct.
    Union,
    /// The atmosphere.
    Ambient,
}

/// Number of volumes with mass, energy and fuel as states.
pub const VOLUMES: usize = 7;

/// The volumes in state order.
pub const VOLUME_NODES: [Node; VOLUMES] = [
    Node::Inlet,
    Node::HotPipe,
    Node::ColdPipe,
    Node::Manifold,
    Node::Crankcase,
    Node::Exhaust,
    Node::Downpipe,
];

/// Position of each state. Volume `v` has its mass at `3v`, internal energy at
/// `3v+1`, fuel-derived mass at `3v+2`.
pub mod state {
    /// Gas in the wastegate signal line, kg.
    pub const CAPSULE: usize = 21;
    /// Gas above the compressor bypass valve's diaphragm, kg.
    pub const CHAMBER: usize = 22;
    /// Flow through the compressor, kg/s.
    pub const COMPRESSOR_FLOW: usize = 23;
    /// Turbocharger speed, rad/s.
    pub const SHAFT: usize = 24;
    /// Crank speed, rad/s.
    pub const ENGINE: usize = 25;
    /// Throttle opening, 0 to 1.
    pub const THROTTLE: usize = 26;
    /// Wastegate opening, 0 to 1.
    pub const WASTEGATE: usize = 27;
    /// Compressor bypass valve opening, 0 to 1.
    pub const RECIRCULATION: usize = 28;
    /// Memory of the boost controller: correction to the bleed valve's duty.
    pub const DUTY: usize = 29;
    /// Reading of the mass air flow sensor, kg/s.
    pub const METER: usize = 30;
    /// Reading of the oxygen sensor, lambda.
    pub const OXYGEN: usize = 31;
    /// Short-term fuel trim, share.
    pub const TRIM: usize = 32;
    /// Pedal, 0 to 1.
    pub const PEDAL: usize = 33;
    /// Throttle opening that the idle governor has found, 0 to 1.
    pub const IDLE: usize = 34;
    /// Long-term trim of the idle cell, share.
    pub const IDLE_TRIM: usize = 35;
    /// Long-term trim of the part-load cell, share.
    pub const PART_TRIM: usize = 36;
    /// Correction of the air by manifold pressure to the meter's reading, ratio.
    pub const CORRECTION: usize = 37;
    /// Mixture that has reached the oxygen sensor, lambda.
    pub const ARRIVED: usize = 38;
    /// Road speed, m/s.
    pub const CAR: usize = 39;
    /// Boost as the computer filters it, Pa over ambient.
    pub const FILTERED: usize = 40;
    /// Long-term trim of the high-load cell, share.
    pub const HIGH_TRIM: usize = 41;
    /// Reading of the intake temperature sensor in the manifold, K.
    pub const INTAKE: usize = 42;
}

/// Number of states.
pub const STATES: usize = 43;

/// Size of each state that counts as "one" when errors are weighed.
///
/// Small against typical values where a state may be near zero.
pub const SCALE: [f64; STATES] = {
    let mut s = [1.0; STATES];
    let volumes = [
        (2e-3, 0.01),
        (1.5e-3, 0.01),
        (2e-3, 0.01),
        (1e-3, 0.01),
        (5e-3, 0.05),
        (5e-4, 0.07),
        (2e-3, 0.07),
    ];
    let mut v = 0;
    while v < VOLUMES {
        s[3 * v] = volumes[v].0;
        s[3 * v + 1] = volumes[v].0 * 3e5;
        s[3 * v + 2] = volumes[v].0 * volumes[v].1;
        v += 1;
    }
    s[state::CAPSULE] = 5e-5;
    s[state::CHAMBER] = 5e-5;
    s[state::COMPRESSOR_FLOW] = 0.02;
    s[state::SHAFT] = 2000.0;
    s[state::ENGINE] = 100.0;
    s[state::THROTTLE] = 0.1;
    s[state::WASTEGATE] = 0.2;
    s[state::RECIRCULATION] = 0.2;
    s[state::DUTY] = 0.2;
    s[state::METER] = 0.02;
    s[state::OXYGEN] = 1.0;
    s[state::TRIM] = 0.2;
    s[state::PEDAL] = 1.0;
    s[state::IDLE] = 0.1;
    s[state::IDLE_TRIM] = 0.2;
    s[state::PART_TRIM] = 0.2;
    s[state::CORRECTION] = 1.0;
    s[state::ARRIVED] = 1.0;
    s[state::CAR] = 20.0;
    s[state::FILTERED] = 1e5;
    s[state::HIGH_TRIM] = 0.2;
    s[state::INTAKE] = 50.0;
    s
};

/// Short names of the states, for messages.
pub fn state_name(index: usize) -> String {
    if index < 3 * VOLUMES {
        let what = ["mass", "energy", "fuel"][index % 3];
        return format!("{:?} {what}", VOLUME_NODES[index / 3]);
    }
    const REST: [&str; STATES - 21] = [
        "capsule mass",
        "chamber mass",
        "compressor flow",
        "shaft speed",
        "engine speed",
        "throttle",
        "wastegate",
        "compressor bypass valve",
        "boost duty",
        "mass air flow sensor",
        "oxygen sensor",
        "short-term trim",
        "pedal",
        "idle opening",
        "idle trim",
        "part-load trim",
        "air correction",
        "mixture at the sensor",
        "road speed",
        "filtered boost",
        "high-load trim",
        "intake temperature sensor",
    ];
    REST[index - 21].into()
}

/// A state as people name what moves in it.
pub fn state_in_words(index: usize) -> String {
    const PLACES: [&str; VOLUMES] = [
        "inlet duct",
        "hot pipe",
        "cold pipe",
        "intake manifold",
        "crankcase",
        "exhaust manifold",
        "downpipe",
    ];
    if index < 3 * VOLUMES {
        let what = ["amount", "temperature", "mixture"][index % 3];
        return format!("{what} of the gas in the {}", PLACES[index / 3]);
    }
    match index {
        state::CAPSULE => "pressure at the wastegate capsule".into(),
        state::CHAMBER => "pressure at the compressor bypass valve".into(),
        state::SHAFT => "turbo speed".into(),
        state::METER => "reading of the mass air flow sensor".into(),
        state::OXYGEN | state::ARRIVED => "mixture at the oxygen sensor".into(),
        state::DUTY | state::FILTERED => "boost control".into(),
        state::CORRECTION => "count of the air".into(),
        _ => state_name(index),
    }
}

/// Position of each ledger entry: what has passed since the start of a run.
pub mod ledger {
    /// Air through the meter, kg.
    pub const METERED_IN: usize = 0;
    /// Air into the intake side past the meter, kg.
    pub const UNMETERED_IN: usize = 1;
    /// Gas out of the intake side to the atmosphere, kg.
    pub const LOST: usize = 2;
    /// Gas back from boost to the inlet duct through valve and valve leaks, kg.
    pub const RECIRCULATED: usize = 3;
    /// Gas into the cylinders, kg.
    pub const ENGINE_IN: usize = 4;
    /// Blow-by into the crankcase, kg.
    pub const BLOW_BY: usize = 5;
    /// Fuel injected, kg.
    pub const FUEL: usize = 6;
    /// Air into the exhaust through leaks, kg.
    pub const EXHAUST_IN: usize = 7;
    /// Gas out of the exhaust through leaks, kg.
    pub const EXHAUST_LOST: usize = 8;
    /// Gas out of the tailpipe, kg.
    pub const TAILPIPE: usize = 9;
    /// Enthalpy in across all boundaries, fuel included, J.
    pub const ENTHALPY_IN: usize = 10;
    /// Work from the turbocharger to the gas (compressor less turbine), J.
    pub const TURBO_WORK: usize = 11;
    /// Work from the gas to the crankshaft, J.
    pub const ENGINE_WORK: usize = 12;
    /// Heat from the gas to walls and coolants, J.
    pub const HEAT: usize = 13;
    /// Number of entries.
    pub const ENTRIES: usize = 14;
}
