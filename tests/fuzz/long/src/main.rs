//! One reader under libFuzzer; which one says `FALSEAIR_TARGET`.
#![no_main]

use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

#[path = "../../targets.rs"]
mod targets;

static READ: LazyLock<fn(&[u8])> = LazyLock::new(|| {
    let wanted = std::env::var("FALSEAIR_TARGET").expect("FALSEAIR_TARGET names a reader");
    let found = targets::TARGETS.into_iter().find(|(name, _)| *name == wanted);
    found.expect("FALSEAIR_TARGET names no reader").1
});

fuzz_target!(|bytes: &[u8]| (*READ)(bytes));
