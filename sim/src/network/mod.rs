//! The air path as a network: places joined by flow elements, their balances
//! and the air ledger.
//!
//! [`Network::evaluate`] is the one right-hand side. Steady solver, integrator,
//! exact Jacobian and readings all call it; they differ in the scalar only.

mod balance;
mod defect;
pub mod faults;
pub mod flows;
mod gas;
pub mod layout;
mod leaks;
mod named;
pub mod places;
pub mod readings;
mod start;
mod streams;
mod vehicle;

pub use balance::Rates;
pub use defect::Defect;
pub use faults::{Fault, FaultKind};
pub use gas::Gases;
pub use leaks::Leak;
pub use places::Place;
pub use readings::{AirLedger, Reading, Readings};
pub use streams::{LeakFlow, MOST_LEAKS, Streams};
pub use vehicle::{Known, RecirculationOutlet, Vehicle};

use crate::control::{Command, Memory};
use crate::medium::{DryAir, Fuel, GasState, Medium};
use crate::scalar::{Over, Scalar};
use layout::{Node, STATES};

/// The air around the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ambient {
    /// Pa absolute.
    pub pressure: f64,
    /// K.
    pub temperature: f64,
    /// Moles of water vapour per mole of air.
    pub water_mole_fraction: f64,
}

/// A car, its leaks, the air around it, and what driver and brake ask of it.
///
/// # Examples
/// ```
/// use sim::{Command, Leak, Place, State, steady};
/// let car = sim::size(&sim::TenNumbers::example())?.network();
/// let leaking = car.leaking(vec![Leak::hole(Place::ManifoldGasket, 2e-3)]);
/// let idle = steady(&leaking, &State::from(leaking.start()))?;
/// let books = leaking.air_ledger(&leaking.evaluate(&idle.state.data.0[0]));
/// // What comes in goes out: mass is conserved to round-off.
/// assert!(books.unmetered_in > 0.0);
/// assert!(books.closure.abs() < 1e-9 * books.engine);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Network<P: Scalar> {
    /// The car as it runs, faults included.
    pub vehicle: Vehicle<P>,
    /// The car without its faults.
    pub sound: Vehicle<P>,
    /// Its faults, leaks aside.
    pub faults: Vec<Fault<P>>,
    /// Its leaks.
    pub leaks: Vec<Leak<P>>,
    /// Air and burned gas.
    pub medium: Medium,
    /// Around it.
    pub ambient: Ambient,
    /// What is asked of it.
    pub command: Command,
    ambient_gas: GasState<f64>,
    /// What the engine computer is made for.
    made_for: DryAir,
}

/// Everything at one moment: gases, streams, rates.
#[derive(Clone, Debug)]
pub struct Moment<S> {
    /// Gas at every node.
    pub gases: Gases<S>,
    /// What passes between them.
    pub streams: Streams<S>,
    /// Rates of states and ledger.
    pub rates: Rates<S>,
}

impl Network<f64> {
    /// A car in its surroundings.
    pub fn new(
        vehicle: Vehicle<f64>,
        leaks: Vec<Leak<f64>>,
        ambient: Ambient,
        command: Command,
    ) -> Self {
        let medium = Medium::new(&vehicle.fuel, ambient.water_mole_fraction);
        let ambient_gas = medium.state(ambient.pressure, ambient.temperature, 0.0);
        Self {
            made_for: DryAir::of(&vehicle.fuel),
            sound: vehicle.clone(),
            vehicle,
            faults: Vec::new(),
            leaks,
            medium,
            ambient,
            command,
            ambient_gas,
        }
    }

    /// The same car without its leaks and faults.
    pub fn healthy(&self) -> Self {
        Self {
            leaks: Vec::new(),
            faults: Vec::new(),
            vehicle: self.sound.clone(),
            ..self.clone()
        }
    }

    /// The same car with another fuel in its tank than its engine computer is made for.
    ///
    /// # Examples
    /// ```
    /// use sim::{Command, Comparison, Reading, medium::FuelKind};
    /// # let car = sim::size(&sim::TenNumbers::example())?.network();
    /// let filled = car.filled(&FuelKind::E10.fuel());
    /// let cruise = Comparison::new(&filled).point("", Command::torque(250.0, 40.0)).healthy?;
    /// // Ethanol brings oxygen of its own: by their atoms petrol takes 14.57 kg of air a kilogram,
    /// // this blend 13.98.
    /// let trim = cruise.readings.get(Reading::FuelTrim).unwrap();
    /// assert!((trim - 4.2).abs() < 0.2, "{trim} %");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn filled(&self, fuel: &Fuel) -> Self {
        Self {
            medium: Medium::new(fuel, self.ambient.water_mole_fraction),
            ..self.clone()
        }
    }

    /// The same car with other orders.
    pub fn with(&self, command: Command) -> Self {
        Self {
            command,
            ..self.clone()
        }
    }
}

