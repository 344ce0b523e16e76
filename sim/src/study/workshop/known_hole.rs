//! A hole of known size at a vacuum port of the idling engine: air that is known to come in, uncounted.
//! What it should do in this car, and what a departure says of the rest.
//!
//! With governor and mixture held, the engine keeps its air. Of a flow `m` through the hole the
//! meter counts less by `m`, times its scale; the trim makes up for it: `(1 + after)/(1 + before) =
//! M/(M − m)` with `M` through the meter before (F, a balance of air and fuel). So the fall of
//! what is counted calibrates the meter, and the trims give `M` whatever the meter's scale is.

use super::{Span, Z90, mistake};
use crate::control::{Command, Metering};
use crate::network::{Leak, Network, Place, Reading, Vehicle};
use crate::say::known_hole as say;
use crate::scenario::{Around, Mistake, Surroundings};
use crate::study::knowing::doubt::UNCERTAIN;
use crate::study::running::simulate::{Comparison, Side, running};
use crate::tables;
use std::fmt;

tables! {
    /// Readings at idle, warm and settled.
    pub struct IdleReadings {
        /// fuel trim, short and long together
        trim: Ratio [-0.9, 0.9] or None,
        /// air counted by the meter
        metered_air: MassFlow [0.0, 0.1] or None,
        /// manifold pressure
        manifold: AbsolutePressure [5e3, 1.5e5] or None,
    }
}

/// Readings in a file.
pub type OneReading = IdleReadings<f64>;

tables! {
    /// A hole of known size at a vacuum port, at idle only.
    pub struct KnownHole {
        /// vehicle file
        vehicle: String,
        /// diameter of the sharp-edged hole in the cap
        diameter: Length [2e-4, 6e-3],
        /// standard uncertainty of that diameter
        diameter_doubt: Length [0.0, 1e-3] = 2e-5,
        /// how far this car may differ from its file, in times of what healthy cars of a make do: 0.5 fitted, 1 measured, 2 estimated
        car_doubt: Ratio [0.1, 4.0] = 1.0,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// readings with the hole shut
        before: OneReading or None,
        /// readings with the hole open
        after: OneReading or None,
        /// standard uncertainty of a trim reading
        trim_doubt: Ratio [1e-4, 0.2] = 0.01,
        /// standard uncertainty of a reading of air
        air_doubt: MassFlow [1e-7, 1e-2] = 2e-5,
        /// standard uncertainty of a reading of manifold pressure
        manifold_doubt: PressureDifference [1.0, 2e4] = 5e2,
    }
}

/// What the model says of the idling car, hole shut and open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// Fuel trim, a share.
    pub trim: [f64; 2],
    /// Air counted, kg/s.
    pub air: [f64; 2],
    /// Manifold pressure, Pa abs.
    pub manifold: [f64; 2],
    /// Lambda.
    pub lambda: [f64; 2],
    /// Engine speed, rpm.
    pub speed: [f64; 2],
    /// Through the hole, kg/s.
    pub flow: f64,
}

/// Predicted changes, each with its 90 % limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Predicted {
    /// The likeliest car.
    pub shown: Shown,
    /// `(1 + after)/(1 + before) − 1` of the trim.
    pub trim: Span,
    /// Fall of the air counted, kg/s.
    pub air: Span,
    /// Rise of the manifold pressure, Pa.
    pub manifold: Span,
    /// Through the hole, kg/s.
    pub flow: Span,
    /// Whether in some cars of the make the idle speed rises, for its governor is at its stop; they
    /// are left out of the limits, since that is seen.
    pub races: bool,
}

/// What was read, over what was predicted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Answered {
    /// Of the trim.
    pub trim: Option<Span>,
    /// Of the air counted.
    pub air: Option<Span>,
    /// Rise of the manifold pressure less that predicted, Pa.
    pub manifold: Option<Span>,
    /// Reading of the meter over true air: its fall over the flow through the hole.
    pub meter_scale: Option<Span>,
    /// Air through the meter before, by the trims, kg/s.
    pub through_meter: Option<Span>,
}

/// What it says of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Means {
    /// Nothing was read.
    Unread,
    /// Air is not counted by a meter.
    ByPressure,
    /// All as predicted.
    AsPredicted,
    /// The meter is off; reading over true air.
    Meter(f64),
    /// The file's idle is not this car's: through the meter, kg/s, by the trims and by the file.
    File(f64, f64),
    /// The trim alone was read, and is off by this factor.
    TrimAlone(f64),
    /// Trim and air alike are off by this factor.
    Hole(f64),
    /// Nothing answers.
    Nothing,
    /// Trim and air are off, not alike.
    Both,
}

