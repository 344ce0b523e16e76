//! The page of a pressure-decay test, and its gauge trace: the likely one between that of walls
//! that give no heat and that of air at one temperature.

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::commands::workshop::decay::{File, STEPS, Trace};
use crate::commands::workshop::page::{Sheet, true_hole};
use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, Series};
use crate::figure::ink::Ink;
use crate::page::{Block, Cell, Column, Fact, Page, Picture, facts};
use crate::say::{workshop, workshop_decay as say};
use crate::text::words::bar;

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        let all = self.warnings.dangers.iter();
        all.map(|words| Danger::of_test(words)).collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let mut blocks = vec![Block::Picture(self.picture())];
        if let Some(found) = &self.found {
            blocks.push(facts(workshop::WHAT_LEAKS, Fact::all(found, "/found")));
            let hole = &found.equivalent_hole_mm;
            blocks.extend(true_hole(hole, "/found/equivalent_hole_mm"));
        }
        let leads = Fact::perhaps(self.predicted.as_ref(), "/predicted");
        blocks.extend((!leads.is_empty()).then(|| facts(say::LEADS_TO, leads)));
        blocks.push(self.trace.table().on_terminal());
        let sheet = Sheet {
            title: "Pressure-decay test",
            car: self.car.as_deref(),
            says: &self.says,
            blocks,
            in_car: self.in_car.as_ref(),
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}

impl File {
    /// The gauge's trace; its numbers stand under `/trace` of the result for programs.
    pub(super) fn picture(&self) -> Picture {
        let trace = &self.trace;
        let line = |name: &str, ink, width, key: &str, gauge: &[f64]| {
            let points = trace.time_s.iter().zip(gauge).map(|(t, p)| [*t, *p]);
            Series::new(name, ink, width, points.collect())
                .from_json("/trace/time_s/*", format!("/trace/{key}/*"))
        };
        let mut chart = Chart::new(Axis::new("time", "s"), Axis::new("gauge", "kPa"));
        let (one, none) = ("air at one temperature", "no heat from the walls");
        chart.series = vec![
            line(
                one,
                Ink::Sound,
                1.5,
                "isothermal_kpa",
                &trace.isothermal_kpa,
            ),
            line(none, Ink::Quiet, 1.0, "adiabatic_kpa", &trace.adiabatic_kpa),
            line("likely", Ink::Faulty, 2.5, "likely_kpa", &trace.likely_kpa),
        ];
        if !self.dots.is_empty() {
            let read = Series::new("read on the gauge", Ink::Text, 0.0, self.dots.clone());
            chart.series.push(Series { dots: 4.5, ..read });
        }
        Picture::new("gauge-trace", say::TRACE, chart.scene(620.0, 320.0))
    }
}

impl Trace {
    /// The likely trace, with bars.
    fn table(&self) -> Block {
        let largest = |most: f64, p: &f64| most.max(p.abs());
        let most = self.likely_kpa.iter().fold(0.0, largest);
        let row = |i: usize| {
            let (time, gauge) = (self.time_s[i], self.likely_kpa[i]);
            vec![
                Cell::digits(time, 4, format!("/trace/time_s/{i}")),
                Cell::number(gauge, 2, format!("/trace/likely_kpa/{i}")),
                Cell::words(bar(gauge.abs() / most, 48)),
            ]
        };
        let (time, gauge) = (
            Column::numbers("time", "s"),
            Column::numbers("gauge", "kPa"),
        );
        let rows = (0..=STEPS).step_by(STEPS / 6).map(row);
        Block::table(say::GAUGE, [time, gauge, Column::words("")], rows)
    }
}
