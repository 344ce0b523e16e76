//! A fitted gas-stand table, for people and for programs.

use crate::answer::Answers;
use crate::commands::vehicle::gas_stand::toml::{MOST_LISTED, unit};
use crate::commands::vehicle::gas_stand::{Fitted, Origin};
use crate::page::{Block, Cell, Column, Line, Page, Section};
use crate::record;
use crate::say::vehicle_gas_stand as say;

record! {
    /// How far the law is from the table; shares, not percent.
    pub struct Deviation {
        /// In what.
        quantity: &'static str;
        /// Root of the mean square.
        rms: f64;
        /// Largest.
        worst: f64;
        /// Where.
        worst_line: usize;
    }

    /// A number of the machine.
    pub struct Number {
        /// In a vehicle file.
        key: &'static str;
        /// As in a vehicle file.
        text: String;
        /// The same.
        si: f64;
        /// None where the table does not tell.
        doubt_si: Option<f64>;
        /// `fitted`, `stated` or `default`.
        origin: &'static str;
    }

    /// A machine fitted to a table.
    pub struct File {
        /// `compressor` or `turbine`.
        machine: &'static str;
        /// As the table has it.
        name: String;
        /// Its file.
        table: String;
        /// Of the table.
        points: usize;
        /// By what is measured.
        deviations: Vec<Deviation>;
        /// Points that the machine does not run at.
        outside_lines: Vec<usize>;
        /// Of the machine.
        values: Vec<Number>;
        /// For a vehicle file.
        vehicle_table: String;
    }
}

impl Answers for Fitted {
    type Data<'a> = File;

    fn data(&self) -> File {
        let deviations = self.quality.deviations.iter().map(|d| Deviation {
            quantity: d.what,
            rms: d.rms,
            worst: d.worst,
            worst_line: self.table.line(d.worst_point),
        });
        let values = self.values.iter().map(|value| {
            let (origin, doubt) = match value.origin {
                Origin::Fitted(doubt) => ("fitted", Some(doubt)),
                Origin::Stated => ("stated", None),
                Origin::Default => ("default", None),
            };
            Number {
                key: value.field.name,
                text: value.text.clone(),
                si: value.si,
                doubt_si: doubt.filter(|doubt| doubt.is_finite()),
                origin,
            }
        });
        File {
            machine: self.section(),
            name: self.table.name.clone(),
            table: self.table.path().display().to_string(),
            points: self.quality.points,
            deviations: deviations.collect(),
            outside_lines: self.lines_outside(),
            values: values.collect(),
            vehicle_table: self.toml(),
        }
    }

    fn page(&self) -> Page {
        let file = format!(
            "{}, {} points",
            self.table.path().display(),
            self.quality.points
        );
        let mut lead = vec![Line::new("table", file), Line::new("at", self.conditions())];
        if self.table.invented {
            lead.push(Line::new("note", "the machine is invented"));
        }
        let mut sections = vec![Section::new(
            "fitted law less table",
            vec![self.deviations()],
        )];
        if !self.quality.outside.is_empty() {
            let heading = "points the fitted machine does not run at";
            sections.push(Section::new(heading, self.outside()));
        }
        sections.push(Section::new("numbers of the machine", vec![self.numbers()]));
        sections.push(match &self.written {
            Some(path) => {
                let said = say::written(self.section(), path.display());
                Section::new("", vec![Block::Words(said)])
            }
            None => Section::new("for the vehicle file", vec![Block::Code(self.toml())]),
        });
        Page {
            title: self.title(),
            lead,
            sections,
            notes: Vec::new(),
            ..Page::default()
        }
    }
}

impl Fitted {
    fn deviations(&self) -> Block {
        // Shares in the result for programs, so without a place there.
        let rows = self.quality.deviations.iter().map(|d| {
            vec![
                Cell::words(d.what),
                Cell::words(unit(d.what)),
                Cell::number(100.0 * d.rms, 2, ""),
                Cell::signed(100.0 * d.worst, 2, ""),
                Cell::number(self.table.line(d.worst_point) as f64, 0, ""),
            ]
        });
        let (words, numbers) = (["of", "unit"], ["rms", "worst", "at line"]);
        let words = words.map(Column::words).into_iter();
        let head = words.chain(numbers.map(|label| Column::numbers(label, "")));
        Block::table(say::DEVIATIONS, head, rows)
    }

    fn outside(&self) -> Vec<Block> {
        let points = &self.quality.outside;
        let rows = points.iter().take(MOST_LISTED).map(|point| {
            let line = Cell::words(self.table.line(*point).to_string());
            let cells = self.table.cells(*point).map(Cell::words);
            std::iter::once(line).chain(cells).collect()
        });
        let names = self.table.column_names();
        let names = names.map(|name| Column::words(name.replace("corrected ", "")));
        let head = std::iter::once(Column::words("line")).chain(names);
        let table = Block::table(say::would_be(self.outside_means()), head, rows);
        let more = points.len().saturating_sub(MOST_LISTED);
        let mut blocks = vec![table];
        blocks.extend((more > 0).then(|| Block::Words(say::more(more))));
        blocks
    }

    fn numbers(&self) -> Block {
        let rows = self.values.iter().map(|value| {
            vec![
                Cell::words(value.field.name),
                Cell::words(&value.text),
                Cell::words(value.origin()),
                Cell::words(value.field.doc.trim()),
            ]
        });
        let head = ["key", "value", "from", "what it is"].map(Column::words);
        Block::table(say::NUMBERS, head, rows)
    }
}
