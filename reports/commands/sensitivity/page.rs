//! Sensitivities for people: what counts most in a sentence, then reading by reading over the
//! operating points.

use crate::answer::dangers::Danger;
use crate::answer::{Answers, Trouble};
use crate::commands::sensitivity::form::{Explained, Move, SensitivityFile};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::{Block, Cell, Column, Page, Picture, Section};
use crate::say::sensitivity as say;
use crate::text::number::{difference, number, slug};

const WIDTH: f64 = 460.0;

/// A quantity, what it moves and where.
#[derive(Clone, Copy)]
struct Found<'a> {
    point: usize,
    reading: usize,
    explained: &'a Explained,
    moved: &'a Move,
}

impl Found<'_> {
    /// The change beside what the reading's instrument is off by.
    fn far(&self) -> f64 {
        self.moved.change.abs() / self.explained.instrument
    }

    fn change(&self) -> String {
        let text = difference(self.moved.change, self.explained.shown());
        format!("{text} {}", self.explained.unit).trim_end().into()
    }
}

impl Answers for SensitivityFile {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        page(self)
    }

    fn dangers(&self) -> Vec<Danger> {
        let points = self.points.iter();
        points.flat_map(|point| point.dangers.clone()).collect()
    }

    /// One row a point, reading and quantity.
    fn csv(&self) -> Result<String, Trouble> {
        self.rows()
    }

    fn failures(&self) -> Vec<String> {
        let failed = self.points.iter();
        let failed = failed.filter_map(|p| Some(format!("{}: {}", p.name, p.failure.as_ref()?)));
        failed.collect()
    }
}

/// All of it, in the order in which it is read.
fn page(file: &SensitivityFile) -> Page {
    // What is zero has no 1 % of its own to be told by.
    let wrong = most(file, |moved| moved.wrong && !moved.zero);
    let wrong = wrong.or(most(file, |moved| moved.wrong));
    let any = most(file, |moved| !moved.zero).or(most(file, |_| true));
    let first = wrong.or(any);
    let mut blocks: Vec<Block> = says(file, wrong, any)
        .map(Block::Says)
        .into_iter()
        .collect();
    blocks.extend(first.map(|found| Block::Picture(picture(file, found))));
    let readings = file.points.iter().map(|point| point.readings.len()).max();
    let leads = first.map_or(0, |found| found.reading);
    match file.full {
        true => blocks.extend(table(file, leads)),
        false => {
            blocks.extend(first.map(|found| glance(file, found).on_terminal()));
            blocks.extend(table(file, leads).map(Block::on_page));
        }
    }
    if first.is_none() && file.points.iter().any(|point| point.failure.is_none()) {
        blocks.push(Block::Words(say::NOTHING_MOVES_THESE.into()));
    }
    blocks.extend(Block::list(beware(file)));
    let others = (0..readings.unwrap_or(0)).filter(|j| *j != leads);
    let others: Vec<Block> = others.filter_map(|j| table(file, j)).collect();
    let mut sections = vec![Section::new("", blocks)];
    if !others.is_empty() {
        sections.push(Section::new(say::OTHERS, others).folded(!file.full));
    }
    let mut page = file.head.clone();
    page.title = say::title(&file.scenario);
    page.sections = sections;
    page.notes.insert(0, say::ABOUT.into());
    page
}

/// What moves a reading most of all, beside what its instrument is off by.
fn most<'a>(file: &'a SensitivityFile, which: impl Fn(&Move) -> bool) -> Option<Found<'a>> {
    let points = file.points.iter().enumerate();
    let readings = points.flat_map(|(point, at)| {
        let readings = at.readings.iter().enumerate();
        readings.map(move |(reading, explained)| (point, reading, explained))
    });
    let all = readings.filter_map(|(point, reading, explained)| {
        let moved = explained.moves.iter().find(|moved| which(moved))?;
        Some(Found {
            point,
            reading,
            explained,
            moved,
        })
    });
    // The first of equals.
    all.fold(None, |best: Option<Found>, next| match best {
        Some(best) if best.far() >= next.far() => Some(best),
        _ => Some(next),
    })
}

fn says(file: &SensitivityFile, wrong: Option<Found>, any: Option<Found>) -> Option<String> {
    let at = |found: &Found| file.points[found.point].name.clone();
    let any = any?;
    let whole = || say::counts_most(&any.moved.name, any.explained.label, at(&any), any.change());
    Some(match wrong {
        Some(wrong) => {
            let (name, label) = (&wrong.moved.name, wrong.explained.label);
            let own = say::of_the_fault(name, label, at(&wrong), wrong.change());
            match wrong.moved.key == any.moved.key {
                true => own,
                false => format!("{own} {}", whole()),
            }
        }
        None => whole(),
    })
}

/// What has no answer, and what holds to one side only, said once with the points it is of.
fn beware(file: &SensitivityFile) -> Vec<String> {
    let mut all: Vec<(String, Vec<&str>)> = Vec::new();
    for point in &file.points {
        let failed = point.failure.iter().map(say::no_answer);
        let reduced = point.reduced.then(|| say::REDUCED.to_string());
        let stops = point.one_sided.iter().map(say::one_sided);
        for words in failed.chain(stops).chain(reduced) {
            match all.iter_mut().find(|(known, _)| *known == words) {
                Some((_, points)) => points.push(&point.name),
                None => all.push((words, vec![&point.name])),
            }
        }
    }
    let all = all.into_iter();
    all.map(|(words, points)| format!("{}: {words}", points.join(", ")))
        .collect()
}

