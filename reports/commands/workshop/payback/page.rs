//! The page of a payback answer.

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::commands::workshop::page::Sheet;
use crate::commands::workshop::payback::{File, Numbers, Row, Sum};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::record::{Figure, Record, Value, known};
use crate::page::{Block, Cell, Column, Page, Picture, Section};
use crate::say::workshop_payback as say;
use crate::text::number::slug;

const DRAWN: [&str; 4] =
    known::<Numbers, 4>(["torque_nm", "power_kw", "fuel_l_year", "trim_margin_pct"]);
/// Shown of what an hour of work brings.
const PER_HOUR: [&str; 1] = known::<Numbers, 1>(["power_kw"]);

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        self.dangers.clone()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let drawn = Numbers::chosen(&DRAWN).into_iter();
        let mut blocks = vec![
            Block::Words(self.about.clone()),
            Block::Row(drawn.map(|figure| self.picture(figure)).collect()),
            self.gains(),
            self.work(),
        ];
        if !self.sum_differs.is_empty() {
            blocks.push(Block::Words(say::NOT_THE_SUM.into()));
            let said = self.sum_differs.iter();
            blocks.push(Block::List(said.map(|words| format!("{words}.")).collect()));
        }
        let repairs = self.repairs.iter();
        let repairs = repairs.map(|row| {
            Section::new(row.heading(), vec![Block::List(row.words(self))]).folded(true)
        });
        let sheet = Sheet {
            title: "Which repair pays",
            car: Some(&self.vehicle),
            says: &self.says,
            blocks,
            sections: repairs.collect(),
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}

impl Row {
    fn heading(&self) -> String {
        format!("{} {}", self.rank, self.name)
    }
}

impl File {
    /// Repairs with where they stand in the result for programs.
    fn rows(&self) -> impl Iterator<Item = (String, &Row)> {
        let rows = self.repairs.iter().enumerate();
        rows.map(|(i, row)| (format!("/repairs/{i}"), row))
    }

    fn picture(&self, figure: &Figure<Numbers>) -> Picture {
        let bar = |name: &str, json: &str, numbers: &Numbers, ink| {
            let Value::Spread(spread) = figure.value(numbers) else {
                return None;
            };
            let cell = figure.cell(numbers, json);
            let (json, value) = cell.number?;
            let limits = spread.low.is_finite() && spread.high.is_finite();
            Some(Bar {
                name: name.into(),
                value,
                said: format!("{} {}", cell.text, figure.unit),
                json,
                interval: limits.then_some((spread.low, spread.high)),
                ink,
            })
        };
        let each = self.rows().filter_map(|(json, row)| {
            bar(&row.name, &format!("{json}/alone"), &row.alone, Ink::Faulty)
        });
        let mut all: Vec<Bar> = each.collect();
        if self.repairs.len() > 1 {
            all.extend(bar("all together", "/together", &self.together, Ink::Text));
        }
        let (name, unit) = (figure.label, figure.unit);
        let scene = bars(&format!("{name}, {unit}"), &all, 360.0);
        Picture::new(format!("payback-{}", slug(name)), say::DRAWN, scene)
    }

    fn gains(&self) -> Block {
        let mut head = vec![Column::words("repair")];
        head.extend(Column::of::<Numbers>(&[]));
        let line = |name: String, cells: Vec<Cell>| {
            let mut line = vec![Cell::words(name)];
            line.extend(cells);
            line
        };
        let rows = self.rows().map(|(json, row)| {
            let cells = Cell::of(&row.alone, &format!("{json}/alone"), &[]);
            line(row.heading(), cells)
        });
        let mut rows: Vec<Vec<Cell>> = rows.collect();
        if self.repairs.len() > 1 {
            let sum = Cell::of::<Sum>(&self.sum_of_alone, "/sum_of_alone", &[]);
            rows.push(line("sum of these".into(), sum));
            let all = Cell::of(&self.together, "/together", &[]).into_iter();
            rows.push(line("all together".into(), all.map(Cell::strong).collect()));
        }
        Block::table(say::ranked(self.ranked_by.replace('_', " ")), head, rows)
    }

    fn work(&self) -> Block {
        let mut head = vec![Column::words("repair")];
        head.extend(Column::of::<Row>(&[]));
        head[2].unit.clone_from(&self.currency);
        head.push(Column::numbers("power per hour of work", "kW"));
        let rows = self.rows().map(|(json, row)| {
            let mut line = vec![Cell::words(row.heading())];
            line.extend(Cell::of(row, &json, &[]));
            let hour = format!("{json}/per_hour");
            line.extend(Cell::of(&row.per_hour, &hour, &PER_HOUR));
            line
        });
        Block::table(say::WORK, head, rows)
    }
}
