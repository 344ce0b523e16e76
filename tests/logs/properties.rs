//! Any order of columns, any supported unit, any separator: the same result.

use super::*;
use proptest::prelude::*;
use proptest::sample::{Index, select};

/// A column: what it holds, and the ways of writing it: header, and the number for it.
type Way = (&'static str, fn(f64) -> f64);
const WAYS: &[(&str, &[Way])] = &[
    (
        "time",
        &[
            ("Time [s]", |x| x),
            ("Time (ms)", |x| x * 1e3),
            ("Elapsed time, sec", |x| x + 1000.0),
        ],
    ),
    (
        "engine_speed_rpm",
        &[
            ("Engine speed [rpm]", |x| x),
            ("RPM", |x| x),
            ("engine_speed 1/min", |x| x),
        ],
    ),
    (
        "vehicle_speed_km_h",
        &[
            ("Vehicle speed (km/h)", |x| x),
            ("Speed mph", |x| x / 1.609_344),
            ("Road speed [m/s]", |x| x / 3.6),
        ],
    ),
    (
        "pedal_pct",
        &[
            ("Pedal [%]", |x| x),
            ("Accelerator pct", |x| x),
            ("APP %", |x| x),
        ],
    ),
    (
        "metered_air_g_s",
        &[
            ("MAF [g/s]", |x| x),
            ("Air flow (kg/h)", |x| x * 3.6),
            ("Mass air flow lb/min", |x| x * 60.0 / 453.592_37),
        ],
    ),
    (
        "manifold_kpa",
        &[
            ("MAP [kPa abs]", |x| x),
            ("Manifold pressure (psia)", |x| x / 6.894_757_293),
            ("Intake manifold pressure mbar abs", |x| x * 10.0),
            ("Manifold pressure [bar gauge]", |x| (x - 98.5) / 100.0),
            ("Manifold absolute pressure (inHg)", |x| x / 3.386_388_640),
        ],
    ),
    (
        "boost_sensor_kpa",
        &[
            ("Boost [kPa gauge]", |x| x),
            ("Boost psi", |x| x / 6.894_757_293),
            ("Boost pressure [bar abs]", |x| (x + 98.5) / 100.0),
            ("Charge pressure (hPa)", |x| (x + 98.5) * 10.0),
        ],
    ),
    (
        "intake_temp_c",
        &[
            ("IAT [°C]", |x| x),
            ("Intake air temp F", |x| x * 1.8 + 32.0),
            ("Intake temperature [K]", |x| x + 273.15),
        ],
    ),
    (
        "lambda_sensor",
        &[
            ("Lambda", |x| x),
            ("AFR", |x| x * 14.7),
            ("Wideband lambda", |x| x),
        ],
    ),
    (
        "ambient_kpa",
        &[
            ("Baro [kPa]", |x| x),
            ("Barometric pressure (inHg)", |x| x / 3.386_388_640),
        ],
    ),
];

/// The drive of `plain.csv` in the units of its readings.
fn drive() -> Vec<Vec<f64>> {
    let text = std::fs::read_to_string(shipped("plain.csv")).unwrap();
    let places = [0, 1, 2, 3, 5, 6, 7, 8, 12, 14];
    let rows = text.lines().skip(1).map(|line| {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        places.map(|i| cells[i]).to_vec()
    });
    rows.collect()
}

/// The log so written.
fn write(
    order: &[usize],
    ways: &[usize],
    separator: char,
    comma: bool,
    latin: bool,
    end: &str,
) -> Vec<u8> {
    let way = |i: usize| WAYS[i].1[ways[i] % WAYS[i].1.len()];
    let number = |x: f64| {
        let text = format!("{x:.7}");
        if comma { text.replace('.', ",") } else { text }
    };
    let cell = |text: &str| match text.contains(separator) {
        true => format!("\"{text}\""),
        false => text.to_string(),
    };
    let join = |cells: Vec<String>| cells.join(&separator.to_string()) + end;
    let mut text = join(order.iter().map(|i| cell(way(*i).0)).collect());
    for row in drive() {
        text += &join(
            order
                .iter()
                .map(|i| cell(&number(way(*i).1(row[*i]))))
                .collect(),
        );
    }
    match latin {
        true => text
            .chars()
            .map(|c| u8::try_from(u32::from(c)).unwrap())
            .collect(),
        false => text.into_bytes(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn order_units_and_separators_change_nothing(
        order in Just((0..WAYS.len()).collect::<Vec<usize>>()).prop_shuffle(),
        ways in prop::collection::vec(any::<Index>().prop_map(|i| i.index(60)), WAYS.len()),
        separator in select(vec![',', ';', '\t', '|']),
        comma in any::<bool>(),
        latin in any::<bool>(),
        end in select(vec!["\n", "\r\n", ",\n", ";;\r\n"]),
    ) {
        // Trailing separators are those of the file.
        let end = end.replace([',', ';'], &separator.to_string());
        let content = write(&order, &ways, separator, comma, latin, &end);
        let log = bytes(&format!("property-{}.csv", std::process::id()), &content);
        let log = log.map_err(|e| TestCaseError::fail(e.to_string()))?;
        let plain = super::log("plain.csv");
        prop_assert_eq!(log.windows.len(), plain.windows.len());
        for (found, wanted) in log.windows.iter().zip(&plain.windows) {
            prop_assert_eq!(found.kind, wanted.kind);
            prop_assert_eq!(found.seconds, wanted.seconds);
            for (key, _) in &WAYS[1..] {
                let a = found.get(channel(key));
                let a = a.ok_or_else(|| TestCaseError::fail(format!("{key} is missing")))?;
                let b = wanted.get(channel(key)).unwrap();
                prop_assert!((a.mean - b.mean).abs() < 1e-4 * (1.0 + b.mean.abs()), "{}: {} {}", key, a.mean, b.mean);
                prop_assert!((a.doubt - b.doubt).abs() < 1e-3 * (0.1 + b.doubt), "{}: {:?} {:?}", key, a, b);
            }
        }
        prop_assert_eq!(log.pulls.len(), 1);
    }
}
