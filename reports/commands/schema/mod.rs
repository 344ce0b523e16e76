//! `falseair schema`: what a file may hold and what a command answers, for editors, programs and
//! people. All of it comes from the declarations that readers and answers come from.

pub mod json;
pub mod table;

use crate::answer::write::OutFile;
use crate::answer::{Answer, Form, Plain, SchemaOf, Trouble};
use crate::text::printed::Text;
use clap::ValueHint;
use clap::{Subcommand, ValueEnum};
use sim::network::Vehicle;
use sim::params::{self, Described, nearest};
use sim::scenario::Scenario;
use sim::study::asking::sweep::Study;
use sim::study::judging::diagnose::file::ReadingsFile;

pub(crate) const HELP: &str = "\
Examples:
  falseair schema vehicle --format table
  falseair schema scenario --out scenario.schema.json
  falseair schema answer simulate";

/// Options of `schema`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Schema {
    /// Which file.
    #[arg(value_enum, required = true)]
    pub file: Option<FileKind>,
    /// Form of the answer: JSON Schema, draft 2020-12, for editors and checkers; or a table.
    #[arg(long, default_value = "json", value_parser = Form::parser::<Plain>())]
    pub format: Form,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Of an answer.
    #[command(subcommand)]
    pub answer: Option<SchemaCommand>,
}

/// What else `schema` can do.
#[derive(Debug, Subcommand)]
pub enum SchemaCommand {
    /// What a command answers with `--format json`: JSON Schema, draft 2020-12.
    Answer(AnswerOf),
}

/// Options of `schema answer`.
#[derive(Debug, clap::Args)]
pub struct AnswerOf {
    /// Which command (`simulate`, `workshop-flow`); without it, the names of all.
    pub command: Option<String>,
    /// File for the schema, instead of the terminal.
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

impl FileKind {
    /// What the file may hold.
    pub fn form(self) -> params::Form {
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

/// Answers `falseair schema`; `answers` are those of all commands.
///
/// # Errors
/// No such command; the file for the answer cannot be written.
pub fn schema(options: &Schema, answers: &[SchemaOf]) -> Result<Answer, Trouble> {
    let (text, out): (Text, _) = match (&options.answer, options.file) {
        (Some(SchemaCommand::Answer(of)), _) => (answer(of, answers)?.into(), &of.out),
        (None, Some(file)) => {
            let (form, title) = (file.form(), file.title());
            let text = match options.format {
                Form::Table => table::reference(&form, title).into(),
                _ => format!("{:#}\n", json::schema(&form, title)).into(),
            };
            (text, &options.out)
        }
        // The command line asks for it.
        _ => return Err(Trouble::Other("a kind of file is needed".into())),
    };
    Ok(Answer::given(text, out.as_ref(), Vec::new()))
}

/// The schema of a command's answer, or the names of those that have one.
fn answer(of: &AnswerOf, answers: &[SchemaOf]) -> Result<String, Trouble> {
    let names = answers.iter().map(|(name, _)| *name);
    let Some(wanted) = of.command.as_deref() else {
        return Ok(names.map(|name| format!("{name}\n")).collect());
    };
    let Some((_, schema)) = answers.iter().find(|(name, _)| *name == wanted) else {
        let near = nearest(wanted, names.clone());
        let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        let all: Vec<&str> = names.collect();
        return Err(Trouble::Other(format!(
            "no command `{wanted}` answers in JSON{near}\nthose that do: {}",
            all.join(", ")
        )));
    };
    let mut schema = schema();
    schema.insert(
        "title".into(),
        format!("answer of falseair {wanted}").into(),
    );
    Ok(format!("{:#}\n", schema.as_value()))
}