/// The quantities that move the reading of the sentence, at its point.
fn picture(file: &SensitivityFile, found: Found) -> Picture {
    let Found {
        point,
        reading,
        explained,
        ..
    } = found;
    let json = format!("/points/{point}/readings/{reading}/by");
    let bar = |moved: &Move| Bar {
        name: moved.name.clone(),
        value: moved.change,
        said: Found { moved, ..found }.change(),
        json: (explained.place(&moved.key))
            .map_or(String::new(), |k| format!("{json}/{k}/by_1_pct")),
        interval: None,
        ink: if moved.wrong { Ink::Leak } else { Ink::Faulty },
    };
    let moves = explained
        .moves
        .iter()
        .map(|moved| (moved, moved.change.abs()));
    let drawn = shown(moves.collect(), file.top);
    let all: Vec<Bar> = drawn.into_iter().map(bar).collect();
    let at = &file.points[point];
    let heading = say::moves(explained.label, &at.name);
    let name = format!("sensitivity-{}-{}", slug(&at.name), slug(explained.reading));
    Picture::new(name, say::BARS, bars(&heading, &all, WIDTH))
}

/// Point by point what moves the reading of the sentence most, and what the sentence's own does.
fn glance(file: &SensitivityFile, found: Found) -> Block {
    let rows = file.points.iter().filter_map(|point| {
        let explained = point.readings.get(found.reading)?;
        let most = explained.moves.iter().find(|moved| !moved.zero);
        let change = |moved: Option<&Move>| {
            let change = moved.map_or(0.0, |moved| moved.change);
            Cell::words(difference(change, explained.shown()))
        };
        let now = explained
            .value
            .map_or("\u{2013}".into(), |v| number(v, explained.decimals));
        let most_of = most.map_or("\u{2013}".into(), |moved| moved.name.clone());
        Some(vec![
            Cell::words(&point.name),
            Cell::words(now),
            Cell::words(most_of),
            change(most),
            change(explained.of(&found.moved.key)),
        ])
    });
    let Explained { label, unit, .. } = found.explained;
    let head = [
        Column::words(say::AT),
        Column::numbers(say::READS_NOW, *unit),
        Column::words(say::MOST_BY),
        Column::numbers("by", *unit),
        Column::numbers(say::BY_THIS, *unit),
    ];
    Block::table(say::at_a_glance(label, &found.moved.name), head, rows)
}

impl Explained {
    /// Decimals of a change by 1 %: one more than the reading has.
    fn shown(&self) -> usize {
        self.decimals + 1
    }

    /// Where a quantity stands in the result for programs.
    fn place(&self, key: &str) -> Option<usize> {
        self.by.iter().position(|by| by.quantity == key)
    }

    fn of(&self, key: &str) -> Option<&Move> {
        self.moves.iter().find(|moved| moved.key == key)
    }
}

/// What is shown of quantities with the largest change of each: those that have 1 % of their own
/// first, and what is wrong with the car always.
fn shown(mut all: Vec<(&Move, f64)>, top: usize) -> Vec<&Move> {
    all.sort_by(|a, b| a.0.zero.cmp(&b.0.zero).then(b.1.total_cmp(&a.1)));
    let mut all: Vec<&Move> = all.into_iter().map(|(moved, _)| moved).collect();
    let wrong = all.iter().copied().find(|moved| moved.wrong);
    all.truncate(top);
    if !all.iter().any(|moved| moved.wrong) {
        all.extend(wrong);
    }
    all
}

/// A reading: what 1 % of each quantity does to it, point by point; none where nothing moves it.
fn table(file: &SensitivityFile, reading: usize) -> Option<Block> {
    let points = || file.points.iter().enumerate();
    let at = |i: usize| file.points[i].readings.get(reading);
    let explained: Vec<Option<&Explained>> = file
        .points
        .iter()
        .map(|p| p.readings.get(reading))
        .collect();
    let mut all: Vec<(&Move, f64)> = Vec::new();
    for moved in explained
        .iter()
        .flatten()
        .flat_map(|explained| &explained.moves)
    {
        let size = moved.change.abs();
        match all.iter_mut().find(|(known, _)| known.key == moved.key) {
            Some((_, most)) => *most = most.max(size),
            None => all.push((moved, size)),
        }
    }
    let all = shown(all, file.top);
    let first = explained
        .iter()
        .flatten()
        .next()
        .filter(|_| !all.is_empty())?;
    let row = |moved: &&Move| {
        let zero = if moved.zero { " *" } else { "" };
        let name = Cell::words(format!("{}, {}{zero}", moved.name, moved.now));
        let cells = points().map(|(i, _)| {
            let Some(explained) = at(i).filter(|explained| explained.value.is_some()) else {
                return Cell::words("\u{2013}");
            };
            let change = explained.of(&moved.key).map_or(0.0, |moved| moved.change);
            let stands = explained.place(&moved.key);
            let json = stands.map(|k| format!("/points/{i}/readings/{reading}/by/{k}/by_1_pct"));
            match json {
                Some(json) => Cell::signed(change, explained.shown(), json),
                None => Cell::words(difference(change, explained.shown())),
            }
        });
        [name].into_iter().chain(cells).collect()
    };
    let mut rows: Vec<Vec<Cell>> = all.iter().map(row).collect();
    let now = points().map(|(i, _)| {
        let value = at(i).and_then(|explained| explained.value);
        Cell::words(value.map_or("\u{2013}".into(), |value| number(value, first.decimals)))
    });
    let name = Cell::words(say::READS_NOW);
    rows.insert(0, [name].into_iter().chain(now).collect());
    let mut head = vec![Column::words(say::MORE_OF)];
    head.extend(
        file.points
            .iter()
            .map(|point| Column::numbers(&point.name, first.unit)),
    );
    Some(Block::table(say::changes(first.label), head, rows))
}
