//! The size that fits, its 90 % interval, and whether the rest is explained.
//!
//! Least squares in one unknown: a ladder of sizes finds the valley of
//! `χ² = Σ ((read - predicted)/doubt)²`, its exact derivative the bottom. The interval is
//! that of the profile: sizes whose χ² is at most [`Z90`]² above the least (`wilks1938`);
//! it needs no straight line, and stays right where the derivative is zero, as it is for
//! a gap that just opens.

use super::{Bench, Datum};
use crate::study::workshop::Z90;

/// The size that fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// The likeliest, SI.
    pub size: f64,
    /// Lower 90 % limit.
    pub low: f64,
    /// Upper 90 % limit.
    pub high: f64,
    /// The upper limit is where the range, or the running car, ends.
    pub open: bool,
    /// Sum of squares at the likeliest.
    pub chi_square: f64,
    /// Measurements less one.
    pub freedom: usize,
    /// What the likeliest predicts.
    pub predicted: Vec<f64>,
    /// Sum of squares of a healthy car.
    pub sound_chi_square: f64,
    /// What the healthy car predicts; empty if it does not run.
    pub sound: Vec<f64>,
}

/// Sum of squares at a size, its derivative, what is predicted; an endless sum where the
/// car does not run.
#[derive(Clone, Debug)]
struct Spot {
    size: f64,
    sum: f64,
    slope: f64,
    predicted: Vec<f64>,
}

/// Rungs of the ladder each side of the first guess, for a leak; half an octave each.
const RUNGS: i32 = 14;
/// Rungs over the range of a severity.
const STEPS: u32 = 24;
/// A sum so far above the least is past all doubt.
const HOPELESS: f64 = 100.0;
/// Share of the size to which the bottom is found, and most steps to it.
const CLOSE: (f64, usize) = (1e-5, 40);

impl Bench {
    /// The size that fits; none where the car runs with no size that is tried.
    pub fn fit(&self, data: &[Datum]) -> Option<Fitted> {
        let ladder = self.ladder(data);
        let defect = self.defect();
        let best = (0..ladder.len()).min_by(|a, b| ladder[*a].sum.total_cmp(&ladder[*b].sum))?;
        let bottom = self.bottom(&ladder, best, data);
        if !bottom.sum.is_finite() {
            return None;
        }
        let target = bottom.sum + Z90 * Z90;
        let up = ladder.iter().filter(|spot| spot.size > bottom.size);
        let down = ladder.iter().rev().filter(|spot| spot.size < bottom.size);
        let (high, open) = self.limit(&bottom, up, target, data);
        let (low, _) = self.limit(&bottom, down, target, data);
        let sound = self.spot(defect.healthy(), data);
        Some(Fitted {
            size: bottom.size,
            low,
            high,
            open,
            chi_square: bottom.sum,
            freedom: data.len() - 1,
            predicted: bottom.predicted,
            sound_chi_square: sound.sum,
            sound: sound.predicted,
        })
    }

    /// Sums at sizes from sound outward, each way until the car no longer runs, or the sum
    /// has long been rising; sizes in rising order.
    fn ladder(&self, data: &[Datum]) -> Vec<Spot> {
        let defect = self.defect();
        let ((low, high), sound) = (defect.range(), defect.healthy());
        let sizes: Vec<f64> = match defect.place() {
            Some(_) => {
                let grown = |i: i32| defect.size() * 2f64.powf(0.5 * f64::from(i));
                let inside = (-RUNGS..=RUNGS).map(grown).filter(|size| *size < high);
                inside.chain([high]).collect()
            }
            None => (0..=STEPS)
                .map(|i| low + (high - low) * f64::from(i) / f64::from(STEPS))
                .collect(),
        };
        let climb = |sizes: &mut dyn Iterator<Item = f64>| {
            let mut spots: Vec<Spot> = Vec::new();
            let (mut least, mut rising) = (f64::INFINITY, 0);
            for size in sizes {
                let spot = self.spot(size, data);
                let last = spots.last().map_or(f64::INFINITY, |spot| spot.sum);
                rising = if spot.sum > last { rising + 1 } else { 0 };
                least = least.min(spot.sum);
                let enough = rising >= 3 && spot.sum > least + HOPELESS;
                let runs = spot.sum.is_finite();
                spots.push(spot);
                if enough || !runs {
                    break;
                }
            }
            spots
        };
        let mut ladder = climb(&mut sizes.iter().rev().copied().filter(|size| *size < sound));
        ladder.reverse();
        ladder.push(self.spot(sound, data));
        ladder.extend(climb(
            &mut sizes.iter().copied().filter(|size| *size > sound),
        ));
        ladder
    }

    fn spot(&self, size: f64, data: &[Datum]) -> Spot {
        let none = Spot {
            size,
            sum: f64::INFINITY,
            slope: f64::NAN,
            predicted: Vec::new(),
        };
        let Ok(predicted) = self.predict(size, data) else {
            return none;
        };
        let (mut sum, mut slope) = (0.0, 0.0);
        for (datum, (value, by_size)) in data.iter().zip(&predicted) {
            let off = (value - datum.value) / datum.doubt;
            sum += off * off;
            slope += 2.0 * off * by_size / datum.doubt;
        }
        match sum.is_finite() {
            true => Spot {
                sum,
                slope,
                predicted: predicted.into_iter().map(|(value, _)| value).collect(),
                size,
            },
            false => none,
        }
    }

