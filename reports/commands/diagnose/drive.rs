//! What a drive log gave to a diagnosis: condition by condition, over time, over speed and load; and
//! what it could not show.

use crate::answer::drive_log::{columns, course};
use crate::commands::diagnose::{Diagnosed, words};
use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, FOOT, LEAST};
use crate::figure::ink::Ink;
use crate::figure::scene::{Scene, Side, Words, held_width};
use crate::page::{Block, Cell, Column, Picture, Section};
use crate::say::diagnose as say;
use crate::text::number::number;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Reading;
use sim::network::readings::FORMS;
use sim::study::judging::diagnose::missed::missed;
use sim::study::judging::diagnose::ranking::{Hypothesis, Witness};
use sim::units::round;

/// A condition that a log gave.
#[derive(Clone, Serialize, JsonSchema)]
pub(super) struct Judged {
    pub condition: String,
    /// How long the log was driven so.
    pub seconds: f64,
    /// Readings that are judged by.
    pub readings: usize,
    pub engine_speed_rpm: Option<f64>,
    /// Pressure behind the throttle, absolute: as read, else as the model's healthy car has it there.
    pub manifold_kpa: Option<f64>,
    /// The reading farthest off a healthy car.
    pub sound: Option<Off>,
    /// The reading farthest off the most likely fault; none for a healthy car.
    pub this: Option<Off>,
}

/// A reading off what is expected.
#[derive(Clone, Serialize, JsonSchema)]
pub(super) struct Off {
    pub reading: &'static str,
    #[serde(skip)]
    pub label: &'static str,
    /// By so many standard deviations; above zero where more was read.
    pub deviations: f64,
}

/// A leak that these readings would have missed.
#[derive(Clone, Serialize, JsonSchema)]
pub(super) struct Missed {
    pub place: &'static str,
    pub name: String,
    /// The largest that would not have shown.
    pub hole_mm: f64,
    /// Whether none that is looked for would show.
    pub any: bool,
}

fn rounded(value: f64, digits: usize) -> f64 {
    round(value, digits).parse().unwrap_or(value)
}

/// What each condition of the log gave; empty without a log.
pub(super) fn judged(found: &Diagnosed) -> Vec<Judged> {
    let Some(judged) = &found.readings.judged else {
        return Vec::new();
    };
    let own = found.readings.file.condition.len() - judged.conditions.len();
    let faulty = found.diagnosis.hypotheses.iter();
    let faulty = faulty.clone().find(|h| !h.posterior.faults.is_empty());
    let any = found.diagnosis.hypotheses.first();
    let all = judged.conditions.iter().zip(&judged.seconds).enumerate();
    let all = all.map(|(i, (condition, seconds))| {
        let c = own + i;
        let read = |reading: Reading| {
            let mut reads = found.evidence.reads.iter();
            let read = reads.find(|r| r.condition == c && r.reading == reading);
            let model = || found.ladders.sound.spots[c].as_ref()?.readings.get(reading);
            read.map(|read| read.value).or_else(model)
        };
        let reads = found.evidence.reads.iter();
        let off = |h: Option<&Hypothesis>, pick: fn(&Witness) -> f64| farthest(found, h?, c, pick);
        Judged {
            condition: condition.name.clone(),
            seconds: rounded(*seconds, 3),
            readings: reads.filter(|read| read.condition == c).count(),
            engine_speed_rpm: read(Reading::EngineSpeed).map(|rpm| rounded(rpm, 4)),
            manifold_kpa: read(Reading::Manifold).map(|kpa| rounded(kpa, 4)),
            sound: off(any, |w| w.sound_apart),
            this: off(faulty, |w| w.apart),
        }
    });
    all.collect()
}

/// The reading at a condition that is farthest off.
fn farthest(
    found: &Diagnosed,
    h: &Hypothesis,
    condition: usize,
    pick: fn(&Witness) -> f64,
) -> Option<Off> {
    let reads = &found.evidence.reads;
    let here = h.witnesses.iter();
    let here = here.filter(|w| reads[w.read].condition == condition);
    let most = here.max_by(|a, b| pick(a).abs().total_cmp(&pick(b).abs()))?;
    let form = &FORMS[reads[most.read].reading as usize];
    Some(Off {
        reading: form.key,
        label: form.label,
        deviations: rounded(pick(most), 3),
    })
}

