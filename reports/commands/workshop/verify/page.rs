//! The page of a repair: before and after.

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::commands::workshop::page::Sheet;
use crate::commands::workshop::verify::shift::{Shift, shifts};
use crate::commands::workshop::verify::{File, Line, Side};
use crate::page::{Block, Page, Picture, Section, Table};
use crate::say::workshop_verify as say;
use crate::text::number::number;
use crate::text::words::sentence;

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        let tests = self.warnings.dangers.iter();
        let tests = tests.map(|words| Danger::of_test(words));
        tests.chain(self.dangers.iter().cloned()).collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let side = |heading: &str, json: &str, side: &Side| {
            let table = Table::of(say::READINGS, json, &side.readings, &[]);
            let heading = format!("{heading}: {}", side.size.words);
            Section::new(heading, vec![Block::Table(table)]).folded(true)
        };
        let mut left = vec![
            Block::Words(self.left.clone()),
            Block::Words(format!("Anything else: {}", self.rest)),
        ];
        left.extend(
            self.in_car
                .as_ref()
                .map(|_| Block::Words(say::LARGEST.into())),
        );
        let sheet = Sheet {
            title: "Before and after a repair",
            car: Some(&self.vehicle),
            says: &self.says,
            blocks: vec![Block::Picture(self.picture())],
            sections: vec![
                Section::new("What is left", left),
                Section::new(say::RECORD, vec![self.head()]),
                side("Before", "/before/readings", &self.before),
                side("After", "/after/readings", &self.after),
            ],
            in_car: self.in_car.as_ref(),
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
        };
        sheet.page()
    }
}

impl File {
    /// What the record says of the car and the work, as far as it is given.
    pub(super) fn about(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let head = &self.head;
        let all = [
            ("Customer", &head.customer),
            ("Car", &head.car),
            ("Date", &head.date),
            ("Workshop", &head.workshop),
            ("Technician", &head.technician),
            ("Work done", &head.work),
            ("Fault", &self.fault),
            ("Compared with", &self.vehicle),
        ];
        let given = all.into_iter().filter(|(_, words)| !words.is_empty());
        given.map(|(label, words)| (label, words.as_str()))
    }

    fn head(&self) -> Block {
        let all = self.about().filter(|(label, _)| *label != "Compared with");
        let all = all.map(|(label, words)| format!("{label}: {}", sentence(words)));
        Block::List(all.collect())
    }

    /// Before and after, each reading from the healthy car.
    pub(super) fn picture(&self) -> Picture {
        let both = [
            ("before", &self.before.readings),
            ("after", &self.after.readings),
        ];
        let mut all: Vec<(&str, Shift)> = Vec::new();
        for (key, readings) in both {
            for (i, line) in readings.iter().enumerate() {
                let dot = line.sound.map(|sound| {
                    let distance = (line.read - sound) / line.doubt;
                    (distance, line.read, format!("/{key}/readings/{i}/read"))
                });
                let read = number(line.read, line.decimals);
                let earlier = all.iter_mut().find(|(what, shift)| {
                    key == "after" && *what == line.what && shift.after.is_none()
                });
                match earlier {
                    Some((_, shift)) => {
                        shift.after = dot;
                        shift.said = said(&shift.said, &read, line);
                    }
                    None => all.push((&line.what, alone(key, line, dot))),
                }
            }
        }
        let all: Vec<Shift> = all.into_iter().map(|(_, shift)| shift).collect();
        Picture::new("before-and-after", say::SHIFTS, shifts(&all, 425.0))
    }
}

/// `15.6 → 1.6 %`.
fn said(before: &str, after: &str, line: &Line) -> String {
    let before = before.trim_end_matches(line.unit).trim_end();
    format!("{before} \u{2192} {after} {}", line.unit)
}

fn alone(key: &str, line: &Line, dot: Option<(f64, f64, String)>) -> Shift {
    let (before, after) = match key {
        "before" => (dot, None),
        _ => (None, dot),
    };
    Shift {
        name: line.what.clone(),
        said: format!("{} {}", number(line.read, line.decimals), line.unit),
        before,
        after,
    }
}
