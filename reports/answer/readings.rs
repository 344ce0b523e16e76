//! Numbers that the physics declares in lists (readings, air ledger, flows, levels of the
//! monitors): for programs by key with their JSON Schema, for people one car beside the other,
//! for spreadsheets as columns.

use crate::answer::csv::number;
use crate::page::{Cell, Column};
use crate::text::number::difference;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use serde_json::{Map, Value, json};
use sim::control::Code;
use sim::control::watchdogs::Levels;
use sim::network::flows::FLOWS;
use sim::network::readings::FORMS;
use sim::network::{AirLedger, Readings};
use std::borrow::Cow;

/// What is known of a number in a list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Declared {
    /// Its key in files.
    pub key: &'static str,
    /// Its name in tables; empty for what only files hold.
    pub label: &'static str,
    /// Its unit; empty where there is none.
    pub unit: &'static str,
    /// Its decimals in tables.
    pub decimals: usize,
}

impl Declared {
    /// What it is, in files too.
    pub fn about(self) -> &'static str {
        match self.label {
            "" => "what the air ledger fails to explain",
            label => label,
        }
    }
}

/// A list of declared numbers.
pub trait ByKey {
    /// What the list is called.
    const NAME: &'static str;

    /// What is known of each, in order.
    fn declared() -> impl Iterator<Item = Declared>;

    /// Their values in the same order; none where one has no meaning.
    fn values(&self) -> impl Iterator<Item = Option<f64>>;

    /// Columns of a CSV file.
    fn keys() -> impl Iterator<Item = String> {
        Self::declared().map(|number| number.key.into())
    }

    /// Cells under them.
    fn cells(&self) -> impl Iterator<Item = String> {
        self.values().map(number)
    }
}

impl ByKey for Readings<f64> {
    const NAME: &'static str = "Readings";

    fn declared() -> impl Iterator<Item = Declared> {
        FORMS.iter().map(|form| Declared {
            key: form.key,
            label: form.label,
            unit: form.unit,
            decimals: form.decimals,
        })
    }

    fn values(&self) -> impl Iterator<Item = Option<f64>> {
        let values = self.values.into_iter();
        values.map(|value| value.is_finite().then_some(value))
    }
}

type Flow = (&'static str, &'static str, fn(&AirLedger) -> f64);

/// The air ledger's lines: key, name, value in g/s.
const LEDGER: [Flow; 9] = [
    ("metered_in_g_s", "in through filter", |l| l.metered_in),
    ("unmetered_in_g_s", "unmetered air in", |l| l.unmetered_in),
    ("lost_g_s", "lost to outside", |l| l.lost),
    ("recirculated_g_s", "recirculated", |l| l.recirculated),
    ("blow_by_g_s", "blow-by returned", |l| l.blow_by),
    ("engine_g_s", "into cylinders", |l| l.engine),
    ("exhaust_in_g_s", "into exhaust by leak", |l| l.exhaust_in),
    ("exhaust_lost_g_s", "out of exhaust by leak", |l| {
        l.exhaust_lost
    }),
    ("closure_g_s", "", |l| l.closure),
];

fn flow(key: &'static str, label: &'static str) -> Declared {
    Declared {
        key,
        label,
        unit: "g/s",
        decimals: 3,
    }
}

impl ByKey for AirLedger {
    const NAME: &'static str = "AirLedger";

    fn declared() -> impl Iterator<Item = Declared> {
        LEDGER.iter().map(|(key, label, _)| flow(key, label))
    }

    fn values(&self) -> impl Iterator<Item = Option<f64>> {
        LEDGER.iter().map(|(.., of)| Some(of(self)))
    }
}

impl ByKey for [f64; FLOWS.len()] {
    const NAME: &'static str = "Flows";

    fn declared() -> impl Iterator<Item = Declared> {
        FLOWS.iter().map(|(key, label, _)| flow(key, label))
    }

    fn values(&self) -> impl Iterator<Item = Option<f64>> {
        self.iter().copied().map(Some)
    }
}

/// Monitors: 1 sets the code; none where one is not enabled.
impl ByKey for Levels<f64> {
    const NAME: &'static str = "Levels";

