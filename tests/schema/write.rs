//! A vehicle file that the program writes reads back as the vehicle it was.

use crate::describe::{Everything, LEAST};
use crate::{leaves, read, vehicles};
use falseair::answer::written::{Digits, commented_file, vehicle_file};
use sim::network::Vehicle;
use sim::params::{Content, Described, Field, Form};
use std::collections::HashMap;

/// Equal to 1e-12 in every number, and in all else.
fn same(a: &Content, b: &Content) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-12 * a.abs();
    match (a, b) {
        (Content::Number(a), Content::Number(b)) => near(*a, *b),
        (Content::Curve(a), Content::Curve(b)) => {
            let (a, b) = (a.as_flattened(), b.as_flattened());
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(*a, *b))
        }
        (Content::Table(a), Content::Table(b)) => a.iter().zip(b).all(|(a, b)| match (a, b) {
            ((_, Some(x)), (_, Some(y))) => a.0 == b.0 && same(x, y),
            (a, b) => a == b,
        }),
        (Content::List(a), Content::List(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (a, b) => a == b,
    }
}

fn round_trip(vehicle: &Vehicle) {
    let text = vehicle_file(vehicle, &[], Digits::All);
    let back: Vehicle = read(&text).unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert!(same(&vehicle.content(), &back.content()), "{text}");
}

#[test]
fn the_shipped_cars_read_back() {
    for vehicle in vehicles() {
        round_trip(&vehicle);
        let text = vehicle_file(&vehicle, &[], Digits::All);
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
        // Shipped numbers are short, and are written short again.
        assert!(text.contains("\n[turbine]\n"), "{text}");
        assert!(
            !text
                .lines()
                .any(|line| line.contains("00000000") || line.contains("99999999"))
        );
    }
}

/// A small generator (xorshift, Marsaglia 2003), 0 to 1.
fn uniform(state: &mut u64) -> f64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

/// A value in range: of any size, and now and then the limit itself.
fn random(field: &Field, u: f64) -> f64 {
    match u {
        u if u < 0.05 => field.low,
        u if u > 0.95 => field.high,
        u if u > 0.5 && field.low > 0.0 => field.low * (field.high / field.low).powf(u),
        u => field.low + u * (field.high - field.low),
    }
}

#[test]
fn random_cars_read_back() {
    const NAMES: [&str; 5] = [
        "<a> \"½\" \\ Söhne",
        "",
        "tab\there, line\nthere, bell\u{7}, delete\u{7f}, 'single', \"\"\"triple\"\"\" # no comment",
        "  spaces   in  runs, and a name that is far too long to stand on a single line of the file \
         as it is  \\  so it has to be broken    somewhere between its words, \"quotes\" and all  ",
        "汽车 🚗 \u{200f}x",
    ];
    let forms: HashMap<String, Form> = (leaves::<Vehicle>().into_iter())
        .map(|(path, entry)| (path, entry.form))
        .collect();
    // A point's number, `filling.0.1`, belongs to its curve.
    let curve = |key: &str| match forms.get(key.rsplitn(3, '.').last()?)? {
        Form::Curve { x, y, .. } => Some(if key.ends_with(".0") { *x } else { *y }),
        _ => None,
    };
    let cars = vehicles();
    let mut state = 0x9E37_79B9_7F4A_7C15;
    for i in 0..200 {
        let mut car = cars[i % cars.len()].map(&mut |key: &str, value: f64| {
            let u = uniform(&mut state);
            if let Some(Form::Quantity(field)) = forms.get(key) {
                random(field, u)
            } else if let Some(field) = curve(key) {
                // A little, so that x stays in order.
                (value * (1.0 - 1e-3 * u)).clamp(field.low, field.high)
            } else {
                value
            }
        });
        car.fuel = car
            .fuel
            .map(&mut |key, value| match forms.get(&format!("fuel.{key}")) {
                Some(Form::Quantity(field)) => random(field, uniform(&mut state)),
                _ => value,
            });
        car.name = NAMES[i % NAMES.len()].into();
        car.about = NAMES[(i + 3) % NAMES.len()].into();
        round_trip(&car);
    }
}

