//! A standing volume that empties or fills through one flow element: a vessel, or
//! the intake tract under a pressure test. Not stiff, so it is integrated by the
//! explicit library solver.

use crate::flow::Flow;
use crate::medium::{GasState, Medium};
use crate::solve::explicit::{Refused, advance, until};
use nalgebra::Vector2;

/// The gas in a tank.
#[derive(Clone, Debug)]
pub enum TankGas {
    /// Constant gas constant, J/(kg K), and ratio of specific heats: the gas of closed forms.
    Perfect {
        /// J/(kg K).
        gas_constant: f64,
        /// Ratio of specific heats.
        gamma: f64,
    },
    /// Air with temperature-dependent properties.
    Real(Medium),
}

/// What the walls do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wall {
    /// Nothing: no heat passes.
    Adiabatic,
    /// The gas stays at its first temperature.
    Isothermal,
    /// Walls at a fixed temperature, K, of this area, m², warm the gas by natural
    /// convection: `Nu = 0.10 Ra^(1/3)`, turbulent, free of length
    /// (incropera2007 eq. 9.24; properties of air at the gas temperature).
    Convection {
        /// m².
        area: f64,
        /// K.
        temperature: f64,
    },
}

/// A standing volume.
#[derive(Clone, Debug)]
pub struct Tank {
    /// m³.
    pub volume: f64,
    /// What is in it.
    pub gas: TankGas,
    /// What its walls do.
    pub wall: Wall,
}

impl TankGas {
    /// Gas at a pressure, Pa abs, and temperature, K.
    pub fn state(&self, pressure: f64, temperature: f64) -> GasState<f64> {
        match self {
            TankGas::Real(medium) => medium.state(pressure, temperature, 0.0),
            TankGas::Perfect { gas_constant, gamma } => GasState {
                pressure,
                temperature,
                fuel_fraction: 0.0,
                gas_constant: *gas_constant,
                gamma: *gamma,
                enthalpy: gamma / (gamma - 1.0) * gas_constant * temperature,
            },
        }
    }

    fn inside(&self, volume: f64, mass: f64, energy: f64) -> GasState<f64> {
        match self {
            TankGas::Real(medium) => medium.state_in_volume(volume, mass, energy, 0.0),
            TankGas::Perfect { gas_constant, gamma } => {
                let temperature = energy / mass * (gamma - 1.0) / gas_constant;
                self.state(mass * gas_constant * temperature / volume, temperature)
            }
        }
    }
}

/// Conductivity of air over its viscosity times cp: 1/Pr with Pr = 0.71
/// (incropera2007 table A.4, 250 to 400 K within 2 %).
const PRANDTL: f64 = 0.71;
const GRAVITY: f64 = 9.806_65;

/// W from wall to gas by natural convection.
fn convection(gas: &GasState<f64>, area: f64, wall: f64) -> f64 {
    let cp = gas.gas_constant * gas.gamma / (gas.gamma - 1.0);
    let conductivity = gas.viscosity() * cp / PRANDTL;
    let difference = wall - gas.temperature;
    let expansion = 1.0 / gas.temperature;
    let momentum = gas.viscosity() / gas.density();
    let rayleigh_per_cube = GRAVITY * expansion * difference.abs() / (momentum * momentum) * PRANDTL;
    0.10 * conductivity * rayleigh_per_cube.cbrt() * area * difference
}

type State = Vector2<f64>;

/// A run of a tank through one element.
pub struct Run<'a, F> {
    tank: &'a Tank,
    outside: GasState<f64>,
    element: F,
    first: GasState<f64>,
    unit: State,
}

impl Tank {
    /// Starts the tank at `pressure` (Pa abs) and `temperature` (K); `element`
    /// gives the flow from `outside` to the inside.
    pub fn run<F: Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>>(
        &self,
        pressure: f64,
        temperature: f64,
        outside: GasState<f64>,
        element: F,
    ) -> Run<'_, F> {
        let first = self.gas.state(pressure, temperature);
        // The states are scaled by what the tank holds at the larger of both pressures.
        let mass = pressure.max(outside.pressure) * self.volume / (first.gas_constant * temperature);
        Run { tank: self, outside, element, first, unit: State::new(mass, mass * 2e5) }
    }
}

impl<F: Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>> Run<'_, F> {
    fn start(&self) -> State {
        let mass = self.first.density() * self.tank.volume;
        let energy = self.first.enthalpy - self.first.gas_constant * self.first.temperature;
        State::new(mass, mass * energy).component_div(&self.unit)
    }

    fn gas(&self, x: &State) -> GasState<f64> {
        let [mass, energy] = x.component_mul(&self.unit).into();
        self.tank.gas.inside(self.tank.volume, mass, energy)
    }

    fn rates(&self, x: &State) -> State {
        let inside = self.gas(x);
        let flow = (self.element)(&self.outside, &inside);
        let energy = match self.tank.wall {
            Wall::Isothermal => flow.mass * (inside.enthalpy - inside.gas_constant * inside.temperature),
            Wall::Adiabatic => flow.enthalpy(&self.outside, &inside),
            Wall::Convection { area, temperature } => {
                flow.enthalpy(&self.outside, &inside) + convection(&inside, area, temperature)
            }
        };
        State::new(flow.mass, energy).component_div(&self.unit)
    }

    /// Time, s, until the inside reaches `pressure` (Pa abs), and the gas then.
    ///
    /// # Errors
    /// [`Refused::NoEvent`] when it takes longer than `longest` seconds.
    pub fn time_to(&self, pressure: f64, longest: f64) -> Result<(f64, GasState<f64>), Refused> {
        let sign = (self.first.pressure - pressure).signum();
        let (time, x) = until(
            |x| self.rates(x),
            self.start(),
            longest,
            |x| sign * (self.gas(x).pressure - pressure),
        )?;
        Ok((time, self.gas(&x)))
    }

    /// The gas at each of `times`, s, in rising order.
    ///
    /// # Errors
    /// [`Refused::Solver`] when the integration cannot go on.
    pub fn trace(&self, times: &[f64]) -> Result<Vec<GasState<f64>>, Refused> {
        let (mut now, mut x) = (0.0, self.start());
        times
            .iter()
            .map(|&time| {
                x = advance(|x| self.rates(x), x, time - now)?;
                now = time;
                Ok(self.gas(&x))
            })
            .collect()
    }
}

/// Leak flow, kg/s, from a pressure decay of `drop` Pa in `time` s of an
/// isothermal volume, m³ (ideal gas): `V Δp/(R T Δt)`.
pub fn decay_flow(volume: f64, drop: f64, time: f64, gas_constant: f64, temperature: f64) -> f64 {
    volume * drop / (gas_constant * temperature * time)
}
