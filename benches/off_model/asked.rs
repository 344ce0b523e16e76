//! What is asked for on the command line.

/// The types asked for on the command line: the twelve, or twenty-four others (`further`, `furthest`).
pub fn types() -> std::ops::Range<usize> {
    let named = |name: &str| std::env::args().any(|a| a == name);
    match (named("further"), named("furthest")) {
        (true, _) => 12..36,
        (_, true) => 36..60,
        _ => 0..12,
    }
}
