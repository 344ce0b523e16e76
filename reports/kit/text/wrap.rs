//! Words broken into lines.

use crate::text::words::is_obeyed;

/// Lines of at most `width` characters, broken between words; a longer word stands alone, one of
/// more than two lines is cut off. Control characters become spaces: what is written here goes
/// to terminals and into comments.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(|c: char| c.is_whitespace() || is_obeyed(c)) {
        let most = 2 * width.max(1);
        let cut = word
            .char_indices()
            .nth(most)
            .map(|(at, _)| format!("{}…", &word[..at]));
        let word = cut.as_deref().unwrap_or(word);
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
