//! What to drive next while a log is taken: what each manoeuvre would tell (`gain`) of all its
//! conditions together, given what was read; none where a danger stands or is foreseen ([`Outlook`]).

use super::effort::Risk;
use super::evidence::{Evidence, Read};
use super::foreseen::{LIKELY, Outlook};
use super::gain::{Law, drawn};
use super::ladders::Ladders;
use super::likelihood::Normal;
use super::next::{Candidate, candidates, entropy, foretold};
use super::ranking::Diagnosis;
use crate::control::{Command, SpeedMode, ThrottleMode};
use crate::network::readings::FORMS;
use crate::network::{Network, Reading};
use crate::say::manoeuvres as say;
use crate::study::knowing::doubt::instrument;
use crate::study::running::condition::Condition;
use crate::study::running::simulate::{Comparison, cruise, running};
use crate::study::workshop::procedures::{OfCar, Procedure, Test};
use crate::words;
use std::f64::consts::PI;

words! {
    /// Something to drive while a log is taken.
    pub enum Manoeuvre {
        /// warm idle, nothing switched on
        Idle = "warm_idle",
        /// idle with lights, blower and heaters on
        LoadedIdle = "loaded_idle",
        /// steady light cruise
        Cruise = "steady_cruise",
        /// steady hill or roller load
        Hill = "steady_load",
        /// gentle pull, pedal a third down
        Gentle = "gentle_pull",
        /// one full pull
        Full = "full_pull",
        /// overrun, pedal released in gear
        Overrun = "overrun",
    }
}

/// Torque at the crankshaft, N m, that lights, blower and heaters ask for: 1 kW of current at an
/// idle of 80 rad/s (own choice).
const CURRENT: f64 = 12.0;
/// Mean pressure of the steady load, Pa (own choice: boost begins, nothing is enriched).
const HILL: f64 = 9e5;
/// Pedal of a gentle pull.
const GENTLE: f64 = 0.35;
/// Speeds, rpm, of the steady load, of pulls, and of the overrun (own choice: below any limiter).
const STEADY: f64 = 2500.0;
const PULLS: [f64; 3] = [2500.0, 3500.0, 4500.0];
const OVERRUN: [f64; 2] = [3500.0, 3000.0];
/// Opening of a shut throttle on the overrun.
const SHUT: f64 = 0.02;
/// How far readings that move are from those of a steady point: share (as of logs' own, `taken`).
const MOVES: f64 = 0.02;
/// Conditions alike in speed and load by these shares are the same again.
const SAME: f64 = 0.15;
/// Least gain, bits, worth a line.
const WORTH: f64 = 0.01;

/// A manoeuvre worth driving.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// Which.
    pub manoeuvre: Manoeuvre,
    /// What to hold, for how long.
    pub hold: String,
    /// What to record.
    pub record: String,
    /// When to stop, beside what its procedure says.
    pub stop: Vec<String>,
    /// Expected gain, bits.
    pub gain: f64,
    /// The same as a share of all that is open.
    pub settles: f64,
    /// Minutes, with getting there.
    pub minutes: f64,
    /// The danger in it.
    pub risk: Risk,
    /// What the likeliest would read.
    pub meaning: Vec<String>,
    /// Highest boost that the model foresees in it with anything that is still likely, Pa gauge.
    pub boost: f64,
    /// Cautions and limits.
    pub procedure: Procedure,
}

/// A manoeuvre that nobody should drive now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withheld {
    /// Which.
    pub manoeuvre: Manoeuvre,
    /// Why.
    pub why: String,
}

impl Planned {
    /// What it is ordered by: bits per minute, its minutes weighed by the danger in it.
    pub fn worth(&self) -> f64 {
        self.gain / (self.minutes * self.risk.weight())
    }
}

impl Manoeuvre {
    /// What it is, in words.
    pub fn meaning(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }

    /// How the car is driven in it.
    fn commands(self, car: &Network<f64>) -> Vec<Command> {
        let turns = |rpm: f64| rpm * PI / 30.0;
        let torque = HILL * car.vehicle.cylinders.displacement / (4.0 * PI);
        match self {
            Self::Idle => vec![Command::IDLE],
            Self::LoadedIdle => vec![Command::torque(car.vehicle.drive.idle_speed, CURRENT)],
            Self::Cruise => vec![cruise(car)],
            Self::Hill => vec![Command::torque(turns(STEADY), torque)],
            Self::Gentle => (PULLS[..2].iter())
                .map(|rpm| Command::pedal(turns(*rpm), GENTLE))
                .collect(),
            Self::Full => PULLS.map(|rpm| Command::full_load(turns(rpm))).into(),
            Self::Overrun => OVERRUN.map(|rpm| Command::overrun(turns(rpm), SHUT)).into(),
        }
    }

    /// Minutes, with getting there and cooling down (own choice).
    fn minutes(self) -> f64 {
        match self {
            Self::Idle | Self::LoadedIdle => 3.0,
            Self::Cruise | Self::Hill | Self::Gentle | Self::Overrun => 6.0,
            Self::Full => 8.0,
        }
    }

