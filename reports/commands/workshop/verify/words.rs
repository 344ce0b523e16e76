//! A verify answer in words.

use crate::commands::workshop::car::InCar;
use crate::commands::workshop::verify::{UNLIKELY, lines};
use crate::say::workshop_verify as say;
use sim::network::Defect;
use sim::study::workshop::verify::{Bench, Datum, Fitted, Verdict};
use sim::units::show_to;

/// The size in its own unit.
fn size(defect: &Defect, si: f64) -> String {
    show_to(si, defect.dimension(), 3)
}

/// `1.26 mm (1.17 to 1.35 mm)`; where nothing of it shows, `at most 0.2 mm`.
pub(super) fn words(defect: &Defect, fit: &Fitted) -> String {
    let sound = defect.healthy();
    if fit.away(sound).0 == 0.0 && defect.place().is_some() && !fit.open {
        return format!("at most {}", show_to(fit.high, defect.dimension(), 2));
    }
    let [value, low, high] = [fit.size, fit.low, fit.high].map(|si| size(defect, si));
    // The unit once, if it is the same.
    let low = match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other => number.to_string(),
        _ => low,
    };
    let more = if fit.open { " or more" } else { "" };
    format!("{value} ({low} to {high}{more})")
}

pub(super) fn word(judged: Verdict) -> &'static str {
    match judged {
        Verdict::Gone => "gone",
        Verdict::Smaller => "smaller",
        Verdict::Still => "still_there",
        Verdict::NotSeenBefore => "not_seen_before",
        Verdict::Open => "open",
    }
}

/// What was mended, without its size.
pub(super) fn name(defect: &Defect) -> String {
    match defect {
        Defect::Leak(leak) => format!("leak at the {}", leak.place.label()),
        Defect::Fault(fault) => format!("fault \"{}\"", fault.kind.label()),
    }
}

pub(super) fn says(judged: Verdict, defect: &Defect, before: &Fitted, after: &Fitted) -> String {
    let (name, was, is) = (name(defect), words(defect, before), words(defect, after));
    match judged {
        Verdict::Gone => say::gone(name, was, worst(defect, after)),
        Verdict::Smaller => say::smaller(name, was, is),
        Verdict::Still => say::still(name, was, is),
        Verdict::NotSeenBefore => say::not_seen_before(name, was),
        Verdict::Open => say::open(name, was, is),
    }
}

/// The limit that is furthest from a healthy car.
fn worst(defect: &Defect, fit: &Fitted) -> String {
    let sound = defect.healthy();
    let far = if (fit.low - sound).abs() > (fit.high - sound).abs() {
        fit.low
    } else {
        fit.high
    };
    show_to(far, defect.dimension(), 2)
}

pub(super) fn left(
    judged: Verdict,
    defect: &Defect,
    after: &Fitted,
    car: Option<&InCar>,
) -> String {
    let said = match judged {
        Verdict::Gone => say::nothing_left(worst(defect, after)),
        _ => say::left(words(defect, after)),
    };
    match car {
        Some(car) if !car.shows() => said + say::EVEN_THAT,
        _ => said + ".",
    }
}

/// Whether the rest is explained, in words, and by what it is not.
pub(super) fn rest(bench: &Bench, data: [&[Datum]; 2], fits: [&Fitted; 2]) -> String {
    let mut said = Vec::new();
    for (when, data, fit) in [("before", data[0], fits[0]), ("after", data[1], fits[1])] {
        said.push(match fit.chance_of_rest() {
            None => say::always_fits(when),
            Some(chance) if chance >= UNLIKELY => say::explained(when, 100.0 * chance),
            Some(chance) => {
                let lines = lines(bench, data, fit);
                let worst = lines
                    .iter()
                    .max_by(|a, b| a.off.abs().total_cmp(&b.off.abs()));
                let worst = worst.map_or(String::new(), |line| say::worst(&line.what, line.off));
                let chance = match 100.0 * chance < 0.1 {
                    true => say::HARDLY_ANY.into(),
                    false => format!("{:.1} %", 100.0 * chance),
                };
                say::not_explained(when, chance, worst)
            }
        });
    }
    said.join("; ") + "."
}
