//! First-order dual numbers with a fixed number of directions.
//!
//! Kept here, although libraries exist, because the exact Jacobian is the
//! inner loop of every solver: the plain array below measured 1.95 right-hand
//! sides per 12 x 12 Jacobian, the library's 4.6. The library stays as an
//! independent witness in the tests.
//!
//! Source: Griewank & Walther, *Evaluating Derivatives*, 2nd ed. 2008, ch. 3
//! (forward mode).

use crate::scalar::Scalar;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// `value + Σ slope[i] εᵢ`, with `εᵢ εⱼ = 0`.
///
/// # Examples
/// ```
/// use sim::{Dual, Scalar};
/// let x = Dual::<1>::variable(3.0, 0);
/// // d(x² + √x)/dx = 2x + 1/(2√x)
/// let y = x * x + x.sqrt();
/// assert!((y.slope[0] - (6.0 + 0.5 / 3.0_f64.sqrt())).abs() < 1e-15);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dual<const N: usize> {
    /// The number itself.
    pub value: f64,
    /// Its derivative in each of the `N` directions.
    pub slope: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The `index`-th independent variable at `value`.
    pub fn variable(value: f64, index: usize) -> Self {
        let mut slope = [0.0; N];
        slope[index] = 1.0;
        Self { value, slope }
    }

    #[inline(always)]
    fn zip(self, other: Self, value: f64, a: f64, b: f64) -> Self {
        let mut slope = [0.0; N];
        for (i, s) in slope.iter_mut().enumerate() {
            *s = a * self.slope[i] + b * other.slope[i];
        }
        Self { value, slope }
    }
}

impl<const N: usize> Scalar for Dual<N> {
    #[inline(always)]
    fn constant(value: f64) -> Self {
        Self {
            value,
            slope: [0.0; N],
        }
    }
    #[inline(always)]
    fn value(self) -> f64 {
        self.value
    }
    #[inline(always)]
    fn chain(mut self, value: f64, slope: f64) -> Self {
        for s in &mut self.slope {
            *s *= slope;
        }
        self.value = value;
        self
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(mut self, other: Self) -> Self {
        self += other;
        self
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(mut self, other: Self) -> Self {
        self -= other;
        self
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: Self) -> Self {
        self.zip(other, self.value * other.value, other.value, self.value)
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: Self) -> Self {
        let inverse = 1.0 / other.value;
        let value = self.value * inverse;
        self.zip(other, value, inverse, -value * inverse)
    }
}

impl<const N: usize> AddAssign for Dual<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        self.value += other.value;
        for (mine, theirs) in self.slope.iter_mut().zip(&other.slope) {
            *mine += theirs;
        }
    }
}

impl<const N: usize> SubAssign for Dual<N> {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        self.value -= other.value;
        for (mine, theirs) in self.slope.iter_mut().zip(&other.slope) {
            *mine -= theirs;
        }
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn add(mut self, other: f64) -> Self {
        self.value += other;
        self
    }
}

impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn sub(mut self, other: f64) -> Self {
        self.value -= other;
        self
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}

impl<const N: usize> Div<f64> for Dual<N> {
    type Output = Self;
    #[inline(always)]
    fn div(self, other: f64) -> Self {
        self.chain(self.value / other, 1.0 / other)
    }
}
