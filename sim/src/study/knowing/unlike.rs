//! How a healthy car differs from a file that only its plate has made, in ways that are no number
//! of the file: what its computer aims at and learns, where its sensors sit, cams and capsules of
//! another make. A structural term beside the doubts of the numbers (kennedy_ohagan2001;
//! brynjarsdottir_ohagan2014 on why a model without one is sure of the wrong thing).
//!
//! Each aspect shifts some readings at some conditions; the shifts at two conditions are alike in
//! part. The spreads are standard deviations and own choice, set with the invented types of car in
//! `benches/off_model` in view; where a measured engine set one, its source stands beside it.

use crate::control::{Command, SpeedMode, ThrottleMode};
use crate::network::Reading as R;
use nalgebra::{DMatrix, DVector};

/// How an engine is driven at a condition, as far as aspects differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Driven {
    /// Idling.
    Idle,
    /// Between.
    Part,
    /// Pedal down.
    Full,
    /// Pedal released, the car driving the engine.
    Overrun,
}

impl Driven {
    /// That of a command.
    pub fn of(command: &Command) -> Self {
        match (command.speed, command.throttle) {
            (SpeedMode::Free, _) => Self::Idle,
            (_, ThrottleMode::Pedal) if command.pedal > 0.9 => Self::Full,
            (_, ThrottleMode::Opening(_)) => Self::Overrun,
            _ => Self::Part,
        }
    }

    /// Where its spread stands: nothing is known of how cars differ on the overrun but what holds
    /// between.
    fn place(self) -> usize {
        match self {
            Self::Overrun => Self::Part as usize,
            driven => driven as usize,
        }
    }
}

/// One way in which cars differ.
struct Aspect {
    /// Readings that it shifts, each with the size of its own unit.
    readings: &'static [(R, f64)],
    /// Standard deviation idling, between and at full load: absolute, and share of the value.
    spread: [(f64, f64); 3],
    /// Correlation of the shifts at two conditions.
    alike: f64,
    /// Whether it is there on the overrun alone, and then in any car, measured or not.
    overrun: bool,
}

const fn aspect(readings: &'static [(R, f64)], spread: [(f64, f64); 3], alike: f64) -> Aspect {
    Aspect {
        readings,
        spread,
        alike,
        overrun: false,
    }
}

/// Boost at full load by which filling differs, kPa (own choice).
const FILLED: f64 = 10.0;

/// psi a kPa.
pub(super) const PSI: f64 = 0.145_037_7;

