//! `simulate`.

use sim::sentences;

sentences! {
    /// Under the air ledger's picture.
    where_the_air_goes(point) "Where the air goes at {point}: bands are as wide as the flow, the healthy car is the grey ghost around them, leaks are arrows.";
    /// The same of a car with nothing wrong.
    where_it_goes_healthy(point) "Where the air goes at {point}: bands are as wide as the flow.";
    /// The answer of a scenario with nothing wrong.
    nothing_wrong(points, torque, point, boost, lambda) "Nothing is wrong in this scenario, and the car runs at {points}. \
        Most torque: {torque} N m at {point}, with {boost} kPa boost and lambda {lambda}.";
    /// All of several points.
    all_points(count) "all {count} points";
    /// The same of some.
    some_points(count, all) "{count} of {all} points";
    /// The answer: where it shows most, and why.
    shows_most(point, why) "At {point}, where it shows most: {why}";
    /// The answer where nothing shows.
    SHOWS_NOWHERE "No reading that a workshop takes changes at any of these points by more than its instrument is off by.";
    /// Points at which nothing shows.
    hidden_at(points) "No reading moves by more than its instrument is off by at: {points}.";
    /// Whether such a car is told from healthy ones.
    stands_out(reading, point) "What tells such a car from healthy ones most clearly is {reading} at {point}: it reads beyond 19 of 20 healthy cars of the make, instruments counted.";
    /// The same where it is not.
    STANDS_OUT_NOWHERE "Every reading stays within what healthy cars of the make differ by: the fault is told only beside readings of this car while healthy.";
    /// A code and where it is set.
    code_at(code, name, points) "{code} {name}: {points}";
    /// Before the codes that a healthy car sets.
    healthy_sets(codes) "the healthy car: {codes}";
    /// Head of the table of changes.
    CHANGES "What moves most, faulty minus healthy. Marked (!): beyond 19 of 20 healthy cars of the make, instruments counted.";
    /// The same of a car that is compared with nothing.
    AT_A_GLANCE "The car at a glance.";
    /// Head of a column: the band of healthy cars.
    HEALTHY_CARS "95 % of healthy cars";
    /// A range.
    from_to(low, high) "{low} to {high}";
    /// Head of the table.
    READINGS "Readings, then the air ledger.";
    /// Head of the page's table of leaks.
    LEAKS "The leaks: flow is positive into the engine's air path.";
    /// A leak; `way` and `hole` in words.
    leak(what, flow, way, hole, regime) "{what}: {flow} g/s {way}{hole}, {regime}";
    /// The same flow through a plain hole.
    as_hole(mm) ", as a sharp-edged {mm:.2} mm hole";
    /// A leak without a pressure across it.
    leak_at_rest(what) "{what}: passes next to nothing here";
    /// Where a leak of the bypass leads to.
    BACK_TO_INLET "back to the turbo inlet";
    /// The other way round.
    FROM_INLET "from the turbo inlet";
    /// A leak that does not lead outside.
    INSIDE "inside the engine";
    /// What another history comes to.
    another_runs(history, torque, lambda) "another answer exists: with `history = \"{history}\"` torque is \
        {torque:.1} N m and lambda {lambda:.3}";
    /// The same, where the engine does not run.
    another_fails(history, why) "another answer exists: with `history = \"{history}\"` {why}";
    /// No answer, and why.
    no_answer(why) "no answer: {why}";
    /// A code that is set.
    code_set(code, name, far) "{code} {name} ({far})";
    /// Level of a monitor, %.
    near(level) "{level:.0} % of its threshold";
    /// The same where the number says no more.
    FAR "far beyond its threshold";
    /// The nearest code where none is set.
    nearest(code, name, near) "; nearest is {code} {name}, at {near}";
    /// The nearest code beside others.
    nearest_other(code, name, near) "; nearest other is {code} {name}, at {near}";
    /// What was before a code reduced the torque.
    unreduced(boost, torque) "; the computer reduces torque, without that boost {boost:.0} kPa and torque {torque:.0} N m";
    /// Under the picture of a drive.
    DRIVE "The drive second by second: the healthy car wide and grey, the faulty one narrow and blue. A line \
           across all charts is where a piece of the drive begins, or a code is set; bars on top \
           show when a valve stands open (compressor bypass valve from a quarter of its way, wastegate \
           from a fiftieth).";
    /// The answer of a drive: where the cars are furthest apart.
    furthest(time, piece, apart) "The faulty car is furthest from the healthy one at {time:.1} s ({piece}): {apart}. ";
    /// Whether a compressor surges.
    surges(side, from, to) "The {side} car's compressor surges from {from:.1} s to {to}.";
    /// It does not.
    NO_SURGE "No compressor surges under boost.";
    /// When it ends.
    until(time) "{time:.1} s";
    /// What is marked in the picture.
    SURGE "surge";
    /// Events of a drive.
    HAPPENS "What happens on the way.";
    /// Of a leak or fault that is not there.
    not_there(what) "{what}: none";
    /// Head of the table of codes.
    CODES_SET "Trouble codes set on the way.";
    /// A code that takes torque away.
    reduces(name) "{name}; the computer reduces torque";
    /// Head of the table of valves.
    VALVES_OPEN "When the valves stand open; no end: at the end of the drive.";
    /// The speed limiter at work.
    fuel_cut(side, limit, from, to, highest) "Fuel cut, {side}: speed limit of {limit:.0} rpm, from {from:.2} s to {to}, {highest:.0} rpm at most";
    /// When it was at work to the end.
    THE_END "the end";
    /// Head of the table of moments.
    MOMENTS "Some moments of the drive.";
    /// A piece of the drive in it.
    piece(name, from) "{name}, from {from:.2} s";
}
