//! The pages of `simulate`.

use super::{Block, Page, Picture, Section};
use crate::figure::trace;
use crate::simulate::{Case, Drives};

/// What a page about this car says of itself first.
fn head(case: &Case) -> Page {
    Page {
        title: case.scenario.title.clone(),
        lead: vec![format!("Car: {}.", case.network.vehicle.name)],
        ..Page::default()
    }
}

/// The page of a drive.
pub fn drive(case: &Case, drives: &Drives) -> Page {
    let picture = Picture {
        name: "drive".into(),
        caption: "The drive second by second: the sound car wide and grey, the faulty one dark."
            .into(),
        scene: trace::drive(drives),
    };
    let section = Section {
        heading: "The drive".into(),
        blocks: vec![Block::Picture(picture)],
    };
    Page {
        sections: vec![section],
        ..head(case)
    }
}
