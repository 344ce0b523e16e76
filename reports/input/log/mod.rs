//! Reading drive logs as they come: names, units, separators, clocks of all sorts.
//!
//! A log is read twice, in bounded memory: once to see what its numbers look like, once
//! to find steady windows and pulls. What a column is taken for is said, with the reason;
//! what is not understood is named and left out.

mod decide;
mod feed;
mod head;
mod lines;
mod mapping;
mod moment;
mod names;
mod pressure;
mod steps;
mod survey;
mod tally;
mod time;
mod unit;
mod words;

pub use mapping::{mapping, only};
pub use sim::study::knowing::log::{Mapping, Only, Said};

use crate::InputError;
use decide::Reader;
use feed::Feed;
use head::Head;
use lines::{Held, number};
use sim::network::Reading;
use sim::spelling::{nearest, quote};
use sim::study::judging::diagnose::from_log::Drive;
use sim::study::knowing::log::{Channel, Finder, Found, Pace, Pull, Window};
use std::path::Path;
use survey::{Survey, rows};
use tally::Tally;
use time::Clock;
use words::Meaning;

/// What a column was taken for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Taken {
    /// The time.
    Time,
    /// A signal.
    Reading(Channel),
    /// Nothing.
    LeftOut,
}

/// A column and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mapped {
    /// Its header text.
    pub column: String,
    /// Its place, from 0.
    pub place: usize,
    /// What it was taken for.
    pub taken: Taken,
    /// In which unit; empty for a plain number and where it was left out.
    pub unit: String,
    /// Why.
    pub why: String,
}

/// A log that was read.
#[derive(Clone, Debug)]
pub struct Log {
    /// Every column.
    pub mapping: Vec<Mapped>,
    /// Conditions that were held.
    pub windows: Vec<Window>,
    /// Part load at which speed and load moved, by where they lay.
    pub moving: Vec<Window>,
    /// Full-load pulls.
    pub pulls: Vec<Pull>,
    /// Time the engine ran warm, s, and of that with the pedal released while the car rolled.
    pub warm: [f64; 2],
    /// Pressure of the air around the car, Pa, taken to convert pressures.
    pub ambient: f64,
    /// Rows of numbers.
    pub rows: u64,
    /// Length, s, jumps of the clock left out.
    pub seconds: f64,
    /// What a person should know of how it was read.
    pub notes: Vec<String>,
}

impl Log {
    /// What it holds, to be judged by.
    pub fn drive(&self) -> Drive<'_> {
        Drive {
            windows: &self.windows,
            moving: &self.moving,
            pulls: &self.pulls,
        }
    }
}

/// Reads a log of any length.
///
/// # Errors
/// The file is no log (binary, no header, no numbers), holds no engine speed or no
/// time that can be told, or `mapping` names a column or unit that is none.
pub fn read(path: &Path, mapping: &Mapping) -> Result<Log, InputError> {
    let bytes = None;
    held(Held { path, bytes }, mapping)
}

/// The same from bytes that are in no file; `name` is what messages call them.
///
/// # Errors
/// As [`read`].
pub fn read_bytes(name: &Path, bytes: &[u8], mapping: &Mapping) -> Result<Log, InputError> {
    let (path, bytes) = (name, Some(bytes));
    held(Held { path, bytes }, mapping)
}

fn held(log: Held, mapping: &Mapping) -> Result<Log, InputError> {
    let error = |message: String| InputError::new(log.path, message);
    let head = head::head(log)?;
    check_names(&head, mapping).map_err(error)?;
    let thoughts = decide::thoughts(&head, mapping).map_err(error)?;
    let wanted: Vec<bool> = (thoughts.iter())
        .map(|thought| !matches!(thought.meaning, Meaning::Unknown(_)))
        .collect();
    let speed = decide::engine_speed(&thoughts);
    let time = time_column(&thoughts, mapping);
    let side = head.names.iter().position(|name| name == "side");
    let mut looked = wanted;
    side.into_iter().for_each(|i| looked[i] = true);
    let survey = survey::survey(log, &head, &looked, speed, time.map(|(i, _)| i))?;
    if let Some(i) = side {
        check_sides(&survey.columns[i].said, mapping).map_err(error)?;
    }
    let (mut mapped, mut readers) =
        decide::decide(&head, &thoughts, &survey, mapping.stoichiometric);
    let (ambient, note) = decide::ambient(mapping.ambient, &readers, &survey);
    decide::settle(&mut readers, ambient);
    let clock = Clock::of(time, mapping, &survey).map_err(error)?;
    clock.show(&mut mapped);
    if !readers
        .iter()
        .any(|r| r.channel == Channel::Read(Reading::EngineSpeed))
    {
        return Err(error(without_speed(&mapped)));
    }
    let (found, tally) = second_time(log, &head, mapping, &readers, &survey, clock)?;
    let notes = note.into_iter().chain(tally.notes(&found, &readers));
    Ok(Log {
        notes: notes.collect(),
        mapping: mapped,
        windows: found.windows,
        moving: found.moving,
        warm: [found.warm, found.released],
        pulls: found.pulls,
        ambient: ambient * 1e3,
        rows: tally.times.rows,
        seconds: tally.times.seconds,
    })
}

