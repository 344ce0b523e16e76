//! A diagnosis as a page.

use crate::commands::diagnose::form::{File, Line, Witness};
use crate::commands::diagnose::words::UNLOADED;
use crate::commands::diagnose::{Diagnosed, form};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::figure::scene::{Scene, Side, Words};
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section, Table};
use crate::text::number::number;
use sim::network::readings::FORMS;

/// Hypotheses drawn, and of which the readings are gone through.
const SHOWN: usize = 12;
const ARGUED: usize = 3;
/// Tests drawn.
const TESTS: usize = 8;
/// Least probability drawn.
const LEAST: f64 = 5e-4;

/// The page.
pub(super) fn page(found: &Diagnosed) -> Page {
    let file = form::file(found);
    let title = match found.file.title.is_empty() {
        true => "What is wrong with this car".into(),
        false => found.file.title.clone(),
    };
    let shown: Vec<&Line> = file
        .hypotheses
        .iter()
        .take(SHOWN)
        .filter(|line| line.probability >= LEAST)
        .collect();
    let mut sections = vec![what_fits(&file, &shown)];
    // Faults that give the same readings are argued once.
    let mut argued: Vec<(usize, &Line)> = Vec::new();
    let faulty = shown
        .iter()
        .enumerate()
        .filter(|(_, line)| line.fault != "none");
    for (i, line) in faulty {
        if argued.len() < ARGUED && argued.iter().all(|(_, other)| apart(other, line)) {
            argued.push((i, line));
        }
    }
    sections.extend(argued.into_iter().map(|(i, line)| arguments(i, line)));
    sections.push(next(&file));
    sections.push(readings(&file));
    Page {
        title,
        lead: [format!("Car: {}.", found.car)]
            .into_iter()
            .chain(file.log_notes.iter().map(|note| format!("Log: {note}.")))
            .map(Into::into)
            .collect(),
        sections,
        notes: vec![
            "A probability counts that cars of one make differ and that one reading may be bad; it holds \
             for the faults in the catalogue only."
                .into(),
            CAUTION.into(),
        ],
    }
}

fn what_fits(file: &File, shown: &[&Line]) -> Section {
    let dangers = file.dangers.iter();
    let mut blocks: Vec<Block> = dangers.map(|d| Block::Danger(d.words.clone())).collect();
    blocks.push(Block::Says(file.says.clone()));
    blocks.extend(file.remarks.iter().cloned().map(Block::Words));
    let likely = shown.iter().enumerate().map(|(i, line)| Bar {
        name: line.name.clone(),
        value: 100.0 * line.probability,
        said: share(line.probability),
        json: String::new(),
        interval: None,
        ink: if i == 0 { Ink::Faulty } else { Ink::Sound },
    });
    let likely: Vec<Bar> = likely.collect();
    let mut scene = bars("probability", &likely, 460.0);
    mark(&mut scene, shown);
    let mut row = vec![Picture {
        name: "probability".into(),
        caption: "How probable each fault is after these readings.".into(),
        scene,
    }];
    let sized = shown.iter().enumerate().filter_map(|(i, line)| {
        let size = line.size.as_ref().filter(|size| size.unit == "mm")?;
        let [best, low, high] =
            [size.best, size.low90, size.high90].map(|mm| sim::units::round(mm, 3));
        Some(Bar {
            name: line.name.clone(),
            value: size.best,
            said: format!("{best} ({low} to {high})"),
            json: format!("/hypotheses/{i}/size/best"),
            interval: Some((size.low90, size.high90)),
            ink: Ink::Band,
        })
    });
    let sized: Vec<Bar> = sized.collect();
    if !sized.is_empty() {
        row.push(Picture {
            name: "sizes".into(),
            caption: "How large each leak would be, as a round sharp hole (a split: as large as it is at 1 bar inside): best, and limits with 90 % confidence.".into(),
            scene: bars("size as a sharp hole, mm", &sized, 460.0),
        });
    }
    blocks.push(Block::Row(row));
    if !file.inseparable.is_empty() {
        let groups = file
            .inseparable
            .iter()
            .map(|group| format!("These readings cannot tell apart: {}.", group.join("; ")));
        blocks.push(Block::List(groups.collect()));
    }
    let rows = shown.iter().enumerate().map(|(i, line)| {
        let at = |key: &str| format!("/hypotheses/{i}/{key}");
        let size = |pick: fn(&form::Size) -> f64, key: &str| match &line.size {
            Some(size) => Cell {
                text: sim::units::round(pick(size), 3),
                ..Cell::number(pick(size), 2, at(&format!("size/{key}")))
            },
            None => Cell::words("\u{2013}"),
        };
        vec![
            Cell::words(&line.name),
            Cell {
                text: share(line.probability),
                ..Cell::number(line.probability, 3, at("probability"))
            },
            size(|size| size.best, "best"),
            size(|size| size.low90, "low90"),
            size(|size| size.high90, "high90"),
            Cell::words(line.size.as_ref().map_or("", |size| size.unit)),
            Cell::number(line.fit, 2, at("fit")),
        ]
    });
    blocks.push(Block::Table(Table {
        caption: "Fit: how often a car with this fault would show readings further off.".into(),
        head: vec![
            Column::words("fault"),
            Column::numbers("probability", ""),
            Column::numbers("size", ""),
            Column::numbers("from", ""),
            Column::numbers("to", ""),
            Column::words("unit"),
            Column::numbers("fit", ""),
        ],
        rows: rows.collect(),
    }));
    Section {
        heading: "What fits".into(),
        blocks,
    }
}

