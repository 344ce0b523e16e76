//! A fit, for people and for programs.

use crate::answer::Answers;
use crate::commands::vehicle::fit::{FitArgs, Fitted};
use crate::input::beside::beside;
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Section};
use crate::record;
use crate::say::vehicle_fit as say;
use sim::network::readings::{FORMS, Form};
use sim::study::making::fit::{Fitted as Found, KnownNumber, Left};
use sim::units::round;

/// The rules that stand in the fitted vehicle file.
pub(super) fn notes(options: &FitArgs, fitted: &Fitted) -> Vec<(String, String)> {
    let log = options.log.file_name().unwrap_or_default();
    let head = say::fitted_to(log.to_string_lossy());
    let told = fitted.fit.numbers.iter().filter(|number| number.told());
    let rules = told.map(|number| {
        let [before, after] = [number.before, number.after].map(|pair| share(number.before, pair));
        let rule = match number.before.0 {
            0.0 => say::rule_si(before, after),
            _ => say::rule(before, after),
        };
        (number.key.clone(), rule)
    });
    std::iter::once((String::new(), head))
        .chain(rules)
        .collect()
}

/// `1 ± 0.025`, as a share of what stood in the file, or as it is where that was 0.
fn share(before: (f64, f64), (value, deviation): (f64, f64)) -> String {
    match before.0 {
        0.0 => format!("{} ± {}", round(value, 3), round(deviation, 2)),
        was => format!("{:.4} ± {:.4}", value / was, deviation / was),
    }
}

record! {
    /// A value with its standard deviation.
    pub(super) struct Pair {
        /// Standard.
        deviation: f64;
        /// Likeliest.
        value: f64;
    }

    /// A number of the car, SI.
    pub(super) struct Number {
        /// With the log.
        after: Pair;
        /// Without.
        before: Pair;
        /// Standard deviation over that of a car of its make.
        doubt: f64;
        /// Where it stands in the vehicle file.
        key: String;
        /// In plain words.
        name: &'static str;
        /// Whether the readings tell anything of it.
        told: bool;
        /// Correlation with each number above.
        with: Vec<f64>;
    }

    /// A reading beside the car's.
    pub(super) struct Beside {
        /// What the fitted car shows.
        after: f64;
        /// What the car as given shows.
        before: f64;
        /// Where it was read.
        condition: String;
        /// In the log.
        read: Pair;
        /// Which.
        reading: &'static str;
        #[serde(skip)]
        form: &'static Form;
        /// Of the condition, about 1 where it agrees with the others.
        weight: f64;
    }

    /// A fitted car.
    pub(super) struct File {
        /// Its name.
        car: String;
        /// The log's file.
        log: String;
        #[serde(skip)]
        about_log: String;
        /// Of the log.
        notes: Vec<String>;
        /// That are uncertain.
        numbers: Vec<Number>;
        /// Before and after.
        readings: Vec<Beside>;
        /// Conditions that do not agree with the rest and count for little.
        set_aside: Vec<String>;
        /// The file written.
        vehicle: Option<String>;
        #[serde(skip)]
        written: Option<String>;
    }
}

impl Pair {
    const fn new((value, deviation): (f64, f64)) -> Self {
        Self { deviation, value }
    }

    const fn both(&self) -> (f64, f64) {
        (self.value, self.deviation)
    }
}

impl Number {
    fn new((number, known): (&Found, &KnownNumber)) -> Self {
        Self {
            after: Pair::new(number.after),
            before: Pair::new(number.before),
            doubt: known.doubt,
            key: number.key.clone(),
            name: number.name,
            told: number.told(),
            with: known.with.clone(),
        }
    }
}

impl Beside {
    fn new(left: &Left) -> Self {
        let form = &FORMS[left.reading as usize];
        Self {
            after: left.shown.1,
            before: left.shown.0,
            condition: left.condition.clone(),
            read: Pair::new(left.read),
            reading: form.key,
            form,
            weight: left.weight,
        }
    }

    fn row(&self, i: usize) -> Vec<Cell> {
        let number = |value: f64, key: &str| {
            let json = format!("/readings/{i}/{key}");
            Cell::number(value, self.form.decimals, json)
        };
        vec![
            Cell::words(self.form.label),
            Cell::words(self.form.unit),
            number(self.read.value, "read/value"),
            number(self.read.deviation, "read/deviation"),
            number(self.before, "before"),
            number(self.after, "after"),
        ]
    }
}

impl File {
    pub(super) fn new(options: &FitArgs, fitted: &Fitted) -> Self {
        let (fit, log) = (&fitted.fit, options.log.display());
        let written = options.out.as_ref().map(|path| {
            let beside = beside(path);
            format!("{} and {}", path.display(), beside.display())
        });
        Self {
            car: fit.car.vehicle.name.clone(),
            about_log: format!(
                "{log}: {} rows, {:.0} s",
                fitted.log.rows, fitted.log.seconds
            ),
            log: log.to_string(),
            notes: fitted.notes.clone(),
            numbers: (fit.numbers.iter().zip(&fit.known.numbers))
                .map(Number::new)
                .collect(),
            readings: fit.left.iter().map(Beside::new).collect(),
            set_aside: fit.aside.clone(),
            vehicle: options.out.as_ref().map(|path| path.display().to_string()),
            written,
        }
    }

    /// What the log tells, and what it does not.
    fn told(&self) -> Section {
        let told = self.numbers.iter().filter(|number| number.told);
        let rows = told.map(|number| {
            let before = number.before.both();
            let pairs = [&number.before, &number.after];
            let [before, after] = pairs.map(|pair| Cell::words(share(before, pair.both())));
            vec![Cell::words(number.name), before, after]
        });
        let head = ["number", "before", "after"].map(Column::words);
        let mut blocks = vec![Block::table(say::SHARES, head, rows)];
        let untold = self.numbers.iter().filter(|number| !number.told);
        let untold: Vec<&str> = untold.map(|number| number.name).collect();
        if !untold.is_empty() {
            blocks.push(Block::Words(say::as_before(untold.join("; "))));
        }
        Section::new("numbers that the log tells of", blocks)
    }

    /// Readings of each condition.
    fn read(&self) -> Vec<Section> {
        let (words, numbers) = (["reading", "unit"], ["read", "±", "before", "after"]);
        let words = words.map(Column::words).into_iter();
        let head = words.chain(numbers.map(|label| Column::numbers(label, "")));
        let mut row = 0;
        let groups = (self.readings).chunk_by(|a, b| a.condition == b.condition);
        let sections = groups.map(|group| {
            let rows = (row..).zip(group).map(|(i, beside)| beside.row(i));
            let table = Block::table(say::READ, head.clone(), rows);
            row += group.len();
            Section::new(&group[0].condition, vec![table])
        });
        sections.collect()
    }
}

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        let aside = self.set_aside.iter().map(say::set_aside);
        let notes = self.notes.iter().cloned().chain(aside);
        let mut lead = vec![
            Line::new("car", &self.car),
            Line::new("log", &self.about_log),
        ];
        lead.extend(notes.map(|note| Line::new("note", note)));
        lead.extend(self.written.iter().map(|both| Line::new("written", both)));
        let mut sections = vec![self.told()];
        sections.extend(self.read());
        Page {
            title: "A car fitted to its log".into(),
            lead,
            sections,
            notes: vec![CAUTION.into()],
        }
    }
}