/// What the log would have missed, place by place; empty without a log.
pub(super) fn unseen(found: &Diagnosed) -> Vec<Missed> {
    if found.readings.judged.is_none() {
        return Vec::new();
    }
    let all = missed(&found.ladders, &found.evidence).into_iter();
    let all = all.map(|one| Missed {
        place: one.place.word(),
        name: one.name,
        hole_mm: rounded(1e3 * one.size, 3),
        any: one.any,
    });
    all.collect()
}

/// What the log did not test.
pub(super) fn untested(found: &Diagnosed, unseen: &[Missed]) -> Option<Section> {
    found.readings.judged.as_ref()?;
    let said = words::untested(found).into_iter().map(Block::Words);
    let row = |(i, one): (usize, &Missed)| {
        let size = Cell::number(one.hole_mm, 1, format!("/missed/{i}/hole_mm"));
        let size = match one.any {
            true => Cell {
                text: say::any_size(number(one.hole_mm, 1)),
                ..size
            },
            false => size,
        };
        vec![Cell::words(&one.name), size]
    };
    let head = [Column::words("leak"), Column::numbers("hole", "mm")];
    let rows = unseen.iter().enumerate().map(row);
    let there = !unseen.is_empty();
    let table = there.then(|| Block::table(say::MISSED, head, rows).on_page());
    let short = unseen.iter().map(|one| {
        let name = one.name.trim_start_matches("leak: ");
        let size = number(one.hole_mm, 1);
        let size = if one.any { say::any_size(size) } else { size };
        format!("{name} {size} mm")
    });
    let short = short.collect::<Vec<_>>().join(", ");
    let short = there.then(|| Block::Words(say::missed(short)).on_terminal());
    let blocks = said.chain(short).chain(table);
    Some(Section::new(say::NOT_TESTED, blocks.collect()))
}

/// What each condition gave, and where it lies.
pub(super) fn gave(found: &Diagnosed, judged: &[Judged]) -> Option<Section> {
    if judged.is_empty() {
        return None;
    }
    let off = |off: &Option<Off>, at: String| match off {
        Some(off) => [Cell::number(off.deviations, 1, at), Cell::words(off.label)],
        None => [Cell::words("\u{2013}"), Cell::words("")],
    };
    let row = |(i, one): (usize, &Judged)| {
        let at = |key: &str| format!("/judged/{i}/{key}");
        let mut row = vec![
            Cell::words(&one.condition),
            Cell::number(one.seconds, 0, at("seconds")),
            Cell::number(one.readings as f64, 0, at("readings")),
        ];
        row.extend(off(&one.sound, at("sound/deviations")));
        row.extend(off(&one.this, at("this/deviations")));
        row
    };
    let numbers = |label: &str| Column::numbers(label, "");
    let head = [
        Column::words("condition"),
        Column::numbers("time", "s"),
        numbers("readings"),
        numbers("off healthy"),
        Column::words("which"),
        numbers("off the fault"),
        Column::words("which"),
    ];
    let table = Block::table(say::GAVE, head, judged.iter().enumerate().map(row));
    let picture = residuals(found, judged).map(Block::Picture);
    let blocks = picture.into_iter().chain([table]).map(Block::on_page);
    Some(Section::new(say::GAVE_HEAD, blocks.collect()))
}

/// The log over time, and its columns.
pub(super) fn log(found: &Diagnosed) -> Option<Section> {
    let log = found.readings.log.as_ref()?;
    let drawn = course(log).map(Block::Picture).into_iter();
    let blocks = drawn.chain([columns(&log.mapping)]).map(Block::on_page);
    Some(Section::new(crate::say::log::OVER_TIME, blocks.collect()))
}

