//! Words of names that are nearly known: run together, numbered, misspelt.

use crate::log::names::{EMPTY, NAMES, SAME};
use sim::spelling::{nearest, off};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Shortest word whose spelling is put right: in shorter ones a letter makes another word; and
/// shortest one that may be two letters off (own choice).
const SPELLED: [usize; 2] = [5, 8];
/// Shortest and longest word that is taken apart, shortest part, and most parts.
const APART: [usize; 2] = [7, 60];
const PART: usize = 3;
const MOST_PARTS: usize = 6;

/// Words of what readings are called.
static NAMED: LazyLock<BTreeSet<&str>> = LazyLock::new(|| {
    NAMES
        .iter()
        .flat_map(|name| name.words.split(['|', ' ']))
        .collect()
});

/// Every word that means something, or adds nothing.
static KNOWN: LazyLock<BTreeSet<&str>> = LazyLock::new(|| {
    let same = SAME.iter().map(|(also, _)| *also);
    let named = NAMED.iter().copied();
    named.chain(same).chain(EMPTY.iter().copied()).collect()
});

/// The known word that a misspelt one is near; none for a known one, or one like none.
pub(super) fn right(word: &str) -> Option<&'static str> {
    let length = word.chars().count();
    if length < SPELLED[0] || KNOWN.contains(word) {
        return None;
    }
    let near = |words: &BTreeSet<&'static str>, least: usize, most: usize| {
        let alike = |own: &&&str| own.len() >= least && own.len().abs_diff(length) <= most;
        let found = nearest(word, words.iter().filter(alike).copied());
        found.filter(|near| off(word, near) <= most)
    };
    let begins = |near: &&str| near.chars().next() == word.chars().next();
    let two = || near(&NAMED, SPELLED[1], 2).filter(|near| length >= SPELLED[1] && begins(near));
    near(&KNOWN, SPELLED[0], 1).or_else(two)
}

/// The words in a word: `tps1`, `throttleposition`; itself where it is one or none.
pub(super) fn apart(word: &str) -> Vec<String> {
    if KNOWN.contains(word) {
        return vec![word.into()];
    }
    // A number behind a name is that of the sensor or the bank.
    let stem = word.trim_end_matches(['1', '2']);
    if word.len() == stem.len() + 1 && stem.len() > 1 && KNOWN.contains(stem) {
        return vec![stem.into(), word[stem.len()..].into()];
    }
    let long = (APART[0]..APART[1]).contains(&word.len()) && word.is_ascii();
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
    let ends = (PART..=word.len()).rev();
    let mut known = ends.filter(|end| KNOWN.contains(&word[..*end]));
    known.find_map(|end| {
        let mut parts = cover(&word[end..], most - 1)?;
        parts.insert(0, &word[..end]);
        Some(parts)
    })
}
