//! `vehicle fit`.

use sim::sentences;

sentences! {
    /// Head of the fitted file.
    fitted_to(log) "Fitted to the healthy log {log}; what stays uncertain stands beside this file.";
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
