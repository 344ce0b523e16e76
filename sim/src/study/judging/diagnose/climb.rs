//! Predictions: what every reading would be in every faulty car, with exact
//! derivatives over the fault's size and over the numbers of the car that are in doubt.
//!
//! Each suspect is climbed from sound to worst on a ladder of sizes, each rung sought
//! from the one before. Between rungs values follow the cubic through both ends with
//! their exact slopes, limited where they would overshoot; derivatives over the car a straight
//! line.

use super::catalogue::{Suspect, suspects};
use super::focus::{Everything, Focus};
use super::grown::{Growth, Onset};
use super::ladders::{BEHIND, Ladders, Rung, Spot};
use super::records::{self, Record};
use super::told::Torque;
use crate::control::{Command, SpeedMode, ThrottleMode};
use crate::dual::Dual;
use crate::network::Network;
use crate::solve::straight::ahead;
use crate::solve::{Failure, State};
use crate::study::asking::sensitivity::{Columns, Linear, MEMORY, Seeded, Told, memory_slopes};
use crate::study::knowing::doubt::CarDoubt;
use crate::study::knowing::unlike::{Near, Unlike};
use crate::study::running::condition::Condition;
use crate::study::running::simulate::{Comparison, Learnt, Side, running, settled};

/// Directions carried in one evaluation.
const WIDTH: usize = 8;
/// Steps in which the engine must come to rest where Newton does not lead there.
const PATIENCE: usize = 200;
/// Halvings of a rung to which it does not.
const HALVINGS: usize = 1;
/// Steps of a leak's ladder, before it is refined.
const LEAK_STEPS: usize = 8;
/// Steps of another fault's.
const FAULT_STEPS: usize = 6;
/// Times that steps which matter are cut in half.
const REFINED: usize = 2;
/// Rungs behind, in a row, that end the climb.
const STEPS_BEHIND: usize = 1;

/// What stays while suspects change.
struct Climb<'a> {
    car: Comparison,
    conditions: &'a [Condition],
    seeded: Seeded<WIDTH>,
    doubts: usize,
    sound_memory: Columns<MEMORY>,
    unlike: Unlike,
}

impl Ladders {
    /// All predictions for a healthy car at some conditions.
    ///
    /// # Errors
    /// The healthy car does not run at one of them: which, and why.
    pub fn new(
        car: &Network<f64>,
        conditions: Vec<Condition>,
        doubt: CarDoubt,
    ) -> Result<Self, (String, Failure)> {
        Self::near(car, conditions, doubt, &Everything)
    }

    /// The same where the focus wants it.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn near(
        car: &Network<f64>,
        conditions: Vec<Condition>,
        doubt: CarDoubt,
        focus: &impl Focus,
    ) -> Result<Self, (String, Failure)> {
        Self::beside(car, conditions, doubt, &[], focus, &mut |_, _| {})
    }

    /// The same beside records of healthy cars; `tried` is told how many faults have been tried, and of
    /// how many.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn beside(
        car: &Network<f64>,
        conditions: Vec<Condition>,
        doubt: CarDoubt,
        records: &[Record],
        focus: &impl Focus,
        tried: &mut dyn FnMut(usize, usize),
    ) -> Result<Self, (String, Failure)> {
        let climb = Climb::new(car, &conditions, &doubt);
        let commands: Vec<Command> = conditions.iter().map(|c| c.command).collect();
        let mut ladders = Self {
            suspects: suspects(car),
            sound: climb.sound()?,
            curves: Vec::new(),
            car: climb.car.clone(),
            twin: None,
            matched: None,
            near: Near::new(&commands, car.vehicle.cylinders.displacement),
            links: doubt.links(),
            doubt,
            conditions: conditions.clone(),
        };
        if let Some((twin, matched)) = records::told(&ladders, records) {
            ladders.twin = matched.used().then_some(twin);
            ladders.matched = Some(matched);
        }
        let sound = focus.distance(&focus.view(&ladders, &ladders.sound));
        let last = ladders.suspects.iter().map(|suspect| suspect.curve).max();
        let last = last.unwrap_or(0);
        let climbed = (0..=last).map(|c| {
            tried(c, last + 1);
            let first = ladders.suspects.iter().find(|suspect| suspect.curve == c);
            first.map_or_else(Vec::new, |first| {
                climb.ladder(&ladders, first, (focus, sound))
            })
        });
        let curves = climbed.collect();
        ladders.curves = curves;
        Ok(ladders)
    }

    /// The healthy car alone at some conditions.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn healthy(
        car: &Network<f64>,
        conditions: &[Condition],
        doubt: &CarDoubt,
    ) -> Result<Rung, (String, Failure)> {
        Climb::new(car, conditions, doubt).sound()
    }

    /// The car at every condition with these faults (suspects and their `u`), grown from
    /// nothing and solved; none where the engine does not run.
    pub fn solved(&self, faults: &[(Suspect, f64)]) -> Vec<Option<Side>> {
        let commands = self.commands(faults);
        let faults: Vec<_> = (faults.iter())
            .map(|(suspect, u)| (*suspect, suspect.size(*u)))
            .collect();
        let growth = Growth {
            sound: &self.car,
            base: &self.car.network,
            commands: &commands,
            faults: &faults,
            onset: Onset::Grown,
            patience: PATIENCE,
        };
        let sound = self.sound.spots.iter();
        let sound = sound.map(|spot| spot.as_ref().map(|spot| spot.state));
        let grown = growth.grown(sound.collect());
        let points = commands.iter().zip(&grown.states);
        let points = points.map(|(command, state)| {
            let at = grown.car.command(*command, true);
            running(&grown.car.network.with(at), Some(state.as_ref()?)).ok()
        });
        points.collect()
    }
}

