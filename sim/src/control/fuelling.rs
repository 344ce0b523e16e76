//! Fuel from counted air, wanted mixture, and the trims that the oxygen sensor
//! asks for: a short-term trim that acts at once, and a long-term trim that
//! learns what the short-term one keeps asking for, in cells ([`TrimCells`]), and of
//! which something is carried to full load ([`TrimCarried`]). The speed limiter and a pedal released
//! well above idle leave whole working cycles without fuel.

use super::{full_load_share, idle_share, lag};
use crate::flow::Flow;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, limited_integrator, positive_part, step};
use crate::units::RPM;
use crate::{quantities, words};

words! {
    /// How long-term trims are kept. What makes do differs: common practice, no source.
    pub enum TrimCells {
        /// one number for idle and load
        OneNumber = "one_number",
        /// a cell at idle, another at part load, both shares of the fuel
        IdleAndPartLoad = "idle_and_part_load",
        /// a cell at idle, one at part load, and one from a load on (`fuelling.cell_load`)
        ByLoad = "by_load",
        /// at idle an amount of fuel a second, which goes on under load, and at part load a share of the fuel
        IdleOffset = "idle_offset",
    }
}

words! {
    /// Which long-term trim is carried to full load.
    pub enum TrimCarried {
        /// what the cells say there, an amount learnt at idle included
        All = "all",
        /// none: full load is dosed by counted air alone
        None = "none",
        /// the cell of the highest load, whatever the air
        HighestCell = "highest_cell",
    }
}

quantities! {
    /// Mixture strategy, injectors and the oxygen sensor.
    pub struct Fuelling {
        /// lambda commanded at full load
        full_load_lambda: Ratio [0.7, 1.05],
        /// rate of the short-term trim per unit of lambda error
        trim_gain: Rate [0.05, 10.0] = 0.3,
        /// largest short-term trim either way
        trim_limit: Ratio [0.05, 0.5] = 0.25,
        /// rate of the long-term trim per unit of short-term trim
        learning_rate: Rate [0.001, 1.0] = 0.05,
        /// largest long-term trim either way
        learning_limit: Ratio [0.05, 0.5] = 0.25,
        /// counted charge (absolute load) from which the high-load cell holds, where trims are kept by load
        cell_load: Ratio [0.2, 1.5] = 0.6,
        /// air flow at which the idle offset is the share that the idle cell says, where trims have one
        offset_flow: MassFlow [5e-4, 1e-2] = 2e-3,
        /// fuel flow that the injectors cannot exceed
        injector_limit: MassFlow [1e-3, 0.2] = 0.06,
        /// fuel delivered over fuel commanded
        delivery: Ratio [0.3, 1.3] = 1.0,
        /// the same at a large fuel flow (`full_flow`), for what pump and filter lose of the pressure grows with the flow
        full_flow_delivery: Ratio [0.3, 1.0] = 1.0,
        /// fuel flow at which `full_flow_delivery` holds
        full_flow: MassFlow [1e-3, 0.2] = 0.01,
        /// effective flow area of the canister purge valve, wide open
        purge_area: Area [0.0, 5e-5] = 8e-6,
        /// opening of that valve that the engine computer does not know of
        purge_opening: Ratio [0.0, 1.0] = 0.0,
        /// fuel vapour that a kilogram of canister air carries, kg: little when it is swept, a tenth and more after refuelling
        purge_vapour: Ratio [0.0, 1.0] = 0.03,
        /// engine speed above which fuel is cut with the pedal released, whatever drives the engine
        overrun_cut_speed: AngularSpeed [1e3 * RPM, 5e3 * RPM] = 165.0,
        /// engine speed below which it is injected again
        overrun_resume_speed: AngularSpeed [800.0 * RPM, 4500.0 * RPM] = 135.0,
        /// time constant of the oxygen sensor
        sensor_time_constant: Time [0.01, 1.0] = 0.1,
        /// exhaust gas volume on the way to the oxygen sensor: the delay is its mass over the exhaust flow
        sensor_way: Volume [0.0, 5e-3] = 0.5e-3,
        /// share of the fuel of cycles that never fired which the oxygen sensor does not burn at its hot electrodes: of theirs it sees the oxygen without the fuel
        unfired_unseen: Ratio [0.0, 1.0] = 0.5,
        /// oxygen sensor reading minus true lambda
        sensor_offset: Ratio [-0.2, 0.2] = 0.0,
    }
}

