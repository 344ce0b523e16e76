//! `schema`.

use sim::sentences;

sentences! {
    /// How a file says a quantity.
    QUANTITIES "A quantity is text with its unit, as in key = \"0.38 mm\"; a quantity without a \
                unit here is a plain number (0.12) or a percentage (\"12 %\"). Ranges are in the unit \
                of their row; all units that may be used stand at the end.";
    /// Heading of the keys that stand in no table.
    OWN_KEYS "the file's own keys, before all tables";
    /// Of a table that is a choice.
    one_of(names) "Holds exactly one of: {names}.";
    /// Heading of the last part.
    UNITS "units that may be used";
}
