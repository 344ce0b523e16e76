//! Why readings differ: reasons with their numbers, and how they are said.

use crate::control::Code;
use crate::say::explaining as say;
use crate::say::sentence;

/// A reading before and now, in its own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// In the healthy car.
    pub was: f64,
    /// In the faulty one.
    pub is: f64,
}

/// A way that air or exhaust takes past the engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// In behind the meter.
    Uncounted,
    /// In past the filter, where no meter counts.
    PastFilter,
    /// Out, after the meter has counted it.
    CountedLost,
    /// Out, where no meter counts.
    TakenLost,
    /// From boost back to the turbo inlet.
    Round,
    /// Into the exhaust.
    IntoExhaust,
    /// Out of the exhaust.
    OutOfExhaust,
}

/// A real mixture that is not as it was, in closed loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixture {
    /// Lambda now.
    pub lambda: f64,
    /// Leaner than before, else richer.
    pub leaner: bool,
    /// Why the trim leaves it so.
    pub left: Left,
}

/// Why a trim leaves the mixture wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Left {
    /// It is at its stop.
    AtStop,
    /// The sensor, which reads this lambda, does not see it.
    Unseen(f64),
    /// It does not make up for it.
    Short,
}

/// What boost control does about a boost that has changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Duty {
    /// It is not asked for boost there.
    Aside,
    /// It stays at this duty, %.
    Same(f64),
    /// It moves, %.
    Moved(Change),
}

/// A reason why readings differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// A code has made the computer reduce the torque: nothing else can be told.
    Reduced {
        /// The code.
        code: Code,
        /// Boost, kPa.
        boost: Change,
        /// Torque, N m.
        torque: Change,
    },
    /// Air or exhaust astray.
    Astray {
        /// Which way.
        way: Way,
        /// g/s.
        flow: f64,
        /// % of what the engine breathes.
        share: f64,
    },
    /// So many of the working cycles with fuel do not burn, %.
    Misfires(f64),
    /// Open loop corrects no mixture: lambda.
    OpenLoop(Change),
    /// Open loop, and the trim that is carried into it sets the mixture.
    Carried {
        /// What the trim adds, % points.
        trim: f64,
        /// Lambda.
        lambda: Change,
        /// Lambda with the trim of before.
        without: f64,
        /// Whether lambda has changed enough for a word.
        moved: bool,
    },
    /// The trim moves, % points, and may leave the mixture wrong all the same.
    Trim(f64, Option<Mixture>),
    /// The mixture is wrong and no trim moves.
    Mixture(Mixture),
    /// Counted by manifold pressure, the mixture stays as it was.
    Untouched,
    /// Boost changes.
    Boost {
        /// kPa.
        kpa: f64,
        /// psi.
        psi: f64,
        /// What boost control does.
        duty: Duty,
    },
    /// Boost control keeps the boost by this duty, %.
    BoostKept(Change),
    /// The compressor surges.
    Surges,
    /// Turbo speed changes, krpm.
    Turbo(f64),
    /// Intake air changes its temperature, K.
    IntakeAir(f64),
    /// An idling engine breathes another amount, g/s.
    Breathes(Change),
    /// The idle governor moves the throttle, %.
    Governor(Change),
    /// The spark comes so much later, degrees.
    Spark(f64),
    /// Idle runs so much too fast, rpm.
    IdleSpeed(f64),
    /// Torque changes.
    Torque {
        /// N m.
        by: f64,
        /// %.
        percent: f64,
    },
    /// Fuel changes, %.
    Fuel(f64),
}

/// What goes into one sentence.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Topic {
    Torque,
    Astray,
    Burning,
    Mixture,
    Turbo,
    Idle,
    Work,
}

impl Reason {
    fn topic(&self) -> Topic {
        match self {
            Reason::Reduced { .. } => Topic::Torque,
            Reason::Astray { .. } => Topic::Astray,
            Reason::Misfires(_) => Topic::Burning,
            Reason::OpenLoop(_)
            | Reason::Carried { .. }
            | Reason::Trim(..)
            | Reason::Mixture(_)
            | Reason::Untouched => Topic::Mixture,
            Reason::Boost { .. }
            | Reason::BoostKept(_)
            | Reason::Surges
            | Reason::Turbo(_)
            | Reason::IntakeAir(_) => Topic::Turbo,
            Reason::Breathes(_) | Reason::Governor(_) | Reason::Spark(_) | Reason::IdleSpeed(_) => {
                Topic::Idle
            }
            Reason::Torque { .. } | Reason::Fuel(_) => Topic::Work,
        }
    }

