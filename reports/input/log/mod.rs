//! Reading drive logs as they come: names, units, separators, clocks of all sorts.
//!
//! A log is read twice, in bounded memory: once to see what its numbers look like, once
//! to find steady windows and pulls. What a column is taken for is said, with the reason;
//! what is not understood is named and left out.

mod cells;
mod decide;
mod feed;
mod groups;
mod head;
mod letters;
mod lines;
mod mapping;
mod moment;
mod names;
mod pace;
mod pressure;
mod rate;
mod reader;
mod silent;
mod spell;
mod spread;
mod steps;
mod survey;
mod tally;
mod thought;
mod time;
mod unit;
mod unlike;
mod utf16;
mod values;
mod words;

pub use mapping::{Asked, mapping, only, rate};
pub use sim::study::knowing::log::{Mapping, Only, Said};
pub use unlike::Unlike;

use crate::InputError;
use feed::Feed;
use head::Head;
use lines::{Held, number};
use reader::Reader;
use silent::Silent;
use sim::network::Reading;
use sim::spelling::{nearest, quote};
use sim::study::judging::diagnose::from_log::Drive;
use sim::study::knowing::log::{Channel, Course, Finder, Found, Pace, Pull, Window};
use sim::study::running::dangers::{Aims, Danger};
use std::path::Path;
use survey::{Survey, rows};
use tally::Tally;
use thought::Thought;
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
    /// Part load and overrun at which speed and load moved, by where they lay.
    pub moving: Vec<Window>,
    /// Full-load pulls.
    pub pulls: Vec<Pull>,
    /// Time the engine ran warm, s.
    pub warm: f64,
    /// Pressure of the air around the car, Pa, taken to convert pressures.
    pub ambient: f64,
    /// Rows of numbers.
    pub rows: u64,
    /// Length, s, jumps of the clock left out.
    pub seconds: f64,
    /// What a person should know of how it was read.
    pub notes: Vec<String>,
    /// Why it is of no engine that the program holds.
    pub unlike: Option<Unlike>,
    /// The log over time, and what its seconds are used for.
    pub course: Course,
}

impl Log {
    /// Dangers that were driven through, the worst of each kind; no car is named, so only what
    /// holds for any petrol engine is judged.
    pub fn dangers(&self) -> Vec<Danger> {
        let aims = Aims {
            vehicle: None,
            ambient: self.ambient,
            estimated: true,
        };
        let points = self.drive().passed();
        Danger::worst(points.iter().flat_map(|point| aims.dangers(point)))
    }

    /// The log, if it is one of an engine that can be judged.
    ///
    /// # Errors
    /// It is not, in words; what was dangerous in it stands before.
    pub fn judged(self, path: &Path) -> Result<Self, InputError> {
        let Some(unlike) = &self.unlike else {
            return Ok(self);
        };
        let dangers = self.dangers();
        let dangers = dangers
            .iter()
            .map(|danger| format!("DANGER: {}\n", danger.words()));
        let message = dangers.collect::<String>() + &unlike.to_string();
        Err(InputError::new(path, message))
    }
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
    let mut head = head::head(log)?;
    let mapping = &mapping::meant(mapping);
    check_names(&head, mapping).map_err(error)?;
    let thoughts = thought::thoughts(&head, mapping).map_err(error)?;
    let known = |thought: &Thought| !matches!(thought.meaning, Meaning::Unknown(_));
    let mut looked: Vec<Option<[f64; 2]>> = (thoughts.iter().zip(&head.names))
        .map(|(thought, name)| {
            (known(thought) || words::is_of_a_diesel(name)).then(|| thought.gate())
        })
        .collect();
    let speed = thought::engine_speed(&thoughts);
    let time = time_column(&thoughts, mapping);
    let side = head.names.iter().position(|name| name == "side");
    if let Some(i) = side {
        looked[i] = Some([f64::NEG_INFINITY, f64::INFINITY]);
    }
    let time_at = time.map(|(i, _)| i);
    let silent = Silent::new(&thoughts, time_at);
    let mut survey = survey::survey(log, &head, &looked, speed, time_at, &silent)?;
    head.parted = survey.parted(speed);
    if head.parted.iter().any(Option::is_some) {
        survey = survey::survey(log, &head, &looked, speed, time_at, &silent)?;
    }
    if let Some(i) = side {
        check_sides(&survey.columns[i].said, mapping).map_err(error)?;
    }
    let (mut mapped, mut readers) =
        decide::decide(&head, &thoughts, &survey, mapping.stoichiometric);
    let (ambient, note) = values::ambient(mapping.ambient, &readers, &survey);
    values::settle(&mut readers, ambient);
    let clock = Clock::of(time, mapping, &head, &survey).map_err(error)?;
    clock.show(&mut mapped);
    if !readers
        .iter()
        .any(|r| r.channel == Channel::Read(Reading::EngineSpeed))
    {
        return Err(error(without_speed(&mapped, head.line)));
    }
    let stranger = unlike::Stranger::new(&head, &thoughts, &survey, &readers, ambient);
    let (mut pace, mut travel) = pace::pace(&readers, &survey, clock);
    let (found, tally, unlike) = loop {
        let mut stranger = stranger.clone();
        stranger.follow(&pace, clock.usual(&survey));
        let way = Way {
            clock,
            pace: pace.clone(),
            stranger: &mut stranger,
            silent: &silent,
        };
        let (found, tally) = second_time(log, &head, mapping, &readers, &survey, way)?;
        if travel.is_none() || pace::runs_up(&found.pulls) {
            break (found, tally, stranger.finish());
        }
        // Held there on a hill, perhaps: no full load that engines are judged by.
        travel = None;
        pace = pace::untold(pace);
    };
    let first = unlike.iter().map(Unlike::to_string);
    let notes = first.chain(tally::cut(&found));
    let notes = notes
        .chain(tally::missing(&readers))
        .chain(note)
        .chain(travel);
    let notes = notes.chain(tally::of_the_head(&head, clock, mapping));
    let notes = notes.chain(tally.notes(&found, &readers, &head.names));
    Ok(Log {
        notes: notes.collect(),
        unlike,
        mapping: mapped,
        windows: found.windows,
        moving: found.moving,
        warm: found.warm,
        pulls: found.pulls,
        course: found.course,
        ambient: ambient * 1e3,
        rows: tally.times.rows,
        seconds: tally.times.seconds,
    })
}

