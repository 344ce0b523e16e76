//! Enthalpy of the mixture against temperature and composition.
//!
//! Three gases span the compositions: air, stoichiometric burned gas, and a
//! rich burned gas. Their published polynomials are turned into five
//! temperature ranges of one form, so that enthalpy has two and heat capacity
//! one continuous derivative everywhere: the published fits leave a step in
//! slope at 1000 K.

use super::gri_mech_3::{self, Amounts};

/// Enthalpy, J/kg, as a polynomial in T/(1000 K).
type Polynomial = [f64; 6];

/// Where the ranges meet, K. Outside 200 to 3500 K the heat capacity goes on in a straight line.
const LIMITS: [f64; 4] = [200.0, 900.0, 1100.0, 3500.0];
/// Span of the starting estimate, K.
const SECANT: [f64; 2] = [300.0, 1000.0];
/// Temperatures a search stays within, K.
const SEARCH: [f64; 2] = [50.0, 6000.0];

/// Composition: amounts of the second and third gas, in units of F/F_stoich.
#[derive(Clone, Copy, Debug, Default)]
pub struct Blend {
    /// F/F_stoich, limited.
    pub ratio: f64,
    /// Its excess over 1, rounded at 1.
    pub excess: f64,
    /// d(ratio)/dF.
    pub ratio_slope: f64,
    /// d(excess)/dF.
    pub excess_slope: f64,
}

impl Blend {
    #[inline(always)]
    fn value(&self, [air, ratio, excess]: [f64; 3]) -> f64 {
        air + self.ratio * ratio + self.excess * excess
    }

    #[inline(always)]
    fn slope(&self, [_, ratio, excess]: [f64; 3]) -> f64 {
        self.ratio_slope * ratio + self.excess_slope * excess
    }
}

/// Values and slopes at one temperature and composition.
#[derive(Clone, Copy, Debug, Default)]
pub struct Point {
    /// K.
    pub temperature: f64,
    /// J/kg.
    pub h: f64,
    /// J/(kg K).
    pub cp: f64,
    /// d(cp)/dT.
    pub cp_t: f64,
    /// dh/dF.
    pub h_f: f64,
    /// d(cp)/dF.
    pub cp_f: f64,
    /// J/(kg K).
    pub r: f64,
    /// dR/dF.
    pub r_f: f64,
}

/// Coefficients for (air, per ratio, per excess).
#[derive(Clone, Debug)]
pub struct Thermo {
    ranges: [[Polynomial; 3]; 5],
    gas_constant: [f64; 3],
    start_energy: [f64; 3],
    start_capacity: [f64; 3],
}

impl Thermo {
    /// From the three gases; the third stands at `rich_ratio` = F/F_stoich > 1.
    pub fn new(air: &Amounts, burned: &Amounts, rich: &Amounts, rich_ratio: f64) -> Self {
        let spread = |[air, burned, rich]: [f64; 3]| {
            let per_ratio = burned - air;
            [
                air,
                per_ratio,
                (rich - burned) / (rich_ratio - 1.0) - per_ratio,
            ]
        };
        let gases = [air, burned, rich];
        let curves = gases.map(five_ranges);
        let mut ranges = [[[0.0; 6]; 3]; 5];
        for (i, range) in ranges.iter_mut().enumerate() {
            for k in 0..6 {
                let set = spread([0, 1, 2].map(|gas| curves[gas][i][k]));
                for (polynomial, value) in range.iter_mut().zip(set) {
                    polynomial[k] = value;
                }
            }
        }
        let r = gases.map(gri_mech_3::gas_constant);
        let [low, high] = SECANT.map(|t| {
            let x = t / 1e3;
            [0, 1, 2].map(|gas| value(&curves[gas][range_of(t)], x) - r[gas] * t)
        });
        let rise = [0, 1, 2].map(|gas| (high[gas] - low[gas]) / (SECANT[1] - SECANT[0]));
        Self {
            ranges,
            gas_constant: spread(r),
            start_energy: spread(low),
            start_capacity: spread(rise),
        }
    }

    /// Gas constant, J/(kg K), and its slope in F.
    #[inline(always)]
    pub fn gas_constant(&self, blend: &Blend) -> (f64, f64) {
        (
            blend.value(self.gas_constant),
            blend.slope(self.gas_constant),
        )
    }

    /// Everything at `temperature`, K.
    #[inline(always)]
    pub fn at(&self, temperature: f64, blend: &Blend) -> Point {
        self.with_composition(self.along_temperature(temperature, blend), blend)
    }

    #[inline(always)]
    fn along_temperature(&self, temperature: f64, blend: &Blend) -> Point {
        let sets = &self.ranges[range_of(temperature)];
        let c = std::array::from_fn(|k| blend.value([sets[0][k], sets[1][k], sets[2][k]]));
        let t = temperature * 1e-3;
        Point {
            temperature,
            h: value(&c, t),
            cp: slope(&c, t) * 1e-3,
            cp_t: curvature(&c, t) * 1e-6,
            r: blend.value(self.gas_constant),
            ..Point::default()
        }
    }

