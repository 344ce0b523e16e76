//! What was found at the car.

use super::catalogue::Suspect;
use super::checks::Check;
use super::ladders::{Ladders, Rung, Spot};
use crate::control::Code;
use crate::network::{Place, Reading};
use crate::study::knowing::unlike::Driven;
use crate::study::running::dangers::{self, Commanded};
use nalgebra::{DMatrix, DVector};

/// A reading at one of the conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Read {
    /// Index of the condition.
    pub condition: usize,
    /// Which.
    pub reading: Reading,
    /// Its value, the reading's own unit.
    pub value: f64,
    /// Standard deviation of instrument and moment, the same unit.
    pub deviation: f64,
}

/// Standard deviation of a reading where the car runs and the model's does not, in those of the
/// healthy car's (own choice).
const GUESSED: f64 = 4.0;

/// Pressure at which a section of the tract is tested, Pa above the outside (own choice, well
/// below boost).
const TEST: f64 = 5e4;

/// Diameter, m, of the hole that all leaks among `faults` (suspects with their sizes, SI) at
/// some places are to a test of that section.
pub fn hole(faults: &[(Suspect, f64)], places: &[Place]) -> f64 {
    let inside = faults.iter().filter(|(suspect, _)| {
        let place = suspect.place();
        place.is_some_and(|place| places.contains(&place))
    });
    let areas = inside.map(|(suspect, size)| suspect.standing(*size, TEST).powi(2));
    areas.sum::<f64>().sqrt()
}

/// A hole measured by a workshop test of a section (pressure decay, flow).
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Places that the section holds.
    pub places: Vec<Place>,
    /// Diameter of the sharp-edged hole that leaks as much beyond a tight section, m; 0
    /// where it was tight.
    pub diameter: f64,
    /// Standard deviation, m.
    pub deviation: f64,
}

/// Everything that was found.
///
/// # Examples
/// ```
/// use sim::{Code, Evidence, Read, Reading};
/// let idle = Read { condition: 0, reading: Reading::LongTrim, value: 18.0, deviation: 1.5 };
/// let found = Evidence {
///     reads: vec![idle],
///     codes: vec![(Code::LeanAtIdle, true)],
///     ..Evidence::default()
/// };
/// assert!(!found.estimated);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Evidence {
    /// Readings.
    pub reads: Vec<Read>,
    /// Trouble codes that were looked for, and whether they were set.
    pub codes: Vec<(Code, bool)>,
    /// Codes set, beside those, that tell of a danger.
    pub told: Vec<(&'static str, dangers::Hazard)>,
    /// Conditions at which the engine did not run.
    pub not_running: Vec<usize>,
    /// Workshop tests of sections.
    pub openings: Vec<Opening>,
    /// Other checks, with the index of what they found among [`Check::outcomes`], and how
    /// far that is believed, 0 to 1.
    pub checks: Vec<(Check, usize, f64)>,
    /// What the engine computer commands at a condition (by index), as read from the car.
    pub commanded: Vec<(usize, Commanded)>,
    /// Whether the vehicle file is an estimate, whose aims nobody has stated.
    pub estimated: bool,
    /// Points of a log that are no conditions: they are searched for dangers only.
    pub passed: Vec<dangers::Driven>,
    /// Readings (by index) that are never taken for bad, for they are dangers;
    /// [`Diagnosis::new`](super::ranking::Diagnosis::new) sets them.
    pub standing: Vec<usize>,
}

/// What a faulty car would show of the evidence, linear in what is in doubt.
///
/// Doubts are independent standard normal numbers: those of the car, then one for the
/// demand of each condition.
#[derive(Clone, Debug)]
pub struct Shown {
    /// One a reading.
    pub means: DVector<f64>,
    /// What the fault changes of each: the means less those of the healthy car.
    pub changes: DVector<f64>,
    /// Their slopes over `u`.
    pub by_u: DVector<f64>,
    /// Their slopes over the doubts, one row a reading.
    pub by_doubt: DMatrix<f64>,
    /// Standard deviation of each of `changes` by itself, as a share of it.
    pub response: DVector<f64>,
    /// And of all of them together.
    pub altogether: f64,
    /// Standard deviation of a reading where the model's engine does not run; 0 elsewhere.
    pub guessed: DVector<f64>,
    /// Idle speeds (by reading), and how all readings go with one that stands higher.
    pub raised: Vec<(usize, DVector<f64>)>,
    /// Probability that a code is not set though its watch would set it, beside that in any car.
    pub unset: f64,
}

/// How much more a reading may be in doubt with a fault than without, as a share of what the fault changes
/// (own choice: what makes answer by, all together).
const STEEPER: f64 = 0.5;

/// The idle speed that is aimed at.
const AIM: &str = "drive.idle_speed";

impl Shown {
    fn nothing(ladders: &Ladders, count: usize) -> Self {
        Shown {
            means: DVector::zeros(count),
            changes: DVector::zeros(count),
            by_u: DVector::zeros(count),
            by_doubt: DMatrix::zeros(count, ladders.doubts()),
            response: DVector::repeat(count, ladders.doubt.unlike.response(0.0)),
            altogether: 0.0,
            guessed: DVector::zeros(count),
            raised: Vec::new(),
            unset: ladders.doubt.unlike.unset(),
        }
    }

