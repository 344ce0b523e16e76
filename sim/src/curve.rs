//! A curve through a few points: monotone where the points are, smooth, flat beyond its ends.
//!
//! Piecewise cubic Hermite with limited slopes, `fritsch_carlson_1980`: no
//! overshoot between points, value and slope continuous. The slope is zero at
//! both ends, so that the flat continuation joins smoothly. Valid for 2 to 8
//! points with strictly increasing abscissae.

use crate::params::{Field, Form};
use crate::scalar::{Over, Scalar};
use serde::de::{DeserializeSeed, Error, SeqAccess, Visitor};
use std::fmt;

/// The number of points a curve may have.
const COUNT: std::ops::RangeInclusive<usize> = 2..=8;

/// A monotone cubic curve through 2 to 8 points, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve<P = f64> {
    points: Vec<[P; 2]>,
    /// Per interval: coefficients of (x − x₀), (x − x₀)², (x − x₀)³.
    cubics: Vec<[P; 3]>,
}

impl<P: Scalar> Curve<P> {
    /// The curve through `points`, each `[x, y]`.
    ///
    /// # Errors
    /// Fewer than 2 or more than 8 points, a number that is not finite, or an
    /// `x` that is not larger than the one before.
    pub fn new(points: Vec<[P; 2]>) -> Result<Self, CurveError> {
        let count = points.len();
        if !COUNT.contains(&count) {
            return Err(CurveError::Count(count));
        }
        if points.iter().flatten().any(|p| !p.value().is_finite()) {
            return Err(CurveError::NotFinite);
        }
        if points
            .windows(2)
            .any(|w| w[1][0].value() <= w[0][0].value())
        {
            return Err(CurveError::Order);
        }
        Ok(Self {
            cubics: cubics(&points),
            points,
        })
    }

    /// The points, `[x, y]`.
    pub fn points(&self) -> &[[P; 2]] {
        &self.points
    }

    /// The value at `x`.
    pub fn at<S: Over<P>>(&self, x: S) -> S {
        let after = (self.points.iter()).take_while(|point| point[0].value() <= x.value());
        let after = after.count();
        let Some(i) = after.checked_sub(1) else {
            return S::lift(self.points[0][1]);
        };
        let [x0, y0] = self.points[i];
        let Some([c1, c2, c3]) = self.cubics.get(i) else {
            return S::lift(y0);
        };
        let d = x - x0;
        ((d * *c3 + *c2) * d + *c1) * d + y0
    }

    /// The same curve in another scalar; `each` sees `0.0` (x of the first
    /// point), `0.1` (its y), `1.0`, ...
    pub fn map<Q: Scalar>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> Curve<Q> {
        let mut point = |(i, [x, y]): (usize, &[P; 2])| {
            [each(&format!("{i}.0"), *x), each(&format!("{i}.1"), *y)]
        };
        let points: Vec<[Q; 2]> = self.points.iter().enumerate().map(&mut point).collect();
        Curve {
            cubics: cubics(&points),
            points,
        }
    }
}

/// Hermite coefficients from limited slopes; `fritsch_carlson_1980`.
fn cubics<P: Scalar>(points: &[[P; 2]]) -> Vec<[P; 3]> {
    let widths: Vec<P> = points.windows(2).map(|w| w[1][0] - w[0][0]).collect();
    let rises: Vec<P> = (points.windows(2).zip(&widths))
        .map(|(w, h)| (w[1][1] - w[0][1]) / *h)
        .collect();
    let slopes = slopes(&widths, &rises);
    (0..rises.len())
        .map(|i| {
            let (h, rise) = (widths[i], rises[i]);
            let (start, end) = (slopes[i], slopes[i + 1]);
            let second = (rise * 3.0 - start * 2.0 - end) / h;
            let third = (start + end - rise * 2.0) / (h * h);
            [start, second, third]
        })
        .collect()
}

