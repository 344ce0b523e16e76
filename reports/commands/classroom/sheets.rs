//! An exercise and its answers on paper: the same car, the same fault, the same readings.

use crate::page::{Block, Cell, Column, Page, Section, Table};
use crate::text::number::number;
use page_engine::lesson::{Lesson, Secret};
use serde_json::Value;

const DRIVES: [(&str, &str); 3] = [
    ("readings_idle", "idle"),
    ("readings_light_cruise", "light cruise"),
    ("readings_full_load", "full load"),
];

/// What a sheet asks.
const QUESTIONS: [&str; 5] = [
    "Which readings are not those of a sound car, and which way are they off?",
    "Which faults fit? Which of them can these readings not tell apart?",
    "Which test would you do next, and what would each outcome mean?",
    "What is wrong, and how big is it?",
    "What would you measure after the repair?",
];

/// The sheets, each with its file's name.
pub(super) fn sheets(
    name: &str,
    car: &str,
    secret: &Secret,
) -> Result<[(&'static str, String); 2], String> {
    let mut lesson = Lesson::of(car, secret)?;
    let arrival: Value = parsed(&lesson.arrival())?;
    let mut columns = Vec::new();
    for (key, _) in DRIVES {
        columns.push(parsed(&lesson.act(key)?)?);
    }
    let debrief = parsed(&lesson.debrief()?)?;
    let codes = match arrival["codes"].as_array() {
        Some(codes) if !codes.is_empty() => {
            let codes: Vec<_> = codes.iter().filter_map(Value::as_str).collect();
            format!("Trouble codes stored: {}.", codes.join(", "))
        }
        _ => "No trouble code is stored.".into(),
    };
    let read = Section {
        heading: "What was read".into(),
        blocks: vec![Block::Words(codes), Block::Table(table(&columns))],
    };
    let caution = "At a car: boosted hoses let go, fans, belts and turbo spin, exhaust is hot and \
                   poisonous, fuel vapour burns. Follow the maker's procedure and local codes; leave \
                   licensed work to those who hold the licence.";
    let page = |title: &str, sections: Vec<Section>| {
        Page {
            title: title.into(),
            lead: vec![
                format!("Car: {name}. Its numbers, and these readings, are computed.").into(),
            ],
            sections,
            notes: vec![caution.into()],
        }
        .html()
    };
    // Each question with room to write.
    let asked = QUESTIONS.iter().flat_map(|question| {
        [
            Block::Words((*question).into()),
            Block::Words("\u{a0}".into()),
        ]
    });
    let asked = Section {
        heading: "Your answers".into(),
        blocks: asked.collect(),
    };
    let exercise = vec![read.clone(), asked];
    let answers = vec![answer(&debrief), read];
    Ok([
        (
            "exercise.html",
            page("Exercise: what is wrong with this car?", exercise)?,
        ),
        (
            "answers.html",
            page("Answers: what was wrong with this car", answers)?,
        ),
    ])
}

fn parsed(json: &str) -> Result<Value, String> {
    serde_json::from_str(json).map_err(|e| e.to_string())
}

fn table(columns: &[Value]) -> Table {
    let mut head = vec![Column::words("reading"), Column::words("unit")];
    head.extend(DRIVES.map(|(_, name)| Column::numbers(name, "")));
    let shown = |column: &Value, row: usize| {
        let reading = &column["readings"][row];
        match (reading["value"].as_f64(), reading["decimals"].as_u64()) {
            (Some(value), Some(decimals)) => Cell::words(number(value, decimals as usize)),
            _ => Cell::words("does not run"),
        }
    };
    let longest = columns.iter().filter_map(|c| c["readings"].as_array());
    let longest = longest.max_by_key(|readings| readings.len());
    let rows = longest
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(row, reading)| {
            let text = |key: &str| Cell::words(reading[key].as_str().unwrap_or(""));
            let mut cells = vec![text("label"), text("unit")];
            cells.extend(columns.iter().map(|column| shown(column, row)));
            cells
        });
    Table {
        caption: "By the diagnostic plug, with the scatter that instruments have.".into(),
        rows: rows.collect(),
        head,
    }
}

fn answer(debrief: &Value) -> Section {
    let truth = debrief["truth"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|truth| {
            let size = truth["size"].as_f64().unwrap_or(f64::NAN);
            let name = truth["name"].as_str().unwrap_or("");
            let unit = truth["unit"].as_str().unwrap_or("");
            format!("{name}, {} {unit}", sim::units::round(size, 3))
                .trim_end()
                .to_string()
        });
    let truth: Vec<String> = truth.collect();
    let stages = debrief["stages"].as_array();
    let best = stages.into_iter().flatten().map(|stage| {
        let step = stage["done"]["what"].as_str().unwrap_or("after all this");
        let share = 100.0 * stage["probability_of_the_truth"].as_f64().unwrap_or(0.0);
        let best = stage["best"]["what"]
            .as_str()
            .unwrap_or("nothing more is worth doing");
        format!(
            "Before \u{201c}{step}\u{201d}: the truth has {share:.0} %; best per minute: {best}"
        )
        .replace("Before \u{201c}after all this\u{201d}", "After all this")
    });
    Section {
        heading: "What is wrong".into(),
        blocks: vec![
            Block::Says(format!("{}.", truth.join("; "))),
            Block::Words("What each step told, and what would have been best:".into()),
            Block::List(best.collect()),
        ],
    }
}
