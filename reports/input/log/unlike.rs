//! Logs of engines that the program does not hold: a diesel, one without a turbo, one with two
//! banks. They are named and not judged, for a leak would be found in any of them.

use crate::log::head::Head;
use crate::log::pressure::unthrottled;
use crate::log::reader::Reader;
use crate::log::short;
use crate::log::survey::{Column, Survey};
use crate::log::thought::Thought;
use crate::log::unit::{Affine, Scale, affine};
use crate::log::words::{Meaning, is_of_a_diesel};
use sim::network::Reading as R;
use sim::spelling::quote;
use sim::study::knowing::log::{Channel, Pace};
use std::fmt::{Display, Formatter, Result};

/// Why a log is of no engine that the program holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Unlike {
    /// Compression ignition, by what shows it.
    Diesel(Vec<&'static str>),
    /// Most pressure over ambient at full load, kPa, and the engine speed there, rpm.
    NoTurbo([f64; 2]),
    /// A column of the second bank, and the trims of both at idle, %.
    TwoBanks(String, Option<[f64; 2]>),
}

/// Trims of two banks that lie closer are alike, % (workshop rule of thumb, no published source).
const ALIKE: f64 = 5.0;

impl Display for Unlike {
    fn fmt(&self, f: &mut Formatter) -> Result {
        match self {
            Unlike::Diesel(signs) => write!(
                f,
                "this is the log of a diesel ({}): only petrol engines with a turbo are judged, and \
                 what is said of lean running holds for them",
                signs.join(", ")
            )?,
            Unlike::NoTurbo([kpa, rpm]) => write!(
                f,
                "this engine has no boost: at full load never more than {kpa:.0} kPa over ambient, \
                 at {rpm:.0} rpm; an engine without a turbo is not judged; where there is one, look, \
                 with the engine off and cold, for a pipe that has come off, a wastegate that stays open, a \
                 wheel that does not turn"
            )?,
            Unlike::TwoBanks(column, trims) => {
                write!(
                    f,
                    "this engine has two banks ({}); only engines with one are judged",
                    quote(column)
                )?;
                if let Some([one, two]) = trims {
                    let what = match (one - two).abs() < ALIKE {
                        true => {
                            "they are alike, so look first at what both banks share (workshop rule \
                             of thumb, no published source)"
                        }
                        false => {
                            "they differ, so look first at what one bank has alone: its runners and \
                             gaskets, injectors, exhaust before its sensor (workshop rule of thumb, \
                             no published source)"
                        }
                    };
                    write!(
                        f,
                        "; trim at idle {one:+.1} % in bank 1, {two:+.1} % in bank 2: {what}"
                    )?;
                }
            }
        }
        write!(
            f,
            "; where that is wrong, set the column that misleads to \"ignore\" in the mapping"
        )
    }
}

/// Lambda from which no petrol engine idles (own choice).
const LEAN: f64 = 1.3;
/// Values that a mean needs to count.
const LEAST: f64 = 3.0;
/// Pedal share and engine speed, rpm, of full load; how long it must last, s; most and least
/// pressure over ambient, kPa, that an engine without a turbo then shows (own choice).
const DOWN: f64 = 0.92;
const FAST: f64 = 2500.0;
const LASTS: f64 = 3.0;
const BREATHES: [f64; 2] = [-20.0, 4.0];

/// Looks for what no engine of the program shows.
#[derive(Clone, Debug)]
pub(super) struct Stranger {
    found: Option<Unlike>,
    boosted: bool,
    speed: Option<usize>,
    /// Pressures and what to take from them for kPa over ambient.
    pressures: Vec<(usize, f64)>,
    pedal: Option<(usize, [f64; 2])>,
    step: f64,
    held: Vec<f64>,
    channels: Vec<Channel>,
    seconds: f64,
    most: [f64; 2],
}

impl Stranger {
    /// What names and the first time through the log show; `ambient` in kPa.
    pub fn new(
        head: &Head,
        thoughts: &[Thought],
        survey: &Survey,
        readers: &[Reader],
        ambient: f64,
    ) -> Self {
        let banks = || banks(head, thoughts, survey);
        let channels: Vec<Channel> = readers.iter().map(|reader| reader.channel).collect();
        let at = |reading: R| channels.iter().position(|c| *c == Channel::Read(reading));
        let pressures = [
            (R::Manifold, ambient),
            (R::BoostSensor, 0.0),
            (R::Boost, 0.0),
        ];
        let pressures = pressures.map(|(reading, air)| Some((at(reading)?, air)));
        Self {
            found: diesel(head, thoughts, survey, readers).or_else(banks),
            boosted: boosted(readers, survey),
            speed: at(R::EngineSpeed),
            pressures: pressures.into_iter().flatten().collect(),
            pedal: None,
            step: 0.0,
            held: vec![f64::NAN; readers.len()],
            channels,
            seconds: 0.0,
            most: [f64::NEG_INFINITY, 0.0],
        }
    }

    /// How the second time through goes on.
    pub fn follow(&mut self, pace: &Pace, step: f64) {
        let place = |channel: Channel| self.channels.iter().position(|c| *c == channel);
        self.pedal = pace
            .pedal
            .and_then(|(channel, ends)| Some((place(channel)?, ends)));
        self.step = step;
    }