    /// The bottom of the valley next to the best rung: the root of the derivative, by
    /// false position (an end that is kept twice counts half).
    fn bottom(&self, ladder: &[Spot], best: usize, data: &[Datum]) -> Spot {
        let here = &ladder[best];
        let neighbours = [best.checked_sub(1), Some(best + 1)];
        let [below, above] = neighbours.map(|i| i.and_then(|i| ladder.get(i)));
        // Downhill from the best rung; a shut leak has no slope, its valley lies above.
        let (mut a, mut b) = match (here.slope > 0.0, below, above) {
            (true, Some(below), _) => (below.clone(), here.clone()),
            (false, _, Some(above)) => (here.clone(), above.clone()),
            _ => return here.clone(),
        };
        let mut least = here.clone();
        let (mut fa, mut fb) = (a.slope, b.slope);
        for _ in 0..CLOSE.1 {
            let secant = (a.size * fb - b.size * fa) / (fb - fa);
            let falls = fa < 0.0 && fb > 0.0 && secant > a.size && secant < b.size;
            let next = if falls {
                secant
            } else {
                0.5 * (a.size + b.size)
            };
            let spot = self.spot(next, data);
            if spot.sum < least.sum {
                least = spot.clone();
            }
            // Where the car does not run, the valley lies below.
            if spot.slope < 0.0 {
                fb *= if a.size != here.size && falls {
                    0.5
                } else {
                    1.0
                };
                (a, fa) = (spot.clone(), spot.slope);
            } else {
                fa *= if b.size != here.size && falls {
                    0.5
                } else {
                    1.0
                };
                (b, fb) = (spot.clone(), spot.slope);
            }
            if b.size - a.size < CLOSE.0 * b.size.abs() || spot.slope.abs() < 1e-9 {
                break;
            }
        }
        least
    }

    /// The size between the bottom and the first rung beyond the target where the sum
    /// reaches it; and whether there is none.
    fn limit<'a>(
        &self,
        bottom: &Spot,
        rungs: impl Iterator<Item = &'a Spot>,
        target: f64,
        data: &[Datum],
    ) -> (f64, bool) {
        let mut inner = (bottom.size, bottom.sum);
        for rung in rungs {
            if rung.sum <= target {
                inner = (rung.size, rung.sum);
                continue;
            }
            let mut outer = (rung.size, rung.sum);
            let mut last_runs = rung.sum.is_finite();
            for _ in 0..40 {
                let share = ((target - inner.1) / (outer.1 - inner.1)).clamp(0.1, 0.9);
                let share = if outer.1.is_finite() { share } else { 0.5 };
                let size = inner.0 + share * (outer.0 - inner.0);
                let sum = self.spot(size, data).sum;
                if sum <= target {
                    inner = (size, sum);
                } else {
                    outer = (size, sum);
                    last_runs |= sum.is_finite();
                }
                if (outer.0 - inner.0).abs() <= 1e-3 * outer.0.abs().max(inner.0.abs()) {
                    break;
                }
            }
            return (inner.0, !last_runs);
        }
        (inner.0, true)
    }
}

impl Fitted {
    /// Distance of the 90 % limits from a healthy car's size: least, most.
    pub fn away(&self, sound: f64) -> (f64, f64) {
        let ends = [(self.low - sound).abs(), (self.high - sound).abs()];
        let inside = self.low <= sound && sound <= self.high;
        let least = if inside { 0.0 } else { ends[0].min(ends[1]) };
        (least, ends[0].max(ends[1]))
    }

    /// Chance that doubts as stated leave a rest as large as this, or larger; none where
    /// one reading alone fits whatever it says.
    pub fn chance_of_rest(&self) -> Option<f64> {
        (self.freedom > 0).then(|| chi_square_tail(self.chi_square, self.freedom))
    }
}

/// Chance that a χ² of so many degrees of freedom is above `sum`: the incomplete gamma
/// function `Q(n/2, χ²/2)`, by its series below `a + 1` and its continued fraction above.
/// Source: `abramowitz1964` 26.4.19, 6.5.29, 6.5.31.
pub fn chi_square_tail(sum: f64, freedom: usize) -> f64 {
    let (a, x) = (0.5 * freedom as f64, 0.5 * sum);
    if x <= 0.0 {
        return 1.0;
    }
    let front = (a * x.ln() - x - ln_gamma_half(freedom)).exp();
    if x < a + 1.0 {
        let (mut term, mut total) = (1.0 / a, 1.0 / a);
        for n in 1..1000 {
            term *= x / (a + f64::from(n));
            total += term;
            if term < 1e-16 * total {
                break;
            }
        }
        return (1.0 - front * total).clamp(0.0, 1.0);
    }
    // Lentz's way through the fraction.
    let tiny = 1e-300;
    let mut b = x + 1.0 - a;
    let (mut c, mut d) = (1.0 / tiny, 1.0 / b);
    let mut h = d;
    for n in 1..1000 {
        let an = -f64::from(n) * (f64::from(n) - a);
        b += 2.0;
        d = 1.0 / (an * d + b);
        c = b + an / c;
        let step = c * d;
        h *= step;
        if (step - 1.0).abs() < 1e-16 {
            break;
        }
    }
    (front * h).clamp(0.0, 1.0)
}

/// Logarithm of `Γ(n/2)`, by `Γ(a + 1) = a Γ(a)` from `Γ(1/2) = √π` or `Γ(1) = 1`.
fn ln_gamma_half(n: usize) -> f64 {
    let (first, start) = match n % 2 {
        0 => (2, 0.0),
        _ => (1, 0.5 * std::f64::consts::PI.ln()),
    };
    let steps = (first..n).step_by(2);
    steps.fold(start, |sum, k| sum + (0.5 * k as f64).ln())
}
