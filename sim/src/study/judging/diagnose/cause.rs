//! What a suspect is made of: a hole, a split, a fault.

use crate::leak::{Shape, Split};
use crate::network::layout::Node;
use crate::network::{Ailment, Leak, Network, Place};
use crate::scalar::Scalar;
use crate::study::asking::threshold::Worsening;
use std::f64::consts::PI;

/// What may be wrong.
#[derive(Clone, Copy, Debug)]
pub enum Cause {
    /// A hole that stays as it is, or a fault.
    Worse(Worsening),
    /// A split that pressure inside opens and that is shut without. Its size is the diameter of
    /// the hole as large as it is at [`STATED`] inside.
    Split(Place),
}

/// Where pressure inside may open a split: hoses, tanks and seams under boost.
const SPLITS: [Place; 3] = [Place::HotPipe, Place::CoolerTank, Place::ColdPipe];
/// Pressure inside, Pa above the outside, at which a split's size is stated.
pub const STATED: f64 = 1e5;
/// Length of a split over its opening there (own choice; lips part in proportion to the
/// length, `anderson2017` ch. 2).
const SLENDER: f64 = 30.0;

impl Cause {
    /// Every leak place, every split, and every fault in every direction its range allows.
    pub fn all() -> Vec<Cause> {
        let worse = Worsening::all().into_iter().map(Cause::Worse);
        let mut all: Vec<Cause> = worse.collect();
        let leaks = all.iter().filter(|c| c.place().is_some()).count();
        all.splice(leaks..leaks, SPLITS.map(Cause::Split));
        all
    }

    /// Where the leak is; none for another fault.
    pub fn place(self) -> Option<Place> {
        match self {
            Cause::Worse(Worsening::Hole(place)) | Cause::Split(place) => Some(place),
            Cause::Worse(_) => None,
        }
    }

    /// Which fault it is; none for a leak.
    pub fn ailment(self) -> Option<Ailment> {
        match self {
            Cause::Worse(worsening) => worsening.ailment(),
            Cause::Split(_) => None,
        }
    }

    /// Whether the model cannot tell it from another: the same opening between the same nodes.
    pub fn twin(self, other: &Cause, outlet: Node) -> bool {
        let split = |cause: Cause| matches!(cause, Cause::Split(_));
        let nodes = |cause: Cause| cause.place().map(|place| place.nodes(outlet));
        self.place().is_some() && nodes(self) == nodes(*other) && split(self) == split(*other)
    }

    /// Adds it to a car at a size, SI.
    pub fn add<P: Scalar>(self, car: &mut Network<P>, size: P) {
        match self {
            Cause::Worse(worsening) => worsening.add(car, size),
            Cause::Split(place) => car.leaks.push(Leak {
                place,
                shape: Shape::Split(opened(size)),
            }),
        }
    }

    /// The size at which it is this leak, SI; none if it is another thing.
    pub fn like(self, leak: &Leak<f64>) -> Option<f64> {
        let alike = self.place() == Some(leak.place);
        match (self, leak.shape) {
            (Cause::Split(_), Shape::Split(split)) if alike && split.closed_opening == 0.0 => {
                Some((4.0 / PI * split.length * split.opening(STATED)).sqrt())
            }
            (Cause::Worse(_), Shape::RoundHole(hole)) if alike => Some(hole.diameter),
            _ => None,
        }
    }

    /// Diameter, m, of the hole that it is with `pressure` inside, Pa above the outside, in
    /// an engine that stands, at a size, SI; 0 for what is no leak.
    pub fn standing(self, size: f64, pressure: f64) -> f64 {
        match self {
            Cause::Worse(Worsening::Hole(_)) => size,
            Cause::Worse(_) => 0.0,
            Cause::Split(_) => {
                let split: Split<f64> = opened(size);
                (4.0 / PI * split.length * split.opening(pressure)).sqrt()
            }
        }
    }
}

/// The split that is as large as a hole of this diameter, m, at [`STATED`].
fn opened<P: Scalar>(diameter: P) -> Split<P> {
    let opening = diameter * (PI / 4.0 / SLENDER).sqrt();
    Split {
        length: opening * SLENDER,
        reference_opening: opening,
        reference_pressure: P::constant(STATED),
        closed_opening: P::constant(0.0),
        depth: P::constant(WALL),
    }
}

/// Thickness of a hose's wall, m (own choice).
const WALL: f64 = 4e-3;