/// Time in which an open-loop trim fades to zero, and the hold time at its stop, s.
const FADE: f64 = 1.0;

/// Lambda error beyond which the trim moves no faster (own choice: the sensor's reach).
const FAR: f64 = 0.15;

/// Sensed lambda over which, and its fall in 1/s with which, the pipe is taken to clear of
/// air (own choice: faster than any trim moves the mixture).
const CLEARING: [f64; 2] = [1.02, 1.10];
const FALLING: [f64; 2] = [0.05, 0.15];

/// Share of the limit over which the speed limiter takes the fuel away (own choice: narrow
/// beside the 3 % that tachometers are trusted to, wide beside an integrator's step).
const LIMIT_BAND: f64 = 0.02;

/// Width, kg/s, over which the idle offset's share is rounded at its reference flow.
const LEAST_OFFSET: f64 = 1e-5;
/// Engine speed over idle speed below which fuel is never cut for a released pedal.
const OVER_IDLE: f64 = 1.2;
/// Least width, rad/s, of the band over which that cut sets in.
const LEAST_BAND: f64 = 1.0;

/// Exhaust flow, kg/s, below which the delay to the sensor grows no further.
const LEAST_FLOW: f64 = 2e-4;

/// Share of the load at which cells meet over which one fades into the next (own choice: narrow,
/// so that almost always one of them learns).
const CELL_BAND: f64 = 0.05;

/// Long-term cells, shares; see [`TrimCells`] for which are in use.
#[derive(Clone, Copy, Debug)]
pub struct Cells<S> {
    /// Of idle.
    pub idle: S,
    /// Of part load.
    pub part_load: S,
    /// Of high load.
    pub high_load: S,
}

/// Trims in force, shares.
#[derive(Clone, Copy, Debug)]
pub struct Trims<S> {
    /// Short-term.
    pub short: S,
    /// Long-term.
    pub long: S,
}

impl<S: Scalar> Trims<S> {
    /// All fuel added, share: `(1 + short)(1 + long) − 1`.
    pub fn total(&self) -> S {
        (self.short + 1.0) * (self.long + 1.0) - 1.0
    }
}

/// Share of the working cycles that the speed limiter leaves without fuel at crank speed
/// `speed`: none up to `limit` (both rad/s), all from 2 % above it; C1.
///
/// That the limiter cuts fuel, cylinder by cylinder, is common practice, no source. A real
/// one switches and the speed hunts in its band; here the mean over many cycles is smooth.
pub fn limiter_cut<S: Scalar>(limit: S, speed: S) -> S {
    step((speed / limit - 1.0) / LIMIT_BAND, 0.0, 1.0)
}

impl<P: Scalar> Fuelling<P> {
    /// Commanded lambda: 1 in closed loop, the full-load value with the pedal down.
    pub fn commanded_lambda<S: Over<P>>(&self, pedal: S) -> S {
        full_load_share(pedal) * (self.full_load_lambda - 1.0) + 1.0
    }

    /// Fuel delivered, kg/s, for `air` counted (kg/s), were every working cycle to get it;
    /// `stoichiometric_ratio` is that of the air and the fuel which the computer is made for.
    pub fn fuel<S: Over<P>>(
        &self,
        air: S,
        pedal: S,
        trims: &Trims<S>,
        stoichiometric_ratio: P,
    ) -> S {
        let wanted = air / self.commanded_lambda(pedal) / stoichiometric_ratio;
        let asked = wanted * (trims.total() + 1.0);
        // Rounded over 1e-5 of the limit: far below it nothing is taken off.
        let left = (-asked + self.injector_limit) / self.injector_limit;
        let injected = (-positive_part(left, 1e-5) + 1.0) * self.injector_limit;
        injected * self.supplied(injected) * self.delivery
    }

