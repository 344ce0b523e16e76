//! The exact Jacobian against differences of order 8, state by state, at random
//! physical states.

use crate::cars::{Random, car, hole, network};
use sim::control::Command;
use sim::network::layout::{Node, SCALE, STATES, VOLUMES, state, state_name};
use sim::network::{Network, Place};
use sim::solve::{State, linearise, linearise_by_duals, rates};

/// A random state inside the ranges an engine sees: intake 25-250 kPa and
/// 260-420 K, exhaust 100-300 kPa and 500-1300 K, any actuator position.
pub fn random_state(network: &Network<f64>, random: &mut Random) -> State {
    let mut x = State::zeros();
    let burned = network.medium.stoichiometric_fuel_fraction();
    let ranges = [
        (85e3, 104e3, 260.0, 330.0, 0.02),
        (90e3, 260e3, 280.0, 460.0, 0.02),
        (90e3, 250e3, 270.0, 360.0, 0.02),
        (22e3, 250e3, 280.0, 360.0, 0.02),
        (95e3, 104e3, 300.0, 400.0, 1.0),
        (100e3, 300e3, 500.0, 1300.0, 1.3),
        (99e3, 125e3, 400.0, 1200.0, 1.3),
    ];
    for (v, (low, high, cold, hot, rich)) in ranges.into_iter().enumerate() {
        let (p, t) = (random.between(low, high), random.between(cold, hot));
        let f = burned * random.between(0.0, rich);
        if v == Node::Manifold as usize {
            x[state::INTAKE] = t;
        }
        let mass = p * network.volume_sizes()[v] / (network.medium.gas_constant(f) * t);
        x[3 * v] = mass;
        x[3 * v + 1] = mass * network.medium.internal_energy(t, f);
        x[3 * v + 2] = mass * f;
    }
    let per_pascal = 1.0 / (287.0 * 293.15);
    x[state::CAPSULE] =
        random.between(95e3, 250e3) * network.vehicle.wastegate.signal_volume * per_pascal;
    x[state::CHAMBER] = random.between(25e3, 250e3)
        * network.vehicle.recirculation_valve.signal_volume
        * per_pascal;
    x[state::COMPRESSOR_FLOW] = random.between(-0.02, 0.15);
    x[state::SHAFT] = random.between(50.0, 18e3);
    x[state::ENGINE] = random.between(60.0, 650.0);
    for i in [
        state::THROTTLE,
        state::WASTEGATE,
        state::RECIRCULATION,
        state::DUTY,
        state::PEDAL,
    ] {
        x[i] = random.next();
    }
    x[state::METER] = random.between(1e-3, 0.15);
    x[state::OXYGEN] = random.between(0.7, 1.6);
    for i in [state::TRIM, state::IDLE_TRIM, state::PART_TRIM] {
        x[i] = random.between(-0.25, 0.25);
    }
    x[state::IDLE] = random.between(0.0, 0.12);
    x[state::CORRECTION] = random.between(0.5, 1.5);
    x[state::ARRIVED] = random.between(0.7, 1.6);
    x[state::FILTERED] = random.between(-2e4, 1.5e5);
    x[state::CAR] = random.between(0.0, 50.0);
    x
}

fn every_leak() -> Vec<sim::network::Leak<f64>> {
    let places = [
        Place::BreatherUnion,
        Place::RecirculationDiaphragm,
        Place::BeforeOxygenSensor,
        Place::ManifoldGasket,
    ];
    places.iter().map(|&place| hole(place, 3e-3)).collect()
}

/// Central difference of order 8 with step `h` in state `j`.
fn difference(network: &Network<f64>, x: &State, j: usize, h: f64) -> State {
    const WEIGHTS: [f64; 4] = [4.0 / 5.0, -1.0 / 5.0, 4.0 / 105.0, -1.0 / 280.0];
    let mut sum = State::zeros();
    for (k, weight) in WEIGHTS.iter().enumerate() {
        let mut ends = [*x, *x];
        ends[0][j] += (k + 1) as f64 * h;
        ends[1][j] -= (k + 1) as f64 * h;
        let [up, down] = ends.map(|end| State::from(rates(network, &end).states));
        sum += (up - down) * *weight;
    }
    sum / h
}

#[test]
fn exact_jacobian_agrees_with_differences_of_order_8() {
    let mut random = Random(11);
    let mut worst: f64 = 0.0;
    let mut wrong = 0;
    let cars = ["brindle-16", "tamsel-20"].map(car);
    for case in 0..1000 {
        let network = network(&cars[case % 2], every_leak(), Command::pedal(300.0, 0.5));
        let x = random_state(&network, &mut random);
        let exact = linearise(&network, &x).jacobian;
        for j in 0..STATES {
            for (i, gap) in column_gaps(&network, &x, &exact, j).into_iter().enumerate() {
                worst = worst.max(gap);
                if gap > 1e-7 {
                    wrong += 1;
                    let (of, by) = (state_name(i), state_name(j));
                    println!(
                        "case {case}: d({of})/d({by}) {:.6e} gap {gap:.1e}",
                        exact[(i, j)]
                    );
                }
            }
        }
    }
    println!(
        "worst gap {worst:.1e}; entries beyond 1e-7: {wrong} of {}",
        1000 * STATES * STATES
    );
    // Noise of the difference itself (temperature is solved to some 1e-11) lifts three of a
    // million entries to 2e-7; a wrong derivative would show in thousands.
    assert!(wrong <= 10 && worst < 5e-7);
}

