//! `vehicle gas-stand`.

use sim::sentences;

sentences! {
    /// How the table is corrected.
    conditions(temperature, pressure, wheel) "flow corrected to {temperature} and {pressure}, wheel {wheel}";
    /// Head of the table for a vehicle file.
    fitted_to(machine) "{machine}, fitted to a gas-stand table by falseair.";
    /// It goes on.
    table(path, points, conditions) "Table: {path}, {points} points, {conditions}.";
    /// It goes on.
    off(what, rms, unit, worst, line) "Off in {what}: rms {rms:.2} {unit}, at worst {worst:+.2} {unit} at line {line}.";
    /// It goes on.
    outside(where_, lines) "Points {where_}: line {lines}.";
    /// Beside a number there.
    STATED "stated with the table";
    /// Beside a number there.
    DEFAULT "default: steady points do not tell it";
    /// Of points that the machine does not run at.
    would_be(where_) "It would be {where_} there.";
    /// Of those not listed.
    more(count) "and {count} more";
    /// Where the table went.
    written(section, path) "[{section}] is in {path}";
    /// Head of the table.
    DEVIATIONS "The fitted law minus the table, and the line of the table where it is worst.";
    /// Head of the table.
    NUMBERS "Each with one standard error, or with where it comes from.";
}
