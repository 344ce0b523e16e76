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
    /// The answer: what it can be judged by.
    judged_by(names, held, warm, pulls) "This log can be judged by {names}, held for {held:.0} of the {warm:.0} s in which the \
        engine ran warm, with {pulls}.";
    /// The same where nothing was held.
    not_held(warm, pulls) "Nothing was held in the {warm:.0} s in which the engine ran warm; this log can be judged by {pulls} only.";
    /// The same where there is nothing at all.
    nothing(warm) "This log cannot be judged: nothing was held in the {warm:.0} s in which the engine ran warm, and there is no \
        full-load pull in it. Hold idle, a light cruise and, where that is safe, full load for some seconds each.";
    /// Conditions beyond those that are named.
    and_more(count) "{count} more";
    /// Pulls.
    NO_PULL "no full-load pull";
    /// The same.
    ONE_PULL "one full-load pull";
    /// The same.
    pulls(count) "{count} full-load pulls";
    /// A pull.
    pull(start, low, high, seconds, samples) "from {start:.1} s on: {low:.0} to {high:.0} rpm in \
        {seconds:.1} s, {samples} samples";
    /// Of the doubts.
    OF_THE_MEAN "The standard uncertainty is that of the mean: it says nothing of an instrument that reads wrong.";
    /// A row of marked seconds.
    HELD "held";
    /// The same.
    MOVING "moved a little";
    /// The same.
    ON_OVERRUN "overrun";
    /// The same.
    PULL "full-load pull";
    /// The same.
    COLD "cold, left out";
    /// Over the rows.
    USED_FOR "what each second is used for";
    /// Over a chart with both.
    TRIMS "fuel trims";
    /// Along the bottom.
    TIME "time";
    /// The same where the clock jumped.
    TIME_WITHOUT_BREAKS "time, breaks of the log left out (upright lines)";
    /// Heading.
    OVER_TIME "The log over time";
    /// Under the picture.
    COURSE "The log over time. Where it is longer than the drawing is wide, each upright stroke goes from the \
        least to the most that was read in its step, so no peak is lost. Above: which seconds were held steady, \
        which moved a little (those held are among them), overrun, and full-load pulls. What is marked nowhere \
        changed too fast to be judged.";
    /// The same, where marks were left out.
    COURSE_CUT "The log is so long that its later seconds are not marked.";
}
