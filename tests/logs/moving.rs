//! What no window holds: conditions that move, pulls whose boost still builds, an engine at its
//! limiter.

use super::*;
use sim::Reading;
use sim::study::knowing::log::Kind;
use std::fmt::Write;

/// Swept volume a revolution times filling over gas constant and charge temperature: air, g/s, is
/// this times rpm times kPa (ideal gas law; 2 L, four strokes, filling 0.8, 310 K).
const AIR: f64 = 1e3 * 0.8 * 1e-3 * 1e3 / (287.0 * 310.0) / 60.0;
/// Air, g, a kPa in 6 L of pipes between meter and cylinders (the same law).
const PIPES: f64 = 1e3 * 6e-3 * 1e3 / (287.0 * 310.0);

/// A drive on which nothing is ever held: manifold pressure and speed swing all the time.
fn swinging(rows: usize, rate: f64) -> String {
    let mut text = String::from(
        "time_s,engine_speed_rpm,manifold_kpa_abs,metered_air_g_s,pedal_pct,vehicle_speed_km_h,coolant_degC\n",
    );
    let pressure = |t: f64| 62.0 + 24.0 * (0.9 * t).sin() + 8.0 * (0.37 * t).sin();
    for row in 0..rows {
        let t = row as f64 / rate;
        let rpm = 2600.0 + 700.0 * (0.11 * t).sin();
        let rise = (pressure(t + 0.01) - pressure(t - 0.01)) / 0.02;
        let stir = f64::from(row as u32 * 7 % 13) / 6.0 - 1.0;
        let air = AIR * rpm * pressure(t) + PIPES * rise + 0.1 * stir;
        writeln!(text, "{t:.2},{rpm:.0},{:.2},{air:.3},30,60,90", pressure(t)).unwrap();
    }
    text
}

/// Filling pipes pass the meter and never reach a cylinder, up to a fifth of the air here: what
/// counts is the air at rest, which the gas law gives.
#[test]
fn air_at_rest_is_read_from_a_drive_that_never_rests() {
    for rate in [1.0, 5.0, 10.0] {
        let text = swinging((600.0 * rate) as usize, rate);
        let log = bytes(&format!("swinging-{rate}.csv"), text.as_bytes()).unwrap();
        assert!(log.windows.is_empty(), "{rate}: {:?}", log.windows);
        let long: Vec<&Window> = log.moving.iter().filter(|w| w.seconds > 20.0).collect();
        assert!(long.len() > 4, "{rate}: {} conditions", long.len());
        for window in long {
            let (_, pressure) = window.load.unwrap();
            let wanted = AIR * window.speed * pressure;
            let read = window.get(channel("metered_air_g_s")).unwrap();
            // Within 1 %: half of what the answer says it does not know (MOVING_DOUBT and more).
            let off = read.mean / wanted - 1.0;
            assert!(
                off.abs() < 0.01,
                "{rate}: {} off by {off:.4}",
                window.name()
            );
            // And within what it says of itself.
            assert!((read.mean - wanted).abs() < 4.0 * read.doubt.hypot(0.003 * wanted));
        }
    }
}

/// Every warm second is put to use or named: what of it is judged by is said.
#[test]
fn most_of_a_drive_is_judged_by() {
    let text = swinging(6000, 10.0);
    let log = bytes("swinging-all.csv", text.as_bytes()).unwrap();
    let judged = log.drive().judged();
    assert!(judged.used() > 0.6 * log.warm, "{}", judged.used());
    assert!(judged.conditions.iter().all(|c| c.moving));
}

/// Under boost with the pedal half down, on the move and lean: no window holds it, and it can hole a
/// piston all the same.
#[test]
fn lean_under_boost_on_the_move_is_a_danger() {
    let swinging = |lambda: f64| {
        let mut text = String::from(
            "time_s,engine_speed_rpm,manifold_kpa_abs,metered_air_g_s,pedal_pct,lambda_sensor,coolant_degC\n",
        );
        for row in 0..600 {
            let t = f64::from(row) / 10.0;
            let (rpm, pressure) = (
                3000.0 + 300.0 * (0.2 * t).sin(),
                140.0 + 20.0 * (0.9 * t).sin(),
            );
            let air = AIR * rpm * pressure;
            writeln!(
                text,
                "{t:.1},{rpm:.0},{pressure:.1},{air:.2},50,{lambda},90"
            )
            .unwrap();
        }
        bytes(&format!("moving-{lambda}.csv"), text.as_bytes()).unwrap()
    };
    assert!(swinging(1.0).dangers().is_empty());
    assert!(!swinging(1.15).dangers().is_empty());
}

