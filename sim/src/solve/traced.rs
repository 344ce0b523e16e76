//! The scalar that writes down where its slopes come from; see [`tape`](super::tape).

use super::joins::{NOTHING, write};
use crate::scalar::Scalar;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A number on the tape: its derivative is `slope` times that of entry `of`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Traced {
    pub(super) value: f64,
    pub(super) slope: f64,
    pub(super) of: u32,
}

impl Traced {
    /// `a + b` in slopes, each with its factor.
    #[inline(always)]
    fn join(self, other: Self, value: f64, by_self: f64, by_other: f64) -> Self {
        let (a, b) = (by_self * self.slope, by_other * other.slope);
        if self.of == other.of {
            return Self {
                value,
                slope: a + b,
                of: self.of,
            };
        }
        if other.of == NOTHING {
            return Self {
                value,
                slope: a,
                of: self.of,
            };
        }
        if self.of == NOTHING {
            return Self {
                value,
                slope: b,
                of: other.of,
            };
        }
        let of = write([self.of, other.of], [a, b]);
        Self {
            value,
            slope: 1.0,
            of,
        }
    }
}

impl Scalar for Traced {
    #[inline(always)]
    fn constant(value: f64) -> Self {
        Self {
            value,
            slope: 0.0,
            of: NOTHING,
        }
    }
    #[inline(always)]
    fn value(self) -> f64 {
        self.value
    }
    #[inline(always)]
    fn chain(self, value: f64, slope: f64) -> Self {
        Self {
            value,
            slope: self.slope * slope,
            of: self.of,
        }
    }
}

impl Neg for Traced {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl Add for Traced {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        self.join(other, self.value + other.value, 1.0, 1.0)
    }
}

impl Sub for Traced {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        self.join(other, self.value - other.value, 1.0, -1.0)
    }
}

impl Mul for Traced {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.join(other, self.value * other.value, other.value, self.value)
    }
}

impl Div for Traced {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        let inverse = 1.0 / other.value;
        self.join(other, value, inverse, -value * inverse)
    }
}

impl AddAssign for Traced {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Traced {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Add<f64> for Traced {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: f64) -> Self {
        self.chain(self.value + other, 1.0)
    }
}

impl Sub<f64> for Traced {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: f64) -> Self {
        self.chain(self.value - other, 1.0)
    }
}

impl Mul<f64> for Traced {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}

impl Div<f64> for Traced {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: f64) -> Self {
        self.chain(self.value / other, 1.0 / other)
    }
}
