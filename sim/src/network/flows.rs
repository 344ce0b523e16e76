//! The flows that a drawing of the air path shows, by name.

use super::Moment;

/// A flow: key in files (with the unit), what it is, kg/s.
type Flow = (&'static str, &'static str, fn(&Moment<f64>) -> f64);

/// Every flow, positive in the direction of its words.
pub const FLOWS: [Flow; 16] = [
    ("filter", "through filter and meter", |m| {
        m.streams.filter.mass
    }),
    ("compressor", "through the compressor", |m| {
        m.streams.compressor.mass
    }),
    ("recirculation", "back past the compressor", |m| {
        m.streams.recirculation.mass
    }),
    ("cooler", "through the charge air cooler", |m| {
        m.streams.cooler.mass
    }),
    ("throttle", "past the throttle", |m| m.streams.throttle.mass),
    ("intake", "into the cylinders", |m| m.streams.cycle.intake),
    ("exhaust", "into the exhaust manifold", |m| {
        m.streams.cycle.exhaust
    }),
    ("turbine", "through the turbine", |m| m.streams.turbine.mass),
    ("wastegate", "past the turbine", |m| {
        m.streams.wastegate.mass
    }),
    ("silencer", "out of the exhaust", |m| {
        m.streams.silencer.mass
    }),
    ("blow_by", "blow-by past the rings", |m| {
        m.streams.cycle.blow_by
    }),
    ("breather", "crankcase to inlet duct", |m| {
        m.streams.breather.mass
    }),
    ("ventilation", "crankcase to manifold", |m| {
        m.streams.ventilation.mass
    }),
    ("signal", "into the wastegate capsule", |m| {
        m.streams.signal.mass
    }),
    ("chamber", "into the valve chamber", |m| {
        m.streams.chamber.mass
    }),
    ("leak", "in by the leaks", |m| {
        let leaks = m.streams.leaks.iter().flatten();
        leaks.map(|leak| leak.inward.mass + leak.outward.mass).sum()
    }),
];

/// All of them, g/s, in the order of [`FLOWS`].
pub fn flows(moment: &Moment<f64>) -> [f64; FLOWS.len()] {
    FLOWS.map(|(.., of)| of(moment) * 1e3)
}
