//! What stands in the rows.

use super::*;
use falseair::input::read_toml;
use sim::control::Command;
use sim::leak::{RoundHole, Shape};
use sim::network::readings::{FORMS, Reading};
use sim::network::{Leak, Network, Place};
use sim::scenario::Surroundings;
use sim::study::running::simulate::Comparison;

#[test]
fn rows_are_those_of_a_comparison_started_afresh() {
    let folder = scratch("comparison");
    let points =
        format!("{CRUISE}[[point]]\nname = \"pull\"\nspeed = \"3000 rpm\"\npedal = \"100 %\"\n");
    let out = folder.join("out");
    sweep(&study(&folder, &format!("{SMALL}{points}")), &out, &[]);
    let rows = rows(&out);
    assert_eq!(rows.len(), 128);
    let rpm = std::f64::consts::PI / 30.0;
    let mut largest = 0.0f64;
    for (place, kelvin) in [
        (Place::InletDuct, 273.15),
        (Place::InletDuct, 303.15),
        (Place::ColdPipe, 303.15),
    ] {
        let air = Surroundings::<f64> {
            temperature: kelvin,
            pressure: None,
            altitude: 0.0,
            humidity: 0.4,
        };
        let car = Network::new(
            read_toml(&vehicle()).unwrap(),
            vec![],
            air.ambient(),
            Command::IDLE,
        );
        let sound = Comparison::new(&car);
        let here = rows.iter().filter(|row| {
            row["leak.0.place"] == place.word()
                && (row["ambient.temperature [degC]"].parse::<f64>().unwrap() - kelvin + 273.15)
                    .abs()
                    < 1e-9
        });
        let mut seen = 0;
        for row in here {
            seen += 1;
            let diameter: f64 = row["leak.0.round_hole.diameter [mm]"].parse().unwrap();
            let shape = Shape::RoundHole(RoundHole {
                diameter: diameter * 1e-3,
            });
            let command = match row["point"].as_str() {
                "cruise" => Command::torque(2500.0 * rpm, 45.0),
                _ => Command::full_load(3000.0 * rpm),
            };
            let car = sound.instead(&car.leaking(vec![Leak { place, shape }]));
            let wanted = car.point("", command).faulty.unwrap().unwrap();
            for reading in [
                Reading::Boost,
                Reading::MeteredAir,
                Reading::FuelTrim,
                Reading::Torque,
            ] {
                let found: f64 = row[FORMS[reading as usize].key].parse().unwrap();
                let value = wanted.readings.get(reading).unwrap();
                let off = (found - value).abs() / value.abs().max(1.0);
                largest = largest.max(off);
                assert!(
                    off < 1e-6,
                    "{place} {diameter} {reading:?}: {found} {value}"
                );
            }
        }
        assert_eq!(seen, 32);
    }
    println!("largest difference {largest:.1e}");
}

