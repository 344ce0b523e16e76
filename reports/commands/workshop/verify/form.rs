//! A verify answer in words.

use crate::commands::workshop::before::{ending, row};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::verify::{File, Side, UNLIKELY, lines};
use crate::text::words::{heading, paragraph};
use sim::network::Defect;
use sim::study::workshop::verify::{Bench, Datum, Fitted, Verdict};
use sim::units::{round, show_to};

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
        Defect::Leak(leak) => format!("leak at the {}", leak.place.word().replace('_', " ")),
        Defect::Fault(fault) => format!("fault \"{}\"", fault.kind.key().replace('_', " ")),
    }
}

pub(super) fn says(judged: Verdict, defect: &Defect, before: &Fitted, after: &Fitted) -> String {
    let (was, is) = (words(defect, before), words(defect, after));
    let name = name(defect);
    match judged {
        Verdict::Gone => format!(
            "The {name} is gone: {was} before, nothing that the readings can tell after, at most {}, \
             with 90 % confidence.",
            worst(defect, after)
        ),
        Verdict::Smaller => format!(
            "The {name} is smaller but not gone: {was} before, {is} after, with 90 % confidence."
        ),
        Verdict::Still => format!(
            "The {name} is still there: {was} before, {is} after; what was mended was not it, or not \
             all of it."
        ),
        Verdict::NotSeenBefore => format!(
            "The readings before the repair do not show the {name} ({was}), so nothing can be said \
             of its mending: another fault may have been behind the complaint."
        ),
        Verdict::Open => format!(
            "The {name} showed before ({was}), but the readings after cannot tell whether it is gone \
             ({is}): read more, or more exactly."
        ),
    }
}

/// The limit that is furthest from a sound car.
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
        Verdict::Gone => format!(
            "Left: nothing that shows; anything worse than {} would have shown",
            worst(defect, after)
        ),
        _ => format!("Left: {}, with 90 % confidence", words(defect, after)),
    };
    match car {
        Some(car) if !car.shows() => {
            said + "; even that would change nothing that workshop instruments show in the running car."
        }
        _ => said + ".",
    }
}

/// Whether the rest is explained, in words, and by what it is not.
pub(super) fn rest(bench: &Bench, data: [&[Datum]; 2], fits: [&Fitted; 2]) -> String {
    let mut said = Vec::new();
    for (when, data, fit) in [("before", data[0], fits[0]), ("after", data[1], fits[1])] {
        said.push(match fit.chance_of_rest() {
            None => format!("{when}: one reading always fits, so nothing can be said of a rest"),
            Some(chance) if chance >= UNLIKELY => format!(
                "{when}: explained, the readings lie about the model as their doubts say (chance {:.0} %)",
                100.0 * chance
            ),
            Some(chance) => {
                let lines = lines(bench, data, fit);
                let worst = lines.iter().max_by(|a, b| a.off.abs().total_cmp(&b.off.abs()));
                let worst = worst.map_or(String::new(), |line| {
                    format!("; most of all {}, {:+.1} doubts off", line.what, line.off)
                });
                format!(
                    "{when}: NOT explained (chance {}){worst}: another fault, or doubts stated too small",
                    match 100.0 * chance < 0.1 {
                        true => "below 0.1 %".into(),
                        false => format!("{:.1} %", 100.0 * chance),
                    }
                )
            }
        });
    }
    said.join("; ") + "."
}

pub(super) fn table(file: &File) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &file.says);
    heading(&mut text, "record");
    let head = &file.head;
    let labels = [
        ("customer", &head.customer),
        ("car", &head.car),
        ("date", &head.date),
        ("workshop", &head.workshop),
        ("technician", &head.technician),
        ("work done", &head.work),
        ("model", &file.vehicle),
    ];
    for (label, words) in labels {
        if !words.is_empty() {
            paragraph(&mut text, &format!("{label:12}"), words);
        }
    }
    side(&mut text, "before", &file.before);
    side(&mut text, "after", &file.after);
    heading(&mut text, "what is left");
    paragraph(&mut text, "", &file.left);
    paragraph(&mut text, "Rest: ", &file.rest);
    if let Some(car) = &file.in_car {
        paragraph(&mut text, "", "The largest leak that may be left:");
        let _ = car;
    }
    ending(&mut text, &file.warnings, &file.cautions);
    text
}

fn side(text: &mut String, when: &str, side: &Side) {
    heading(text, when);
    row(text, "size that fits, 90 %", &side.size.words);
    *text += &format!(
        "{:36}{:>9}{:>8}{:>11}{:>10}\n",
        "", "read", "doubt", "fitted", "sound car"
    );
    for line in &side.readings {
        let what: String = line.what.chars().take(36).collect();
        let number = |value: f64| format!("{value:.*}", line.decimals);
        *text += &format!(
            "{what:36}{:>9}{:>8}{:>11}{:>10} {}\n",
            number(line.read),
            round(line.doubt, 2),
            number(line.fitted),
            line.sound.map_or("-".into(), number),
            line.unit
        );
    }
}
