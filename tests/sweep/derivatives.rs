//! Exact derivatives as columns, beside differences of the rows around them.

use super::*;

const PULL: &str = "[[point]]\nname = \"pull\"\nspeed = \"3000 rpm\"\npedal = \"100 %\"\n\
     [[point]]\nname = \"idle\"\nidle = true\n";

fn axis(key: &str, from: &str, to: &str) -> String {
    format!("[[axis]]\nkey = {key:?}\nfrom = {from:?}\nto = {to:?}\ncount = 9\n")
}

/// Derivative at the middle of nine even values, by differences of order 8.
fn by_differences(values: &[f64], step: f64) -> f64 {
    let weight = [4.0 / 5.0, -1.0 / 5.0, 4.0 / 105.0, -1.0 / 280.0];
    let sum: f64 = (1..=4)
        .map(|k| weight[k - 1] * (values[4 + k] - values[4 - k]))
        .sum();
    sum / step
}

#[test]
fn derivative_columns_are_those_of_the_differences_of_the_rows() {
    for (key, from, to, unit) in [
        ("leak.0.round_hole.diameter", "2.8 mm", "3.2 mm", " [mm]"),
        (
            "vehicle.turbine.throat_area",
            "336 mm2",
            "340 mm2",
            " [mm2]",
        ),
        ("vehicle.cylinders.filling_share", "0.99", "1.01", ""),
    ] {
        let folder = scratch(&format!("derivative {key}"));
        let head = format!("derivatives = [{key:?}]\n");
        let text = format!("{head}{}{CRUISE}{PULL}", axis(key, from, to));
        let out = folder.join("out");
        sweep(&study(&folder, &text), &out, &[]);
        let rows = rows(&out);
        let mut seen = 0;
        for point in ["cruise", "pull", "idle"] {
            let rows: Vec<_> = rows.iter().filter(|row| row["point"] == point).collect();
            let number = |row: usize, column: &str| -> f64 { rows[row][column].parse().unwrap() };
            let own = format!("{key}{unit}");
            let step = number(1, &own) - number(0, &own);
            for reading in ["fuel_trim_pct", "manifold_kpa", "shaft_krpm", "torque_nm"] {
                let values: Vec<f64> = (0..9).map(|row| number(row, reading)).collect();
                let wanted = by_differences(&values, step);
                let found = number(4, &format!("{reading} per {own}"));
                let scale = wanted
                    .abs()
                    .max(1e-3 * values[4].abs().max(1.0) / number(4, &own));
                assert!(
                    (found - wanted).abs() < 1e-4 * scale,
                    "{point} {reading} per {own}: {found} {wanted}"
                );
                seen += 1;
            }
        }
        assert_eq!(seen, 12);
        let manifest = fs::read_to_string(out.join("manifest.json")).unwrap();
        let manifest: serde_json::Value = serde_json::from_str(&manifest).unwrap();
        let columns = manifest["columns"].as_array().unwrap();
        let name = format!("boost_kpa per {key}{unit}");
        let column = columns
            .iter()
            .find(|column| column["name"] == name.as_str());
        let wanted = match unit {
            "" => "kPa".to_string(),
            unit => format!("kPa/{}", &unit[2..unit.len() - 1]),
        };
        assert_eq!(column.unwrap()["unit"], wanted.as_str());
    }
}

#[test]
fn a_car_without_the_number_has_no_derivative() {
    let folder = scratch("derivative of another shape");
    let text = format!(
        "readings = [\"boost_kpa\"]\nderivatives = [\"leak.0.round_hole.diameter\"]\n{PULL}\
         [[axis]]\nkey = \"leak.0.shape\"\nshapes = [{{ round_hole = {{ diameter = \"3 mm\" }} }}, \
         {{ slot = {{ gap = \"0.5 mm\", length = \"20 mm\", depth = \"5 mm\" }} }}]\n"
    );
    let out = folder.join("out");
    sweep(&study(&folder, &text), &out, &[]);
    let found: Vec<bool> = (rows(&out).iter())
        .map(|row| row["boost_kpa per leak.0.round_hole.diameter [mm]"].is_empty())
        .collect();
    assert_eq!(found, [false, false, true, true]);
}

#[test]
fn derivatives_by_what_the_car_has_not_are_refused() {
    let folder = scratch("derivative refused");
    let axis = axis("leak.0.round_hole.diameter", "1 mm", "2 mm");
    for (key, said) in [
        (
            "leak.0.slot.gap",
            "numbers that the car of the first case has",
        ),
        ("ambient.temperature", "of a leak, a fault or the vehicle"),
        ("leak.0.place", "not by a choice"),
        ("leak.0.round_hole.diamter", "did you mean `diameter`?"),
    ] {
        let text = format!("derivatives = [{key:?}]\n{axis}{PULL}");
        let answer = refused(&study(&folder, &text), &folder.join("out"), &[]);
        assert!(answer.contains(said), "{answer}");
    }
}
