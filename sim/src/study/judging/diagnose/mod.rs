//! From readings to faults: ranked, sized, with doubt, and the next test.

pub mod at_the_car;
pub mod catalogue;
pub mod checks;
pub mod climb;
pub mod confirm;
mod dangerous;
pub mod effort;
pub mod evidence;
pub mod exercise;
pub mod file;
pub mod focus;
pub mod foreseen;
pub mod from_log;
mod gain;
pub mod garage;
pub mod grown;
pub mod ladders;
pub mod likelihood;
pub mod next;
pub mod pairs;
pub mod posterior;
pub mod ranking;
pub mod readouts;
mod stops;
pub mod twin;
pub mod vented;
