//! A car with a hidden fault, for people to find: what can be done at it, what each costs in
//! minutes, what it shows, and afterwards what would have been best at each step.

use super::at_the_car::{EXTRA, PLUG, SECTION_DOUBT, SECTIONS};
use super::catalogue::Suspect;
use super::checks::Check;
use super::effort::{DRIVE, Effort, FITTED, Risk, SECTION};
use super::evidence::{Evidence, Opening, hole};
use super::garage::{Chance, another, evidence};
use super::ladders::Ladders;
use super::next::{NextTest, next_tests};
use super::ranking::{Diagnosis, NoDiagnosis};
use super::vented;
use crate::control::BoostControl;
use crate::network::readings::FORMS;
use crate::network::{Ambient, Defect, Network, Reading};
use crate::say::judging as say;
use crate::solve::Failure;
use crate::study::knowing::doubt::CarDoubt;
use crate::study::running::condition::{Condition, standard};
use crate::study::running::dangers::{Aims, Danger};
use crate::study::running::simulate::Comparison;
use crate::study::workshop::procedures::{OfCar, Procedure, Test};

/// A car with a hidden fault.
///
/// # Examples
/// ```
/// use sim::{Defect, Exercise, Leak, Place};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let leak = Defect::Leak(Leak::hole(Place::ColdPipe, 5e-3));
/// let mut bay = Exercise::new(&car, &[leak], 7)?;
/// let first = bay.actions()[0].key.clone();
/// bay.act(&first);
/// assert!(bay.minutes() > 0.0 && bay.done.len() == 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone)]
pub struct Exercise {
    /// The healthy car of its make, which trainees know.
    car: Network<f64>,
    /// The car in the bay: drawn from its make, with the fault.
    hidden: Network<f64>,
    /// What is wrong, as suspects with their sizes, SI.
    pub truth: Vec<(Suspect, f64)>,
    /// How it can be driven.
    pub conditions: Vec<Condition>,
    /// What was found so far; the codes were read when the car came in.
    pub found: Evidence,
    /// What was done, in order.
    pub done: Vec<Done>,
    seed: u64,
}

/// Something that can be done at the car.
#[derive(Clone, Debug, PartialEq)]
pub struct Action {
    /// Its key, that of [`NextTest::test`].
    pub key: String,
    /// What to do.
    pub what: String,
    /// Minutes of work.
    pub minutes: f64,
    /// The danger in it.
    pub risk: Risk,
    /// How it is done at this car.
    pub procedure: Procedure,
}

/// Something that was done.
#[derive(Clone, Debug)]
pub struct Done {
    /// What.
    pub action: Action,
    /// What was read: label, value, unit, decimals.
    pub readings: Vec<(&'static str, f64, &'static str, usize)>,
    /// What was found, in words.
    pub words: String,
    /// What was known before it.
    before: Evidence,
}

/// Probability from which a fault counts as open (own choice).
pub const OPEN: f64 = 0.005;

/// What would have been best before a step.
#[derive(Clone, Debug)]
pub struct Advice {
    /// Probability of what is really wrong, those that cannot be told from it included.
    pub truth: f64,
    /// The most probable fault, and its probability.
    pub first: (String, f64),
    /// What is still open: faults by name with their probabilities, from [`OPEN`] up.
    pub open: Vec<(String, f64)>,
    /// The test that told most per minute.
    pub best: Option<NextTest>,
    /// What was done told so much, bits; none where it was not worth a line.
    pub chosen: Option<NextTest>,
}

