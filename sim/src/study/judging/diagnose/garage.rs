//! Cars with hidden faults, to judge the diagnosis by: each drawn away from the vehicle
//! file within the stated doubts, one of them at most with a fault, readings scattered as
//! the instruments are.

use super::catalogue::Suspect;
use super::evidence::{Evidence, Read, Shown};
use super::grown::{Growth, Onset};
use super::ladders::Ladders;
use super::likelihood::Normal;
use crate::control::{Code, Command, ThrottleMode};
use crate::network::{Network, Reading};
use crate::solve::steady::MOST_STEPS;
use crate::study::knowing::doubt::{CarDoubt, Uncertain, instrument};
use crate::study::running::condition::Condition;
use crate::study::running::simulate::{Comparison, running};
use std::f64::consts::PI;

/// Chance numbers, the same for the same seed (steele2014).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// A stream of its own for each seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0xd134_2543_de82_ef95))
    }

    /// Even between 0 and 1.
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Even between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.even()
    }

    /// A whole number below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        (self.even() * count as f64) as usize
    }

    /// Standard normal (Box and Muller 1958, from memory).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.even()).ln()).sqrt();
        radius * (2.0 * PI * self.even()).cos()
    }
}

/// What is read, one list for each condition of [`Ladders::conditions`].
pub type Plug<'a> = &'a [&'a [Reading]];

/// A healthy car of the same make: every number in doubt drawn.
pub fn another(car: &Network<f64>, doubt: &CarDoubt, chance: &mut Chance) -> Network<f64> {
    let drawn: Vec<f64> = (0..doubt.count()).map(|_| chance.normal()).collect();
    let change = |k: usize| -> f64 {
        let by = (0..drawn.len()).map(|j| doubt.factor[(k, j)] * drawn[j]);
        let by: f64 = by.sum();
        match Uncertain::one_way(&doubt.keys[k]) {
            true => by.abs(),
            false => by,
        }
    };
    car.map(&mut |key, value| {
        let known = doubt.keys.iter().position(|k| k == key);
        value + known.map_or(0.0, change)
    })
}

/// Readings of `car` with `faults` (suspects with their sizes, SI) that have grown slowly, beside
/// leaks and faults of its own that came at once, scattered; conditions without readings are those at which the engine does not run. Codes are
/// those that its watchdogs set at the conditions.
pub fn evidence(
    car: &Network<f64>,
    faults: &[(Suspect, f64)],
    conditions: &[Condition],
    plug: Plug,
    chance: &mut Chance,
) -> Evidence {
    evidence_by(Onset::Grown, car, faults, conditions, plug, chance)
}

/// The same with faults that come about as `onset` says.
pub fn evidence_by(
    onset: Onset,
    car: &Network<f64>,
    faults: &[(Suspect, f64)],
    conditions: &[Condition],
    plug: Plug,
    chance: &mut Chance,
) -> Evidence {
    let sound = Comparison::new(&car.healthy());
    let commands: Vec<Command> = conditions.iter().map(|c| c.command).collect();
    let growth = Growth {
        sound: &sound,
        base: car,
        commands: &commands,
        faults,
        onset,
        patience: MOST_STEPS,
    };
    let healthy = commands.iter().map(|command| {
        let at = sound.network.with(sound.command(*command, false));
        running(&at, None).ok().map(|side| side.state)
    });
    let grown = growth.grown(healthy.collect());
    let mut evidence = Evidence::default();
    let mut set = Vec::new();
    for (c, (condition, readings)) in conditions.iter().zip(plug).enumerate() {
        let mut command = condition.command;
        let by = |held: f64, chance: &mut Chance| held + condition.demand_doubt * chance.normal();
        command.throttle = match command.throttle {
            ThrottleMode::Torque(torque) => ThrottleMode::Torque(by(torque, chance)),
            ThrottleMode::Opening(held) => ThrottleMode::Opening(by(held, chance).max(0.0)),
            ThrottleMode::Pedal => ThrottleMode::Pedal,
        };
        let at = grown.car.network.with(grown.car.command(command, true));
        let side = grown.states[c].and_then(|state| running(&at, Some(&state)).ok());
        let Some(side) = side else {
            evidence.not_running.push(c);
            continue;
        };
        set.extend(side.codes.iter().copied());
        for reading in *readings {
            let Some(value) = side.readings.get(*reading) else {
                continue;
            };
            let deviation = instrument(*reading).deviation(value);
            evidence.reads.push(Read {
                condition: c,
                reading: *reading,
                value: value + deviation * chance.normal(),
                deviation,
            });
        }
    }
    let all = Code::WORDS.iter().map(|(_, code, _)| *code);
    evidence.codes = all.map(|code| (code, set.contains(&code))).collect();
    evidence
}

/// How far a faulty car (suspect by index, `u`) is from a healthy one, in standard deviations,
/// by the readings of `plug`: `√(Δᵀ Σ⁻¹ Δ)`, the distance that no method can better. A test
/// of a known fault of known size with false alarms at a rate `α` finds it with probability
/// `Φ(d − z(1 − α))` at most (Neyman and Pearson's lemma for normal laws, from memory).
pub fn separation(ladders: &Ladders, suspect: usize, u: f64, plug: Plug) -> Option<f64> {
    let reads = plug.iter().enumerate().flat_map(|(condition, readings)| {
        readings.iter().filter_map(move |reading| {
            let value = ladders.sound.spots[condition]
                .as_ref()?
                .readings
                .get(*reading)?;
            let deviation = instrument(*reading).deviation(value);
            Some(Read {
                condition,
                reading: *reading,
                value,
                deviation,
            })
        })
    });
    let reads: Vec<Read> = reads.collect();
    let sound = Shown::at(ladders, &ladders.sound, &reads)?;
    let faulty = Shown::of(ladders, &[(suspect, u)], &reads)?;
    Some(
        Normal::new(&reads, &sound)?
            .distance_to(&reads, &faulty.means)
            .sqrt(),
    )
}

impl Ladders {
    /// The suspect of a place or fault, by [`Suspect::name`].
    pub fn suspect(&self, name: &str) -> Option<usize> {
        self.suspects
            .iter()
            .position(|suspect| suspect.name() == name)
    }
}
