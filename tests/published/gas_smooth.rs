//! The gas model against itself: smoothness, exact slopes, round trips, balances.

use sim::dual::Dual;
use sim::medium::{Fuel, GasState, Medium};

fn medium() -> Medium {
    let fuel = Fuel {
        hydrogen_per_carbon: 1.85,
        oxygen_per_carbon: 0.0,
        lower_heating_value: 44e6,
    };
    Medium::new(&fuel, 0.01)
}

/// Value and both slopes of every property at (T, F).
fn everything(gas: &Medium, t: f64, f: f64) -> [Dual<2>; 6] {
    let (t, f) = (Dual::<2>::variable(t, 0), Dual::<2>::variable(f, 1));
    [
        gas.enthalpy(t, f),
        gas.internal_energy(t, f),
        gas.cp(t, f),
        gas.gamma(t, f),
        gas.gas_constant(f),
        gas.burnable_air_fraction(f),
    ]
}

fn no_jump(gas: &Medium, a: (f64, f64), b: (f64, f64)) {
    let scale = [
        [1e6, 1e3, 1e7],
        [1e6, 1e3, 1e7],
        [1e3, 1.0, 1e4],
        [1.0, 1e-3, 1.0],
        [3e2, 1.0, 1e3],
        [1.0, 1.0, 20.0],
    ];
    let (below, above) = (everything(gas, a.0, a.1), everything(gas, b.0, b.1));
    for ((x, y), scale) in below.iter().zip(above).zip(scale) {
        let gaps = [
            y.value - x.value,
            y.slope[0] - x.slope[0],
            y.slope[1] - x.slope[1],
        ];
        for (gap, scale) in gaps.iter().zip(scale) {
            assert!(
                gap.abs() < 1e-5 * scale,
                "a jump of {gap} between {a:?} and {b:?}"
            );
        }
    }
}

/// Value and slope continuous where formulas meet, in temperature and composition.
#[test]
fn no_corner_anywhere() {
    let gas = medium();
    let stoichiometric = gas.stoichiometric_fuel_fraction();
    for f in [0.0, 0.03, stoichiometric, 0.08] {
        for t in [200.0, 900.0, 1000.0, 1100.0, 3500.0] {
            no_jump(&gas, (t - 1e-7, f), (t + 1e-7, f));
        }
    }
    let richest = gas.fuel_fraction_at(0.6) / stoichiometric;
    for t in [300.0, 1000.0, 1500.0] {
        for ratio in [
            -0.15,
            -0.05,
            0.0,
            0.997,
            1.0,
            1.003,
            richest - 0.05,
            richest + 0.05,
        ] {
            let f = ratio * stoichiometric;
            no_jump(&gas, (t, f - 1e-11), (t, f + 1e-11));
        }
    }
}

/// The rounding at lambda 1 is narrow: outside ±0.3 % the two straight laws hold.
#[test]
fn rounding_at_stoichiometric_is_narrow() {
    let gas = medium();
    let f = gas.stoichiometric_fuel_fraction();
    for (ratio, air) in [(0.5, 0.5), (0.996, 0.004), (1.004, 0.0), (1.2, 0.0)] {
        assert!((gas.burnable_air_fraction(ratio * f) - air).abs() < 1e-14);
    }
    assert!((gas.burnable_air_fraction(f) - 0.003 / 4.0).abs() < 1e-12);
    let mixed = 0.25 * gas.enthalpy(800.0, 0.0) + 0.75 * gas.enthalpy(800.0, 0.9 * f);
    assert!((gas.enthalpy(800.0, 0.675 * f) - mixed).abs() < 1e-6);
}

