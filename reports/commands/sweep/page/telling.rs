//! What moved most in a sweep, where, and by which axis: its answer in a sentence.

use crate::commands::sweep::page::{FIRST, digits, short, unit, worded};
use crate::commands::sweep::summary::{Bin, Named, Over, Point, ReadingSummary, Summary};
use crate::say::sweep as say;
use crate::text::number::{digits as significant, number};
use crate::text::words::sentence;
use sim::network::readings::FORMS;
use sim::study::knowing::doubt::instrument;

/// Share of a reading's variance from which an axis is named.
const NAMED: f64 = 0.05;

/// Point and reading whose range is most of what its instrument is off by; none where nothing moves.
pub(super) fn most(summary: &Summary) -> Option<(usize, usize)> {
    let all = summary.points.iter().enumerate().flat_map(|(i, point)| {
        let readings = point.readings.iter().enumerate();
        readings.filter_map(move |(j, reading)| Some((far(reading)?, (i, j))))
    });
    // The first of those that are as far.
    let best = all.reduce(|best, one| if one.0 > best.0 { one } else { best });
    best.map(|(_, place)| place)
}

/// Its range in standard deviations of its instrument; none of what is not taken at a car.
fn far(reading: &ReadingSummary) -> Option<f64> {
    let all = &reading.all;
    let key = reading.named.column.split(" [").next()?;
    let form = FORMS.iter().find(|form| form.key == key)?;
    let taken = FIRST.contains(&key) && all.varies;
    let off = instrument(form.reading).deviation(all.mean);
    (taken && off > 0.0).then(|| (all.high - all.low) / off)
}

/// The sentence about that reading.
pub(super) fn says(summary: &Summary, point: &Point, j: usize) -> String {
    let reading = &point.readings[j];
    let [low, high] = [reading.all.low, reading.all.high].map(|value| digits(reading, value));
    let over = reading.over.iter().zip(&summary.axes);
    let mut shares: Vec<(f64, &Over, &Named)> = over
        .filter_map(|(over, axis)| {
            let over = over.as_ref()?;
            Some((over.share.filter(|share| *share >= NAMED)?, over, axis))
        })
        .collect();
    shares.sort_by(|a, b| b.0.total_cmp(&a.0));
    let by = shares.iter().take(2);
    let by = by.map(|(share, over, axis)| {
        let share = number(100.0 * share, 0);
        match ends(reading, over, axis) {
            Some([low, high]) => say::by_from_to(short(axis), share, low, high),
            None => say::by(short(axis), share),
        }
    });
    let by: Vec<String> = by.collect();
    let unit = &reading.named.unit;
    let moved = say::moved_most(&reading.named.about, &point.name, low, high, unit);
    match by.is_empty() {
        true => sentence(&moved),
        false => sentence(&say::because(moved, by.join(", "))),
    }
}

/// Where the reading is lowest and highest on average.
fn ends(reading: &ReadingSummary, over: &Over, axis: &Named) -> Option<[String; 2]> {
    let there = over
        .bins
        .iter()
        .filter_map(|bin| Some((bin, bin.tally?.mean)));
    let there: Vec<(&Bin, f64)> = there.collect();
    let low = there.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let high = there.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let told = |(bin, mean): &(&Bin, f64)| {
        let at = match (&bin.name, bin.at) {
            (Some(word), _) => worded(word),
            (None, at) => {
                let at = significant(at.unwrap_or(f64::NAN), 3).replace('-', "\u{2212}");
                format!("{at} {}", unit(axis)).trim_end().to_string()
            }
        };
        say::mean_at(digits(reading, *mean), at)
    };
    (there.len() > 1).then(|| [told(low), told(high)])
}
