//! `threshold`.

use sim::sentences;

sentences! {
    /// Title.
    title(car) "From which size on a leak shows: {car}";
    /// Title where a gap is asked for.
    tolerance_title(car) "How large a gap may be: {car}";
    /// What brings a danger.
    danger_from(place, mm, point) "{place} from {mm:.1} mm ({point})";
    /// What is shown.
    ABOUT "Smallest leak that shows, as the diameter in mm of a round sharp-edged hole. The leak grows while the \
        car is driven: its trims have learnt it; changes count from the healthy car, and before a code reduces the \
        torque.";
    /// The answer: the smallest hole.
    shows_first(mm, places, by, point) "From {mm} mm on a hole shows: {places} by {by} at {point}.";
    /// The answer where none shows.
    shows_nowhere(most) "No hole up to {most} mm shows in any of what is watched.";
    /// Where none shows.
    hidden(most, places) "Up to {most} mm none of what is watched shows a hole at: {places}.";
    /// Where the gap is.
    opening(shape, place) "A {shape} at the {place}.";
    /// Under the picture of holes.
    TRUE_SCALE "The smallest hole that shows at all, place by place, to true scale: 10 mm on the ruler are \
        10 mm on paper when printed at 100 %.";
    /// Head of the table.
    holes(most) "Smallest hole, mm; a dash where none up to {most} mm shows it.";
    /// The letters of the table.
    first_at(points) "First seen at: {points}.";
    /// Of a symptom that a healthy car has.
    SOUND_TOO "healthy too: the healthy car shows it too.";
    /// Of a symptom that a healthy car has, in a picture.
    SOUND_SHOWS "the healthy car shows it";
    /// The same, and where.
    sound_shows_at(point) "the healthy car shows it too ({point})";
    /// Of a symptom that no hole brings.
    NOT_UP_TO_20 "not up to 20 mm";
    /// Of a symptom that no gap brings.
    NOT_UP_TO_TRIED "not up to the gap tried";
    /// Where the engine stops running.
    no_running(place, point, mm) "{place}: no steady running at {point} from {mm} mm.";
    /// The largest gap.
    at_most(size, gap) "at most {size} of {gap}";
    /// There is none.
    NO_GAP "none: the healthy car already shows a symptom";
    /// Under the picture of gaps.
    SMALLEST_GAPS "The smallest gap that shows each symptom, and where.";
    /// Head of the table of gaps.
    STAYS_AWAY "The largest gap at which each symptom stays away, rounded down, for a gap as regular as \
        stated.";
    /// In that table.
    ALL_TRIED "all that was tried";
    /// In that table.
    ALL_AWAY "largest that shows none of these";
    /// In that table.
    LARGEST_TRIED "largest that was tried";
    /// Of every gap.
    REGULAR "Computed for a gap as regular as stated; the limits of whoever made the part come first.";
}