/// Without a pedal the fuel cut of a released one is told by the mixture.
#[test]
fn fuel_cut_is_no_load_where_no_pedal_is_logged() {
    let mut text = String::from(
        "time_s,engine_speed_rpm,manifold_kpa_abs,metered_air_g_s,lambda_sensor,coolant_degC\n",
    );
    for row in 0..600 {
        let t = f64::from(row) / 10.0;
        let released = row / 100 % 2 == 1;
        let (pressure, lambda) = if released { (24.0, 1.9) } else { (60.0, 1.0) };
        writeln!(
            text,
            "{t:.1},2500,{pressure},{:.2},{lambda},90",
            AIR * 2500.0 * pressure
        )
        .unwrap();
    }
    let log = bytes("no-pedal.csv", text.as_bytes()).unwrap();
    let of = |kind: Kind| log.moving.iter().filter(move |w| w.kind == kind);
    let seconds: f64 = of(Kind::Overrun).map(|w| w.seconds).sum();
    assert!((15.0..=33.0).contains(&seconds), "{seconds}");
    for (kind, pushed) in [(Kind::PartLoad, false), (Kind::Overrun, true)] {
        let mut loads = of(kind).filter_map(|w| w.load);
        assert!(
            loads.all(|load| (load.1 < 50.0) == pushed),
            "{:?}",
            log.moving
        );
    }
}

fn pulled(boost: impl Fn(f64) -> f64, lambda: impl Fn(f64) -> f64) -> Log {
    let mut text = String::from(
        "time_s,engine_speed_rpm,manifold_kpa_abs,metered_air_g_s,pedal_pct,lambda_sensor,coolant_degC\n",
    );
    for row in 0..100 {
        let t = f64::from(row) / 10.0;
        let since = t - 2.0;
        let rpm = (2000.0 + 600.0 * since.max(0.0)).min(6500.0);
        let pressure = if since < 0.0 { 40.0 } else { boost(since) };
        let pedal = if since < 0.0 { 15 } else { 100 };
        writeln!(
            text,
            "{t:.1},{rpm:.0},{pressure:.1},{:.2},{pedal},{:.3},90",
            AIR * rpm * pressure,
            lambda(since)
        )
        .unwrap();
    }
    bytes("pulled.csv", text.as_bytes()).unwrap()
}

/// A turbo that still runs up shows at 3000 rpm what no steady engine shows there: what was read stands as it
/// was read (no danger is made of where it might be going), in doubt by what it rises in six tenths of a second,
/// and the mixture of that boost is left out. Where boost has built nothing is widened.
#[test]
fn a_pull_is_judged_with_room_where_boost_still_builds() {
    let log = pulled(|t| 100.0 + 80.0 * (t / 3.0).min(1.0), |_| 0.88);
    let judged = log.drive().judged();
    let rises = 80.0 / 3.0;
    let at = |rpm: f64| {
        let mut all = judged.conditions.iter();
        let there = |speed: f64| speed * 30.0 / std::f64::consts::PI > rpm - 1.0;
        let found = all.find(|c| c.speed.is_some_and(there)).unwrap();
        let readings = found.readings.given();
        let mut mixture = readings
            .iter()
            .filter(|(_, r, _)| *r == Reading::LambdaSensor);
        let (_, _, shown) = readings
            .iter()
            .find(|(_, r, _)| *r == Reading::Manifold)
            .unwrap();
        let doubt = found.doubt.of(Reading::Manifold).unwrap();
        (*shown, doubt, mixture.next().is_some())
    };
    let (shown, doubt, mixture) = at(3000.0);
    assert!(
        (shown - 100.0 - rises * 1000.0 / 600.0).abs() < 0.5,
        "{shown}"
    );
    assert!(doubt > 0.6 * rises && !mixture, "{doubt}");
    let (shown, doubt, mixture) = at(4500.0);
    assert!(
        (shown - 180.0).abs() < 0.5 && doubt < 5.0 && mixture,
        "{shown} {doubt}"
    );
}

