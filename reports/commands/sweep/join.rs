//! `falseair sweep join`: the shares of a sweep, checked and put together.

use crate::answer::write::OutFolder;
use crate::answer::{Pictures, Trouble};
use crate::commands::sweep::folder::{Held, enter};
use crate::commands::sweep::manifest::{Manifest, other};
use crate::commands::sweep::{CHUNKS, ResultFormat, apart, assemble, finished, manifest};
use crate::input::files;
use crate::page::Page;
use crate::say::sweep as say;
use clap::ValueHint;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Options of `sweep join`.
#[derive(Debug, clap::Args)]
pub struct Join {
    /// Folders of the shares.
    #[arg(required = true)]
    pub folders: Vec<PathBuf>,
    /// Folder for the results.
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub out: OutFolder,
    /// Forms of the results.
    #[arg(long, value_enum, value_delimiter = ',', default_values_t = ResultFormat::ALL)]
    pub format: Vec<ResultFormat>,
    /// Page and pictures.
    #[command(flatten)]
    pub pictures: Pictures,
}

/// Joins; what is said at the end.
pub(super) fn joined(options: &Join) -> Result<Page, Trouble> {
    let mut first: Option<(Manifest, &Path)> = None;
    let mut sources = Vec::new();
    for folder in &options.folders {
        let shown = folder.display();
        let found = Manifest::read(folder)?;
        let found = found.ok_or_else(|| other(format!("`{shown}` is not a folder of a sweep")))?;
        if !found.complete {
            return Err(other(format!(
                "the share {} in `{shown}` is not finished; run it again first",
                found.part
            )));
        }
        files::reading(&folder.join(manifest::NAME)).map_err(other)?;
        files::reading_all_in(&folder.join(CHUNKS));
        sources.push((folder.clone(), found.part_of().unwrap_or((1, 1))));
        match &first {
            Some((before, at)) if before.study() != found.study() => {
                return Err(other(format!(
                    "`{}` and `{shown}` are of different studies, or of different versions of the \
                     program",
                    at.display()
                )));
            }
            Some(_) => {}
            None => first = Some((found, folder)),
        }
    }
    let Some((share, from)) = first else {
        return Err(other("no folder to join".into()));
    };
    apart(&options.out, &options.pictures)?;
    let whole = Manifest {
        part: "1/1".into(),
        complete: false,
        answered: None,
        failures: BTreeMap::new(),
        dangers: BTreeMap::new(),
        files: BTreeMap::new(),
        ..share
    };
    let _held = Held::take(&options.out)?;
    let Some(mut manifest) = enter(&options.out, whole, &options.format)? else {
        return Ok(finished(
            &options.out,
            &Manifest::read(&options.out)?,
            say::JOINED_BEFORE,
        ));
    };
    manifest::keep(&options.out, &manifest::texts(from))?;
    assemble::assemble(&options.out, &sources, &options.format, &mut manifest)?;
    manifest.complete = true;
    manifest.write(&options.out)?;
    Ok(finished(&options.out, &Some(manifest), say::JOINED))
}
