//! A fit, for people and for programs.

use crate::answer::Answers;
use crate::commands::vehicle::fit::{FitArgs, Fitted, picture};
use crate::input::beside::beside;
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Section};
use crate::record;
use crate::say::vehicle_fit as say;
use sim::network::readings::{FORMS, Form};
use sim::study::making::fit::{Fitted as Found, KnownNumber, Left};
use sim::units::round;

/// The rules that stand in the fitted vehicle file.
pub(super) fn notes(options: &FitArgs, fitted: &Fitted) -> Vec<(String, String)> {
    let log = options.read().file_name().unwrap_or_default();
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
        /// Standard deviation over that of a car of its make; over that before where a diagnosis
        /// takes the number for certain.
        doubt: f64;
        /// Where it stands in the vehicle file.
        key: String;
        /// In plain words.
        name: &'static str;
        /// Whether the readings tell anything of it.
        told: bool;
        /// Correlation with each number above that a diagnosis takes for uncertain.
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
        /// Read less shown, before, in standard deviations of what was read.
        off_before: f64;
        /// The same after.
        off_after: f64;
        /// In the log.
        read: Pair;
        /// Which.
        reading: &'static str;
        #[serde(skip)]
        form: &'static Form;
        /// Of the condition, about 1 where it agrees with the others.
        weight: f64;
    }

    /// A reading that the fitted car does not follow.
    pub(super) struct Misfit {
        /// Where it was read.
        condition: String;
        /// Which.
        reading: &'static str;
        #[serde(skip)]
        label: &'static str;
        /// Read less shown, in standard deviations of what was read.
        off: f64;
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
        /// Readings that the fitted car does not follow, the farthest off first.
        not_followed: Vec<Misfit>;
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
    fn new(number: &Found, known: Option<&KnownNumber>) -> Self {
        Self {
            after: Pair::new(number.after),
            before: Pair::new(number.before),
            doubt: known.map_or(number.after.1 / number.before.1, |known| known.doubt),
            key: number.key.clone(),
            name: number.name,
            told: number.told(),
            with: known.map_or(Vec::new(), |known| known.with.clone()),
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
            off_before: left.off().0,
            off_after: left.off().1,
            read: Pair::new(left.read),
            reading: form.key,
            form,
            weight: left.weight,
        }
    }

    fn drawn(&self) -> picture::Row {
        picture::Row {
            said: format!("{}, {}", self.form.label, self.condition),
            off: [self.off_before, self.off_after],
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

impl Misfit {
    fn new(left: &Left) -> Self {
        let form = &FORMS[left.reading as usize];
        Self {
            condition: left.condition.clone(),
            reading: form.key,
            label: form.label,
            off: left.off().1,
        }
    }
}

impl File {
    /// What it does not follow, a line each.
    pub(super) fn unfollowed(&self) -> impl Iterator<Item = String> + '_ {
        let car = &self.car;
        let all = self.not_followed.iter();
        all.map(move |m| say::not_followed(car, m.label, &m.condition, m.off.abs()))
    }

    pub(super) fn new(options: &FitArgs, fitted: &Fitted) -> Self {
        let (fit, log) = (&fitted.fit, options.read().display());
        let known = |number: &Found| {
            let mut known = fit.known.numbers.iter();
            known.find(|known| known.key == number.key)
        };
        let written = options.out.as_ref().map(|path| {
            let beside = beside(path);
            format!("{} and {}", path.display(), beside.display())
        });
        Self {
            car: fit.car.vehicle.name.clone(),
            about_log: fitted.about.clone(),
            log: log.to_string(),
            notes: fitted.notes.clone(),
            numbers: (fit.numbers.iter())
                .map(|number| Number::new(number, known(number)))
                .collect(),
            readings: fit.left.iter().map(Beside::new).collect(),
            not_followed: fit.unfollowed().into_iter().map(Misfit::new).collect(),
            set_aside: fit.aside.clone(),
            vehicle: options.out.as_ref().map(|path| path.display().to_string()),
            written,
        }
    }

    /// Those of the readings that it does not follow, in words.
    fn misfits(&self) -> String {
        let all = self.not_followed.iter();
        let all =
            all.map(|m| format!("{} at {} (off by {:.1})", m.label, m.condition, m.off.abs()));
        all.collect::<Vec<_>>().join("; ")
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
        Section::new("Numbers that it tells of", blocks)
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
            Line::new("fitted to", &self.about_log),
        ];
        lead.extend(notes.map(|note| Line::new("note", note)));
        lead.extend(self.written.iter().map(|both| Line::new("written", both)));
        let mut first = vec![Block::Says(match self.not_followed.len() {
            0 => say::follows(self.readings.len(), &self.car),
            _ => say::does_not_follow(self.misfits()),
        })];
        let rows: Vec<picture::Row> = self.readings.iter().map(Beside::drawn).collect();
        first.extend(picture::residuals(&rows).map(|p| Block::Picture(p).on_page()));
        let mut sections = vec![Section::new("What it follows", first), self.told()];
        sections.extend(self.read());
        Page {
            title: "A car fitted to itself while healthy".into(),
            lead,
            sections,
            notes: vec![CAUTION.into()],
            ..Page::default()
        }
    }
}
