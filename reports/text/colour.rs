//! Colour for a terminal: what a line is, seen from how it begins. The text stays as it is.

/// What a line is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Heading,
    Caution,
    Quiet,
    Plain,
}

const CAUTIONS: [&str; 6] = [
    "caution",
    "warning",
    "no answer",
    "ONE-SIDED",
    "codes",
    "Before you test",
];
const QUIET: [&str; 4] = ["note  ", "car   ", "air   ", "vehicle "];

/// `text` with headings bold, cautions yellow and what is said of the car faint (ECMA-48).
/// What is not a table of ours (JSON, CSV, a script) stays as it is.
pub fn coloured(text: &str) -> String {
    if text.starts_with(['{', '[', '#', '_']) || !text.contains("\n-- ") {
        return text.into();
    }
    let mut all = String::with_capacity(text.len() + 512);
    let mut kind = Kind::Plain;
    for (i, line) in text.split_inclusive('\n').enumerate() {
        kind = kind_of(line, i, kind);
        let (words, end) = match line.strip_suffix('\n') {
            Some(words) => (words, "\n"),
            None => (line, ""),
        };
        let sign = match kind {
            Kind::Heading => "1",
            Kind::Caution => "33",
            Kind::Quiet => "2",
            Kind::Plain => "",
        };
        if sign.is_empty() || words.is_empty() {
            all.push_str(line);
        } else {
            all.push_str(&format!("\x1b[{sign}m{words}\x1b[0m{end}"));
        }
    }
    all
}

fn kind_of(line: &str, number: usize, before: Kind) -> Kind {
    let begins = |words: &[&str]| words.iter().any(|word| line.starts_with(word));
    if line.starts_with("-- ") || (number == 0 && !line.trim().is_empty()) {
        Kind::Heading
    } else if begins(&CAUTIONS) {
        Kind::Caution
    } else if begins(&QUIET) {
        Kind::Quiet
    } else if matches!(before, Kind::Caution | Kind::Quiet) && goes_on(line, before) {
        before
    } else {
        Kind::Plain
    }
}

/// Whether a line goes on with the paragraph before it.
fn goes_on(line: &str, before: Kind) -> bool {
    line.starts_with("      ") || (before == Kind::Caution && !line.trim().is_empty())
}

#[cfg(test)]
mod tests {
    use super::coloured;

    #[test]
    fn only_signs_are_added() {
        let text = "Title\ncar   x\n      y\n\n-- idle ---\n  1\ncaution: a\nb\n\nend";
        let shown = coloured(text);
        let mut plain = String::new();
        let mut inside = false;
        for c in shown.chars() {
            match c {
                '\x1b' => inside = true,
                'm' if inside => inside = false,
                c if !inside => plain.push(c),
                _ => {}
            }
        }
        assert_eq!(plain, text);
        assert!(shown.contains("\x1b[1m-- idle ---\x1b[0m\n"));
        assert!(shown.contains("\x1b[33mb\x1b[0m\n") && !shown.contains("mend"));
    }
}
