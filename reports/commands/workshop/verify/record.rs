//! The record of a repair: one page, A4 or US Letter, to hand to the customer. Self-contained, black
//! on white; every text from a file is escaped.

use crate::answer::dangers::Danger;
use crate::commands::workshop::verify::{File, Line, Side};
use crate::say::workshop_verify as say;
use crate::text::number::{digits, number};
use crate::text::words::{capital, sentence};
use maud::{DOCTYPE, Markup, html};
use sim::study::running::dangers::Hazard;

/// Readings up to which the picture has room beside their table.
const DRAWN: usize = 6;
/// Readings for which one sheet has room.
const ROWS: usize = 10;
const STYLE: &str = include_str!("record.css");

/// The page.
///
/// # Errors
/// The picture cannot be drawn.
pub(super) fn page(file: &File) -> Result<String, String> {
    let drawn = file.picture().scene.svg(say::PICTURED)?;
    // Inside HTML a drawing needs no namespace; nothing on this page looks like a link.
    let drawn = drawn.replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Record of a repair" }
                style { (maud::PreEscaped(STYLE)) }
            }
            body {
                h1 { "Record of a repair" }
                dl {
                    @for (label, words) in file.about() {
                        dt { (label) }
                        dd { (capital(words)) }
                    }
                }
                @for danger in &file.dangers {
                    p.danger { strong { (say::DANGER_STILL) } (handed(danger)) }
                }
                p.says { (file.says) }
                p { (file.left) }
                h2 { "What was read" }
                @if rows(file).len() <= DRAWN {
                    div.read {
                        div { (table(file)) p.small { (say::COMPARED.replace('`', "")) } }
                        div.picture { (maud::PreEscaped(drawn)) p.small { (say::PICTURED) } }
                    }
                } @else {
                    (table(file))
                    p.small { (say::COMPARED.replace('`', "")) }
                }
                @for agreed in [agreed("Before", &file.before), agreed("After", &file.after)] {
                    p { (agreed) }
                }
                @for warning in &file.warnings.notes {
                    p { strong { "Note: " } (sentence(warning)) }
                }
                h2 { "Please note" }
                ul {
                    @for note in say::NOTES { li { (note.replace('`', "")) } }
                }
                div.sign {
                    div { "Date, technician" }
                    div { "Customer" }
                }
            }
        }
    };
    Ok(page.into_string())
}

/// A danger to whoever drives the car home.
fn handed(danger: &Danger) -> String {
    let hazard = Hazard::all().find(|hazard| hazard.word() == danger.kind);
    hazard.map_or_else(
        || danger.words.clone(),
        |hazard| match hazard.forbids_driving() {
            true => say::not_to_be_driven(hazard.name(), hazard.threat()),
            false => say::not_to_be_loaded(hazard.name(), hazard.threat()),
        },
    )
}

fn agreed(when: &str, side: &Side) -> String {
    match side.explained {
        None => say::alone(when),
        Some(true) => say::fits(when),
        Some(false) => say::does_not_fit(when),
    }
}

/// A reading, as it was before and after.
type Row<'a> = (&'a Line, Option<&'a Line>, Option<&'a Line>);

/// Every reading once, before beside after.
fn rows(file: &File) -> Vec<Row<'_>> {
    let (before, after) = (&file.before.readings, &file.after.readings);
    let find = |line: &Line, of: &'_ [Line]| of.iter().position(|other| other.what == line.what);
    let alone = after.iter().filter(|line| find(line, before).is_none());
    (before.iter())
        .map(|line| (line, Some(line), find(line, after).map(|i| &after[i])))
        .chain(alone.map(|line| (line, None, Some(line))))
        .collect()
}

fn table(file: &File) -> Markup {
    let all = rows(file);
    let left_out = all.len().saturating_sub(ROWS);
    let read = |line: Option<&Line>| match line {
        Some(line) => format!(
            "{} \u{b1} {}",
            number(line.read, line.decimals),
            digits(line.doubt, 1)
        ),
        None => "\u{2013}".into(),
    };
    let healthy = |line: &Line| {
        let value = line.sound.map(|value| number(value, line.decimals));
        value.unwrap_or("\u{2013}".into())
    };
    html! {
        table {
            thead {
                tr {
                    th scope="col" { "reading" }
                    th scope="col" { "unit" }
                    th scope="col" { "before" }
                    th scope="col" { "after" }
                    th scope="col" { "healthy" }
                }
            }
            tbody {
                @for (line, was, is) in all.into_iter().take(ROWS) {
                    tr {
                        th scope="row" { (line.what) }
                        td { (line.unit) }
                        td { (read(was)) }
                        td { (read(is)) }
                        td { (healthy(line)) }
                    }
                }
            }
        }
        @if left_out > 0 { p { (say::more(left_out)) } }
    }
}