/// Whether two hypotheses give readings that can be told apart.
fn apart(a: &Line, b: &Line) -> bool {
    let of = |line: &Line, w: &Witness| {
        let mut same = line.readings.iter();
        let same = same.find(|other| other.reading == w.reading && other.condition == w.condition);
        same.map_or(f64::INFINITY, |other| {
            (other.this_off_by_deviations - w.this_off_by_deviations).abs()
        })
    };
    a.readings.iter().any(|w| of(b, w) > 0.5)
}

/// The bars' own numbers, as the result for programs has them.
fn mark(scene: &mut Scene, shown: &[&Line]) {
    for (i, line) in shown.iter().enumerate() {
        scene.number(
            &format!("/hypotheses/{i}/probability"),
            line.probability,
            |_| {},
        );
    }
}

fn share(probability: f64) -> String {
    match probability {
        share if share > 0.999 => "over 99.9 %".into(),
        share if share < 0.001 => "under 0.1 %".into(),
        share if share < 0.1 => format!("{:.1} %", 100.0 * share),
        share => format!("{:.0} %", 100.0 * share),
    }
}

fn arguments(index: usize, line: &Line) -> Section {
    let told: Vec<(usize, &Witness)> = line.readings.iter().enumerate().take(12).collect();
    let picture = Picture {
        name: format!("readings-{}", index + 1),
        caption: "Each reading as the distance, in standard deviations of instrument and car together, \
                  from what this fault gives (dark) and from a sound car (grey ring). Near the middle \
                  line it speaks for; beyond the pale band against."
            .into(),
        scene: distances(index, &told),
    };
    let mut blocks = vec![Block::Picture(picture)];
    if let Some(bad) = &line.bad_reading {
        blocks.push(Block::Words(format!(
            "One reading is set aside as bad: {bad}."
        )));
    }
    Section {
        heading: format!("For and against: {}", line.name),
        blocks,
    }
}

