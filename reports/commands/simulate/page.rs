//! The pages of `simulate`.

use crate::commands::simulate::answers::{Answered, Drives};
use crate::commands::simulate::moments::over_limit;
use crate::commands::simulate::trace;
use crate::figure::ledger;
use crate::input::case::Case;
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section, Table};
use crate::text::ledger::LEDGER;
use crate::text::number::{difference, slug};
use sim::control::Code;
use sim::network::readings::FORMS;
use sim::study::running::simulate::Side;

/// What a page about this car says of itself first.
fn head(case: &Case) -> Page {
    let about = Some(case.scenario.about.clone()).filter(|about| !about.is_empty());
    let car = format!("Car: {}.", case.network.vehicle.name);
    Page {
        title: case.scenario.title.clone(),
        lead: about.into_iter().chain([car]).map(Into::into).collect(),
        sections: Vec::new(),
        notes: vec![CAUTION.into()],
    }
}

/// The page of a drive.
pub fn drive(case: &Case, drives: &Drives) -> Page {
    let picture = Picture {
        name: "drive".into(),
        caption: "The drive second by second: the sound car wide and grey, the faulty one dark. \
                  A line across all charts is where a piece of the drive begins, or a code is set; bars \
                  on top show when a valve stands open (recirculation valve from a quarter of its \
                  way, wastegate from a fiftieth)."
            .into(),
        scene: trace::drive(drives),
    };
    let mut blocks = vec![Block::Picture(picture)];
    blocks.extend(drives.failures().into_iter().map(Block::Caution));
    let cuts = over_limit(drives).into_iter();
    blocks.extend(cuts.map(|said| Block::Words(format!("Fuel cut, {said}."))));
    let codes = drives.codes();
    if !codes.is_empty() {
        let rows = codes.iter().enumerate().map(|(i, (time, which, code))| {
            vec![
                Cell::number(*time, 2, format!("/codes/{i}/time_s")),
                Cell::words(*which),
                Cell::words(code.word()),
                Cell::words(meaning(*code)),
            ]
        });
        blocks.push(Block::Table(Table {
            caption: "Trouble codes set on the way.".into(),
            head: vec![
                Column::numbers("time", "s"),
                Column::words("car"),
                Column::words("code"),
                Column::words("which"),
            ],
            rows: rows.collect(),
        }));
    }
    let section = Section {
        heading: "The drive".into(),
        blocks,
    };
    Page {
        sections: vec![section],
        ..head(case)
    }
}

fn meaning(code: Code) -> String {
    Code::WORDS[code as usize].2.trim().to_string()
}

/// The page of operating points.
pub fn points(case: &Case, points: &[Answered]) -> Page {
    let sections = points
        .iter()
        .enumerate()
        .map(|(i, point)| section(i, point));
    Page {
        sections: sections.collect(),
        ..head(case)
    }
}

fn section(index: usize, point: &Answered) -> Section {
    let json = format!("/points/{index}");
    let mut blocks = Vec::new();
    blocks.extend(point.why.clone().map(Block::Says));
    blocks.extend(point.failures().into_iter().map(Block::Caution));
    let sound = point.result.healthy.as_ref().ok();
    let faulty = point
        .result
        .faulty
        .as_ref()
        .and_then(|side| side.as_ref().ok());
    if let Some(sound) = sound {
        let picture = ledger::Picture {
            sound,
            faulty,
            json: &json,
        };
        blocks.push(Block::Picture(Picture {
            name: format!("air-ledger-{}-{}", index + 1, slug(&point.result.name)),
            caption: format!(
                "Where the air goes at {}: bands are as wide as the flow, the sound car is the \
                 grey ghost around them, leaks are arrows.",
                point.result.name
            ),
            scene: ledger::ledger(&picture),
        }));
    }
    if sound.or(faulty).is_some() {
        blocks.push(Block::Table(readings(&json, sound, faulty)));
    }
    if let Some(faulty) = faulty.filter(|side| !side.leaks.is_empty()) {
        blocks.push(Block::Table(leaks(&json, faulty)));
    }
    if let Some(side) = faulty.or(sound) {
        let set: Vec<_> = side
            .codes
            .iter()
            .map(|code| format!("{}: {}", code.word(), meaning(*code)))
            .collect();
        blocks.push(match set.is_empty() {
            true => Block::Words("No trouble code is set here.".into()),
            false => Block::Words(format!("Trouble codes set here: {}.", set.join("; "))),
        });
    }
    blocks.extend(point.warnings().into_iter().map(Block::Caution));
    Section {
        heading: point.result.name.clone(),
        blocks,
    }
}

/// Every reading that has a meaning, then the ledger.
fn readings(json: &str, sound: Option<&Side>, faulty: Option<&Side>) -> Table {
    let all = FORMS.iter().enumerate().map(|(i, form)| {
        let of = |side: &Side| side.readings.values[i];
        (
            (form.label, form.unit, form.decimals, form.key.to_string()),
            [sound.map(of), faulty.map(of)],
        )
    });
    let books = LEDGER
        .iter()
        .filter(|line| !line.label.is_empty())
        .map(|line| {
            let of = |side: &Side| (line.of)(&side.ledger);
            (
                (line.label, "g/s", 3, format!("ledger/{}", line.key)),
                [sound.map(of), faulty.map(of)],
            )
        });
    let rows = all
        .chain(books)
        .filter(|(_, values)| values.iter().flatten().any(|v| v.is_finite()));
    let rows = rows.map(|((label, unit, decimals, key), [a, b])| {
        let cell = |value: Option<f64>, which: &str| {
            Cell::number(
                value.unwrap_or(f64::NAN),
                decimals,
                format!("{json}/{which}/{key}"),
            )
        };
        let mut row = vec![Cell::words(label), Cell::words(unit), cell(a, "healthy")];
        if faulty.is_some() {
            row.push(cell(b, "faulty"));
            let apart = a.zip(b).map_or(f64::NAN, |(a, b)| b - a);
            let said = if apart.is_finite() {
                difference(apart, decimals)
            } else {
                "\u{2013}".into()
            };
            row.push(Cell::words(said));
        }
        row
    });
    let mut head = vec![
        Column::words("reading"),
        Column::words("unit"),
        Column::numbers("sound", ""),
    ];
    if faulty.is_some() {
        head.extend([
            Column::numbers("faulty", ""),
            Column::numbers("difference", ""),
        ]);
    }
    Table {
        caption: "Every reading, then the air ledger.".into(),
        rows: rows.collect(),
        head,
    }
}

fn leaks(json: &str, side: &Side) -> Table {
    let rows = side.leaks.iter().enumerate().map(|(i, leak)| {
        let at = |key: &str| format!("{json}/faulty/leaks/{i}/{key}");
        vec![
            Cell::words(leak.place.word().replace('_', " ")),
            Cell::words(leak.shape.replace('_', " ")),
            Cell::number(leak.flow, 3, at("flow_g_s")),
            Cell::number(
                leak.equivalent_hole.unwrap_or(f64::NAN),
                2,
                at("equivalent_hole_mm"),
            ),
        ]
    });
    Table {
        caption: "The leaks: flow is positive into the engine's air path.".into(),
        head: vec![
            Column::words("place"),
            Column::words("shape"),
            Column::numbers("flow", "g/s"),
            Column::numbers("as a sharp hole of", "mm"),
        ],
        rows: rows.collect(),
    }
}
