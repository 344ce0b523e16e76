//! `diagnose --compare`.

use sim::sentences;

sentences! {
    /// Title of the page.
    title(a, b) "A and B compared: {a}; {b}";
    /// The same of two without titles of their own.
    TITLE "A and B compared";
    /// How one of the two is called.
    called(letter, title) "{letter} ({title})";
    /// What holds of one of them.
    of(letter, words) "{letter}: {words}";
    /// Before a line about one of them.
    label(letter, label) "{letter}, {label}";
    /// The answer: what each comes to, and what differs.
    both(a, b, apart) "A: {a}. B: {b}. {apart}";
    /// A verdict in short.
    healthy(probability) "no fault shown ({probability} healthy)";
    /// The same.
    fault(fault, probability) "most likely {fault} ({probability})";
    /// The same.
    one_of(faults, probability) "one of {faults} ({probability} together)";
    /// The same.
    undecided(probability) "not decided ({probability} healthy)";
    /// The same.
    NOTHING_FITS "nothing on the list of faults fits";
    /// The same.
    NOTHING_READ "nothing was read";
    /// No reading is in both.
    NOTHING_IN_COMMON "No reading stands in both at a condition of the same name (0 in common), so no two readings can be \
        compared.";
    /// No two readings are two.
    alike(count) "None of the {count} readings that both have differs by more than its instruments are off by.";
    /// What is apart.
    apart(moved, count, told) "{moved} of {count} readings differ by more than their instruments are off by, most of all {told}.";
    /// A reading of both; unit with a blank before it, or nothing.
    told(label, condition, a, b, unit, change) "{label} at {condition}: {a}{unit} in A, {b}{unit} in B ({change})";
    /// A reading of both, short.
    from_to(label, condition, a, b, unit) "{label}, {condition}: {a}, {b} {unit}";
    /// Under the picture.
    DISTANCES "How far each reading lies off a healthy car, in standard deviations of instrument and car together: A is the \
        ring, B the disc. Inside the pale band a healthy car may read so. A repair that worked brings the disc \
        into the band.";
    /// Head of the readings.
    READINGS "Readings that both have, those that differ most first. Marked (!): further apart than 19 of 20 pairs of \
        readings of one value, by what the instruments are off by.";
    /// Head of a column.
    B_LESS_A "B minus A";
    /// Head of a column.
    HEALTHY_A "healthy, as A was driven";
    /// Head of a column.
    HEALTHY_B "healthy, as B was driven";
    /// Readings that only one has.
    only_in(letter, readings) "Only in {letter}, and not compared: {readings}.";
    /// Head of a part.
    FAULTS "What fits each";
    /// Head of its table.
    PROBABILITIES "How probable each fault is after the readings of A and of B, and its size (90 % lie between).";
    /// Head of a column.
    size(letter) "size in {letter}";
    /// Head of a part.
    alone(letter) "{letter} by itself, and its next tests";
    /// How tests are done.
    HOW "`falseair diagnose` with this file alone says how each test is done, its dangers first.";
    /// Of every such answer.
    BY_NAME "A and B are each judged by themselves; readings are compared where their conditions have the same name. \
        Drive both the same way, or differences show the driving.";
}
