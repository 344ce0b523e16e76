//! Compressor coefficients from a table of corrected flow and speed.

use super::{
    Column, Quality, Solution, Unfit, coefficients, deviations, dry_air, least_squares, limits,
    positive,
};
use crate::dual::Dual;
use crate::machine::compressor::{Compressor, isentropic_head};
use crate::medium::GasState;
use crate::scalar::Scalar;

/// One point of a compressor table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CompressorPoint {
    /// Mass flow corrected to the reference conditions, kg/s (> 0).
    pub corrected_flow: f64,
    /// Total outlet over total inlet pressure (> 1).
    pub pressure_ratio: f64,
    /// Isentropic efficiency, total to total, 0 to 1.
    pub efficiency: f64,
    /// Speed corrected to the reference temperature, rad/s (> 0).
    pub corrected_speed: f64,
}

/// A compressor table with the conditions it is corrected to.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorTable {
    /// K.
    pub reference_temperature: f64,
    /// Pa abs.
    pub reference_pressure: f64,
    /// Wheel outlet diameter, m.
    pub wheel_diameter: f64,
    /// The points, in any order.
    pub points: Vec<CompressorPoint>,
}

/// What a table of steady points cannot tell, to be stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unseen {
    /// See [`Compressor::surge_dip`].
    pub surge_dip: f64,
    /// See [`Compressor::reverse_head`].
    pub reverse_head: f64,
    /// See [`Compressor::duct_area_over_length`], m.
    pub duct_area_over_length: f64,
}

impl Default for Unseen {
    /// The defaults of a vehicle file.
    fn default() -> Self {
        Self {
            surge_dip: 0.25,
            reverse_head: 60.0,
            duct_area_over_length: 4e-3,
        }
    }
}

const FREE: [&str; 8] = [
    "peak_head",
    "peak_head_mach",
    "surge_flow",
    "choke_flow",
    "choke_flow_mach",
    "arc_exponent",
    "work",
    "work_flow",
];

/// Largest over least corrected speed that tells the dependence on Mach number.
const LEAST_SPEED_SPREAD: f64 = 1.2;

/// Arc exponents the search starts from: the best of the fits is kept.
const ARC_STARTS: [f64; 3] = [2.0, 3.0, 5.0];

/// A point in the coordinates of the wheel.
struct Seen {
    flow: f64,
    head: f64,
    work: f64,
    mach: f64,
}

impl CompressorTable {
    /// The compressor whose pressure ratio (relative) and efficiency (absolute)
    /// stay closest to the table, both weighted alike, and how close.
    ///
    /// # Errors
    /// [`Unfit`]: fewer than 8 points, a number that cannot be, less than 20 %
    /// between slowest and fastest speed line.
    pub fn fit(&self, unseen: &Unseen) -> Result<(Compressor, Quality), Unfit> {
        self.check()?;
        let inlet = dry_air().state(self.reference_pressure, self.reference_temperature, 0.0);
        let seen: Vec<Seen> = self.points.iter().map(|p| self.seen(p, &inlet)).collect();
        let limits = limits::<Compressor, 8>(&FREE);
        let found = ARC_STARTS
            .iter()
            .filter_map(|arc| {
                let start = start(&seen, *arc);
                least_squares(start, &limits, |x| {
                    self.residuals(&self.machine(unseen, x), &inlet)
                })
            })
            .min_by(|a, b| a.squares.total_cmp(&b.squares))
            .ok_or(Unfit::NoFit)?;
        let machine = self.machine(unseen, &found.values);
        let quality = self.quality(&machine, &inlet, &found);
        Ok((machine, quality))
    }

