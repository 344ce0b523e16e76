//! How a check is done.

use sim::sentences;

sentences! {
    /// Before a list.
    BLANK_OFF "put on";
    /// Before a list.
    STAYS_OPEN "open";
}
