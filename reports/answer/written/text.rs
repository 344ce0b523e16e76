//! Text as TOML writes it (toml.io, version 1.0.0, "String").

use std::fmt::Write;

/// A basic string; one that is wider than `width` is broken between words.
pub(super) fn quoted(text: &str, width: usize) -> String {
    let one = format!("\"{}\"", escaped(text));
    if one.chars().count() <= width || !text.contains(' ') {
        return one;
    }
    // A backslash at a line's end takes the white space up to the next word with
    // it, so the spaces between two words stay before it. What follows must not
    // itself begin with a space: a break is where a word begins.
    let mut lines = vec![String::new()];
    let mut words = text.split_inclusive(' ').peekable();
    while let Some(mut word) = words.next().map(String::from) {
        while let Some(spaces) = words.next_if(|next| *next == " ") {
            word.push_str(spaces);
        }
        let word = escaped(&word);
        let last = lines.last_mut().filter(|line| {
            line.is_empty() || line.chars().count() + word.chars().count() < width.min(90)
        });
        match last {
            Some(line) => line.push_str(&word),
            None => lines.push(word),
        }
    }
    format!("\"\"\"\n{}\"\"\"", lines.join("\\\n"))
}

fn escaped(text: &str) -> String {
    let mut all = String::new();
    for c in text.chars() {
        match c {
            '"' | '\\' => all.extend(['\\', c]),
            '\n' => all.push_str("\\n"),
            '\t' => all.push_str("\\t"),
            '\r' => all.push_str("\\r"),
            c if c.is_control() => {
                let _ = write!(all, "\\u{:04X}", u32::from(c));
            }
            c => all.push(c),
        }
    }
    all
}