/// Deviations from which a reading is drawn as off, and at which its mark is largest.
const OFF: [f64; 2] = [1.5, 6.0];

/// Readings minus what is expected, over speed and load: of a healthy car and of the first suspect.
fn residuals(found: &Diagnosed, judged: &[Judged]) -> Option<Picture> {
    let at = |one: &Judged| Some([one.engine_speed_rpm?, one.manifold_kpa?]);
    let suspect = found.diagnosis.hypotheses.iter();
    let suspect = suspect.clone().find(|h| !h.posterior.faults.is_empty());
    let suspect = suspect.map(|h| h.name(&found.ladders));
    type Side = (String, fn(&Judged) -> &Option<Off>, &'static str);
    let sides: [Side; 2] = [
        (say::OFF_HEALTHY.into(), |one| &one.sound, "sound"),
        (say::off_fault(suspect?), |one| &one.this, "this"),
    ];
    let placed = judged.iter().filter_map(at);
    let most = |k: usize| placed.clone().map(|at| at[k]).fold(0.0, f64::max);
    let (speed, load) = (1.1 * most(0), 1.15 * most(1));
    if speed <= 0.0 || load <= 0.0 {
        return None;
    }
    let of_side = |scene: &mut Scene, k: usize, [left, top, right, bottom]: [f64; 4], held| {
        let (title, pick, key) = &sides[k];
        let x = Axis::new("engine speed", "rpm").over(0.0, speed);
        let y = Axis::new(title.clone(), "").over(0.0, load);
        let mut chart = Chart::new(x.clone(), y.clone());
        chart.margins = Some((48.0, 16.0));
        chart.held = held;
        chart.draw(scene, [left, top, right, bottom]);
        // As the chart lays them out.
        let x = x.scale([].into_iter(), left + 48.0, right - 16.0);
        let y = y.scale(
            [].into_iter(),
            bottom - FOOT,
            top + chart.head(right - left),
        );
        for (i, one) in judged.iter().enumerate() {
            let (Some([rpm, kpa]), Some(off)) = (at(one), pick(one)) else {
                continue;
            };
            let place = [x.at(rpm), y.at(kpa)];
            let json = format!("/judged/{i}/{key}/deviations");
            scene.number(&json, off.deviations, |scene| mark(scene, place, off));
        }
    };
    // Side by side, or one below the other on a screen that is held.
    let (half, tall) = (450.0, 340.0);
    let (narrow, short) = (held_width(LEAST), 220.0);
    let mut broad = Scene::new(2.0 * half, tall);
    let mut held = Scene::new(narrow, 2.0 * short);
    for k in 0..sides.len() {
        let i = k as f64;
        of_side(
            &mut broad,
            k,
            [half * i, 0.0, half * (i + 1.0), tall],
            false,
        );
        of_side(
            &mut held,
            k,
            [0.0, short * i, narrow, short * (i + 1.0)],
            true,
        );
    }
    let scene = broad.with_held(held);
    Some(Picture::new("residuals", say::RESIDUALS, scene))
}

/// More than expected a disc, less a ring, nothing special a small dot.
fn mark(scene: &mut Scene, at: [f64; 2], off: &Off) {
    let size = off.deviations.abs().min(OFF[1]);
    if size < OFF[0] {
        scene.dot(at, 2.5, Ink::Quiet);
        return;
    }
    let radius = 2.0 + 1.5 * size;
    match off.deviations > 0.0 {
        true => scene.dot(at, radius, Ink::Faulty),
        false => scene.ring(at, radius, Ink::Faulty, 2.0),
    }
    let said = number(off.deviations, 1);
    let beside = |side, x: f64, y: f64| {
        Words::new(said.clone(), [at[0] + x, at[1] + y], 10.5, Ink::Text).side(side)
    };
    let gap = radius + 4.0;
    scene.words_where_room([
        beside(Side::Middle, 0.0, -gap - 4.0),
        beside(Side::Middle, 0.0, gap + 4.0),
        beside(Side::Right, gap, 0.0),
        beside(Side::Left, -gap, 0.0),
    ]);
}
