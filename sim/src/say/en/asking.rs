//! What a leak at a place shows, in a line.

/// Between readings that move at one point.
pub const BETWEEN_READINGS: &str = ", ";
/// Between points.
pub const BETWEEN_POINTS: &str = "; ";

crate::sentences! {
    /// A point of a map that no scenario names.
    lesson() "light cruise, where the trims are learnt";
    hole_shows_nothing(millimetres) "A {millimetres:.1} mm hole here shows in no reading.";
    hole_moves(millimetres, what) "A {millimetres:.1} mm hole here moves: {what}.";
    not_running_at(point) "at {point} the engine does not run steadily";
    nothing_at(point) "nothing at {point}";
    moved_at(point, readings) "at {point} {readings}";
    reading_up(reading, by) "{reading} up {by}";
    reading_down(reading, by) "{reading} down {by}";
}
