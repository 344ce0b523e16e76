//! What the finder of windows must know of a log beforehand.

use super::reader::Reader;
use super::survey::Survey;
use super::time::Clock;
use sim::network::Reading;
use sim::study::knowing::log::{Channel, Pace, Pull};

/// Values that a mean needs to count.
const LEAST: f64 = 3.0;
/// Share of the values of a pedal that never moves which must come from an idling engine for it
/// to be at rest (own choice).
const IDLES: f64 = 0.9;

/// Upper end of a pedal or throttle, %, from which it is its full travel, and from which it is
/// where it is held there or comes back to it (common practice, no source).
const FULL: f64 = 75.0;
const SHORT: f64 = 55.0;

/// What the finder must know beforehand, and what to say of it.
pub(super) fn pace(readers: &[Reader], survey: &Survey, clock: Clock) -> (Pace, Option<String>) {
    let step = clock.step(survey);
    let place = |channel: Channel| readers.iter().find(|reader| reader.channel == channel);
    let duration = step * survey.passed.rows as f64;
    let each = |reader: &Reader| duration / survey.columns[reader.place].numbers.max(1) as f64;
    let load = Channel::LOADS
        .into_iter()
        .find(|channel| place(*channel).is_some());
    let pedal = [Reading::Pedal, Reading::Throttle].map(Channel::Read);
    let pedal = pedal
        .into_iter()
        .find_map(|channel| travel(place(channel)?, survey));
    let (pedal, note) = pedal.map_or((None, None), |(pedal, note)| (Some(pedal), note));
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
    let pace = Pace {
        block,
        gap: (2.0 * block).max(5.0 * clock.usual(survey)).max(2.0),
        pedal,
        load,
        steps: steps.collect(),
    };
    (pace, note)
}

/// What stands for the pedal, and where it rests and is down, %.
type Travel = (Channel, [f64; 2]);

/// What stands for the pedal, and where it rests and is down.
///
/// Pedals rest above 0 and end below 100 on many cars; a log without full load does not show
/// the upper end. A throttle rests where the engine idles: the overrun may close it further.
fn travel(reader: &Reader, survey: &Survey) -> Option<(Travel, Option<String>)> {
    let column = &survey.columns[reader.place];
    let [low, high] = column.spread.slow_ends().map(|end| reader.affine.of(end));
    let (idle, count) = column.idle;
    if high > low {
        let idles = reader.channel == Channel::Read(Reading::Throttle) && count >= LEAST;
        let rest = if idles {
            reader.affine.of(idle).max(low)
        } else {
            low
        };
        let held = high > SHORT && column.spread.is_held_at_the_top();
        let (full, note) = match high {
            high if high >= FULL => (high, None),
            high if held => (high, Some(short_travel(reader.channel, high))),
            _ => (100.0, None),
        };
        return Some(((reader.channel, [rest, full]), note));
    }
    let rests = count >= IDLES * column.within as f64 && count >= LEAST;
    rests.then_some(((reader.channel, [low, low.max(0.0) + 100.0]), None))
}

/// How far, rpm, and up to where an engine runs up in one pull at least for a pedal that ends short
/// to be taken for its full travel (own choice).
const RUNS_UP: [f64; 2] = [1500.0, 4000.0];

/// Whether one of these pulls is what a pedal at its end makes of an engine.
pub(super) fn runs_up(pulls: &[Pull]) -> bool {
    pulls.iter().any(|pull| {
        let [low, high] = pull.speeds();
        high - low >= RUNS_UP[0] && high >= RUNS_UP[1]
    })
}

/// The same with the pedal down at 100 %, for the log does not show where it is.
pub(super) fn untold(pace: Pace) -> Pace {
    let pedal = pace
        .pedal
        .map(|(channel, [rest, _])| (channel, [rest, 100.0]));
    Pace { pedal, ..pace }
}

fn short_travel(channel: Channel, high: f64) -> String {
    format!(
        "{} never goes beyond {high:.0} % and is held there or comes back to it: taken for its full \
         travel; where it was not pressed to the floor, what is called full load here was part load",
        channel.label()
    )
}
