//! `falseair schema`: what a file may hold, for editors and for people. All of
//! it comes from the declarations that the readers of the files come from.

pub mod json;
pub mod table;

use crate::answer::{Answer, Trouble};
use crate::text::write::OutFile;
use clap::ValueEnum;
use clap::ValueHint;
use sim::network::Vehicle;
use sim::params::Described;
use sim::params::Form;
use sim::scenario::Scenario;
use sim::study::asking::sweep::Study;
use sim::study::judging::diagnose::file::ReadingsFile;

/// Options of `schema`.
#[derive(Debug, clap::Args)]
pub struct Schema {
    /// Which file.
    #[arg(value_enum)]
    pub file: FileKind,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = SchemaFormat::Json)]
    pub format: SchemaFormat,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
}

/// A kind of file that people write.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FileKind {
    /// Air, leaks, operating points, a drive.
    Scenario,
    /// One car.
    Vehicle,
    /// Readings of a car.
    Readings,
    /// A scenario and what of it varies.
    Study,
}

/// Form of a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaFormat {
    /// JSON Schema, draft 2020-12, for editors and checkers.
    Json,
    /// For reading, at most 80 columns.
    Table,
}

impl FileKind {
    /// What the file may hold.
    pub fn form(self) -> Form {
        match self {
            FileKind::Scenario => Scenario::<f64>::form(),
            FileKind::Vehicle => Vehicle::<f64>::form(),
            FileKind::Readings => ReadingsFile::<f64>::form(),
            FileKind::Study => Study::<f64>::form(),
        }
    }

    /// What the file is called.
    pub fn title(self) -> &'static str {
        match self {
            FileKind::Scenario => "falseair scenario file",
            FileKind::Vehicle => "falseair vehicle file",
            FileKind::Readings => "falseair readings file",
            FileKind::Study => "falseair study file",
        }
    }
}

/// Answers `falseair schema`.
///
/// # Errors
/// The file for the answer cannot be written.
pub fn schema(options: &Schema) -> Result<Answer, Trouble> {
    let (form, title) = (options.file.form(), options.file.title());
    let text = match options.format {
        SchemaFormat::Json => format!("{:#}\n", json::schema(&form, title)),
        SchemaFormat::Table => table::reference(&form, title),
    };
    Ok(Answer::given(text, options.out.as_ref(), Vec::new()))
}