    #[inline(always)]
    fn with_composition(&self, point: Point, blend: &Blend) -> Point {
        let sets = &self.ranges[range_of(point.temperature)];
        let c = std::array::from_fn(|k| blend.slope([sets[0][k], sets[1][k], sets[2][k]]));
        let t = point.temperature * 1e-3;
        Point {
            h_f: value(&c, t),
            cp_f: slope(&c, t) * 1e-3,
            r_f: blend.slope(self.gas_constant),
            ..point
        }
    }

    /// The temperature at which `h - work R T` equals `target`, J/kg: `work` 0
    /// for enthalpy, 1 for internal energy.
    ///
    /// Halley steps to 1 mK, then one Newton step carried into the values.
    /// Outside 50 to 6000 K the nearer limit is returned.
    #[inline(always)]
    pub fn solve(&self, target: f64, work: f64, blend: &Blend) -> Point {
        let r = blend.value(self.gas_constant);
        let rest = (1.0 - work) * r;
        let start = blend.value(self.start_energy) + rest * SECANT[0];
        let capacity = blend.value(self.start_capacity) + rest;
        let t = SECANT[0] + (target - start) / capacity;
        let mut point = self.along_temperature(t.clamp(SEARCH[0], SEARCH[1]), blend);
        for _ in 0..20 {
            let inverse = 1.0 / (point.cp - work * r);
            let step = (target - (point.h - work * r * point.temperature)) * inverse;
            if step.abs() < 1e-3 {
                point.temperature += step;
                point.h += point.cp * step;
                point.cp += point.cp_t * step;
                break;
            }
            let bend = (0.5 * step * point.cp_t * inverse).clamp(-0.5, 0.5);
            let t = (point.temperature + step * (1.0 - bend)).clamp(SEARCH[0], SEARCH[1]);
            if t == point.temperature {
                break;
            }
            point = self.along_temperature(t, blend);
        }
        self.with_composition(point, blend)
    }
}

#[inline(always)]
fn range_of(temperature: f64) -> usize {
    LIMITS
        .iter()
        .map(|limit| (temperature > *limit) as usize)
        .sum()
}

// The three below pair their terms (Estrin) for a shorter chain of operations.

#[inline(always)]
fn value(c: &Polynomial, t: f64) -> f64 {
    let t2 = t * t;
    (c[0] + c[1] * t) + t2 * ((c[2] + c[3] * t) + t2 * (c[4] + c[5] * t))
}

#[inline(always)]
fn slope(c: &Polynomial, t: f64) -> f64 {
    let t2 = t * t;
    (c[1] + 2.0 * c[2] * t) + t2 * ((3.0 * c[3] + 4.0 * c[4] * t) + t2 * (5.0 * c[5]))
}

#[inline(always)]
fn curvature(c: &Polynomial, t: f64) -> f64 {
    (2.0 * c[2] + 6.0 * c[3] * t) + t * t * (12.0 * c[4] + 20.0 * c[5] * t)
}

/// The published pair of polynomials as five ranges.
fn five_ranges(gas: &Amounts) -> [Polynomial; 5] {
    let low = gri_mech_3::enthalpy(gas, 0);
    let mut high = gri_mech_3::enthalpy(gas, 1);
    // The upper fit hangs on the lower one: no step in enthalpy at 1000 K.
    high[0] += value(&low, 1.0) - value(&high, 1.0);
    let [first, from, to, last] = LIMITS.map(|limit| limit / 1e3);
    [
        straight(&low, first),
        low,
        bridge(&low, &high, from, to),
        high,
        straight(&high, last),
    ]
}

/// Goes on from `c` at `t` with heat capacity in a straight line.
fn straight(c: &Polynomial, t: f64) -> Polynomial {
    let (h, h1, h2) = (value(c, t), slope(c, t), curvature(c, t));
    [
        h - h1 * t + 0.5 * h2 * t * t,
        h1 - h2 * t,
        0.5 * h2,
        0.0,
        0.0,
        0.0,
    ]
}

/// Leads from `low` to `high`, meeting each in value, slope and curvature:
/// `low + (t - from)³ (a + b (t - to) + c (t - to)²)`.
fn bridge(low: &Polynomial, high: &Polynomial, from: f64, to: f64) -> Polynomial {
    let w = to - from;
    let gap = [value, slope, curvature].map(|f| (f(high, to) - f(low, to)) / w.powi(3));
    let a = gap[0];
    let b = gap[1] - 3.0 * gap[0] / w;
    let c = 0.5 * gap[2] - 3.0 * gap[1] / w + 6.0 * gap[0] / (w * w);
    let mut rise = [a - b * to + c * to * to, b - 2.0 * c * to, c, 0.0, 0.0, 0.0];
    for _ in 0..3 {
        rise = std::array::from_fn(|k| {
            let below = if k == 0 { 0.0 } else { rise[k - 1] };
            below - from * rise[k]
        });
    }
    std::array::from_fn(|k| low[k] + rise[k])
}
