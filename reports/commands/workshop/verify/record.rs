//! The record of a repair: one A4 page to hand to the customer. Self-contained, black on
//! white; every text from a file is escaped.

use crate::commands::workshop::verify::{File, Line, Side};
use crate::page::Table;
use crate::page::record::known;
use crate::say::workshop_verify as say;
use maud::{DOCTYPE, Markup, html};

/// Shown of each reading.
const COLUMNS: [&str; 6] = known::<Line, 6>(["what", "unit", "read", "doubt", "fitted", "sound"]);
const STYLE: &str = include_str!("record.css");

/// The page.
///
/// # Errors
/// The picture cannot be drawn.
pub(super) fn page(file: &File) -> Result<String, String> {
    let picture = file.picture();
    let drawn = picture.scene.svg(&picture.caption)?;
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
                        dd { (words) }
                    }
                }
                p.says { (file.says) }
                div.picture { (maud::PreEscaped(drawn)) }
                p.small { (picture.caption) }
                (side("Before", "/before/readings", &file.before))
                (side("After", "/after/readings", &file.after))
                h2 { "What is left" }
                p { (file.left) }
                p { "Rest: " (file.rest) }
                @for warning in &file.warnings.notes {
                    p { strong { "Note: " } (warning) }
                }
                h2 { "Please note" }
                ul {
                    @for note in say::NOTES { li { (note) } }
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

fn side(when: &str, json: &str, side: &Side) -> Markup {
    let table = Table::of(say::COMPARED, json, &side.readings, &COLUMNS);
    html! {
        h2 { (when) ": " (side.size.words) }
        (table.html())
    }
}
