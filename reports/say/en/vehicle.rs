//! `vehicle new`, `vehicle check`.

use sim::sentences;

sentences! {
    /// Head of the table.
    SPARE "What the car has to spare.";
    /// Of a new car.
    typical(path) "Every figure of its card is typical (falseair vehicle check {path}).";
    /// Of a new car.
    look(path) "Its card has something to look at: falseair vehicle check {path}";
    /// What of the plate a new car misses.
    missed(miss) "misses the plate: {miss}";
    /// The file beside such a car.
    doubted(path, times)
        "{path} beside it makes a diagnosis of this car take every number as {times} times as \
         doubtful as one of a measured car.";
    /// How the card is made.
    RUN "without leaks, at 20 °C and 101.3 kPa";
    /// Head of the table.
    CARD "What the car shows, and what is typical.";
    /// Under the table.
    RANGES "Ranges: S published text seen, M typical value, not checked against the standard's text, P workshop rule of thumb, no published source, own: \
            the car's own file. Typical does not mean true: a car with measured numbers may well \
            stand outside.";
}