const ASPECTS: &[Aspect] = &[
    // What an engine draws that does not fire: cams and throttle have a strategy of their own there, and
    // nobody measures a car there. On a measured drive of a healthy 2.5 L car (raw data of the GitHub
    // repository engine_analysis) it takes at 2219 rpm and 31 kPa six tenths of what it takes firing.
    Aspect {
        overrun: true,
        ..aspect(&[(R::Manifold, 1.0)], [(0.5, 0.4); 3], 0.7)
    },
    // Learning cells, an offset at idle, fuel with ethanol, damp air.
    aspect(
        &[(R::FuelTrim, 1.0), (R::LongTrim, 1.0), (R::ShortTrim, 0.5)],
        [(3.0, 0.0), (2.5, 0.0), (3.0, 0.0)],
        0.5,
    ),
    // Enrichment, and where it begins.
    aspect(
        &[(R::Lambda, 1.0), (R::LambdaSensor, 1.0)],
        [(0.005, 0.0), (0.005, 0.0), (0.04, 0.0)],
        0.5,
    ),
    // Boost at part load, where the wastegate may be shut or held open: then little is left of
    // what a shut one gives (10.7 kPa at 2384 rpm and 36 g/s on a 2.0 L engine whose model with it
    // shut gives several times that: LiU-ICE benchmark, arXiv 2408.13269). At full load beside its
    // aim.
    aspect(
        &[(R::Boost, 1.0), (R::BoostSensor, 1.0), (R::BoostPsi, PSI)],
        [(1.0, 0.0), (5.0, 0.6), (3.0, 0.0)],
        0.2,
    ),
    // Boost over speed at full load: a plate tells the air that is drawn there, not which part of it is boost
    // and which filling; tuned runners and cams move filling by a tenth (heywood1988 ch. 6,
    // from memory).
    aspect(
        &[
            (R::Boost, 1.0),
            (R::BoostSensor, 1.0),
            (R::BoostPsi, PSI),
            (R::Manifold, 1.0),
        ],
        [(0.0, 0.0), (0.0, 0.0), (FILLED, 0.0)],
        0.3,
    ),
    // Cam phasing: the manifold pressure that a given air takes. The same engine draws 0.53 of its
    // swept volume at 2290 rpm and 58 kPa where one without draws 0.7 to 0.8.
    aspect(
        &[(R::Manifold, 1.0)],
        [(0.5, 0.12), (0.5, 0.25), (1.5, 0.02)],
        0.3,
    ),
    // Heat soak, and where the sensor sits.
    aspect(
        &[(R::IntakeTemperature, 1.0)],
        [(14.0, 0.0), (10.0, 0.0), (18.0, 0.0)],
        0.5,
    ),
    // Capsule, its rest and its valve's characteristic.
    aspect(
        &[(R::WastegateDuty, 1.0)],
        [(25.0, 0.0), (25.0, 0.0), (25.0, 0.0)],
        0.5,
    ),
    aspect(
        &[(R::Wastegate, 1.0)],
        [(30.0, 0.0), (30.0, 0.0), (20.0, 0.0)],
        0.5,
    ),
    // Bore, shut position and scale of the throttle.
    aspect(
        &[(R::Throttle, 1.0)],
        [(3.0, 0.0), (3.0, 0.3), (10.0, 0.2)],
        0.7,
    ),
    // Friction and load of an idling engine, spark kept back; filling under load.
    aspect(
        &[
            (R::MeteredAir, 1.0),
            (R::EngineAir, 1.0),
            (R::CompressorFlow, 1.0),
            (R::AbsoluteLoad, 1.0),
            (R::Fuel, 1.0),
        ],
        [(0.0, 0.16), (0.0, 0.03), (0.0, 0.03)],
        0.3,
    ),
    aspect(&[(R::ShaftSpeed, 1.0)], [(3.0, 0.15); 3], 0.7),
    aspect(&[(R::Torque, 1.0), (R::Power, 1.0)], [(2.0, 0.05); 3], 0.5),
    aspect(
        &[(R::ExhaustTemperature, 1.0)],
        [(80.0, 0.0), (60.0, 0.0), (50.0, 0.0)],
        0.6,
    ),
    aspect(
        &[(R::ExhaustPressure, 1.0), (R::InletDepression, 1.0)],
        [(0.2, 0.25); 3],
        0.6,
    ),
    aspect(&[(R::CrankcasePressure, 1.0)], [(0.5, 0.0); 3], 0.5),
    aspect(
        &[(R::SparkRetard, 1.0)],
        [(8.0, 0.0), (5.0, 0.0), (4.0, 0.0)],
        0.3,
    ),
];

/// Standard deviation of what a fault changes, as a share of it, in a car that the file describes:
/// what a straight line through one car misses in another, and what the model misses of a large
/// fault (own choice; with it the intervals of the blind garage hold as often as they say).
const MODEL_DOUBT: f64 = 0.03;
/// The same in a car of a plate: how strongly its computer answers, and how it is built where the
/// fault sits; of each reading by itself, and of all together, which is what the size is in
/// doubt by.
const RESPONSE: f64 = 0.15;
const ALTOGETHER: f64 = 0.5;
/// Of all together where a reading is off by a share: twice as much air that is not counted takes twice
/// the trim in any make (own choice: for what reckons with it).
const RECKONED: f64 = 0.1;
/// What comes to it where the fault changes an idle's speed by [`RUN_UP`] or more: at which hole
/// an idling engine runs up is settled by what its shut throttle lets through, of which a plate tells
/// nothing.
const RUNNING_UP: f64 = 0.5;
const RUN_UP: f64 = 0.1;

/// Standard deviation of the share of a learnt trim that is carried to full load (own choice: from
/// little to more than all of it).
const CARRIED: f64 = 0.4;

/// Mean and standard deviation of the size of a standard normal number: √(2/π), √(1 − 2/π).
const HALF_NORMAL: [f64; 2] = [0.797_884_560_802_865_4, 0.602_810_274_989_087];

