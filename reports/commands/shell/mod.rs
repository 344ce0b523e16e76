//! Help for the shell: completions and manual pages, made from the command line itself.

use crate::answer::{Answer, Trouble};
use crate::text::write::write_beside;
use clap_complete::Shell;
use std::path::{Path, PathBuf};

/// Options of `completions`.
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// Which shell.
    pub shell: Shell,
    /// File for the script, instead of the terminal.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Options of `manual`.
#[derive(Debug, clap::Args)]
pub struct Manual {
    /// Folder for the pages, one for each command; made if it is not there.
    #[arg(long, value_name = "FOLDER")]
    pub out: PathBuf,
}

/// Runs `completions`.
///
/// # Errors
/// The file cannot be written.
pub fn completions(options: &Completions, command: &mut clap::Command) -> Result<Answer, Trouble> {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, command, "falseair", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    Answer::given(script, options.out.as_deref(), Vec::new())
}

/// Runs `manual`.
///
/// # Errors
/// The folder or a page cannot be written.
pub fn manual(options: &Manual, mut all: clap::Command) -> Result<Answer, Trouble> {
    let folder = &options.out;
    let cannot = |e: std::io::Error| {
        Trouble::Other(format!("cannot write into `{}`: {e}", folder.display()))
    };
    std::fs::create_dir_all(folder).map_err(cannot)?;
    all.build();
    let mut pages = Vec::new();
    page(&all, folder, &mut pages).map_err(cannot)?;
    for (path, bytes) in &pages {
        write_beside(path, bytes).map_err(|e| Trouble::Other(e.to_string()))?;
    }
    let said = format!("{} pages in `{}`\n", pages.len(), folder.display());
    Answer::given(said, None, Vec::new())
}

/// The page of a command, and those of its own commands.
fn page(
    command: &clap::Command,
    folder: &Path,
    pages: &mut Vec<(PathBuf, Vec<u8>)>,
) -> std::io::Result<()> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone()).render(&mut text)?;
    pages.push((folder.join(format!("{name}.1")), text));
    let own = command.get_subcommands();
    for command in own.filter(|command| command.get_name() != "help") {
        page(command, folder, pages)?;
    }
    Ok(())
}
