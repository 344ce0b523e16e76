//! What is wrong with a car: a leak or a fault, with its one size.

use super::faults::{Fault, FaultKind};
use super::{Leak, Place};
use crate::scalar::Scalar;
use crate::units::{Dimension, show};

/// Something wrong with a car, of one size: a leak's is that of its shape
/// ([`Measure`](crate::leak::Measure)), a fault's its severity.
///
/// # Examples
/// ```
/// use sim::{Defect, Leak, Place};
/// let leak = Defect::Leak(Leak::hole(Place::VacuumLine, 4e-3));
/// assert_eq!(leak.words(), "vacuum line, round hole 4 mm");
/// assert_eq!(leak.sized(2e-3).size(), 2e-3);
/// assert!(leak.sized(0.0).is_shut());
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Defect<P = f64> {
    /// A shape at a place.
    Leak(Leak<P>),
    /// A number of the car that is off.
    Fault(Fault<P>),
}

impl<P: Scalar> Defect<P> {
    /// Where, if it is a leak.
    pub fn place(&self) -> Option<Place> {
        match self {
            Defect::Leak(leak) => Some(leak.place),
            Defect::Fault(_) => None,
        }
    }

    /// Which fault, if it is no leak.
    pub fn kind(&self) -> Option<FaultKind> {
        match self {
            Defect::Leak(_) => None,
            Defect::Fault(fault) => Some(fault.kind),
        }
    }

    /// Where or what it is, in one word: the place, or the fault's key.
    pub fn part(&self) -> &'static str {
        match self {
            Defect::Leak(leak) => leak.place.word(),
            Defect::Fault(fault) => fault.kind.key(),
        }
    }

    /// Its size, SI.
    pub fn size(&self) -> P {
        match self {
            Defect::Leak(leak) => leak.shape.size(),
            Defect::Fault(fault) => fault.severity,
        }
    }

    /// The size of a healthy car, SI.
    pub fn healthy(&self) -> f64 {
        match self {
            Defect::Leak(_) => 0.0,
            Defect::Fault(fault) => fault.kind.healthy(),
        }
    }

    /// What its size measures.
    pub fn dimension(&self) -> Dimension {
        match self {
            Defect::Leak(leak) => leak.shape.measure().dimension,
            Defect::Fault(fault) => fault.kind.field().dimension,
        }
    }
}

impl Defect {
    /// A sharp round hole of `diameter`, m, at every place.
    pub fn holes(diameter: f64) -> Vec<Self> {
        let places = Place::WORDS.iter();
        let holes = places.map(|(_, place, _)| Defect::Leak(Leak::hole(*place, diameter)));
        holes.collect()
    }

    /// Every fault, as bad as its range allows, each way that it goes.
    pub fn worst_faults() -> Vec<Self> {
        Fault::worst().into_iter().map(Defect::Fault).collect()
    }

    /// The same defect at another size, SI, in the size's own scalar.
    #[must_use]
    pub fn sized<P: Scalar>(&self, size: P) -> Defect<P> {
        match self {
            Defect::Leak(leak) => {
                let shape = leak.shape.map(&mut |_, value| P::constant(value));
                Defect::Leak(Leak {
                    place: leak.place,
                    shape: shape.sized(size),
                })
            }
            Defect::Fault(fault) => Defect::Fault(Fault {
                kind: fault.kind,
                severity: size,
            }),
        }
    }

    /// Smallest and largest size, SI.
    pub fn range(&self) -> (f64, f64) {
        match self {
            Defect::Leak(leak) => (0.0, leak.shape.measure().widest.max(self.size())),
            Defect::Fault(fault) => (fault.kind.field().low, fault.kind.field().high),
        }
    }

    /// The same defect at another size, SI, held within its range.
    #[must_use]
    pub fn within(&self, size: f64) -> Self {
        let (low, high) = self.range();
        self.sized(size.clamp(low, high))
    }

    /// Whether it is a leak of no size: nothing is open.
    pub fn is_shut(&self) -> bool {
        matches!(self, Defect::Leak(leak) if leak.shape.is_shut())
    }

    /// The size at a share of the way to this one: of a leak from `least`, SI, in equal ratios,
    /// of a fault from healthy in equal steps.
    pub fn grown(&self, least: f64, share: f64) -> f64 {
        match self {
            Defect::Leak(_) => least * (self.size() / least).powf(share),
            Defect::Fault(_) => self.healthy() + share * (self.size() - self.healthy()),
        }
    }

    /// The numbers of a car with this defect alone that move with its size: dotted key, slope.
    pub fn moves(&self) -> Vec<(String, f64)> {
        match self {
            Defect::Leak(leak) => {
                let moves = leak.shape.moves().into_iter();
                let name = leak.shape.name();
                moves
                    .map(|(key, slope)| (format!("leak.0.{name}.{key}"), slope))
                    .collect()
            }
            Defect::Fault(fault) => vec![(format!("fault.0.{}", fault.kind.key()), 1.0)],
        }
    }

    /// Where or what it is, in words: `cold pipe`, `weak spring`.
    pub fn label(&self) -> String {
        match self {
            Defect::Leak(leak) => leak.place.label(),
            Defect::Fault(fault) => fault.kind.label(),
        }
    }

    /// What it is, in words: `cold pipe, split 0.8 mm`.
    pub fn words(&self) -> String {
        let part = self.label();
        let size = show(self.size(), self.dimension());
        match self {
            Defect::Leak(leak) => {
                format!("{part}, {} {size}", leak.shape.name().replace('_', " "))
            }
            Defect::Fault(_) => format!("{part} {size}"),
        }
    }
}