impl<P: Scalar> Network<P> {
    /// The same car with these leaks instead of its own.
    pub fn leaking(&self, leaks: Vec<Leak<P>>) -> Self {
        Self {
            leaks,
            ..self.clone()
        }
    }

    /// Whether there is anything wrong with it.
    pub fn is_healthy(&self) -> bool {
        self.leaks.is_empty() && self.faults.is_empty()
    }

    /// The same car with these faults instead of its own.
    pub fn ailing(&self, faults: Vec<Fault<P>>) -> Self {
        Self {
            vehicle: with_faults(&self.sound, &faults),
            faults,
            ..self.clone()
        }
    }

    /// The same car with these defects and no other.
    pub fn only(&self, defects: impl IntoIterator<Item = Defect<P>>) -> Self {
        let mut car = self.leaking(Vec::new()).ailing(Vec::new());
        for defect in defects {
            car.add(defect);
        }
        car
    }

    /// What is wrong with it, leaks first.
    pub fn defects(&self) -> impl Iterator<Item = Defect<P>> {
        let leaks = self.leaks.iter().copied().map(Defect::Leak);
        leaks.chain(self.faults.iter().copied().map(Defect::Fault))
    }

    /// One more defect.
    pub fn add(&mut self, defect: Defect<P>) {
        match defect {
            Defect::Leak(leak) => self.leaks.push(leak),
            Defect::Fault(fault) => {
                fault.apply(&mut self.vehicle);
                self.faults.push(fault);
            }
        }
    }

    /// The same network in another scalar; `each` sees every parameter's dotted
    /// key (`turbine.throat_area`, `leak.0.round_hole.diameter`,
    /// `fault.0.meter_reads`) and value.
    pub fn map<Q: Scalar>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> Network<Q> {
        let faults: Vec<Fault<Q>> = (self.faults.iter().enumerate())
            .map(|(i, fault)| Fault {
                kind: fault.kind,
                severity: each(&format!("fault.{i}.{}", fault.kind.key()), fault.severity),
            })
            .collect();
        let sound = self.sound.map(each);
        let leaks = self.leaks.iter().enumerate().map(|(i, leak)| Leak {
            place: leak.place,
            shape: leak.shape.map(&mut |key, value| {
                each(&format!("leak.{i}.{}.{key}", leak.shape.name()), value)
            }),
        });
        Network {
            leaks: leaks.collect(),
            vehicle: with_faults(&sound, &faults),
            sound,
            faults,
            medium: self.medium.clone(),
            ambient: self.ambient,
            command: self.command,
            ambient_gas: self.ambient_gas,
            made_for: self.made_for,
        }
    }

    /// Where the compressor bypass valve lets the air go.
    pub fn valve_outlet(&self) -> Node {
        match self.vehicle.recirculation_outlet {
            RecirculationOutlet::InletDuct => Node::Inlet,
            RecirculationOutlet::Atmosphere => Node::Ambient,
        }
    }

    /// Gases, streams and rates at state `x`.
    pub fn evaluate<S: Over<P>>(&self, x: &[S; STATES]) -> Moment<S> {
        let gases = self.gases(x);
        let streams = self.streams(x, &gases);
        let rates = self.rates(x, &gases, &streams, self.command.memory);
        Moment {
            gases,
            streams,
            rates,
        }
    }

    /// Rates of states and ledger at state `x`: [`evaluate`](Self::evaluate)
    /// without moving the rest about, for the solvers.
    pub fn rates_at<S: Over<P>>(&self, x: &[S; STATES]) -> Rates<S> {
        self.rates_keeping(x, self.command.memory)
    }

    /// [`rates_at`](Self::rates_at) with `kept` instead of the memory that the command gives.
    pub fn rates_keeping<S: Over<P>>(&self, x: &[S; STATES], kept: Option<Memory>) -> Rates<S> {
        let gases = self.gases(x);
        let streams = self.streams(x, &gases);
        self.rates(x, &gases, &streams, kept)
    }
}

fn with_faults<P: Scalar>(sound: &Vehicle<P>, faults: &[Fault<P>]) -> Vehicle<P> {
    let mut vehicle = sound.clone();
    for fault in faults {
        fault.apply(&mut vehicle);
    }
    vehicle
}
