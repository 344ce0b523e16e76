//! What a command draws when it is asked to: a page, or its pictures as files.

use crate::answer::Trouble;
use crate::answer::write::{OutFile, OutFolder, Output};
use crate::page::Page;
use clap::ValueHint;

/// Options of every command that draws.
#[derive(Clone, Debug, Default, clap::Args)]
#[command(next_help_heading = "Pictures")]
pub struct Pictures {
    /// Also write a page with pictures: one file that needs no network.
    #[arg(long, value_name = "FILE.html", value_hint = ValueHint::FilePath)]
    pub report: Option<OutFile>,
    /// Also write each picture into this folder as SVG.
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub svg: Option<OutFolder>,
    /// Also write each picture into this folder as PNG.
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub png: Option<OutFolder>,
}

impl Pictures {
    /// Whether anything is to be drawn.
    pub fn asked(&self) -> bool {
        self.report.is_some() || self.svg.is_some() || self.png.is_some()
    }

    /// What is asked, to be written; `page` is made only if something is.
    ///
    /// # Errors
    /// The page cannot be made.
    pub fn drawn(
        &self,
        page: impl FnOnce() -> Result<Page, Trouble>,
    ) -> Result<Vec<Output>, Trouble> {
        let mut all = Vec::new();
        if !self.asked() {
            return Ok(all);
        }
        let page = page()?;
        all.extend(self.svg.iter().chain(&self.png).map(OutFolder::made));
        for picture in page.pictures() {
            let (name, scene, caption) = (&picture.name, &picture.scene, &picture.caption);
            if let Some(folder) = &self.svg {
                let svg = scene.svg(caption).map_err(Trouble::Other)?;
                all.push(folder.holding(format!("{name}.svg"), svg));
            }
            if let Some(folder) = &self.png {
                let png = scene.png().map_err(Trouble::Other)?;
                all.push(folder.holding(format!("{name}.png"), png));
            }
        }
        if let Some(file) = &self.report {
            all.push(file.holding(page.html().map_err(Trouble::Other)?));
        }
        Ok(all)
    }
}
