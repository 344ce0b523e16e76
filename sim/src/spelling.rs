//! The nearest right spelling of a wrong word.

/// The allowed word most like `found`, if one is alike at all (case ignored).
///
/// Alike is one letter changed, added, left out or swapped, or a likeness of
/// Winkler 1990, as `strsim` computes it, above 0.75.
pub fn nearest<'a>(found: &str, allowed: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A word longer than any key is like none, and would only take time.
    let found: String = found.to_lowercase().chars().take(100).collect();
    allowed
        .into_iter()
        .map(|word| (likeness(&found, &word.to_lowercase()), word))
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

/// How many letters changed, added, left out or swapped two words are apart.
pub fn off(found: &str, word: &str) -> usize {
    strsim::osa_distance(found, word)
}

fn likeness(found: &str, word: &str) -> f64 {
    let short = found.len().min(word.len());
    // In one or two letters a changed one is too much, an added one is not.
    let one_off = short > 1 && (short > 2 || found.len() != word.len()) && off(found, word) == 1;
    strsim::jaro_winkler(found, word) + f64::from(u8::from(one_off))
}

/// That a word of some `kind` ("key", "unit") is unknown, and the nearest right one.
pub fn unknown<'a>(kind: &str, found: &str, allowed: impl IntoIterator<Item = &'a str>) -> String {
    let message = format!("unknown {kind} {}", quote(found));
    match nearest(found, allowed) {
        Some(near) => message + &format!("; did you mean `{near}`?"),
        None => message,
    }
}

/// [`unknown`], and on a second line the list of what is allowed.
pub fn unknown_listed(kind: &str, found: &str, allowed: &[&str]) -> String {
    let first = unknown(kind, found, allowed.iter().copied());
    format!("{first}\nallowed here: {}", allowed.join(", "))
}

/// Whether a terminal or a page obeys a character instead of showing it: control characters, and
/// those that change the direction of writing (Unicode Annex 9).
pub fn is_obeyed(c: char) -> bool {
    let turns = matches!(c, '\u{200e}' | '\u{200f}' | '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    c.is_control() || turns
}

/// Text with what would be obeyed written as letters, but for the ends of its lines.
pub fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        match is_obeyed(c) && c != '\n' {
            true => shown.extend(c.escape_default()),
            false => shown.push(c),
        }
    }
    shown
}

/// Text from a file, between backticks, at most 60 characters and none of them obeyed.
pub fn quote(text: &str) -> String {
    let mut shown = String::from("`");
    for (i, c) in text.chars().enumerate() {
        if i == 60 {
            shown.push('…');
            break;
        }
        match c {
            c if is_obeyed(c) => shown.extend(c.escape_default()),
            c => shown.push(c),
        }
    }
    shown + "`"
}
