//! `log`.

use sim::sentences;

sentences! {
    /// Title.
    TITLE "What this log holds";
    /// Its size.
    rows(file, rows, seconds) "{file}: {rows} rows, {seconds:.1} s";
    /// Head of the columns.
    TAKEN_FOR "What each column was taken for, and why.";
    /// How long a condition was held.
    held(seconds, pieces, start) "Held {seconds:.0} s in {pieces}, from {start:.1} s on.";
    /// Head of what moved.
    MOVED "Where speed and load moved, by steps of both: what was read, where nothing changes.";
    /// How much of the log that is.
    used(held, moved, warm) "held {held:.0} s, moved {moved:.0} s, of {warm:.0} s in which the engine ran warm";
    /// A pull.
    pull(start, low, high, seconds, samples) "from {start:.1} s on: {low:.0} to {high:.0} rpm in \
        {seconds:.1} s, {samples} samples";
    /// Of the doubts.
    OF_THE_MEAN "The standard uncertainty is that of the mean: it says nothing of an instrument that reads wrong.";
}
