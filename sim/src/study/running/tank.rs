//! A standing volume that empties or fills through one flow element: a vessel, or
//! the intake tract under a pressure test. Not stiff, so it is integrated by the
//! explicit library solver.

use crate::flow::Flow;
use crate::heat::vessel::convection;
use crate::medium::{GasState, Medium};
use crate::solve::explicit::{Refused, advance, until};

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
    Real(Box<Medium>),
}

/// What the walls do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wall {
    /// Nothing: no heat passes.
    Adiabatic,
    /// The gas stays at its first temperature.
    Isothermal,
    /// Warms or cools the gas by free convection and, while gas enters, by its jet
    /// ([`convection`]).
    Convection {
        /// Inner surface, m².
        area: f64,
        /// Diameter of the vessel, m.
        diameter: f64,
        /// Temperature at the start, K.
        temperature: f64,
        /// Heat that warms the wall by 1 K, J/K; infinite for a wall that keeps its temperature.
        heat_capacity: f64,
    },
}

/// A standing volume.
///
/// # Examples
/// ```
/// use sim::{Discharge, orifice, study::running::tank::Wall};
/// use sim::workshop::{AIR, Tank};
/// let tank = Tank { volume: 0.01, gas: AIR, wall: Wall::Isothermal };
/// let hole = |a: &sim::GasState<f64>, b: &sim::GasState<f64>| {
///     orifice(1e-6, Discharge::Constant(1.0), a, b)
/// };
/// let outside = AIR.state(100e3, 293.15);
/// let (time, _) = tank.run(500e3, 293.15, outside, hole).time_to(300e3, 1e3)?;
/// // Choked all the while, so p falls by e in V / (A ψ* √(R T)), ψ* = 0.6847 (NACA 1135).
/// let tau = 0.01 / (1e-6 * 0.6847 * (287.05_f64 * 293.15).sqrt());
/// assert!((time / (tau * (5.0_f64 / 3.0).ln()) - 1.0).abs() < 1e-3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
            TankGas::Perfect {
                gas_constant,
                gamma,
            } => GasState {
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
            TankGas::Perfect {
                gas_constant,
                gamma,
            } => {
                let temperature = energy / mass * (gamma - 1.0) / gas_constant;
                self.state(mass * gas_constant * temperature / volume, temperature)
            }
        }
    }
}

/// Mass, internal energy, wall temperature.
type State = [f64; 3];

/// A run of a tank through one element.
pub struct Run<'a, F> {
    tank: &'a Tank,
    outside: GasState<f64>,
    element: F,
    first: GasState<f64>,
    unit: State,
}

impl Tank {
    /// Starts the tank at `pressure` (Pa abs, > 0) and `temperature` (K).
    ///
    /// `element` gives the flow from `outside` (first) to the inside (second), as
    /// every leak shape does.
    pub fn run<F: Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>>(
        &self,
        pressure: f64,
        temperature: f64,
        outside: GasState<f64>,
        element: F,
    ) -> Run<'_, F> {
        let first = self.gas.state(pressure, temperature);
        // States are counted in what the tank holds at the larger of both pressures:
        // its mass, that mass at 2e5 J/kg (about cv T), and 300 K for the wall.
        let most = pressure.max(outside.pressure);
        let mass = most * self.volume / (first.gas_constant * temperature);
        Run {
            tank: self,
            outside,
            element,
            first,
            unit: [mass, mass * 2e5, 300.0],
        }
    }
}

impl<F: Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>> Run<'_, F> {
    fn start(&self) -> State {
        let gas = &self.first;
        let mass = gas.density() * self.tank.volume;
        let energy = mass * (gas.enthalpy - gas.gas_constant * gas.temperature);
        let wall = match self.tank.wall {
            Wall::Convection { temperature, .. } => temperature,
            Wall::Adiabatic | Wall::Isothermal => gas.temperature,
        };
        self.scaled([mass, energy, wall])
    }

    fn gas(&self, x: &State) -> GasState<f64> {
        let (mass, energy) = (x[0] * self.unit[0], x[1] * self.unit[1]);
        self.tank.gas.inside(self.tank.volume, mass, energy)
    }

    fn scaled(&self, x: State) -> State {
        std::array::from_fn(|i| x[i] / self.unit[i])
    }

    fn rates(&self, x: &State) -> State {
        let inside = self.gas(x);
        let flow = (self.element)(&self.outside, &inside);
        let carried = flow.enthalpy(&self.outside, &inside);
        let (energy, warming) = match self.tank.wall {
            Wall::Adiabatic => (carried, 0.0),
            // What keeps the internal energy of each kilogram.
            Wall::Isothermal => {
                let each = inside.enthalpy - inside.gas_constant * inside.temperature;
                (flow.mass * each, 0.0)
            }
            Wall::Convection {
                area,
                diameter,
                heat_capacity,
                ..
            } => {
                let wall = x[2] * self.unit[2];
                let film = convection(&inside, wall, diameter, flow.mass.max(0.0));
                let heat = film * area * (wall - inside.temperature);
                (carried + heat, -heat / heat_capacity)
            }
        };
        self.scaled([flow.mass, energy, warming])
    }

    /// Time, s, until the inside reaches `pressure` (Pa abs), and the gas then.
    ///
    /// # Errors
    /// [`Refused::NoEvent`] when it takes longer than `longest` seconds, any other
    /// when the integration cannot go on.
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

    /// The gas at each of `times`, s from the start, in rising order.
    ///
    /// # Errors
    /// [`Refused::WrongTime`] out of order, any other when the integration cannot go on.
    pub fn trace(&self, times: &[f64]) -> Result<Vec<GasState<f64>>, Refused> {
        let (mut now, mut x) = (0.0, self.start());
        times
            .iter()
            .map(|&time| {
                if time < now {
                    return Err(Refused::WrongTime { time });
                }
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
