//! The physics of falseair for a page in a browser, where [`sim`] runs as WebAssembly.
//!
//! The page speaks to two objects. `PageEngine` is the pair of engines that run while people
//! play: `trouble`, `air`, `drive` change what is so from now on, `advance` runs on,
//! `numbers` gives everything that is drawn in one array (names by `names`). `PageLesson` is a
//! car with a hidden fault: `actions`, `act`, `debrief`. `steady` is the program's own
//! operating point, for the test that page and program agree; `catalogue` names places,
//! faults, readings.
//!
//! A vehicle is its file's content as JSON: the same keys and units through the same reader,
//! so that the page's car is the program's to the last bit.

pub mod bench;
pub mod lesson;
pub mod point;
pub mod seal;

#[cfg(target_arch = "wasm32")]
mod browser;