/// Further numbers that a car of a plate has of its own: columns of what is in doubt, for each
/// aspect one that all conditions share and one each condition. Of a car whose
/// file is measured only that of the overrun is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Unlike(pub bool);

/// What an aspect shifts a reading by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shift {
    /// Which aspect.
    pub aspect: usize,
    /// Standard deviation that all conditions share, the reading's own unit.
    pub common: f64,
    /// That of the condition alone.
    pub alone: f64,
}

impl Unlike {
    /// Standard deviation of what a fault changes, as a share of it, where it changes the engine's
    /// speed by so large a share.
    pub fn response(self, speed: f64) -> f64 {
        match self.0 {
            true => RESPONSE + RUNNING_UP * (speed.abs() / RUN_UP).min(1.0),
            false => MODEL_DOUBT,
        }
    }

    /// How far an idle runs up, in a reading that shows `value`, and its standard deviation, where a fault
    /// has taken over `share` of what the throttle lets through: what is left for the governor to
    /// take back is settled by the throttle's shut flow and by the spark, of which a plate tells
    /// nothing. Speed, and the air and fuel that go with it, then rise by as large a share. On a
    /// measured engine whose throttle shut by a quarter for a hole, idle settled 22 to 36 % higher
    /// (LiU-ICE benchmark, arXiv 2408.13269). It never runs down: mean and deviation are those of a
    /// normal number's upper half.
    pub fn run_up(self, reading: R, value: f64, share: f64) -> [f64; 2] {
        let follows = [
            R::EngineSpeed,
            R::MeteredAir,
            R::EngineAir,
            R::CompressorFlow,
            R::Fuel,
        ];
        match self.0 && follows.contains(&reading) {
            true => HALF_NORMAL.map(|part| part * share.clamp(0.0, 0.3) * value),
            false => [0.0; 2],
        }
    }

    /// How a reading that shows `value` at full load, where nothing is regulated, goes with how much
    /// is carried there of what was learnt, a trim of `trim` %: one standard deviation. Makes keep
    /// their cells by air, by load or in one, and carry the cell's own, the highest or none.
    pub fn carried(self, reading: R, value: f64, trim: f64) -> f64 {
        let per_trim = match reading {
            R::FuelTrim | R::LongTrim => 1.0,
            R::Lambda | R::LambdaSensor => -value / (100.0 + trim),
            _ => 0.0,
        };
        match self.0 {
            true => CARRIED * trim * per_trim,
            false => 0.0,
        }
    }

    /// The same of all that it changes together; less of a fault whose changes are `reckoned`.
    pub fn altogether(self, reckoned: bool) -> f64 {
        match (self.0, reckoned) {
            (false, _) => 0.0,
            (true, true) => RECKONED,
            (true, false) => ALTOGETHER,
        }
    }

    /// How many aspects there are.
    pub fn aspects(self) -> usize {
        let always = ASPECTS.iter().take_while(|aspect| aspect.overrun).count();
        if self.0 { ASPECTS.len() } else { always }
    }

    /// How many numbers, where what conditions have of their own takes so many ([`Near::rank`]).
    pub fn count(self, rank: usize) -> usize {
        self.aspects() * (1 + rank)
    }

    /// Number of one of an aspect's parts that conditions have of their own.
    pub fn alone(self, aspect: usize, part: usize) -> usize {
        self.aspects() * (1 + part) + aspect
    }

    /// What shifts a reading that shows `value` at a condition driven so.
    pub fn shifts(self, reading: R, value: f64, driven: Driven) -> impl Iterator<Item = Shift> {
        let aspects = ASPECTS.iter().enumerate().take(self.aspects());
        let there = move |aspect: &Aspect| !aspect.overrun || driven == Driven::Overrun;
        aspects.filter_map(move |(i, aspect)| {
            if !there(aspect) {
                return None;
            }
            let (_, unit) = aspect.readings.iter().find(|(of, _)| *of == reading)?;
            let (absolute, share) = aspect.spread[driven.place()];
            let shift = unit * absolute.hypot(share * value);
            Some(Shift {
                aspect: i,
                common: aspect.alike.sqrt() * shift,
                alone: (1.0 - aspect.alike).sqrt() * shift,
            })
        })
    }
}