impl Exercise {
    /// A car of the make of `car` with these defects; `seed` draws how it differs
    /// from its make, and every reading's scatter: the same whatever was done before it.
    ///
    /// # Errors
    /// The healthy car does not run at idle, light cruise or full load.
    pub fn new(car: &Network<f64>, defects: &[Defect], seed: u64) -> Result<Self, Failure> {
        let mut chance = Chance::new(seed);
        let doubt = CarDoubt::usual(car, 1.0);
        let drawn = another(car, &doubt, &mut chance);
        let conditions = standard(car);
        let truth = truth(car, defects, &conditions)?;
        let hidden = drawn.only(defects.iter().copied());
        let nothing: [&[Reading]; 3] = [&[]; 3];
        let came = evidence(&hidden, &[], &conditions, &nothing, &mut chance);
        Ok(Self {
            car: car.clone(),
            hidden,
            truth,
            conditions,
            found: Evidence {
                codes: came.codes,
                not_running: came.not_running,
                ..Evidence::default()
            },
            done: Vec::new(),
            seed,
        })
    }

    /// The air around the car, and how its boost is commanded.
    pub fn around(&self) -> (Ambient, BoostControl) {
        (self.car.ambient, self.car.vehicle.boost.control)
    }

    /// Everything that can be wrong with it.
    pub fn suspects(&self) -> Vec<Suspect> {
        super::catalogue::suspects(&self.car)
    }

    /// Minutes spent.
    pub fn minutes(&self) -> f64 {
        self.done.iter().map(|done| done.action.minutes).sum()
    }

    /// Everything that can still be done, by its kind.
    pub fn actions(&self) -> Vec<Action> {
        let drives = self.drives().map(|(action, ..)| action);
        let metering = self.car.vehicle.metering;
        let checks = Check::WORDS.iter().map(|(_, check, _)| *check);
        let checks = checks
            .filter(|check| check.tells(metering))
            .map(|check| check_action(check, &self.of_car()));
        let sections = SECTIONS.iter().map(|(test, what, _)| Action {
            key: test.word().into(),
            what: (*what).into(),
            minutes: SECTION.minutes,
            risk: SECTION.risk,
            procedure: test.procedure(&self.of_car()),
        });
        let all = drives.chain(checks).chain(sections);
        all.filter(|action| !self.done.iter().any(|done| done.action.key == action.key))
            .collect()
    }

    /// Dangers that were read so far, and those that the stored codes tell of.
    pub fn dangers(&self) -> Vec<Danger> {
        let aims = Aims::of_model(&self.car.vehicle, self.car.ambient.pressure);
        let conditions = self.conditions.iter().enumerate();
        let found = conditions.flat_map(|(c, at)| aims.dangers(&at.driven(c, &self.found)));
        let set = |code| self.found.codes.contains(&(code, true));
        Danger::with_codes(found.collect(), set)
    }

    /// Whether a danger that is known forbids this: full load with any, a drive where none may be driven.
    pub fn is_held(&self, action: &Action) -> bool {
        let dangers = self.dangers();
        let forbids = |risk| match risk {
            Risk::FullLoad => !dangers.is_empty(),
            Risk::Driven => dangers.iter().any(|danger| danger.hazard.forbids_driving()),
            _ => false,
        };
        forbids(action.risk)
    }

    fn of_car(&self) -> OfCar {
        OfCar::new(&self.car.vehicle)
    }

