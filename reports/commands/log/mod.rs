//! `falseair log`: what a drive log holds, as the program reads it.

mod show;

use crate::answer::{Answer, Form, Plain, Trouble};
use crate::input::log::{Mapping, Only, only, read};
use crate::input::read_toml;
use crate::text::write::OutFile;
use clap::ValueHint;
use show::json;
use show::table;
use std::path::PathBuf;

/// Options of `log`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  falseair log drive.csv\n  \
    falseair log drive.csv --mapping columns.toml --format json\n\n\
    A mapping file says what a column is where the guess is wrong:\n  \
    ambient = \"98.2 kPa abs\"\n  [columns]\n  \
    \"P Turbo\" = { reading = \"boost_sensor_kpa\", unit = \"psi gauge\" }\n  \"Note\" = \"ignore\"")]
pub struct LogArgs {
    /// Log of separated values: names of the columns, then a row a moment.
    pub log: PathBuf,
    /// TOML file that says what columns are.
    #[arg(long, value_name = "FILE.toml")]
    pub mapping: Option<PathBuf>,
    /// Only rows with this word in this column.
    #[arg(long, value_name = "COLUMN=WORD", value_parser = only)]
    pub only: Option<Only>,
    /// Form of the answer.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; an answer that cannot be written.
pub fn log(options: &LogArgs) -> Result<Answer, Trouble> {
    let mut mapping: Mapping = match &options.mapping {
        Some(path) => read_toml(path)?,
        None => Mapping::default(),
    };
    if options.only.is_some() {
        mapping.only.clone_from(&options.only);
    }
    let log = read(&options.log, &mapping)?;
    let text = match options.format {
        Form::Table => table(&options.log, &log),
        _ => json(&options.log, &log).map_err(Trouble::Other)?,
    };
    Ok(Answer::given(text, options.out.as_ref(), Vec::new()))
}
