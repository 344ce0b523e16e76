//! Forms of text: ends of lines, UTF-16, remarks at the top that look like a log.

use super::drive::{BOOST, MANIFOLD, with};
use super::*;

fn same(name: &str, text: &[u8]) -> Log {
    let plain = bytes("plain-text.csv", with(&[MANIFOLD]).as_bytes()).unwrap();
    let log = bytes(name, text).unwrap_or_else(|e| panic!("{name}: {e}"));
    assert_eq!(log.windows, plain.windows, "{name}");
    assert_eq!(log.rows, plain.rows, "{name}");
    log
}

#[test]
fn carriage_returns_alone_end_lines() {
    let text = with(&[MANIFOLD]).replace('\n', "\r");
    same("cr.csv", text.as_bytes());
}

#[test]
fn utf16_is_read_in_either_order() {
    // A letter of two halves, and a piece that ends between them.
    for lead in ["", "\u{1F697}, a car\n", "x\u{1F697}\n"] {
        let text = format!("{lead}{}", with(&[MANIFOLD])).replace("degC", "°C");
        let units: Vec<u16> = "\u{feff}"
            .encode_utf16()
            .chain(text.encode_utf16())
            .collect();
        let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
        let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
        same("little.csv", &little);
        same("big.csv", &big);
    }
}

#[test]
fn remarks_over_numbers_are_no_names() {
    let text = with(&[MANIFOLD]);
    for remarks in [
        "Vehicle,Profile\n3.0,250\n",
        "Speed,Load\n1,2\n3,4\nOwner,Place\n1,2\n",
    ] {
        same("remarks.csv", format!("{remarks}{text}").as_bytes());
    }
    // What is understood nowhere: the error says where the names were sought.
    let text = with(&[BOOST]).replace("engine speed [rpm]", "something");
    let error = bytes(
        "unnamed.csv",
        format!("Car,Owner\n3.0,1\n{text}").as_bytes(),
    );
    let error = error.unwrap_err();
    assert!(
        error.message().contains("line 3 is taken for the names"),
        "{error}"
    );
}