    /// Drives, with the condition and what is read there.
    fn drives(&self) -> impl Iterator<Item = (Action, usize, Vec<Reading>)> + '_ {
        self.conditions
            .iter()
            .enumerate()
            .flat_map(|(c, condition)| {
                let word = condition.name.replace(' ', "_");
                let risk = match condition.read(false) {
                    Test::ReadLoad => Risk::FullLoad,
                    Test::ReadCruise => Risk::Driven,
                    _ => Risk::Idling,
                };
                let plug = Action {
                    key: format!("readings_{word}"),
                    what: say::plug_readings(&condition.name),
                    minutes: DRIVE,
                    risk,
                    procedure: condition.read(false).procedure(&self.of_car()),
                };
                let extra = EXTRA.iter().map({
                    let name = condition.name.clone();
                    let procedure = condition.read(false).with_gauge(&self.of_car());
                    move |(reading, what)| {
                        let action = Action {
                            key: format!("{}_{word}", FORMS[*reading as usize].key),
                            what: say::reading_at(what, &name),
                            minutes: FITTED,
                            risk,
                            procedure: procedure.clone(),
                        };
                        (action, c, vec![*reading])
                    }
                });
                std::iter::once((plug, c, PLUG.to_vec())).chain(extra)
            })
    }

    /// Does it. None if there is no such action left, or a danger forbids it.
    pub fn act(&mut self, key: &str) -> Option<&Done> {
        let action = self
            .actions()
            .into_iter()
            .find(|action| action.key == key && !self.is_held(action))?;
        let before = self.found.clone();
        let drive = self.drives().find(|(drive, ..)| drive.key == key);
        let check = Check::WORDS.iter().find(|(word, ..)| *word == key);
        let mut chance = Chance::new(self.seed ^ of_text(key));
        let (readings, words) = match (drive, check) {
            (Some((_, condition, readings)), _) => self.drive(condition, &readings, &mut chance),
            (None, Some((_, check, _))) => (Vec::new(), self.check(*check, &mut chance)),
            (None, None) => (Vec::new(), self.section(key, &mut chance)?),
        };
        self.done.push(Done {
            action,
            readings,
            words,
            before,
        });
        self.done.last()
    }

    fn drive(
        &mut self,
        condition: usize,
        readings: &[Reading],
        chance: &mut Chance,
    ) -> (Vec<(&'static str, f64, &'static str, usize)>, String) {
        let mut plug: Vec<&[Reading]> = vec![&[]; self.conditions.len()];
        plug[condition] = readings;
        let seen = evidence(&self.hidden, &[], &self.conditions, &plug, chance);
        if seen.not_running.contains(&condition) {
            return (Vec::new(), say::not_running_there().into());
        }
        let shown = seen.reads.iter().map(|read| {
            let form = &FORMS[read.reading as usize];
            (form.label, read.value, form.unit, form.decimals)
        });
        let shown = shown.collect();
        self.found.reads.extend(seen.reads);
        (shown, String::new())
    }

    fn check(&mut self, check: Check, chance: &mut Chance) -> String {
        let odds = check.odds(&self.truth);
        let mut left = chance.even();
        let outcome = odds.iter().position(|odds| {
            left -= odds;
            left < 0.0
        });
        let outcome = outcome.unwrap_or(0);
        self.found.checks.push((check, outcome, 1.0));
        let found = match outcome {
            0 => say::nothing_found().into(),
            seen => say::points_to(Check::in_words(&check.outcomes()[seen])),
        };
        let told = (check == Check::BlankBreather).then(|| vented::told(&self.car));
        match told.flatten() {
            Some(told) => say::found_where(found, told),
            None => found,
        }
    }

    fn section(&mut self, key: &str, chance: &mut Chance) -> Option<String> {
        let (_, _, places) = SECTIONS.iter().find(|(test, ..)| test.word() == key)?;
        let hole = hole(&self.truth, places);
        let (share, least) = SECTION_DOUBT;
        let deviation = least.hypot(share * hole);
        let diameter = (hole + deviation * chance.normal()).max(0.0);
        self.found.openings.push(Opening {
            places: places.to_vec(),
            diameter,
            deviation: least.hypot(share * diameter),
        });
        Some(match diameter > 2.0 * least {
            true => say::leaks_as_hole(diameter * 1e3),
            false => say::tight().into(),
        })
    }

    /// What would have been best before each step, and before any further one.
    ///
    /// # Errors
    /// The healthy car does not run (then there was no exercise).
    pub fn debrief(&self) -> Result<Vec<Advice>, NoDiagnosis> {
        let doubt = CarDoubt::usual(&self.car, 1.0);
        let ladders = Ladders::new(&self.car, self.conditions.clone(), doubt);
        let ladders = ladders.map_err(|(at, why)| NoDiagnosis::NotRunning(at, why))?;
        let ends = std::iter::once(&self.found);
        let stages = self.done.iter().map(|done| &done.before).chain(ends);
        let keys = self.done.iter().map(|done| Some(done.action.key.as_str()));
        let keys = keys.chain(std::iter::once(None));
        stages
            .zip(keys)
            .map(|(known, key)| self.advice(&ladders, known, key))
            .collect()
    }

    fn advice(
        &self,
        ladders: &Ladders,
        known: &Evidence,
        key: Option<&str>,
    ) -> Result<Advice, NoDiagnosis> {
        let diagnosis = Diagnosis::new(ladders, known, false)?;
        let tests = next_tests(ladders, known, &diagnosis);
        let is_truth = |faults: &[usize]| {
            let mut named = faults.iter().map(|i| &ladders.suspects[*i]);
            match self.truth.is_empty() {
                true => faults.is_empty(),
                false => named.any(|named| self.truth.iter().any(|(t, _)| t.curve == named.curve)),
            }
        };
        let truth = diagnosis.hypotheses.iter();
        let truth = truth.filter(|h| is_truth(&h.posterior.faults));
        let open = diagnosis.hypotheses.iter();
        let open = open.filter(|h| h.probability >= OPEN);
        let open = open.map(|h| (h.name(ladders), h.probability)).collect();
        let first = diagnosis.hypotheses.first();
        let first = first.map(|h| (h.name(ladders), h.probability));
        Ok(Advice {
            truth: truth.map(|h| h.probability).sum(),
            first: first.unwrap_or_default(),
            open,
            chosen: key.and_then(|key| tests.iter().find(|test| test.test == key).cloned()),
            best: tests.into_iter().next(),
        })
    }
}