    /// What goes with an idle that stands higher than aimed at, for a reason that is no fault: air
    /// conditioning, a charging battery, a catalyst that is heated. None where the aim is not in doubt.
    fn raised(ladders: &Ladders, reads: &[Read]) -> Vec<(usize, DVector<f64>)> {
        let Some(aim) = ladders.doubt.keys.iter().position(|key| key == AIM) else {
            return Vec::new();
        };
        let speeds = reads.iter().enumerate().filter_map(|(i, read)| {
            let idles = Driven::of(&ladders.conditions[read.condition].command) == Driven::Idle;
            let speed = idles && read.reading == Reading::EngineSpeed;
            let spot = ladders.sound.spots[read.condition]
                .as_ref()
                .filter(|_| speed)?;
            let slope = |reading| spot.slopes.readings[(reading as usize, aim)];
            let own = slope(read.reading);
            let goes = reads
                .iter()
                .map(|other| match other.condition == read.condition {
                    true => slope(other.reading) / own,
                    false => 0.0,
                });
            let goes = DVector::from_iterator(reads.len(), goes);
            goes.iter().all(|x| x.is_finite()).then_some((i, goes))
        });
        speeds.collect()
    }

    /// What a rung shows of `reads`; none where the engine does not run at one of
    /// their conditions, or a reading has no meaning there. An engine of which only the plate is
    /// known may run where the model's does not: what it shows there is anybody's guess.
    pub fn at(ladders: &Ladders, rung: &Rung, reads: &[Read]) -> Option<Self> {
        let spots = &rung.spots;
        let mut shown = Self::nothing(ladders, reads.len());
        shown.altogether = rung.altogether;
        shown.raised = Self::raised(ladders, reads);
        for (i, read) in reads.iter().enumerate() {
            let sound = ladders.sound.spots[read.condition].as_ref();
            let runs = spots[read.condition].as_ref();
            let guessed = sound.filter(|_| runs.is_none() && ladders.doubt.unlike.0);
            let spot = runs.or(guessed)?;
            let mean = spot.readings.get(read.reading)?;
            let row = read.reading as usize;
            let shows = |reading| sound.and_then(|sound| sound.readings.get(reading));
            shown.changes[i] = mean - shows(read.reading).unwrap_or(mean);
            if let (Some(now), Some(was)) = (
                spot.readings.get(Reading::EngineSpeed),
                shows(Reading::EngineSpeed),
            ) {
                shown.response[i] = ladders.doubt.unlike.response(now / was - 1.0);
            }
            shown.set(ladders, i, read.condition, mean, |column| {
                spot.slopes.readings[(row, column)]
            });
            if let Some(sound) = sound.filter(|_| ladders.doubt.unlike.0) {
                shown.tame(ladders, (i, row), sound);
            }
            shown.as_makes_differ(ladders, (i, read), spot, sound);
            if guessed.is_some() {
                shown.guessed[i] = GUESSED * shown.by_doubt.row(i).norm();
            }
        }
        shown.as_the_twin_tells(ladders);
        Some(shown)
    }

    /// What is in doubt, as far as a healthy twin leaves it.
    fn as_the_twin_tells(&mut self, ladders: &Ladders) {
        if let Some(twin) = &ladders.twin {
            self.means += &self.by_doubt * &twin.mean;
            self.by_doubt = &self.by_doubt * &twin.factor;
        }
    }

    /// What suspects (by index) at their `u` show together; none where the engine does not run.
    pub fn of(ladders: &Ladders, faults: &[(usize, f64)], reads: &[Read]) -> Option<Self> {
        let sound = Self::at(ladders, &ladders.sound, reads)?;
        let mut together = sound.clone();
        for (i, u) in faults {
            let ladder = &ladders.curves[ladders.suspects[*i].curve];
            let above = ladder.partition_point(|rung| rung.u < *u);
            let above = above.min(ladder.len() - 1);
            let (a, b) = (&ladder[above.saturating_sub(1)], &ladder[above]);
            let width = b.u - a.u;
            let t = if width > 0.0 { (u - a.u) / width } else { 0.0 };
            let (a, b) = (Self::at(ladders, a, reads)?, Self::at(ladders, b, reads)?);
            let alone = Self::between(&a, &b, width, t);
            together = match faults.len() {
                1 => alone,
                _ => Self::of_two(ladders, reads, [&together, &alone, &sound]),
            };
        }
        Some(together)
    }