/// Temperature from energy and from enthalpy give back the temperature.
#[test]
fn temperature_round_trip() {
    let gas = medium();
    for lambda in [0.5, 0.6, 0.75, 0.9, 0.997, 1.0, 1.003, 1.3, 4.0, 1e3] {
        let f = gas.fuel_fraction_at(lambda);
        for t in (60..4000).step_by(7).map(f64::from) {
            let from_energy = gas.temperature_from_energy(gas.internal_energy(t, f), f);
            let from_enthalpy = gas.temperature_from_enthalpy(gas.enthalpy(t, f), f);
            for back in [from_energy, from_enthalpy] {
                assert!(
                    (back - t).abs() < 1e-8,
                    "{back} for {t} K at lambda {lambda}"
                );
            }
        }
    }
}

/// A volume gives back the state it was filled to.
#[test]
fn volume_round_trip() {
    let gas = medium();
    for (p, t, f) in [
        (35e3, 290.0, 0.0),
        (2.4e5, 1150.0, 0.066),
        (1e5, 990.0, 0.06),
    ] {
        let state = gas.state(p, t, f);
        let volume = 3e-3;
        let mass = state.density() * volume;
        let back = gas.state_in_volume(volume, mass, mass * gas.internal_energy(t, f), mass * f);
        let pairs: [(f64, f64); 6] = [
            (back.pressure, p),
            (back.temperature, t),
            (back.fuel_fraction, f),
            (back.gas_constant, state.gas_constant),
            (back.gamma, state.gamma),
            (back.enthalpy, state.enthalpy),
        ];
        for (found, expected) in pairs {
            assert!(
                (found - expected).abs() <= 1e-11 * expected.abs(),
                "{found}, {expected}"
            );
        }
    }
}

/// Slopes of the state in a volume against central differences.
#[test]
fn slopes_in_a_volume_are_exact() {
    let gas = medium();
    let list = |s: GasState<Dual<4>>| {
        [
            s.pressure,
            s.temperature,
            s.fuel_fraction,
            s.gas_constant,
            s.gamma,
            s.enthalpy,
        ]
    };
    for (p, t, f) in [
        (35e3, 290.0, 0.0001),
        (2.4e5, 1150.0, 0.066),
        (1e5, 950.0, 0.0642),
    ] {
        let mass = p * 2e-3 / (gas.gas_constant(f) * t);
        let x = [2e-3, mass, mass * gas.internal_energy(t, f), mass * f];
        let at = |x: [f64; 4]| {
            let v: [Dual<4>; 4] = std::array::from_fn(|i| Dual::variable(x[i], i));
            list(gas.state_in_volume(v[0], v[1], v[2], v[3]))
        };
        let exact = at(x);
        for i in 0..4 {
            let step = 1e-5 * x[i].abs();
            let [mut above, mut below] = [x, x];
            above[i] += step;
            below[i] -= step;
            let (above, below) = (at(above), at(below));
            for k in 0..6 {
                let difference = (above[k].value - below[k].value) / (2.0 * step);
                let slope = exact[k].slope[i];
                let round_off = 1e-10 * exact[k].value.abs() / x[i].abs();
                let error = (difference - slope).abs();
                assert!(
                    error < 1e-5 * slope.abs() + round_off.max(1e-12),
                    "{k} by {i}: {difference}, {slope}"
                );
            }
        }
    }
}

/// Nothing a solver may try on its way yields anything but numbers.
#[test]
fn wild_input_stays_finite() {
    let gas = medium();
    for u in [-1e12, -1e8, -1e6, 0.0, 1e6, 1e8, 1e12] {
        for f in [-3.0, -0.05, 0.0, 0.06, 0.3, 1.0, 50.0] {
            let state = gas.state_in_volume(1e-3, 1e-3, 1e-3 * u, 1e-3 * f);
            assert!(
                (50.0..=6000.0).contains(&state.temperature),
                "{}",
                state.temperature
            );
            assert!(state.pressure.is_finite() && state.pressure > 0.0);
            assert!(
                state.gamma > 1.0 && state.gamma < 2.0,
                "gamma {} at u {u} F {f}",
                state.gamma
            );
            assert!(gas.cp(state.temperature, f) > 500.0);
            assert!(gas.lambda(f).is_finite());
        }
    }
}
