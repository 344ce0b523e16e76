//! What may be wrong: every leak place and every look-alike, each with a prior
//! probability and a size that grows along one coordinate.

use super::cause::Cause;
use crate::network::{Ailment, Leak, Network, Place};
use crate::params::Field;
use crate::scalar::Scalar;
use crate::study::asking::threshold::{HOLES, Worsening};
use crate::units::Dimension;

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

/// Something that may be wrong with the car.
#[derive(Clone, Copy, Debug)]
pub struct Suspect {
    /// What grows worse.
    pub cause: Cause,
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
    let all = Cause::all();
    let places = Place::WORDS.len() as f64;
    let kinds = Ailment::ALL.len() as f64;
    let mut curves: Vec<Cause> = Vec::new();
    let suspects = all.iter().map(|cause| {
        let twin = curves.iter().position(|known| known.twin(cause, outlet));
        let curve = twin.unwrap_or_else(|| {
            curves.push(*cause);
            curves.len() - 1
        });
        // A fault's directions, and a place's shapes, share what it has.
        let alike = match (cause.ailment(), cause.place()) {
            (Some(ailment), _) => all.iter().filter(|c| c.ailment() == Some(ailment)).count(),
            (None, place) => all.iter().filter(|c| c.place() == place).count(),
        };
        let share = match cause.place() {
            Some(_) => LEAK / places,
            None => (1.0 - SOUND - LEAK) / kinds,
        };
        Suspect {
            cause: *cause,
            prior: share / alike as f64,
            curve,
        }
    });
    suspects.collect()
}

impl Suspect {
    /// Where the leak is; none for another fault.
    pub fn place(&self) -> Option<Place> {
        self.cause.place()
    }

    /// Which fault it is; none for a leak.
    pub fn ailment(&self) -> Option<Ailment> {
        self.cause.ailment()
    }

    /// Adds it to a car at a size, SI.
    pub fn add<P: Scalar>(&self, car: &mut Network<P>, size: P) {
        self.cause.add(car, size);
    }

    /// The size at which it is this leak, SI; none if it is another thing.
    pub fn like(&self, leak: &Leak<f64>) -> Option<f64> {
        self.cause.like(leak)
    }

    /// Diameter, m, of the hole that it is with `pressure`, Pa above the outside, in an
    /// engine that stands, at a size, SI; 0 for what is no leak.
    pub fn standing(&self, size: f64, pressure: f64) -> f64 {
        self.cause.standing(size, pressure)
    }

    /// One word: `leak`, `split`, or the fault's key.
    pub fn fault(&self) -> &'static str {
        match self.cause {
            Cause::Split(_) => "split",
            Cause::Worse(_) => self.ailment().map_or("leak", Ailment::key),
        }
    }

    /// The words for it.
    pub fn name(&self) -> String {
        let (Some(ailment), Cause::Worse(Worsening::Fault(_, end))) = (self.ailment(), self.cause)
        else {
            return self.place().map_or(String::new(), |place| {
                let place = place.to_string().replace('_', " ");
                format!("{}: {place}", self.fault())
            });
        };
        let doc = ailment.field().doc.trim();
        let what = doc.split(':').next().unwrap_or(doc);
        match direction(ailment, end) {
            None => named(ailment, what),
            Some(way) => {
                format!("{what} reads {way}").replace("low fuel delivery reads", "fuel delivery")
            }
        }
    }

    /// Where or what it is, in one word: the place, or the fault's key.
    pub fn part(&self) -> &'static str {
        self.place().map_or(self.fault(), Place::word)
    }

    /// [`part`](Self::part) with the direction where a fault has two: `meter_reads_low`.
    pub fn key(&self) -> String {
        let way = match self.cause {
            Cause::Worse(Worsening::Fault(ailment, end)) => direction(ailment, end),
            _ => None,
        };
        way.map_or(self.part().into(), |way| format!("{}_{way}", self.part()))
    }

    /// Unit of a size as shown, and what SI is multiplied by.
    pub fn unit(&self) -> (&'static str, f64) {
        match self.ailment().map(|ailment| ailment.field().dimension) {
            None => ("mm", 1e3),
            Some(Dimension::PressureDifference) => ("kPa", 1e-3),
            Some(_) => ("", 1.0),
        }
    }

    fn scale(&self) -> Scale {
        let Cause::Worse(Worsening::Fault(ailment, end)) = self.cause else {
            return Scale::Ratios(HOLES.0, HOLES.1);
        };
        let Field { high, .. } = *ailment.field();
        match ailment.sound() {
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
        if self.ailment().is_some() {
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

/// Which way a fault goes to `end`, where it can go both.
fn direction(ailment: Ailment, end: f64) -> Option<&'static str> {
    let (field, sound) = (ailment.field(), ailment.sound());
    let both = field.low < sound && sound < field.high;
    both.then_some(if end < sound { "low" } else { "high" })
}

fn named(ailment: Ailment, what: &str) -> String {
    match ailment {
        Ailment::WastegateStuckOpen => "wastegate stuck open".into(),
        Ailment::WastegateStuckShut => "wastegate stuck shut".into(),
        Ailment::RecirculationStuckOpen => "recirculation valve stuck open".into(),
        Ailment::RecirculationStuckShut => "recirculation valve stuck shut".into(),
        _ => what.into(),
    }
}
