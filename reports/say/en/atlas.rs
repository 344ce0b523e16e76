//! `atlas`.

use sim::sentences;

sentences! {
    /// Title.
    title(car) "What each leak does: {car}";
    /// What is shown.
    ABOUT "Round sharp-edged holes of 0.5 to 10 mm at every place, at idle, light cruise and full load. The leak \
        grows while the car is driven, so its trims have learnt it. Where a code reduces the torque the readings are \
        those after it.";
    /// From where on something counts.
    shows(deviations) "A reading is named where it is off by more than {deviations} standard deviations of \
        its instrument, for then a gauge shows it; a code stands with the first of the sizes computed that \
        sets it.";
    /// Head of the overview.
    at_a_glance(mm) "What a {mm:.1} mm hole moves: \u{25b2} up, \u{25bd} down, more of them the further \
        beyond the instrument's uncertainty; a dash: nothing to be seen.";
    /// The answer where a hole is seen at every place.
    seen_everywhere(mm, all) "A {mm:.1} mm hole is seen by a gauge at all {all} places.";
    /// The answer where it is hidden at some.
    seen_at(mm, seen, all, hidden) "A {mm:.1} mm hole is seen by a gauge at {seen} of {all} places. Seen in no reading of the table below: {hidden}.";
    /// Over the picture.
    SMALLEST "smallest hole that a gauge shows, mm";
    /// Under it.
    SMALLEST_AT "The smallest of the holes computed that a gauge of the table shows, place by place, and where it first does.";
    /// A hole and where.
    hole(mm, condition) "{mm} ({condition})";
    /// The same where none does.
    no_hole(mm) "none to {mm}";
    /// The engine does not run.
    STALLS "stalls";
    /// Under a chart.
    AGAINST_THE_HOLE "Against the hole's diameter.";
    /// What keeps still.
    not_seen(readings) "Up to 10 mm not to be seen in: {readings}.";
    /// What brings a danger.
    danger_from(places, mm, condition) "hole from {mm:.1} mm ({condition}) at {places}";
}
