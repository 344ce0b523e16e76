//! `falseair notices`: whose work the program is made with, and under which licences.

use crate::answer::write::OutFile;
use crate::answer::{Answer, Trouble};
use clap::ValueHint;

/// Written by `reports/notices.py`.
const NOTICES: &str = include_str!("../notices.txt");

/// Options of `notices`.
#[derive(Debug, clap::Args)]
pub struct Notices {
    /// File for the notices, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
}

/// Runs `notices`.
///
/// # Errors
/// None.
pub fn notices(options: &Notices) -> Result<Answer, Trouble> {
    let text = NOTICES.to_string();
    Ok(Answer::given(text, options.out.as_ref(), Vec::new()))
}
