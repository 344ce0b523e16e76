//! The page's frame: headings, style, script.

use crate::figure::ink;
use crate::page::{Block, Cell, Column, Face, Line, MADE_BY, Page, Picture, Section, Table};
use crate::text::number::slug;
use crate::text::words::is_obeyed;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("page.css");
/// Words of a cell from which a narrow screen keeps them room, letters.
const LONG: usize = 24;
/// Said on paper where a part is left out.
const OFF_PAPER: &str = "not printed: open it on the screen first";
const SCRIPT: &str = include_str!("page.js");

impl Page {
    /// The page as one HTML file.
    ///
    /// # Errors
    /// A picture cannot be drawn (never seen; passed on in words).
    pub fn html(&self) -> Result<String, String> {
        let parts: Result<Vec<_>, _> = self.sections.iter().map(section).collect();
        let parts = parts?;
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="generator" content=(MADE_BY);
                    title { (self.title) }
                    style { (PreEscaped(ink::style())) (PreEscaped(STYLE)) }
                }
                body {
                    header {
                        h1 { (self.title) }
                        @for words in self.dangers() {
                            p.danger { strong { "\u{26a0} Danger: " } (words) }
                        }
                        @for line in &self.lead { p { (labelled(line)) } }
                    }
                    main {
                        @for (i, part) in parts.iter().enumerate() {
                            (part)
                            // The answer first, then what else there is.
                            @if i == 0 && self.sections.iter().filter(|part| !part.folded).count() > 3 {
                                (contents(&self.sections[1..]))
                            }
                        }
                    }
                    footer {
                        @if !self.notes.is_empty() {
                            h2 { "Please note" }
                            ul { @for note in &self.notes { li { (note) } } }
                        }
                        p { (self.made_by()) span #made-on {} }
                    }
                    div #values role="status" hidden {}
                    script { (PreEscaped(SCRIPT)) }
                }
            }
        };
        // What a name from a file could turn or hide is a blank; lines and tabs are the page's own.
        let own = |c: char| matches!(c, '\n' | '\r' | '\t');
        let shown = page.into_string();
        Ok(match shown.contains(|c| is_obeyed(c) && !own(c)) {
            true => shown.replace(|c| is_obeyed(c) && !own(c), " "),
            false => shown,
        })
    }
}

impl Table {
    /// As HTML.
    pub fn html(&self) -> Markup {
        table(self)
    }
}

impl Page {
    pub(super) fn dangers(&self) -> impl Iterator<Item = &str> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.filter_map(|block| match block {
            Block::Danger(words) => Some(words.as_str()),
            _ => None,
        })
    }
}

fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="On this page" {
            ul {
                @for section in sections.iter().filter(|section| !section.heading.is_empty()) {
                    li { a href={ "#" (slug(&section.heading)) } { (section.heading) } }
                }
            }
        }
    }
}

fn labelled(line: &Line) -> Markup {
    html! { @if !line.label.is_empty() { strong { (line.label) ": " } } (line.words) }
}

fn section(section: &Section) -> Result<Markup, String> {
    let blocks: Result<Vec<_>, _> = section.blocks.iter().map(block).collect();
    let blocks = blocks?;
    Ok(html! {
        section id=(slug(&section.heading)) {
            @if section.folded {
                details.screen[section.off_paper] {
                    summary { h2 { (section.heading) } @if section.off_paper { span.print { " \u{2013} " (OFF_PAPER) } } }
                    @for block in &blocks { (block) }
                }
            } @else {
                @if !section.heading.is_empty() { h2 { (section.heading) } }
                @for block in &blocks { (block) }
            }
        }
    })
}

fn block(block: &Block) -> Result<Markup, String> {
    Ok(match block {
        Block::Words(words) => html! { p { (words) } },
        Block::Labelled(line) => html! { p { (labelled(line)) } },
        Block::Only(Face::Page, block) => self::block(block)?,
        Block::Only(Face::Terminal, _) => html! {},
        Block::Says(words) => html! { p.says { (words) } },
        Block::Danger(_) => html! {},
        Block::Caution(words) => html! { p.caution { strong { "Caution: " } (words) } },
        Block::List(items) => html! { ul { @for item in items { li { (item) } } } },
        Block::Checks(items) => {
            html! { ul.checks { @for item in items { li { "\u{2610} " (item) } } } }
        }
        Block::Code(lines) => html! { div.scroll { pre { (lines) } } },
        Block::Picture(picture) => figure(picture, true)?,
        Block::Row(pictures) => {
            // What several pictures say alike is said once, under the last of them.
            let all = pictures.iter().enumerate().map(|(i, picture)| {
                let next = pictures.get(i + 1);
                figure(
                    picture,
                    next.is_none_or(|next| next.caption != picture.caption),
                )
            });
            let all: Result<Vec<_>, _> = all.collect();
            let all = all?;
            let broad = pictures.iter().any(|picture| picture.scene.width > 400.0);
            html! { div.row.broad[broad] { @for picture in &all { (picture) } } }
        }
        Block::Table(table) => self::table(table),
    })
}

fn figure(picture: &Picture, captioned: bool) -> Result<Markup, String> {
    // Captions may be alike; what a picture is headed with tells it from its neighbours.
    let said = match picture.scene.heading() {
        Some(heading) => format!("{heading}: {}", picture.caption),
        None => picture.caption.clone(),
    };
    let mut svg = picture.scene.svg(&said)?;
    // On a screen that is held stands the drawing that was made for one.
    if let Some(held) = &picture.scene.held {
        svg += &held
            .svg(&said)?
            .replacen("<svg ", "<svg class=\"held\" ", 1);
    }
    // Wide drawings scroll on a narrow screen instead of becoming unreadable.
    let wide = picture.scene.width > 480.0;
    Ok(html! {
        figure.wide[wide].true[picture.scene.true_scale].two[picture.scene.held.is_some()] id=(picture.name) {
            @if wide || picture.scene.true_scale {
                div.scroll tabindex="0" role="group" aria-label="picture, scrolls sideways" {
                    (PreEscaped(&svg))
                }
            } @else {
                (PreEscaped(&svg))
            }
            @if captioned { figcaption { (picture.caption) } }
        }
    })
}

fn table(table: &Table) -> Markup {
    let class = |i: usize| table.head.get(i).is_some_and(|column| column.numbers);
    html! {
        // Not inside: a table may be narrower than its words, or wider than the screen.
        @if !table.caption.is_empty() { p.caption { (table.caption) } }
        div.scroll tabindex="0" role="group" aria-label=(table.caption) {
            table aria-label=(table.caption) {
                thead { tr { @for column in &table.head { (heading(column)) } } }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @if let Some(heading) = table.heading(row) {
                                th scope="row" colspan=(table.head.len()) { (heading) }
                            } @else {
                                @for (i, value) in row.iter().enumerate() { (cell(value, i, class(i))) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn heading(column: &Column) -> Markup {
    html! {
        th.n[column.numbers] scope="col" {
            (column.label)
            @if !column.unit.is_empty() { br; span.unit { (column.unit) } }
        }
    }
}

fn cell(cell: &Cell, column: usize, numbers: bool) -> Markup {
    let json = cell.number.as_ref().map(|(json, _)| json);
    let json = json.filter(|json| !json.is_empty());
    let value = cell.number.as_ref().map(|(_, value)| value);
    html! {
        @if column == 0 && !numbers {
            th scope="row" { (cell.text) }
        } @else {
            td.n[numbers].long[!numbers && cell.text.len() > LONG].strong[cell.strong] data-json=[json] data-value=[value] { (cell.text) }
        }
    }
}
