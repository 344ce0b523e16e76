//! Bytes on the diagnostic bus. S: scalings of SAE J1979 / ISO 15031-5, seen in
//! excerpt; M: from memory; F: closed form.

use sim::control::j1979::{
    ABSOLUTE_LOAD, AIR_FLOW, BAROMETRIC_PRESSURE, CALCULATED_LOAD, COMMANDED_RATIO, ENGINE_SPEED,
    INTAKE_TEMPERATURE, LAMBDA_WITH_CURRENT, LAMBDA_WITH_VOLTAGE, LONG_TERM_TRIM,
    MANIFOLD_PRESSURE, PARAMETERS, PEDAL_POSITION, Parameter, SHORT_TERM_TRIM, THROTTLE_POSITION,
    VEHICLE_SPEED, parameter,
};
use sim::dual::Dual;
use sim::machine::standards;
use sim::network::readings::FORMS;
use sim::study::running::on_the_bus;

#[test]
fn bytes_of_the_standard() {
    let rows: [(Parameter, &[u8], f64, f64); 19] = [
        (ENGINE_SPEED, &[0x1A, 0xF8], 1726.0, 1e-12),     // S
        (AIR_FLOW, &[0x01, 0x2C], 3.0, 1e-12),            // S
        (SHORT_TERM_TRIM, &[0x8D], 10.156, 5e-4),         // S
        (LONG_TERM_TRIM, &[0x66], -20.313, 6e-4),         // S
        (LONG_TERM_TRIM, &[0x80], 0.0, 1e-12),            // S
        (SHORT_TERM_TRIM, &[0x00], -100.0, 1e-12),        // S
        (SHORT_TERM_TRIM, &[0xFF], 99.22, 2e-3),          // S
        (MANIFOLD_PRESSURE, &[0x65], 101.0, 1e-12),       // S
        (INTAKE_TEMPERATURE, &[0x00], -40.0, 1e-12),      // S
        (INTAKE_TEMPERATURE, &[0xFF], 215.0, 1e-12),      // S
        (CALCULATED_LOAD, &[0xFF], 100.0, 1e-12),         // S
        (THROTTLE_POSITION, &[0x33], 20.0, 1e-12),        // M
        (PEDAL_POSITION, &[0xFF], 100.0, 1e-12),          // M
        (VEHICLE_SPEED, &[0xFF], 255.0, 1e-12),           // M
        (BAROMETRIC_PRESSURE, &[0x62], 98.0, 1e-12),      // M
        (LAMBDA_WITH_VOLTAGE, &[0x80, 0x00], 1.0, 1e-12), // M
        (LAMBDA_WITH_CURRENT, &[0xFF, 0xFF], 1.999_97, 1e-6), // M
        (COMMANDED_RATIO, &[0x73, 0x33], 0.9, 2e-5),      // M
        (ABSOLUTE_LOAD, &[0x00, 0xFF], 100.0, 1e-12),     // M
    ];
    for (parameter, bytes, value, tolerance) in rows {
        let found = parameter.decode(bytes).unwrap();
        assert!(
            (found - value).abs() <= tolerance,
            "{}: {found}",
            parameter.name
        );
        assert_eq!(
            parameter.encode(value).unwrap(),
            bytes,
            "{}",
            parameter.name
        );
    }
}

#[test]
fn every_pattern_of_bytes_comes_back() {
    for parameter in PARAMETERS {
        let [mut last, step] = [f64::NEG_INFINITY, parameter.resolution()];
        for number in 0..1_u32 << (8 * parameter.bytes) {
            let bytes = &number.to_be_bytes()[4 - parameter.bytes..];
            let value = parameter.decode(bytes).unwrap();
            assert_eq!(
                parameter.encode(value).unwrap(),
                bytes,
                "{}",
                parameter.name
            );
            // Rising by one step each.
            assert!(number == 0 || (value - last - step).abs() < 1e-9 * value.abs().max(1.0));
            last = value;
        }
        assert_eq!(parameter.range()[1], last, "{}", parameter.name);
    }
}

