//! The physics of falseair for a page in a browser, where [`sim`] runs as WebAssembly.
//!
//! A [`bench::Bench`] is the pair of engines that run while people play: `trouble`, `air`, `drive`
//! change what is so from now on, `advance` runs on, `numbers` gives everything that is drawn in
//! one array. A [`lesson::Lesson`] is a car with a hidden fault: `act`, `judge`, `debrief`;
//! [`locked`] is how a page holds one before its truth is told, [`class`] one for each of a class.
//! [`point::steady`] is the program's own operating point, for the test that page and program
//! agree; [`point::catalogue`] names places, faults, readings. What a browser calls is the crate
//! `page-door` above.
//!
//! A vehicle is its file's content as JSON: the same keys and units through the same reader,
//! so that the page's car is the program's to the last bit.

pub mod bench;
pub mod class;
pub mod judged;
pub mod lesson;
pub mod locked;
pub mod point;
pub mod seal;