/// The tape's sweep and dual numbers are two ways to the same slopes; they differ by
/// round-off, which a slope that large ones leave of each other carries.
#[test]
fn the_tape_gives_the_jacobian_that_dual_numbers_give() {
    let mut random = Random(12);
    let cars = ["brindle-16", "tamsel-20"].map(car);
    for case in 0..200 {
        let command = [
            Command::IDLE,
            Command::torque(300.0, 60.0),
            Command::pedal(300.0, 0.9),
        ];
        let network = network(&cars[case % 2], every_leak(), command[case % 3]);
        let x = random_state(&network, &mut random);
        let (tape, duals) = (linearise(&network, &x), linearise_by_duals(&network, &x));
        for i in 0..STATES {
            let size = duals.jacobian.row(i).amax();
            for j in 0..STATES {
                let gap = (tape.jacobian[(i, j)] - duals.jacobian[(i, j)]).abs();
                assert!(
                    gap <= 1e-9 * size,
                    "case {case} ({i}, {j}): {gap:e} of {size:e}"
                );
                assert!(tape.pattern[i] >> j & 1 == 1 || tape.jacobian[(i, j)] == 0.0);
            }
        }
        let book = (tape.book_jacobian - duals.book_jacobian).amax();
        assert!(
            book <= 1e-9 * duals.book_jacobian.amax(),
            "case {case}: {book:e}"
        );
    }
}

/// Gap between the exact column `j` and differences, relative to the entry, or to a
/// hundredth of its row's largest: a small entry that large ones leave of each
/// other carries their round-off.
///
/// Round-off falls and truncation grows with the step, and a switch within the
/// step's reach spoils it (a laminar band is 10 Pa wide): the best of many steps counts.
fn column_gaps(
    network: &Network<f64>,
    x: &State,
    exact: &sim::solve::Jacobian,
    j: usize,
) -> [f64; STATES] {
    let scale = SCALE[j].max(x[j].abs());
    let rows: [f64; STATES] = std::array::from_fn(|i| row_size(exact, i) / scale * 1e-2);
    let mut best = [f64::INFINITY; STATES];
    for halvings in 0..26 {
        let d = difference(network, x, j, 1e-2 * 0.5_f64.powi(halvings) * scale);
        for (i, b) in best.iter_mut().enumerate() {
            let size = exact[(i, j)].abs().max(d[i].abs()) + 1e-6 * SCALE[i] / scale;
            *b = b.min((exact[(i, j)] - d[i]).abs() / (size + rows[i]));
        }
        if best.iter().all(|b| *b < 1e-8) {
            break;
        }
    }
    best
}

/// Largest entry of a row, each times its column's scale: what round-off in the rate is measured against.
fn row_size(jacobian: &sim::solve::Jacobian, i: usize) -> f64 {
    (0..STATES)
        .map(|j| jacobian[(i, j)].abs() * SCALE[j])
        .fold(0.0, f64::max)
}

#[test]
fn parameters_carry_exact_derivatives_too() {
    // d(rates)/d(hole diameter) with both parameters and states as duals.
    use sim::Dual;
    let car = car("brindle-16");
    let at = |diameter: f64| {
        network(
            &car,
            vec![hole(Place::ColdPipe, diameter)],
            Command::full_load(300.0),
        )
    };
    let plain = at(3e-3);
    let x = random_state(&plain, &mut Random(5));
    let lifted = plain.map(&mut |key, value| {
        let slope = if key == "leak.0.round_hole.diameter" {
            1.0
        } else {
            0.0
        };
        Dual {
            value,
            slope: [slope],
        }
    });
    let states: [Dual<1>; STATES] = std::array::from_fn(|i| Dual {
        value: x[i],
        slope: [0.0],
    });
    let exact = lifted.evaluate(&states).rates.states;
    let h = 1e-5;
    let (up, down) = (
        rates(&at(3e-3 + h), &x).states,
        rates(&at(3e-3 - h), &x).states,
    );
    for i in 0..STATES {
        let difference = (up[i] - down[i]) / (2.0 * h);
        let gap = (exact[i].slope[0] - difference).abs();
        assert!(
            gap <= 1e-7 * difference.abs() + 1e-7 * SCALE[i],
            "{}: {} {difference}",
            state_name(i),
            exact[i].slope[0]
        );
    }
    assert!(
        exact[3 * 2].slope[0] < 0.0,
        "a larger hole empties the cold pipe faster"
    );
    let _ = VOLUMES;
}
