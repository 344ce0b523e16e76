//! From a leak to its gauge trace and back.

use crate::random::Random;
use crate::{json, number};
use sim::flow::orifice::{Discharge, orifice};
use sim::study::workshop::decay::{DecayTest, FILM_DOUBT, Heat};

const STEP: f64 = 1e3;
const DRIFT: f64 = 0.1;
const VOLUME_DOUBT: f64 = 0.05;

fn test(volume: f64, start: f64, end: f64, time: f64) -> DecayTest {
    toml::from_str(&format!(
        "volume = \"{volume} m3\"\nvolume_doubt = {VOLUME_DOUBT}\nstart_pressure = \"{start} Pa gauge\"\n\
         end_pressure = \"{end} Pa gauge\"\ntime = \"{time} s\"\n\
         gauge_resolution = \"{STEP} Pa\"\ntemperature_drift = \"{DRIFT} K\""
    ))
    .unwrap()
}

/// One car in the workshop: everything the interval claims to cover is drawn as it
/// claims: the volume about the stated one, the walls' film, the drift, both readings
/// to the nearest step of the gauge. Whether the true area lies in the 90 % interval.
fn held(random: &mut Random) -> bool {
    let volume = random.log(4e-3, 15e-3);
    let start = random.log(30e3, 90e3);
    let share = random.log(0.15, 0.8);
    let area = std::f64::consts::PI / 4.0 * random.log(0.3e-3, 4e-3).powi(2);
    let truth = volume * (VOLUME_DOUBT * random.normal()).exp();
    let heat = Heat::Convection((FILM_DOUBT * random.normal()).exp());
    let element = |a: &_, b: &_| orifice(area, Discharge::Constant(1.0), a, b);
    let real = test(truth, start, share * start, 1.0)
        .checked(None)
        .unwrap();
    // The person reads when the gauge has come down to about the share.
    let time = real.time_to(share * start, heat, element).unwrap().0;
    let gauge = real.trace(&[time], heat, element).unwrap()[0];
    let warmed = (101_325.0 + gauge) * (1.0 + DRIFT * random.normal() / 293.15) - 101_325.0;
    // Where the true pressure lies between two steps is chance.
    let chance = STEP * random.unit();
    let read = |p: f64| ((p + chance) / STEP).round() * STEP - chance;
    let (start, end) = (read(start), read(warmed));
    let asked = test(volume, start, end, time);
    let checked = asked.checked(None).unwrap();
    let Ok(pair) = asked.pair() else { return false };
    let found = checked.find(&pair, None).unwrap();
    (found.area.low..=found.area.high).contains(&area)
}

/// At least 88 of 100 seeded cases of a 90 % interval; nor is it idle width: of 400
/// others between 86 and 95 %.
#[test]
fn the_area_lies_in_its_interval() {
    let count = |seed: u64, cases: usize| {
        let mut random = Random(seed);
        (0..cases).filter(|_| held(&mut random)).count()
    };
    let hundred = count(2024, 100);
    let many = count(7, 400) as f64 / 4.0;
    println!("held: {hundred} of 100; {many} % of 400");
    assert!(hundred >= 88, "{hundred} of 100");
    assert!((86.0..=95.0).contains(&many), "{many} %");
}

/// The same through the program: a predicted trace, read to 0.5 kPa, gives the hole back.
#[test]
fn through_the_program() {
    let trace = json(&[
        "decay",
        "--volume",
        "9 L",
        "--start-pressure",
        "60 kPa gauge",
        "--time",
        "12 s",
        "--leak",
        "hose_off bore=1.2 mm, discharge_coefficient=0.8",
    ]);
    let end = number(&trace, "trace.likely_kpa.60");
    let read = format!("{:.1} kPa gauge", (2.0 * end).round() / 2.0);
    let found = json(&[
        "decay",
        "--volume",
        "9 L",
        "--start-pressure",
        "60 kPa gauge",
        "--end-pressure",
        &read,
        "--time",
        "12 s",
        "--gauge-resolution",
        "0.5 kPa",
    ]);
    let area = 0.8 * std::f64::consts::PI / 4.0 * 1.44;
    let limit = |key: &str| number(&found, &format!("found.effective_area_mm2.{key}"));
    assert!(limit("low") < area && area < limit("high"));
    assert!((limit("value") / area - 1.0).abs() < 0.03);
}

/// What still leaks with the part mended is taken off, and its doubt is carried.
#[test]
fn before_and_after() {
    let run = |reference: &[&str]| {
        let first = [
            "decay",
            "--volume",
            "8 L",
            "--start-pressure",
            "60 kPa gauge",
            "--end-pressure",
            "30 kPa gauge",
            "--time",
            "20 s",
        ];
        json(&[&first, reference].concat())
    };
    let whole = run(&[]);
    let less = run(&[
        "--reference",
        "start_pressure=60 kPa gauge, end_pressure=52 kPa gauge, time=20 s",
    ]);
    let rest = json(&[
        "decay",
        "--volume",
        "8 L",
        "--start-pressure",
        "60 kPa gauge",
        "--end-pressure",
        "52 kPa gauge",
        "--time",
        "20 s",
    ]);
    let area = |found: &serde_json::Value, key: &str| {
        number(found, &format!("found.effective_area_mm2.{key}"))
    };
    let difference = area(&whole, "value") - area(&rest, "value");
    assert!((area(&less, "value") - difference).abs() < 1e-6 * difference);
    let width = |found| (area(found, "high") - area(found, "low")) / area(found, "value");
    assert!(
        width(&less) > width(&whole),
        "the doubt of both readings is carried"
    );
}

/// A split that shuts as pressure falls still comes down, only ever more slowly.
#[test]
fn a_split_shuts() {
    let until = |end: &str| {
        let found = json(&[
            "decay",
            "--volume",
            "8 L",
            "--start-pressure",
            "60 kPa gauge",
            "--leak",
            "split length=25 mm, reference_opening=0.8 mm",
            "--end-pressure",
            end,
        ]);
        number(&found, "predicted.time_likely_s")
    };
    assert!(until("2 kPa gauge") > 20.0 * until("20 kPa gauge"));
}

/// A gauge that does not move says how large a leak may still be.
#[test]
fn no_drop_is_an_upper_limit() {
    let found = json(&[
        "decay",
        "--volume",
        "8 L",
        "--start-pressure",
        "60 kPa gauge",
        "--end-pressure",
        "60 kPa gauge",
        "--time",
        "20 s",
    ]);
    assert_eq!(number(&found, "found.effective_area_mm2.low"), 0.0);
    assert!(number(&found, "found.effective_area_mm2.high") > 0.0);
    assert!(found["says"].as_str().unwrap().contains("at most"));
}
