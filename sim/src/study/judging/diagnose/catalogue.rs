//! What may be wrong: every leak place and every look-alike, each with a prior
//! probability and a size that grows along one coordinate.

use crate::leak::Shape;
use crate::network::layout::Node;
use crate::network::{Defect, FaultKind, Leak, Network, Place};
use crate::params::Field;
use crate::scalar::Scalar;
use crate::study::asking::threshold::HOLES;
use crate::units::Dimension;
use std::f64::consts::PI;

/// Prior probability that nothing is wrong.
pub const SOUND: f64 = 0.5;
/// Prior probability of a leak, shared evenly among the places; the rest goes evenly to the
/// other faults. Own choice.
pub const LEAK: f64 = 0.25;
/// Diameter, m, from which a hole would probably have been seen already (own choice).
pub const SEEN: f64 = 8e-3;
/// Prior probability of two faults at once, where pairs are asked for: taken from all single
/// ones alike.
pub const PAIR: f64 = 0.05;
/// Where pressure inside may open a split: hoses, tanks and seams under boost.
const SPLITS: [Place; 3] = [Place::HotPipe, Place::CoolerTank, Place::ColdPipe];
/// Pressure inside, Pa above the outside, at which a split's size is stated.
pub const STATED: f64 = 1e5;

/// A defect with its prior and the coordinate that its size runs along. The size of a split is
/// the diameter of the hole as large as it is at [`STATED`] inside: it grows in length, too.
#[derive(Clone, Copy, Debug)]
pub struct Suspect {
    /// What may be wrong, as bad as it gets.
    pub defect: Defect,
    /// Probability before any reading.
    pub prior: f64,
    /// Which curve of predictions it has; places that the model cannot tell apart share one.
    pub curve: usize,
}

/// How the coordinate `u`, 0 to 1, runs along a size.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Scale {
    /// Equal ratios from `low` to `high`.
    Ratios(f64, f64),
    /// Equal steps.
    Steps(f64, f64),
    /// Steps that grow from nothing: openings act most when they are small.
    Squares(f64),
}

/// Every suspect of a car, twins (places between the same nodes) next to the first of them.
pub fn suspects(car: &Network<f64>) -> Vec<Suspect> {
    let outlet = car.valve_outlet();
    let all = defects();
    let places = Place::WORDS.len() as f64;
    let kinds = FaultKind::ALL.len() as f64;
    let mut curves: Vec<Defect> = Vec::new();
    let suspects = all.iter().map(|defect| {
        let twin = (curves.iter()).position(|known| are_twins(known, defect, outlet));
        let curve = twin.unwrap_or_else(|| {
            curves.push(*defect);
            curves.len() - 1
        });
        // A fault's directions, and a place's shapes, share what it has.
        let alike = match (defect.kind(), defect.place()) {
            (Some(kind), _) => all.iter().filter(|c| c.kind() == Some(kind)).count(),
            (None, place) => all.iter().filter(|c| c.place() == place).count(),
        };
        let share = match defect.place() {
            Some(_) => LEAK / places,
            None => (1.0 - SOUND - LEAK) / kinds,
        };
        Suspect {
            defect: *defect,
            prior: share / alike as f64,
            curve,
        }
    });
    suspects.collect()
}

/// A hole at every place, every split, and every fault each way that it goes.
fn defects() -> Vec<Defect> {
    let holes = Defect::holes(HOLES.1).into_iter();
    let splits = SPLITS.map(|place| Defect::Leak(split(place, HOLES.1)));
    holes.chain(splits).chain(Defect::worst_faults()).collect()
}

/// The split at a place that is as large as a hole of this diameter, m, at [`STATED`].
fn split<P: Scalar>(place: Place, diameter: P) -> Leak<P> {
    let shape = Shape::slender_split(diameter, STATED);
    Leak { place, shape }
}

/// Whether pressure inside opens it, and it is shut without.
fn opens(defect: &Defect) -> bool {
    matches!(defect, Defect::Leak(leak) if leak.shape.area(0.0) == Some(0.0))
}

/// Whether the model cannot tell two apart: the same opening between the same nodes.
fn are_twins(one: &Defect, other: &Defect, outlet: Node) -> bool {
    let nodes = |defect: &Defect| defect.place().map(|place| place.nodes(outlet));
    one.place().is_some() && nodes(one) == nodes(other) && opens(one) == opens(other)
}

/// Diameter, m, of the round hole of an area, m².
fn round(area: f64) -> f64 {
    (4.0 / PI * area).sqrt()
}

impl Suspect {
    /// Where the leak is; none for another fault.
    pub fn place(&self) -> Option<Place> {
        self.defect.place()
    }

    /// Whether what it changes follows by reckoning, in any make alike: an instrument that reads by a
    /// share or an offset more, fuel that comes by a share less.
    pub fn is_reckoned(&self) -> bool {
        use FaultKind::{BoostSensor, FuelDelivery, ManifoldSensor, MeterReads, OxygenSensor};
        let reckoned = [
            MeterReads,
            FuelDelivery,
            OxygenSensor,
            ManifoldSensor,
            BoostSensor,
        ];
        self.kind().is_some_and(|kind| reckoned.contains(&kind))
    }

