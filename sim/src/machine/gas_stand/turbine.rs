//! Turbine coefficients from a table of corrected flow and efficiency.

use super::compressor::constant;
use super::{
    Column, Quality, Solution, Unfit, coefficients, deviations, dry_air, least_squares, limits,
    positive,
};
use crate::machine::turbine::{Turbine, expansion_drop};
use crate::medium::GasState;
use crate::scalar::Scalar;

/// One point of a turbine table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbinePoint {
    /// Mass flow corrected to the reference conditions, kg/s (> 0).
    pub corrected_flow: f64,
    /// Total inlet over static outlet pressure (> 1).
    pub expansion_ratio: f64,
    /// Total-to-static efficiency of the wheel, 0 to 1. Where the stand measured it
    /// with the bearings, the bearing loss is to be taken off first.
    pub efficiency: f64,
    /// Wheel tip speed over spouting speed √(2 Δh) (> 0).
    pub blade_speed_ratio: f64,
}

/// A turbine table with the conditions it was measured at and is corrected to.
#[derive(Clone, Debug, PartialEq)]
pub struct TurbineTable {
    /// K.
    pub reference_temperature: f64,
    /// Pa abs.
    pub reference_pressure: f64,
    /// Inlet temperature on the stand, K: hot air expands with another γ.
    pub stand_temperature: f64,
    /// Wheel inlet diameter, m.
    pub wheel_diameter: f64,
    /// The points, in any order.
    pub points: Vec<TurbinePoint>,
}

const FREE: [&str; 3] = ["throat_area", "peak_efficiency", "best_speed_ratio"];

impl TurbineTable {
    /// The turbine whose flow (relative) and efficiency (absolute) stay closest to
    /// the table, both weighted alike, and how close.
    ///
    /// # Errors
    /// [`Unfit`]: fewer than 3 points, a number that cannot be, less than 10 %
    /// between the least and the greatest blade-speed ratio.
    pub fn fit(&self) -> Result<(Turbine, Quality), Unfit> {
        self.check()?;
        let inlet = dry_air().state(self.reference_pressure, self.stand_temperature, 0.0);
        let most = self.points.iter().fold(0.0_f64, |a, p| a.max(p.efficiency));
        let mass: f64 = self.points.iter().map(|p| p.corrected_flow).sum();
        // As if choked: ψ about 0.6 at every point.
        let speed = (inlet.gas_constant * self.reference_temperature).sqrt();
        let area = mass / self.points.len() as f64 * speed / (0.6 * self.reference_pressure);
        let limits = limits::<Turbine, 3>(&FREE);
        let found = least_squares([area, most, 0.65], &limits, |x| {
            self.residuals(&self.machine(x), &inlet)
        })
        .ok_or(Unfit::NoFit)?;
        let machine = self.machine(&found.values);
        let quality = self.quality(&machine, &inlet, &found);
        Ok((machine, quality))
    }

    fn check(&self) -> Result<(), Unfit> {
        let conditions = [
            self.reference_temperature,
            self.reference_pressure,
            self.stand_temperature,
            self.wheel_diameter,
        ];
        if !positive(&conditions) {
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
            } else if !positive(&[p.expansion_ratio - 1.0]) {
                (Column::ExpansionRatio, "must be above 1")
            } else if !positive(&[p.blade_speed_ratio]) {
                (Column::BladeSpeedRatio, "must be above 0")
            } else if !p.efficiency.is_finite() || p.efficiency > 1.0 {
                (Column::Efficiency, "must be at most 1")
            } else {
                continue;
            };
            return Err(Unfit::BadPoint {
                point,
                column,
                allowed,
            });
        }
        let ratios = self.points.iter().map(|p| p.blade_speed_ratio);
        let (least, most) = ratios.fold((f64::INFINITY, 0.0_f64), |(a, b), r| (a.min(r), b.max(r)));
        if most < 1.1 * least {
            return Err(Unfit::TooLittleSpread {
                column: Column::BladeSpeedRatio,
            });
        }
        Ok(())
    }

    fn machine<S: Scalar>(&self, values: &[S; 3]) -> Turbine<S> {
        Turbine {
            throat_area: values[0],
            wheel_diameter: S::constant(self.wheel_diameter),
            peak_efficiency: values[1],
            best_speed_ratio: values[2],
        }
    }

    /// Deviation in flow and efficiency, point after point.
    fn residuals<S: Scalar>(&self, machine: &Turbine<S>, inlet: &GasState<f64>) -> Vec<S> {
        let correction = (self.stand_temperature / self.reference_temperature).sqrt();
        let pair = |p: &TurbinePoint| {
            let outlet = GasState {
                pressure: inlet.pressure / p.expansion_ratio,
                ..*inlet
            };
            let drop = expansion_drop(
                inlet.cp(),
                inlet.temperature,
                p.expansion_ratio.recip(),
                inlet.gamma,
            );
            let speed = p.blade_speed_ratio * (2.0 * drop).sqrt() / (0.5 * self.wheel_diameter);
            let (a, b) = (constant::<S>(inlet), constant::<S>(&outlet));
            let expansion = machine.expand(&a, &b, S::constant(speed));
            let mass = expansion.flow.mass;
            let efficiency = expansion.torque * speed / (mass * drop);
            [
                mass * correction / p.corrected_flow - 1.0,
                efficiency - p.efficiency,
            ]
        };
        self.points.iter().flat_map(pair).collect()
    }

    fn quality(&self, machine: &Turbine, inlet: &GasState<f64>, found: &Solution<3>) -> Quality {
        let runaway = 2.0 * machine.best_speed_ratio;
        let outside =
            (self.points.iter().enumerate()).filter(|(_, p)| p.blade_speed_ratio > runaway);
        Quality {
            points: self.points.len(),
            deviations: deviations(["flow", "efficiency"], &self.residuals(machine, inlet)),
            outside: outside.map(|(i, _)| i).collect(),
            coefficients: coefficients(&FREE, found),
        }
    }
}
