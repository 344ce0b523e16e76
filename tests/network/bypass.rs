//! The compressor bypass valve with a torn diaphragm, and what a leak past its seat costs,
//! by hand. F: closed form evaluated here, apart from the program.

use crate::cars::{car, cars, hole, network, rpm, with_boost};
use sim::control::BoostControl::{ClosedLoop, FixedDuty};
use sim::control::Command;
use sim::network::layout::Node;
use sim::network::readings::Reading as R;
use sim::network::{Network, Place, RecirculationOutlet, Vehicle};
use sim::study::running::simulate::{Side, side};
use std::f64::consts::PI;

const MM: f64 = 1e-3;
const R_AIR: f64 = 287.05;

fn full() -> Command {
    Command::full_load(rpm(3500.0))
}

fn run(car: &Vehicle, place: Place, diameter: f64) -> (Network<f64>, Side) {
    let network = network(car, vec![hole(place, diameter)], full());
    let side = side(&network, None).unwrap();
    (network, side)
}

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn circle(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

/// Isentropic flow of air through an effective area (NACA 1135, M), kg/s; the gas on either
/// side is pressure, temperature.
fn nozzle(area: f64, a: [f64; 2], b: [f64; 2]) -> f64 {
    let (sign, up, down) = if a[0] > b[0] {
        (1.0, a, b)
    } else {
        (-1.0, b, a)
    };
    let r = (down[0] / up[0]).max(0.528_282);
    let psi = (7.0 * (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4))).sqrt();
    sign * area * up[0] * psi / (R_AIR * up[1]).sqrt()
}

/// Sharp-edged hole: Perry 1949 (S polynomial, M paper).
fn perry(r: f64) -> f64 {
    let terms = [0.8414, -0.1002, 0.8415, -3.9, 4.6001, -1.6827];
    terms.iter().rev().fold(0.0, |sum, term| sum * r + term)
}

/// F: the chamber stands where the signal hose, a short tube of 0.82 (Weisbach), brings what
/// the tear lets out; the valve stands where spring and pressures balance.
#[test]
fn a_torn_diaphragm_bleeds_the_chamber_and_opens_the_valve() {
    for car in cars() {
        let valve = &car.recirculation_valve;
        let healthy = side(&network(&car, vec![], full()), None).unwrap();
        assert!(is(&healthy, R::RecirculationValve) < 0.5);
        for tear in [1.0, 3.0, 4.0, 5.0, 6.0, 8.0, 14.0].map(|mm| mm * MM) {
            let (network, torn) = run(&car, Place::RecirculationDiaphragm, tear);
            let moment = network.evaluate(&torn.state.into());
            let gas = |node: Node| moment.gases.at(node);
            let at = |node: Node| [gas(node).pressure, gas(node).temperature];
            let (manifold, chamber) = (at(Node::Manifold), at(Node::Chamber));
            let out = at(network.valve_outlet());
            let outlet = out[0];
            let hose = 0.82 * circle(valve.signal_bore);
            let feeds = |p: f64| nozzle(hose, manifold, [p, chamber[1]]);
            let bleeds = |p: f64| {
                let area = perry(out[0].min(p) / out[0].max(p)) * circle(tear);
                nozzle(area, [p, chamber[1]], out)
            };
            let mut low = manifold[0].min(outlet);
            let mut high = manifold[0].max(outlet);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                *(if feeds(middle) > bleeds(middle) {
                    &mut low
                } else {
                    &mut high
                }) = middle;
            }
            let over = chamber[0] - outlet;
            let across = (manifold[0] - outlet).abs();
            assert!((chamber[0] - low).abs() < 0.02 * across, "{over}");
            let force = (gas(Node::HotPipe).pressure - outlet) * circle(valve.seat_diameter)
                - over * valve.diaphragm_area
                - valve.preload;
            let lift = (force / valve.stiffness / valve.travel).clamp(0.0, 1.0);
            let opening = torn.readings.get(R::RecirculationValve).unwrap() / 100.0;
            println!(
                "{} tear {:.0} mm: chamber {:.1} kPa over the outlet, opening {opening:.3} by hand \
                 {lift:.3}, boost {:+.1} kPa",
                car.name,
                tear / MM,
                over / 1e3,
                is(&torn, R::Boost) - is(&healthy, R::Boost)
            );
            assert!((opening - lift).abs() < 0.02);
        }
        let spring = with_boost(&car, FixedDuty);
        let sound = side(&network(&spring, vec![], full()), None).unwrap();
        let (_, torn) = run(&spring, Place::RecirculationDiaphragm, 14.0 * MM);
        let lost = is(&sound, R::Boost) - is(&torn, R::Boost);
        assert!(lost > 2.0, "{}: {lost} kPa lost at fixed duty", car.name);
    }
}

