//! `diagnose`.

use sim::sentences;

sentences! {
    /// Head of the part behind a healthy verdict.
    COULD_HIDE "What could still hide";
    /// Title where the file gives none.
    TITLE "What is wrong with this car";
    /// Of a throttle position that does not rest at nothing.
    THROTTLE_FROM_ELSEWHERE "the throttle reads above 8 % at idle: it is counted from another zero than the shut plate, so it is left out";
    /// Of a car file that is an estimate.
    ESTIMATED "known by its plate or as one of its make: room is left for what healthy cars of other makes differ by, so small faults do not show";
    /// Of a car file of this make.
    MEASURED "taken as measured: usual uncertainties between healthy cars";
    /// Of a car file of this car.
    FITTED "fitted to this very car";
    /// Beside what a healthy car showed.
    beside_healthy(readings) "{readings} readings taken while healthy tell what is this car's own: what it \
        shows now is judged beside them";
    /// Records that fit no healthy car.
    not_healthy(reading, condition, deviations) "left aside: these records are not those of healthy cars of \
        this vehicle file. Farthest off is {reading} at {condition}, by {deviations} standard deviations. A \
        fault was there already, a reading is wrong, or it is another car";
    /// Records of this very car.
    own_records(records) "this car's own: {records}";
    /// Records of sisters.
    sisters(records) "sisters of its make: {records}";
    /// The same where there is no other.
    sisters_only(records) "no record of this very car; sisters of its make: {records}";
    /// A folder without any.
    none_kept(folder, car) "{folder} holds no record of {car}";
    /// A name that is nearly one of the folder's.
    nearly(folder, name) "{folder} holds no record of this car's name; is it {name}?";
    /// A record that cannot be used.
    record_aside(path, why) "record left aside: {path}: {why}";
    /// A record of this or another car that shows a danger.
    record_danger(path, dangers) "The record {path} itself shows a danger: {dangers}. It is that of no healthy \
        car and is left aside.";
    /// The same where somebody has said why it is healthy.
    record_although(path, dangers, why) "The record {path} itself shows a danger: {dangers}. This car is \
        judged beside it all the same, for whoever kept it gave this reason: {why}.";
    /// What stands beside the vehicle file and is not taken.
    not_taken(stands, said) "The file beside the vehicle file describes a {stands} car; the readings file says \
        {said}, so it is left aside.";
    /// A code that is not judged.
    not_judged(code) "Code {code} is set. It is none of those that are judged here (`falseair codes`): look it \
        up in the maker's list.";
    /// The same of one that is nearly one that is.
    not_judged_but(code, near) "Code {code} is set. It is none of those that are judged here (`falseair codes`): \
        look it up in the maker's list. Was it read right? {near} is judged.";
    /// What was taken from a log.
    judged_by(conditions) "judged by: {conditions}";
    /// What of it moved.
    moving(count, low, high) "{count} steps of speed and load between {low:.0} and {high:.0} rpm";
    /// The same of one.
    moved_once(rpm) "one step of speed and load near {rpm:.0} rpm";
    /// How much of it that is.
    of_the_log(seconds, driven) "; {seconds:.0} s of the {driven:.0} s in which the engine ran warm";
    /// Conditions of a log that the model cannot follow.
    not_driven(condition, why) "left out, for the healthy car of this file does not run there: {condition} \
        ({why})";
    /// What a person typed beside it.
    beside_typed(count) "; beside it {count} typed in";
    /// What a log without boost cannot show.
    no_boost(kpa) "No boost above {kpa:.0} kPa in this log: splits and seats that only boost opens are not \
        tested.";
    /// The same, and how it could.
    no_boost_so(kpa) "No boost above {kpa:.0} kPa in this log: splits and seats that only boost opens are \
        not tested. To test them: on a roller or a closed road, a second person reading, third gear, \
        2500 to 5000 rpm, full pedal, once; stop when lambda goes above 1 or boost above its target.";
    /// What was not.
    left_out(columns) "; columns left out: {columns}";
    /// Where to see more of it.
    SEE_LOG " (`falseair log` shows how each column was read)";

    /// No hypothesis at all.
    NOTHING "Nothing to say.";
    /// Verdict.
    healthy(probability) "These readings are those of a healthy car ({probability}). A fault too small to \
        show in them may still be there.";
    /// Verdict.
    most_likely(fault, probability) "Most likely {fault} ({probability}).";
    /// Verdict.
    one_of(probability, faults) "One of these ({probability} together), which these readings do not tell \
        apart: {faults}.";
    /// Verdict.
    endangered(dangers, probability, but) "Not a healthy car: {dangers}. No fault in the catalogue explains \
        these readings better than none ({probability}){but}.";
    /// Verdict.
    none_better(probability, but) "Not decided: no fault in the catalogue explains these readings better \
        than a healthy car ({probability}){but}.";
    /// Verdict.
    undecided(probability, fault, likeliest) "Not decided: a healthy car is {probability} likely, the \
        likeliest hypothesis is {fault} ({likeliest}).";
    /// Verdict.
    nothing_fits(fault, probability) "Nothing on the list of faults gives these readings: even {fault} would be \
        so far off by chance in {probability} of cars. Something is wrong that is not on the list, or two \
        faults are at work (--pairs); or a reading, its unit or the vehicle file is not right.";
    /// Verdict.
    unlike_all(probability) "Nothing on the list gives these readings; nearest is a healthy car, which would be \
        so far off by chance in {probability} of cars. The car is healthy but unlike its vehicle file, or \
        something is wrong that is not on the list; or a reading or its unit is not right.";
    /// Added to a healthy verdict.
    unlike_file(share) " It is unlike its vehicle file, though: only {share} of healthy cars of this file would \
        read farther off.";
    /// What comes first where nothing fits.
    read_again_first(reading, condition) "Nothing fits yet, so no test on the list can be trusted to tell faults \
        apart. First read again what is farthest off: {reading} at {condition}. Check its unit and the vehicle \
        file, and compare with the same car, or another of its make, while healthy.";
    /// The same under a danger, where the reading was taken with the engine loaded.
    check_first(reading, condition) "Nothing fits yet, so no test on the list can be trusted to tell faults \
        apart. Farthest off is {reading} at {condition}: read it again only once the danger is past. Check its \
        unit and the vehicle file before.";
    /// Why a car is not called healthy.
    stands(condition) "the engine does not run at {condition}";
    /// Why a car is not called healthy.
    misfit(reading, condition, again) "{reading} at {condition} fits nothing: {again}";
    /// Why a car is not called healthy.
    code_set(code) "code {code} is set";
    /// What to do about a reading.
    AGAIN "read it again";
    /// What to do about an idle speed.
    AGAIN_UNLOADED "read it again warm, with air conditioning, lights and heaters off";
    /// What to do about a reading while there is a danger.
    AGAIN_LATER "read it again once the danger is past, not before";
    /// What to do about a reading under load while nothing may load the engine.
    AGAIN_TYPED "check its unit, its sensor's plug and what was written down, engine standing; then read it again";
    /// What nobody has stated.
    AIMLESS "Nobody has stated what lambda and boost this car aims at: its vehicle file is an estimate. Under \
        boost lambda above 1.00 counts as a danger, and boost more than 30 kPa above the estimate or with \
        P0234. Give `commanded_lambda` and `commanded_boost` with the readings where the car shows them.";

    /// Under a picture.
    PROBABILITY "How probable each fault is after these readings.";
    /// Under a picture.
    SIZES "How large each leak would be, as a round sharp-edged hole (a split: as large as it is at 1 bar inside): \
        best, and limits with 90 % confidence.";
    /// Head of the faults.
    FIT "Fit: how often such a car reads further off. Sizes are of a round sharp-edged hole (a split at 1 bar \
        inside) or as in a scenario file; 90 % lie between.";
    /// What is alike.
    alike(faults) "These cannot be told apart yet: {faults}.";
    /// Head of what is too small to show.
    UNSEEN "Leaks that these readings would not show";
    /// What is too small to show.
    none_larger(holes) "With 95 % none larger than (round sharp-edged hole): {holes}.";

    /// Heading of a hypothesis.
    arguments(fault) "For and against: {fault}";
    /// What is argued for together.
    and_for(faults) "And nearly the same for: {faults}.";
    /// Under a picture.
    DISTANCES "Each reading as the distance, in standard deviations of instrument and car together, from what \
        this fault gives (disc) and from a healthy car (ring). Near the middle line it speaks for; \
        beyond the band against.";
    /// A reading that is set aside.
    doubtful(reading, condition, again) "{reading} at {condition} fits nothing here and is left out: {again}";
    /// Where none speaks.
    LEAN "No single reading stands out; together they lean this way.";

    /// Among what is foreseen.
    HEALTHY "even a healthy car";
    /// What could be dangerous.
    foreseen(danger, fault, probability) "{danger} is possible: the model foresees it with {fault} \
        ({probability} likely). Nobody should drive it there before that is ruled out.";
    /// Before the last of several conditions at which the same could be dangerous.
    AND " and ";
    /// Why no test there is listed.
    NOT_SENT "Tests that could be dangerous with a fault that is still likely are not listed; those \
        with the engine standing or idling come first and may clear the way.";
    /// Why a test comes before one that would tell more in the same time.
    why_first(first, calm, other, risk, weight) "{first} ({calm}) comes before {other} ({risk}), which \
        would tell more in the same time: for the danger in it, its minutes count {weight} times.";
    /// Heading.
    CONFIRM "Confirm at the part before replacing it";
    /// Where nothing would.
    NOTHING_PROVES "No further reading or check at hand would prove it wrong: look at the part itself.";
    /// Said with the next tests while there is a danger.
    UNLOADED "No test that loads the engine is listed while the danger stands; what the danger asks for comes \
        first.";
    /// The same while the engine stalls.
    not_while_it_stalls(condition) "No test that loads the engine is listed while it stalls at {condition}.";
    /// The same before a reading is taken again that alone speaks against a healthy car.
    not_before_read_again(reading, condition) "First read {reading} at {condition} again: it alone does not fit a \
        healthy car. No test that loads the engine is listed before.";
    /// Before the first test's procedure.
    HOW "Its dangers first; `--format json` says how the others are done.";
    /// Head of the part with the first test.
    NEXT "The next test, by what it tells per minute";
    /// Head of the part that says how it is done.
    HOW_FIRST "How test 1 is done";
    /// Head of the part with the other tests.
    OTHERS "Other tests";
    /// Where none is left.
    NO_TEST "No test on the list would tell more.";
    /// Under a picture.
    PER_MINUTE "How much of what is open between the faults each test should settle; the one that settles most per minute first.";
    /// A test.
    test(what, minutes, settles) "{what} ({minutes:.0} min, should settle {settles})";
    /// How much of what is open, before the per cent.
    SETTLES_ALL "nearly all that is open";
    /// The same.
    SETTLES_MOST "most of what is open";
    /// The same.
    SETTLES_HALF "about half of what is open";
    /// The same.
    SETTLES_SOME "some of what is open";
    /// The same.
    SETTLES_LITTLE "little of what is open";
    /// In place of a probability that is not listed.
    NEXT_TO_NOTHING "less than 0.1 %";
    /// Head of the readings.
    DOUBT "Standard uncertainty: standard deviation of the instrument, as given or usual for its kind.";
    /// Of every answer.
    WITHIN "A probability counts that cars of one make differ and that one reading may be bad; it holds for \
        the faults in the catalogue only.";

    /// Heading.
    NOT_TESTED "What this log tested, and what not";
    /// Head of what is too small to show.
    MISSED "The largest leak at each place that these readings would have missed (a round sharp-edged hole; a split \
        as large as it is at 1 bar inside): of larger ones 95 in 100 such logs show it, at one false alarm in 20. \
        By what the model foresees, not by what was read.";
    /// The same where space is short.
    missed(holes) "The largest leaks that these readings would have missed (round sharp-edged hole): {holes}.";
    /// Where none that is looked for would show.
    any_size(mm) "any, to {mm}";
    /// Heading.
    GAVE_HEAD "What each condition of the log gave";
    /// Head of the conditions.
    GAVE "How far the reading that is farthest off lies from a healthy car, and from the most likely fault, in \
        standard deviations of instrument and car together; below zero where less was read than expected.";
    /// Over a chart; its y axis is the pressure.
    OFF_HEALTHY "off a healthy car; upwards: manifold pressure (abs), kPa";
    /// The same.
    off_fault(fault) "off {fault}";
    /// Under the picture.
    RESIDUALS "Where in speed and load (upwards the pressure behind the throttle, absolute, kPa) readings lie off a \
        healthy car (left) and off the most likely fault (right): at each condition the reading that is farthest \
        off, in standard deviations. Disc: more was read than expected; ring: less; small dot: within 1.5. Which \
        reading it is stands in the table. A fault that explains the log leaves small dots only.";

    /// Before anything was read.
    NOTHING_READ "Nothing was read yet: every fault is open.";
    /// Title of a plan.
    PLAN_TITLE "What to drive next";
    /// Heading.
    DRIVE_NEXT "Best for its minutes";
    /// The answer.
    drive_first(what, minutes, settles) "{what}: {minutes} min, should settle {settles} of what is open.";
    /// The same where there is none.
    NOTHING_TO_DRIVE "Nothing that may be driven now would tell more: see the next tests of the diagnosis.";
    /// Head of the manoeuvres.
    DRIVES "What tells most per minute first; minutes of driving count double, those at full load four times. \
        Boost: the highest that the model foresees with any fault that is still likely.";
    /// Heading.
    NOT_TO_DRIVE "Not now";
    /// Of every plan.
    PLAN_NOTE "Drive one, take a log, give it with --log, and ask again. A hot restart is not among these: the \
        model runs a warm engine and knows nothing of what heat does to one that stands.";
}
