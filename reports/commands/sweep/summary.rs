//! What the rows of a sweep come to: each reading at each point, over each axis. Made from
//! the results in two passes, in bounded memory.

use crate::answer::Trouble;
use crate::commands::sweep::columns::{Column, Kind};
use crate::commands::sweep::manifest::{Manifest, other};
use ::csv::{Reader, StringRecord};
use schemars::JsonSchema;
use serde::Serialize;
use sim::study::asking::sweep::tally::{Bins, Look, Tally, share};
use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;

/// Its file beside the results.
pub const NAME: &str = "summary.json";

/// All of it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Summary {
    /// Title of the study.
    pub title: String,
    /// Cases.
    pub cases: u64,
    /// Rows.
    pub rows: u64,
    /// The axes.
    pub axes: Vec<Named>,
    /// Operating points, in their order; a drive is one.
    pub points: Vec<Point>,
}

/// An axis or a reading.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Named {
    /// Its column.
    pub column: String,
    /// In words.
    pub about: String,
    /// Empty for a plain number and for words.
    pub unit: String,
}

/// An operating point.
#[derive(Debug, Default, Serialize, JsonSchema)]
pub struct Point {
    /// Its name.
    pub name: String,
    /// Rows with an answer.
    pub answered: u64,
    /// Rows without, by kind of reason.
    pub failures: BTreeMap<String, u64>,
    /// Rows with a danger, by kind.
    pub dangers: BTreeMap<String, u64>,
    /// Rows that set a code, by code.
    pub codes: BTreeMap<String, u64>,
    /// Readings.
    pub readings: Vec<ReadingSummary>,
}

/// A reading at a point.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReadingSummary {
    /// What it is.
    #[serde(flatten)]
    pub named: Named,
    /// Over all cases.
    pub all: Spread,
    /// Over each axis; none where an axis has too many words.
    pub over: Vec<Option<Over>>,
}

/// What a reading is in some rows.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub struct Spread {
    /// In how many.
    pub count: u64,
    /// Mean.
    pub mean: f64,
    /// Smallest.
    pub low: f64,
    /// Largest.
    pub high: f64,
    /// Whether it differs by more than a solver's rounding.
    #[serde(skip)]
    pub varies: bool,
}

impl From<&Tally> for Spread {
    fn from(tally: &Tally) -> Self {
        Self {
            count: tally.count,
            mean: tally.mean,
            low: tally.low,
            high: tally.high,
            varies: tally.varies(),
        }
    }
}

/// A reading over an axis.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Over {
    /// Share of the reading's variance that the axis accounts for; none where nothing varies.
    pub share: Option<f64>,
    /// Values or ranges of the axis.
    pub bins: Vec<Bin>,
}

/// A value or range of an axis.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Bin {
    /// The value, or the middle of the range; none for words.
    pub at: Option<f64>,
    /// The word; none for numbers.
    pub name: Option<String>,
    /// What the reading is there.
    #[serde(flatten)]
    pub tally: Option<Spread>,
}

/// Where things stand in a row.
struct Places {
    axes: Vec<usize>,
    point: usize,
    answer: usize,
    dangers: usize,
    codes: usize,
    readings: Vec<usize>,
}

/// Sums at one point while rows come in.
struct Sums {
    /// What is told of it; its readings come at the end.
    point: Point,
    /// For each reading: over all, and for each axis over its bins.
    readings: Vec<(Tally, Vec<Vec<Tally>>)>,
}

fn place(columns: &[Column]) -> Result<Places, Trouble> {
    let at = |name: &str| {
        let found = columns.iter().position(|column| column.name == name);
        found.ok_or_else(|| other(format!("the results have no column `{name}`")))
    };
    let (point, codes) = (at("point")?, at("codes")?);
    // The ledger closes the readings; a drive has none, but its readings end the row.
    let end = at("metered_in_g_s").unwrap_or(columns.len());
    let readings = (codes + 1..end).filter(|i| columns[*i].kind == Kind::Number);
    Ok(Places {
        axes: (1..point).collect(),
        point,
        answer: at("answer")?,
        dangers: at("dangers")?,
        codes,
        readings: readings.collect(),
    })
}

fn rows(path: &Path, mut each: impl FnMut(&StringRecord)) -> Result<(), Trouble> {
    let unread =
        |e: &dyn std::fmt::Display| other(format!("cannot read `{}`: {e}", path.display()));
    let file = File::open(path).map_err(|e| unread(&e))?;
    let mut reader = Reader::from_reader(file);
    let mut row = StringRecord::new();
    while reader.read_record(&mut row).map_err(|e| unread(&e))? {
        each(&row);
    }
    Ok(())
}

