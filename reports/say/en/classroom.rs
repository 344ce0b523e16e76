//! The sheets of `classroom`.

use sim::sentences;

sentences! {
    /// Title of the sheet for those who learn.
    EXERCISE "Exercise: what is wrong with this car?";
    /// Title of the sheet for those who teach.
    ANSWERS "Answers: what was wrong with this car";
    /// A passphrase that was made, printed once.
    passphrase(phrase) "passphrase  {phrase}  (made now, and kept nowhere: write it down)\n";
    /// The scenario to be hidden is of another car.
    another_car(named, given)
        "this scenario is of `{named}`, and the lesson of `{given}`: an exercise is of the lesson's own car";
    /// A key that an exercise would drop.
    not_hidden(key)
        "an exercise cannot hold `{key}`: it holds `leak`, `fault`, `ambient`, `boost_control` and \
         `fixed_duty`; take `{key}` out, or make a scenario of its own to hide";
    /// Where the numbers are from.
    computed(car) "Car: {car}. Its numbers, and these readings, are computed.";
    /// What a sheet asks, a line a question.
    QUESTIONS "Which readings are not those of a healthy car, and which way are they off?\n\
               Which faults fit? Which of them can these readings not tell apart?\n\
               Which test would you do next, and what would each outcome mean?\n\
               What is wrong, and how big is it?\n\
               What would you measure after the repair?";
    /// What is known of the surroundings.
    around(celsius, kpa, control) "Outside {celsius} °C and {kpa} kPa; boost control: {control}.";
    /// Codes of the car as it comes in.
    codes(list) "Trouble codes stored: {list}.";
    /// Without one.
    NO_CODE "No trouble code is stored.";
    /// Head of the table.
    READINGS "Scan-tool readings at the diagnostic connector, with the scatter that instruments have.";
    /// A car with nothing wrong.
    HEALTHY "Nothing: this car is healthy.";
    /// Over the list of steps.
    EACH_STEP "What each step told, and what would have been best:";
    /// Before a step.
    before(step, share, best) "Before \u{201c}{step}\u{201d}: the truth has {share:.0} %; best per minute: {best}";
    /// After the last one.
    after_all(share, best) "After all this: the truth has {share:.0} %; best per minute: {best}";
    /// Where no test is worth its time.
    NOTHING_MORE "nothing more is worth doing";
    /// Of work at a car.
    CAUTION "At a car: boosted hoses let go, fans, belts and turbo spin, exhaust is hot and \
             poisonous, fuel vapour burns. Follow the maker's procedure and local codes; leave \
             licensed work to those who hold the licence.";
}
