//! Each unit against its definition, and text against itself.
//!
//! Definitions: NIST SP 811 (2008), appendix B.8 (values from memory, M) or
//! closed forms of them (F).

use sim::units::{Dimension, convert, parse, show, show_to};

#[track_caller]
fn equal(text: &str, dimension: Dimension, si: f64, tolerance: f64) {
    let value = parse(text, dimension).unwrap_or_else(|e| panic!("{text}: {e}"));
    let off = (value - si).abs() / si.abs().max(f64::MIN_POSITIVE);
    assert!(off <= tolerance, "{text}: {value} instead of {si}");
}

#[test]
fn exact_definitions() {
    use Dimension::*;
    let round_off = 1e-15;
    for (text, dimension, si) in [
        // 1 in = 25.4 mm exactly; 1 mil = 0.001 in.
        ("15 thou", Length, 0.000_381),
        ("15 mil", Length, 0.000_381),
        ("0.015 in", Length, 0.000_381),
        ("0.38 mm", Length, 0.000_38),
        ("0.38mm", Length, 0.000_38),
        ("38 um", Length, 0.000_038),
        ("38 µm", Length, 0.000_038),
        ("12 mm²", Area, 12e-6),
        ("12 mm^2", Area, 12e-6),
        ("3 cm2", Area, 3e-4),
        ("1 in2", Area, 6.4516e-4),
        ("1.6 L", Volume, 1.6e-3),
        ("1600 cc", Volume, 1.6e-3),
        ("1600 cm³", Volume, 1.6e-3),
        ("1 in3", Volume, 1.638_706_4e-5),
        ("1 lb", Mass, 0.453_592_37),
        ("16 oz", Mass, 0.453_592_37),
        ("40 ms", Time, 0.04),
        ("2 min", Time, 120.0),
        ("25 degC", Temperature, 298.15),
        ("25 °C", Temperature, 298.15),
        ("77 °F", Temperature, 298.15),
        ("-40 degF", Temperature, 233.15),
        ("\u{2212}40 C", Temperature, 233.15),
        ("9 degF", TemperatureDifference, 5.0),
        ("0.9 bar abs", AbsolutePressure, 90e3),
        ("1013.25 mbar abs", AbsolutePressure, 101_325.0),
        ("1013.25 hPa absolute", AbsolutePressure, 101_325.0),
        ("1 atm abs", AbsolutePressure, 101_325.0),
        ("90 kPa gauge", GaugePressure, 90e3),
        ("90kPa(gauge)", GaugePressure, 90e3),
        ("-10 kPa gauge", GaugePressure, -10e3),
        ("2.5 kPa", PressureDifference, 2500.0),
        ("1 kg/h", MassFlow, 1.0 / 3600.0),
        ("3 g/s", MassFlow, 3e-3),
        ("1 lb/min", MassFlow, 0.453_592_37 / 60.0),
        ("60 L/min", VolumeFlow, 1e-3),
        (
            "5500 rpm",
            AngularSpeed,
            5500.0 * std::f64::consts::PI / 30.0,
        ),
        ("95 krpm", AngularSpeed, 95e3 * std::f64::consts::PI / 30.0),
        ("180 deg", Angle, std::f64::consts::PI),
        ("150 N m", Torque, 150.0),
        ("150 Nm", Torque, 150.0),
        ("150 N·m", Torque, 150.0),
        ("5 N/mm", Stiffness, 5000.0),
        ("2 kN", Force, 2000.0),
        ("3e-5 kg m2", Inertia, 3e-5),
        ("3e-5 kg·m²", Inertia, 3e-5),
        ("110 kW", Power, 110e3),
        ("1 PS", Power, 735.498_75),
        ("250 W/K", Conductance, 250.0),
        ("42.9 MJ/kg", SpecificEnergy, 42.9e6),
        ("36 km/h", Speed, 10.0),
        ("1 mph", Speed, 0.447_04),
        ("2 1/s", Rate, 2.0),
        ("2 Hz", Rate, 2.0),
        ("12 %", Ratio, 0.12),
        ("12%", Ratio, 0.12),
        ("0.85", Ratio, 0.85),
        ("+.5", Ratio, 0.5),
        ("100 KPA ABS", AbsolutePressure, 100e3),
    ] {
        equal(text, dimension, si, round_off);
    }
}

#[test]
fn published_factors() {
    use Dimension::*;
    // NIST SP 811 B.8 to its printed digits (M); the first four are also in the
    // project's list of outside checks.
    equal("1 inHg", PressureDifference, 3386.39, 1e-6);
    equal("13 inH2O", PressureDifference, 3238.16, 2e-6);
    equal("1 psi", PressureDifference, 6894.757, 1e-7);
    equal("1 lb/min", MassFlow, 7.559_87e-3, 1e-6);
    equal("1 mmHg", PressureDifference, 133.322_4, 1e-6);
    equal("1 mmH2O", PressureDifference, 9.806_65, 1e-7);
    equal("1 hp", Power, 745.699_9, 1e-7);
    equal("1 lbf ft", Torque, 1.355_818, 1e-6);
    equal("1 lbf", Force, 4.448_222, 1e-6);
    equal("1 lbf/in", Stiffness, 175.126_8, 1e-6);
    equal("1 cfm", VolumeFlow, 4.719_474e-4, 1e-6);
}

#[test]
fn fifteen_thou_is_exactly_0_381_mm() {
    let gap = parse("15 thou", Dimension::Length).unwrap();
    assert_eq!(gap, 0.000_381);
    assert_eq!(show(gap, Dimension::Length), "0.381 mm");
}