    /// The highest level of each code over all conditions; codes that no condition enables show −1.
    /// What a condition would set at which the engine did not run need not be set.
    pub fn levels(ladders: &Ladders, spots: &[Option<Spot>], evidence: &Evidence) -> Self {
        let codes = &evidence.codes;
        let mut shown = Self::nothing(ladders, codes.len());
        for (i, (code, set)) in codes.iter().enumerate() {
            let enabled = spots.iter().enumerate().filter_map(|(c, spot)| {
                let spot = spot
                    .as_ref()
                    .filter(|_| *set || !evidence.not_running.contains(&c))?;
                Some((c, spot, spot.levels[*code as usize]?))
            });
            let row = *code as usize;
            match enabled.max_by(|a, b| a.2.total_cmp(&b.2)) {
                Some((c, spot, level)) => shown.set(ladders, i, c, level, |column| {
                    spot.slopes.levels[(row, column)]
                }),
                None => shown.means[i] = -1.0,
            }
        }
        shown.as_the_twin_tells(ladders);
        shown
    }

    /// Row `i`, read at `condition`: its mean and its slopes over the ladders's columns, turned
    /// into those over independent doubts.
    fn set(
        &mut self,
        ladders: &Ladders,
        i: usize,
        condition: usize,
        mean: f64,
        slope: impl Fn(usize) -> f64,
    ) {
        let (demand, size) = ladders.columns();
        let count = ladders.doubt.count();
        self.means[i] = mean;
        self.by_u[i] = slope(size);
        for (k, j, factor) in &ladders.links {
            self.by_doubt[(i, *j)] += slope(*k) * factor;
        }
        self.by_doubt[(i, count + condition)] = slope(demand);
    }

    /// A row whose slopes over the car's numbers are steeper than [`STEEPER`] allows, made as steep as that:
    /// where a fault stands at the edge of something (boost at which the torque is cut), the slope of one car
    /// says nothing of another, and would let the fault explain anything.
    fn tame(&mut self, ladders: &Ladders, (i, row): (usize, usize), sound: &Spot) {
        let count = ladders.doubt.count();
        let mut healthy = vec![0.0; count];
        for (k, j, factor) in &ladders.links {
            healthy[*j] += sound.slopes.readings[(row, *k)] * factor;
        }
        let healthy = healthy.iter().map(|x| x * x).sum::<f64>().sqrt();
        let most = healthy + STEEPER * self.changes[i].abs();
        let mut own = self.by_doubt.view_mut((i, 0), (1, count));
        let norm = own.norm();
        if norm > most {
            own *= most / norm;
        }
    }

    /// Two faults at once, each shown alone: the sum of what they change in a healthy car. See
    /// [`of_two`](Self::of_two) for readings with stops.
    pub fn together(a: &Self, b: &Self, sound: &Self) -> Self {
        Self {
            means: &a.means + &b.means - &sound.means,
            changes: &a.changes + &b.changes,
            by_u: DVector::zeros(a.means.len()),
            by_doubt: &a.by_doubt + &b.by_doubt - &sound.by_doubt,
            response: a.response.sup(&b.response),
            altogether: a.altogether.max(b.altogether),
            guessed: a.guessed.sup(&b.guessed),
            raised: sound.raised.clone(),
            unset: sound.unset,
        }
    }

    /// Between two rungs `width` apart, `t` of the way: the cubic through both with their
    /// slopes, limited where it would overshoot; doubts on a straight line.
    pub fn between(a: &Self, b: &Self, width: f64, t: f64) -> Self {
        let s = 1.0 - t;
        let mut by_doubt = a.by_doubt.clone();
        by_doubt.zip_apply(&b.by_doubt, |a, b| *a = s * *a + t * b);
        Self {
            means: Self::means_between(a, b, width, t),
            changes: &a.changes * s + &b.changes * t,
            by_u: &a.by_u * s + &b.by_u * t,
            by_doubt,
            response: &a.response * s + &b.response * t,
            altogether: a.altogether,
            guessed: &a.guessed * s + &b.guessed * t,
            raised: a.raised.clone(),
            unset: a.unset,
        }
    }

    /// The means alone.
    pub fn means_between(a: &Self, b: &Self, width: f64, t: f64) -> DVector<f64> {
        let s = 1.0 - t;
        let (from, to) = (s * s * (1.0 + 2.0 * t), t * t * (1.0 + 2.0 * s));
        let (rise, fall) = (s * s * t * width, s * t * t * width);
        DVector::from_fn(a.means.len(), |i, _| {
            let secant = (b.means[i] - a.means[i]) / width;
            let [start, end] = limited([a.by_u[i], b.by_u[i]], secant);
            from * a.means[i] + to * b.means[i] + rise * start - fall * end
        })
    }
}

/// Slope against the rise of the step, as a share of it, that still counts as none: at a stop
/// it is nothing but rounding.
const LEVEL: f64 = 0.01;
/// Length of both slopes, in shares of the rise, up to which a cubic is monotone
/// (fritsch_carlson_1980).
const MONOTONE: f64 = 3.0;

/// Slopes at the ends of a step: shortened where both go the way of the step and the cubic
/// would overshoot, as where a trim comes to its stop; kept where it turns within the step.
fn limited(slopes: [f64; 2], secant: f64) -> [f64; 2] {
    let [start, end] = slopes.map(|slope| slope / secant);
    let length = start.hypot(end);
    match secant != 0.0 && start > -LEVEL && end > -LEVEL && length > MONOTONE {
        true => slopes.map(|slope| slope * MONOTONE / length),
        false => slopes,
    }
}
