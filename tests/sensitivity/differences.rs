//! Exact sensitivities against central differences of re-solved points: the whole
//! procedure is run again with a changed number, learning at idle and cruise included.

use falseair::input::read_toml;
use sim::control::{Command, Memory, TrimCarried, TrimCells};
use sim::leak::{RoundHole, Shape};
use sim::network::layout::state;
use sim::network::readings::{ALL, FORMS, READINGS};
use sim::network::{Ambient, Fault, FaultKind, Leak, Network, Place, Vehicle};
use sim::solve::steady::steady;
use sim::solve::{State, linearise};
use sim::study::asking::sensitivity::{Quantity, Sensitivity, named, quantities};
use sim::study::running::simulate::Comparison;
use std::f64::consts::PI;
use std::path::Path;

pub fn car(name: &str) -> Network<f64> {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/vehicles/{name}.toml"));
    let mut vehicle: Vehicle = read_toml(&path).unwrap_or_else(|e| panic!("{e}"));
    let ambient = Ambient {
        pressure: 101_325.0,
        temperature: 293.15,
        water_mole_fraction: 0.01,
    };
    // The computer takes the air for what it is here.
    vehicle.meter.assumed_water = ambient.water_mole_fraction;
    Network::new(vehicle, Vec::new(), ambient, Command::IDLE)
}

pub fn hole(place: Place, diameter: f64) -> Leak<f64> {
    Leak {
        place,
        shape: Shape::RoundHole(RoundHole { diameter }),
    }
}

pub fn rpm(n: f64) -> f64 {
    n * PI / 30.0
}

