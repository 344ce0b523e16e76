//! `falseair vehicle check`: the card of a car.

use crate::answer::dangers::Danger;
use crate::answer::{Answer, Answers, Form, Plain, SchemaOf, Trouble, schema};
use crate::input::read_toml;
use crate::page::record::{OWN, WORDS};
use crate::page::{Block, Line, Page, Section, Table};
use crate::record;
use crate::say::vehicle as say;
use sim::network::Vehicle;
use sim::study::making::sizing::{Figure as Found, Flag, card};
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Example:
  falseair vehicle check scenarios/vehicles/brindle-16.toml

Exit codes: 0 all typical, 1 something flagged or no steady running, 2 input
that cannot be used.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("vehicle-card", schema::<File>);

/// Options of `vehicle check`.
#[derive(Debug, clap::Args)]
pub struct Check {
    /// Vehicle file.
    pub file: PathBuf,
    /// Form of the card.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
    /// All of the answer: nothing is left out or folded away.
    #[arg(long)]
    pub full: bool,
}

record! {
    /// A figure of the card.
    struct Figure by decimals {
        /// Its name in files.
        key: &'static str;
        /// Its name.
        label: &'static str = "figure" "" WORDS;
        /// None where the car does not get there.
        value: Option<f64> = "found" "" OWN;
        /// Its unit.
        unit: &'static str = "unit" "" WORDS;
        #[serde(skip)]
        decimals: usize;
        #[serde(skip)]
        range: String = "typical" "" WORDS;
        #[serde(skip)]
        mark: String = "from" "" WORDS;
        #[serde(skip)]
        odd: &'static str = "" "" WORDS;
        /// Lowest and highest typical value.
        typical: Option<[f64; 2]>;
        /// Of the range.
        source: &'static str;
        /// `typical`, `low`, `high` or `stated`.
        flag: &'static str;
    }

    /// What the healthy car shows.
    struct File {
        /// The car's name.
        vehicle: String;
        #[serde(skip)]
        about: String;
        /// Whether every figure is typical and the model warns of nothing.
        sound: bool;
        /// Each by itself.
        figures: Vec<Figure>;
        /// Of the model.
        warnings: Vec<String>;
        #[serde(skip)]
        dangers: Vec<Danger>;
    }
}

impl Figure {
    fn new(found: &Found) -> Self {
        let range = found.typical.map(|ends| {
            let [low, high] = ends.map(|end| format!("{end:.*}", found.decimals));
            format!("{low} to {high}")
        });
        // A mark stands before further words.
        let mark = found.source.split([',', ' ']).next();
        Self {
            key: found.key,
            label: found.label,
            value: found.value.is_finite().then_some(found.value),
            unit: found.unit,
            decimals: found.decimals,
            range: range.unwrap_or_default(),
            mark: mark.unwrap_or_default().into(),
            odd: match found.flag() {
                Flag::Low => "LOW",
                Flag::High => "HIGH",
                Flag::Typical | Flag::Stated => "",
            },
            typical: found.typical,
            source: found.source,
            flag: found.flag().word(),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used.
pub fn run(options: &Check) -> Result<Answer, Trouble> {
    let vehicle: Vehicle = read_toml(&options.file)?;
    let card = match card(&vehicle) {
        Ok(card) => card,
        Err(why) => {
            return Ok(Answer::none(vec![format!("{}: {why}", vehicle.name)]));
        }
    };
    let file = File {
        vehicle: vehicle.name,
        about: vehicle.about,
        sound: card.sound(),
        figures: card.figures.iter().map(Figure::new).collect(),
        warnings: card.said(),
        dangers: card.dangers.iter().map(Danger::from).collect(),
    };
    let text = options.format.whole(&file, options.full)?;
    Ok(Answer::given(text, None, file.failures()))
}

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        self.dangers.clone()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        Some(self.warnings.clone())
    }

    fn page(&self) -> Page {
        let figures = Table::of(say::CARD, "/figures", &self.figures, &[]);
        let warnings = self.warnings.iter().cloned().map(Block::Caution);
        let mut blocks = vec![Block::Table(figures)];
        blocks.extend(warnings.chain([Block::Words(say::RANGES.into())]));
        Page {
            title: "Card of a car".into(),
            lead: vec![
                Line::new("car", format!("{}: {}", self.vehicle, self.about)),
                Line::new("run", say::RUN),
            ],
            sections: vec![Section::new("", blocks)],
            notes: Vec::new(),
            ..Page::default()
        }
    }

    fn failures(&self) -> Vec<String> {
        let odd = self.figures.iter().filter(|figure| !figure.odd.is_empty());
        let all = [
            ("figures that are not typical", odd.count()),
            ("warnings of the model", self.warnings.len()),
        ];
        let some = all.into_iter().filter(|(_, count)| *count > 0);
        some.map(|(what, count)| format!("{what}: {count}"))
            .collect()
    }
}
