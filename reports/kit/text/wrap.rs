//! Words broken into lines.

use crate::text::words::is_obeyed;

/// Lines of at most `width` characters, broken between words; a longer word
/// stands alone. Control characters become spaces: what is written here goes to
/// terminals and into comments.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(|c: char| c.is_whitespace() || is_obeyed(c)) {
        match lines.last_mut() {
            _ if word.is_empty() => {}
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.into()),
        }
    }
    lines
}
