//! What a class answered, as programs read it.

use schemars::JsonSchema;
use serde::Serialize;

/// What a class answered.
#[derive(Serialize, JsonSchema)]
pub(super) struct Class {
    /// The lesson's own name.
    pub lesson: String,
    pub vehicle: String,
    /// By their numbers.
    pub trainees: Vec<Row>,
    /// What was not as it should be, a sentence each.
    pub seen: Vec<String>,
    /// What several did wrong, the most frequent first.
    pub errors: Vec<Errors>,
}

/// An error, and how often it was made.
#[derive(Serialize, JsonSchema)]
pub(super) struct Errors {
    pub what: String,
    pub count: usize,
}

/// What one of the class answered.
#[derive(Clone, Serialize, JsonSchema)]
pub(super) struct Row {
    pub number: u32,
    pub name: String,
    /// The result file; none where none came in.
    pub file: Option<String>,
    /// `holds`, `not noted`, `edited`, `second answer`, `neighbour's`, `other lesson`, `no result`.
    pub receipt: &'static str,
    pub said: String,
    pub truth: String,
    /// The grade in a word; empty where the answer does not hold.
    pub verdict: String,
    /// Of 10; none where the answer does not hold.
    pub points: Option<f64>,
    pub minutes: f64,
    /// From opening to answer, by the trainee's clock.
    pub seconds: f64,
    /// How often the exercise was begun in that browser.
    pub attempts: u32,
    pub steps: Vec<Step>,
    pub notes: String,
    #[serde(skip)]
    pub errors: Vec<String>,
}

/// A test, and what was known before it.
#[derive(Clone, Serialize, JsonSchema)]
pub(super) struct Step {
    pub test: String,
    pub minutes: f64,
    /// Probability of the truth before it, %.
    pub truth_before_pct: f64,
    /// What it was expected to settle, % of what was open; none where next to nothing.
    pub settles_pct: Option<f64>,
    /// What would have told most per minute.
    pub best: String,
}
