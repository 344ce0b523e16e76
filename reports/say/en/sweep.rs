//! `sweep`.

use sim::sentences;

sentences! {
    /// A sweep at its end.
    FINISHED "is finished";
    /// Called again.
    FINISHED_BEFORE "was finished before";
    /// Its shares put together.
    JOINED "is joined";
    /// Called again.
    JOINED_BEFORE "was joined before";
    /// All of a sweep.
    all(how, cases, rows, folder) "The sweep {how}: {cases} cases, {rows} rows, in {folder}";
    /// A share of one.
    share(part, how, folder) "Share {part} {how}, in {folder}";
    /// A share beyond the last chunk.
    no_cases(chunks, cases) "It has no cases: the study is cut into {chunks} pieces of up to {cases} cases, \
                             and so many shares at most have work";
    /// What a sweep would be.
    ahead(cases, rows, columns) "{cases} cases, {rows} rows of {columns} columns";
    /// Of a share.
    ahead_of_share(cases, part) "{cases} of them in share {part}";
    /// How long.
    ahead_time(time, tried, threads) "About {time} on {threads} threads of this machine, going by \
                                      {tried} cases that were run";
    /// How large.
    ahead_bytes(end, during) "About {end} in the folder at the end, {during} while it runs";
    /// That it was a question.
    AHEAD_ONLY "Nothing was written";
    /// Rows without an answer.
    unanswered(count, kind) "{count} rows without an answer: {kind}";
    /// Rows with a danger.
    of_rows(count, rows) "{count} of {rows} rows";
    /// How large it is.
    of_cases(cases, rows) "A sweep of {cases} cases, {rows} rows.";
    /// Its axes.
    varies(axes) "What varies: {axes}.";
    /// The answer: what moved, where, between what.
    moved_most(reading, point, low, high, unit) "{reading} at {point} moves most: {low} to {high} {unit}";
    /// The same with what moved it.
    because(moved, by) "{moved}, by {by}";
    /// An axis's part.
    by(axis, share) "{axis} ({share} % of it)";
    /// The same with the means at its ends.
    by_from_to(axis, share, low, high) "{axis} ({share} % of it; on average {low}, {high})";
    /// A mean.
    mean_at(value, place) "{value} at {place}";
    /// Nothing moved.
    nothing_moved(cases) "Nothing that is read at a car moves in these {cases} cases.";
    /// Head of a point's pictures.
    over_all(point) "{point}: every reading drawn";
    /// What a share of variance is.
    SHARE "An axis's share is that part of a reading's variance that lies between its values and \
           not within them; with few cases it reads high by about the number of values drawn over \
           the number of cases.";
    /// Rows with an answer at a point.
    answered(count) "{count} rows have an answer.";
    /// Those without.
    have_none(count, kind) "{count} have none: {kind}.";
    /// Codes at a point, each with its rows.
    codes(list) "Codes set: {list}.";
    /// How a chart is drawn.
    LINE "Over what moves each reading most; line: mean, band: range.";
    /// How bars are drawn.
    BAR "Bar: mean, thin line: range.";
    /// Head of the table.
    READINGS "Each reading over all cases, and the share of its variance that each axis accounts \
              for; a dash where nothing varies.";
}