/// Steps of speed, rad/s, and mean pressure, Pa, over which what a condition has of its own
/// changes. Own choice: a map of an engine computer has a column every 500 to 1000 rpm.
const SPEED: f64 = 84.0;
const MEAN_PRESSURE: f64 = 2e5;
/// The same of the pedal, where a condition is told by it.
const PEDAL: f64 = 0.15;

/// How alike two conditions are in what each has of its own, 0 to 1: a Gaussian of how far apart
/// they lie (the usual squared-exponential kernel of a Gaussian process; rasmussen_williams2006,
/// eq. 4.9). Idle, part and full load are strategies of their own. `displacement` in m³.
pub fn likeness(a: &Command, b: &Command, displacement: f64) -> f64 {
    let driven = Driven::of(a);
    if driven != Driven::of(b) {
        return 0.0;
    }
    let load = match (driven, a.throttle, b.throttle) {
        (Driven::Idle, ..) => return 1.0,
        (Driven::Full, ..) => 0.0,
        (_, ThrottleMode::Torque(a), ThrottleMode::Torque(b)) => {
            let mean_pressure = 4.0 * std::f64::consts::PI * (a - b) / displacement;
            mean_pressure / MEAN_PRESSURE
        }
        (_, ThrottleMode::Pedal, ThrottleMode::Pedal) => (a.pedal - b.pedal) / PEDAL,
        (_, ThrottleMode::Opening(a), ThrottleMode::Opening(b)) => (a - b) / PEDAL,
        _ => return 0.0,
    };
    let (SpeedMode::Held(from), SpeedMode::Held(to)) = (a.speed, b.speed) else {
        return 0.0;
    };
    let speed = (from - to) / SPEED;
    (-0.5 * (speed * speed + load * load)).exp()
}

/// Share of the variance that conditions close to each other may lose together (own choice: 3 % of the
/// spread, less than any instrument shows).
const LEAST: f64 = 1e-3;

/// What conditions have of their own, in as few independent numbers as tell it: a factor of the matrix
/// of likenesses, by Cholesky's way with the largest variance left first (harbrecht2012, which also
/// says where to stop).
#[derive(Clone, Debug)]
pub struct Near {
    /// One row a condition, one column a number.
    pub factor: DMatrix<f64>,
    pivots: Vec<usize>,
}

impl Near {
    /// That of the conditions that these commands ask for; `displacement` in m³.
    pub fn new(commands: &[Command], displacement: f64) -> Self {
        let count = commands.len();
        let mut left = vec![1.0_f64; count];
        let mut columns: Vec<DVector<f64>> = Vec::new();
        let mut pivots = Vec::new();
        while pivots.len() < count {
            let open = (0..count).filter(|i| !pivots.contains(i));
            let Some(next) = open.max_by(|a, b| left[*a].total_cmp(&left[*b])) else {
                break;
            };
            if left[next] < LEAST {
                break;
            }
            let own = left[next].sqrt();
            let column = DVector::from_fn(count, |i, _| {
                let alike = match i == next {
                    true => 1.0,
                    false => likeness(&commands[i], &commands[next], displacement),
                };
                let told: f64 = columns.iter().map(|c| c[i] * c[next]).sum();
                (alike - told) / own
            });
            for (left, told) in left.iter_mut().zip(&column) {
                *left -= told * told;
            }
            columns.push(column);
            pivots.push(next);
        }
        Self {
            factor: DMatrix::from_columns(&columns),
            pivots,
        }
    }

    /// How many numbers there are.
    pub fn rank(&self) -> usize {
        self.pivots.len()
    }

    /// How something as `alike` to each of the conditions goes with each of the numbers.
    pub fn along(&self, alike: &[f64]) -> Vec<f64> {
        let mut found: Vec<f64> = Vec::with_capacity(self.rank());
        for (k, pivot) in self.pivots.iter().enumerate() {
            let row = self.factor.row(*pivot);
            let told: f64 = found.iter().zip(row.iter()).map(|(z, l)| z * l).sum();
            found.push((alike[*pivot] - told) / row[k]);
        }
        found
    }
}