/// Slopes at the points: zero at the ends, at a turn and on a flat; else the
/// parabola's through the three points, shortened into the circle of radius 3
/// of `fritsch_carlson_1980`, in which a cubic is monotone.
fn slopes<P: Scalar>(widths: &[P], rises: &[P]) -> Vec<P> {
    let zero = P::constant(0.0);
    let mut slopes = vec![zero; rises.len() + 1];
    for i in 1..rises.len() {
        let (h0, h1) = (widths[i - 1], widths[i]);
        if rises[i - 1].value() * rises[i].value() > 0.0 {
            slopes[i] = (rises[i - 1] * h1 + rises[i] * h0) / (h0 + h1);
        }
    }
    for (i, rise) in rises.iter().enumerate() {
        if rise.value() == 0.0 {
            continue;
        }
        let (start, end) = (slopes[i] / *rise, slopes[i + 1] / *rise);
        let length = start * start + end * end;
        if length.value() > 9.0 {
            let shorten = P::constant(3.0) / length.sqrt();
            slopes[i] = slopes[i] * shorten;
            slopes[i + 1] = slopes[i + 1] * shorten;
        }
    }
    slopes
}

/// Why points are no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CurveError {
    /// So many points: too few or too many.
    Count(usize),
    /// A number is infinite or none.
    NotFinite,
    /// An `x` is not larger than the one before.
    Order,
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (low, high) = (COUNT.start(), COUNT.end());
        match self {
            CurveError::Count(count) => {
                write!(f, "a curve has {low} to {high} points; found {count}")
            }
            CurveError::NotFinite => f.write_str("a point of a curve is not finite"),
            CurveError::Order => f.write_str(
                "the first numbers of a curve's points must increase from point to point",
            ),
        }
    }
}

impl std::error::Error for CurveError {}

/// Reads a curve, `[["1000 rpm", "20 kPa"], ...]`, whose axes are two quantities.
pub struct CurveSeed {
    /// The first of each pair.
    pub x: Field,
    /// The second of each pair.
    pub y: Field,
}

impl CurveSeed {
    /// How the curve is written.
    pub fn form(self) -> Form {
        let (least, most) = COUNT.into_inner();
        let Self { x, y } = self;
        Form::Curve { x, y, least, most }
    }

    fn example(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let [x, y] = [&self.x, &self.y].map(|field| crate::units::expected(field.dimension));
        write!(f, "[{x}, {y}]")
    }
}

impl<'de> DeserializeSeed<'de> for CurveSeed {
    type Value = Curve<f64>;

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<Curve, D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for CurveSeed {
    type Value = Curve<f64>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (low, high) = (COUNT.start(), COUNT.end());
        write!(f, "a list of {low} to {high} points, each ")?;
        self.example(f)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Curve, A::Error> {
        let mut points: Vec<[f64; 2]> = Vec::new();
        loop {
            let seed = PointSeed {
                axes: &self,
                after: points.last().map(|point| point[0]),
            };
            match seq.next_element_seed(seed)? {
                Some(point) => points.push(point),
                None => return Curve::new(points).map_err(A::Error::custom),
            }
        }
    }
}

struct PointSeed<'a> {
    axes: &'a CurveSeed,
    /// The x of the point before.
    after: Option<f64>,
}

impl<'de> DeserializeSeed<'de> for PointSeed<'_> {
    type Value = [f64; 2];

    fn deserialize<D: serde::Deserializer<'de>>(self, from: D) -> Result<[f64; 2], D::Error> {
        from.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for PointSeed<'_> {
    type Value = [f64; 2];

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a point ")?;
        self.axes.example(f)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<[f64; 2], A::Error> {
        let x = seq.next_element_seed(&self.axes.x)?;
        let y = seq.next_element_seed(&self.axes.y)?;
        let (Some(x), Some(y)) = (x, y) else {
            return Err(A::Error::custom("a point has two numbers"));
        };
        if seq.next_element::<serde::de::IgnoredAny>()?.is_some() {
            return Err(A::Error::custom("a point has two numbers; found more"));
        }
        if self.after.is_some_and(|before| x <= before) {
            return Err(A::Error::custom(CurveError::Order));
        }
        Ok([x, y])
    }
}
