//! Two diagnoses beside each other: before and after a repair, or two cars.

mod page;

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::commands::diagnose::form::{self, DiagnosisFile, Witness};
use crate::commands::diagnose::{Diagnosed, foreseen, words};
use crate::page::Page;
use crate::say::diagnose_compare as say;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::readings::Form;

/// How the two are called.
const LETTERS: [&str; 2] = ["A", "B"];

/// Two readings files, judged each by itself.
pub(super) struct Compared {
    found: [Diagnosed; 2],
    file: File,
}

/// Two readings files beside each other, each judged by itself.
#[derive(Serialize, JsonSchema)]
pub(crate) struct File {
    /// What each comes to, and what differs most.
    says: String,
    /// The first.
    a: Judged,
    /// The other.
    b: Judged,
    /// Readings that both have at conditions of the same name; those that differ most first.
    readings: Vec<Apart>,
    /// Readings that only A has.
    only_in_a: Vec<String>,
    /// Readings that only B has.
    only_in_b: Vec<String>,
}

/// One of the two.
#[derive(Serialize, JsonSchema)]
struct Judged {
    /// Title of the readings file.
    title: String,
    /// Name of the car.
    vehicle: String,
    /// As `falseair diagnose` answers of it alone.
    diagnosis: DiagnosisFile,
}

/// A reading in both.
#[derive(Serialize, JsonSchema)]
struct Apart {
    condition: String,
    reading: &'static str,
    #[serde(skip)]
    form: &'static Form,
    unit: &'static str,
    a: f64,
    b: f64,
    /// B minus A.
    difference: f64,
    /// Standard deviation that instruments leave in the difference.
    doubt: f64,
    /// What a healthy car would show in place of A.
    a_healthy_shows: f64,
    /// What a healthy car would show in place of B.
    b_healthy_shows: f64,
    /// How far A lies off that, in standard deviations of instrument and car.
    a_off_by_deviations: f64,
    /// How far B lies off that.
    b_off_by_deviations: f64,
}

impl Apart {
    /// How far they are apart, in standard deviations of the instruments.
    fn far(&self) -> f64 {
        self.difference.abs() / self.doubt.max(1e-12)
    }
}

impl Compared {
    pub(super) fn new(found: [Diagnosed; 2]) -> Self {
        let [a, b] = [0, 1].map(|i| judged(&found[i]));
        let (readings, only) = readings([&a.diagnosis, &b.diagnosis]);
        let [only_in_a, only_in_b] = only;
        let says = page::says(&found, &readings);
        Self {
            file: File {
                says,
                a,
                b,
                readings,
                only_in_a,
                only_in_b,
            },
            found,
        }
    }

    /// `A (Lean code, restless idle)`.
    fn called(&self) -> [String; 2] {
        let titles = [&self.file.a.title, &self.file.b.title];
        [0, 1].map(|i| match titles[i].is_empty() {
            true => LETTERS[i].into(),
            false => say::called(LETTERS[i], titles[i]),
        })
    }
}

fn judged(found: &Diagnosed) -> Judged {
    Judged {
        title: found.readings.file.title.clone(),
        vehicle: found.readings.vehicle.name.clone(),
        diagnosis: form::file(found),
    }
}

/// What was read, each with what a healthy car shows there.
fn read(file: &DiagnosisFile) -> &[Witness] {
    file.hypotheses.first().map_or(&[], |first| &first.readings)
}

/// Readings of both, those that differ most first, and those that only one has.
fn readings(files: [&DiagnosisFile; 2]) -> (Vec<Apart>, [Vec<String>; 2]) {
    let [a, b] = files.map(read);
    let same = |x: &Witness, y: &Witness| x.reading == y.reading && x.condition == y.condition;
    let both = a.iter().filter_map(|x| {
        let y = b.iter().find(|y| same(x, y))?;
        Some(Apart {
            condition: x.condition.clone(),
            reading: x.reading,
            form: x.form,
            unit: x.unit,
            a: x.read,
            b: y.read,
            difference: form::round(y.read - x.read, 6),
            doubt: form::round(x.doubt.hypot(y.doubt), 4),
            a_healthy_shows: x.sound_shows,
            b_healthy_shows: y.sound_shows,
            a_off_by_deviations: x.sound_off_by_deviations,
            b_off_by_deviations: y.sound_off_by_deviations,
        })
    });
    let mut both: Vec<Apart> = both.collect();
    both.sort_by(|x, y| y.far().total_cmp(&x.far()));
    let alone = |these: &[Witness], others: &[Witness]| {
        let alone = these.iter().filter(|x| !others.iter().any(|y| same(x, y)));
        let mut alone: Vec<String> = alone
            .map(|x| format!("{}, {}", x.form.label, x.condition))
            .collect();
        alone.sort();
        alone
    };
    let only = [alone(a, b), alone(b, a)];
    (both, only)
}

impl Answers for Compared {
    type Data<'a> = &'a File;

    fn data(&self) -> &File {
        &self.file
    }

    /// Those of either, told of which.
    fn dangers(&self) -> Vec<Danger> {
        let all = self.found.iter().zip(self.called());
        let all = all.flat_map(|(found, called)| {
            let found = &found.diagnosis.dangers;
            Danger::all(&called, "", found).collect::<Vec<_>>()
        });
        all.collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        let all = self.found.iter().zip(LETTERS);
        let all = all.flat_map(|(found, letter)| {
            let own = words::in_records(found).into_iter();
            own.chain(foreseen::foreseen(found))
                .map(move |words| say::of(letter, words))
        });
        Some(all.collect())
    }

    fn page(&self) -> Page {
        page::page(self)
    }
}
