//! English.

pub mod asking;
pub mod cautions;
pub mod driving;
pub mod explaining;
pub mod judging;
pub mod known_hole;
pub mod manoeuvres;
pub mod plan;
pub mod procedures;
pub mod sealing;
pub mod sizing;
pub mod solving;

/// A clause with its first letter as a sentence begins.
pub fn capitalised(clause: &str) -> String {
    let mut letters = clause.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A clause as a sentence.
pub fn sentence(clause: &str) -> String {
    capitalised(clause) + "."
}
