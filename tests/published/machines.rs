//! Turbocharger, cooler and engine against the outside values.
//! F closed form evaluated independently, C recomputed with a general-purpose
//! library (ht), S text seen, M from memory.

use sim::flow::duct::DuctLoss;
use sim::heat::{crossflow_effectiveness, crossflow_effectiveness_approximate};
use sim::machine::compressor::corrected_flow;
use sim::machine::cylinders::{speed_density_flow, torque_of_mean_pressure};
use sim::machine::standards::*;
use sim::machine::throttle::plate_area;
use sim::medium::GasState;
use std::f64::consts::PI;

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found / expected - 1.0).abs() < tolerance,
        "found {found}, expected {expected}"
    );
}

#[test]
fn compressor_and_turbine_states() {
    // F; real gas within 0.1 % (C)
    let (temperature, work) = compressor_outlet(293.15, 2.0, 0.70, 1005.0, 1.4);
    close(temperature, 384.870, 1e-5);
    close(0.15 * work, 13.8268e3, 1e-5);
    let (temperature, work) = turbine_outlet(1123.15, 2.0, 0.70, 1150.0, 1.33);
    close(temperature, 998.924, 1e-5);
    close(0.16 * work, 22.8576e3, 1e-5);
}

#[test]
fn shaft_balance_and_what_a_leak_asks_of_it() {
    // F
    let air = Gas {
        temperature: 298.15,
        cp: 1005.0,
        gamma: 1.4,
    };
    let exhaust = Gas {
        temperature: 1123.15,
        cp: 1150.0,
        gamma: 1.33,
    };
    let turbine_flow = 1.0 + 1.0 / 14.6;
    let ratio = |leak: f64| {
        balancing_expansion_ratio(air, exhaust, 2.0, 0.50, (1.0 + leak) / turbine_flow).unwrap()
    };
    close(ratio(0.0), 1.49596, 1e-4);
    close(ratio(0.10), 1.5610, 1e-4);
}

#[test]
fn corrected_flow_uses_the_map_s_own_reference() {
    close(
        corrected_flow(0.15, 313.15, 95e3, 298.15, 100e3),
        0.161818,
        1e-5,
    ); // F
}

#[test]
fn cooler() {
    close(crossflow_effectiveness(2.0, 0.5), 0.73241, 1e-4); // C ht; Kays & London (M)
    close(crossflow_effectiveness_approximate(2.0, 0.5), 0.73876, 1e-4); // C ht
    // Limits: condenser 1 − exp(−N); no exchange without area; symmetric heat balance.
    close(
        crossflow_effectiveness(2.0, 0.0),
        1.0 - (-2.0_f64).exp(),
        1e-5,
    );
    assert!(crossflow_effectiveness(1e-9, 0.5) < 1e-8);
    // F: loss falls with the square of the flow (no laminar part).
    let loss = DuctLoss {
        reference_loss: 5e3,
        reference_flow: 0.15,
        reference_pressure: 150e3,
        reference_temperature: 320.0,
        laminar_share: 0.0,
    };
    let gas = |pressure| GasState {
        pressure,
        temperature: 320.0,
        fuel_fraction: 0.0,
        gas_constant: 287.052_87,
        gamma: 1.4,
        enthalpy: 0.0,
    };
    // The same mean density on both sides of the reference pressure.
    let flow = |dp: f64| {
        loss.flow(&gas(150e3 + dp / 2.0), &gas(150e3 - dp / 2.0))
            .mass
    };
    close(flow(5e3), 0.15, 1e-6);
    close(flow(1.250e3), 0.075, 1e-6);
}

#[test]
fn engine_flow_load_and_torque() {
    // Heywood eq. 2.27 (M); SAE J1979 load (S)
    let density = 101_325.0 / 287.05 / 293.15;
    let speed = 3000.0 * PI / 30.0;
    let air = speed_density_flow(0.85, density, 2.0e-3, speed);
    close(air, 51.1750e-3, 1e-6);
    close(absolute_load(air, speed, 2.0e-3), 0.86444, 1e-5);
    close(torque_of_mean_pressure(10e5, 2.0e-3), 159.155, 1e-6); // F
    close(power_correction(95e3, 303.15), 1.05996, 1e-5); // S: SAE J1349 (JUN90)
    close(
        air_for_power(745.7, 270e-3 / 3.6e6, 14.6) * 1e3,
        0.8165,
        1e-4,
    ); // F (trade's "0.8" rule, P)
}

#[test]
fn throttle_plate() {
    let degree = PI / 180.0;
    close(
        plate_area(60e-3, 15.0 * degree, 7.0 * degree),
        75.83e-6,
        1e-3,
    ); // F, Heywood ch. 7 (M)
}