    /// Air through the open canister purge valve into the manifold, past no meter; its check valve
    /// shuts against boost. Short of a hose's losses (common practice, no source).
    pub fn purge<S: Over<P>>(&self, outside: &GasState<S>, manifold: &GasState<S>) -> Flow<S> {
        let open = step(outside.pressure - manifold.pressure, 0.0, 2e3);
        let area = open * (self.purge_area * self.purge_opening);
        orifice(area, Discharge::Constant(1.0), outside, manifold)
    }

    /// What the pressure left behind pump and filter delivers over what is commanded, at a
    /// commanded flow, kg/s.
    ///
    /// An injector passes the root of its pressure (Bernoulli), which falls by `k f²` (turbulent
    /// loss): `f = c √(1 − k f²)`, so `f = c/√(1 + k c²)`. A regulator's reserve is left out: the
    /// loss begins at once, not where the reserve is used up.
    fn supplied<S: Over<P>>(&self, commanded: S) -> S {
        let lost = self.full_flow_delivery.squared().recip() - 1.0;
        let lost = (commanded / self.full_flow).squared() * lost;
        // A rise, which no pump makes, goes on with the same slope from none.
        match lost.value() < 0.0 {
            true => (-lost + 1.0).sqrt(),
            false => (lost + 1.0).sqrt().recip(),
        }
    }

    /// Share of the working cycles without fuel because the pedal is released well above the
    /// `idle` speed (both rad/s), whether the road drives the engine or it runs up by itself.
    ///
    /// A real computer cuts and resumes, and an engine that idles on false air surges between
    /// the two speeds; here is the mean of it. Never within a fifth of the idle speed (own choice).
    pub fn overrun_cut<S: Over<P>>(&self, idle: P, pedal: S, speed: S) -> S {
        let resume = self.overrun_resume_speed.max(idle * OVER_IDLE);
        let band = self.overrun_cut_speed - resume;
        let above = (speed - resume) / positive_part(band, LEAST_BAND);
        step(above, 0.0, 1.0) * idle_share(pedal)
    }

    /// Share of closed loop: not at full load, not while fuel is cut, nor while the
    /// sensor still stands at its end because fuel was cut just before. `sensed`: of the cycles that fire.
    pub fn closed_loop<S: Over<P>>(&self, sensed: S, pedal: S, cut: S) -> S {
        let useful = -step(sensed, 1.6, 1.9) + 1.0;
        (-full_load_share(pedal) + 1.0) * (-cut + 1.0) * useful
    }

    /// Rate of the short-term trim: integrates the lambda error in closed loop, an
    /// error beyond 0.15 no faster; fades to zero in open loop. While the sensor, moving at
    /// `rate` (1/s), still comes down from air that a fuel cut left in the pipe, it waits.
    pub fn trim_rate<S: Over<P>>(&self, trim: S, sensed: S, rate: S, closed: S) -> S {
        let limit = S::lift(self.trim_limit);
        let clearing = step(sensed, CLEARING[0], CLEARING[1]) * step(-rate, FALLING[0], FALLING[1]);
        let error = clamp(sensed - 1.0, -FAR, FAR, 1e-4) * self.trim_gain;
        limited_integrator(trim, error, -limit, limit, FADE) * closed * (-clearing + 1.0)
            - trim / FADE * (-closed + 1.0)
    }