/// Idle, cruise, and full load.
pub fn points() -> [(&'static str, Command); 4] {
    [
        ("idle", Command::IDLE),
        ("cruise", Command::torque(rpm(2500.0), 45.0)),
        ("full load 2000", Command::full_load(rpm(2000.0))),
        ("full load 3700", Command::full_load(rpm(3700.0))),
    ]
}

/// The steady state of a command to the last bits: two further Newton steps.
fn polished(network: &Network<f64>, guess: &State) -> State {
    let mut x = steady(network, guess).expect("runs").state;
    for _ in 0..2 {
        let at = linearise(network, &x);
        x -= at.jacobian.lu().solve(&at.rates).expect("regular");
    }
    x
}

/// The states from which a run starts: idle, learning cruise, points.
struct Base {
    idle: State,
    cruise: State,
    /// Where the computer has a cell for high load.
    brisk: Option<State>,
    points: Vec<State>,
}

/// Learns and runs the points, as `Comparison` does, written anew: idle, then cruise
/// at 250 rad/s and 2.5 bar, where there is a cell for it 314 rad/s and 8 bar, then each point with what was learnt.
fn run(network: &Network<f64>, base: &Base) -> (Vec<[f64; READINGS]>, Base) {
    let told = |command: Command, memory: Memory| {
        network.with(Command {
            memory: Some(memory),
            ..command
        })
    };
    let mut memory = Memory {
        idle_opening: 0.03,
        idle_trim: 0.0,
        part_load_trim: 0.0,
        high_load_trim: 0.0,
    };
    let idle = polished(&told(Command::IDLE, memory), &base.idle);
    memory.idle_opening = idle[state::IDLE];
    memory.idle_trim = idle[state::IDLE_TRIM];
    let torque = |pressure: f64| pressure * network.vehicle.cylinders.displacement / (4.0 * PI);
    let cruise = Command::torque(250.0, torque(2.5e5));
    let cruise = polished(&told(cruise, memory), &base.cruise);
    memory.part_load_trim = cruise[state::PART_TRIM];
    let brisk = base.brisk.map(|guess| {
        let brisk = Command::torque(314.0, torque(8e5));
        polished(&told(brisk, memory), &guess)
    });
    memory.high_load_trim = brisk.map_or(0.0, |x| x[state::HIGH_TRIM]);
    let mut read = Vec::new();
    let mut states = Vec::new();
    for ((_, command), guess) in points().into_iter().zip(&base.points) {
        let network = told(command, memory);
        let x = polished(&network, guess);
        let moment = network.evaluate(&x.data.0[0]);
        read.push(network.readings(&x.data.0[0], &moment).values);
        states.push(x);
    }
    let base = Base {
        idle,
        cruise,
        brisk,
        points: states,
    };
    (read, base)
}

/// Central difference of order 6.
const WEIGHTS: [f64; 3] = [3.0 / 4.0, -3.0 / 20.0, 1.0 / 60.0];
/// Steps tried, shares of the quantity: round-off falls with the step, truncation
/// grows; the best counts.
const STEPS: [f64; 5] = [1e-3, 1e-2, 3e-4, 1e-4, 3e-5];

/// Size by which the slopes of unlike quantities are compared: the quantity, or
/// for one that is zero, a step of the size that matters.
fn size(quantity: &Quantity) -> f64 {
    match quantity.key.as_str() {
        "fuelling.sensor_offset" => 0.05,
        "boost.sensor_offset" | "meter.pressure_offset" => 5e3,
        _ => quantity.value.abs(),
    }
}

fn check(network: &Network<f64>, by: &[&str]) {
    let cars = Comparison::new(network);
    let all = quantities(network);
    let by: Vec<String> = by.iter().map(|key| key.to_string()).collect();
    let chosen = named(&all, &by).expect("known");
    assert!(chosen.len() >= 25, "{}", chosen.len());
    let sensitivity = Sensitivity::new(&cars, chosen.clone());
    let exact: Vec<_> = points()
        .into_iter()
        .map(|(name, command)| sensitivity.point(name, command).expect("runs"))
        .collect();
    let base = Base {
        idle: cars.learnt(true).idle.unwrap(),
        cruise: cars.learnt(true).cruise.unwrap(),
        brisk: cars.learnt(true).brisk,
        points: exact.iter().map(|point| point.side.state).collect(),
    };
    let (values, base) = run(network, &base);
    for (point, values) in exact.iter().zip(&values) {
        for (i, value) in values.iter().enumerate() {
            let gap = (point.side.readings.values[i] - value).abs();
            let nothing = value.is_nan() && point.side.readings.values[i].is_nan();
            assert!(
                nothing || gap <= 1e-6 * value.abs().max(1.0),
                "{}",
                FORMS[i].key
            );
        }
    }
    // Largest effect on each reading at each point; what a loop holds (torque at idle)
    // moves with nothing, and is measured against a thousandth of itself.
    let effect =
        |p: usize, i: usize, j: usize| exact[p].slope(ALL[i], j).unwrap_or(0.0) * size(&chosen[j]);
    let largest: Vec<[f64; READINGS]> = (0..exact.len())
        .map(|p| {
            std::array::from_fn(|i| {
                let all = (0..chosen.len()).map(|j| effect(p, i, j).abs());
                all.fold(
                    1e-3 * exact[p].side.readings.values[i].abs().max(1.0),
                    f64::max,
                )
            })
        })
        .collect();
    let mut worst = (0.0, String::new());
    for (j, quantity) in chosen.iter().enumerate() {
        let mut best = vec![[f64::INFINITY; READINGS]; exact.len()];
        for step in STEPS {
            let h = step * size(quantity);
            let mut sums = vec![[0.0; READINGS]; exact.len()];
            for (k, weight) in WEIGHTS.iter().enumerate() {
                for sign in [1.0, -1.0] {
                    let by = sign * (k + 1) as f64 * h;
                    let moved =
                        network.map(&mut |key, v| if key == quantity.key { v + by } else { v });
                    for (sum, read) in sums.iter_mut().zip(run(&moved, &base).0) {
                        for (sum, value) in sum.iter_mut().zip(read) {
                            *sum += sign * weight * value / step;
                        }
                    }
                }
            }
            for (p, sum) in sums.iter().enumerate() {
                for i in 0..READINGS {
                    if exact[p].slope(ALL[i], j).is_some() {
                        let gap = (effect(p, i, j) - sum[i]).abs() / largest[p][i];
                        best[p][i] = best[p][i].min(gap);
                    } else {
                        best[p][i] = 0.0;
                    }
                }
            }
            if best.iter().flatten().all(|gap| *gap < 1e-7) {
                break;
            }
        }
        for (p, best) in best.iter().enumerate() {
            for (i, gap) in best.iter().enumerate() {
                if *gap > worst.0 {
                    worst = (
                        *gap,
                        format!("{} by {} at {}", FORMS[i].key, quantity.key, exact[p].name),
                    );
                }
                if *gap > 1e-6 {
                    println!(
                        "{} by {} at {}: exact {:.9e} gap {gap:.1e}",
                        FORMS[i].key,
                        quantity.key,
                        exact[p].name,
                        effect(p, i, j)
                    );
                }
            }
        }
    }
    println!(
        "{} quantities, worst gap {:.1e}: {}",
        chosen.len(),
        worst.0,
        worst.1
    );
    for point in &exact {
        println!("{}: {:?}", point.name, point.stops);
    }
    assert!(worst.0 <= 1e-6, "{}", worst.1);
}

const BY: [&str; 33] = [
    "boost.most_duty",
    "boost.fixed_duty",
    "recirculation_valve.discharge_coefficient",
    "filling.2.1",
    "filling.1.1",
    "filter.reference_loss",
    "compressor.wheel_diameter",
    "compressor.peak_head",
    "compressor.work",
    "cooler.reference_loss",
    "cooler_heat.conductance",
    "hot_pipe.wall_conductance",
    "throttle.bore",
    "throttle.closed_area",
    "manifold.wall_above_ambient",
    "cylinders.displacement",
    "cylinders.compression_ratio",
    "cylinders.cycle_quality",
    "cylinders.knock_pressure",
    "cylinders.blow_by_area",
    "crankcase.valve_area",
    "turbine.throat_area",
    "turbine.peak_efficiency",
    "wastegate.preload",
    "wastegate.bleed_bore",
    "shaft.bearing_loss",
    "silencer.reference_loss",
    "meter.meter_scale",
    "meter.pressure_offset",
    "fuelling.full_load_lambda",
    "fuelling.sensor_offset",
    "boost.sensor_offset",
    "drive.idle_speed",
];

#[test]
fn exact_slopes_agree_with_differences_air_flow_meter() {
    let sound = car("brindle-16");
    let leaks = vec![hole(Place::HotPipe, 3e-3), hole(Place::BreatherUnion, 2e-3)];
    let faults = vec![Fault {
        kind: FaultKind::MeterReads,
        severity: 0.96,
    }];
    let network = sound.leaking(leaks).ailing(faults);
    let mut by = BY.to_vec();
    by.extend([
        "leak.0.round_hole.diameter",
        "leak.1.round_hole.diameter",
        "fault.0.meter_reads",
    ]);
    check(&network, &by);
}

#[test]
fn exact_slopes_agree_with_differences_speed_density() {
    let sound = car("tamsel-20");
    let leaks = vec![hole(Place::ManifoldGasket, 1.2e-3)];
    let faults = vec![Fault {
        kind: FaultKind::FuelDelivery,
        severity: 0.97,
    }];
    let network = sound.leaking(leaks).ailing(faults);
    let mut by = BY.to_vec();
    by.extend(["leak.0.round_hole.diameter", "fault.0.fuel_delivery"]);
    check(&network, &by);
}

/// The same where trims are kept by load, full load carries the cell of high load, and the
/// wastegate rests open.
#[test]
fn exact_slopes_agree_with_differences_other_strategies() {
    let mut sound = car("brindle-16");
    sound.vehicle.trim_cells = TrimCells::ByLoad;
    sound.vehicle.trim_carried = TrimCarried::HighestCell;
    sound.vehicle.boost.rest_opening = 0.2;
    sound.sound = sound.vehicle.clone();
    let faults = vec![Fault {
        kind: FaultKind::MeterReads,
        severity: 0.96,
    }];
    let network = sound
        .leaking(vec![hole(Place::ColdPipe, 3e-3)])
        .ailing(faults);
    assert!(Comparison::new(&network).learnt(true).brisk.is_some());
    let mut by = BY.to_vec();
    by.extend([
        "leak.0.round_hole.diameter",
        "fault.0.meter_reads",
        "boost.rest_opening",
        "meter.assumed_water",
    ]);
    check(&network, &by);
}
