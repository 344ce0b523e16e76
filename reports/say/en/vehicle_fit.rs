//! `vehicle fit`.

use sim::sentences;

sentences! {
    /// What it was fitted to.
    about_log(log, rows, seconds) "{log}: {rows} rows, {seconds:.0} s";
    /// The same.
    about_readings(file, readings, conditions) "{file}: {readings} readings at {conditions} conditions";
    /// A log in a readings file.
    GIVE_LOG "a car is fitted to a log by --log, or to readings by --readings, not by both at once";
    /// A note where there is no fit.
    of_the_readings(note) "note: {note}";
    /// A condition that is left out.
    not_run(condition, why) "`{condition}` is left out, for the car does not run there: {why}";
    /// All is followed.
    follows(readings, car) "{car}, as fitted, follows all {readings} readings within 3 standard deviations of what was read.";
    /// Not all is followed.
    does_not_follow(readings) "The fitted car does not follow, by standard deviations of what was read: {readings}. \
        No other number was bent to hide it: something of the car is not in the file, a reading is wrong, or \
        the car is not healthy.";
    /// The same for a line of its own.
    not_followed(car, reading, condition, off) "{car}: the fit cannot follow {reading} at {condition}, off by \
        {off:.1} standard deviations";
    /// Under a picture.
    RESIDUALS "Each reading minus what the car shows, in standard deviations of what was read: before the fit \
        (ring) and after (disc). Within the band it is followed.";
    /// Head of the fitted file.
    fitted_to(log) "Fitted to {log}, of the healthy car; what stays uncertain stands beside this file.";
    /// A number's rule in the fitted file.
    rule(before, after) "fitted: {before} before, {after} times that after";
    /// The same where it was 0.
    rule_si(before, after) "fitted: {before} before, {after} after, SI";
    /// A note.
    NO_FULL_LOAD "no full load in the log: turbocharger, wastegate and cooler stay uncertain";
    /// A note.
    NO_AMBIENT "the temperature of the air outside is not logged, so the intake temperature tells \
                nothing of the cooler; say --ambient";
    /// A note.
    set_aside(condition) "`{condition}` does not agree with the rest and counts for little";
    /// Head of the table.
    SHARES "Value and standard deviation as a share of the file's own; SI where that is 0.";
    /// What the log does not tell.
    as_before(names) "as before: {names}";
    /// Head of the table.
    READ "Read, with its standard deviation, and what the car shows before and after.";
}