impl Comparison {
    /// Where to begin with the healthy car at a command: from rest an engine may take long to settle,
    /// so where its computer learnt.
    pub(super) fn beginning(&self, command: &Command) -> Option<State> {
        let learnt = self.learnt(false);
        match command.speed {
            SpeedMode::Free => learnt.idle.or(learnt.cruise),
            _ => learnt.cruise.or(learnt.idle),
        }
    }
}

impl<'a> Climb<'a> {
    fn new(car: &Network<f64>, conditions: &'a [Condition], doubt: &CarDoubt) -> Self {
        let car = Comparison::new(&car.healthy());
        let mut along: Vec<(&str, f64)> = doubt.keys.iter().map(|k| (k.as_str(), 1.0)).collect();
        // Two directions along which the healthy car does not change: demand and size.
        along.extend([("", 0.0), ("", 0.0)]);
        let mut seeded = Seeded::along(&car.network, &along);
        let fresh = Columns::zeros(along.len());
        let sound_memory = memory_slopes(&car.network, &mut seeded, car.learnt(false), &fresh);
        Self {
            car,
            conditions,
            seeded,
            doubts: doubt.count(),
            sound_memory,
            unlike: doubt.unlike,
        }
    }

    fn sound(&self) -> Result<Rung, (String, Failure)> {
        let mut seeded = self.seeded.clone();
        let spots = self.conditions.iter().map(|condition| {
            let command = self.car.command(condition.command, false);
            let near = self.car.beginning(&command);
            let network = self.car.network.with(command);
            let spot = running(&network, near.as_ref()).and_then(|side| {
                let (car, memory) = (&self.car, &self.sound_memory);
                let asked = Torque::of(condition);
                self.spot(car, (&mut seeded, memory), condition, &side.state, asked)
            });
            spot.map(Some).map_err(|why| (condition.name.clone(), why))
        });
        Ok(Rung {
            u: 0.0,
            spots: spots.collect::<Result<_, _>>()?,
            learnt: *self.car.learnt(false),
            altogether: 0.0,
        })
    }

    /// All rungs of a suspect; `sound` is how far the healthy car is from what was read.
    fn ladder<F: Focus>(
        &self,
        ladders: &Ladders,
        suspect: &Suspect,
        (focus, sound): (&F, f64),
    ) -> Vec<Rung> {
        let leak = suspect.place().is_some();
        let steps = if leak { LEAK_STEPS } else { FAULT_STEPS };
        // The least leak is not reached from none by small steps, nor need it be.
        let mut ladder = vec![self.rung(suspect, 0.0, &ladders.sound)];
        let mut views: Vec<F::View> = Vec::new();
        let mut best = sound;
        let (mut last, mut behind) = (best, 0);
        for i in 1..=steps {
            self.climb(suspect, i as f64 / steps as f64, &mut ladder, HALVINGS);
            let new = ladder[views.len()..].iter();
            views.extend(new.map(|rung| focus.view(ladders, rung)));
            let here = (views.last()).map_or(f64::INFINITY, |view| focus.distance(view));
            best = best.min(here);
            let further = here >= last && here > best + BEHIND;
            behind = if further { behind + 1 } else { 0 };
            last = here;
            if behind == STEPS_BEHIND {
                break;
            }
        }
        let seen: Vec<(Rung, F::View)> = ladder.into_iter().zip(views).collect();
        let refined = (0..REFINED).fold(seen, |ladder, _| {
            self.refined(ladders, suspect, ladder, focus)
        });
        refined.into_iter().map(|(rung, _)| rung).collect()
    }

    /// Adds the rung at `u`; by way of one half-way up where the engine is lost else.
    fn climb(&self, suspect: &Suspect, u: f64, ladder: &mut Vec<Rung>, halvings: usize) {
        let Some(near) = ladder.last() else { return };
        let rung = self.rung(suspect, u, near);
        if halvings > 0 && rung.lost(near) {
            let half = 0.5 * (near.u + u);
            self.climb(suspect, half, ladder, halvings - 1);
            self.climb(suspect, u, ladder, halvings - 1);
        } else {
            ladder.push(rung);
        }
    }

