//! Help for the shell: completions and manual pages, made from the command line itself.

use crate::answer::write::{OutFile, OutFolder, Output};
use crate::answer::{Answer, Trouble};
use clap::ValueHint;
use clap_complete::Shell;

/// Options of `completions`.
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// Which shell.
    pub shell: Shell,
    /// File for the script, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
}

/// Options of `manual`.
#[derive(Debug, clap::Args)]
pub struct Manual {
    /// Folder for the pages, one for each command; made if it is not there.
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub out: OutFolder,
}

/// Runs `completions`.
///
/// # Errors
/// None.
pub fn completions(options: &Completions, command: &mut clap::Command) -> Result<Answer, Trouble> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, command, "falseair", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    Ok(Answer::given(script, options.out.as_ref(), Vec::new()))
}

/// Runs `manual`.
///
/// # Errors
/// A page cannot be made.
pub fn manual(options: &Manual, mut all: clap::Command) -> Result<Answer, Trouble> {
    let folder = &options.out;
    all.build();
    let mut pages = Vec::new();
    page(&all, folder, &mut pages).map_err(|e| Trouble::Other(e.to_string()))?;
    let said = format!("{} pages in `{}`\n", pages.len(), folder.display());
    let files = std::iter::once(folder.made()).chain(pages);
    Ok(Answer::given(said, None, Vec::new()).with(files))
}

/// The page of a command, and those of its own commands.
fn page(
    command: &clap::Command,
    folder: &OutFolder,
    pages: &mut Vec<Output>,
) -> std::io::Result<()> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone()).render(&mut text)?;
    pages.push(folder.holding(format!("{name}.1"), text));
    let own = command.get_subcommands();
    for command in own.filter(|command| command.get_name() != "help") {
        page(command, folder, pages)?;
    }
    Ok(())
}