/// At the limiter the fuel is cut: lambda 2 there is no lean engine. One that is lean all the way up
/// is.
#[test]
fn the_limiter_is_no_danger_and_a_lean_pull_is() {
    let full = |t: f64| 100.0 + 80.0 * (t / 1.5).min(1.0);
    let cut = pulled(full, |t| if t > 7.4 { 2.0 } else { 0.88 });
    assert!(cut.dangers().is_empty(), "{:?}", cut.dangers());
    assert!(
        cut.notes[0].contains("taken for the speed limiter"),
        "{:?}",
        cut.notes
    );
    // Lean all the way up; lean by and by, to the end of the scale; out of fuel far below any limiter.
    let lean = pulled(full, |t| if t > 1.0 { 1.12 } else { 0.95 });
    let starving = pulled(full, |t| 0.88 + (0.25 * (t - 5.0)).max(0.0));
    let out = pulled(full, |t| if t > 4.0 { 1.6 } else { 0.88 });
    for log in [lean, starving, out] {
        assert!(!log.dangers().is_empty());
    }
}

/// Lambda every two seconds: what was read with the fuel cut, before the pedal went down and after it came up, is no
/// mixture of the pull; one that is lean in the pull still is a danger, and so is boost above what is wanted.
#[test]
fn a_slow_sensor_tells_of_its_own_time() {
    let logged = |phase: usize, lambda: f64, boost: f64| {
        let mut text = String::from(
            "time_s,engine_speed_rpm,manifold_kpa_abs,pedal_pct,lambda_sensor,coolant_degC,commanded_boost_kpa\n",
        );
        for row in 0..160 {
            let t = f64::from(row as u32) / 10.0;
            let (down, since) = ((4.0..11.0).contains(&t), (t - 4.0).clamp(0.0, 7.0));
            let rpm = 2000.0 + 450.0 * since;
            let pressure = if down {
                100.0 + boost * (since / 1.0).min(1.0)
            } else {
                30.0
            };
            let pedal = if down { 100 } else { 0 };
            let mixture = match row % 20 == phase {
                true => format!("{:.3}", if down { lambda } else { 2.0 }),
                false => String::new(),
            };
            writeln!(
                text,
                "{t:.1},{rpm:.0},{pressure:.1},{pedal},{mixture},90,80"
            )
            .unwrap();
        }
        bytes("slow.csv", text.as_bytes()).unwrap()
    };
    for phase in [0, 3, 7, 11, 16] {
        let healthy = logged(phase, 0.86, 80.0);
        assert!(
            healthy.dangers().is_empty(),
            "{phase}: {:?}",
            healthy.dangers()
        );
        let lean = logged(phase, 1.1, 80.0);
        assert!(
            !lean.dangers().is_empty(),
            "{phase}: lean, and nobody says so"
        );
        let over = logged(phase, 0.86, 105.0);
        assert!(
            !over.dangers().is_empty(),
            "{phase}: too much boost, and nobody says so"
        );
    }
}

/// Tip-ins of which the faster is the richer lead, drawn on to where nothing moves, to a mixture that stands
/// nowhere in the log.
#[test]
fn no_danger_from_where_a_few_moments_lead() {
    let mut text = String::from(
        "time_s,engine_speed_rpm,manifold_kpa_abs,pedal_pct,lambda_sensor,coolant_degC\n",
    );
    for row in 0..600 {
        let t = f64::from(row as u32) / 5.0;
        let since = (t % 40.0 - 30.0).clamp(0.0, 4.0);
        // As shares a second; lambda with each.
        let (rate, rich) = [(0.2, 1.0), (0.35, 0.93), (0.3, 0.95)][(t / 40.0) as usize];
        let tipped = since > 0.0 && since < 4.0;
        let pressure = if tipped {
            95.0 * (rate * since).exp()
        } else {
            40.0
        };
        let (rpm, pedal) = if tipped {
            (1900.0 + 60.0 * since, 45)
        } else {
            (1500.0, 15)
        };
        let lambda = if tipped { rich } else { 1.0 };
        writeln!(text, "{t:.1},{rpm:.0},{pressure:.1},{pedal},{lambda:.3},90").unwrap();
    }
    let log = bytes("leading.csv", text.as_bytes()).unwrap();
    assert!(log.dangers().is_empty(), "{:?}", log.dangers());
    let read = log.drive().passed();
    let lambdas = read.iter().flat_map(|point| &point.reads);
    for (reading, value) in lambdas.filter(|(reading, _)| *reading == Reading::LambdaSensor) {
        assert!((0.9..=1.03).contains(value), "{reading:?} {value}");
    }
}
