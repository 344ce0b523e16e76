//! What may be wrong: every leak place and every look-alike, each with a prior
//! probability and a size that grows along one coordinate.

use crate::network::{Ailment, Network, Place};
use crate::params::Field;
use crate::study::threshold::{HOLES, Worsening};
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
    pub worsening: Worsening,
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
    let nodes = |worsening: &Worsening| match worsening {
        Worsening::Hole(place) => Some(place.nodes(outlet)),
        _ => None,
    };
    let all = Worsening::all();
    let places = all.iter().filter(|w| nodes(w).is_some()).count() as f64;
    let kinds = Ailment::ALL.len() as f64;
    let mut curves: Vec<Worsening> = Vec::new();
    let suspects = all.iter().map(|worsening| {
        let twin = curves
            .iter()
            .position(|known| nodes(known).is_some() && nodes(known) == nodes(worsening));
        let curve = twin.unwrap_or_else(|| {
            curves.push(*worsening);
            curves.len() - 1
        });
        let prior = match worsening {
            Worsening::Fault(ailment, _) => {
                let ways = all.iter().filter(|other| other.ailment() == Some(*ailment));
                (1.0 - SOUND - LEAK) / kinds / ways.count() as f64
            }
            _ => LEAK / places,
        };
        Suspect {
            worsening: *worsening,
            prior,
            curve,
        }
    });
    suspects.collect()
}

impl Suspect {
    /// Where the leak is; none for another fault.
    pub fn place(&self) -> Option<Place> {
        match self.worsening {
            Worsening::Hole(place) => Some(place),
            _ => None,
        }
    }

    /// Which fault it is; none for a leak.
    pub fn ailment(&self) -> Option<Ailment> {
        self.worsening.ailment()
    }

    /// One word: `leak`, or the fault's key.
    pub fn fault(&self) -> &'static str {
        self.ailment().map_or("leak", Ailment::key)
    }

    /// The words for it.
    pub fn name(&self) -> String {
        let (Some(ailment), Worsening::Fault(_, end)) = (self.ailment(), self.worsening) else {
            return self.place().map_or(String::new(), |place| {
                format!("leak: {}", place.to_string().replace('_', " "))
            });
        };
        let doc = ailment.field().doc.trim();
        let what = doc.split(':').next().unwrap_or(doc);
        let field = ailment.field();
        let both = field.low < ailment.sound() && ailment.sound() < field.high;
        match (both, end < ailment.sound()) {
            (false, _) => named(ailment, what),
            (true, true) => {
                format!("{what} reads low").replace("low fuel delivery reads", "fuel delivery")
            }
            (true, false) => {
                format!("{what} reads high").replace("low fuel delivery reads", "fuel delivery")
            }
        }
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
        let Worsening::Fault(ailment, end) = self.worsening else {
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

fn named(ailment: Ailment, what: &str) -> String {
    match ailment {
        Ailment::WastegateStuckOpen => "wastegate stuck open".into(),
        Ailment::WastegateStuckShut => "wastegate stuck shut".into(),
        Ailment::RecirculationStuckOpen => "recirculation valve stuck open".into(),
        Ailment::RecirculationStuckShut => "recirculation valve stuck shut".into(),
        _ => what.into(),
    }
}