    fn declared() -> impl Iterator<Item = Declared> {
        Code::WORDS.iter().map(|(word, code, _)| Declared {
            key: word,
            label: code.name(),
            unit: "",
            decimals: 2,
        })
    }

    fn values(&self) -> impl Iterator<Item = Option<f64>> {
        self.iter().copied()
    }
}

/// A list for programs: an object of its keys, null where a number has no meaning.
#[derive(Clone, Copy, Debug)]
pub struct Keyed<'a, T>(pub &'a T);

impl<T: ByKey> Serialize for Keyed<'_, T> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let keys = T::declared().map(|number| number.key);
        to.collect_map(keys.zip(self.0.values()))
    }
}

impl<T: ByKey> JsonSchema for Keyed<'_, T> {
    fn schema_name() -> Cow<'static, str> {
        T::NAME.into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let property = |number: Declared| {
            let about = json!({
                "type": ["number", "null"],
                "description": number.about(),
                "unit": number.unit,
            });
            (number.key.to_string(), about)
        };
        let properties: Map<String, Value> = T::declared().map(property).collect();
        let keys: Vec<String> = T::keys().collect();
        json_schema!({ "type": "object", "properties": properties, "required": keys })
    }
}

/// A number of the healthy car and of the faulty one, if there is one.
#[derive(Clone, Copy, Debug)]
pub struct Beside {
    /// What it is.
    pub number: Declared,
    /// Healthy and faulty; none where it has no meaning, or the car has no answer.
    pub values: [Option<f64>; 2],
}

impl Beside {
    /// Every number that has a name, of both cars.
    pub fn all<T: ByKey>(cars: [Option<&T>; 2]) -> Vec<Self> {
        let lists = cars.map(|car| car.map(|list| list.values().collect::<Vec<_>>()));
        let one = |(i, number): (usize, Declared)| Self {
            number,
            values: [0, 1].map(|car: usize| lists[car].as_ref().and_then(|list| list[i])),
        };
        let all = T::declared().enumerate().map(one);
        all.filter(|beside| !beside.number.label.is_empty())
            .collect()
    }

    /// Whether any of the values is this large.
    pub fn reaches(&self, least: f64) -> bool {
        let mut values = self.values.iter().flatten();
        values.any(|value| value.abs() >= least)
    }

    /// Faulty less healthy, as it is shown; none where they cannot be compared.
    fn apart(&self) -> Option<String> {
        let [healthy, faulty] = self.values;
        Some(difference(faulty? - healthy?, self.number.decimals))
    }

    /// Whether the cars differ in what is shown, or cannot be compared.
    pub fn changes(&self) -> bool {
        let [healthy, faulty] = self.values;
        let half = 0.5 * 10f64.powi(-(self.number.decimals as i32));
        healthy
            .zip(faulty)
            .is_none_or(|(h, f)| (f - h).abs() >= half)
    }

    /// Heads of the columns of [`row`](Self::row).
    pub fn head(both: bool) -> Vec<Column> {
        let numbers = |label: &str| Column::numbers(label, "");
        let mut head = vec![Column::words("reading"), Column::words("unit")];
        head.push(numbers("healthy"));
        if both {
            head.extend(["faulty", "difference"].map(numbers));
        }
        head
    }

    /// A row of a table; `json` is where the list of a car stands in the result for programs.
    pub fn row(&self, both: bool, json: impl Fn(&str) -> String) -> Vec<Cell> {
        let Declared {
            key,
            label,
            unit,
            decimals,
        } = self.number;
        let cell = |value: Option<f64>, car: &str| {
            let json = format!("{}/{key}", json(car));
            Cell::number(value.unwrap_or(f64::NAN), decimals, json)
        };
        let [healthy, faulty] = self.values;
        let mut row = vec![
            Cell::words(label),
            Cell::words(unit),
            cell(healthy, "healthy"),
        ];
        if both {
            row.push(cell(faulty, "faulty"));
            row.push(Cell::words(self.apart().unwrap_or("–".into())));
        }
        row
    }
}