fn distances(index: usize, told: &[(usize, &Witness)]) -> Scene {
    const WIDTH: f64 = 720.0;
    const ROW: f64 = 26.0;
    let (left, right) = (300.0, WIDTH - 20.0);
    let height = 46.0 + ROW * told.len() as f64;
    let mut scene = Scene::new(WIDTH, height);
    let reach = told
        .iter()
        .flat_map(|(_, w)| [w.this_off_by_deviations, w.sound_off_by_deviations]);
    let reach = reach.fold(3.0_f64, |most, v| most.max(v.abs())).min(12.0) * 1.08;
    let at = |v: f64| left + (right - left) * (v.clamp(-reach, reach) / reach + 1.0) / 2.0;
    let bottom = height - 28.0;
    scene.rectangle([at(-2.0), 8.0, at(2.0), bottom], Ink::Band);
    scene.line(vec![[at(0.0), 8.0], [at(0.0), bottom]], Ink::Quiet, 1.0);
    for (row, (i, w)) in told.iter().enumerate() {
        let y = 8.0 + ROW * (row as f64 + 0.5);
        let form = FORMS.iter().find(|form| form.key == w.reading);
        let (label, decimals) = form.map_or((w.reading, 3), |form| (form.label, form.decimals));
        let said = format!(
            "{label}, {}: {} {}",
            w.condition,
            number(w.read, decimals),
            w.unit
        );
        let said = crate::figure::measure::cut(said.trim_end(), 12.0, false, left - 12.0);
        scene.words(Words::new(said, [left - 8.0, y], 12.0, Ink::Text).side(Side::Left));
        let json = |key: &str| format!("/hypotheses/{index}/readings/{i}/{key}");
        let (this, sound) = (w.this_off_by_deviations, w.sound_off_by_deviations);
        scene.line(vec![[at(sound), y], [at(this), y]], Ink::Hair, 2.0);
        scene.number(&json("sound_off_by_deviations"), sound, |scene| {
            scene.ring([at(sound), y], 5.0, Ink::Sound, 2.5)
        });
        scene.number(&json("this_off_by_deviations"), this, |scene| {
            scene.dot([at(this), y], 5.0, Ink::Faulty)
        });
    }
    for tick in [-8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0_f64] {
        if tick.abs() < reach {
            scene.words(
                Words::new(number(tick, 0), [at(tick), bottom + 10.0], 11.0, Ink::Quiet)
                    .side(Side::Middle),
            );
        }
    }
    scene.words(Words::new(
        "standard deviations off",
        [4.0, bottom + 10.0],
        11.0,
        Ink::Quiet,
    ));
    scene
}

fn next(file: &File) -> Section {
    let gain = file
        .next_tests
        .iter()
        .take(TESTS)
        .enumerate()
        .map(|(i, test)| Bar {
            name: test.test.replace('_', " "),
            value: test.expected_gain_bits,
            said: format!(
                "{} bits in {} min",
                number(test.expected_gain_bits, 2),
                number(test.minutes, 0)
            ),
            json: format!("/next_tests/{i}/expected_gain_bits"),
            interval: None,
            ink: if i == 0 { Ink::Faulty } else { Ink::Sound },
        });
    let gain: Vec<Bar> = gain.collect();
    let mut blocks = Vec::new();
    if !file.dangers.is_empty() {
        blocks.push(Block::Words(UNLOADED.into()));
    }
    if gain.is_empty() {
        blocks.push(Block::Words("No further test would tell much.".into()));
    } else {
        blocks.push(Block::Picture(Picture {
            name: "next-tests".into(),
            caption:
                "What each test is expected to tell; the one that tells most per minute first."
                    .into(),
            scene: bars("expected gain", &gain, 460.0),
        }));
    }
    for test in file.next_tests.iter().take(3) {
        let what = format!("{} ({} min).", test.what, number(test.minutes, 0));
        if test.outcomes.is_empty() {
            blocks.push(Block::Words(what));
            continue;
        }
        blocks.push(Block::Words(format!("{what} What it would mean:")));
        blocks.push(Block::List(test.outcomes.clone()));
    }
    Section {
        heading: "The next test".into(),
        blocks,
    }
}

/// Every reading against the likeliest hypothesis and a sound car.
fn readings(file: &File) -> Section {
    let first = file.hypotheses.first();
    let rows = first
        .iter()
        .flat_map(|line| line.readings.iter().enumerate())
        .map(|(i, w)| {
            let form = FORMS.iter().find(|form| form.key == w.reading);
            let (label, decimals) = form.map_or((w.reading, 3), |form| (form.label, form.decimals));
            let cell = |value: f64, key: &str| {
                Cell::number(value, decimals, format!("/hypotheses/0/readings/{i}/{key}"))
            };
            vec![
                Cell::words(format!("{label}, {}", w.condition)),
                Cell::words(w.unit),
                cell(w.read, "read"),
                Cell {
                    text: sim::units::round(w.doubt, 2),
                    ..cell(w.doubt, "doubt")
                },
                cell(w.this_shows, "this_shows"),
                cell(w.sound_shows, "sound_shows"),
            ]
        });
    let table = Table {
        caption: "Doubt: standard deviation of the instrument, as given or usual for its kind."
            .into(),
        head: vec![
            Column::words("reading"),
            Column::words("unit"),
            Column::numbers("read", ""),
            Column::numbers("doubt", ""),
            Column::numbers("likeliest shows", ""),
            Column::numbers("sound car shows", ""),
        ],
        rows: rows.collect(),
    };
    Section {
        heading: "Readings".into(),
        blocks: vec![Block::Table(table)],
    }
}
