//! The one number type every equation is written for.
//!
//! `f64` runs the model; [`Dual`](crate::dual::Dual) runs it with exact first
//! derivatives. A third type may join by implementing [`Scalar`]: the tests
//! use a complex number (complex-step) and a library dual as witnesses.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A real number as the equations see it.
///
/// Comparisons are made on [`value`](Scalar::value); a branch therefore never
/// depends on a derivative.
///
/// # Examples
/// ```
/// use sim::{Dual, Scalar};
/// fn kinetic<S: Scalar>(mass: S, speed: S) -> S {
///     mass * speed * speed * 0.5
/// }
/// assert_eq!(kinetic(2.0, 3.0), 9.0);
/// // The same equation with its exact slope over speed: m v.
/// let speed = Dual::<1>::variable(3.0, 0);
/// assert_eq!(kinetic(Dual::constant(2.0), speed).slope, [6.0]);
/// ```
pub trait Scalar:
    Copy
    + Debug
    + Send
    + Sync
    + 'static
    + Neg<Output = Self>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + AddAssign
    + SubAssign
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// A number that depends on nothing.
    fn constant(value: f64) -> Self;

    /// The plain value, derivatives dropped.
    fn value(self) -> f64;

    /// `g(self)` for a function whose value and slope at [`value`](Scalar::value) are known.
    fn chain(self, value: f64, slope: f64) -> Self;

    /// Square root; the argument must be positive (the slope at 0 is infinite).
    fn sqrt(self) -> Self {
        let root = self.value().sqrt();
        self.chain(root, 0.5 / root)
    }

    /// Natural exponential.
    fn exp(self) -> Self {
        let e = self.value().exp();
        self.chain(e, e)
    }

    /// Natural logarithm of a positive number.
    fn ln(self) -> Self {
        self.chain(self.value().ln(), 1.0 / self.value())
    }

    /// Constant real power of a positive number.
    fn powf(self, exponent: f64) -> Self {
        let p = self.value().powf(exponent);
        self.chain(p, exponent * p / self.value())
    }

    /// Power with an exponent that may itself carry derivatives; positive base.
    fn pow(self, exponent: Self) -> Self {
        (self.ln() * exponent).exp()
    }

    /// Cosine of an angle in radians.
    fn cos(self) -> Self {
        let (sin, cos) = self.value().sin_cos();
        self.chain(cos, -sin)
    }

    /// `1/self`.
    fn recip(self) -> Self {
        let r = 1.0 / self.value();
        self.chain(r, -r * r)
    }

    /// `self²`.
    fn squared(self) -> Self {
        self * self
    }

    /// Absolute value (slope +1 at zero).
    fn abs(self) -> Self {
        if self.value() < 0.0 { -self } else { self }
    }

    /// The larger of two numbers.
    fn max(self, other: Self) -> Self {
        if self.value() >= other.value() {
            self
        } else {
            other
        }
    }

    /// The smaller of two numbers.
    fn min(self, other: Self) -> Self {
        if self.value() <= other.value() {
            self
        } else {
            other
        }
    }
}

/// A scalar that also mixes with parameters of type `P`.
///
/// The model's parameters may be plain `f64` while its states are duals (state
/// Jacobian), or both may be duals (derivative with respect to a parameter).
/// Written as `S: Over<P>`; every [`Scalar`] is `Over<f64>` and `Over<Self>`.
///
/// # Examples
/// ```
/// use sim::{Dual, Over, Scalar};
/// fn spring<P: Scalar, S: Over<P>>(stiffness: P, travel: S) -> S {
///     travel * stiffness
/// }
/// assert_eq!(spring(5.0, Dual::<1>::variable(2.0, 0)).slope, [5.0]);
/// ```
pub trait Over<P>:
    Scalar
    + Add<P, Output = Self>
    + Sub<P, Output = Self>
    + Mul<P, Output = Self>
    + Div<P, Output = Self>
{
    /// A parameter as a number of this type.
    fn lift(parameter: P) -> Self {
        Self::constant(0.0) + parameter
    }
}

impl<S, P> Over<P> for S where
    S: Scalar + Add<P, Output = S> + Sub<P, Output = S> + Mul<P, Output = S> + Div<P, Output = S>
{
}

impl Scalar for f64 {
    fn constant(value: f64) -> f64 {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn chain(self, value: f64, _slope: f64) -> f64 {
        value
    }
    fn sqrt(self) -> f64 {
        f64::sqrt(self)
    }
    fn exp(self) -> f64 {
        f64::exp(self)
    }
    fn ln(self) -> f64 {
        f64::ln(self)
    }
    fn powf(self, exponent: f64) -> f64 {
        f64::powf(self, exponent)
    }
    fn cos(self) -> f64 {
        f64::cos(self)
    }
    fn recip(self) -> f64 {
        1.0 / self
    }
}