fn check_names(head: &Head, mapping: &Mapping) -> Result<(), String> {
    let only = mapping.only.iter().map(|only| &only.column);
    for name in mapping.columns.keys().chain(only) {
        if !head.names.contains(name) {
            let names = head.names.iter().map(String::as_str);
            let near = nearest(name, names)
                .map_or(String::new(), |n| format!("; did you mean {}?", quote(n)));
            let all: Vec<&str> = head.names.iter().map(String::as_str).take(40).collect();
            let all = all.join(", ");
            return Err(format!(
                "the log has no column {}{near}\nits columns: {all}",
                quote(name)
            ));
        }
    }
    Ok(())
}

/// A drive of this program holds the healthy car and the faulty one below each other.
fn check_sides(said: &[String], mapping: &Mapping) -> Result<(), String> {
    if said.len() < 2 || mapping.only.is_some() {
        return Ok(());
    }
    let said: Vec<String> = said.iter().map(|word| quote(word)).collect();
    Err(format!(
        "the column `side` holds more than one car: {}\nsay which: --only side=healthy, or `only` in the mapping",
        said.join(", ")
    ))
}

/// The column of time: the one a person names, or the first; with its unit.
fn time_column(
    thoughts: &[decide::Thought],
    mapping: &Mapping,
) -> Option<(usize, Option<unit::Scale>)> {
    if mapping.interval.is_some() {
        return None;
    }
    let mut times: Vec<_> = (thoughts.iter().enumerate())
        .filter_map(|(i, thought)| match thought.meaning {
            Meaning::Time(scale) => Some((!thought.sure, i, scale)),
            _ => None,
        })
        .collect();
    times.sort_by_key(|(guess, i, _)| (*guess, *i));
    times.first().map(|(_, i, scale)| (*i, *scale))
}

fn without_speed(mapped: &[Mapped]) -> String {
    let left: Vec<String> = (mapped.iter())
        .filter(|mapped| mapped.taken == Taken::LeftOut)
        .take(40)
        .map(|mapped| format!("{} ({})", quote(&mapped.column), mapped.why))
        .collect();
    format!(
        "no column is understood as the engine's speed\nname it in the mapping: `\"...\" = {{ reading = \
         \"engine_speed_rpm\" }}`\nleft out: {}",
        left.join(", ")
    )
}

fn second_time(
    log: Held,
    head: &Head,
    mapping: &Mapping,
    readers: &[Reader],
    survey: &Survey,
    clock: Clock,
) -> Result<(Found, Tally), InputError> {
    let channels: Vec<Channel> = readers.iter().map(|reader| reader.channel).collect();
    let ranges: Vec<[f64; 2]> = channels.iter().map(|channel| channel.range()).collect();
    let mut feed = Feed::new(clock, Finder::new(&channels, pace(readers, survey, clock)));
    let mut fresh = vec![f64::NAN; readers.len()];
    let only = mapping.only.as_ref().and_then(|only| {
        let place = head.names.iter().position(|name| *name == only.column)?;
        Some((place, only.is.as_bytes()))
    });
    let mut wild = 0;
    let passed = rows(log, head, |cells| {
        if only.is_some_and(|(place, is)| cells.get(place) != is) {
            return;
        }
        for ((value, reader), [low, high]) in fresh.iter_mut().zip(readers).zip(&ranges) {
            let read = number(cells.get(reader.place)).map(|x| reader.affine.of(x));
            let sane = read.filter(|x| (*low..=*high).contains(x));
            wild += u64::from(read.is_some() && sane.is_none());
            *value = sane.unwrap_or(f64::NAN);
        }
        let time = match clock {
            Clock::Column(i, ..) => cells.get(i),
            Clock::Rows(_) => &[],
        };
        feed.row(time, &fresh);
    })?;
    let (found, times) = feed.finish();
    let tally = Tally {
        passed,
        times,
        wild,
    };
    Ok((found, tally))
}

/// What the finder must know beforehand.
fn pace(readers: &[Reader], survey: &Survey, clock: Clock) -> Pace {
    let step = clock.step(survey);
    let place = |channel: Channel| readers.iter().find(|reader| reader.channel == channel);
    let duration = step * survey.passed.rows as f64;
    let each = |reader: &Reader| duration / survey.columns[reader.place].numbers.max(1) as f64;
    let load = Channel::LOADS
        .into_iter()
        .find(|channel| place(*channel).is_some());
    let pedal = [Reading::Pedal, Reading::Throttle].map(Channel::Read);
    let pedal = pedal.into_iter().find_map(|channel| {
        let reader = place(channel)?;
        let [low, high] = survey.columns[reader.place]
            .ends
            .map(|end| reader.affine.of(end));
        // Pedals rest above 0 and end below 100 on many cars; a log without full load does
        // not show the upper end.
        (high > low).then_some((channel, [low, if high >= 75.0 { high } else { 100.0 }]))
    });
    let gates = [
        Some(Channel::Read(Reading::EngineSpeed)),
        load,
        pedal.map(|p| p.0),
    ];
    let slowest = gates
        .into_iter()
        .flatten()
        .filter_map(place)
        .map(each)
        .fold(0.0, f64::max);
    let block = (1.5 * slowest).clamp(1.0, 10.0);
    let steps = readers.iter().map(|reader| {
        let step = survey.columns[reader.place].step * reader.affine.factor.abs();
        if step.is_finite() { step } else { 0.0 }
    });
    Pace {
        block,
        gap: (2.0 * block).max(5.0 * clock.usual(survey)).max(2.0),
        pedal,
        load,
        steps: steps.collect(),
    }
}
