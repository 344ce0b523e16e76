//! Two diagnoses beside each other, for people.

use crate::answer::Answers;
use crate::commands::diagnose::compare::{Apart, Compared, LETTERS};
use crate::commands::diagnose::form::{DiagnosisFile, Suspicion};
use crate::commands::diagnose::page::next_line;
use crate::commands::diagnose::picture::marks;
use crate::commands::diagnose::words::{lead, percent, sized};
use crate::commands::diagnose::{Diagnosed, drive};
use crate::figure::tracks::Track;
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Section};
use crate::say::diagnose as one;
use crate::say::diagnose_compare as say;
use crate::text::number::{difference, number};
use sim::study::judging::diagnose::ranking::Verdict;

/// Standard deviations of the instruments from which two readings are two: nineteen of twenty pairs
/// of one value lie nearer (normal law).
const TWO: f64 = 1.96;
/// Least probability of a fault that is shown, and how many are.
const SHOWN: (f64, usize) = (0.02, 8);
/// Least probability that is more than next to nothing.
const LEAST: f64 = 1e-3;
/// Tests of each that are named.
const TESTS: usize = 3;

/// What each comes to, and what differs most.
pub(super) fn says(found: &[Diagnosed; 2], readings: &[Apart]) -> String {
    let [a, b] = [&found[0], &found[1]].map(verdict);
    let moved = readings.iter().filter(|one| one.far() > TWO).count();
    let apart = match readings.first() {
        None => say::NOTHING_IN_COMMON.into(),
        Some(_) if moved == 0 => say::alike(readings.len()),
        Some(first) => say::apart(moved, readings.len(), told(first)),
    };
    say::both(a, b, apart)
}

/// `long-term trim at idle: 25.0 % in A, −2.1 % in B (−27.1)`.
fn told(one: &Apart) -> String {
    let form = one.form;
    let unit = [" ", form.unit].concat();
    let [a, b] = [one.a, one.b].map(|value| number(value, form.decimals));
    say::told(
        form.label,
        &one.condition,
        a,
        b,
        unit.trim_end(),
        difference(one.difference, form.decimals),
    )
}

/// A verdict in a few words.
fn verdict(found: &Diagnosed) -> String {
    let diagnosis = &found.diagnosis;
    let healthy = percent(diagnosis.sound());
    let Some(first) = diagnosis.hypotheses.first() else {
        return say::NOTHING_READ.into();
    };
    match diagnosis.verdict {
        Verdict::NoFaultShown => say::healthy(healthy),
        Verdict::Fault => say::fault(sized(found, first), percent(first.probability)),
        Verdict::OneOfSeveral => {
            let group = diagnosis.group(0);
            let group = || group.iter().map(|i| &diagnosis.hypotheses[*i]);
            let together: f64 = group().map(|h| h.probability).sum();
            let names: Vec<String> = group().map(|h| h.name(&found.ladders)).collect();
            say::one_of(names.join("; "), percent(together))
        }
        Verdict::Undecided => say::undecided(healthy),
        Verdict::NothingFits => say::NOTHING_FITS.into(),
    }
}

pub(super) fn page(compared: &Compared) -> Page {
    let file = &compared.file;
    let diagnoses = [&file.a.diagnosis, &file.b.diagnosis];
    let mut first: Vec<Block> = vec![Block::Says(file.says.clone())];
    let both = diagnoses.iter().zip(LETTERS);
    first.extend(both.filter_map(|(one, letter)| next_line(one, &say::label(letter, "next"))));
    first.extend(
        compared
            .cautions()
            .into_iter()
            .flatten()
            .map(Block::Caution),
    );
    if !file.readings.is_empty() {
        let all = file.readings.iter().enumerate().map(mark);
        let all: Vec<Track> = all.collect();
        let picture = marks("readings-apart", say::DISTANCES, &all);
        first.push(Block::Picture(picture));
        first.push(readings(&file.readings));
    }
    for (only, letter) in [&file.only_in_a, &file.only_in_b].into_iter().zip(LETTERS) {
        if !only.is_empty() {
            first.push(Block::Words(say::only_in(letter, only.join("; "))));
        }
    }
    let mut sections = vec![
        Section::new("", first),
        Section::new(say::FAULTS, vec![faults(diagnoses)]),
    ];
    for (i, letter) in LETTERS.into_iter().enumerate() {
        sections.push(next(&compared.found[i], diagnoses[i], letter));
    }
    Page {
        title: match file.a.title.is_empty() || file.b.title.is_empty() {
            true => say::TITLE.into(),
            false => say::title(&file.a.title, &file.b.title),
        },
        lead: leads(compared),
        sections,
        notes: vec![say::BY_NAME.into(), one::WITHIN.into(), CAUTION.into()],
        ..Page::default()
    }
}

/// What each is made of: its car, its log.
fn leads(compared: &Compared) -> Vec<Line> {
    let all = compared.found.iter().zip(LETTERS);
    let all = all.flat_map(|(found, letter)| {
        let mut lines = lead(found);
        for line in &mut lines {
            line.label = say::label(letter, &line.label);
        }
        lines
    });
    all.collect()
}

