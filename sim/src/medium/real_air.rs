//! Critical flow of real air, the reference for what the ideal-gas orifice leaves out.

use super::fuel::DRY_AIR;
use super::gri_mech_3;
use super::thermo::{Blend, Thermo};
use crate::root::border;

/// Pseudo-critical point of air. Source: `lemmon2000`.
const CRITICAL_TEMPERATURE: f64 = 132.5306;
const CRITICAL_PRESSURE: f64 = 3.7860e6;
/// Acentric factor of air. Source: `lemmon2000` vapour pressure, from memory.
const ACENTRIC_FACTOR: f64 = 0.0335;

/// Second virial coefficient per mass, m³/kg: value, first and second derivative in T.
///
/// Source: `tsonopoulos1974`, coefficients from memory.
fn second_virial(r: f64, temperature: f64) -> [f64; 3] {
    // Factors of (Tc/T)^n for n = 0, 1, 2, 3, 8: simple fluid, then acentric part.
    const TERMS: [(i32, f64, f64); 5] = [
        (0, 0.1445, 0.0637),
        (1, -0.330, 0.0),
        (2, -0.1385, 0.331),
        (3, -0.0121, -0.423),
        (8, -0.000_607, -0.008),
    ];
    let scale = r * CRITICAL_TEMPERATURE / CRITICAL_PRESSURE;
    let mut b = [0.0; 3];
    for (n, simple, acentric) in TERMS {
        let power = (CRITICAL_TEMPERATURE / temperature).powi(n);
        let term = scale * (simple + ACENTRIC_FACTOR * acentric) * power;
        let n = f64::from(n);
        b[0] += term;
        b[1] -= n * term / temperature;
        b[2] += n * (n + 1.0) * term / (temperature * temperature);
    }
    b
}

/// Dry air with its second virial coefficient, expanding from rest.
struct Expansion {
    air: Thermo,
    r: f64,
    p0: f64,
    t0: f64,
}

/// State on the isentrope.
struct Throat {
    /// Density times speed, kg/(m² s).
    flux: f64,
    /// Kinetic energy gained less that of sound, J/kg.
    excess: f64,
}

impl Expansion {
    /// `∫ cp/T dT` from `t` to rest, five-point Gauss-Legendre in ln T.
    fn entropy_fall(&self, t: f64) -> f64 {
        const NODES: [(f64, f64); 5] = [
            (0.0, 0.568_888_888_888_888_9),
            (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
            (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
            (0.906_179_845_938_664, 0.236_926_885_056_189_1),
        ];
        let half = 0.5 * (self.t0 / t).ln();
        let cp = |x: f64| {
            self.air
                .at(t * (half * (1.0 + x)).exp(), &Blend::default())
                .cp
        };
        NODES.iter().map(|(x, weight)| weight * half * cp(*x)).sum()
    }

    /// `v = RT/p + B`, `h = h° + (B - T B')p`, `s = s° - R ln p - B' p`,
    /// `cp = cp° - T B'' p`, `a² = v²/(RT/p² - T (∂v/∂T)²/cp)`.
    fn throat(&self, t: f64) -> Throat {
        let (r, p0, t0) = (self.r, self.p0, self.t0);
        let b0 = second_virial(r, t0);
        let b = second_virial(r, t);
        let ideal = -self.entropy_fall(t) / r;
        let mut p = p0 * ideal.exp();
        for _ in 0..20 {
            p = p0 * (ideal + (b0[1] * p0 - b[1] * p) / r).exp();
        }
        let [rest, here] = [t0, t].map(|t| self.air.at(t, &Blend::default()));
        let fall = rest.h - here.h + (b0[0] - t0 * b0[1]) * p0 - (b[0] - t * b[1]) * p;
        let v = r * t / p + b[0];
        let expansion = r / p + b[1];
        let cp = here.cp - t * b[2] * p;
        let sound_squared = v * v / (r * t / (p * p) - t * expansion * expansion / cp);
        Throat {
            flux: (2.0 * fall).sqrt() / v,
            excess: 2.0 * fall - sound_squared,
        }
    }
}

/// Critical flow function `C* = ṁ √(R T0)/(A p0)` of real dry air through an
/// ideal nozzle from rest at `pressure` (Pa abs) and `temperature` (K).
///
/// The quantity of `iso9300`; isentrope with true heat capacity and the second
/// virial coefficient. Valid 250 to 1200 K, up to 5 bar, where it stays within
/// 1e-4 of the reference equation of air.
pub fn critical_flow_function(pressure: f64, temperature: f64) -> f64 {
    let air = Thermo::new(&DRY_AIR, &DRY_AIR, &DRY_AIR, 2.0);
    let r = gri_mech_3::gas_constant(&DRY_AIR);
    let expansion = Expansion {
        air,
        r,
        p0: pressure,
        t0: temperature,
    };
    // Sonic T/T0 is 2/(γ+1), between 0.75 and 1 for any γ up to 5/3.
    let (low, _) = border((0.75 * temperature, temperature), 50, |t| {
        expansion.throat(t).excess > 0.0
    });
    expansion.throat(low).flux * (r * temperature).sqrt() / pressure
}
