//! `twin`.

use sim::sentences;

sentences! {
    /// Head of a kept file.
    HEAD "Readings of a healthy car, kept for the day when something is wrong with it. Plain text: any editor \
        may change it; after work on engine or computer set `holds` below 100 % in [this_car], or read the car anew.";
    /// Title of a kept record.
    title(name, date) "{name} while healthy, {date}";
    /// Whose readings?
    NO_NAME "which car is it? give --name, or `name` in `[this_car]`";
    /// When?
    NO_DATE "when was it read? give --date, or `date` in `[this_car]`, as 2026-05-03";
    /// A date that is none.
    wrong_date(found) "found `{found}`: a day is written as year, month, day: 2026-05-03";
    /// A name that no file can have.
    no_letters(found) "found `{found}`: a name or make needs at least one letter or digit";
    /// Neither file nor log.
    NOTHING "which readings? give a readings file, or --vehicle and --log";
    /// Refused.
    refused(why) "these are not the readings of a healthy car: {why}\nif it is healthy all the same, say why: \
        --although REASON";
    /// Why.
    not_running(condition) "the engine does not run at {condition}";
    /// Why.
    codes(codes) "codes are set: {codes}";
    /// Why.
    fault(says) "they show a fault: {says}";
    /// Why.
    no_car(share) "neither a healthy car of this vehicle file nor one with a fault on the list shows them \
        (by chance in {share} of cars): check the readings, their units and the vehicle file";
    /// Of one that is kept all the same.
    kept_although(although) "kept although (reason given: {although})";
    /// Of one that is kept.
    healthy(share) "these readings are those of a healthy car ({share})";
    /// Of one that is kept.
    undecided(share) "whether the car is healthy cannot be told from these readings alone ({share}): kept \
        because you say that it is";
    /// Title.
    ADDED "A healthy car kept";
    /// Title.
    LISTED "Healthy cars";
    /// What a folder is for.
    use_of(folder) "falseair diagnose READINGS.toml --twins {folder} takes this car's own records first, else those \
        of its sisters (the same make); nothing leaves this machine.";
    /// Empty.
    empty(folder) "No record stands in {folder} yet. falseair twin add READINGS.toml --name NAME --date DATE \
        puts the first one there.";
    /// Missing.
    no_folder(folder) "there is no folder `{folder}`; `falseair twin add` makes it";
    /// A file that is no record.
    no_record(path, why) "{path} is no record: {why}";
    /// What a record shows.
    danger(danger) "shows a danger: {danger}";
    /// Of what use.
    IDLE "idle: leaks behind the throttle, trims";
    /// Of what use.
    PART "part load: meter, trims";
    /// Of what use.
    FULL "full load: boost leaks, wastegate";
    /// Of what use.
    OVERRUN "overrun: holes behind the throttle";
    /// Head of a table.
    RECORDS "What was read of each car, and what it is good for.";
    /// Conditions of a record, many.
    and_more(first, count) "{first} and {count} more";
}
