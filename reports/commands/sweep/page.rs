//! The page of a sweep: what moved most, then for each operating point what varies, by which axis, and how.

mod telling;

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::commands::sweep::summary::{Named, Over, Point, ReadingSummary, Summary};
use crate::figure::axis::Axis;
use crate::figure::bars::{Bar, bars};
use crate::figure::chart::{Band, Chart, Series};
use crate::figure::ink::Ink;
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section, Table};
use crate::say::{dangers, sweep as say};
use crate::text::number::{number, slug};
use crate::text::words::{capital, uncapital};
use sim::network::Place;
use sim::network::readings::FORMS;
use sim::study::running::dangers::Hazard;

/// Readings drawn at a point.
const DRAWN: usize = 8;

/// What is drawn first where a study keeps more readings than are drawn.
pub(super) const FIRST: [&str; 8] = [
    "fuel_trim_pct",
    "lambda",
    "metered_air_g_s",
    "boost_kpa",
    "manifold_kpa",
    "torque_nm",
    "shaft_krpm",
    "wastegate_solenoid_duty_pct",
];

impl Answers for Summary {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        let all = Hazard::all().filter_map(|hazard| {
            let by = self.points.iter().filter_map(|point| {
                let rows = point.dangers.get(hazard.word())?;
                Some(dangers::in_rows(&point.name, rows, self.cases))
            });
            let by: Vec<String> = by.collect();
            (!by.is_empty()).then(|| Danger::brought(hazard, &by))
        });
        all.collect()
    }

    fn page(&self) -> Page {
        let axes = self.axes.iter().map(|axis| match axis.about.as_str() {
            "axis" | "" => short(axis),
            about => uncapital(about.trim_end_matches('.')),
        });
        let axes: Vec<String> = axes.collect();
        let most = telling::most(self);
        let first = most.map_or(0, |(point, _)| point);
        let points = self.points.iter().enumerate();
        let mut order: Vec<(usize, &Point)> = points.collect();
        order.sort_by_key(|(i, _)| *i != first);
        let head = order
            .first()
            .map(|(i, point)| answer(self, *i, point, most));
        let drawn = order.iter().map(|(i, point)| {
            let shown = most.filter(|_| *i == first).map(|(_, j)| j);
            let part = section(self, *i, point, (shown, *i != first));
            part.folded(true).off_paper(true)
        });
        Page {
            title: self.title.clone(),
            lead: vec![
                say::of_cases(self.cases, self.rows).into(),
                say::varies(axes.join("; ")).into(),
            ],
            sections: head.into_iter().chain(drawn).collect(),
            notes: vec![say::SHARE.into(), CAUTION.into()],
            ..Page::default()
        }
    }
}

/// What moved most, drawn, and all readings of its point.
fn answer(summary: &Summary, i: usize, point: &Point, most: Option<(usize, usize)>) -> Section {
    let says = match most {
        Some((_, j)) => telling::says(summary, point, j),
        None => say::nothing_moved(summary.cases),
    };
    let mut blocks = vec![Block::Says(says)];
    blocks.extend(Block::list(counted(point)));
    let drawn = most.into_iter().flat_map(|(_, j)| {
        let both = [true, false].into_iter();
        both.filter_map(move |words| picture(summary, (i, point, j), words))
    });
    let drawn: Vec<Picture> = drawn.collect();
    blocks.extend((!drawn.is_empty()).then_some(Block::Row(drawn)));
    blocks.push(Block::Table(table(summary, i, point)));
    Section::new(capital(&point.name), blocks)
}

/// Rows with an answer and without, and the codes in them.
fn counted(point: &Point) -> Vec<String> {
    let mut said = vec![say::answered(point.answered)];
    let failed = point.failures.iter();
    said.extend(failed.map(|(kind, count)| say::have_none(count, kind.replace('_', " "))));
    let codes = point.codes.iter();
    let codes: Vec<String> = (codes.map(|(code, count)| format!("{code} in {count}"))).collect();
    if !codes.is_empty() {
        said.push(say::codes(codes.join(", ")));
    }
    said
}

/// All pictures of a point but the reading shown before, with its table where that is not.
fn section(
    summary: &Summary,
    i: usize,
    point: &Point,
    (shown, whole): (Option<usize>, bool),
) -> Section {
    let mut blocks = Vec::new();
    blocks.extend(Block::list(counted(point)).filter(|_| whole));
    for words in [false, true] {
        let drawn = chosen(point).into_iter().filter(|j| Some(*j) != shown);
        let drawn = drawn.filter_map(|j| picture(summary, (i, point, j), words));
        let drawn: Vec<Picture> = drawn.collect();
        blocks.extend((!drawn.is_empty()).then_some(Block::Row(drawn)));
    }
    blocks.extend(whole.then(|| Block::Table(table(summary, i, point))));
    Section::new(say::over_all(capital(&point.name)), blocks)
}

/// Which readings are drawn: those that vary, the usual ones first where there are many.
fn chosen(point: &Point) -> Vec<usize> {
    // A line that never leaves one value as it is written is no picture.
    let vary = |j: &usize| {
        let all = &point.readings[*j].all;
        let least = 10f64.powi(-(decimals(&point.readings[*j]) as i32));
        all.varies && all.high - all.low >= least
    };
    let mut all: Vec<usize> = (0..point.readings.len()).filter(vary).collect();
    if all.len() > DRAWN {
        let rank = |j: &usize| {
            let column = &point.readings[*j].named.column;
            FIRST.iter().position(|first| column.starts_with(first))
        };
        all.sort_by_key(|j| rank(j).unwrap_or(FIRST.len()));
        all.truncate(DRAWN);
    }
    all
}

