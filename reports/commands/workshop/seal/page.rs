//! The page of o-rings and gaskets.

use crate::answer::Answers;
use crate::commands::workshop::page::Sheet;
use crate::commands::workshop::seal::{File, Ring};
use crate::figure::gland::{Squeezed, glands};
use crate::page::{Block, Cell, Column, Fact, Page, Picture, Table, facts};
use crate::say::workshop_seal as say;

/// A ring with its name and where it stands in the result for programs.
type Named<'a> = (&'static str, &'static str, &'a Ring);

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let rings = self.rings();
        let mut blocks = Vec::new();
        if let (Some(depth), false) = (self.gland_depth_mm, rings.is_empty()) {
            blocks.push(Block::Picture(self.picture(depth, &rings)));
            blocks.push(table(&rings));
            let faults = rings.iter().flat_map(|(name, _, ring)| {
                let faults = ring.faults.iter();
                faults.map(move |fault| format!("{name}, not within limits: {fault}."))
            });
            blocks.push(Block::List(faults.chain([say::LIMITS.into()]).collect()));
        }
        let all = [
            Fact::all(self, ""),
            Fact::perhaps(self.cord.as_ref(), "/cord"),
            Fact::perhaps(self.used.as_ref(), "/used"),
            Fact::perhaps(self.gasket.as_ref(), "/gasket"),
        ];
        let all = all.concat();
        blocks.extend((!all.is_empty()).then(|| facts(say::MEASURES, all)));
        if let Some(used) = self.used.as_ref().filter(|used| used.sold.len() > 1) {
            let sold = Table::of(say::SOLD, "/used/sold", &used.sold, &[]);
            blocks.push(Block::Table(sold));
        }
        let sheet = Sheet {
            title: "O-rings and gaskets",
            says: &self.says,
            blocks,
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}

impl File {
    fn rings(&self) -> Vec<Named<'_>> {
        let all = [
            ("at hand", "/at_hand", &self.at_hand),
            ("metric", "/metric", &self.metric),
            ("inch", "/inch", &self.inch),
        ];
        let all = all.into_iter();
        all.filter_map(|(name, json, ring)| Some((name, json, ring.as_ref()?)))
            .collect()
    }

    fn picture(&self, depth: f64, rings: &[Named]) -> Picture {
        let drawn = rings.iter().map(|(name, json, ring)| {
            let within = match ring.faults.is_empty() {
                true => "within limits",
                false => "NOT within limits",
            };
            Squeezed {
                name: format!("{name}: {}", ring.size()),
                said: vec![format!("squeeze {}", ring.squeeze()), within.into()],
                section: ring.section_in_place_mm,
                width: self.gland_width_mm.unwrap_or(ring.least_gland_width_mm),
                json: format!("{json}/section_in_place_mm"),
                fits: ring.faults.is_empty(),
            }
        });
        let scene = glands(depth, &drawn.collect::<Vec<_>>());
        Picture::new("gland", say::GLAND, scene)
    }
}

fn table(rings: &[Named]) -> Block {
    let mut head = vec![Column::words("ring"), Column::words("size")];
    head.extend(["least squeeze", "most squeeze"].map(|label| Column::numbers(label, "%")));
    head.extend(Column::of::<Ring>(&[]));
    let rows = rings.iter().map(|(name, json, ring)| {
        let squeeze = [0, 1].map(|i| {
            let json = format!("{json}/squeeze_limits_pct/{i}");
            Cell::number(ring.squeeze_limits_pct[i], 1, json)
        });
        let mut row = vec![Cell::words(*name), Cell::words(ring.size())];
        row.extend(squeeze);
        row.extend(Cell::of(*ring, json, &[]));
        row
    });
    Block::table(say::RINGS, head, rows)
}