    /// Its danger.
    pub fn risk(self) -> Risk {
        match self {
            Self::Idle | Self::LoadedIdle => Risk::Idling,
            Self::Full => Risk::FullLoad,
            _ => Risk::Driven,
        }
    }

    /// What a log of it is read for: what moves has no settled short-term trim, temperature or duty.
    fn reads(self) -> &'static [Reading] {
        use Reading as R;
        match self {
            Self::Overrun => &[R::MeteredAir, R::Manifold],
            Self::Gentle | Self::Full => &[
                R::MeteredAir,
                R::LongTrim,
                R::LambdaSensor,
                R::Manifold,
                R::BoostSensor,
            ],
            _ => &super::at_the_car::PLUG,
        }
    }

    fn labels(self) -> String {
        let labels = self.reads().iter().map(|r| FORMS[*r as usize].label);
        labels.collect::<Vec<_>>().join(", ")
    }

    fn moves(self) -> bool {
        matches!(self, Self::Gentle | Self::Full | Self::Overrun)
    }

    fn test(self) -> Test {
        match self.risk() {
            Risk::Idling => Test::ReadIdle,
            Risk::FullLoad => Test::ReadLoad,
            _ => Test::ReadCruise,
        }
    }

    fn hold(self) -> &'static str {
        match self {
            Self::Idle => say::hold_idle(),
            Self::LoadedIdle => say::hold_loaded_idle(),
            Self::Cruise => say::hold_cruise(),
            Self::Hill => say::hold_hill(),
            Self::Gentle => say::hold_gentle(),
            Self::Full => say::hold_full(),
            Self::Overrun => say::hold_overrun(),
        }
    }

    fn name(self, i: usize) -> String {
        format!("{} {}", Self::WORDS[self as usize].0, i + 1)
    }
}

/// The conditions of all manoeuvres that the healthy car can be driven in, to be predicted beside
/// those of a readings file.
pub fn conditions(car: &Network<f64>) -> Vec<Condition> {
    let cars = Comparison::new(&car.healthy());
    let all = Manoeuvre::WORDS
        .iter()
        .map(|(_, one, _)| *one)
        .flat_map(|manoeuvre| {
            let commands = manoeuvre.commands(car).into_iter().enumerate();
            commands.map(move |(i, command)| (manoeuvre.name(i), command))
        });
    let runs = all.filter(|(_, command)| {
        let command = cars.command(*command, false);
        let near = cars.beginning(&command);
        running(&cars.network.with(command), near.as_ref()).is_ok()
    });
    runs.map(|(name, command)| Condition::new(&name, command, None))
        .collect()
}

/// Whether two conditions are the same again, as far as a log is concerned.
fn same(a: &Command, b: &Command) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME * a.abs().max(b.abs());
    let speeds = match (a.speed, b.speed) {
        (SpeedMode::Held(a), SpeedMode::Held(b)) => near(a, b),
        (a, b) => a == b,
    };
    speeds
        && match (a.throttle, b.throttle) {
            (ThrottleMode::Torque(a), ThrottleMode::Torque(b)) => near(a, b),
            (ThrottleMode::Opening(_), ThrottleMode::Opening(_)) => true,
            (ThrottleMode::Pedal, ThrottleMode::Pedal) => (a.pedal - b.pedal).abs() < 0.1,
            _ => false,
        }
}

/// What there is to drive, what tells most per minute and danger first, and what nobody should.
/// `ladders` hold the [`conditions`] of the manoeuvres.
pub fn plan(
    ladders: &Ladders,
    evidence: &Evidence,
    diagnosis: &Diagnosis,
) -> (Vec<Planned>, Vec<Withheld>) {
    let outlook = Outlook::new(ladders, diagnosis);
    let open = candidates(ladders, evidence, diagnosis);
    let car = OfCar::new(&ladders.car.network.vehicle);
    let (mut planned, mut withheld) = (Vec::new(), Vec::new());
    for manoeuvre in Manoeuvre::WORDS.iter().map(|(_, one, _)| *one) {
        let of = ladders.conditions.iter().enumerate();
        let of = of.filter(|(_, c)| (0..PULLS.len()).any(|i| c.name == manoeuvre.name(i)));
        let of: Vec<usize> = of.map(|(c, _)| c).collect();
        let boost = boost(ladders, diagnosis, &of);
        let why = hindered(
            diagnosis,
            &outlook,
            manoeuvre,
            (&of, boost > car.abort_boost()),
        );
        if let Some(why) = why {
            withheld.push(Withheld { manoeuvre, why });
            continue;
        }
        let wanted = wanted(ladders, evidence, manoeuvre, &of);
        let laws: Vec<(usize, f64, Law)> = (open.iter().enumerate())
            .filter_map(|(k, candidate)| {
                let law = joint(
                    ladders,
                    evidence,
                    diagnosis,
                    candidate,
                    (&wanted, manoeuvre),
                )?;
                Some((k, candidate.probability, law))
            })
            .collect();
        let meaning = laws.iter().take(3);
        let meaning = meaning.map(|(k, _, law)| (open[*k].name.as_str(), shown(&wanted, law)));
        let meaning = foretold(meaning.collect());
        let gain = drawn(
            &laws
                .into_iter()
                .map(|(_, p, law)| (p, law))
                .collect::<Vec<_>>(),
        );
        if wanted.is_empty() || gain < WORTH {
            continue;
        }
        let procedure = manoeuvre.test().procedure(&car);
        planned.push(Planned {
            manoeuvre,
            hold: manoeuvre.hold().into(),
            record: say::record_these(manoeuvre.labels()),
            stop: procedure.stop.clone(),
            gain,
            settles: (gain / entropy(&open)).clamp(0.0, 1.0),
            minutes: manoeuvre.minutes(),
            risk: manoeuvre.risk(),
            meaning,
            boost,
            procedure,
        });
    }
    planned.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
    (planned, withheld)
}