/// Less than this share of what is predicted is no answer.
const NONE: f64 = 0.15;
/// A trim that moves less than this tells nothing (own choice: an idle wanders by one or two
/// points).
const LEAST: f64 = 0.03;
/// A healthy meter's scale stays within this share (`UNCERTAIN`).
const HEALTHY: f64 = 0.045;
/// An idle faster by more than this, rpm, is at the governor's stop (own choice).
const RACES: f64 = 30.0;
/// Lambda further off than this, hole open: the trim is at its stop.
const AT_STOP: f64 = 0.02;

/// Through a hole of `diameter`, m, at the idling car's vacuum port; none where it does not idle.
pub fn shown(car: &Network<f64>, diameter: f64) -> Option<Shown> {
    let command = Comparison::new(car).command(Command::IDLE, true);
    let before = running(&car.with(command), None).ok()?;
    let mut open = car.clone();
    open.leaks.push(Leak::hole(Place::VacuumLine, diameter));
    let after = running(&open.with(command), Some(&before.state)).ok()?;
    let both = |reading: Reading, factor: f64| -> Option<[f64; 2]> {
        let of = |side: &Side| side.readings.get(reading).map(|value| value * factor);
        Some([of(&before)?, of(&after)?])
    };
    Some(Shown {
        trim: both(Reading::FuelTrim, 0.01)?,
        air: both(Reading::MeteredAir, 1e-3)?,
        manifold: both(Reading::Manifold, 1e3)?,
        lambda: both(Reading::Lambda, 1.0)?,
        speed: both(Reading::EngineSpeed, 1.0)?,
        flow: after.leaks.last()?.flow * 1e-3,
    })
}

impl Shown {
    /// `(1 + after)/(1 + before) − 1`.
    fn rise(&self) -> f64 {
        (1.0 + self.trim[1]) / (1.0 + self.trim[0]) - 1.0
    }

    /// Whether the idle governor no longer holds the speed.
    pub fn races(&self) -> bool {
        self.speed[1] - self.speed[0] > RACES
    }

    fn changes(&self) -> [f64; 4] {
        let [before, after] = self.air;
        let rise = self.manifold[1] - self.manifold[0];
        [self.rise(), before - after, rise, self.flow]
    }
}

impl KnownHole<f64> {
    /// The healthy car of the file.
    pub fn car(&self, vehicle: Vehicle<f64>) -> Network<f64> {
        Network::new(vehicle, Vec::new(), self.ambient.ambient(), Command::IDLE)
    }

    /// What the hole should do in this car: every number in doubt is stepped by its standard
    /// uncertainty, the changes are added in quadrature (`gum2008` section 5.1).
    ///
    /// # Errors
    /// The car does not idle, or not with the hole.
    pub fn predict(&self, car: &Network<f64>) -> Result<Predicted, Mistake> {
        let message = "the car does not idle with a hole of this size: take a smaller one";
        let none = || mistake("diameter", message);
        let likely = shown(car, self.diameter).ok_or_else(none)?;
        let (mut squares, mut races) = ([0.0; 4], likely.races());
        let mut add = |stepped: Option<Shown>| {
            let Some(stepped) = stepped else { return };
            if stepped.races() {
                races = true;
                return;
            }
            let (from, to) = (likely.changes(), stepped.changes());
            for i in 0..4 {
                squares[i] += (to[i] - from[i]).powi(2);
            }
        };
        for number in UNCERTAIN {
            let stepped = car.map(&mut |key, value| match key == number.key {
                true => value + self.car_doubt * number.deviation(value),
                false => value,
            });
            add(shown(&stepped, self.diameter));
        }
        add(shown(car, self.diameter + self.diameter_doubt));
        let changes = likely.changes();
        let span = |i: usize| {
            let half = Z90 * squares[i].sqrt();
            Span {
                value: changes[i],
                low: changes[i] - half,
                high: changes[i] + half,
            }
        };
        Ok(Predicted {
            shown: likely,
            trim: span(0),
            air: span(1),
            manifold: span(2),
            flow: span(3),
            races,
        })
    }

    /// What was read, over what was predicted.
    pub fn answered(&self, predicted: &Predicted) -> Answered {
        let (Some(before), Some(after)) = (&self.before, &self.after) else {
            return Answered::default();
        };
        let pair = |a: Option<f64>, b: Option<f64>| a.zip(b);
        let two = std::f64::consts::SQRT_2;
        let trims = pair(before.trim, after.trim);
        let rise = trims.map(|(before, after)| {
            let rise = (1.0 + after) / (1.0 + before) - 1.0;
            (rise, two * self.trim_doubt / (1.0 + before))
        });
        let air = pair(before.metered_air, after.metered_air);
        let fall = air.map(|(before, after)| (before - after, two * self.air_doubt));
        let pressures = pair(before.manifold, after.manifold);
        let (by_hole, flow) = (half(predicted.flow), predicted.flow.value);
        Answered {
            trim: rise.map(|(rise, doubt)| over(rise, doubt, predicted.trim)),
            air: fall.map(|(fall, doubt)| over(fall, doubt, predicted.air)),
            manifold: pressures.map(|(before, after)| {
                let off = after - before - predicted.manifold.value;
                let half = (Z90 * two * self.manifold_doubt).hypot(half(predicted.manifold));
                Span {
                    value: off,
                    low: off - half,
                    high: off + half,
                }
            }),
            meter_scale: fall.map(|(fall, doubt)| over(fall, doubt, predicted.flow)),
            // M = m (1 + r)/r of the rise r.
            through_meter: rise
                .filter(|(rise, doubt)| *rise > 2.0 * doubt)
                .map(|(rise, doubt)| {
                    let through = |rise: f64| flow * (1.0 + rise) / rise;
                    let value = through(rise);
                    let slope = flow / (rise * rise);
                    let half = (Z90 * doubt * slope).hypot(by_hole / flow * value);
                    Span {
                        value,
                        low: value - half,
                        high: value + half,
                    }
                }),
        }
    }

