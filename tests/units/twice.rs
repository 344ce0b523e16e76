//! What stands twice on purpose: the kit of words and pictures knows no engine, so it has its own
//! of two small things. They must not part.

use falseair::text::{number, words};
use sim::{spelling, units};

#[test]
fn program_and_kit_obey_the_same_characters() {
    for c in (0..=0x10_ffff).filter_map(char::from_u32) {
        assert_eq!(words::is_obeyed(c), spelling::is_obeyed(c), "{c:?}");
    }
}

#[test]
fn program_and_kit_round_alike() {
    let values = [
        0.0,
        -0.0,
        1.0,
        2.5,
        0.1 + 0.2,
        1e-5,
        9.99995,
        1234.5,
        1e9,
        1e300,
        -7.25e-9,
    ];
    for value in values {
        for digits in 1..=17 {
            assert_eq!(number::digits(value, digits), units::round(value, digits));
        }
    }
}
