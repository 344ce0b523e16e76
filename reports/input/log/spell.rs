//! Words of names that are nearly known: run together, numbered, misspelt.

use crate::log::names::{EMPTY, NAMES, SAME};
use sim::spelling::{nearest, off};

/// Shortest word whose spelling is put right: in shorter ones a letter makes another word; and
/// shortest one that may be two letters off (own choice).
const SPELLED: [usize; 2] = [5, 8];
/// Shortest word that is taken apart, and shortest part.
const APART: [usize; 2] = [7, 3];
const MOST_PARTS: usize = 6;

/// Words of what readings are called.
fn named() -> impl Iterator<Item = &'static str> {
    NAMES.iter().flat_map(|name| name.words.split(['|', ' ']))
}

/// Every word that means something, or adds nothing.
fn known() -> impl Iterator<Item = &'static str> {
    let same = SAME.iter().map(|(also, _)| *also);
    named().chain(same).chain(EMPTY.iter().copied())
}

/// The known word that a misspelt one is near; none for a known one, or one like none.
pub(super) fn right(word: &str) -> Option<&'static str> {
    let length = word.chars().count();
    if length < SPELLED[0] || known().any(|own| own == word) {
        return None;
    }
    let first = nearest(word, known().filter(|own| own.len() >= SPELLED[0]));
    let one = first.filter(|near| off(word, near) == 1);
    let two = || nearest(word, named().filter(|own| own.len() >= SPELLED[1]));
    let begins = |near: &&str| near.chars().next() == word.chars().next();
    one.or_else(|| {
        two()
            .filter(|near| length >= SPELLED[1] && off(word, near) <= 2)
            .filter(begins)
    })
}

/// The words in a word: `tps1`, `throttleposition`; itself where it is one or none.
pub(super) fn apart(word: &str) -> Vec<String> {
    let is_known = |part: &str| known().any(|own| own == part);
    if is_known(word) {
        return vec![word.into()];
    }
    // A number behind a name is that of the sensor or the bank.
    let stem = word.trim_end_matches(['1', '2']);
    if word.len() == stem.len() + 1 && stem.len() > 1 && is_known(stem) {
        return vec![stem.into(), word[stem.len()..].into()];
    }
    let long = (APART[0]..60).contains(&word.len()) && word.is_ascii();
    let parts = long.then(|| cover(word, MOST_PARTS)).flatten();
    parts.map_or(vec![word.into()], |parts| {
        parts.into_iter().map(String::from).collect()
    })
}

/// Known words, so many at most, that make up a word, the longest first ones before others.
fn cover(word: &str, most: usize) -> Option<Vec<&str>> {
    if word.is_empty() || most == 0 {
        return word.is_empty().then(Vec::new);
    }
    let ends = (APART[1]..=word.len()).rev();
    let mut known = ends.filter(|end| known().any(|own| own == &word[..*end]));
    known.find_map(|end| {
        let mut parts = cover(&word[end..], most - 1)?;
        parts.insert(0, &word[..end]);
        Some(parts)
    })
}
