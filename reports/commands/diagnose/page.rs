//! A diagnosis for people.

use crate::commands::diagnose::foreseen::foreseen;
use crate::commands::diagnose::form::{Confirm, DiagnosisFile, Size, Suspicion, Test, Witness};
use crate::commands::diagnose::words::{again, in_records, lead};
use crate::commands::diagnose::{Diagnosed, drive, form, picture};
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Section};
use crate::say::diagnose as say;
use crate::text::number::number;
use crate::text::words::{bar, sentence};
use sim::network::readings::FORMS;
use sim::study::judging::diagnose::ranking::Verdict;
use sim::units::round;

/// Hypotheses shown, and the least probability of one.
const SHOWN: usize = 12;
const LEAST: f64 = 5e-4;
/// Hypotheses, or groups that cannot be told apart, that are argued, and the least probability.
const ARGUED: (usize, f64) = (3, 0.02);
/// Standard deviations from which a reading speaks for or against, and how many are heard.
const SPEAKS: (f64, usize) = (1.5, 6);
/// Next tests told in full.
const TESTS: usize = 5;

/// The page.
pub(super) fn page(found: &Diagnosed) -> Page {
    let file = form::file(found);
    let cleared = found.diagnosis.verdict == Verdict::NoFaultShown;
    let mut sections = vec![what_fits(found, &file)];
    if found.diagnosis.verdict == Verdict::NoFaultShown && found.readings.judged.is_none() {
        sections.push(unseen(&file));
    }
    sections.extend(drive::untested(found, &file.missed));
    let arguments = arguments(found, &file).into_iter();
    let (arguments, next) = (arguments.map(|part| part.folded(cleared)), next(&file));
    if cleared {
        sections.extend(next);
        sections.push(hidden(&file));
        sections.extend(arguments);
    } else {
        sections.extend(next);
        sections.extend(arguments);
    }
    sections.extend(file.confirm.as_ref().map(confirm));
    sections.extend(drive::gave(found, &file.judged).map(|part| part.folded(true)));
    let looked_up = |part: Section| part.folded(true).off_paper(true);
    sections.extend(drive::log(found).map(looked_up));
    sections.extend(file.hypotheses.first().map(readings).map(looked_up));
    Page {
        title: match found.readings.file.title.is_empty() {
            true => say::TITLE.into(),
            false => found.readings.file.title.clone(),
        },
        lead: lead(found),
        sections,
        notes: vec![say::WITHIN.into(), CAUTION.into()],
        ..Page::default()
    }
}

/// What is likely to be shown, and as many as are shown.
fn likely(file: &DiagnosisFile) -> &[Suspicion] {
    let likely = file.hypotheses.iter().take(SHOWN);
    let likely = likely.take_while(|one| one.probability >= LEAST).count();
    &file.hypotheses[..likely]
}

/// What could still hide in a car that is called healthy.
fn hidden(file: &DiagnosisFile) -> Section {
    let shown = likely(file);
    let pictures = [picture::probabilities(shown)].into_iter();
    let mut blocks = vec![Block::Row(pictures.chain(picture::sizes(shown)).collect())];
    blocks.extend(faults(shown));
    Section::new(say::COULD_HIDE, blocks).folded(true)
}