    /// What that says of the car.
    pub fn means(&self, car: &Network<f64>, predicted: &Predicted, found: &Answered) -> Means {
        if car.vehicle.metering != Metering::AirFlowMeter {
            return Means::ByPressure;
        }
        let off = |span: &Span| span.low > 1.0 || span.high < 1.0;
        // With the trim as predicted the engine kept its air, so the fall is the meter's alone.
        let meter_off = |scale: &Span| scale.low > 1.0 + HEALTHY || scale.high < 1.0 - HEALTHY;
        match (found.trim, found.air) {
            (None, None) => Means::Unread,
            (Some(trim), Some(air)) if trim.value < NONE && air.value < NONE => Means::Nothing,
            (Some(trim), None) if trim.value < NONE => Means::Nothing,
            (Some(trim), None) if off(&trim) => Means::TrimAlone(trim.value),
            (trim, Some(_)) if !trim.is_some_and(|trim| off(&trim)) => {
                match found.meter_scale.filter(meter_off) {
                    Some(scale) => Means::Meter(scale.value),
                    None => Means::AsPredicted,
                }
            }
            (Some(_), None) => Means::AsPredicted,
            (Some(trim), Some(air)) if !off(&air) => match found.through_meter {
                Some(through) => Means::File(through.value, predicted.shown.air[0]),
                None => Means::TrimAlone(trim.value),
            },
            (Some(trim), Some(air)) => {
                let apart = trim.low > air.high || air.low > trim.high;
                match apart {
                    true => Means::Both,
                    false => Means::Hole(0.5 * (trim.value + air.value)),
                }
            }
            (None, Some(_)) => Means::AsPredicted,
        }
    }
}

impl Predicted {
    /// What is to be said of the size of the hole.
    pub fn remark(&self, metering: Metering) -> Option<String> {
        let lambda = self.shown.lambda[1];
        if (lambda - self.shown.lambda[0]).abs() > AT_STOP {
            return Some(say::trim_at_stop(lambda));
        }
        if self.shown.races() {
            return Some(say::idle_races(self.shown.speed[1] - self.shown.speed[0]));
        }
        if self.races {
            return Some(say::idle_may_race().into());
        }
        let small = metering == Metering::AirFlowMeter && self.trim.value < LEAST;
        small.then(|| say::too_small().into())
    }
}

fn half(span: Span) -> f64 {
    0.5 * (span.high - span.low)
}

/// A reading of standard uncertainty `doubt` over what is predicted.
fn over(read: f64, doubt: f64, predicted: Span) -> Span {
    let value = read / predicted.value;
    let own = Z90 * doubt / predicted.value;
    let half = own.hypot(half(predicted) / predicted.value * value.abs().max(NONE));
    Span {
        value,
        low: value - half.abs(),
        high: value + half.abs(),
    }
}

impl fmt::Display for Means {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Means::Unread => f.write_str(say::nothing_read()),
            Means::ByPressure => f.write_str(say::not_by_trim()),
            Means::AsPredicted => f.write_str(say::as_predicted()),
            Means::Meter(scale) => f.write_str(&say::meter_reads(100.0 * scale)),
            Means::File(read, file) => f.write_str(&say::file_breathes(read * 1e3, file * 1e3)),
            Means::TrimAlone(times) => f.write_str(&say::trim_alone_less(times)),
            Means::Hole(times) => f.write_str(&say::hole_not_as_said(times)),
            Means::Nothing => f.write_str(say::no_answer()),
            Means::Both => f.write_str(say::both_off()),
        }
    }
}

impl Means {
    /// Its key.
    pub fn word(&self) -> &'static str {
        match self {
            Means::Unread => "not_read",
            Means::ByPressure => "counted_by_pressure",
            Means::AsPredicted => "as_predicted",
            Means::Meter(_) => "meter_off",
            Means::File(..) => "file_off",
            Means::TrimAlone(_) => "meter_or_file_off",
            Means::Hole(_) => "hole_not_as_said",
            Means::Nothing => "no_answer",
            Means::Both => "more_than_one",
        }
    }
}
