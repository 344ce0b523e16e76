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
    /// A symptom: a code is set.
    code_set(code, name) "{code} {name}";
    /// A symptom: any code is set.
    ANY_CODE "any trouble code";
    /// A symptom: the turbo's speed limit.
    over_its_limit(reading) "{reading} over its limit";
    /// A symptom: a reading stands above a number.
    stands_above(reading, number) "{reading} above {number}";
    /// A symptom: a reading stands below a number.
    stands_below(reading, number) "{reading} below {number}";
    /// A symptom: a reading has risen from the healthy car's.
    moved_up(reading, amount) "{reading} up by {amount}";
    /// A symptom: a reading has fallen from the healthy car's.
    moved_down(reading, amount) "{reading} down by {amount}";
    /// A symptom: a reading is off from the healthy car's, either way.
    moved_off(reading, amount) "{reading} off by {amount}";
}