fn what_fits(found: &Diagnosed, file: &DiagnosisFile) -> Section {
    let beware = in_records(found).into_iter().chain(foreseen(found));
    let mut blocks: Vec<Block> = beware.map(Block::Caution).collect();
    blocks.push(Block::Says(file.says.clone()));
    blocks.extend(next_line(file, "next"));
    blocks.extend(file.remarks.iter().cloned().map(Block::Words));
    let shown = likely(file);
    let pictures = [picture::probabilities(shown)].into_iter();
    let cleared = found.diagnosis.verdict == Verdict::NoFaultShown;
    let (pictures, faults) = match cleared {
        // A healthy car is not told of a dozen faults before what to do.
        true => (Vec::new(), Vec::new()),
        false => (
            pictures.chain(picture::sizes(shown)).collect(),
            faults(shown).into(),
        ),
    };
    blocks.extend((!pictures.is_empty()).then_some(Block::Row(pictures)));
    blocks.extend::<Vec<Block>>(faults);
    let hypotheses = &found.diagnosis.hypotheses;
    let sound = |i: &usize| hypotheses[*i].posterior.faults.is_empty();
    let groups = found.diagnosis.inseparable.iter().zip(&file.inseparable);
    // What a healthy car cannot be told from is said below, with sizes.
    // The verdict names the first group already.
    let verdict = found.diagnosis.verdict == Verdict::OneOfSeveral;
    let first = found.diagnosis.group(0);
    let groups = groups.filter(|(group, _)| {
        let said = verdict && **group == first;
        !(said || (cleared && group.iter().any(sound)))
    });
    blocks.extend(groups.map(|(_, names)| Block::Words(say::alike(names.join("; ")))));
    Section::new("What fits", blocks)
}

/// A fault of a hypothesis: its name, its size and where that stands in the result for programs.
fn parts(index: usize, one: &Suspicion) -> Vec<(&str, Option<&Size>, String)> {
    let at = |key: &str| format!("/hypotheses/{index}/{key}");
    let first = one.names.first().unwrap_or(&one.name);
    let mut all = vec![(first.as_str(), one.size.as_ref(), at("size"))];
    if let (Some(second), Some(name)) = (&one.second, one.names.get(1)) {
        all.push((name, Some(&second.size), at("second/size")));
    }
    all
}

/// The faults with a bar for a terminal, and with every number of its own for a page; a second
/// fault stands under the first.
fn faults(shown: &[Suspicion]) -> [Block; 2] {
    let (mut short, mut whole) = (Vec::new(), Vec::new());
    for (i, one) in shown.iter().enumerate() {
        for (k, (name, size, json)) in parts(i, one).into_iter().enumerate() {
            let at = |key: &str| format!("/hypotheses/{i}/{key}");
            let share = one.share.replace("over", ">").replace("less than", "<");
            let share = format!("{}{share:>8}", bar(one.probability, 5));
            let probability = Cell::number(one.probability, 3, at("probability"));
            let [share, probability, fit] = match k {
                0 => [
                    Cell::words(share),
                    Cell {
                        text: one.share.clone(),
                        ..probability
                    },
                    Cell::number(one.fit, 2, at("fit")),
                ],
                _ => Default::default(),
            };
            let [best, low, high] = match size {
                Some(size) => sizes(size, &json),
                None => ["\u{2013}"; 3].map(Cell::words),
            };
            let [words, unit] = size.map_or([""; 2], |size| [&size.words, size.unit]);
            let and = if k == 0 { "" } else { "and " };
            let name = Cell::words(format!("{and}{name}"));
            let [words, unit] = [words, unit].map(Cell::words);
            short.push(vec![share, words, fit.clone(), name.clone()]);
            whole.push(vec![name, probability, best, low, high, unit, fit]);
        }
    }
    let numbers = |label: &str| Column::numbers(label, "");
    let [fault, unit] = ["fault", "unit"].map(Column::words);
    let [probability, best, low, high, fit] =
        ["probability", "size", "from", "to", "fit"].map(numbers);
    let head = ["probability", "size (90 %)", "fit", "fault"].map(Column::words);
    let short = Block::table(say::FIT, head, short);
    let head = [fault, probability, best, low, high, unit, fit];
    [
        short.on_terminal(),
        Block::table(say::FIT, head, whole).on_page(),
    ]
}

/// Best, lowest and highest; `json` is where the size stands in the result for programs.
fn sizes(size: &Size, json: &str) -> [Cell; 3] {
    let keys = [
        ("best", size.best),
        ("low90", size.low90),
        ("high90", size.high90),
    ];
    [0, 1, 2].map(|i| Cell {
        text: size.shown[i].clone(),
        ..Cell::number(keys[i].1, 3, format!("{json}/{}", keys[i].0))
    })
}