#[test]
fn shown_as_people_read() {
    use Dimension::*;
    for (si, dimension, text) in [
        (0.000_38, Length, "0.38 mm"),
        (2.5, Length, "2.5 m"),
        (1.6e-3, Volume, "1.6 L"),
        (191_325.0, AbsolutePressure, "191.325 kPa abs"),
        (0.0, GaugePressure, "0 Pa gauge"),
        (-50e3, GaugePressure, "-50 kPa gauge"),
        (25.0, PressureDifference, "25 Pa"),
        (298.15, Temperature, "25 degC"),
        (3e-3, MassFlow, "3 g/s"),
        (1.5845e-6, MassFlow, "1.5845 mg/s"),
        (575.958_653_158_128_7, AngularSpeed, "5500 rpm"),
        (3e-5, Inertia, "30 kg mm2"),
        (42.9e6, SpecificEnergy, "42.9 MJ/kg"),
        (0.12, Ratio, "0.12"),
        (1e-7, Ratio, "1e-7"),
        (-0.0, Ratio, "0"),
        (1.0 / 3.0, Ratio, "0.333333"),
    ] {
        assert_eq!(show(si, dimension), text);
    }
}

#[test]
fn what_is_shown_is_read_back() {
    for dimension in Dimension::ALL {
        for exponent in -12..=12 {
            for lead in [1.0, 2.345_678_901_234_5, 9.999_999_9] {
                let value = lead * 10f64.powi(exponent);
                let text = show_to(value, dimension, 17);
                let back = parse(&text, dimension).unwrap_or_else(|e| panic!("{text}: {e}"));
                // Celsius costs digits near absolute zero.
                let scale = match dimension {
                    Dimension::Temperature => value + 273.15,
                    _ => value,
                };
                assert!(
                    (back - value).abs() <= 4e-16 * scale * 2.0,
                    "{text}: {back} {value}"
                );
            }
        }
    }
}

#[test]
fn every_unit_converts_both_ways() {
    for dimension in Dimension::ALL {
        for unit in dimension.units() {
            let unit = match dimension {
                Dimension::AbsolutePressure => format!("{unit} abs"),
                Dimension::GaugePressure => format!("{unit} gauge"),
                _ => unit.to_string(),
            };
            let si = parse(&format!("7.25 {unit}"), dimension).unwrap();
            let back = convert(si, &unit, dimension).unwrap();
            assert!((back - 7.25).abs() < 1e-12, "{unit}: {back}");
        }
    }
    assert_eq!(convert(0.5, "", Dimension::Ratio), Ok(0.5));
    assert!(convert(1e5, "kPa", Dimension::AbsolutePressure).is_err());
    assert!(convert(1e5, "", Dimension::Length).is_err());
}

/// A small generator of repeatable numbers (Knuth's 64-bit linear congruence).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = (self.0)
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % limit
    }
}

#[test]
fn no_text_panics() {
    let pieces = [
        "1",
        "-",
        "+",
        ".",
        ",",
        "e",
        "E",
        "9e999",
        "1e-400",
        "inf",
        "NaN",
        " ",
        "\u{a0}",
        "mm",
        "kPa",
        "abs",
        "gauge",
        "vac",
        "²",
        "°",
        "C",
        "µ",
        "/",
        "\"",
        "\0",
        "é",
        "🦀",
        "%",
        "psi",
        "g",
        "a",
        "0x1",
        "\u{2212}",
        "1_0",
        "N",
        "m2",
        "\u{1b}[31m",
        "١",
        "ß",
        "K",
    ];
    let mut numbers = Numbers(20_240_229);
    let mut read = 0;
    for round in 0..20_000 {
        let dimension = Dimension::ALL[numbers.below(24)];
        let mut text = String::new();
        if round % 2 == 0 {
            // Nearly a quantity: what follows spoils it, or not.
            let units: Vec<_> = dimension.units().collect();
            let unit = units[numbers.below(units.len())];
            text = format!("{}e{} {unit}", numbers.below(99), numbers.below(9));
        }
        for _ in 0..numbers.below(if round % 2 == 0 { 3 } else { 9 }) {
            match numbers.below(8) {
                0 => text.extend(char::from_u32(numbers.below(0x1_1000) as u32)),
                _ => text += pieces[numbers.below(pieces.len())],
            }
        }
        for dimension in [dimension, Dimension::ALL[numbers.below(24)]] {
            let _ = convert(1.0, &text, dimension);
            match parse(&text, dimension) {
                Ok(value) => {
                    read += 1;
                    assert!(value.is_finite(), "{text:?}");
                    let shown = show(value, dimension);
                    let back = parse(&shown, dimension).unwrap_or_else(|e| panic!("{text:?}: {e}"));
                    let scale = value.abs()
                        + if dimension == Dimension::Temperature {
                            273.15
                        } else {
                            0.0
                        };
                    assert!(
                        (back - value).abs() <= 1e-5 * scale,
                        "{text:?}: {value} {back}"
                    );
                }
                Err(error) => {
                    let message = error.to_string();
                    assert!(
                        !message.is_empty() && message.len() < 1500,
                        "{text:?}: {message}"
                    );
                    assert!(!message.contains(['\u{1b}', '\0']), "{text:?}");
                }
            }
        }
    }
    assert!(read > 1000, "too few texts were quantities: {read}");
}
