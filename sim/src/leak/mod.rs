//! Leak shapes (stand-in).
use crate::flow::Flow;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
/// Shape.
#[derive(Clone, Copy, Debug)]
pub enum Shape<P> {
    /// Hole diameter m.
    RoundHole(P),
}
impl<P: Scalar> Shape<P> {
    /// Flow.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let Shape::RoundHole(d) = *self;
        orifice(S::lift(d * d * (std::f64::consts::PI / 4.0)), Discharge::SharpEdged, a, b)
    }
}
