//! Operating points for reading: at most 80 columns.

use crate::answer::head::head;
use crate::commands::simulate::answers::Answered;
use crate::input::case::Case;
use crate::text::ledger::LEDGER;
use crate::text::words::{cautions, fixed, heading, paragraph};
use sim::control::Code;
use sim::network::Network;
use sim::network::places::Account;
use sim::network::readings::{ALL, FORMS, Reading as R};
use sim::study::running::simulate::{LeakReading, Side};
use std::fmt::Write;

/// Columns of one number.
const CELL: usize = 14;
/// Columns right of the decimal point, so that points stand under each other.
const AFTER: usize = 4;

/// Smallest flow that three decimals show, g/s.
const LEAST_FLOW: f64 = 5e-4;

/// Shown beside a leak only where they change.
const SECONDARY: [R; 14] = [
    R::CompressorFlow,
    R::LambdaSensor,
    R::ShortTrim,
    R::LongTrim,
    R::BoostSensor,
    R::AbsoluteLoad,
    R::Pedal,
    R::RoadSpeed,
    R::ExhaustPressure,
    R::InletDepression,
    R::CrankcasePressure,
    R::SparkRetard,
    R::RecirculationValve,
    R::SurgeMargin,
];

/// Operating points, healthy beside faulty.
pub fn points(case: &Case, points: &[Answered]) -> String {
    let mut text = head(case);
    for point in points {
        heading(&mut text, &point.result.name);
        let healthy = point.result.healthy.as_ref().ok();
        let faulty = point.result.faulty.as_ref();
        let sides = Sides {
            healthy,
            faulty: faulty.map(|side| side.as_ref().ok()),
        };
        if sides.any() {
            sides.block(&mut text);
        }
        for leak in sides.faulty.flatten().map_or(&[][..], |side| &side.leaks) {
            paragraph(&mut text, "  leak  ", &leak_words(&case.network, leak));
        }
        if let Some(why) = &point.why {
            paragraph(&mut text, "", why);
        }
        for (which, side) in point.sides() {
            if let Ok(side) = side {
                paragraph(
                    &mut text,
                    "CODES  ",
                    &format!("{which}: {}", code_words(side)),
                );
            }
        }
        for failure in point.failures() {
            paragraph(&mut text, "NO ANSWER  ", &failure);
        }
        for warning in point.warnings() {
            paragraph(&mut text, "CAUTION  ", &warning);
        }
    }
    cautions(&mut text);
    text
}

/// The two cars of a block; the inner none is a car without an answer.
struct Sides<'a> {
    healthy: Option<&'a Side>,
    faulty: Option<Option<&'a Side>>,
}

