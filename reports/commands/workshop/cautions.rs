//! Warnings and cautions of workshop answers.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use std::borrow::Cow;

/// What a test is to be warned of; for programs one list.
#[derive(Debug, Default)]
pub(super) struct Warnings {
    /// What can hurt someone: said before the answer.
    pub dangers: Vec<String>,
    /// What the answer leaves open: said after it.
    pub notes: Vec<String>,
}

impl Serialize for Warnings {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.dangers.iter().chain(&self.notes))
    }
}

/// One list of words.
impl JsonSchema for Warnings {
    fn schema_name() -> Cow<'static, str> {
        "Warnings".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<String>::json_schema(generator)
    }
}

/// Cautions of every test with pressure.
pub(super) const TEST: [&str; 6] = [
    "Wear eye protection and stand aside: plugs, clamps and hoses let go under pressure. Raise it \
     slowly, and let it off before anything is loosened.",
    "Never test above the engine's normal boost; sections with seals not meant for pressure take \
     less.",
    "Never block the crankcase vent while pressure can reach the crankcase (past rings, breather or \
     ventilation valve): it blows out shaft seals.",
    "Engine off, key out, all of it cold: fans start by themselves, belts and turbo spin, exhaust \
     is hot.",
    "Do not look for leaks with a flame or a flammable spray.",
    "The maker's procedure and local codes go first; leave licensed work to those who hold the \
     licence.",
];

/// Cautions of work on joints.
pub(super) const JOINT: [&str; 4] = [
    "Engine off and cold, boost let off: exhaust and turbo are hot, fans and belts start and spin.",
    "Use only sealant that is safe for oxygen sensors, and none where a loose bit is drawn into \
     compressor or valves.",
    "Rubber must suit what it meets: oil mist and heat at a breather, fuel vapour at a manifold.",
    "The maker's procedure, seal and torque go first, then local codes; leave licensed work to \
     those who hold the licence.",
];