/// Leaks too small to show in these readings: with 95 % none larger than these.
fn unseen(file: &DiagnosisFile) -> Section {
    let single = file.hypotheses.iter().filter(|one| one.second.is_none());
    let holes = single.filter_map(|one| {
        one.place?;
        let name = one.name.trim_start_matches("leak: ");
        Some((name, one.size.as_ref()?.high90))
    });
    let mut holes: Vec<(&str, f64)> = holes.collect();
    holes.sort_by(|a, b| b.1.total_cmp(&a.1));
    let holes = holes
        .iter()
        .map(|(name, mm)| format!("{name} {} mm", number(*mm, 1)));
    let holes = holes.collect::<Vec<_>>().join(", ");
    Section::new(say::UNSEEN, vec![Block::Words(say::none_larger(holes))])
}

/// What speaks for and against the likeliest hypotheses, those that cannot be told apart
/// together: their readings are nearly the same.
fn arguments(found: &Diagnosed, file: &DiagnosisFile) -> Vec<Section> {
    let all = &file.hypotheses;
    let cleared = found.diagnosis.verdict == Verdict::NoFaultShown;
    let faulty = |i: &usize| all.get(*i).is_some_and(|one| !one.names.is_empty());
    let mut said: Vec<usize> = Vec::new();
    let mut sections = Vec::new();
    for i in (0..all.len()).filter(faulty) {
        if sections.len() == ARGUED.0 || all[i].probability <= ARGUED.1 {
            break;
        }
        if said.contains(&i) {
            continue;
        }
        let group = found.diagnosis.group(i).into_iter();
        let group: Vec<usize> = group.filter(faulty).collect();
        let others = group.iter().filter(|j| **j != i);
        let others: Vec<&str> = others.map(|j| all[*j].name.as_str()).collect();
        let mut blocks = Vec::new();
        if !others.is_empty() {
            blocks.push(Block::Words(say::and_for(others.join("; "))));
        }
        blocks.push(Block::Picture(picture::distances(i, &all[i].readings)));
        blocks.push(argue(i, &all[i].readings).on_terminal());
        blocks.extend(doubtful(found, i));
        said.extend(group);
        sections.push(Section::new(
            say::arguments(&all[i].name),
            match cleared {
                // Nothing needs arguments; a page has room for them.
                true => blocks.into_iter().map(Block::on_page).collect(),
                false => blocks,
            },
        ));
    }
    sections
}

/// A reading that a hypothesis leaves out.
fn doubtful(found: &Diagnosed, index: usize) -> Option<Block> {
    let bad = found.diagnosis.hypotheses[index].posterior.fit.bad?;
    let read = &found.evidence.reads[bad];
    let label = FORMS[read.reading as usize].label;
    let condition = &found.ladders.conditions[read.condition].name;
    let words = say::doubtful(label, condition, again(found, read));
    Some(Block::Labelled(Line::new("doubtful", words)))
}