#[test]
fn a_value_comes_back_within_half_a_step() {
    for parameter in PARAMETERS {
        let [low, high] = parameter.range();
        let half = 0.5 * parameter.resolution();
        for i in 0..=100_003 {
            let value = low + (high - low) * f64::from(i) / 100_003.0;
            let bytes = parameter.encode(value).unwrap();
            assert_eq!(bytes.len(), parameter.bytes);
            let off = (parameter.decode(&bytes).unwrap() - value).abs();
            assert!(
                off <= half * (1.0 + 1e-9),
                "{}: {value} off {off}",
                parameter.name
            );
        }
    }
}

#[test]
fn beyond_the_range_is_its_end_and_no_number_is_no_bytes() {
    for parameter in PARAMETERS {
        let [low, high] = parameter.range();
        let (zeros, ones) = (vec![0; parameter.bytes], vec![0xFF; parameter.bytes]);
        for far in [1.0, 1e3, 1e300] {
            assert_eq!(parameter.encode(low - far).unwrap(), zeros);
            assert_eq!(parameter.encode(high + far).unwrap(), ones);
        }
        for none in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(parameter.encode(none), None);
        }
        for wrong in [0, 3 - parameter.bytes, 3] {
            assert_eq!(parameter.decode(&vec![0; wrong]), None);
        }
    }
    // A boosted manifold, 280 kPa abs, does not fit one byte.
    assert_eq!(MANIFOLD_PRESSURE.encode(280.0).unwrap(), [0xFF]);
}

#[test]
fn the_list_is_in_order_and_found_by_identifier() {
    assert!(PARAMETERS.windows(2).all(|pair| pair[0].pid < pair[1].pid));
    for one in PARAMETERS {
        assert_eq!(parameter(one.pid), Some(one));
    }
    assert_eq!(parameter(0x00), None);
}

/// S: the definition; 1.184 g/L is air at 25 °C and one atmosphere (F).
#[test]
fn absolute_load_by_its_definition() {
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-12, "{found}");
    // Four cylinders at 100 rad/s: each draws its charge every 4π rad.
    let speed = 100.0;
    let load = |gram_per_stroke: f64, litre_per_cylinder: f64| {
        let air = gram_per_stroke * 1e-3 * 4.0 * speed / (4.0 * std::f64::consts::PI);
        standards::absolute_load(air, speed, 4.0 * litre_per_cylinder * 1e-3)
    };
    close(load(1.184 * 0.5, 0.5), 1.0);
    close(load(0.592, 0.4), 1.25);
    let density = 101_325.0 / (287.05 * 298.15);
    assert!((density - 1.184_f64).abs() < 5e-4, "{density}");
    // With derivatives: linear in the air.
    let at = |air| standards::absolute_load(air, <Dual<1> as sim::Scalar>::constant(speed), 2e-3);
    let load = at(Dual::<1>::variable(0.05, 0));
    close(load.slope[0] * 0.05, load.value);
}

#[test]
fn readings_that_have_a_parameter_round_trip() {
    let mut found = 0;
    for form in FORMS {
        let Some(parameter) = on_the_bus::parameter(form.key) else {
            continue;
        };
        found += 1;
        assert_eq!(form.unit, parameter.unit, "{}", form.key);
        let [low, high] = parameter.range();
        for share in [0.0, 0.123, 0.5, 0.777, 1.0] {
            let value = low + share * (high - low);
            let shown = on_the_bus::shown(form.key, value).unwrap();
            let half = 0.5 * parameter.resolution() * (1.0 + 1e-9);
            assert!((shown - value).abs() <= half, "{}", form.key);
            assert_eq!(
                on_the_bus::shown(form.key, shown),
                Some(shown),
                "{}",
                form.key
            );
        }
    }
    assert!(found >= 6, "only {found} readings have a parameter");
    assert_eq!(on_the_bus::shown("boost_kpa", 50.0), None);
    assert_eq!(on_the_bus::shown("metered_air_g_s", f64::NAN), None);
}
