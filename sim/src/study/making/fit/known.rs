//! What is left in doubt of a fitted car, in numbers without units, so that a file can hold it.

use crate::network::Network;
use crate::spelling::unknown;
use crate::study::knowing::doubt::CarDoubt;
use nalgebra::DMatrix;
use std::fmt;

/// Largest doubt, over that of a car of its make.
const MOST: f64 = 10.0;

/// A number and how well it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownNumber {
    /// Its dotted key.
    pub key: String,
    /// Standard deviation over that of a car of its make ([`CarDoubt::usual`]).
    pub doubt: f64,
    /// Correlation with each number before it.
    pub with: Vec<f64>,
}

/// What is left in doubt of a car.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Known {
    /// One a number.
    pub numbers: Vec<KnownNumber>,
}

/// Why a list of numbers in doubt is none of a car's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KnownError {
    /// A key that is in no doubt.
    Unknown {
        /// The key.
        key: String,
        /// Those in doubt.
        known: Vec<String>,
    },
    /// A key that is given twice.
    Twice(String),
    /// A key without its correlations, so many.
    Correlations(String, usize),
    /// A key whose doubt is none, or too large.
    Doubt(String),
    /// Correlations that no numbers can have.
    OfNoNumbers,
}

impl fmt::Display for KnownError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            KnownError::Unknown { key, known } => {
                f.write_str(&unknown("number", key, known.iter().map(String::as_str)))
            }
            KnownError::Twice(key) => write!(f, "`{key}` is given twice"),
            KnownError::Correlations(key, count) => write!(
                f,
                "`{key}` needs {count} correlations, one with each number above it"
            ),
            KnownError::Doubt(key) => write!(
                f,
                "the uncertainty of `{key}` must be above 0 and at most 10 times the usual"
            ),
            KnownError::OfNoNumbers => f.write_str("these correlations are those of no numbers"),
        }
    }
}

impl std::error::Error for KnownError {}

/// What a diagnosis can take for uncertain, as wide as in cars of a make; aims as wide as between
/// makes.
fn carried(car: &Network<f64>) -> CarDoubt {
    CarDoubt::usual(car, 1.0).with_aims(car, |_| true)
}

impl Known {
    /// From the covariance in standard deviations of the prior (`spreads`, SI), of which
    /// the first rows are those of `keys`.
    pub fn new(
        car: &Network<f64>,
        keys: &[String],
        spreads: &[f64],
        covariance: &DMatrix<f64>,
    ) -> Self {
        let usual = carried(car);
        let of = |key: &str| {
            let place = usual.keys.iter().position(|own| own == key);
            place.map(|i| usual.factor.row(i).norm())
        };
        // What no diagnosis takes for uncertain is set, and no more.
        let kept = keys.iter().enumerate();
        let kept = kept.filter_map(|(i, key)| Some((i, of(key)?)));
        let kept: Vec<(usize, f64)> = kept.collect();
        let numbers = kept.iter().enumerate().map(|(n, (i, usual))| {
            let deviation = covariance[(*i, *i)].sqrt();
            let with = kept[..n].iter();
            let with =
                with.map(|(j, _)| covariance[(*i, *j)] / (deviation * covariance[(*j, *j)].sqrt()));
            let usual = if *usual > 0.0 { *usual } else { spreads[*i] };
            KnownNumber {
                key: keys[*i].clone(),
                doubt: (deviation * spreads[*i] / usual).min(MOST),
                with: with.collect(),
            }
        });
        Self {
            numbers: numbers.collect(),
        }
    }

    /// The doubt of `car`, the fitted one; numbers that are not listed are in doubt as usual.
    ///
    /// # Errors
    /// As [`over`](Self::over).
    pub fn doubt(&self, car: &Network<f64>) -> Result<CarDoubt, KnownError> {
        self.over(car, &CarDoubt::usual(car, 1.0))
    }

    /// The doubt of `car`; numbers that are not listed are in doubt as `other` has them.
    ///
    /// # Errors
    /// A key that is in no doubt, a list of correlations of the wrong length, and
    /// correlations that no numbers can have.
    pub fn over(&self, car: &Network<f64>, other: &CarDoubt) -> Result<CarDoubt, KnownError> {
        let usual = carried(car);
        let is_given = |key: &str| self.numbers.iter().any(|number| number.key == key);
        let other = &other.with_aims(car, is_given);
        let row = |key: &str, of: &CarDoubt| of.keys.iter().position(|own| own == key);
        let count = other.count();
        let mut covariance = &other.factor * other.factor.transpose();
        let mut places = Vec::new();
        for (i, number) in self.numbers.iter().enumerate() {
            let key = &number.key;
            let place = row(key, &usual).and_then(|_| row(key, other));
            let place = place.ok_or_else(|| KnownError::Unknown {
                key: key.clone(),
                known: usual.keys.clone(),
            })?;
            if places.contains(&place) {
                return Err(KnownError::Twice(key.clone()));
            }
            if number.with.len() != i {
                return Err(KnownError::Correlations(key.clone(), i));
            }
            if !(number.doubt > 0.0 && number.doubt <= MOST) {
                return Err(KnownError::Doubt(key.clone()));
            }
            places.push(place);
        }
        let norm = |key: &str| row(key, &usual).map_or(0.0, |i| usual.factor.row(i).norm());
        let deviation = self.numbers.iter();
        let deviation: Vec<f64> = deviation
            .map(|number| number.doubt * norm(&number.key))
            .collect();
        for (i, number) in self.numbers.iter().enumerate() {
            covariance[(places[i], places[i])] = deviation[i] * deviation[i];
            for (j, with) in number.with.iter().enumerate() {
                let both = with * deviation[i] * deviation[j];
                covariance[(places[i], places[j])] = both;
                covariance[(places[j], places[i])] = both;
            }
        }
        // By deviations, so that a pascal and a square metre meet at eye level.
        let scale: Vec<f64> = (0..count)
            .map(|i| covariance[(i, i)].sqrt().max(f64::MIN_POSITIVE))
            .collect();
        let scaled = DMatrix::from_fn(count, count, |i, j| {
            if i == j {
                1.0
            } else {
                covariance[(i, j)] / (scale[i] * scale[j])
            }
        });
        // What a fit has found is this car's own.
        let mut of_make = other.of_make.clone();
        for place in &places {
            of_make[*place] = 0.0;
        }
        let factor = scaled.cholesky().ok_or(KnownError::OfNoNumbers)?;
        let factor = factor.l();
        Ok(CarDoubt {
            factor: DMatrix::from_fn(count, count, |i, j| scale[i] * factor[(i, j)]),
            keys: other.keys.clone(),
            unlike: other.unlike,
            of_car: other.of_car.clone(),
            of_make,
        })
    }
}