fn mark((i, one): (usize, &Apart)) -> Track {
    let form = one.form;
    let [a, b] = [one.a, one.b].map(|value| number(value, form.decimals));
    let at = |key: &str| format!("/readings/{i}/{key}");
    Track {
        said: say::from_to(form.label, &one.condition, a, b, form.unit),
        ring: (at("a_off_by_deviations"), one.a_off_by_deviations),
        dot: (at("b_off_by_deviations"), one.b_off_by_deviations),
    }
}

/// Every reading that both have.
fn readings(all: &[Apart]) -> Block {
    let rows = all.iter().enumerate().map(|(i, one)| {
        let digits = one.form.decimals;
        let at = |key: &str| format!("/readings/{i}/{key}");
        let cell = |value: f64, key: &str| Cell::number(value, digits, at(key));
        let mut apart = Cell::signed(one.difference, digits, at("difference"));
        if one.far() > TWO {
            apart.text.push('!');
        }
        vec![
            Cell::words(format!("{}, {}", one.form.label, one.condition)),
            Cell::words(one.unit),
            cell(one.a, "a"),
            cell(one.b, "b"),
            apart,
            cell(one.a_healthy_shows, "a_healthy_shows"),
            cell(one.b_healthy_shows, "b_healthy_shows"),
        ]
    });
    let words = ["reading", "unit"].map(Column::words);
    let numbers = ["A", "B", say::B_LESS_A, say::HEALTHY_A, say::HEALTHY_B];
    let numbers = numbers.map(|label| Column::numbers(label, ""));
    Block::table(say::READINGS, words.into_iter().chain(numbers), rows)
}

/// Each fault that one of them makes likely, with its probability and size in both.
fn faults(files: [&DiagnosisFile; 2]) -> Block {
    let likely = |file: &DiagnosisFile| {
        let all = file.hypotheses.iter();
        let all = all.filter(|one| one.probability >= SHOWN.0);
        let names = all.take(SHOWN.1).map(|one| one.name.clone());
        names.collect::<Vec<_>>()
    };
    let mut names = likely(files[0]);
    let more = likely(files[1]).into_iter();
    let more: Vec<String> = more.filter(|name| !names.contains(name)).collect();
    names.extend(more);
    let rows = names.iter().map(|name| {
        let found = [("a", files[0]), ("b", files[1])].map(|(key, file)| {
            let place = file.hypotheses.iter().position(|one| one.name == *name);
            let found = place.map(|i| (key, i, &file.hypotheses[i]));
            // Of what is next to impossible a size says nothing.
            found.filter(|(.., one)| one.probability >= LEAST)
        });
        let cells = found.iter().flat_map(|found| match found {
            Some((key, i, one)) => [share(key, *i, one), Cell::words(sizes(one))],
            None => [one::NEXT_TO_NOTHING, "\u{2013}"].map(Cell::words),
        });
        [Cell::words(name)].into_iter().chain(cells).collect()
    });
    let head = [Column::words("fault")].into_iter();
    let each = LETTERS.into_iter().flat_map(|letter| {
        let size = Column::words(say::size(letter));
        [Column::numbers(letter, ""), size]
    });
    Block::table(say::PROBABILITIES, head.chain(each), rows)
}

fn share(key: &str, i: usize, one: &Suspicion) -> Cell {
    let json = format!("/{key}/diagnosis/hypotheses/{i}/probability");
    Cell {
        text: one.share.clone(),
        ..Cell::number(one.probability, 3, json)
    }
}

fn sizes(one: &Suspicion) -> String {
    let sizes = [
        one.size.as_ref(),
        one.second.as_ref().map(|second| &second.size),
    ];
    let words: Vec<&str> = (sizes.into_iter().flatten())
        .map(|size| size.words.as_str())
        .collect();
    match words.is_empty() {
        true => "\u{2013}".into(),
        false => words.join("; "),
    }
}

/// The whole verdict of one of them, and what to test next.
fn next(found: &Diagnosed, file: &DiagnosisFile, letter: &str) -> Section {
    let mut blocks = vec![Block::Words(file.says.clone())];
    blocks.extend(file.remarks.iter().cloned().map(Block::Words));
    if !file.why_first.is_empty() {
        blocks.push(Block::Words(file.why_first.clone()));
    }
    let tests = file.next_tests.iter().take(TESTS).enumerate();
    blocks.extend(tests.map(|(i, test)| {
        let label = format!("test {}", i + 1);
        Block::Labelled(Line::new(label, &test.words))
    }));
    if file.next_tests.is_empty() && file.why_first.is_empty() {
        blocks.push(Block::Words(one::NO_TEST.into()));
    }
    blocks.push(Block::Words(say::HOW.into()));
    let untested = drive::untested(found, &file.missed);
    blocks.extend(untested.into_iter().flat_map(|part| part.blocks));
    Section::new(say::alone(letter), blocks)
}