    /// Which fault it is; none for a leak.
    pub fn kind(&self) -> Option<FaultKind> {
        self.defect.kind()
    }

    /// Adds it to a car at a size, SI.
    pub fn add<P: Scalar>(&self, car: &mut Network<P>, size: P) {
        car.add(match self.defect {
            Defect::Leak(leak) if opens(&self.defect) => Defect::Leak(split(leak.place, size)),
            _ => self.defect.sized(size),
        });
    }

    /// The size at which it is this leak, SI; none if it is another thing.
    pub fn like(&self, found: &Defect) -> Option<f64> {
        let (Defect::Leak(own), Defect::Leak(leak)) = (self.defect, found) else {
            return None;
        };
        if own.place != leak.place || own.shape.name() != leak.shape.name() {
            return None;
        }
        match opens(&self.defect) {
            false => Some(leak.shape.size()),
            true if opens(found) => leak.shape.area(STATED).map(round),
            true => None,
        }
    }

    /// Diameter, m, of the hole that it is with `pressure` inside, Pa above the outside, in an
    /// engine that stands, at a size, SI; 0 for what is no leak.
    pub fn standing(&self, size: f64, pressure: f64) -> f64 {
        match self.defect {
            Defect::Leak(leak) if opens(&self.defect) => {
                let area = split(leak.place, size).shape.area(pressure);
                area.map_or(0.0, round)
            }
            Defect::Leak(_) => size,
            Defect::Fault(_) => 0.0,
        }
    }

    /// One word: `leak`, `split`, or the fault's key.
    pub fn fault(&self) -> &'static str {
        match self.defect {
            Defect::Leak(leak) if opens(&self.defect) => leak.shape.name(),
            Defect::Leak(_) => "leak",
            Defect::Fault(fault) => fault.kind.key(),
        }
    }

    /// The words for it.
    pub fn name(&self) -> String {
        match self.defect {
            Defect::Leak(leak) => {
                let place = leak.place.label();
                format!("{}: {place}", self.fault())
            }
            Defect::Fault(fault) => fault.name(),
        }
    }

    /// Where or what it is, in one word: the place, or the fault's key.
    pub fn part(&self) -> &'static str {
        self.defect.part()
    }

    /// [`part`](Self::part) with the direction where a fault has two: `meter_reads_low`.
    pub fn key(&self) -> String {
        let way = match self.defect {
            Defect::Fault(fault) => fault.way(),
            Defect::Leak(_) => None,
        };
        way.map_or(self.part().into(), |way| format!("{}_{way}", self.part()))
    }

    /// Unit of a size as shown, and what SI is multiplied by.
    pub fn unit(&self) -> (&'static str, f64) {
        match self.defect.dimension() {
            Dimension::Length => ("mm", 1e3),
            Dimension::PressureDifference => ("kPa", 1e-3),
            _ => ("", 1.0),
        }
    }

    fn scale(&self) -> Scale {
        let Defect::Fault(fault) = self.defect else {
            return Scale::Ratios(HOLES.0, HOLES.1);
        };
        let (Field { high, .. }, end) = (*fault.kind.field(), fault.severity);
        match fault.kind.healthy() {
            0.0 if high == 1.0 => Scale::Squares(end),
            sound if sound > 0.0 && end / sound > 5.0 => Scale::Ratios(sound, end),
            sound => Scale::Steps(sound, end),
        }
    }

    /// Size, SI, at `u`, 0 to 1.
    pub fn size(&self, u: f64) -> f64 {
        match self.scale() {
            Scale::Ratios(low, high) => low * (high / low).powf(u),
            Scale::Steps(low, high) => low + u * (high - low),
            Scale::Squares(high) => high * u * u,
        }
    }

    /// Logarithm of the prior density over `u` at a size, SI: even, but holes above
    /// [`SEEN`] fall off with their area, for one that takes a finger is found by looking.
    pub fn log_prior(&self, size: f64) -> f64 {
        let Scale::Ratios(low, high) = self.scale() else {
            return 0.0;
        };
        if self.kind().is_some() {
            return 0.0;
        }
        let span = (high / low).ln();
        let even = (SEEN / low).ln() / span;
        let tail = (1.0 - (SEEN / high).powi(2)) / (2.0 * span);
        -2.0 * (size / SEEN).max(1.0).ln() - (even + tail).ln()
    }

    /// d(size)/du, SI.
    pub fn growth(&self, u: f64) -> f64 {
        match self.scale() {
            Scale::Ratios(low, high) => self.size(u) * (high / low).ln(),
            Scale::Steps(low, high) => high - low,
            Scale::Squares(high) => 2.0 * high * u,
        }
    }

    /// `u` of a size, SI, not below 0.
    pub fn coordinate(&self, size: f64) -> f64 {
        let u = match self.scale() {
            Scale::Ratios(low, high) => (size / low).ln() / (high / low).ln(),
            Scale::Steps(low, high) => (size - low) / (high - low),
            Scale::Squares(high) => (size / high).max(0.0).sqrt(),
        };
        u.max(0.0)
    }
}
