//! How a car is driven while it is read.

use crate::control::{Command, ThrottleMode};
use crate::network::{Network, Reading};

/// How the car was driven while readings were taken.
///
/// # Examples
/// ```
/// use sim::{Command, Condition};
/// // A driver's guess of a torque is worth some 8 %; an idle is an idle.
/// assert!(Condition::new("cruise", Command::torque(250.0, 40.0), None).demand_doubt > 3.0);
/// assert_eq!(Condition::new("idle", Command::IDLE, None).demand_doubt, 0.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// What it is called.
    pub name: String,
    /// What was asked of the car.
    pub command: Command,
    /// Standard deviation of a torque held, N m, or of a throttle's opening.
    pub demand_doubt: f64,
    /// The reading that its torque was read off, as a healthy car draws it: a faulty one is asked for the
    /// torque at which it shows the same.
    pub told_by: Option<Reading>,
    /// Whether speed and load moved, so that the turbo need not have been at rest.
    pub moving: bool,
}

impl Condition {
    /// A condition; `doubt` is the standard deviation of its torque, N m, where one is known.
    pub fn new(name: &str, command: Command, doubt: Option<f64>) -> Self {
        let usual = match command.throttle {
            ThrottleMode::Torque(torque) => TORQUE_DOUBT.1.hypot(TORQUE_DOUBT.0 * torque),
            ThrottleMode::Opening(opening) => OPENING_DOUBT.1.hypot(OPENING_DOUBT.0 * opening),
            ThrottleMode::Pedal => 0.0,
        };
        Self {
            name: name.into(),
            command,
            demand_doubt: doubt.unwrap_or(usual),
            told_by: None,
            moving: false,
        }
    }
}

/// Standard deviation of a torque that was not measured: share, N m.
const TORQUE_DOUBT: (f64, f64) = (0.08, 2.0);
/// Standard deviation of a throttle's opening on the overrun: share, and opening (own choice: which
/// is not known, and found from the air read).
const OPENING_DOUBT: (f64, f64) = (0.2, 0.005);
/// Standard conditions that are predicted even where nothing was read, for the next test.
const STANDARD_FULL_LOAD: f64 = 366.5;

/// Idle, light cruise and full load, as they are driven where nothing else is said.
pub fn standard(car: &Network<f64>) -> Vec<Condition> {
    [
        ("idle", Command::IDLE),
        ("light cruise", super::simulate::cruise(car)),
        ("full load", Command::full_load(STANDARD_FULL_LOAD)),
    ]
    .into_iter()
    .map(|(name, command)| Condition::new(name, command, None))
    .collect()
}
