//! What the finder of windows must know of a log beforehand.

use super::reader::Reader;
use super::survey::Survey;
use super::time::Clock;
use sim::network::Reading;
use sim::study::knowing::log::{Channel, Pace};

/// Values that a mean needs to count.
const LEAST: f64 = 3.0;
/// Share of the values of a pedal that never moves which must come from an idling engine for it
/// to be at rest (own choice).
const IDLES: f64 = 0.9;

/// What the finder must know beforehand.
pub(super) fn pace(readers: &[Reader], survey: &Survey, clock: Clock) -> Pace {
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

/// What stands for the pedal, and where it rests and is down.
///
/// Pedals rest above 0 and end below 100 on many cars; a log without full load does not show
/// the upper end. A throttle rests where the engine idles: the overrun may close it further.
fn travel(reader: &Reader, survey: &Survey) -> Option<(Channel, [f64; 2])> {
    let column = &survey.columns[reader.place];
    let [low, high] = column.ends.map(|end| reader.affine.of(end));
    let (idle, count) = column.idle;
    if high > low {
        let idles = reader.channel == Channel::Read(Reading::Throttle) && count >= LEAST;
        let rest = if idles {
            reader.affine.of(idle).max(low)
        } else {
            low
        };
        return Some((
            reader.channel,
            [rest, if high >= 75.0 { high } else { 100.0 }],
        ));
    }
    let rests = count >= IDLES * column.within as f64 && count >= LEAST;
    rests.then_some((reader.channel, [low, low.max(0.0) + 100.0]))
}
