//! A measured vessel: discharge, filling from vacuum, and what the decay test makes of both.

use crate::tank::{T0, air, hole};
use sim::flow::Flow;
use sim::leak::HoseOff;
use sim::medium::GasState;
use sim::study::running::tank::{Tank, Wall};
use sim::study::workshop::decay::{Checked, Pair, VOLUME_DOUBTS};

/// Measured (digitised from a published experiment; MIT-licensed collection, source
/// paper not named there): vessel 0.200 m x 0.515 m, orifice 2.71 mm, air 7.9 bar.
const PRESSURE: [[f64; 2]; 12] = [
    [0.226, 7.6883],
    [4.14, 5.6748],
    [8.06, 4.2327],
    [12.0, 3.2582],
    [15.7, 2.6213],
    [19.6, 2.0884],
    [23.6, 1.7112],
    [27.6, 1.412],
    [31.5, 1.2037],
    [35.2, 1.0863],
    [39.2, 1.0209],
    [43.2, 1.0074],
];
const TEMPERATURE: [[f64; 2]; 12] = [
    [3.58, 285.9],
    [7.65, 275.3],
    [11.4, 265.8],
    [15.2, 261.1],
    [19.2, 257.8],
    [23.2, 256.4],
    [26.8, 256.7],
    [30.8, 257.8],
    [34.7, 260.4],
    [38.6, 264.2],
    [42.5, 268.6],
    [46.2, 272.6],
];

/// The same vessel evacuated to 3.7 kPa at 295 K and filled through the same orifice (same
/// collection, same marks): time s, pressure bar. The first point is below the start stated.
const FILLING: [[f64; 2]; 14] = [
    [0.3882, 0.019082],
    [2.3087, 0.17692],
    [5.0182, 0.33477],
    [6.9438, 0.477],
    [9.4554, 0.63658],
    [12.369, 0.77362],
    [13.319, 0.88289],
    [16.254, 0.95577],
    [19.198, 1.0009],
    [25.705, 1.0062],
    [41.089, 1.0082],
    [56.079, 1.0068],
    [69.689, 1.0053],
    [77.184, 1.0054],
];
/// Temperature of its gas, read near the top.
const FILLING_TEMPERATURE: [[f64; 2]; 12] = [
    [1.12, 309.9],
    [2.73, 312.1],
    [6.91, 314.1],
    [12.5, 313.7],
    [17.0, 312.3],
    [21.8, 311.4],
    [27.3, 310.0],
    [35.4, 306.0],
    [46.3, 303.3],
    [55.2, 301.5],
    [64.2, 300.2],
    [77.8, 298.8],
];
const EVACUATED: f64 = 3.7e3;
const FILLED_AT: f64 = 295.0;
/// What the record ends at, bar.
const FILLED_TO: f64 = 1.006;

const DIAMETER: f64 = 0.200;
const LENGTH: f64 = 0.515;
/// Of the orifice, m.
const BORE: f64 = 2.71e-3;

/// Time constant of the temperature probe, s: the one number fitted to this record.
const PROBE: f64 = 6.0;

/// Volume and inner surface of the vessel.
fn vessel() -> [f64; 2] {
    let end = std::f64::consts::PI / 4.0 * DIAMETER * DIAMETER;
    let surface = std::f64::consts::PI * DIAMETER * LENGTH + 2.0 * end;
    [end * LENGTH, surface]
}

/// The vessel from `start` Pa abs, gas, wall and air outside at one temperature.
///
/// The heat law is that of woodfield2007 (S formula, M paper), with a wall that keeps its
/// temperature; that its Reynolds number is on the vessel's bore was chosen with the filling in
/// sight, no number of it was fitted to either record.
fn vessel_from(
    [start, outside, temperature]: [f64; 3],
    element: impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64>,
    wall: impl Fn(f64) -> Wall,
    times: &[f64],
) -> Vec<GasState<f64>> {
    let (gas, [volume, surface]) = (air(), vessel());
    let outside = gas.state(outside, temperature);
    let tank = Tank {
        volume,
        gas,
        wall: wall(surface),
    };
    let run = tank.run(start, temperature, outside, element);
    run.trace(times).unwrap()
}