    fn check(&self) -> Result<(), Unfit> {
        if !positive(&[
            self.reference_temperature,
            self.reference_pressure,
            self.wheel_diameter,
        ]) {
            return Err(Unfit::BadReference);
        }
        if self.points.len() < FREE.len() {
            return Err(Unfit::TooFewPoints {
                found: self.points.len(),
                needed: FREE.len(),
            });
        }
        for (point, p) in self.points.iter().enumerate() {
            let (column, allowed) = if !positive(&[p.corrected_flow]) {
                (Column::Flow, "must be above 0")
            } else if !positive(&[p.corrected_speed]) {
                (Column::Speed, "must be above 0")
            } else if !positive(&[p.pressure_ratio - 1.0]) {
                (Column::PressureRatio, "must be above 1")
            } else if !positive(&[p.efficiency]) || p.efficiency > 1.0 {
                (Column::Efficiency, "must be above 0, at most 1")
            } else {
                continue;
            };
            return Err(Unfit::BadPoint {
                point,
                column,
                allowed,
            });
        }
        let speeds = self.points.iter().map(|p| p.corrected_speed);
        let (slow, fast) = speeds.fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(s), b.max(s)));
        if fast < LEAST_SPEED_SPREAD * slow {
            return Err(Unfit::TooLittleSpread {
                column: Column::Speed,
            });
        }
        Ok(())
    }

    fn machine<S: Scalar>(&self, unseen: &Unseen, values: &[S; 8]) -> Compressor<S> {
        let c = S::constant;
        let [
            peak_head,
            peak_head_mach,
            surge_flow,
            choke_flow,
            choke_flow_mach,
            arc_exponent,
            work,
            work_flow,
        ] = *values;
        Compressor {
            wheel_diameter: c(self.wheel_diameter),
            peak_head,
            peak_head_mach,
            surge_dip: c(unseen.surge_dip),
            surge_flow,
            choke_flow,
            choke_flow_mach,
            arc_exponent,
            work,
            work_flow,
            reverse_head: c(unseen.reverse_head),
            duct_area_over_length: c(unseen.duct_area_over_length),
        }
    }

    /// Deviation in pressure ratio and efficiency, point after point.
    fn residuals<S: Scalar>(&self, machine: &Compressor<S>, inlet: &GasState<f64>) -> Vec<S> {
        let inlet = constant(inlet);
        let pair = |p: &CompressorPoint| {
            let stage = machine.stage(
                &inlet,
                S::constant(p.corrected_flow),
                S::constant(p.corrected_speed),
            );
            let ratio = stage.outlet_pressure / inlet.pressure;
            [
                ratio / p.pressure_ratio - 1.0,
                stage.head / stage.work - p.efficiency,
            ]
        };
        self.points.iter().flat_map(pair).collect()
    }

    fn quality(&self, machine: &Compressor, inlet: &GasState<f64>, found: &Solution<8>) -> Quality {
        let outside = self.points.iter().enumerate().filter(|(_, p)| {
            let stage = machine.stage(inlet, p.corrected_flow, p.corrected_speed);
            let phi = stage.flow_coefficient;
            phi < stage.surge_coefficient || phi > stage.choke_coefficient
        });
        Quality {
            points: self.points.len(),
            deviations: deviations(
                ["pressure ratio", "efficiency"],
                &self.residuals(machine, inlet),
            ),
            outside: outside.map(|(i, _)| i).collect(),
            coefficients: coefficients(&FREE, found),
        }
    }

    fn seen(&self, p: &CompressorPoint, inlet: &GasState<f64>) -> Seen {
        let tip = p.corrected_speed * self.wheel_diameter * 0.5;
        let head = isentropic_head(inlet.cp(), inlet.temperature, p.pressure_ratio, inlet.gamma);
        Seen {
            flow: p.corrected_flow / (inlet.density() * tip * self.wheel_diameter.powi(2)),
            head: 2.0 * head / (tip * tip),
            work: head / p.efficiency / (tip * tip),
            mach: tip / (inlet.gamma * inlet.gas_constant * inlet.temperature).sqrt(),
        }
    }
}

/// A state that depends on nothing.
pub(super) fn constant<S: Scalar>(gas: &GasState<f64>) -> GasState<S> {
    let c = S::constant;
    GasState {
        pressure: c(gas.pressure),
        temperature: c(gas.temperature),
        fuel_fraction: c(gas.fuel_fraction),
        gas_constant: c(gas.gas_constant),
        gamma: c(gas.gamma),
        enthalpy: c(gas.enthalpy),
    }
}

/// Where the search starts: highest head, extreme flows, straight line through the work.
fn start(seen: &[Seen], arc: f64) -> [f64; 8] {
    let most = |of: &dyn Fn(&Seen) -> f64| seen.iter().map(of).fold(0.0, f64::max);
    let least = |of: &dyn Fn(&Seen) -> f64| seen.iter().map(of).fold(f64::INFINITY, f64::min);
    let line = least_squares(
        [0.8, 2.0],
        &[[0.0, 2.0], [0.0, 50.0]],
        |[work, fall]: &[Dual<2>; 2]| {
            (seen.iter().map(|s| *work - *fall * s.flow - s.work)).collect()
        },
    );
    let [work, fall] = line.map_or([0.8, 2.0], |found| found.values);
    [
        most(&|s| s.head),
        0.0,
        least(&|s| s.flow / s.mach),
        1.15 * most(&|s| s.flow),
        0.0,
        arc,
        work,
        fall,
    ]
}
