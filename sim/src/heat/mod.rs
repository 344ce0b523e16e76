//! Heat transfer shared by the machines.

pub mod vessel;

use crate::scalar::Scalar;

/// Effectiveness of a cross-flow heat exchanger, both streams unmixed, exact.
///
/// `units` = number of transfer units UA/C_min (0 to about 8), `ratio` =
/// C_min/C_max (0 to 1). Series of mason1955 as given in kays1984:
/// `ε = 1/(C N) Σ_m [1 − e^(−N) Σ_{j≤m} N^j/j!][1 − e^(−C N) Σ_{j≤m} (C N)^j/j!]`.
/// The terms fall off like Poisson tails; the sum stops when they no longer count.
pub fn crossflow_effectiveness<S: Scalar>(units: S, ratio: S) -> S {
    // ratio → 0 is the condenser limit 1 − e^(−N); the series needs C N > 0.
    let ratio = ratio.max(S::constant(1e-6));
    let other = units * ratio;
    let (mut term_a, mut term_b) = ((-units).exp(), (-other).exp());
    let (mut tail_a, mut tail_b) = (-term_a + 1.0, -term_b + 1.0);
    let mut sum = tail_a * tail_b;
    for m in 1..60 {
        let m = f64::from(m);
        term_a = term_a * units / m;
        term_b = term_b * other / m;
        tail_a -= term_a;
        tail_b -= term_b;
        let add = tail_a * tail_b;
        sum += add;
        if add.value() < 1e-13 * sum.value() {
            break;
        }
    }
    sum / other
}

/// The usual textbook approximation to [`crossflow_effectiveness`], within about
/// 1 %: `1 − exp{N^0.22/C [exp(−C N^0.78) − 1]}` (kays1984, incropera2007).
pub fn crossflow_effectiveness_approximate<S: Scalar>(units: S, ratio: S) -> S {
    let inner = (-(ratio * units.powf(0.78))).exp() - 1.0;
    -(units.powf(0.22) / ratio * inner).exp() + 1.0
}