/// A number of a text (FNV-1a, from memory).
fn of_text(text: &str) -> u64 {
    let start = 0xcbf2_9ce4_8422_2325_u64;
    text.bytes().fold(start, |all, byte| {
        (all ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

fn check_action(check: Check, of_car: &OfCar) -> Action {
    Action {
        key: check.word().into(),
        what: check.meaning().into(),
        minutes: Effort::of(check).minutes,
        risk: Effort::of(check).risk,
        procedure: check.test().procedure(of_car),
    }
}

/// The suspects that these defects are; a leak of a shape that is none of theirs as
/// the sharp-edged hole that passes as much where it passes most.
fn truth(
    car: &Network<f64>,
    defects: &[Defect],
    conditions: &[Condition],
) -> Result<Vec<(Suspect, f64)>, Failure> {
    let all = super::catalogue::suspects(car);
    let places = || defects.iter().filter(|defect| defect.place().is_some());
    let leaking = Comparison::new(&car.only(places().copied()));
    let mut holes = vec![0.0_f64; places().count()];
    for condition in conditions {
        let point = leaking.point(&condition.name, condition.command);
        point.healthy?;
        let side = point.faulty.and_then(Result::ok);
        for (hole, leak) in holes
            .iter_mut()
            .zip(side.iter().flat_map(|side| &side.leaks))
        {
            *hole = hole.max(leak.equivalent_hole.unwrap_or(0.0) * 1e-3);
        }
    }
    let leaks = places().zip(holes).filter_map(|(leak, hole)| {
        let known = all.iter().find_map(|s| Some((*s, s.like(leak)?)));
        let there = || all.iter().find(|s| s.place() == leak.place());
        known.or_else(|| Some((*there()?, hole)))
    });
    let faults = defects.iter().filter_map(|fault| {
        let (kind, size) = (fault.kind()?, fault.size());
        let of = all.iter().filter(|s| s.kind() == Some(kind));
        // The direction in which this size lies.
        let mut of = of.filter(|s| (s.size(1.0) > s.size(0.0)) == (size > s.size(0.0)));
        Some((*of.next()?, size))
    });
    Ok(leaks.chain(faults).collect())
}