    /// Long-term trim in force at a pedal position, a counted air flow (kg/s) and a counted
    /// charge (absolute load).
    pub fn long<S: Over<P>>(
        &self,
        (kept, carried): (TrimCells, TrimCarried),
        cells: &Cells<S>,
        [pedal, air, charge]: [S; 3],
    ) -> S {
        let (idle, full) = (idle_share(pedal), full_load_share(pedal));
        let (mut under_load, mut highest) = (cells.part_load, cells.part_load);
        let mut at_idle = cells.idle * idle;
        match kept {
            TrimCells::OneNumber => at_idle = cells.part_load * idle,
            TrimCells::IdleAndPartLoad => {}
            TrimCells::ByLoad => {
                let high = self.high_load(charge);
                under_load = cells.part_load * (-high + 1.0) + cells.high_load * high;
                highest = cells.high_load;
            }
            // An amount of fuel a second: the more air, the smaller a share.
            TrimCells::IdleOffset => {
                let air = positive_part(air - self.offset_flow, LEAST_OFFSET) + self.offset_flow;
                let share = S::lift(self.offset_flow) / air;
                at_idle = cells.idle * share;
            }
        }
        let there = at_idle + under_load * (-idle + 1.0);
        let full_load = match carried {
            TrimCarried::All => return there,
            TrimCarried::None => S::constant(0.0),
            TrimCarried::HighestCell => highest,
        };
        there * (-full + 1.0) + full_load * full
    }

    /// Share of the high-load cell at a counted charge.
    fn high_load<S: Over<P>>(&self, charge: S) -> S {
        step(charge / self.cell_load - 1.0, -CELL_BAND, CELL_BAND)
    }

    /// Shares with which the idle, the part-load and the high-load cell learn in closed loop, at
    /// a pedal position and a counted charge.
    pub fn learning<S: Over<P>>(
        &self,
        kept: TrimCells,
        [pedal, charge]: [S; 2],
        closed: S,
    ) -> [S; 3] {
        let (none, idle) = (S::constant(0.0), closed * idle_share(pedal));
        let driven = closed - idle;
        match kept {
            TrimCells::OneNumber => [none, closed, none],
            TrimCells::IdleAndPartLoad | TrimCells::IdleOffset => [idle, driven, none],
            TrimCells::ByLoad => {
                let high = self.high_load(charge) * driven;
                [idle, driven - high, high]
            }
        }
    }

    /// Rate of a long-term cell that learns.
    pub fn learning_rate_of<S: Over<P>>(&self, cell: S, short: S) -> S {
        let limit = S::lift(self.learning_limit);
        limited_integrator(cell, short * self.learning_rate, -limit, limit, FADE)
    }

    /// Mixture as a sensor takes it, of a true `lambda` with this share of the cycles never fired.
    ///
    /// Of a mixture that is right, `m` of the cycles dead and a share `u` of their fuel not burned at the
    /// sensor, the air is met by `1 − u m` of the fuel: `λ/(1 − u m)`. Cycles that fail at the edge of
    /// burning burn late and in part; their oxygen is gone by then, and they are left out. That a dead cylinder is
    /// read as lean is common practice, no source; how much of its fuel is seen is own choice and in doubt.
    pub fn seen<S: Over<P>>(&self, lambda: S, dead: P) -> S {
        lambda / S::lift(-(dead * self.unfired_unseen) + 1.0)
    }

    /// Rate of the mixture that has reached the sensor: `lambda` in the pipe, `flow`
    /// (kg/s) and `density` (kg/m³) of the exhaust there. A first-order stage
    /// behind the mixing of the pipe itself stands for the delay.
    pub fn transport_rate<S: Over<P>>(&self, arrived: S, lambda: S, flow: S, density: S) -> S {
        let flow = positive_part(flow, LEAST_FLOW);
        // 2 ms stay when the sensor sits where the gas is mixed.
        let delay = density * self.sensor_way / flow + 2e-3;
        (clamp(lambda, 0.4, 4.0, 1e-4) - arrived) / delay
    }

    /// Rate of the oxygen sensor's reading; `lambda` at the sensor.
    ///
    /// The reading is held below 2 (the range a wideband sensor resolves).
    pub fn sensor_rate<S: Over<P>>(&self, reading: S, lambda: S) -> S {
        let seen = clamp(lambda + self.sensor_offset, 0.5, 2.0, 1e-4);
        lag(reading, seen, self.sensor_time_constant)
    }
}