/// Makes it from the results.
///
/// # Errors
/// The results cannot be read.
pub fn summary(results: &Path, manifest: &Manifest) -> Result<Summary, Trouble> {
    let columns = &manifest.columns;
    let places = place(columns)?;
    let mut looks: Vec<Look> = (places.axes.iter())
        .map(|i| Look::new(columns[*i].kind.is_text()))
        .collect();
    rows(results, |row| {
        for (look, i) in looks.iter_mut().zip(&places.axes) {
            look.see(&row[*i]);
        }
    })?;
    let bins: Vec<Option<Bins>> = looks.into_iter().map(Look::bins).collect();
    let mut sums: Vec<Sums> = Vec::new();
    rows(results, |row| count(row, &places, &bins, &mut sums))?;
    let named = |i: &usize| Named {
        column: columns[*i].name.clone(),
        about: columns[*i].about.clone(),
        unit: columns[*i].unit.clone(),
    };
    let readings: Vec<Named> = places.readings.iter().map(named).collect();
    Ok(Summary {
        title: manifest.title.clone(),
        cases: manifest.cases,
        rows: manifest.rows,
        axes: places.axes.iter().map(named).collect(),
        points: sums.into_iter().map(|s| s.told(&readings, &bins)).collect(),
    })
}

fn count(row: &StringRecord, places: &Places, bins: &[Option<Bins>], sums: &mut Vec<Sums>) {
    let name = &row[places.point];
    let at = sums.iter().position(|sum| sum.point.name == name);
    let at = at.unwrap_or_else(|| {
        sums.push(Sums::new(name, places.readings.len(), bins));
        sums.len() - 1
    });
    let sum = &mut sums[at];
    let point = &mut sum.point;
    match &row[places.answer] {
        "ok" => point.answered += 1,
        kind => *point.failures.entry(kind.into()).or_default() += 1,
    }
    for kind in row[places.dangers].split_whitespace() {
        *point.dangers.entry(kind.into()).or_default() += 1;
    }
    for code in row[places.codes].split_whitespace() {
        *point.codes.entry(code.into()).or_default() += 1;
    }
    let found: Vec<Option<usize>> = (bins.iter().zip(&places.axes))
        .map(|(bins, i)| bins.as_ref()?.of(&row[*i]))
        .collect();
    for (i, (all, over)) in places.readings.iter().zip(&mut sum.readings) {
        let Ok(value) = row[*i].parse() else { continue };
        all.add(value);
        for (bins, bin) in over.iter_mut().zip(&found) {
            if let Some(bin) = bin.and_then(|bin| bins.get_mut(bin)) {
                bin.add(value);
            }
        }
    }
}

impl Sums {
    fn new(name: &str, readings: usize, bins: &[Option<Bins>]) -> Self {
        let over = bins.iter().map(|bins| {
            let count = bins.as_ref().map_or(0, Bins::len);
            vec![Tally::default(); count]
        });
        let over: Vec<Vec<Tally>> = over.collect();
        let name = name.into();
        Self {
            point: Point {
                name,
                ..Point::default()
            },
            readings: vec![(Tally::default(), over); readings],
        }
    }

    fn told(self, named: &[Named], bins: &[Option<Bins>]) -> Point {
        let readings = named.iter().zip(self.readings);
        // A reading that has no meaning at this point has no values.
        let readings = readings.filter(|(_, (all, _))| all.count > 0);
        let readings = readings.map(|(named, (all, over))| ReadingSummary {
            named: named.clone(),
            over: (bins.iter().zip(&over))
                .map(|(bins, tallies)| Some(Over::new(bins.as_ref()?, &all, tallies)))
                .collect(),
            all: Spread::from(&all),
        });
        Point {
            readings: readings.collect(),
            ..self.point
        }
    }
}

impl Over {
    fn new(bins: &Bins, all: &Tally, tallies: &[Tally]) -> Self {
        let one = |(i, tally): (usize, &Tally)| Bin {
            at: bins.middle(i),
            name: bins.word(i).map(String::from),
            tally: (tally.count > 0).then(|| tally.into()),
        };
        Self {
            share: share(all, tallies),
            bins: tallies.iter().enumerate().map(one).collect(),
        }
    }
}
