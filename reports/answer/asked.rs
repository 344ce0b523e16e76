//! What a command that answers and draws is asked for: a form, a file, pictures.

use crate::answer::{Answer, Pictures, Trouble};
use crate::page::Page;
use crate::text::write::OutFile;
use clap::ValueEnum;
use clap::ValueHint;

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// For reading, at most 80 columns.
    Table,
    /// Every number, for programs.
    Json,
}

/// Form of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading, at most 80 columns.
    Table,
    /// For programs.
    Json,
    /// For spreadsheets.
    Csv,
}

/// Where an answer goes, and how it looks.
#[derive(Debug, clap::Args)]
pub struct Asked {
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = Form::Table)]
    pub format: Form,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Page and pictures.
    #[command(flatten)]
    pub pictures: Pictures,
}

impl Asked {
    /// The page or pictures, if asked for; then the answer, to where it goes. `failures` says
    /// what has none.
    ///
    /// # Errors
    /// Something cannot be made.
    pub fn give(
        &self,
        page: impl FnOnce() -> Page,
        table: impl FnOnce() -> String,
        json: impl FnOnce() -> Result<String, Trouble>,
        failures: Vec<String>,
    ) -> Result<Answer, Trouble> {
        let drawn = self.pictures.drawn(|| Ok(page()))?;
        let text = match self.format {
            Form::Table => table(),
            Form::Json => json()?,
        };
        Ok(Answer::given(text, self.out.as_ref(), failures).with(drawn))
    }
}
