//! The physics of falseair: from gas properties to the air path of a
//! turbocharged petrol engine with leaks in it, and the solvers that run it.
//!
//! SI inside. No files, no terminal, no clock. Every equation is generic over
//! one [`Scalar`]; sources are keyed to `references.bib`.
//!
//! # The way through
//!
//! 1. **A car.** [`Vehicle`] holds all its numbers. [`size`] makes one from the [`TenNumbers`]
//!    that a person knows; a file of one is read by any reader of serde, with units and ranges
//!    checked on the way.
//! 2. **What is wrong with it.** A [`Leak`] is a [`Shape`] at a [`Place`]; a [`Fault`] looks like
//!    one; a [`Defect`] is either, of one size.
//! 3. **A network.** [`Network`] joins car, leaks, the air around ([`Surroundings`]) and what is
//!    asked of the engine ([`Command`]).
//! 4. **A solver.** [`steady`] finds the point where nothing moves any more, [`drive`] runs
//!    through time. [`Comparison`] puts the healthy car beside the faulty one, each with what its
//!    computer has learnt. Physics without an answer is a [`Failure`].
//! 5. **Readings.** [`Readings`] are what people read at the engine, [`AirLedger`] is where the air
//!    went; [`Sensitivity`] gives the exact derivative of each by any number of the car, [`Watch`]
//!    the size from which on a symptom shows.
//! 6. **A diagnosis.** [`Evidence`] and [`Ladders`] of predictions make a [`Diagnosis`];
//!    [`next_tests`] says what to do next. Dangers ([`Aims`]) come first.
//!
//! # Examples
//!
//! A small hole in a vacuum line of an invented car.
//! ```
//! use sim::{Command, Comparison, Leak, Place, Reading, TenNumbers, size};
//! let car = size(&TenNumbers::example())?.network();
//! let leaking = car.leaking(vec![Leak::hole(Place::VacuumLine, 3e-3)]);
//! let cars = Comparison::new(&leaking);
//! let trim = |command| -> Result<f64, sim::Failure> {
//!     let side = cars.point("", command).faulty.unwrap()?;
//!     Ok(side.readings.get(Reading::FuelTrim).unwrap())
//! };
//! // Much at idle, little where the engine breathes more: how a vacuum leak is known.
//! assert!(trim(Command::IDLE)? > 3.0 * trim(Command::torque(300.0, 120.0))?.abs());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod constants;
pub mod control;
pub mod curve;
pub mod dual;
pub mod flow;
pub mod heat;
pub mod leak;
pub mod machine;
pub mod medium;
pub mod network;
pub mod params;
pub mod root;
mod say;
pub mod scalar;
pub mod scenario;
pub mod smooth;
pub mod solve;
pub mod spelling;
pub mod study;
pub mod units;
pub mod volume;

// What a user of the library meets first. Each of these shows what it does (`tests/tidy/face.rs`);
// types that only stand in their signatures follow.

// The numbers that everything is written in, and their units.
pub use dual::Dual;
pub use scalar::{Over, Scalar};
pub use units::Dimension;
// Gas, and what passes through an opening.
pub use flow::orifice::{Discharge, orifice};
pub use medium::atmosphere::{humid_air, standard_air};
pub use medium::{Fuel, GasState, Medium};
// A car.
pub use network::Vehicle;
pub use study::making::fit::{Watched, fit};
pub use study::making::sizing::{SizedCar, TenNumbers, card, size};
// What is wrong with it.
pub use leak::{Shape, equivalent_hole};
pub use network::{Defect, Fault, FaultKind, Leak, Place};
// The running engine.
pub use control::{Code, Command};
pub use network::{AirLedger, Network, Reading, Readings};
pub use scenario::Surroundings;
pub use solve::Failure;
pub use solve::steady::steady;
pub use study::running::side::Side;
pub use study::running::simulate::Comparison;
pub use study::running::trace::drive;
// How much of what.
pub use study::asking::sensitivity::{Sensitivity, quantities};
pub use study::asking::threshold::{Symptom, Watch};
// From readings to the fault.
pub use study::judging::diagnose::evidence::Evidence;
pub use study::judging::diagnose::exercise::Exercise;
pub use study::judging::diagnose::next::next_tests;
pub use study::judging::diagnose::ranking::Diagnosis;
pub use study::knowing::doubt::CarDoubt;
pub use study::running::condition::Condition;
pub use study::running::dangers::Aims;

#[doc(no_inline)]
pub use solve::{State, implicit::Tolerance};
#[doc(no_inline)]
pub use study::asking::threshold::Outcome;
#[doc(no_inline)]
pub use study::judging::diagnose::{evidence::Read, ladders::Ladders, ranking::Verdict};
#[doc(no_inline)]
pub use study::running::condition::standard;
#[doc(no_inline)]
pub use study::running::dangers::{Commanded, Danger, Driven, Hazard};
#[doc(no_inline)]
pub use study::running::trace::{Sample, closure};

/// What is measured at the car: flow tests, seals, the plan of a leak test. The rest stands in
/// [`study::workshop`].
pub mod workshop {
    pub use crate::study::running::tank::Tank;
    pub use crate::study::workshop::flow::FlowTest;
    pub use crate::study::workshop::plan::plan;
    pub use crate::study::workshop::seal::compression_set;
    pub use crate::study::workshop::{hole_flow, sharp_hole};

    #[doc(no_inline)]
    pub use crate::study::workshop::{AIR, USUAL_TEST, flow::Shown};
}
