//! `falseair bay`: one page that does a technician's whole job at the car, with the engine in it.

mod page;

use crate::answer::write::OutFile;
use crate::answer::{Answer, Trouble};
use clap::ValueHint;

pub(crate) const HELP: &str = "\
Example:
  falseair bay --out bay.html

The page opens from disk in any browser and needs no network: car, complaint,
readings or a log, what fits, tests, parts, repairs, record. Its jobs are kept
in that browser and saved as the files that the commands read.";

/// Options of `bay`.
#[derive(Debug, clap::Args)]
pub struct Bay {
    /// File for the page.
    #[arg(long, value_name = "BAY.html", value_hint = ValueHint::FilePath)]
    pub out: OutFile,
}

/// Runs the command.
///
/// # Errors
/// A page that cannot be written.
pub fn bay(options: &Bay) -> Result<Answer, Trouble> {
    let file = options.out.holding(page::page());
    let size = file.size().unwrap_or_default().div_ceil(1000);
    let said = format!("{}  {size} kB\n", file.path().display());
    Ok(Answer::given(said, None, Vec::new()).with([file]))
}