#[test]
fn a_text_of_any_length_is_broken_and_read_back() {
    let mut car = vehicles().remove(0);
    let mut state = 0xD1B5_4A32_D192_ED03;
    for length in 0..300 {
        let letters = ['a', 'b', ' ', ' ', '"', '\\', '\n', 'é'];
        let letter = |_| letters[(uniform(&mut state) * 8.0) as usize];
        car.about = (0..length).map(letter).collect();
        let back: Vehicle = read(&vehicle_file(&car, &[], Digits::All)).unwrap();
        assert_eq!(back.about, car.about);
    }
}

#[test]
fn rules_stand_at_their_keys() {
    let car = vehicles().remove(0);
    let note = |key: &str, rule: &str| (key.to_string(), rule.to_string());
    let long = "a rule of many words ".repeat(20);
    let notes = [
        note("", "What the file is.\n[no_table]"),
        note("compressor.wheel_diameter", "from the power"),
        note("compressor", "the wheel of its time"),
        note("filling.2.1", "as measured on none"),
        note("no.such_key", "lost"),
        note("cylinders.displacement", &long),
    ];
    let text = vehicle_file(&car, &notes, Digits::All);
    assert!(text.starts_with("# What the file is. [no_table]\n# rule for no.such_key: lost\n"));
    let before = |key: &str| {
        let at = text
            .find(&format!("\n{key}"))
            .unwrap_or_else(|| panic!("{key}\n{text}"));
        text[..at].lines().last().unwrap()
    };
    assert_eq!(before("wheel_diameter = "), "# rule: from the power");
    assert_eq!(before("[compressor]"), "# rule: the wheel of its time");
    assert_eq!(before("filling = ["), "# rule: as measured on none");
    assert!(text.lines().all(|line| line.chars().count() <= 100));
    assert_eq!(text.matches("# rule").count(), 5);
    assert!(same(
        &car.content(),
        &read::<Vehicle>(&text).unwrap().content()
    ));
}

/// What is left out stands there as a comment; with its `#` taken away, it reads.
#[test]
fn what_is_left_out_can_be_put_in() {
    let least: Everything = read(LEAST).unwrap();
    let text = commented_file(&least, &[], Digits::All);
    assert!(
        same(
            &least.content(),
            &read::<Everything>(&text).unwrap().content()
        ),
        "{text}"
    );
    for key in [
        "#pressure = ",
        "#curve = [",
        "#[spare]",
        "#bore = ",
        "#[[plates]]",
        "#[inner.plate]",
    ] {
        assert!(
            text.lines().any(|line| line.starts_with(key)),
            "{key}\n{text}"
        );
    }
    let put_in: String = (text.lines())
        .map(|line| match line.strip_prefix('#') {
            Some(rest) if !rest.starts_with(' ') => format!("{rest}\n"),
            _ => format!("{line}\n"),
        })
        .collect();
    let full: Everything = read(&put_in).unwrap_or_else(|e| panic!("{e}\n{put_in}"));
    assert!(full.spare.is_some() && full.inner.is_some() && full.curve.is_some());
    assert_eq!(full.plates.len(), 1);
    let again = commented_file(&full, &[], Digits::All);
    assert!(
        same(
            &full.content(),
            &read::<Everything>(&again).unwrap().content()
        ),
        "{again}"
    );
    assert!(
        !again
            .lines()
            .any(|line| line.starts_with('#') && !line.starts_with("# ")),
        "{again}"
    );
}

/// The same holds for the vehicle itself, whatever keys it has.
#[test]
fn what_a_vehicle_leaves_out_can_be_put_in() {
    for car in vehicles() {
        let text = vehicle_file(&car, &[], Digits::All);
        let put_in = text
            .replace("\n#", "\n\u{0}")
            .replace("\n\u{0} ", "\n# ")
            .replace("\n\u{0}", "\n");
        read::<Vehicle>(&put_in).unwrap_or_else(|e| panic!("{e}\n{put_in}"));
    }
}
