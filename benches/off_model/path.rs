//! The gas of the other model: through holes, turbo, cooler, throttle and cylinders, at one speed
//! and one manifold pressure.

use super::engine::{Car, Wrong};

/// Gas constant and heat capacity of air and of exhaust.
pub const R: f64 = 287.0;
const CP: f64 = 1005.0;
const CP_EX: f64 = 1150.0;
pub const AMBIENT: (f64, f64) = (101_325.0, 293.15);
/// Heat of petrol and its air for lambda 1.
const HEAT: f64 = 42.5e6;
pub const STOICHIOMETRIC: f64 = 14.6;

/// Isentropic flow through an effective area from one side to the other; backward below 0
/// (any text on gas dynamics).
pub fn orifice(area: f64, up: f64, down: f64, temperature: f64, gamma: f64) -> f64 {
    if down > up {
        return -orifice(area, down, up, temperature, gamma);
    }
    let critical = (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0));
    let r = (down / up).max(critical);
    let term = r.powf(2.0 / gamma) - r.powf((gamma + 1.0) / gamma);
    let psi = (2.0 * gamma / (gamma - 1.0) * term.max(0.0)).sqrt();
    // Laminar near equal pressures, so that a search finds its way.
    area * up / (R * temperature).sqrt() * psi
}

fn hole(diameter: f64) -> f64 {
    0.65 * std::f64::consts::FRAC_PI_4 * diameter * diameter
}

fn dead(wrong: Wrong) -> f64 {
    match wrong {
        Wrong::Dead(share) => share,
        _ => 0.0,
    }
}

/// Where a rising function passes zero.
pub fn rising(mut low: f64, mut high: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    for _ in 0..34 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The gas path with the manifold at one pressure.
#[derive(Clone, Copy, Debug)]
pub struct Path {
    pub air: f64,
    pub metered: f64,
    pub charge: f64,
    /// Before the throttle.
    pub boost: f64,
    /// Through the throttle.
    pub through: f64,
    /// Before the turbine.
    pub exhaust: f64,
    /// Turbine power less compressor power.
    pub spare: f64,
    pub torque: f64,
}

impl Car {
    pub fn filling(&self, speed: f64, manifold: f64, exhaust: f64) -> f64 {
        let [best, at, fall, cams] = self.filling;
        let off = (speed - at) / 3000.0;
        let residual = 1.0 - 0.06 * ((exhaust / manifold).powf(0.8) - 1.0).max(-0.5);
        let low = (1.0 - manifold / 100e3).clamp(0.0, 0.75);
        best * (1.0 - fall * off * off) * residual.max(0.2) * (1.0 - cams * low)
    }

    /// The engine at a speed and manifold pressure, gate open by a share, pressure before the
    /// throttle as given.
    pub fn path(
        &self,
        wrong: Wrong,
        speed: f64,
        manifold: f64,
        before: f64,
        gate: f64,
        [lambda, spark]: [f64; 2],
    ) -> Path {
        let (ambient, outside) = AMBIENT;
        let (mut air, mut exhaust) = (1e-3, ambient * 1.02);
        let mut all = Path {
            air,
            metered: air,
            charge: outside,
            boost: before,
            through: air,
            exhaust,
            spare: 0.0,
            torque: 0.0,
        };
        let (effective, loss, soak) = self.cooler;
        let mut inlet = outside;
        for _ in 0..12 {
            let at = |place: usize, inside: f64, t: f64| match wrong {
                Wrong::Hole(p, d) if p == place => orifice(hole(d), inside, ambient, t, 1.4),
                _ => 0.0,
            };
            let hot = before + loss * (all.through / 0.13).powi(2);
            let duct = ambient - self.filter * (all.metered / 0.13).powi(2);
            let ratio = (hot / duct).max(1.0);
            let warm = inlet * (1.0 + (ratio.powf(0.2857) - 1.0) / self.compressor);
            let charge = warm - effective * (warm - outside) + soak;
            let share = match wrong {
                Wrong::Tired(share) => share,
                _ => 1.0,
            };
            let ve = share * self.filling(speed, manifold, exhaust);
            air = ve * manifold / (R * charge) * self.displacement * speed / 120.0;
            let through = air + at(3, manifold, charge);
            let recirculated = match wrong {
                Wrong::Recirculation(area) => orifice(area, hot, duct, warm, 1.4).max(0.0),
                _ => 0.0,
            };
            let compressed = through + at(2, before, charge) + at(1, hot, warm) + recirculated;
            // What comes round again comes back as warm as it left (mixing at constant pressure).
            inlet = outside + recirculated / compressed * (warm - outside);
            let metered = (compressed - recirculated
                + at(0, duct - 300.0 * (compressed / 0.1).powi(2), outside))
            .max(1e-5);
            let fuel = air / (STOICHIOMETRIC * lambda);
            let out = air + fuel;
            let heat = 780.0
                + 4200.0 * (out / self.displacement / 60.0).sqrt().min(0.12)
                + 900.0 * (1.0 - spark)
                - 500.0 * (1.0 - lambda).max(0.0);
            // Cycles that never fired come out about as warm as they were compressed and let go.
            let heat = heat - dead(wrong) * (heat - charge - 100.0);
            let open = self.turbine_area + self.gate_area * gate;
            let leak = match wrong {
                Wrong::Hole(4, d) => hole(d),
                _ => 0.0,
            };
            let next = rising(ambient, 9e5, |p| {
                orifice(
                    open + leak,
                    p,
                    ambient * 1.01 + 12e3 * (out / 0.13).powi(2),
                    heat,
                    1.33,
                ) - out
            });
            exhaust = 0.5 * (exhaust + next);
            let turned = out * self.turbine_area / (open + leak);
            let back = ambient * 1.01 + 12e3 * (out / 0.13).powi(2);
            let given = self.turbine
                * turned
                * CP_EX
                * heat
                * (1.0 - (back / exhaust).powf(0.248)).max(0.0);
            let taken = compressed * CP * (warm - inlet);
            all = Path {
                air,
                metered,
                charge,
                boost: before,
                through,
                exhaust,
                spare: given - taken,
                torque: self.torque(
                    speed,
                    [air, fuel].map(|flow| flow * (1.0 - dead(wrong))),
                    [manifold, exhaust],
                    spark,
                ),
            };
        }
        all
    }

    /// Air that a hole in the exhaust draws in between pulses, as long as they swing below the outside
    /// (an exhaust that leaks before the sensor reads lean at idle: common practice, no source).
    pub fn drawn(&self, wrong: Wrong, path: &Path) -> f64 {
        let Wrong::Hole(4, d) = wrong else {
            return 0.0;
        };
        let suction = (self.swing - (path.exhaust - AMBIENT.0)).max(0.0);
        0.3 * hole(d) * (2.0 * 1.2 * suction).sqrt()
    }

    /// With the air and fuel that burn.
    fn torque(
        &self,
        speed: f64,
        [air, fuel]: [f64; 2],
        [manifold, exhaust]: [f64; 2],
        spark: f64,
    ) -> f64 {
        let burnt = fuel.min(air / STOICHIOMETRIC);
        let cycles = speed / 120.0;
        let [a, b, c] = self.friction;
        let k = speed / 1000.0;
        let lost = a + b * k + c * k * k + (exhaust - manifold);
        let work = self.work * spark * burnt * HEAT / cycles;
        (work - lost * self.displacement) / (4.0 * std::f64::consts::PI)
    }
}
