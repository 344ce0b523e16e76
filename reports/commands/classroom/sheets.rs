//! An exercise and its answers on paper: the same car, the same fault, the same readings.

use crate::page::{Block, Cell, Column, Page, Section, Table};
use crate::say::classroom as say;
use crate::text::number::number;
use page_engine::lesson::{Lesson, Secret};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use sim::units::round;

/// What the lesson's engine tells of the car that comes in.
#[derive(Deserialize)]
struct Arrival {
    codes: Vec<String>,
    celsius: f64,
    kpa: f64,
    boost_control: String,
}

/// What was read at a point.
#[derive(Deserialize)]
struct Read {
    readings: Vec<Reading>,
}

#[derive(Deserialize)]
struct Reading {
    label: String,
    unit: String,
    value: Option<f64>,
    decimals: usize,
}

/// What was wrong, and what each step told.
#[derive(Deserialize)]
struct Debrief {
    truth: Vec<Truth>,
    given: Vec<String>,
    stages: Vec<Stage>,
}

#[derive(Deserialize)]
struct Truth {
    name: String,
    size: f64,
    unit: String,
}

#[derive(Deserialize)]
struct Stage {
    done: Option<Step>,
    probability_of_the_truth: f64,
    best: Option<Step>,
}

#[derive(Deserialize)]
struct Step {
    what: String,
}

const DRIVES: [(&str, &str); 3] = [
    ("readings_idle", "idle"),
    ("readings_light_cruise", "light cruise"),
    ("readings_full_load", "full load"),
];

/// The sheets: the exercise, and its answers.
pub(super) fn sheets(name: &str, car: &str, secret: &Secret) -> Result<[String; 2], String> {
    let mut lesson = Lesson::of(car, secret)?;
    let came: Arrival = parsed(&lesson.arrival())?;
    let mut columns = Vec::new();
    for (key, _) in DRIVES {
        columns.push(parsed::<Read>(&lesson.act(key)?)?.readings);
    }
    let debrief = parsed(&lesson.debrief()?)?;
    let codes = match came.codes.is_empty() {
        true => say::NO_CODE.into(),
        false => say::codes(came.codes.join(", ")),
    };
    let control = came.boost_control.replace('_', " ");
    let around = say::around(number(came.celsius, 0), number(came.kpa, 1), control);
    let read = Section::new(
        "What was read",
        vec![
            Block::Words(around),
            Block::Words(codes),
            Block::Table(table(&columns)),
        ],
    );
    let page = |title: &str, sections: Vec<Section>| {
        Page {
            title: title.into(),
            lead: vec![say::computed(name).into()],
            sections,
            notes: vec![say::CAUTION.into()],
            ..Page::default()
        }
        .html()
    };
    // Each question with room to write.
    let asked = say::QUESTIONS
        .lines()
        .flat_map(|question| [question, "\u{a0}"]);
    let asked = asked.map(|words| Block::Words(words.into())).collect();
    let asked = Section::new("Your answers", asked);
    let exercise = vec![read.clone(), asked];
    let answers = vec![answer(&debrief), read];
    Ok([page(say::EXERCISE, exercise)?, page(say::ANSWERS, answers)?])
}

fn parsed<T: DeserializeOwned>(json: &str) -> Result<T, String> {
    serde_json::from_str(json).map_err(|e| e.to_string())
}

/// A row a reading, a column a drive; where the engine does not run there is none.
fn table(columns: &[Vec<Reading>]) -> Table {
    let mut head = vec![Column::words("reading"), Column::words("unit")];
    head.extend(DRIVES.map(|(_, name)| Column::numbers(name, "")));
    let shown = |reading: Option<&Reading>| {
        let number = reading.and_then(|r| Some(number(r.value?, r.decimals)));
        Cell::words(number.unwrap_or("does not run".into()))
    };
    let longest = columns.iter().max_by_key(|readings| readings.len());
    let rows = longest
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(row, reading)| {
            let mut cells = vec![Cell::words(&reading.label), Cell::words(&reading.unit)];
            cells.extend(columns.iter().map(|column| shown(column.get(row))));
            cells
        });
    Table {
        caption: say::READINGS.into(),
        rows: rows.collect(),
        head,
    }
}

fn answer(debrief: &Debrief) -> Section {
    let truth = debrief.truth.iter().map(|truth| {
        let said = format!("{}, {} {}", truth.name, round(truth.size, 3), truth.unit);
        said.trim_end().to_string()
    });
    let truth: Vec<String> = truth.collect();
    let stages = debrief.stages.iter().map(|stage| {
        let share = 100.0 * stage.probability_of_the_truth;
        let best = stage
            .best
            .as_ref()
            .map_or(say::NOTHING_MORE, |best| &best.what);
        match &stage.done {
            Some(step) => say::before(&step.what, share, best),
            None => say::after_all(share, best),
        }
    });
    Section::new(
        "What is wrong",
        vec![
            Block::Says(match truth.is_empty() {
                true => say::HEALTHY.into(),
                false => format!("{}.", truth.join("; ")),
            }),
            Block::Words(debrief.given.join("; ")),
            Block::Words(say::EACH_STEP.into()),
            Block::List(stages.collect()),
        ],
    )
}
