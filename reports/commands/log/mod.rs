//! `falseair log`: what a drive log holds, as the program reads it.

mod show;

use crate::answer::gist::Gist;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::input::log::{self, Only, mapping, only, rate, read};
use show::Read;
use sim::study::knowing::log::Window;
use std::path::PathBuf;

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("log", schema::<show::Read>);

/// Options of `log`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  falseair log drive.csv\n  \
    falseair log drive.csv --mapping columns.toml --format json\n\n\
    A mapping file says what a column is where the guess is wrong:\n  \
    ambient = \"98.2 kPa abs\"\n  [columns]\n  \
    \"P Turbo\" = { reading = \"boost_sensor_kpa\", unit = \"psi gauge\" }\n  \"Note\" = \"ignore\"")]
pub struct LogArgs {
    /// Log of separated values: a row with the names of the columns, then a row for each moment.
    pub log: PathBuf,
    /// TOML file that says what the columns are.
    #[arg(long, value_name = "FILE.toml")]
    pub mapping: Option<PathBuf>,
    /// Only rows with this word in this column.
    #[arg(long, value_name = "COLUMN=WORD", value_parser = only)]
    pub only: Option<Only>,
    /// Rows per second, where no column holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = rate)]
    pub samples_per_second: Option<f64>,
    /// Read it again when it has grown, and say what is new, until the answer stands: the same
    /// conditions three times, over a minute of the log. Only then are files written; Ctrl-C ends it
    /// without them.
    #[arg(long)]
    pub follow: bool,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; an answer that cannot be written.
pub fn log(options: &LogArgs) -> Result<Answer, Trouble> {
    let asked = log::Asked {
        only: options.only.as_ref(),
        interval: options.samples_per_second,
    };
    let mapping = mapping(options.mapping.as_deref(), asked)?;
    let log = read(&options.log, &mapping)?;
    let held = log.windows.iter().map(Window::name);
    let gist = Gist {
        words: format!(
            "{} {}",
            held.collect::<Vec<_>>().join(", "),
            log.pulls.len()
        ),
        seconds: log.seconds,
        decided: !log.windows.is_empty(),
    };
    let answer = options.asked.answer(&Read {
        log,
        path: options.log.clone(),
    })?;
    Ok(answer.coming_to(gist))
}
