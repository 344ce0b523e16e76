//! Everything the model needs to know of one car.

use crate::constants::STANDARD_PRESSURE;
use crate::control::{Boost, Drive, Fuelling, Meter, Metering, TrimCarried, TrimCells, Watchdogs};
use crate::flow::duct::DuctLoss;
use crate::machine::compressor::Compressor;
use crate::machine::cooler::CoolerHeat;
use crate::machine::crankcase::Crankcase;
use crate::machine::cylinders::Cylinders;
use crate::machine::recirculation::RecirculationValve;
use crate::machine::road::Road;
use crate::machine::shaft::Shaft;
use crate::machine::throttle::Throttle;
use crate::machine::turbine::Turbine;
use crate::machine::wastegate::Wastegate;
use crate::medium::Fuel;
use crate::scalar::{Over, Scalar};
use crate::units::RPM;
use crate::volume::{ExhaustPipe, InletDuct, Pipe};
use crate::{tables, words};

words! {
    /// Where the compressor bypass valve lets the air go.
    pub enum RecirculationOutlet {
        /// Back to the inlet duct.
        InletDuct = "inlet_duct",
        /// Out to the atmosphere.
        Atmosphere = "atmosphere",
    }
}

words! {
    /// How well a vehicle file describes a car.
    pub enum Known {
        /// from its plate or from another car of its make: twice the usual spread but for sensors and injectors, what its computer aims at unknown, and room for what no number of the file says
        Estimated = "estimated",
        /// measured numbers: the usual spread between healthy cars
        Measured = "measured",
        /// fitted to this very car's healthy readings: half of it
        Fitted = "fitted",
    }
}

tables! {
    /// One car: engine, air path, engine computer.
    ///
    /// # Examples
    /// ```
    /// // Read from a file by any reader of serde, or made from ten numbers.
    /// let car = sim::size(&sim::TenNumbers::example())?.vehicle;
    /// let limit: f64 = car.speed_limit();
    /// assert!(limit > sim::TenNumbers::example().rated_speed);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub struct Vehicle {
        /// what the car is called in tables and pictures
        name: String,
        /// what the car is and where its numbers come from
        about: String = String::new(),
        /// how well these numbers describe the car
        known: Known = Known::Measured,
        /// the fuel
        fuel: Fuel,
        /// filter, air box and meter, ambient to inlet duct
        filter: DuctLoss<P>,
        /// duct from meter to compressor
        inlet_duct: InletDuct<P>,
        /// compressor
        compressor: Compressor<P>,
        /// pipe from compressor to cooler
        hot_pipe: Pipe<P>,
        /// pressure loss of the charge air cooler
        cooler: DuctLoss<P>,
        /// heat transfer of the charge air cooler
        cooler_heat: CoolerHeat<P>,
        /// cooler outlet tank and pipe to the throttle
        cold_pipe: Pipe<P>,
        /// throttle
        throttle: Throttle<P>,
        /// intake manifold
        manifold: Pipe<P>,
        /// volumetric efficiency (filling) over engine speed, exhaust at manifold pressure
        filling: AngularSpeed [0.0, 15e3 * RPM] -> Ratio [0.3, 1.3],
        /// engine speed from which the engine computer cuts the fuel, all of it 2 % above; left out: 5 % above the last speed of the table of volumetric efficiency (workshop rule of thumb, no published source)
        engine_speed_limit: AngularSpeed [2e3 * RPM, 15e3 * RPM] or None,
        /// cylinders, combustion, friction
        cylinders: Cylinders<P>,
        /// crankcase and its ventilation
        crankcase: Crankcase<P>,
        /// exhaust manifold
        exhaust_manifold: ExhaustPipe<P>,
        /// turbine
        turbine: Turbine<P>,
        /// wastegate
        wastegate: Wastegate<P>,
        /// turbocharger shaft
        shaft: Shaft<P>,
        /// pipe behind the turbine, with the oxygen sensor
        downpipe: ExhaustPipe<P>,
        /// catalyst and silencer
        silencer: DuctLoss<P>,
        /// compressor bypass valve
        recirculation_valve: RecirculationValve<P>,
        /// where the compressor bypass valve lets the air go
        recirculation_outlet: RecirculationOutlet,
        /// how the engine computer counts the air
        metering: Metering,
        /// sensors and tables the air is counted with
        meter: Meter<P>,
        /// mixture strategy
        fuelling: Fuelling<P>,
        /// how long-term trims are kept
        trim_cells: TrimCells = TrimCells::IdleAndPartLoad,
        /// which long-term trim is carried to full load, where no sensor corrects the mixture
        trim_carried: TrimCarried = TrimCarried::All,
        /// boost strategy
        boost: Boost<P>,
        /// pedal, idle and torque strategy
        drive: Drive<P>,
        /// thresholds and times of the trouble codes
        watchdogs: Watchdogs<P>,
        /// the car on the road
        road: Road<P>,
    }
}

/// Speed limit over the last speed of the filling table, where none is given (common
/// practice, no source: a limiter acts somewhat beyond where the engine still breathes well).
const LIMIT_OVER_FILLING: f64 = 1.05;

/// Air of a stroke at 20 °C, kg/m³, and the air a kilogram of fuel takes at full load: lambda 0.9
/// of petrol's 14.6 (heywood1988 table D.4, from memory).
const FULL_LOAD: [f64; 2] = [1.2, 13.1];

impl<P: Scalar> Vehicle<P> {
    /// About the largest air flow and fuel flow that the engine calls for, kg/s: filled as its
    /// table says, at the boost its computer aims at, where that is most.
    pub fn largest_flows(&self) -> [P; 2] {
        let charge = self.cylinders.displacement * (FULL_LOAD[0] / (4.0 * std::f64::consts::PI));
        let flows = self.filling.points().iter().map(|[speed, filling]| {
            let pressure = self.boost.wanted(*speed) / STANDARD_PRESSURE + 1.0;
            *speed * *filling * pressure * charge
        });
        let air = flows.fold(P::constant(0.0), |most, flow| most.max(flow));
        [air, air / FULL_LOAD[1]]
    }

    /// Crank speed, rad/s, from which the engine computer cuts the fuel.
    pub fn speed_limit<S: Over<P>>(&self) -> S {
        let last = || (self.filling.points().last()).map_or(P::constant(f64::MAX), |p| p[0]);
        let limit = self.engine_speed_limit;
        S::lift(limit.unwrap_or_else(|| last() * LIMIT_OVER_FILLING))
    }
}
