//! Two scenarios beside each other, for people.

use crate::answer::Answers;
use crate::commands::simulate::answered::Answered;
use crate::commands::simulate::compare::{Compared, difference, differs};
use crate::commands::simulate::summary::{changes, codes, shown_most, widest};
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Picture, Section, Table};
use crate::say::head;
use crate::say::simulate as points;
use crate::say::simulate_compare as say;
use crate::text::number::{difference as signed, number};
use sim::network::readings::{ALL, FORMS, Reading as R};
use sim::study::asking::seen::Seen;

/// Readings that the answer names beside the one that differs most.
const BESIDE: usize = 2;

pub(super) fn page(compared: &Compared) -> Page {
    let seen = compared.seen();
    let first = shown_most(&seen);
    let mut sections = vec![glance(compared, &seen, first)];
    let pairs = compared.pairs.iter().enumerate();
    sections.extend(pairs.map(|(i, pair)| {
        let both = compared.both(pair);
        let table = readings(both, i);
        let part = Section::new(say::readings_at(&both[0].result.name), vec![table]);
        let shut = i != first || compared.same();
        part.folded(shut).off_paper(shut)
    }));
    // The point that is spoken of stands first.
    if first < compared.pairs.len() {
        let part = sections.remove(1 + first);
        sections.insert(1, part);
    }
    let [a, b] = compared.cases;
    Page {
        title: match a.scenario.title == b.scenario.title {
            true => say::title_of_one(&a.scenario.title),
            false => say::title(&a.scenario.title, &b.scenario.title),
        },
        lead: lead(compared),
        sections,
        notes: vec![CAUTION.into()],
        ..Page::default()
    }
}

/// Which cars in which air.
fn lead(compared: &Compared) -> Vec<Line> {
    let lines = compared.cases.iter().zip(["A", "B"]).map(|(case, letter)| {
        let (air, car) = (&case.network.ambient, &case.network.vehicle);
        let (kilopascal, celsius) = (air.pressure / 1e3, air.temperature - 273.15);
        let title = &case.scenario.title;
        Line::new(letter, say::which(title, &car.name, kilopascal, celsius))
    });
    let mut lines: Vec<Line> = lines.collect();
    if compared.cases.iter().any(|case| case.invented) {
        lines.push(Line::new("note", head::INVENTED));
    }
    lines
}

/// What differs most, and where.
pub(super) fn says(compared: &Compared, seen: &[Vec<Seen>]) -> String {
    if compared.pairs.is_empty() {
        return say::NOTHING_IN_COMMON.into();
    }
    if compared.same() {
        return say::same(compared.pairs.len());
    }
    let first = shown_most(seen);
    let both = compared.both(&compared.pairs[first]);
    let mut most: Vec<&Seen> = seen[first].iter().collect();
    most.sort_by(|x, y| y.far().total_cmp(&x.far()));
    let Some(largest) = most.first() else {
        return say::NOT_COMPARED.into();
    };
    let form = &FORMS[largest.reading as usize];
    let [a, b] = both.map(|one| one.read(largest.reading).unwrap_or(f64::NAN));
    let told = say::told(
        form.label,
        number(a, form.decimals),
        number(b, form.decimals),
        [" ", form.unit].concat().trim_end(),
        signed(b - a, form.decimals),
    );
    let name = &both[0].result.name;
    if !seen.iter().flatten().any(Seen::shows) {
        return say::hardly(name, told);
    }
    let beside = most.iter().skip(1).filter(|seen| seen.shows()).take(BESIDE);
    let beside = beside.map(|seen| {
        let form = &FORMS[seen.reading as usize];
        let by = signed(seen.change, form.decimals);
        format!("{} {by} {}", form.label, form.unit)
            .trim_end()
            .to_string()
    });
    let beside: Vec<String> = beside.collect();
    match beside.is_empty() {
        true => say::most(name, told),
        false => say::most_and(name, told, beside.join(", ")),
    }
}