impl Sides<'_> {
    fn any(&self) -> bool {
        self.healthy.is_some() || self.faulty.flatten().is_some()
    }

    /// Readings and ledger, a line each: label, unit, healthy, faulty, difference.
    fn block(&self, text: &mut String) {
        let mut heads = format!("{:30}{:>CELL$}", "", "healthy");
        if self.faulty.is_some() {
            let _ = write!(heads, "{:>CELL$}{:>CELL$}", "faulty", "difference");
        }
        let _ = writeln!(text, "{heads}");
        for (reading, form) in ALL.iter().zip(FORMS) {
            let of = |side: &Side| side.readings.get(*reading);
            if !SECONDARY.contains(reading) || self.shows_change(form.decimals, of) {
                let start = format!("{:24}{:6}", form.label, form.unit);
                self.line(text, start, form.decimals, of);
            }
        }
        let _ = writeln!(text, "  air ledger");
        for line in LEDGER.iter().filter(|line| !line.label.is_empty()) {
            let of = |side: &Side| Some((line.of)(&side.ledger));
            let flows = [self.healthy, self.faulty.flatten()];
            // Ways that no air takes are left out.
            let taken = flows.into_iter().flatten().filter_map(of);
            if taken.into_iter().any(|flow| flow.abs() >= LEAST_FLOW) {
                self.line(text, format!("  {:22}{:6}", line.label, "g/s"), 3, of);
            }
        }
    }

    /// Whether the cars differ in what is shown, or cannot be compared.
    fn shows_change(&self, decimals: usize, of: impl Fn(&Side) -> Option<f64>) -> bool {
        let (h, f) = (self.healthy, self.faulty.flatten());
        let both = h.and_then(&of).zip(f.and_then(&of));
        both.is_none_or(|(h, f)| fixed(f - h, decimals) != fixed(0.0, decimals))
    }

    fn line(
        &self,
        text: &mut String,
        start: String,
        decimals: usize,
        of: impl Fn(&Side) -> Option<f64>,
    ) {
        let healthy = self.healthy.and_then(&of);
        let mut line = start + &cell(healthy, decimals, false);
        if let Some(faulty) = self.faulty {
            let faulty = faulty.and_then(&of);
            line += &cell(faulty, decimals, false);
            let difference = faulty.zip(healthy).map(|(f, h)| f - h);
            line += &cell(difference, decimals, true);
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
}

/// One number, or a dash where there is none.
fn cell(value: Option<f64>, decimals: usize, sign: bool) -> String {
    let (number, decimals) = match value {
        None => ("-".into(), 0),
        Some(value) => (fixed(value, decimals), decimals),
    };
    let plus =
        if sign && number.bytes().any(|b| (b'1'..=b'9').contains(&b)) && !number.starts_with('-') {
            "+"
        } else {
            ""
        };
    let after = match decimals {
        0 => AFTER,
        _ => AFTER - 1 - decimals.min(AFTER - 1),
    };
    let before = CELL - after;
    format!("{:>before$}{:after$}", format!("{plus}{number}"), "")
}

/// Watchdog level from which it is worth naming.
const NEAR: f64 = 0.3;

/// Trouble codes that are set, and how close the nearest other one is.
fn code_words(side: &Side) -> String {
    let level = |code: Code| side.levels[code as usize].unwrap_or(0.0);
    let far = |code: Code| match level(code) {
        far if far >= 3.0 => "far beyond its threshold".to_string(),
        near => format!("{:.0} % of its threshold", 100.0 * near),
    };
    let set = side.codes.iter();
    let set = set.map(|code| format!("{code} {} ({})", code.name(), far(*code)));
    let set: Vec<String> = set.collect();
    let others = Code::WORDS.iter().map(|(_, code, _)| *code);
    let nearest = others
        .filter(|code| !side.codes.contains(code))
        .max_by(|a, b| level(*a).total_cmp(&level(*b)))
        .filter(|code| level(*code) >= NEAR);
    let mut said = if set.is_empty() {
        "none".into()
    } else {
        set.join(", ")
    };
    if let Some(code) = nearest {
        said += &format!(
            "; nearest {} {code} {}, at {:.0} % of its threshold",
            if set.is_empty() { "is" } else { "other is" },
            code.name(),
            100.0 * level(code)
        );
    }
    if let Some(before) = &side.unreduced {
        said += &format!(
            "; the computer reduces torque, without that boost {:.0} kPa and torque {:.0} N m",
            before.get(R::Boost).unwrap_or(0.0),
            before.get(R::Torque).unwrap_or(0.0)
        );
    }
    said
}

fn leak_words(network: &Network<f64>, leak: &LeakReading) -> String {
    let account = leak.place.nodes(network.valve_outlet()).2;
    let way = match (account, leak.flow >= 0.0) {
        (Account::Recirculated, false) => "back to the turbo inlet",
        (Account::Recirculated, true) => "from the turbo inlet",
        (Account::Internal, _) => "inside the engine",
        (_, true) => "in",
        (_, false) => "out",
    };
    let what = format!("{} ({})", leak.place.word(), leak.shape).replace('_', " ");
    if leak.flow.abs() < LEAST_FLOW {
        return format!("{what}: passes next to nothing here");
    }
    let hole = leak
        .equivalent_hole
        .map_or(String::new(), |mm| format!(", as a sharp {mm:.2} mm hole"));
    format!(
        "{what}: {:+.3} g/s {way}{hole}, {}",
        leak.flow,
        leak.regime.word()
    )
}