    /// Its clause; the `first` of those astray says of what its share is.
    fn clause(&self, first: bool) -> String {
        match self {
            Reason::Reduced {
                code,
                boost,
                torque,
            } => say::torque_reduced(
                code.name().to_lowercase(),
                code,
                boost.is,
                boost.was,
                torque.is,
                torque.was,
            ),
            Reason::Astray { way, flow, share } => astray(*way, *flow, *share, first),
            Reason::Misfires(percent) => say::misfires(percent),
            Reason::OpenLoop(Change { was, is }) => match is > was {
                true => say::open_loop_leaner(was, is),
                false => say::open_loop_richer(was, is),
            },
            Reason::Carried {
                trim,
                lambda: Change { was, is },
                without,
                moved,
            } => {
                let carried = match *trim > 0.0 {
                    true => say::carried_adds(trim),
                    false => say::carried_takes_off(trim.abs()),
                };
                let lambda = match (moved, is > was) {
                    (false, _) => say::carried_keeps(is),
                    (true, true) => say::carried_leaner(was, is),
                    (true, false) => say::carried_richer(was, is),
                };
                say::carried(carried, lambda, without)
            }
            Reason::Trim(by, mixture) => {
                let trim = match *by > 0.0 {
                    true => say::trim_adds(by.abs()),
                    false => say::trim_takes_off(by.abs()),
                };
                match mixture {
                    Some(mixture) => say::trim_falls_short(trim, mixture.clause()),
                    None => say::trim_hides(trim),
                }
            }
            Reason::Mixture(mixture) => mixture.clause(),
            Reason::Untouched => say::mixture_untouched().into(),
            Reason::Boost { kpa, psi, duty } => boost(*kpa, psi.abs(), *duty),
            Reason::BoostKept(Change { was, is }) => say::boost_kept(was, is),
            Reason::Surges => say::surges().into(),
            Reason::Turbo(by) if *by > 0.0 => say::turbo_faster(by),
            Reason::Turbo(by) => say::turbo_slower(by.abs()),
            Reason::IntakeAir(by) if *by > 0.0 => say::air_warmer(by),
            Reason::IntakeAir(by) => say::air_cooler(by.abs()),
            Reason::Breathes(Change { was, is }) => say::idle_breathes(is, was),
            Reason::Governor(Change { was, is }) if is < was => say::governor_closes(was, is),
            Reason::Governor(Change { was, is }) => say::governor_opens(was, is),
            Reason::Spark(by) if *by > 0.0 => say::spark_later(by),
            Reason::Spark(by) => say::spark_earlier(by.abs()),
            Reason::IdleSpeed(by) if *by > 0.0 => say::idle_too_fast(by),
            Reason::IdleSpeed(by) => say::idle_too_slow(by.abs()),
            Reason::Torque { by, percent } if *by > 0.0 => say::torque_rises(by, percent.abs()),
            Reason::Torque { by, percent } => say::torque_falls(by.abs(), percent.abs()),
            Reason::Fuel(percent) if *percent > 0.0 => say::fuel_rises(percent),
            Reason::Fuel(percent) => say::fuel_falls(percent.abs()),
        }
    }

    /// How the next clause of the same sentence is set after this one.
    fn join(&self, said: String, next: &str) -> String {
        match self {
            Reason::Astray { .. } | Reason::Boost { .. } => say::apart(said, next),
            _ => say::beside(said, next),
        }
    }
}

fn astray(way: Way, flow: f64, share: f64, first: bool) -> String {
    let share = match first {
        true => say::share_of_breath(share),
        false => say::share_alone(share),
    };
    match way {
        Way::Uncounted => say::uncounted(flow, share),
        Way::PastFilter => say::past_filter(flow, share),
        Way::CountedLost => say::counted_lost(flow, share),
        Way::TakenLost => say::taken_lost(flow, share),
        Way::Round => say::goes_round(flow, share),
        Way::IntoExhaust => say::into_exhaust(flow, share),
        Way::OutOfExhaust => say::out_of_exhaust(flow, share),
    }
}

fn boost(kpa: f64, psi: f64, duty: Duty) -> String {
    let (rises, kpa) = (kpa > 0.0, kpa.abs());
    let moves = |psi| match rises {
        true => say::boost_rises(kpa, psi),
        false => say::boost_falls(kpa, psi),
    };
    match duty {
        Duty::Aside => moves(psi),
        Duty::Same(duty) if rises => say::boost_rises_same_duty(kpa, psi, duty),
        Duty::Same(duty) => say::boost_falls_same_duty(kpa, psi, duty),
        Duty::Moved(Change { was, is }) => say::apart(moves(psi), say::duty_goes(was, is)),
    }
}

impl Mixture {
    fn clause(self) -> String {
        let lambda = self.lambda;
        match (self.left, self.leaner) {
            (Left::AtStop, true) => say::leaner_at_stop(lambda),
            (Left::AtStop, false) => say::richer_at_stop(lambda),
            (Left::Unseen(sensed), true) => say::leaner_unseen(lambda, sensed),
            (Left::Unseen(sensed), false) => say::richer_unseen(lambda, sensed),
            (Left::Short, true) => say::leaner_left(lambda),
            (Left::Short, false) => say::richer_left(lambda),
        }
    }
}

/// The reasons in a few sentences, one a topic, in their order.
pub fn said(reasons: &[Reason]) -> String {
    let mut sentences: Vec<String> = Vec::new();
    let topics = reasons.chunk_by(|a, b| a.topic() == b.topic());
    for topic in topics {
        let mut clause = topic[0].clause(true);
        for pair in topic.windows(2) {
            clause = pair[0].join(clause, &pair[1].clause(false));
        }
        sentences.push(clause);
    }
    match reasons.first().map(Reason::topic) {
        None => return say::nothing_changes().into(),
        // A whole sentence already.
        Some(Topic::Torque) => return sentences.concat(),
        Some(Topic::Astray) if sentences.len() == 1 => {
            sentences[0] = say::nothing_else(&sentences[0]);
        }
        Some(_) => {}
    }
    let whole = sentences.iter().map(|clause| sentence(clause));
    whole.collect::<Vec<_>>().join(" ")
}
