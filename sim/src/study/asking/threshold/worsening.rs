//! What is made worse and worse: a hole, a gap, a fault.

use crate::leak::{RoundHole, Shape};
use crate::network::{Ailment, Fault, Leak, Network, Place};
use crate::scalar::Scalar;

/// What is made worse and worse.
#[derive(Clone, Copy, Debug)]
pub enum Worsening {
    /// A round hole at a place, growing.
    Hole(Place),
    /// A fault that goes from sound towards this end of its range.
    Fault(Ailment, f64),
    /// The gap of a leak, from shut to that of the leak given; see [`Worsening::gap`].
    Gap(Leak<f64>),
}

/// Smallest and largest hole of the ladder of sizes, m; below the smallest comes none.
pub const HOLES: (f64, f64) = (0.5e-3, 20e-3);
/// Smallest gap of the ladder, m.
const LEAST_GAP: f64 = 5e-6;

impl Worsening {
    /// Every leak place, and every fault in every direction its range allows.
    pub fn all() -> Vec<Worsening> {
        let faults = Ailment::ALL.iter().flat_map(|ailment| {
            let field = ailment.field();
            let ends = [field.low, field.high].into_iter();
            ends.filter(|end| *end != ailment.sound())
                .map(|end| Worsening::Fault(*ailment, end))
        });
        Self::holes().into_iter().chain(faults).collect()
    }

    /// A hole at every place.
    pub fn holes() -> Vec<Worsening> {
        let places = Place::WORDS.iter();
        places
            .map(|(_, place, _)| Worsening::Hole(*place))
            .collect()
    }

    /// The gap of a bowed cover or slot, the clearance (half the difference of
    /// the diameters) of a ring gap, the diameter of a round hole, growing to that of `leak`.
    ///
    /// # Errors
    /// The shape has none of these, or nothing to grow to.
    pub fn gap(leak: Leak<f64>) -> Result<Worsening, String> {
        let most = match leak.shape {
            Shape::BowedCover(cover) => cover.gap,
            Shape::Slot(slot) => slot.gap,
            Shape::RingGap(ring) => 0.5 * (ring.bore_diameter - ring.pipe_diameter),
            Shape::RoundHole(hole) => hole.diameter,
            other => {
                return Err(format!(
                    "a {} has no gap to hold to a tolerance: take bowed_cover, slot, ring_gap or round_hole",
                    other.name()
                ));
            }
        };
        if most > LEAST_GAP {
            Ok(Worsening::Gap(leak))
        } else {
            Err("give the largest gap to try; this one is shut".into())
        }
    }

    /// Which fault it is; none for a leak.
    pub fn ailment(self) -> Option<Ailment> {
        match self {
            Worsening::Fault(ailment, _) => Some(ailment),
            _ => None,
        }
    }

    /// The worst size, SI.
    pub fn worst(self) -> f64 {
        match self {
            Worsening::Hole(_) => HOLES.1,
            Worsening::Fault(_, end) => end,
            Worsening::Gap(leak) => match leak.shape {
                Shape::BowedCover(cover) => cover.gap,
                Shape::Slot(slot) => slot.gap,
                Shape::RingGap(ring) => 0.5 * (ring.bore_diameter - ring.pipe_diameter),
                Shape::RoundHole(hole) => hole.diameter,
                _ => 0.0,
            },
        }
    }

    /// The size of a sound car, SI.
    pub fn sound(self) -> f64 {
        match self {
            Worsening::Fault(ailment, _) => ailment.sound(),
            _ => 0.0,
        }
    }

    /// The size at a share of the way from least to worst: lengths grow in equal
    /// ratios, severities in equal steps.
    pub fn size(self, share: f64) -> f64 {
        let grown = |least: f64| least * (self.worst() / least).powf(share);
        match self {
            Worsening::Hole(_) => grown(HOLES.0),
            Worsening::Gap(_) => grown(LEAST_GAP),
            Worsening::Fault(ailment, end) => ailment.sound() + share * (end - ailment.sound()),
        }
    }

    /// The car with this leak or fault, and no other, at a size, SI.
    pub fn applied<P: Scalar>(self, car: &Network<P>, size: P) -> Network<P> {
        let mut worse = match self {
            Worsening::Fault(..) => car.ailing(Vec::new()),
            _ => car.leaking(Vec::new()),
        };
        self.add(&mut worse, size);
        worse
    }

    /// Adds this leak or fault at a size, SI.
    pub fn add<P: Scalar>(self, car: &mut Network<P>, size: P) {
        let leak = match self {
            Worsening::Hole(place) => Leak {
                place,
                shape: Shape::RoundHole(RoundHole { diameter: size }),
            },
            Worsening::Gap(Leak { place, shape }) => {
                let shape = shape.map(&mut |_, value| P::constant(value));
                Leak {
                    place,
                    shape: gaping(shape, size),
                }
            }
            Worsening::Fault(ailment, _) => {
                return car.fall_ill(Fault {
                    ailment,
                    severity: size,
                });
            }
        };
        car.leaks.push(leak);
    }

    /// The number that the size is, by its dotted key, and its slope over the size.
    pub(super) fn direction(self) -> (String, f64) {
        match self {
            Worsening::Hole(_) => ("leak.0.round_hole.diameter".into(), 1.0),
            Worsening::Fault(ailment, _) => (format!("fault.0.{}", ailment.key()), 1.0),
            Worsening::Gap(leak) => match leak.shape {
                Shape::BowedCover(_) => ("leak.0.bowed_cover.gap".into(), 1.0),
                Shape::Slot(_) => ("leak.0.slot.gap".into(), 1.0),
                Shape::RingGap(_) => ("leak.0.ring_gap.bore_diameter".into(), 2.0),
                _ => ("leak.0.round_hole.diameter".into(), 1.0),
            },
        }
    }
}

/// The shape with its gap at `size`; a hole where it has none.
fn gaping<P: Scalar>(shape: Shape<P>, size: P) -> Shape<P> {
    match shape {
        Shape::BowedCover(mut cover) => {
            cover.gap = size;
            Shape::BowedCover(cover)
        }
        Shape::Slot(mut slot) => {
            slot.gap = size;
            Shape::Slot(slot)
        }
        Shape::RingGap(mut ring) => {
            ring.bore_diameter = ring.pipe_diameter + size * 2.0;
            Shape::RingGap(ring)
        }
        _ => Shape::RoundHole(RoundHole { diameter: size }),
    }
}