/// The readings that speak.
fn argue(index: usize, readings: &[Witness]) -> Block {
    let off = |w: &Witness| {
        (
            w.this_off_by_deviations.abs(),
            w.sound_off_by_deviations.abs(),
        )
    };
    let speaks = |(_, w): &(usize, &Witness)| off(w).0.max(off(w).1) > SPEAKS.0;
    let rows = readings.iter().enumerate().filter(speaks).take(SPEAKS.1);
    let rows = rows.map(|(i, w)| {
        let (this, sound) = off(w);
        let against = this > SPEAKS.0 && this > sound - 0.5;
        let [reading, read, this, sound] = row(index, i, w);
        let side = Cell::words(if against { "against" } else { "for" });
        vec![side, reading, Cell::words(w.unit), read, this, sound]
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    if rows.is_empty() {
        return Block::Words(say::LEAN.into());
    }
    let [read, this, sound] = ["read", "this fault", "healthy car"].map(|l| Column::numbers(l, ""));
    let [side, reading, unit] = ["", "reading", "unit"].map(Column::words);
    Block::table("", [side, reading, unit, read, this, sound], rows)
}

/// A reading's name, what was read, what a hypothesis and a healthy car show.
fn row(hypothesis: usize, i: usize, w: &Witness) -> [Cell; 4] {
    let cell = |value: f64, key: &str| {
        let json = format!("/hypotheses/{hypothesis}/readings/{i}/{key}");
        Cell::number(value, w.form.decimals, json)
    };
    [
        Cell::words(format!("{}, {}", w.form.label, w.condition)),
        cell(w.read, "read"),
        cell(w.this_shows, "this_shows"),
        cell(w.sound_shows, "sound_shows"),
    ]
}

/// The next test with its picture, then how it is done, then the others.
fn next(file: &DiagnosisFile) -> Vec<Section> {
    let mut blocks: Vec<Block> = Vec::new();
    if !file.why_first.is_empty() {
        blocks.push(Block::Words(file.why_first.clone()));
    }
    let none = || {
        file.why_first
            .is_empty()
            .then(|| Block::Words(say::NO_TEST.into()))
    };
    let picture = picture::tests(&file.next_tests).map(Block::Picture);
    blocks.extend(picture.or_else(none));
    let tests = file.next_tests.iter().take(TESTS).enumerate();
    let mut told = tests.map(|(i, test)| told(i + 1, test));
    blocks.extend(told.next().into_iter().flatten());
    let mut parts = vec![Section::new(say::NEXT, blocks).pinned()];
    parts.extend(file.next_tests.first().map(|test| {
        let how = [Block::Words(say::HOW.into())].into_iter();
        Section::new(say::HOW_FIRST, how.chain(test.procedure.blocks()).collect())
    }));
    let others: Vec<Block> = told.flatten().collect();
    if !others.is_empty() {
        parts.push(Section::new(say::OTHERS, others));
    }
    parts
}

/// What to do next in a line, where a page answers; a terminal has it close by.
pub(super) fn next_line(file: &DiagnosisFile, label: &str) -> Option<Block> {
    let test = file.next_tests.first()?;
    Some(Block::Labelled(Line::new(label, &test.words)).on_page())
}

/// How the likeliest fault is confirmed, and what would prove it wrong.
fn confirm(found: &Confirm) -> Section {
    let parts = found.at_part.iter();
    let parts = parts.map(|part| format!("{}: {}", part.fault, part.how));
    let mut blocks = vec![Block::Checks(parts.collect())];
    blocks.push(Block::Words(match &found.proves_wrong {
        Some(wrong) => sentence(&wrong.outcome),
        None => say::NOTHING_PROVES.into(),
    }));
    Section::new(say::CONFIRM, blocks)
}

fn told(number: usize, test: &Test) -> Vec<Block> {
    let what = Block::Labelled(Line::new(format!("test {number}"), &test.words));
    let outcomes = (!test.outcomes.is_empty()).then(|| Block::List(test.outcomes.clone()));
    [what].into_iter().chain(outcomes).collect()
}

/// Every reading against the likeliest hypothesis and a healthy car.
fn readings(first: &Suspicion) -> Section {
    let rows = first.readings.iter().enumerate().map(|(i, w)| {
        let [reading, read, this, sound] = row(0, i, w);
        let doubt = Cell {
            text: round(w.doubt, 2),
            ..Cell::number(w.doubt, 2, format!("/hypotheses/0/readings/{i}/doubt"))
        };
        vec![reading, Cell::words(w.unit), read, doubt, this, sound]
    });
    let numbers = [
        "read",
        "uncertainty",
        "likeliest shows",
        "healthy car shows",
    ];
    let numbers = numbers.map(|label| Column::numbers(label, ""));
    let head = ["reading", "unit"].map(Column::words);
    let table = Block::table(say::DOUBT, head.into_iter().chain(numbers), rows);
    Section::new("Readings", vec![table.on_page()])
}