    /// The next row.
    pub fn row(&mut self, fresh: &[f64]) {
        for (held, value) in self.held.iter_mut().zip(fresh) {
            if value.is_finite() {
                *held = *value;
            }
        }
        let (Some(speed), Some((pedal, [rest, down]))) = (self.speed, self.pedal) else {
            return;
        };
        let share = (self.held[pedal] - rest) / (down - rest);
        let rpm = self.held[speed];
        if !(share >= DOWN && rpm >= FAST) {
            return;
        }
        self.seconds += self.step;
        for (place, air) in &self.pressures {
            // What was read last before the pedal went down tells nothing of now.
            let over = fresh[*place] - air;
            if over > self.most[0] {
                self.most = [over, rpm];
            }
        }
    }

    /// What was found.
    pub fn finish(self) -> Option<Unlike> {
        let [least, most] = BREATHES;
        let flat = self.seconds >= LASTS && (least..=most).contains(&self.most[0]);
        let natural = (flat && !self.boosted).then_some(Unlike::NoTurbo(self.most));
        self.found.or(natural)
    }
}

/// Two of: no throttle at idle, far too lean at idle, columns that only a diesel has.
fn diesel(
    head: &Head,
    thoughts: &[Thought],
    survey: &Survey,
    readers: &[Reader],
) -> Option<Unlike> {
    let all = || thoughts.iter().zip(&survey.columns);
    let open = all().any(|(thought, column)| match &thought.meaning {
        Meaning::Signal(Channel::Read(R::Manifold), given, _) => {
            !thought.sure && unthrottled(*given, column).is_some()
        }
        _ => false,
    });
    let lambda = |reader: &&Reader| reader.channel == Channel::Read(R::LambdaSensor);
    let lean = readers.iter().find(lambda).is_some_and(|reader| {
        let (mean, count) = survey.columns[reader.place].idle;
        count >= LEAST && reader.affine.of(mean) > LEAN
    });
    let of_its_own = head
        .names
        .iter()
        .zip(all())
        .any(|(name, (thought, column))| {
            let moves = column.ends[1] > column.ends[0];
            !thought.sure && is_of_a_diesel(name) && moves
        });
    let signs = [
        (open, "no throttle lowers the manifold pressure at idle"),
        (lean, "far too lean at idle for petrol"),
        (
            of_its_own,
            "columns of its particulate filter or glow plugs",
        ),
    ];
    let signs: Vec<&str> = signs.into_iter().filter(|s| s.0).map(|s| s.1).collect();
    (signs.len() > 1).then_some(Unlike::Diesel(signs))
}

/// A second bank whose trim or mixture moves.
fn banks(head: &Head, thoughts: &[Thought], survey: &Survey) -> Option<Unlike> {
    let column = thoughts
        .iter()
        .zip(&survey.columns)
        .position(|(thought, column)| {
            let second = matches!(thought.meaning, Meaning::Second(..));
            second && column.within as f64 >= LEAST && column.ends[1] > column.ends[0]
        })?;
    let mut sums = [None, None];
    for (thought, column) in thoughts.iter().zip(&survey.columns) {
        let (bank, channel, scale) = match &thought.meaning {
            Meaning::Signal(channel, given, _) => (0, *channel, given.scale),
            Meaning::Second(channel, given) => (1, *channel, given.scale),
            _ => continue,
        };
        let trim = [R::ShortTrim, R::LongTrim]
            .map(Channel::Read)
            .contains(&channel);
        if let Some(mean) = trim.then(|| at_idle(column, channel, scale)).flatten() {
            sums[bank] = Some(sums[bank].unwrap_or(0.0) + mean);
        }
    }
    let trims = sums[0].zip(sums[1]).map(|(one, two)| [one, two]);
    Some(Unlike::TwoBanks(short(&head.names[column]), trims))
}

fn at_idle(column: &Column, channel: Channel, scale: Option<Scale>) -> Option<f64> {
    let (mean, count) = column.idle;
    // A trim without a unit is logged in per cent.
    let way = scale.map_or(Some(Affine::SAME), |scale| affine(scale, channel, 1.0))?;
    // To tenths, so that none is less than nothing.
    (count >= LEAST).then(|| (way.of(mean) * 10.0).round() / 10.0 + 0.0)
}

/// Whether the log shows a turbo: a target, a duty, a speed, or a sensor before the throttle
/// beside that behind it.
fn boosted(readers: &[Reader], survey: &Survey) -> bool {
    let most = |channel: Channel| {
        let reader = readers.iter().find(|reader| reader.channel == channel)?;
        Some(reader.affine.of(survey.columns[reader.place].ends[1]))
    };
    let above = |channel, limit| most(channel).is_some_and(|value| value > limit);
    let both = [R::Manifold, R::BoostSensor].map(|r| most(Channel::Read(r)).is_some());
    above(Channel::CommandedBoost, 10.0)
        || above(Channel::Read(R::WastegateDuty), 5.0)
        || above(Channel::Read(R::ShaftSpeed), 5.0)
        || both == [true; 2]
}
