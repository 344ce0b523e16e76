//! `falseair workshop`: what is measured at the car, and what follows from it.
//!
//! One file a command. Each takes a TOML file or flags (`given.rs`), answers with one
//! plain sentence, and ends its answer with the cautions that belong to the work.

mod car;
mod cautions;
mod decay;
mod flow;
mod gap;
mod kit;
mod known_hole;
mod page;
mod payback;
mod plan;
mod seal;
mod verify;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, SchemaOf, Trouble};
use clap::Subcommand;
use std::path::Path;

/// What `workshop` can do.
#[derive(Debug, Subcommand)]
pub enum Workshop {
    /// Pressure-decay test: two gauge readings to the leak, or a leak to its gauge trace.
    #[command(after_help = decay::HELP)]
    Decay(decay::Decay),
    /// Steady flow test (bench, smoke machine): the meter's reading to the leak.
    #[command(after_help = flow::HELP)]
    Flow(flow::Flow),
    /// Gaps by feeler gauge: what they pass, what they do in the car, how large they may be.
    #[command(after_help = gap::HELP)]
    Gap(gap::Gap),
    /// O-rings and gaskets: squeeze, stretch, fill, sizes; used rings; bowed faces.
    #[command(after_help = seal::HELP)]
    Seal(seal::Seal),
    /// Which repair pays: what each fault costs a year, and what mending it takes.
    #[command(after_help = payback::HELP)]
    Payback(payback::Payback),
    /// Did the leak go? Readings before and after a repair; a record for the customer.
    #[command(after_help = verify::HELP)]
    Verify(verify::Verify),
    /// A hole of known size at a vacuum port, at idle only: what it should do, what it says.
    #[command(after_help = known_hole::HELP)]
    KnownHole(known_hole::Hole),
    /// Ordered pressure and smoke tests for one car, with safe pressures and expected readings.
    #[command(after_help = plan::HELP)]
    Plan(plan::Plan),
}

/// JSON Schemas of their answers.
pub(crate) const ANSWERS: [SchemaOf; 8] = [
    decay::ANSWER,
    flow::ANSWER,
    gap::ANSWER,
    known_hole::ANSWER,
    payback::ANSWER,
    plan::ANSWER,
    seal::ANSWER,
    verify::ANSWER,
];

impl Workshop {
    /// The question of this name in this file, answered as data; none where there is no such
    /// question.
    pub fn of(question: &str, file: &Path) -> Option<Self> {
        macro_rules! of {
            ($module:ident::$Options:ident $(, $more:ident)*) => {
                Self::$Options($module::$Options {
                    given: Given::file(file),
                    asked: Asked::data(),
                    $( $more: None, )*
                })
            };
        }
        Some(match question {
            "decay" => of!(decay::Decay, plot),
            "flow" => of!(flow::Flow),
            "gap" => of!(gap::Gap),
            "seal" => of!(seal::Seal),
            "payback" => of!(payback::Payback),
            "verify" => of!(verify::Verify, record),
            "known-hole" => Self::KnownHole(known_hole::Hole {
                given: Given::file(file),
                asked: Asked::data(),
            }),
            "plan" => Self::Plan(plan::Plan {
                vehicle: file.into(),
                asked: Asked::data(),
            }),
            _ => return None,
        })
    }
}

/// Runs a workshop command.
///
/// # Errors
/// Input that cannot be used; an answer that cannot be written.
pub fn run(command: &Workshop) -> Result<Answer, Trouble> {
    match command {
        Workshop::Decay(options) => decay::run(options),
        Workshop::Flow(options) => flow::run(options),
        Workshop::Gap(options) => gap::run(options),
        Workshop::Seal(options) => seal::run(options),
        Workshop::Payback(options) => payback::run(options),
        Workshop::Verify(options) => verify::run(options),
        Workshop::KnownHole(options) => known_hole::run(options),
        Workshop::Plan(options) => plan::run(options),
    }
}