    /// The ladder with a rung more in each step that matters and is not small.
    fn refined<F: Focus>(
        &self,
        ladders: &Ladders,
        suspect: &Suspect,
        ladder: Vec<(Rung, F::View)>,
        focus: &F,
    ) -> Vec<(Rung, F::View)> {
        let nearest = ladder.iter().map(|(_, view)| focus.distance(view));
        let nearest = nearest.fold(f64::INFINITY, f64::min);
        let mut finer: Vec<(Rung, F::View)> = Vec::with_capacity(2 * ladder.len());
        for (rung, view) in ladder {
            if let Some((below, seen)) = finer.last()
                && focus.matters([seen, &view], rung.u - below.u, nearest)
            {
                let between = self.rung(suspect, 0.5 * (below.u + rung.u), below);
                let seen = focus.view(ladders, &between);
                finer.push((between, seen));
            }
            finer.push((rung, view));
        }
        finer
    }

    fn rung(&self, suspect: &Suspect, u: f64, near: &Rung) -> Rung {
        let (size, growth) = (suspect.size(u), suspect.growth(u));
        let mut network = self.car.network.clone();
        suspect.add(&mut network, size);
        let guesses: Vec<Option<State>> = (near.spots.iter())
            .map(|spot| {
                let spot = spot.as_ref()?;
                Some(ahead(&network, &spot.state, &spot.by_u, u - near.u))
            })
            .collect();
        let car = self
            .car
            .instead_near(&network, &self.learning(near, &guesses), PATIENCE);
        let mut seeded = (self.seeded).altered(self.doubts + 1, |car, slope| {
            let slope = slope.map(|along| along * growth);
            suspect.add(car, Dual { value: size, slope });
        });
        let memory = match network.command.learning {
            true => memory_slopes(&network, &mut seeded, car.learnt(true), &self.sound_memory),
            false => self.sound_memory.clone(),
        };
        let spots = self.conditions.iter().zip(guesses.iter().zip(&near.spots));
        let spots = spots.map(|(condition, (guess, below))| {
            // The computer has just idled.
            let idle = car.learnt(true).idle;
            let idle = idle.filter(|_| condition.command == Command::IDLE);
            let guess = idle.as_ref().or(guess.as_ref())?;
            let asked = below.as_ref()?.told.further(u - near.u);
            let mut at = |guess: &State, asked| {
                self.spot(&car, (&mut seeded, &memory), condition, guess, asked)
            };
            let there = at(guess, asked).ok()?;
            let again = there
                .told
                .is_off()
                .then(|| at(&there.state, there.told.further(0.0)));
            let closer = |again: &Spot| again.told.off < there.told.off;
            Some(again.and_then(Result::ok).filter(closer).unwrap_or(there))
        });
        Rung {
            u,
            spots: spots.collect(),
            learnt: *car.learnt(true),
            altogether: self.unlike.altogether(suspect.is_reckoned()),
        }
    }

    /// Where to seek what the computer learns: at the idle of a condition, if there is one,
    /// for its way is known.
    fn learning(&self, near: &Rung, guesses: &[Option<State>]) -> Learnt {
        let idle = self.conditions.iter().zip(guesses);
        let mut idle = idle.filter(|(condition, _)| condition.command == Command::IDLE);
        let idle = idle.find_map(|(_, guess)| *guess);
        Learnt {
            idle: near.learnt.idle.map(|known| idle.unwrap_or(known)),
            ..near.learnt
        }
    }

    fn spot(
        &self,
        car: &Comparison,
        (seeded, memory): (&mut Seeded<WIDTH>, &Columns<MEMORY>),
        condition: &Condition,
        guess: &State,
        asked: Torque,
    ) -> Result<Spot, Failure> {
        let network = (car.network).with(car.command(asked.command(condition), true));
        let state = settled(&network, guess, PATIENCE)?.0.state;
        let at = Linear::at(&network, &state).ok_or_else(Failure::singular)?;
        let mut told = Told {
            memory: memory.clone(),
            torque: None,
        };
        if condition.command.throttle != ThrottleMode::Pedal {
            let mut torque = vec![0.0; seeded.count()];
            torque[self.doubts] = condition.demand_doubt;
            told.torque = Some(torque);
        }
        let mut slopes = at.slopes(seeded, &told);
        let columns = (self.doubts, self.doubts + 1);
        let told = asked.held(condition, &at.readings, &mut slopes, columns);
        let by_u = slopes.states.column(columns.1).into_owned();
        // Not asked for, and most of the room.
        slopes.states = Columns::zeros(0);
        Ok(Spot {
            by_u,
            told,
            slopes,
            readings: at.readings,
            levels: at.levels,
            state,
        })
    }
}
