//! What was met in a log, in words.

use super::feed::Times;
use super::head::Head;
use super::reader::Reader;
use super::time::Clock;
use super::{Mapping, short, survey};
use sim::network::Reading as R;
use sim::study::knowing::log::{Channel, Found, Kind};
use sim::units::round;

/// What was met on the second way through.
#[derive(Clone, Debug)]
pub(super) struct Tally {
    pub passed: survey::Passed,
    pub times: Times,
    /// Values out of the range of their channel, one a reader.
    pub wild: Vec<u64>,
    /// Usual time between rows, s.
    pub step: f64,
}

/// Columns named whose values were set aside.
const NAMED: usize = 8;

/// What a leak is found by and the log does not hold.
pub(super) fn missing(readers: &[Reader]) -> Vec<String> {
    let has = |reading: R| {
        let channel = Channel::Read(reading);
        readers.iter().any(|reader| reader.channel == channel)
    };
    let any = |all: &[R]| all.iter().any(|reading| has(*reading));
    let trims = match [R::ShortTrim, R::LongTrim, R::FuelTrim].map(has) {
        [_, _, true] | [true, true, _] => None,
        [false, false, _] => Some(
            "no fuel trim in this log: air that gets in behind the mass air flow sensor shows \
             there first; log short-term and long-term trim",
        ),
        [true, ..] => Some(
            "no long-term fuel trim in this log: what the engine computer has learnt does not show",
        ),
        _ => Some(
            "no short-term fuel trim in this log: what the engine computer adds beyond what it has \
             learnt does not show",
        ),
    };
    let boost = any(&[R::Boost, R::BoostPsi, R::BoostSensor, R::Manifold]);
    let boost = (!boost).then_some(
        "no boost and no manifold pressure in this log: leaks of boosted pipes hardly show \
         without; log one of them at least",
    );
    let pedal = (!any(&[R::Pedal, R::Throttle])).then_some(
        "neither pedal nor throttle in this log: full load is not told from part load, and no \
         pull is judged",
    );
    let lambda = (!any(&[R::LambdaSensor, R::Lambda])).then_some(
        "no lambda in this log: whether the mixture is right, and lean running under boost, do not \
         show; log the wideband sensor",
    );
    let all = trims.into_iter().chain(boost).chain(lambda).chain(pedal);
    all.map(String::from).collect()
}

/// Conditions that a leak is found in and that were not met.
fn not_met(found: &Found, readers: &[Reader]) -> Vec<String> {
    let idles = found.windows.iter().any(|window| window.kind == Kind::Idle);
    let idle = (!idles).then_some(
        "no idle in this log: a leak behind the throttle or the sensor shows most there; let the warm \
         engine idle for half a minute, car standing, pedal released",
    );
    let told = [R::Pedal, R::Throttle].map(Channel::Read);
    let told = readers.iter().any(|reader| told.contains(&reader.channel));
    let pull = (found.pulls.is_empty() && told).then_some(
        "no full-load pull in this log: what only boost opens is not tested; `falseair diagnose plan` says \
         what may be driven next, and how",
    );
    idle.into_iter().chain(pull).map(String::from).collect()
}

/// What the top of the file tells of names and pace.
pub(super) fn of_the_head(head: &Head, clock: Clock, mapping: &Mapping) -> Vec<String> {
    let spoilt = (head.spoilt > 0).then(|| {
        format!(
            "column names with letters spoilt by a wrong encoding, put right: {}",
            head.spoilt
        )
    });
    let stated = head.stated.filter(|_| matches!(clock, Clock::Rows(_)));
    let stated = stated.filter(|_| mapping.interval.is_none());
    let stated = stated.map(|stated| {
        let interval = round(stated.interval, 3);
        format!(
            "no column of time: a row every {interval} s, as line {} says",
            stated.line
        )
    });
    let parted = head
        .parted
        .iter()
        .zip(&head.names)
        .filter_map(|(mark, name)| {
            let mark = (*mark)?.words();
            Some(format!(
                "`{}`: thousands are taken to be parted by {mark}",
                short(name)
            ))
        });
    let parted = parted.take(NAMED);
    spoilt.into_iter().chain(stated).chain(parted).collect()
}

