//! What a command draws when it is asked to: a page, or its pictures as files.

use crate::answer::Trouble;
use crate::page::Page;
use crate::text::write::write_beside;
use std::path::{Path, PathBuf};

/// Options of every command that draws.
#[derive(Clone, Debug, Default, clap::Args)]
#[command(next_help_heading = "Pictures")]
pub struct Pictures {
    /// Also write a page with pictures: one file that needs no network.
    #[arg(long, value_name = "FILE.html")]
    pub report: Option<PathBuf>,
    /// Also write each picture into this folder as SVG.
    #[arg(long, value_name = "FOLDER")]
    pub svg: Option<PathBuf>,
    /// Also write each picture into this folder as PNG.
    #[arg(long, value_name = "FOLDER")]
    pub png: Option<PathBuf>,
}

impl Pictures {
    /// Whether anything is to be drawn.
    pub fn asked(&self) -> bool {
        self.report.is_some() || self.svg.is_some() || self.png.is_some()
    }

    /// Writes what is asked; `page` is made only if something is.
    ///
    /// # Errors
    /// The page cannot be made, a file cannot be written.
    pub fn deliver(&self, page: impl FnOnce() -> Result<Page, Trouble>) -> Result<(), Trouble> {
        if !self.asked() {
            return Ok(());
        }
        let page = page()?;
        // Everything is made before the first file is written.
        let mut files: Vec<(PathBuf, Vec<u8>)> = Vec::new();
        for picture in page.pictures() {
            let file =
                |folder: &Path, ending: &str| folder.join(&picture.name).with_extension(ending);
            if let Some(folder) = &self.svg {
                let svg = picture
                    .scene
                    .svg(&picture.caption)
                    .map_err(Trouble::Other)?;
                files.push((file(folder, "svg"), svg.into_bytes()));
            }
            if let Some(folder) = &self.png {
                let png = picture.scene.png().map_err(Trouble::Other)?;
                files.push((file(folder, "png"), png));
            }
        }
        if let Some(path) = &self.report {
            let html = page.html().map_err(Trouble::Other)?;
            files.push((path.clone(), html.into_bytes()));
        }
        for folder in [&self.svg, &self.png].into_iter().flatten() {
            std::fs::create_dir_all(folder).map_err(|e| {
                Trouble::Other(format!(
                    "cannot make the folder `{}`: {e}",
                    folder.display()
                ))
            })?;
        }
        for (path, bytes) in &files {
            write_beside(path, bytes).map_err(|e| Trouble::Other(e.to_string()))?;
        }
        Ok(())
    }
}