/// The orifice as a file's open stub of its bore alone: 0.82, a short tube with a square edge
/// (Weisbach, S).
fn stub(a: &GasState<f64>, b: &GasState<f64>) -> Flow<f64> {
    let stub: HoseOff = serde_json::from_str(r#"{ "bore": "2.71 mm" }"#).unwrap();
    stub.flow(a, b)
}

/// The vessel, filled to 7.9 bar at t = 0. The room, 1.00 bar and 20 degC, is assumed: the
/// record does not say. Its coefficient 0.84 is fitted: what the check values find from this
/// very record with the measured temperature imposed (upper end of Weisbach's short tubes, S);
/// with the program's own see
/// [`one_wall_law_for_discharge_and_vacuum_filling`].
fn measured_vessel(wall: impl Fn(f64) -> Wall, times: &[f64]) -> Vec<GasState<f64>> {
    vessel_from([7.9e5, 1.00e5, T0], hole(BORE, 0.84), wall, times)
}

fn convection_at(temperature: f64) -> impl Fn(f64) -> Wall {
    move |area| Wall::Convection {
        area,
        diameter: DIAMETER,
        temperature,
        heat_capacity: f64::INFINITY,
    }
}

fn convection(area: f64) -> Wall {
    convection_at(T0)(area)
}

/// The vessel evacuated at t = 0.
fn filling_vessel(wall: impl Fn(f64) -> Wall, times: &[f64]) -> Vec<GasState<f64>> {
    vessel_from([EVACUATED, FILLED_TO * 1e5, FILLED_AT], stub, wall, times)
}

/// One wall law and one hole for the discharge and for the filling from vacuum: the worst
/// pressure within 5 % of the range that each runs through.
#[test]
fn one_wall_law_for_discharge_and_vacuum_filling() {
    let worst = |what: &str, record: &[[f64; 2]], gas: &[GasState<f64>], range: f64| {
        let errors = gas.iter().zip(record);
        let errors = errors.map(|(gas, [_, bar])| 100.0 * (gas.pressure / 1e5 - bar) / range);
        report(what, "% of the range", errors).1
    };
    let times = |record: &[[f64; 2]]| record.iter().map(|p| p[0]).collect::<Vec<f64>>();
    let emptied = vessel_from([7.9e5, 1.00e5, T0], stub, convection, &times(&PRESSURE));
    assert!(worst("discharge", &PRESSURE, &emptied, 6.9) < 5.0);
    let range = FILLED_TO - EVACUATED / 1e5;
    let filled = |wall: &dyn Fn(f64) -> Wall| filling_vessel(wall, &times(&FILLING));
    let law = filled(&convection_at(FILLED_AT));
    assert!(worst("vacuum filling", &FILLING, &law, range) < 5.0);
    // The law does work: with either limit it would not do.
    for wall in [Wall::Adiabatic, Wall::Isothermal] {
        let limit = filled(&|_| wall);
        assert!(worst("vacuum filling, a limit", &FILLING, &limit, range) > 5.0);
    }
    // The gas is warmed by less than a fifth of the 118 K of an insulated vessel (F: γ T), as
    // measured; the probe near the top reads the warmest.
    let gas = filling_vessel(convection_at(FILLED_AT), &times(&FILLING_TEMPERATURE));
    let pairs = gas.iter().zip(FILLING_TEMPERATURE);
    let errors = pairs.map(|(gas, [_, kelvin])| gas.temperature - kelvin);
    let (rms, _) = report("temperature while filling", "K", errors);
    assert!(rms < 12.0);
}

/// `workshop decay` on pairs of readings of both records, the first at the start: its 90 %
/// interval holds the effective area, 5.77 mm² times 0.82 to 0.84.
#[test]
fn the_decay_test_finds_the_hole_of_both_records() {
    let [volume, surface] = vessel();
    let truth = [0.82, 0.84].map(|cd| cd * std::f64::consts::PI / 4.0 * BORE * BORE);
    let test = |start: f64, ambient: f64, temperature: f64| Checked {
        volume,
        volume_doubt: VOLUME_DOUBTS.1,
        start,
        ambient,
        temperature,
        bore: 4.0 * volume / surface,
        // The points scatter by 2 to 5 kPa: the first of the filling stands 1.8 kPa below its
        // start, the seventh 5 kPa above what the orifice can have passed since the sixth.
        resolution: 5e3,
        drift: 0.1,
    };
    let holds = |what: &str, test: Checked, [time, bar]: [f64; 2]| {
        let pair = Pair {
            start: test.start - test.ambient,
            end: bar * 1e5 - test.ambient,
            time,
            volume_share: 1.0,
        };
        let area = test.find(&pair, None).unwrap().area;
        let [low, likely, high] = [area.low, area.value, area.high].map(|area| area * 1e6);
        println!("{what} to {bar} bar: {likely:.2} mm2, {low:.2} to {high:.2}");
        assert!(
            area.low < truth[0] && truth[1] < area.high,
            "{low} to {high}"
        );
    };
    for reading in &PRESSURE[2..9] {
        holds("discharge", test(7.9e5, 1.00e5, T0), *reading);
    }
    for reading in &FILLING[2..8] {
        let test = test(EVACUATED, FILLED_TO * 1e5, FILLED_AT);
        holds("filling", test, *reading);
    }
}

/// What a probe that lags by `tau` reads of a temperature known every `step` seconds.
fn lagging(truth: &[f64], step: f64, tau: f64) -> Vec<f64> {
    let mut reading = truth[0];
    let follow = |pair: &[f64]| {
        // Exact for a straight line between the two.
        let slope = (pair[1] - pair[0]) / step;
        let behind = (reading - pair[0] + slope * tau) * (-step / tau).exp();
        reading = pair[1] - slope * tau + behind;
        reading
    };
    truth.windows(2).map(follow).collect()
}

/// Root mean square and worst, printed.
fn report(what: &str, unit: &str, errors: impl Iterator<Item = f64>) -> (f64, f64) {
    let errors: Vec<f64> = errors.collect();
    let worst = errors.iter().fold(0.0, |w: f64, e| w.max(e.abs()));
    let rms = (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt();
    println!("{what}: rms {rms:.2} {unit}, worst {worst:.2} {unit}");
    (rms, worst)
}

#[test]
fn measured_vessel_discharge() {
    let times = |points: &[[f64; 2]]| points.iter().map(|p| p[0]).collect::<Vec<f64>>();

    let pressures = measured_vessel(convection, &times(&PRESSURE));
    let pairs = pressures.iter().zip(PRESSURE);
    let errors = pairs.map(|(gas, [_, bar])| 100.0 * (gas.pressure / bar / 1e5 - 1.0));
    let (rms, worst) = report("pressure", "%", errors);
    assert!(rms < 4.5 && worst < 8.0);

    let gas = measured_vessel(convection, &times(&TEMPERATURE));
    let pairs = gas.iter().zip(TEMPERATURE);
    let errors = pairs.map(|(gas, [_, kelvin])| gas.temperature - kelvin);
    let (rms, worst) = report("temperature of the gas", "K", errors);
    // The record starts to fall much later than expansion allows (2.6 K/s where
    // nothing but a jump of wall heat could keep it from 6.9 K/s): the probe lags.
    assert!(rms < 11.0 && worst < 19.0);

    let step = 0.01;
    let every: Vec<f64> = (0..=4700).map(|i| f64::from(i) * step).collect();
    let truth: Vec<f64> = measured_vessel(convection, &every)
        .iter()
        .map(|gas| gas.temperature)
        .collect();
    let reading = lagging(&truth, step, PROBE);
    let at = |time: f64| reading[(time / step).round() as usize - 1];
    let errors = TEMPERATURE.iter().map(|[time, kelvin]| at(*time) - kelvin);
    let (rms, worst) = report("temperature read by a probe of 6 s", "K", errors);
    assert!(rms < 6.0 && worst < 9.0);

    // The shape: coldest when measured, within a reading.
    let coldest = |of: &dyn Fn(usize) -> f64| {
        (0..TEMPERATURE.len())
            .min_by(|a, b| of(*a).total_cmp(&of(*b)))
            .unwrap()
    };
    let (read, measured) = (
        coldest(&|i| at(TEMPERATURE[i][0])),
        coldest(&|i| TEMPERATURE[i][1]),
    );
    assert!(read.abs_diff(measured) <= 1, "{read}, measured {measured}");
}

/// Without heat, or with all of it, the same vessel is far off: the heat law does work.
#[test]
fn measured_vessel_tells_the_wall_laws_apart() {
    let times: Vec<f64> = PRESSURE.iter().map(|p| p[0]).collect();
    let rms = |what: &str, wall: Wall| {
        let gas = measured_vessel(|_| wall, &times);
        let pairs = gas.iter().zip(PRESSURE);
        report(
            what,
            "%",
            pairs.map(|(gas, [_, bar])| 100.0 * (gas.pressure / bar / 1e5 - 1.0)),
        )
        .0
    };
    assert!(rms("pressure, adiabatic", Wall::Adiabatic) > 8.0);
    assert!(rms("pressure, isothermal", Wall::Isothermal) > 8.0);
}
