//! What an answer comes to.

/// What an answer comes to, to be told from the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct Gist {
    /// What it says, without its numbers.
    pub words: String,
    /// Seconds of the log that it is made from.
    pub seconds: f64,
    /// Whether it is one that can stand: a log that shows nothing yet cannot.
    pub decided: bool,
}
