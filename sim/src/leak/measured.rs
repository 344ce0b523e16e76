//! The one size of a shape: how a person measures it, how far it goes, what it opens.

use super::{BowedCover, RingGap, Shape, Slot};
use crate::flow::gap::SQUARE_ENTRANCE;
use crate::scalar::Scalar;
use crate::units::Dimension;
use std::f64::consts::PI;

/// How the size of a shape is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// What is measured, and with what, in words: `the largest is 0.2 mm of ...`.
    pub words: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Smallest size that makes sense, SI: below it nothing is open.
    pub least: f64,
    /// Widest size that is still this shape, SI.
    pub widest: f64,
    /// Whether a feeler gauge tells it, which goes by steps.
    pub felt: bool,
    /// Whether a part is made like this, so that a tolerance can hold it; the rest is damage.
    pub made: bool,
}

/// A shape that knows its one size.
pub trait Measured<P: Scalar>: Sized {
    /// How its size is measured.
    const MEASURE: Measure;

    /// The size, SI.
    fn size(&self) -> P;

    /// The same shape at another size, SI: every number that moves, each a straight line over
    /// the size.
    #[must_use]
    fn sized(self, size: P) -> Self;

    /// Open area, m², with the inside `outward` Pa above the outside; none where nothing is open
    /// and gas passes all the same.
    fn area(&self, outward: P) -> Option<P>;
}

impl Measure {
    /// A gap that a feeler gauge goes into (own choice: from 5 µm, the finest land's roughness,
    /// to 5 mm).
    pub(super) const fn gap(words: &'static str) -> Self {
        Self {
            words,
            dimension: Dimension::Length,
            least: 5e-6,
            widest: 5e-3,
            felt: true,
            made: true,
        }
    }

    /// A bore or hole, measured across (own choice: to 50 mm).
    pub(super) const fn bore(words: &'static str) -> Self {
        Self {
            widest: 0.05,
            felt: false,
            ..Self::gap(words)
        }
    }

    /// The same, but damage: nobody makes it so.
    pub(super) const fn damage(self) -> Self {
        Self {
            made: false,
            ..self
        }
    }
}

impl Shape {
    /// Whether it is of no size: nothing is open.
    pub fn is_shut(&self) -> bool {
        self.size() <= 0.0
    }

    /// Its numbers that move with its size: key in the shape's table, slope. Exact.
    pub fn moves(&self) -> Vec<(String, f64)> {
        use crate::dual::Dual;
        let fixed = self.map(&mut |_, value| Dual::<1>::constant(value));
        let moved = fixed.sized(Dual::variable(self.size(), 0));
        let mut moves = Vec::new();
        moved.map(&mut |key, number| {
            let [slope] = number.slope;
            if slope != 0.0 {
                moves.push((key.to_string(), slope));
            }
        });
        moves
    }
}

/// Area of a circle, m², of a diameter, m.
pub(super) fn circle<P: Scalar>(diameter: P) -> P {
    diameter * (PI / 4.0) * diameter
}

/// Openings as they are met, of invented numbers, to be sized.
impl Shape {
    /// A pressed cover held by four screws, bowed by 0.3 mm.
    pub fn usual_cover() -> Self {
        Self::BowedCover(BowedCover {
            gap: 0.3e-3,
            span_length: 20e-3,
            spans: 4.0,
            depth: 3e-3,
            entrance_loss: SQUARE_ENTRANCE,
        })
    }

    /// A 20 mm pipe whose ring is gone, 0.2 mm loose all round.
    pub fn usual_ring() -> Self {
        Self::RingGap(RingGap {
            pipe_diameter: 20e-3,
            bore_diameter: 20.4e-3,
            depth: 4e-3,
            eccentric: 0.0,
            entrance_loss: SQUARE_ENTRANCE,
        })
    }

    /// A gasket blown over 25 mm, 0.3 mm high.
    pub fn usual_gasket() -> Self {
        Self::Slot(Slot {
            gap: 0.3e-3,
            length: 25e-3,
            depth: 5e-3,
            entrance_loss: SQUARE_ENTRANCE,
        })
    }
}
