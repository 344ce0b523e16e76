//! The page of a test plan: a checklist to print.

use crate::answer::Answers;
use crate::commands::workshop::kit::label;
use crate::commands::workshop::page::Sheet;
use crate::commands::workshop::plan::{File, Hole, Step};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::record::known;
use crate::page::{Block, Page, Picture, Section, Table};
use crate::say::workshop_plan as say;
use crate::text::number::number;

/// Shown of holes that empty nothing.
const UNTIMED: [&str; 3] = known::<Hole, 3>(["diameter_mm", "flow_g_s", "flow_l_min"]);

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let steps = self.steps.iter().enumerate();
        // The gentlest is the first, and stands open; who opens another prints it, too.
        let steps = steps.map(|(i, step)| {
            let later = i > 0;
            step.section(i).folded(later).off_paper(later)
        });
        let cautions = self.cautions.iter().map(|said| said.to_string());
        let before = Section::new(say::BEFORE, cautions.map(Block::Caution).collect());
        let sheet = Sheet {
            title: "Pressure and smoke tests of the air path",
            car: Some(&self.vehicle),
            says: &self.says,
            blocks: vec![Block::Picture(self.picture()).on_page()],
            sections: [before].into_iter().chain(steps).collect(),
            ..Sheet::default()
        };
        sheet.page()
    }
}

impl File {
    fn picture(&self) -> Picture {
        let pressures = self.steps.iter().enumerate().map(|(i, step)| Bar {
            name: step.heading(),
            value: step.pressure_kpa,
            said: format!("{} kPa", number(step.pressure_kpa, 1)),
            json: format!("/steps/{i}/pressure_kpa"),
            interval: None,
            ink: Ink::Faulty,
        });
        let pressures: Vec<Bar> = pressures.collect();
        let scene = bars(say::HIGHEST, &pressures, 464.0);
        Picture::new("plan-pressures", say::PRESSURES, scene)
    }
}

impl Step {
    fn heading(&self) -> String {
        format!("{} {}", self.step, self.name)
    }

    fn section(&self, i: usize) -> Section {
        let (kpa, psi) = (number(self.pressure_kpa, 1), number(self.pressure_psi, 2));
        let tight = match self.volume_l {
            Some(litres) => say::tight_volume(number(litres, 2), &self.tight),
            None => say::tight(&self.tight),
        };
        let mut blocks = vec![Block::Words(say::at_most(kpa, psi, &self.why))];
        blocks.extend(self.procedure.blocks());
        blocks.push(Block::Words(tight));
        blocks.extend(self.holes(i).map(Block::Table));
        let places = self.places.iter().map(|spot| label(spot.place));
        let places: Vec<String> = places.collect();
        if !places.is_empty() {
            blocks.push(Block::Words(say::reaches(places.join(", "))));
        }
        Section::new(self.heading(), blocks)
    }

    /// What holes show; they show it alike at every place that the step reaches.
    fn holes(&self, i: usize) -> Option<Table> {
        let holes = &self.places.first()?.holes;
        let timed = holes.iter().any(|hole| hole.half_pressure_s.is_some());
        let keys: &[&str] = if timed { &[] } else { &UNTIMED };
        let json = format!("/steps/{i}/places/0/holes");
        Some(Table::of(say::HOLES, &json, holes, keys))
    }
}
