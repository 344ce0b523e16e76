//! `sensitivity`.

use sim::sentences;

sentences! {
    /// Title.
    title(scenario) "What moves the readings: {scenario}";
    /// What is shown.
    ABOUT "Exact slopes of the car as it is, said as what 1 % does. What the computer learns at idle and light \
        cruise moves with the quantity and is counted in; air, speed, pedal and held torque stay. \
        `--format csv` and `json` have every quantity's slope in its own unit.";
    /// The answer where something is wrong with the car.
    of_the_fault(name, reading, point, change) "Of what is wrong, this counts most: {name}. 1 % of it moves the {reading} at {point} by {change}.";
    /// The answer of the whole car.
    counts_most(name, reading, point, change) "Of the whole car: {name}. 1 % of it moves the {reading} at {point} by {change}.";
    /// Head of the picture.
    moves(reading, point) "{reading} at {point}, by 1 %";
    /// Head of the rest.
    OTHERS "The other readings";
    /// Under the picture.
    BARS "Orange: a number of what is wrong. A quantity that is zero moves by 1 % of the range it may have.";
    /// Head of a table.
    changes(reading) "{reading}: change by 1 % (*: of its range, as it is zero).";
    /// Head of the table on a terminal.
    at_a_glance(reading, name) "{reading}: what moves it most, and by how much 1 % of it does; last, \"{name}\".";
    /// Head of a column: the operating point.
    AT "at";
    /// Head of a column: what moves most.
    MOST_BY "1 % of this moves it most";
    /// Head of a column: what the sentence names.
    BY_THIS "last";
    /// Head of its first column.
    MORE_OF "1 % more of";
    /// First row of a table.
    READS_NOW "reads now";
    /// Of readings that all stand still.
    NOTHING_MOVES_THESE "Nothing here moves these readings.";
    /// Of a point that the engine does not reach.
    no_answer(why) "no answer: {why}";
    /// Of a derivative at a stop.
    one_sided(stop) "one-sided: {stop}";
    /// Of a point at which a code reduces the torque.
    REDUCED "a trouble code has reduced the torque; the slopes are those of the car so reduced";
}
