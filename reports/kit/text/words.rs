//! Text that fits a terminal: wrapped, without control characters.

/// Columns used.
pub const WIDTH: usize = 79;

/// Whether a terminal or a page obeys a character instead of showing it: control characters, and
/// those that change the direction of writing (Unicode Annex 9).
pub fn is_obeyed(c: char) -> bool {
    let turns = matches!(c, '\u{200e}' | '\u{200f}' | '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    c.is_control() || turns
}

/// With a blank for each such character: names come from files.
pub fn plain(text: &str) -> String {
    let shown = text.chars().map(|c| if is_obeyed(c) { ' ' } else { c });
    shown.collect()
}

/// The words with a capital at their beginning.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// Words that begin in small letters, unless they begin with an abbreviation.
pub fn uncapital(words: &str) -> String {
    let mut letters = words.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            let rest = &words[first.len_utf8()..];
            first.to_lowercase().collect::<String>() + rest
        }
        _ => words.into(),
    }
}

/// The same with a point at their end.
pub fn sentence(words: &str) -> String {
    let point = if words.ends_with(['.', '?', '!']) {
        ""
    } else {
        "."
    };
    capital(words) + point
}

/// A bar of at most so many columns for a share from 0 to 1, to an eighth of a column; padded
/// with blanks.
pub fn bar(share: f64, columns: usize) -> String {
    const PARTS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];
    let eighths = (share.clamp(0.0, 1.0) * 8.0 * columns as f64).round() as usize;
    let text = "█".repeat(eighths / 8) + PARTS[eighths % 8];
    format!("{text:columns$}")
}