/// The sentence, the two drawings, what differs most at which point.
fn glance(compared: &Compared, seen: &[Vec<Seen>], first: usize) -> Section {
    let mut blocks = vec![Block::Says(says(compared, seen))];
    let failed = compared.failures().into_iter().map(points::no_answer);
    let warned = compared.cautions().into_iter().flatten();
    blocks.extend(failed.chain(warned).map(Block::Caution));
    let both = |pair| compared.both(pair)[0].result.name.as_str();
    let rows: Vec<(&str, &[Seen])> = (compared.pairs.iter().map(both))
        .zip(seen.iter().map(Vec::as_slice))
        .collect();
    if seen.iter().flatten().next().is_some() && !compared.same() {
        let caption = match seen.iter().flatten().any(Seen::stands_out) {
            true => say::CHANGES_MARKED,
            false => say::CHANGES,
        };
        blocks.push(Block::Table(changes(&rows, caption)));
    }
    // One above the other: side by side their letters would be too small.
    blocks.extend(drawings(compared, first));
    for (which, letter) in ["A", "B"].into_iter().enumerate() {
        let alone = compared.alone(which);
        if !alone.is_empty() {
            blocks.push(Block::Words(say::only_in(letter, alone.join(", "))));
        }
        let line = Line::new(say::codes(letter), codes(&compared.points[which]));
        blocks.push(Block::Labelled(line));
    }
    Section::new("", blocks)
}

/// Where the air goes in each, to one scale.
fn drawings(compared: &Compared, first: usize) -> Vec<Block> {
    let Some(pair) = compared.pairs.get(first) else {
        return Vec::new();
    };
    let most = compared.points.iter().map(|points| widest(points));
    let most = most.fold(0.0, f64::max);
    let drawn = ["a", "b"]
        .into_iter()
        .enumerate()
        .filter_map(|(which, key)| {
            let one = compared.both(pair)[which];
            let json = format!("/points/{first}/{key}");
            let scene = one.ledger(&json, &compared.cases[which].network, most)?;
            let caption = say::drawn(key.to_uppercase(), &one.result.name);
            let picture = Picture::new(format!("air-ledger-{key}"), caption, scene);
            Some(Block::Picture(picture))
        });
    drawn.collect()
}

/// Every reading of a point: A, B, the difference, the healthy cars of the make.
fn readings(both: [&Answered; 2], point: usize) -> Block {
    let shown: Vec<R> = (ALL.iter().copied())
        .filter(|reading| {
            let read = both.iter().filter_map(|one| one.read(*reading));
            differs(both, *reading) || read.into_iter().any(|value| value != 0.0)
        })
        .collect();
    let bands = shown
        .iter()
        .map(|reading| both.map(|one| one.band_in_words(*reading)));
    let bands: Vec<[String; 2]> = bands.collect();
    // Cars of one make in one air have one band.
    let one = bands.iter().all(|[a, b]| a == b);
    let rows = shown.iter().zip(bands).map(|(reading, [a, b])| {
        let form = &FORMS[*reading as usize];
        let cell = |one: &Answered, key: &str| {
            let side = if one.result.faulty.is_some() {
                "faulty"
            } else {
                "healthy"
            };
            let json = format!("/points/{point}/{key}/{side}/{}", form.key);
            Cell::number(one.read(*reading).unwrap_or(f64::NAN), form.decimals, json)
        };
        let apart = difference(both, *reading).unwrap_or(f64::NAN);
        let json = format!("/points/{point}/differences/{}", form.key);
        let mut row = vec![
            Cell::words(form.label),
            Cell::words(form.unit),
            cell(both[0], "a"),
            cell(both[1], "b"),
            Cell::signed(apart, form.decimals, json),
            Cell::words(a),
        ];
        row.extend((!one).then(|| Cell::words(b)));
        row
    });
    let rows = rows.collect();
    let mut head = ["reading", "unit"].map(Column::words).to_vec();
    head.extend(["A", "B", say::B_LESS_A].map(|label| Column::numbers(label, "")));
    let healthy = match one {
        true => vec![points::HEALTHY_CARS],
        false => vec![say::HEALTHY_LIKE_A, say::HEALTHY_LIKE_B],
    };
    head.extend(healthy.into_iter().map(|label| Column::numbers(label, "")));
    Block::Table(Table {
        caption: say::READINGS.into(),
        head,
        rows,
    })
}
