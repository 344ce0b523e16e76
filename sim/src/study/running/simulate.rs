//! Healthy beside faulty at an operating point.

use crate::control::{Command, Memory};
use crate::network::Network;
use crate::solve::steady::{MOST_STEPS, steady, steady_within};
use crate::solve::{Failure, State};
use crate::study::running::history::{History, Ray, Spot, Taught, opened, opened_at};
use crate::study::running::learnt::{lessons, take_lesson};
use crate::study::running::side::standing;

pub use crate::study::running::learnt::Learnt;
pub(in crate::study) use crate::study::running::learnt::{BRISK, CRUISE, brisk, cruise};
pub use crate::study::running::side::{LeakReading, Side, seen, side};
pub(in crate::study) use crate::study::running::side::{running, settled};

/// Healthy and faulty at one point.
#[derive(Clone, Debug)]
pub struct PointResult {
    /// What the point is called.
    pub name: String,
    /// Without leaks and faults.
    pub healthy: Result<Side, Failure>,
    /// With them; none when there are none.
    pub faulty: Option<Result<Side, Failure>>,
}

/// A car, sound and as it is, with what the computer of each has learnt.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Leak, Place, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let leaking = car.leaking(vec![Leak::hole(Place::VacuumLine, 2e-3)]);
/// let idle = Comparison::new(&leaking).point("idle", Command::IDLE);
/// let (healthy, leaking) = (idle.healthy?, idle.faulty.unwrap()?);
/// // Air past the meter: more fuel is added than in the healthy car.
/// let trim = |side: &sim::Side| side.readings.get(Reading::FuelTrim).unwrap();
/// assert!(trim(&healthy).abs() < 1.0 && trim(&leaking) > 3.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Comparison {
    /// The car as it is.
    pub network: Network<f64>,
    history: History,
    healthy: Learnt,
    faulty: Learnt,
    /// Of a car that has grown worse: the way there.
    ray: Option<Ray>,
}

impl Comparison {
    /// Lets both cars idle and cruise, so that their computers have learnt; what is wrong has
    /// grown from nothing meanwhile.
    ///
    /// A car that can do neither keeps what the healthy one has learnt; a network whose
    /// command does not learn has it too (trims fresh, the fault has just happened).
    pub fn new(network: &Network<f64>) -> Self {
        Self::having(network, History::Grown)
    }

    /// The same, with another history of what is wrong.
    pub fn having(network: &Network<f64>, history: History) -> Self {
        let sound = network.healthy();
        let healthy = learn(&sound, Memory::FRESH, None, MOST_STEPS);
        let sound = Self {
            network: sound,
            history,
            healthy,
            faulty: healthy,
            ray: None,
        };
        sound.instead(network)
    }

    /// The same cars with another history.
    pub fn otherwise(&self, history: History) -> Self {
        let sound = Self {
            history,
            ..self.clone()
        };
        sound.instead(&self.network)
    }

    /// A car whose computers, the healthy one's and its own, have learnt before.
    pub fn learnt_before(network: &Network<f64>, healthy: Learnt, faulty: Learnt) -> Self {
        Self {
            network: network.clone(),
            history: History::Grown,
            healthy,
            faulty,
            ray: None,
        }
    }

    /// The same healthy car beside another faulty one.
    pub fn instead(&self, network: &Network<f64>) -> Self {
        let mut ray = (self.history == History::Grown && !network.is_healthy())
            .then(|| Ray::new(network, &self.healthy, []));
        let taught = match (&mut ray, self.history) {
            _ if network.is_healthy() || !network.command.learning => None,
            (Some(ray), _) => Some(ray.taught(network)),
            (None, history) => Some(opened(network, &self.healthy, history)),
        };
        Self {
            network: network.clone(),
            faulty: taught.map_or(self.healthy, |taught: Taught| taught.learnt()),
            ray,
            ..*self
        }
    }

    /// The same healthy car beside another faulty one, whose states are sought from
    /// those of a similar car, `near`; where that did not run, this one is not tried. See
    /// [`steady_within`] for `most_steps`.
    pub fn instead_near(&self, network: &Network<f64>, near: &Learnt, most_steps: usize) -> Self {
        let faulty = if network.is_healthy() || !network.command.learning {
            self.healthy
        } else {
            learn(network, self.healthy.memory, Some(near), most_steps)
        };
        Self {
            network: network.clone(),
            faulty,
            ray: None,
            ..*self
        }
    }

    /// The car as it is at one command, where its history has led it, from the steady state of the
    /// healthy car there, if that has one.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn faulty(&self, command: Command, healthy: Option<State>) -> Result<Side, Failure> {
        let network = self.network.with(self.command(command, true));
        let spot = self.spot(command, healthy);
        spot.state().and_then(|state| standing(&network, &state))
    }

    /// What the computer of the healthy car (`false`) or of the car as it is has learnt.
    pub fn memory(&self, faulty: bool) -> Memory {
        self.learnt(faulty).memory
    }

    /// The same with the states in which it was learnt.
    pub fn learnt(&self, faulty: bool) -> &Learnt {
        if faulty { &self.faulty } else { &self.healthy }
    }

    /// A command with what the computer of either car has learnt.
    pub fn command(&self, command: Command, faulty: bool) -> Command {
        Command {
            memory: Some(self.memory(faulty)),
            learning: self.network.command.learning || !faulty,
            ..command
        }
    }

    /// Healthy and faulty at one command.
    pub fn point(&self, name: &str, command: Command) -> PointResult {
        let sound = (self.network.healthy()).with(self.command(command, false));
        let foot = steady(&sound, &State::from(sound.start()));
        let state = foot.as_ref().ok().map(|found| found.state);
        PointResult {
            name: name.to_string(),
            faulty: (!self.network.is_healthy()).then(|| self.faulty(command, state)),
            healthy: foot.and_then(|found| side(&sound, Some(&found.state))),
        }
    }

    /// The faulty engine at one command, before any code reduces the torque, from the steady
    /// state of the healthy car there, if that has one.
    pub fn spot(&self, command: Command, healthy: Option<State>) -> Spot {
        match self.history {
            History::Grown => {
                let mut ray = match &self.ray {
                    Some(ray) => ray.at([(command, healthy)]),
                    None => Ray::new(&self.network, &self.healthy, [(command, healthy)]),
                };
                ray.spot(&self.network, self.memory(true), 0)
            }
            history => {
                let network = self.network.with(self.command(command, true));
                opened_at(&network, healthy, history)
            }
        }
    }
}

/// What a computer learns at idle and at light cruise, from `known` on; the states
/// there are sought from those of `near`.
fn learn(
    network: &Network<f64>,
    known: Memory,
    near: Option<&Learnt>,
    most_steps: usize,
) -> Learnt {
    let mut memory = known;
    let mut states = [None; 3];
    let near = near.map(|near| [near.idle, near.cruise, near.brisk]);
    for (i, command) in lessons(network).into_iter().enumerate() {
        let Some(command) = command else { continue };
        let at = network.with(Command {
            memory: Some(memory),
            ..command
        });
        // Where a similar car did not run, this one is not tried.
        let rest = State::from(network.start());
        let guess = near.map_or(Some(rest), |near| near[i]);
        let found = guess.and_then(|guess| steady_within(&at, &guess, most_steps).ok());
        if let Some(found) = found {
            take_lesson(&mut memory, i, &found.state);
            states[i] = Some(found.state);
        }
    }
    let [idle, cruise, brisk] = states;
    Learnt {
        memory,
        idle,
        cruise,
        brisk,
    }
}
