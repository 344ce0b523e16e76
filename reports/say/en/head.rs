//! What stands at the top of an answer about a case.

use sim::sentences;

sentences! {
    /// Of an invented car.
    INVENTED "the car is invented, and so is every number of its file";
    /// How what is wrong has come about.
    came(history) "{history}, as the scenario's `history` says; grown leaks and faults may read otherwise";
    /// Where cruise lies.
    cruise(rpm, bar) "{rpm:.0} rpm at {bar:.1} bar of mean pressure, where the trims are learnt";
}