/// Why nobody should drive it.
fn hindered(
    diagnosis: &Diagnosis,
    outlook: &Outlook,
    manoeuvre: Manoeuvre,
    (of, beyond): (&[usize], bool),
) -> Option<String> {
    let loads = manoeuvre.risk() != Risk::Idling;
    if loads && !diagnosis.dangers.is_empty() {
        return Some(say::danger_open().into());
    }
    if loads && diagnosis.holds.is_some() {
        return Some(say::not_before_it_is_calm().into());
    }
    if of.is_empty() {
        return Some(say::not_running().into());
    }
    let mut all = outlook.foreseen.iter();
    let foreseen = all.find(|f| of.contains(&f.condition));
    if let Some(foreseen) = foreseen {
        return Some(say::danger_foreseen(foreseen.danger.short()));
    }
    if loads && beyond {
        return Some(say::beyond_boost().into());
    }
    let told = matches!(manoeuvre, Manoeuvre::Overrun | Manoeuvre::LoadedIdle);
    let allowed = told || of.iter().all(|c| outlook.allows(*c));
    (!allowed).then(|| say::danger_elsewhere().into())
}

/// Highest boost that anything still likely shows in these conditions, Pa gauge.
fn boost(ladders: &Ladders, diagnosis: &Diagnosis, of: &[usize]) -> f64 {
    let reads = of.iter().map(|condition| Read {
        condition: *condition,
        reading: Reading::Boost,
        value: 0.0,
        deviation: 0.0,
    });
    let reads: Vec<Read> = reads.collect();
    let likely = diagnosis.hypotheses.iter();
    let likely = likely.filter(|h| h.probability > LIKELY || h.posterior.faults.is_empty());
    let shown = likely.filter_map(|h| h.posterior.shows(ladders, &reads));
    let most = shown.map(|shown| {
        shown
            .means
            .iter()
            .fold(0.0, |most: f64, kpa| most.max(*kpa))
    });
    1e3 * most.fold(0.0, f64::max)
}

/// What is read in it that was not read in the same way before.
fn wanted(ladders: &Ladders, evidence: &Evidence, of: Manoeuvre, at: &[usize]) -> Vec<Read> {
    let command = |c: usize| &ladders.conditions[c].command;
    let taken = |c: usize, reading: Reading| {
        let mut reads = evidence.reads.iter();
        reads.any(|read| read.reading == reading && same(command(read.condition), command(c)))
    };
    let all = at
        .iter()
        .flat_map(|c| of.reads().iter().map(|reading| (*c, *reading)));
    let all = all.filter(|(c, reading)| !taken(*c, *reading));
    // A car may have no such sensor.
    let sound = &ladders.sound.spots;
    let all = all.filter(|(c, reading)| {
        sound[*c]
            .as_ref()
            .is_some_and(|spot| spot.readings.get(*reading).is_some())
    });
    all.map(|(condition, reading)| Read {
        condition,
        reading,
        value: 0.0,
        deviation: 0.0,
    })
    .collect()
}

/// The law of all its readings together, instruments with it.
fn joint(
    ladders: &Ladders,
    evidence: &Evidence,
    diagnosis: &Diagnosis,
    candidate: &Candidate,
    (wanted, manoeuvre): (&[Read], Manoeuvre),
) -> Option<Law> {
    let posterior = &diagnosis.hypotheses[candidate.index].posterior;
    let shown = posterior.shows(ladders, wanted)?;
    let normal = Normal::new(&evidence.reads, &posterior.shown)?;
    let (mean, mut covariance) = normal.given(&posterior.shown, &shown);
    for (i, read) in wanted.iter().enumerate() {
        let moves = if manoeuvre.moves() {
            MOVES * mean[i]
        } else {
            0.0
        };
        let deviation = instrument(read.reading).deviation(mean[i]).hypot(moves);
        covariance[(i, i)] += deviation * deviation;
    }
    Law::new(mean, covariance)
}

/// What one would read: the first condition's.
fn shown(wanted: &[Read], law: &Law) -> Vec<String> {
    let last = wanted.last().map(|read| read.condition);
    let there = wanted.iter().zip(law.mean.iter());
    let there = there
        .filter(|(read, _)| Some(read.condition) == last)
        .take(5);
    there.map(|(read, mean)| read.reading.said(*mean)).collect()
}
