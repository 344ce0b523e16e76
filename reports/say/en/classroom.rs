//! The sheets of `classroom`.

use sim::sentences;

sentences! {
    /// Title of the sheet for those who learn.
    EXERCISE "Exercise: what is wrong with this car?";
    /// Title of the sheet for those who teach.
    ANSWERS "Answers: what was wrong with this car";
    /// The key with which trainees open an exercise.
    opening(key) "opening key  {key}  (for the trainees)\n";
    /// A passphrase that was made, printed once.
    passphrase(phrase) "passphrase  {phrase}  (tells the truth; made now, and kept nowhere: write it down)\n";
    /// Over the trainer's file.
    KEYS_HEAD "# For the trainer alone: keys and truths of a lesson.\n\
        # Hand out the opening keys. When an answer is given, write the name and the receipt here, and\n\
        # only then hand over the debrief key. `falseair classroom results` holds the results against them.";
    /// The car's file is not what the lesson was made of.
    CAR_CHANGED "the vehicle file is not the one that this lesson was made of: take the old one";
    /// A file that is no result.
    no_result(why) "this is no saved result of a lesson: {why}";
    /// A file of words that is none.
    no_words(why) "this is no file of words: {why}";
    /// A file of words that lacks one.
    word_missing(key) "`{key}` is missing, or is another kind of thing than in our own file";
    /// Title of the opening keys on paper.
    SLIPS "Opening keys, to print and cut";
    /// Whose.
    slips_of(car) "Car: {car}. Note each receipt before you hand over the debrief key.";
    /// Over their table.
    SLIPS_CAPTION "A line a trainee.";
    /// Its columns.
    SLIPS_HEAD "number|opening key|name|receipt";
    /// Room to write.
    BLANK "\u{a0}";
    /// In place of a number.
    DASH "\u{2013}";
    /// Title of the class's page.
    CLASS "What the class answered";
    /// Part with a line a trainee.
    CLASS_ANSWERS "Answers";
    /// Over it.
    CLASS_CAPTION "Graded anew from the trainer's file; points of ten.";
    /// Its columns.
    CLASS_HEAD "no.|name|answer|truth|grade|points#|time#min|opened#|receipt";
    /// Part with what is not as it should be.
    CLASS_SEEN "Receipts";
    /// Nothing.
    ALL_HOLD "Every answer is the one whose receipt was noted.";
    /// Part with errors.
    CLASS_ERRORS "Common errors";
    /// Without any.
    NO_ERRORS "None.";
    /// An error.
    so_often(count, what) "{count} \u{d7} {what}";
    /// What came of a class in a sentence.
    came_of(lesson, graded, all, points) "Lesson {lesson}: {graded} of {all} graded, {points} points in the mean.";
    /// Which way one took.
    path_of(number, name) "{number} {name}: test by test";
    /// Over it.
    path_caption(grade, minutes) "{grade} {minutes} min by the trainee's clock.";
    /// Its columns.
    PATH_HEAD "no.|test|time#min|truth before#%|settles#%|best per minute then";
    /// A test not worth a line.
    NEXT_TO_NOTHING "next to nothing";
    /// What a trainee wrote.
    noted(notes) "Notes: {notes}";
    /// How points are given.
    POINTS "Points: five for the place with its direction (three for a place that no reading tells from it, one \
            for the right part the wrong way), two for the kind of leak, two for a size within a third of what \
            lies between it and a healthy car, one for at most 120 minutes; of ten, where something of it is not \
            asked. Limits and weights are own choices.";
    /// How far the page can be trusted.
    CLASS_LIMITS "A receipt keeps tests, answer, notes and times as they were noted; it cannot tell help, a first \
        try in another browser or a wrong clock.";
    /// No receipt was noted.
    not_noted(who) "{who}: no receipt was noted, so that nothing holds this answer.";
    /// The file does not go with its receipt.
    edited(who, file) "{who}: `{file}` was changed after its receipt was made. It is not graded.";
    /// Another answer than the noted one.
    second_answer(who, file) "{who}: `{file}` holds another answer than the one whose receipt was noted. It is not graded.";
    /// Somebody else's.
    neighbours(who, file) "{who}: `{file}` is a neighbour's exercise or answer under another name. It is not graded.";
    /// Of another lesson.
    other_lesson(who, file) "{who}: `{file}` is of another lesson, or of a number that this one has not. It is not graded.";
    /// Nothing came in.
    nothing_handed_in(who) "{who}: no result came in.";
    /// Two files.
    handed_in_twice(number) "{number}: more than one result came in.";
    /// An error: what was named, and what it was.
    taken_for(said, truth) "\u{201c}{said}\u{201d} was named, and it was {truth}.";
    /// An error of kind.
    WRONG_KIND "the kind of leak was wrong or left out";
    /// An error of size.
    SIZE_FAR "the size was more than a third off";
    /// A test that was done for nothing.
    told_little(test) "\u{201c}{test}\u{201d} was done when it could tell next to nothing";
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

/// A grade in words, by its key.
pub fn verdict(key: &str) -> &'static str {
    match key {
        "right" => "Right.",
        "some" => "Right in part.",
        "twin" => "A place that no reading tells from the true one.",
        "other_way" => "The right part, the wrong way.",
        "healthy_right" => "Right: a healthy car.",
        "was_healthy" => "Wrong: the car is healthy.",
        "gave_up" => "Gave up.",
        _ => "Wrong.",
    }
}
