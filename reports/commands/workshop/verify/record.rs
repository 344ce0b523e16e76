//! The record of a repair: one A4 page to hand to the customer. Self-contained, black on
//! white; every text from a file is escaped.

use crate::commands::workshop::verify::{File, Line, Side};
use crate::text::say::workshop_verify as say;
use maud::{DOCTYPE, Markup, html};
use sim::units::round;

const STYLE: &str = "\
@page { size: A4; margin: 15mm }
body { font: 10.5pt/1.35 sans-serif; color: #111; background: #fff; max-width: 180mm;
  margin: 8mm auto; padding: 0 4mm }
@media print { body { margin: 0; padding: 0; max-width: none } }
h1 { font-size: 17pt; margin: 0 0 1mm }
h2 { font-size: 11.5pt; margin: 4mm 0 1mm; border-bottom: 0.4mm solid #111 }
p { margin: 1mm 0 }
.says { font-size: 12pt; border: 0.5mm solid #111; padding: 2mm 3mm; margin: 3mm 0 }
dl { display: grid; grid-template-columns: 28mm 1fr; margin: 2mm 0; gap: 0.5mm 2mm }
dt { color: #444 } dd { margin: 0; overflow-wrap: anywhere }
table { border-collapse: collapse; width: 100%; margin: 1mm 0 }
th, td { text-align: right; padding: 0.6mm 1.5mm; border-bottom: 0.2mm solid #999;
  font-variant-numeric: tabular-nums }
th:first-child, td:first-child { text-align: left }
.picture svg { display: block; width: 105mm; height: auto }
.small { font-size: 9pt; color: #444 }
ul { margin: 1mm 0; padding-left: 5mm; font-size: 9pt }
.sign { display: flex; gap: 12mm; margin-top: 12mm }
.sign div { flex: 1; border-top: 0.3mm solid #111; padding-top: 1mm; font-size: 9pt }";

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
                (side("Before", &file.before))
                (side("After", &file.after))
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

fn side(when: &str, side: &Side) -> Markup {
    html! {
        h2 { (when) ": " (side.size.words) }
        table {
            thead {
                tr {
                    th { "reading" }
                    th { "unit" }
                    th { "read" }
                    th { "doubt" }
                    th { "model, fitted" }
                    th { "model, sound" }
                }
            }
            tbody { @for line in &side.readings { (row(line)) } }
        }
    }
}

fn row(line: &Line) -> Markup {
    let number = |value: f64| format!("{value:.*}", line.decimals);
    html! {
        tr {
            td { (line.what) }
            td { (line.unit) }
            td { (number(line.read)) }
            td { (round(line.doubt, 2)) }
            td { (number(line.fitted)) }
            td { @match line.sound { Some(sound) => { (number(sound)) } None => { "-" } } }
        }
    }
}