/// Letters of a column's name that are shown, and of its end.
const SHOWN: [usize; 2] = [48, 12];

/// A column's name, its middle left out where it is wide.
pub fn short(name: &str) -> String {
    let count = name.chars().count();
    if count <= SHOWN[0] {
        return name.into();
    }
    let front = name.chars().take(SHOWN[0] - SHOWN[1] - 1);
    let back = name.chars().skip(count - SHOWN[1]);
    front.chain(std::iter::once('…')).chain(back).collect()
}

fn check_names(head: &Head, mapping: &Mapping) -> Result<(), String> {
    let only = mapping.only.iter().map(|only| &only.column);
    for name in mapping.columns.keys().chain(only) {
        if !head.names.contains(name) {
            let names = head.names.iter().map(String::as_str);
            let near = nearest(name, names)
                .map_or(String::new(), |n| format!("; did you mean {}?", quote(n)));
            let all: Vec<String> = head.names.iter().map(|name| short(name)).take(40).collect();
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
fn time_column(thoughts: &[Thought], mapping: &Mapping) -> Option<(usize, Option<unit::Scale>)> {
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

fn without_speed(mapped: &[Mapped], line: u64) -> String {
    let left: Vec<String> = (mapped.iter())
        .filter(|mapped| mapped.taken == Taken::LeftOut)
        .take(40)
        .map(|mapped| format!("{} ({})", quote(&mapped.column), mapped.why))
        .collect();
    format!(
        "no column is understood as the engine's speed; line {line} is taken for the names\nname it in the mapping: `\"...\" = {{ reading = \
         \"engine_speed_rpm\" }}`\nleft out: {}",
        left.join(", ")
    )
}

/// How the rows are gone through.
struct Way<'a> {
    clock: Clock,
    pace: Pace,
    stranger: &'a mut unlike::Stranger,
    silent: &'a Silent,
}

fn second_time(
    log: Held,
    head: &Head,
    mapping: &Mapping,
    readers: &[Reader],
    survey: &Survey,
    Way {
        clock,
        pace,
        stranger,
        silent,
    }: Way,
) -> Result<(Found, Tally), InputError> {
    let channels: Vec<Channel> = readers.iter().map(|reader| reader.channel).collect();
    let ranges: Vec<[f64; 2]> = channels.iter().map(|channel| channel.range()).collect();
    let mut feed = Feed::new(clock, Finder::new(&channels, pace));
    let mut fresh = vec![f64::NAN; readers.len()];
    let only = mapping.only.as_ref().and_then(|only| {
        let place = head.names.iter().position(|name| *name == only.column)?;
        Some((place, only.is.as_bytes()))
    });
    let mut wild = vec![0; readers.len()];
    // Until the coolant's temperature comes, it is the first that comes: a log begins with an
    // engine as cold as that.
    let coolant = readers.iter().position(|r| r.channel == Channel::Coolant);
    let coolant = coolant.map(|i| (i, &readers[i]));
    let mut begins = coolant.map(|(i, r)| (i, r.affine.of(survey.columns[r.place].first)));
    let mut passed = rows(log, head, |cells| {
        if only.is_some_and(|(place, is)| cells.get(place) != is) {
            return;
        }
        if silent.is_summary(cells) || silent.is(cells) {
            return;
        }
        for (i, (value, reader)) in fresh.iter_mut().zip(readers).enumerate() {
            let read = number(cells.get(reader.place)).map(|x| reader.affine.of(x));
            let sane = read.filter(|x| (ranges[i][0]..=ranges[i][1]).contains(x));
            wild[i] += u64::from(read.is_some() && sane.is_none());
            *value = sane.unwrap_or(f64::NAN);
        }
        if let Some((i, first)) = begins.take().filter(|(i, _)| fresh[*i].is_nan()) {
            fresh[i] = first;
        }
        let time = match clock {
            Clock::Column(i, ..) => cells.get(i),
            Clock::Rows(_) => &[],
        };
        stranger.row(&fresh);
        feed.row(time, &fresh);
    })?;
    (passed.silent, passed.summary) = (survey.passed.silent, survey.passed.summary);
    let (found, times) = feed.finish();
    let tally = Tally {
        passed,
        times,
        wild,
        step: clock.median(survey),
    };
    Ok((found, tally))
}
