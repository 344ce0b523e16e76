//! What a person reads when a quantity is refused.

use sim::units::{Dimension, from_bare_number, parse};

#[track_caller]
fn refused(text: &str, dimension: Dimension) -> String {
    match parse(text, dimension) {
        Ok(value) => panic!("{text} was read as {value}"),
        Err(error) => error.to_string(),
    }
}

/// The first line, and that the list of units follows.
#[track_caller]
fn listed(text: &str, dimension: Dimension) -> String {
    let message = refused(text, dimension);
    let (first, rest) = message.split_once('\n').expect("two lines");
    assert!(rest.starts_with("units allowed here: "), "{rest}");
    first.into()
}

/// A caller can tell apart why a text is no quantity.
#[test]
fn refusals_have_a_type() {
    use Dimension::{AbsolutePressure, Length};
    use sim::units::UnitError as E;
    let refusal = |text| parse(text, Length).unwrap_err();
    assert_eq!(refusal("1,5 mm"), E::Comma("1,5 mm".into()));
    assert!(matches!(refusal("1.5"), E::NoUnit(_, Length)));
    assert!(matches!(refusal("1.5 mn"), E::UnknownUnit(_, Length)));
    assert!(matches!(refusal("1.5 kPa"), E::OtherKind(_, Length, _)));
    let pressure = parse("90 kPa", AbsolutePressure).unwrap_err();
    assert!(matches!(pressure, E::Datum(_)));
}

#[test]
fn pressures_are_never_confused() {
    use Dimension::*;
    for (text, dimension, message) in [
        (
            "90 kPa gauge",
            AbsolutePressure,
            "`90 kPa gauge` is above ambient; here an absolute pressure is needed, \
             e.g. `191.3 kPa abs` at standard ambient",
        ),
        (
            "90 kPa",
            AbsolutePressure,
            "`90 kPa` does not say from where it counts; here an absolute pressure is needed, \
             `90 kPa abs`, or `191.3 kPa abs` if it was read on a gauge",
        ),
        (
            "20 inHg vac",
            AbsolutePressure,
            "`20 inHg vac` is below ambient; here an absolute pressure is needed, \
             e.g. `9.921 inHg abs` at standard ambient",
        ),
        (
            "191.3 kPa abs",
            GaugePressure,
            "`191.3 kPa abs` counts from vacuum; here a gauge pressure is needed, \
             e.g. `89.98 kPa gauge` at standard ambient",
        ),
        (
            "15 psi",
            GaugePressure,
            "`15 psi` does not say from where it counts; here a gauge pressure is needed, \
             `15 psi gauge`, or `0.3041 psi gauge` if it counts from vacuum",
        ),
        (
            "20 inHg vac",
            GaugePressure,
            "`20 inHg vac` is below ambient; here a gauge pressure is needed, \
             e.g. `-20 inHg gauge`",
        ),
        (
            "5 kPa abs",
            PressureDifference,
            "`5 kPa abs` counts from vacuum; here a pressure difference is needed, \
             without a word: `5 kPa`",
        ),
        (
            "5 kPa gauge",
            PressureDifference,
            "`5 kPa gauge` is above ambient; here a pressure difference is needed, \
             without a word: `5 kPa`",
        ),
    ] {
        assert_eq!(refused(text, dimension), message);
    }
    let message = refused("15 psig", GaugePressure);
    assert_eq!(message, "`psig` is written `psi gauge` here");
    assert_eq!(
        refused("-5 kPa abs", AbsolutePressure),
        "`-5 kPa abs` is below vacuum"
    );
}

#[test]
fn units_are_asked_for_and_corrected() {
    use Dimension::*;
    for (text, dimension, message) in [
        (
            "15",
            Length,
            "`15` has no unit; a length is needed, e.g. `\"0.38 mm\"`",
        ),
        (
            "90 abs",
            AbsolutePressure,
            "`90 abs` has no unit; an absolute pressure is needed, e.g. `\"190 kPa abs\"`",
        ),
        ("15 tho", Length, "unknown unit `tho`; did you mean `thou`?"),
        ("3 gs", MassFlow, "unknown unit `gs`; did you mean `g/s`?"),
        ("15 zork", Length, "unknown unit `zork`"),
        (
            "5 rpm",
            Length,
            "`rpm` is for a speed of rotation; a length such as `\"0.38 mm\"` is needed",
        ),
        (
            "5 kPa",
            Length,
            "`kPa` is for a pressure; a length such as `\"0.38 mm\"` is needed",
        ),
    ] {
        assert_eq!(listed(text, dimension), message);
    }
    let message = from_bare_number(15.0, Length).unwrap_err().to_string();
    assert_eq!(
        message.lines().next(),
        Some("`15` has no unit; a length is needed, e.g. `\"0.38 mm\"`")
    );
    assert_eq!(from_bare_number(0.5, Ratio), Ok(0.5));
}

#[test]
fn numbers_that_are_none() {
    use Dimension::*;
    assert_eq!(
        refused("0,38 mm", Length),
        "`0,38 mm` has a comma; decimals take a point: write `0.38 mm`"
    );
    assert_eq!(
        refused("1,600 cc", Volume),
        "`1,600 cc` has a comma; decimals take a point: write `1.600 cc`, \
         or `1600 cc` if it parts thousands"
    );
    for text in [
        "inf mm",
        "NaN mm",
        "mm",
        "",
        "  ",
        "-",
        "-inf mm",
        "٣ mm",
        "twelve mm",
    ] {
        assert!(
            refused(text, Length).contains("does not start with a number"),
            "{text}"
        );
    }
    for text in [
        "1.5.2 mm", "1_600 mm", "1 600 mm", "1/2 in", "5-7 mm", "1'600 mm",
    ] {
        assert!(
            refused(text, Length).contains("is not one number and a unit"),
            "{text}"
        );
    }
    for text in ["1e999 mm", "-1e999 mm", "1e308 ft"] {
        let message = refused(text, Length);
        assert!(
            message.contains("is too large") || text == "1e308 ft",
            "{text}: {message}"
        );
    }
    for value in [f64::NAN, f64::INFINITY] {
        assert!(from_bare_number(value, Ratio).is_err());
    }
    assert_eq!(
        refused("-300 degC", Temperature),
        "`-300 degC` is below absolute zero"
    );
}