/// A reading over the axis, of numbers or of words, that moves it most.
fn picture(
    summary: &Summary,
    (i, point, j): (usize, &Point, usize),
    words: bool,
) -> Option<Picture> {
    let reading = &point.readings[j];
    let (k, over) = strongest(reading, words)?;
    let axis = &summary.axes[k];
    let at = format!("/points/{i}/readings/{j}/over/{k}/bins");
    let (how, scene) = match words {
        false => {
            let scene = chart(reading, axis, over, &at).scene(340.0, 220.0);
            (say::LINE, scene)
        }
        true => {
            let heading = Axis::new(&reading.named.about, &reading.named.unit).title();
            let scene = bars(&heading, &named(reading, over, &at), 340.0);
            (say::BAR, scene)
        }
    };
    Some(Picture {
        name: slug(&format!(
            "{} {} {}",
            point.name, reading.named.column, axis.column
        )),
        caption: how.into(),
        scene,
    })
}

fn strongest(reading: &ReadingSummary, words: bool) -> Option<(usize, &Over)> {
    let over = reading.over.iter().enumerate();
    let over = over.filter_map(|(k, over)| Some((k, over.as_ref()?)));
    let fits = over.filter(|(_, over)| over.bins.len() > 1 && over.bins[0].name.is_some() == words);
    fits.max_by(|a, b| {
        let share = |over: &Over| over.share.unwrap_or(0.0);
        share(a.1).total_cmp(&share(b.1)).then(b.0.cmp(&a.0))
    })
}

/// The last part of an axis's key.
fn short(axis: &Named) -> String {
    let key = axis.column.split(" [").next().unwrap_or_default();
    let last = key.rsplit('.').next().unwrap_or_default();
    match last {
        "filling_share" => "volumetric efficiency".into(),
        last => last.replace('_', " "),
    }
}

/// Its unit as people write it.
fn unit(axis: &Named) -> String {
    axis.unit.replace("degC", "°C").replace("mm2", "mm²")
}

fn chart(reading: &ReadingSummary, axis: &Named, over: &Over, at: &str) -> Chart {
    let points = over.bins.iter().map(|bin| {
        let mean = bin.tally.map_or(f64::NAN, |tally| tally.mean);
        [bin.at.unwrap_or(f64::NAN), mean]
    });
    let band = over.bins.iter().filter_map(|bin| {
        let tally = bin.tally?;
        Some([bin.at?, tally.low, tally.high])
    });
    let mut chart = Chart::new(
        Axis::new(short(axis), unit(axis)),
        Axis::new(&reading.named.about, &reading.named.unit),
    );
    chart.bands = vec![Band {
        name: String::new(),
        points: band.collect(),
    }];
    let mean = Series::new("", Ink::Faulty, 1.75, points.collect());
    let mean = mean.from_json(format!("{at}/*/at"), format!("{at}/*/mean"));
    chart.series = vec![Series { dots: 2.5, ..mean }];
    chart
}

/// A word of a file as people say it.
fn worded(word: &str) -> String {
    match word.parse::<Place>() {
        Ok(place) => place.label(),
        Err(_) => word.replace('_', " "),
    }
}

fn named(reading: &ReadingSummary, over: &Over, at: &str) -> Vec<Bar> {
    let bars = over.bins.iter().enumerate().filter_map(|(n, bin)| {
        let tally = bin.tally?;
        Some(Bar {
            name: worded(bin.name.as_deref().unwrap_or_default()),
            value: tally.mean,
            said: format!("{} {}", digits(reading, tally.mean), reading.named.unit),
            json: format!("{at}/{n}/mean"),
            interval: Some((tally.low, tally.high)),
            ink: Ink::Faulty,
        })
    });
    bars.collect()
}

/// Decimals of a reading as it is declared; of what is none those that tell a hundredth of its range.
fn decimals(reading: &ReadingSummary) -> usize {
    let key = reading.named.column.split(" [").next();
    if let Some(form) = FORMS.iter().find(|form| Some(form.key) == key) {
        return form.decimals;
    }
    let range = reading.all.high - reading.all.low;
    let range = if range > 0.0 {
        range
    } else {
        reading.all.high.abs()
    };
    (2.0 - range.max(1e-9).log10().floor()).clamp(0.0, 5.0) as usize
}

fn digits(reading: &ReadingSummary, value: f64) -> String {
    number(value, decimals(reading))
}

fn table(summary: &Summary, i: usize, point: &Point) -> Table {
    let mut head = vec![Column::words("reading"), Column::words("unit")];
    head.extend(["mean", "lowest", "highest"].map(|label| Column::numbers(label, "")));
    let axes = summary.axes.iter();
    head.extend(axes.map(|axis| Column::numbers(short(axis), "share")));
    let rows = point.readings.iter().enumerate().map(|(j, reading)| {
        let at = |key: String| format!("/points/{i}/readings/{j}/{key}");
        let places = decimals(reading);
        let all = &reading.all;
        let mut row = vec![
            Cell::words(&reading.named.about),
            Cell::words(&reading.named.unit),
            Cell::number(all.mean, places, at("all/mean".into())).strong(),
            Cell::number(all.low, places, at("all/low".into())),
            Cell::number(all.high, places, at("all/high".into())),
        ];
        row.extend(reading.over.iter().enumerate().map(|(k, over)| {
            let share = over.as_ref().and_then(|over| over.share);
            Cell::number(share.unwrap_or(f64::NAN), 2, at(format!("over/{k}/share")))
        }));
        row
    });
    Table {
        caption: say::READINGS.into(),
        head,
        rows: rows.collect(),
    }
}
