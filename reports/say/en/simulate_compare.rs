//! `simulate --compare`.

use sim::sentences;

sentences! {
    /// Title of the page.
    title(a, b) "A and B compared: {a}; {b}";
    /// The same of two with one title.
    title_of_one(title) "A and B compared: {title}";
    /// How one of the two is called.
    called(letter, title) "{letter} ({title})";
    /// Which of the two it is.
    which(title, car, kilopascal, celsius) "{title}; {car}; {kilopascal:.1} kPa abs, {celsius:.0} °C";
    /// Nothing differs.
    same(points) "No difference: A and B read the same at all {points} points.";
    /// No point is in both.
    NOTHING_IN_COMMON "No point of A has the name of a point of B, so that nothing can be compared: give them the same `name`.";
    /// No point has an answer in both.
    NOT_COMPARED "At no point do both have an answer.";
    /// A reading of both; unit with a blank before it, or nothing.
    told(label, a, b, unit, change) "{label} {a}{unit} in A, {b}{unit} in B ({change})";
    /// The answer.
    most(point, told) "They differ most at {point}: {told}.";
    /// The same with what comes next; B minus A.
    most_and(point, told, beside) "They differ most at {point}: {told}; then, B minus A, {beside}.";
    /// Where no instrument would show it.
    hardly(point, told) "No reading that a workshop takes differs by more than its instrument is off by; the largest difference is at {point}: {told}.";
    /// Head of the table of differences.
    CHANGES "What differs most, B minus A.";
    /// The same with the sign in it.
    CHANGES_MARKED "What differs most, B minus A. Marked (!): A and B differ by more than 19 of 20 healthy cars of the make differ from its middle, instruments counted.";
    /// Points that only one of them has.
    only_in(letter, points) "Only in {letter}, and not compared: {points}.";
    /// Before the codes of one of them.
    codes(letter) "codes {letter}";
    /// Under the drawing of one of them.
    drawn(letter, point) "{letter} at {point}: bands are as wide as the flow, in A and B to one scale; the healthy car is the grey ghost around them, leaks are arrows.";
    /// Head of a part.
    readings_at(point) "Readings at {point}";
    /// Head of its table.
    READINGS "A and B beside what healthy cars of the make read.";
    /// Head of a column.
    B_LESS_A "B minus A";
    /// Head of a column where the two are of two makes, or in two airs.
    HEALTHY_LIKE_A "95 % of healthy cars like A";
    /// The same.
    HEALTHY_LIKE_B "95 % of healthy cars like B";
    /// What to beware of in one of them.
    caution(letter, point, warning) "{letter}, {point}: {warning}";
}