/// A torn diaphragm lets no counted air out where the valve returns it, and lets it out where
/// the valve vents to the air.
#[test]
fn air_past_a_torn_diaphragm_goes_where_the_valve_lets_it_go() {
    let mut car = car("brindle-16");
    for outlet in [
        RecirculationOutlet::InletDuct,
        RecirculationOutlet::Atmosphere,
    ] {
        car.recirculation_outlet = outlet;
        let (_, torn) = run(&car, Place::RecirculationDiaphragm, 14.0 * MM);
        let back = outlet == RecirculationOutlet::InletDuct;
        assert_eq!(back, torn.ledger.lost.abs() < 1e-9, "{}", torn.ledger.lost);
        let error = is(&torn, R::MeteringError);
        assert_eq!(back, error.abs() < 0.1, "{error} %");
    }
}

/// What a leak past the seat does to the turbocharger, boost held, by the power balance (F).
///
/// An outside model had the shaft gain twice as much. By hand: q of the flow m goes round
/// and mixes hot into the inlet, `ΔT₁ = q/m (T_hot − T_fresh)`; the pressure ratio is held, so
/// the head `c_p T₁ (π^0.286 − 1)` rises with T₁ alone; tip speed is `√(head/ψ(φ))`. The power
/// rises by `q/m + ΔT₁/T₁`, and a wheel on a fan law (power ∝ speed³) would need a third of that:
/// half as much again as the head asks. Speed follows the head; the model is right for its
/// map, and a steeper speed line (larger flow, nearer choke) asks for more: what the two
/// models differ by is their maps.
#[test]
fn speed_after_a_seat_leak_follows_the_head_not_the_power() {
    let car = with_boost(&car("brindle-16"), ClosedLoop);
    let plain = network(&car, vec![], full());
    let healthy = side(&plain, None).unwrap();
    let before = plain.evaluate(&healthy.state.into());
    println!("hole mm  round %  inlet K by hand  power %  shaft %  by head  by fan law");
    for diameter in [3.0, 5.0] {
        let (network, leaking) = run(&car, Place::RecirculationSeat, diameter * MM);
        let after = network.evaluate(&leaking.state.into());
        let [t, u] = [&before, &after].map(|m| m.gases.at(Node::Inlet));
        let round = -leaking.leaks[0].flow;
        let flow = is(&leaking, R::CompressorFlow);
        let hot = after.gases.at(Node::HotPipe).temperature;
        let by_hand = round / flow * (hot - t.temperature);
        let warmer = u.temperature - t.temperature;
        assert!(
            (warmer / by_hand - 1.0).abs() < 0.1,
            "{warmer} K for {by_hand}"
        );
        let head = |gas: &sim::GasState<f64>, moment: &sim::network::Moment<f64>| {
            let ratio = moment.gases.at(Node::HotPipe).pressure / gas.pressure;
            1005.0 * gas.temperature * (ratio.powf(0.2857) - 1.0)
        };
        let wanted = head(u, &after) / head(t, &before);
        // On this map: the speed whose line gives that head at the larger flow.
        let shaft = is(&healthy, R::ShaftSpeed) * 1e3 * PI / 30.0;
        let line = |inlet, flow: f64, share: f64| {
            let stage = car.compressor.stage(inlet, flow / 1e3, shaft * share);
            stage.head
        };
        let target = wanted * line(t, is(&healthy, R::CompressorFlow), 1.0);
        let (mut low, mut high) = (0.9, 1.1);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            *(if line(u, flow, middle) < target {
                &mut low
            } else {
                &mut high
            }) = middle;
        }
        let percent = |ratio: f64| 100.0 * (ratio - 1.0);
        let by_head = percent(low);
        let power = after.streams.compressor_power / before.streams.compressor_power;
        let fan = percent(power.cbrt());
        let found = percent(is(&leaking, R::ShaftSpeed) / is(&healthy, R::ShaftSpeed));
        println!(
            "{diameter:7.0} {:8.2} {warmer:8.2} {by_hand:7.2} {:8.2} {found:8.3} {by_head:8.3} \
             {fan:8.3}",
            100.0 * round / flow,
            percent(power)
        );
        assert!((found / by_head - 1.0).abs() < 0.05);
        assert!(
            found > 50.0 * warmer / t.temperature,
            "the map adds to the warmer inlet"
        );
        assert!(fan / found > 1.3, "the fan law asks for far more");
    }
}