#[test]
fn a_case_without_an_answer_is_a_row_with_its_reason() {
    let folder = scratch("failures");
    let axis = "
        [[axis]]
        key = \"point.0.torque\"
        values = [\"45 N m\", \"900 N m\", \"60 N m\"]
        [[point]]
        name = \"cruise\"
        speed = \"2500 rpm\"
        torque = \"45 N m\"
        ";
    let out = folder.join("out");
    let said = sweep(&study(&folder, axis), &out, &[]);
    assert!(
        said.contains("1 rows without an answer: unreachable"),
        "{said}"
    );
    let rows = rows(&out);
    let answers: Vec<&str> = rows.iter().map(|row| row["answer"].as_str()).collect();
    assert_eq!(answers, ["ok", "unreachable", "ok"]);
    assert!(
        rows[1]["reason"].contains("cannot reach 900.0 N m"),
        "{}",
        rows[1]["reason"]
    );
    assert_eq!(rows[1]["boost_kpa"], "");
    assert_eq!(rows[2]["torque_nm"].parse::<f64>().unwrap().round(), 60.0);
}

#[test]
fn values_that_contradict_each_other_are_rows_too() {
    let folder = scratch("contradiction");
    let drive = "
        readings = [\"boost_kpa\"]
        [[axis]]
        key = \"drive.0.gear\"
        values = [\"3\", \"2.5\"]
        [[drive]]
        name = \"hold\"
        duration = \"0.5 s\"
        pedal = \"60 %\"
        coupling = \"held\"
        speed = \"2500 rpm\"
        gear = 3
        ";
    let out = folder.join("out");
    sweep(&study(&folder, drive), &out, &[]);
    let rows = rows(&out);
    assert_eq!(rows[1]["answer"], "contradiction");
    assert!(rows[1]["reason"].contains("whole number"), "{:?}", rows[1]);
    let drive = |key: &str| rows[0][&format!("boost_kpa_{key}")].parse::<f64>().unwrap();
    assert_eq!(
        (rows[0]["answer"].as_str(), rows[0]["point"].as_str()),
        ("ok", "drive")
    );
    assert!(drive("min") <= drive("mean") && drive("mean") <= drive("max"));
    assert!(drive("min") <= drive("end") && drive("end") <= drive("max"));
    assert!(!rows[0].contains_key("torque_nm_end"));
}

#[test]
fn samples_stay_in_range_and_every_kind_of_axis_varies() {
    for sampling in ["latin_hypercube", "sobol"] {
        let folder = scratch(sampling);
        let text = format!(
            "sampling = {sampling:?}\ncount = 24\nseed = 7\nreadings = [\"boost_kpa\"]
            [[axis]]
            key = \"leak.0.shape\"
            shapes = [{{ round_hole = {{ diameter = \"2 mm\" }} }}, {{ slot = {{ gap = \"0.2 mm\", length = \"20 mm\", depth = \"5 mm\" }} }}]
            [[axis]]
            key = \"vehicle.turbine.throat_area\"
            from = \"3.4 cm2\"
            to = \"4.2 cm2\"
            [[axis]]
            key = \"vehicle.metering\"
            values = [\"air_flow_meter\", \"speed_density\"]
            [[axis]]
            key = \"vehicle.filling.1.1\"
            from = \"0.85\"
            to = \"0.95\"
            [[axis]]
            key = \"trims\"
            values = [\"learned\", \"fresh\"]
            [[axis]]
            key = \"leak.0.place\"
            values = [\"inlet_duct\", \"manifold_gasket\", \"hot_pipe\"]
            {CRUISE}"
        );
        let out = folder.join("out");
        sweep(&study(&folder, &text), &out, &[]);
        let rows = rows(&out);
        assert_eq!(rows.len(), 24);
        assert!(rows.iter().all(|row| row["answer"] == "ok"), "{sampling}");
        let count =
            |key: &str, word: &str| rows.iter().filter(|row| row[key].starts_with(word)).count();
        for (key, word, wanted) in [
            ("leak.0.shape", "slot: gap 0.2 mm, length 20 mm", 12),
            ("vehicle.metering", "speed_density", 12),
            ("leak.0.place", "hot_pipe", 8),
        ] {
            let found = count(key, word);
            // A Latin hypercube takes each third exactly, a shifted Sobol sequence nearly.
            let slack = usize::from(sampling == "sobol") * 3;
            assert!(found.abs_diff(wanted) <= slack, "{sampling} {key}: {found}");
        }
        let head = rows[0]
            .keys()
            .find(|key| key.starts_with("vehicle.turbine"))
            .unwrap();
        let areas: Vec<f64> = rows.iter().map(|row| row[head].parse().unwrap()).collect();
        let (low, high) = (0.34, 0.42);
        let scale = if head.contains("cm") { 0.1 } else { 1e-3 };
        assert!(
            areas.iter().all(|a| (low..high).contains(&(a * scale))),
            "{head} {areas:?}"
        );
    }
}