/// At which speed fuel was cut with the pedal down: no danger at a limiter, one before it.
pub(super) fn cut(found: &Found) -> Option<String> {
    let speeds = found.pulls.iter().filter_map(|pull| pull.cut);
    let least = speeds.fold(f64::INFINITY, f64::min);
    least.is_finite().then(|| {
        format!(
            "fuel is cut at {least:.0} rpm with the pedal down: taken for the speed limiter. Where this \
             engine's limiter lies higher it ran out of fuel: do not load it until fuel pressure and \
             delivery are checked"
        )
    })
}

impl Tally {
    /// What a person should know of it.
    pub fn notes(&self, found: &Found, readers: &[Reader], names: &[String]) -> Vec<String> {
        let mut notes = Vec::new();
        let times = &self.times;
        let mut counted = |count: u64, what: &str| {
            if count > 0 {
                notes.push(format!("{what}: {count}"));
            }
        };
        counted(self.passed.words, "rows of words passed over");
        counted(
            self.passed.spoilt,
            "lines with bytes that no text holds passed over",
        );
        counted(
            self.passed.short,
            "rows with fewer cells than there are names",
        );
        counted(
            self.passed.summary,
            "rows that sum up those above (least, most, mean) passed over",
        );
        counted(
            self.passed.silent,
            "rows with zero in every column passed over: the logger had no answer yet, or none any more",
        );
        counted(
            times.moments.odd,
            "rows without a time, or a little before the row above: that one's time is taken",
        );
        counted(times.moments.same, "rows with the time of the row above");
        counted(
            times.moments.restarts,
            "clock runs back by more than 1 s, and the log goes on in another piece",
        );
        let (jumps, farthest) = times.jumps;
        let [gap, farthest, step] =
            [times.gap, farthest.min(1e308), self.step].map(|s| round(s, 3));
        counted(
            jumps,
            &format!(
                "clock jumps ahead by more than {gap} s ({farthest} s at most): nothing is held \
                 over a jump, and its time does not count (its usual step is {step} s)"
            ),
        );
        counted(
            times.astray,
            &format!(
                "rows whose clock jumps away and comes back with the next row left out (its usual \
                 step is {step} s)"
            ),
        );
        counted(found.pulls_dropped, "pulls beyond those kept left out");
        notes.extend(not_met(found, readers));
        notes.extend(self.set_aside(readers, names));
        if found.windows_dropped > 0.0 {
            notes.push(format!(
                "{:.0} s of steady running beyond the windows kept left out",
                found.windows_dropped
            ));
        }
        if found.cold > 0.0 {
            notes.push(format!(
                "{:.0} s with coolant below 70 °C left out: the engine was cold",
                found.cold
            ));
        }
        if !readers
            .iter()
            .any(|reader| reader.channel == Channel::Coolant)
        {
            notes.push(
                "no coolant temperature in this log: a warm-up is not told from a warm engine; cut \
                 it off where the engine was cold"
                    .into(),
            );
        }
        if found.windows.is_empty() {
            notes.push(format!(
                "no steady window was found ({})",
                sim::study::knowing::log::RULE
            ));
        }
        notes
    }
    /// Values that cannot be true, by column.
    fn set_aside(&self, readers: &[Reader], names: &[String]) -> Vec<String> {
        let some = readers
            .iter()
            .zip(&self.wild)
            .filter(|(_, count)| **count > 0);
        let mut all: Vec<String> = some
            .map(|(reader, count)| {
                let [low, high] = reader.channel.range();
                let (label, unit) = (reader.channel.label(), reader.channel.unit());
                let name = short(&names[reader.place]);
                let beyond = format!("outside {low} to {high} {unit}");
                let beyond = beyond.trim_end();
                format!("`{name}`: values set aside, for no {label} is {beyond}: {count}")
            })
            .collect();
        let more = all.len().saturating_sub(NAMED);
        all.truncate(NAMED);
        all.extend((more > 0).then(|| format!("columns more with values set aside: {more}")));
        all
    }
}
