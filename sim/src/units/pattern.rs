//! Which texts [`parse`](super::parse) takes, as a regular expression: one that JSON Schema's
//! dialect (ECMA-262) and others read alike, made from the same table of units.

use super::Dimension;
use super::datum::DATUM_WORDS;
use super::find::{alike, spellings};
use super::table::family;

/// What may stand between the letters of a unit, as `canonical` leaves it out.
const BETWEEN: &str = r"[\s·⋅×*^().]*";

/// The number, as `number::split` takes it, and what may not follow: a further digit or number.
const NUMBER: &str = "^\\s*[-+\u{2212}]?(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:[eE][-+]?[0-9]+)?\
    (?![0-9.'_+-]|/\\s*[0-9]|\\s+(?:\\.(?!1?/)|[0-9](?!\\.?/)))";

/// A number below zero at the start of a text that is a quantity.
pub const NEGATIVE: &str = "^\\s*[-\u{2212}][0-9.]*[1-9]";

/// Zero at the start of a text that is a quantity.
pub const ZERO: &str = "^\\s*[-+\u{2212}]?[0.]+(?![0-9.])";

/// The texts that are quantities of `dimension`; how large they may be, it does not say.
pub fn pattern(dimension: Dimension) -> String {
    let units = family(dimension).units;
    // Where another unit differs by case alone, case decides.
    let written = units.iter().flat_map(spellings);
    let written = written.map(|name| letters(&name, alike(&name, units).is_some()));
    let written = written.collect::<Vec<_>>().join("|");
    let words = DATUM_WORDS
        .iter()
        .filter(|(_, datum)| *datum == dimension.datum());
    let words: Vec<String> = words.map(|(word, _)| letters(word, true)).collect();
    let datum = match words.is_empty() {
        true => String::new(),
        false => format!("(?:{}){BETWEEN}", words.join("|")),
    };
    let unit = format!("{BETWEEN}(?:{written}){BETWEEN}{datum}");
    match dimension {
        Dimension::Ratio => format!("{NUMBER}(?:\\s*|{unit})$"),
        _ => format!("{NUMBER}{unit}$"),
    }
}

/// The spellings that are `name` once they are canonical.
fn letters(name: &str, any_case: bool) -> String {
    let mut parts = Vec::new();
    let mut rest = name;
    while let Some(c) = rest.chars().next() {
        if let Some(after) = rest.strip_prefix("deg") {
            let spelled: Vec<String> = "deg".chars().map(|c| letter(c, any_case)).collect();
            parts.push(format!("(?:{}|[°º])", spelled.join(BETWEEN)));
            rest = after;
            continue;
        }
        parts.push(letter(c, any_case));
        rest = &rest[c.len_utf8()..];
    }
    parts.join(BETWEEN)
}

fn letter(c: char, any_case: bool) -> String {
    let mut all = String::from(c);
    if any_case && c.is_ascii_alphabetic() {
        all = format!("{}{}", c.to_ascii_lowercase(), c.to_ascii_uppercase());
    }
    all += match c {
        '2' => "²₂",
        '3' => "³",
        'u' => "µμ",
        _ => "",
    };
    match all.chars().count() {
        1 => all,
        _ => format!("[{all}]"),
    }
}
