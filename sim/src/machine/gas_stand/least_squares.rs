//! Nonlinear least squares with exact derivatives, for a handful of coefficients.

use crate::dual::Dual;
use crate::scalar::Scalar;
use nalgebra::{SMatrix, SVector};

/// What a fit found.
#[derive(Clone, Copy, Debug)]
pub struct Solution<const K: usize> {
    /// The coefficients.
    pub values: [f64; K],
    /// Standard error of each, from the scatter of the residuals; NaN where the
    /// data do not tell, 0 for one that stands at its limit.
    pub doubts: [f64; K],
    /// Sum of the squared residuals.
    pub squares: f64,
}

/// Normal equations at one set of coefficients.
struct Normal<const K: usize> {
    matrix: SMatrix<f64, K, K>,
    gradient: SVector<f64, K>,
    squares: f64,
    count: usize,
}

/// The coefficients within `limits` that make the sum of squared residuals least.
///
/// Levenberg-Marquardt (marquardt1963) with the damping on the diagonal; a
/// coefficient that stands at its limit and wants to go on is left out of the
/// step. None when the residuals are not finite at `start`.
pub fn least_squares<const K: usize>(
    start: [f64; K],
    limits: &[[f64; 2]; K],
    residuals: impl Fn(&[Dual<K>; K]) -> Vec<Dual<K>>,
) -> Option<Solution<K>> {
    let within = |x: [f64; K]| std::array::from_fn(|i| x[i].clamp(limits[i][0], limits[i][1]));
    let mut x: [f64; K] = within(start);
    let mut at = normal(&x, &residuals)?;
    let mut damping = 1e-3;
    for _ in 0..400 {
        let free = free(&x, &at, limits);
        let Some(step) = step(&at, &free, damping) else {
            damping *= 10.0;
            continue;
        };
        let trial: [f64; K] = within(std::array::from_fn(|i| x[i] + step[i]));
        let better = normal(&trial, &residuals).filter(|next| next.squares < at.squares);
        let Some(next) = better else {
            damping *= 4.0;
            if damping > 1e12 {
                break;
            }
            continue;
        };
        let gain = at.squares - next.squares;
        let moved = (0..K).any(|i| (trial[i] - x[i]).abs() > 1e-12 * x[i].abs());
        let done = !moved || gain <= 1e-14 * at.squares;
        (x, at) = (trial, next);
        damping = (damping * 0.2).max(1e-14);
        if done {
            break;
        }
    }
    Some(Solution {
        values: x,
        doubts: doubts(&at, &free(&x, &at, limits)),
        squares: at.squares,
    })
}

fn normal<const K: usize>(
    x: &[f64; K],
    residuals: &impl Fn(&[Dual<K>; K]) -> Vec<Dual<K>>,
) -> Option<Normal<K>> {
    let seeded = std::array::from_fn(|i| Dual::variable(x[i], i));
    let mut sum = Normal {
        matrix: SMatrix::zeros(),
        gradient: SVector::zeros(),
        squares: 0.0,
        count: 0,
    };
    for residual in residuals(&seeded) {
        let slope = SVector::from(residual.slope);
        sum.matrix += slope * slope.transpose();
        sum.gradient += slope * residual.value();
        sum.squares += residual.value() * residual.value();
        sum.count += 1;
    }
    let finite = sum.squares.is_finite() && sum.matrix.iter().all(|v| v.is_finite());
    finite.then_some(sum)
}

fn free<const K: usize>(x: &[f64; K], at: &Normal<K>, limits: &[[f64; 2]; K]) -> [bool; K] {
    std::array::from_fn(|i| {
        let low = x[i] <= limits[i][0] && at.gradient[i] > 0.0;
        let high = x[i] >= limits[i][1] && at.gradient[i] < 0.0;
        !(low || high)
    })
}

/// The damped normal matrix, the rows that are not free made idle.
fn damped<const K: usize>(at: &Normal<K>, free: &[bool; K], damping: f64) -> SMatrix<f64, K, K> {
    let mut matrix = at.matrix;
    for i in 0..K {
        if !free[i] {
            matrix.row_mut(i).fill(0.0);
            matrix.column_mut(i).fill(0.0);
            matrix[(i, i)] = 1.0;
        }
        matrix[(i, i)] *= 1.0 + damping;
        // A coefficient without any effect stays where it is.
        if matrix[(i, i)] == 0.0 {
            matrix[(i, i)] = 1.0;
        }
    }
    matrix
}

fn step<const K: usize>(at: &Normal<K>, free: &[bool; K], damping: f64) -> Option<SVector<f64, K>> {
    let wanted = SVector::from_fn(|i, _| if free[i] { -at.gradient[i] } else { 0.0 });
    damped(at, free, damping)
        .cholesky()
        .map(|root| root.solve(&wanted))
}

fn doubts<const K: usize>(at: &Normal<K>, free: &[bool; K]) -> [f64; K] {
    let spare = at.count.saturating_sub(K).max(1) as f64;
    let variance = at.squares / spare;
    let inverse = damped(at, free, 0.0).cholesky().map(|root| root.inverse());
    std::array::from_fn(|i| match (&inverse, free[i]) {
        (_, false) => 0.0,
        (Some(inverse), true) if at.matrix[(i, i)] > 0.0 => (variance * inverse[(i, i)]).sqrt(),
        _ => f64::NAN,
    })
}
