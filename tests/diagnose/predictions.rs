//! Predictions between rungs, and their exact derivatives, against cars solved anew.

use super::*;
use sim::study::judging::diagnose::evidence::{Read, Shown};
use sim::study::knowing::doubt::instrument;
use sim::study::running::simulate::{Comparison, Side, side};

/// All that the plug gives, values not known.
fn wanted() -> Vec<Read> {
    let all = PLUG.iter().enumerate().flat_map(|(condition, readings)| {
        readings.iter().map(move |reading| Read {
            condition,
            reading: *reading,
            value: 0.0,
            deviation: 1.0,
        })
    });
    all.collect()
}

/// The largest miss in instrument deviations, and what it is.
fn miss(index: usize, size: f64) -> (f64, String) {
    let u = ladders().suspects[index].coordinate(size);
    let solved = ladders().solved(&[(ladders().suspects[index], u)]);
    let (mut worst, mut what) = (0.0, String::new());
    for read in wanted() {
        let Some(shown) = Shown::of(ladders(), &[(index, u)], &[read]) else {
            continue;
        };
        let there = solved[read.condition].as_ref();
        let Some(value) = there.and_then(|side| side.readings.get(read.reading)) else {
            continue;
        };
        let deviation = instrument(read.reading).deviation(value);
        let off = ((shown.means[0] - value) / deviation).abs();
        if off > worst {
            worst = off;
            let (condition, reading) = (read.condition, read.reading);
            what = format!("{reading:?} at {condition}: {} for {value}", shown.means[0]);
        }
    }
    (worst, what)
}

/// Sizes between rungs, mm; rungs are 26 % apart.
fn between_rungs() -> impl Iterator<Item = f64> {
    (0..14).map(|k| 1.05 * 8f64.powf(f64::from(k) / 14.0))
}

/// Whether the idle has run up so far that its computer cuts fuel: a corner, and the trims stop
/// learning there.
fn cuts_fuel(index: usize, size: f64) -> bool {
    let u = ladders().suspects[index].coordinate(size);
    let idle = &ladders().solved(&[(ladders().suspects[index], u)])[0];
    let speed = idle
        .as_ref()
        .and_then(|side| side.readings.get(R::EngineSpeed));
    let resume = car().vehicle.fuelling.overrun_resume_speed * 30.0 / std::f64::consts::PI;
    speed.is_some_and(|speed| speed > resume)
}

/// Places from which nothing comes to a stop (of trim, duty or idle valve) at these sizes; where an
/// idle runs up until fuel is cut, it is one of the ventilation valve's sizes or two.
#[test]
fn between_rungs_leaks_are_predicted_within_the_instruments() {
    let (mut missed, mut cut) = (Vec::new(), Vec::new());
    for name in [
        "leak: inlet duct",
        "leak: breather union",
        "leak: hot pipe",
        "leak: cold pipe",
        "leak: bypass valve seat",
        "leak: crankcase",
        "leak: crankcase ventilation (PCV) valve",
        "leak: exhaust manifold",
    ] {
        for size in between_rungs() {
            let (off, what) = miss(suspect(name), size * 1e-3);
            if off > 0.3 && cuts_fuel(suspect(name), size * 1e-3) {
                cut.push(format!("{name} {size:.2} mm: {off:.2} deviations, {what}"));
            } else if off > 0.3 {
                missed.push(format!("{name} {size:.2} mm: {off:.2} deviations, {what}"));
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
    assert!(cut.len() <= 2, "{}", cut.join("\n"));
    println!("where fuel is cut: {}", cut.join("; "));
}

/// Where a trim or a duty comes to its stop between two rungs, the cubic overshoots it: few
/// sizes, and by no more than a scattered reading does.
#[test]
fn stops_between_rungs_are_missed_by_little() {
    let (mut missed, mut all) = (Vec::new(), 0);
    for name in [
        "leak: manifold gasket",
        "leak: wastegate signal",
        "leak: bypass valve cover",
        "leak: bypass valve diaphragm",
    ] {
        for size in between_rungs() {
            let (off, what) = miss(suspect(name), size * 1e-3);
            assert!(
                off < 3.0,
                "{name} {size:.2} mm: {off:.2} deviations, {what}"
            );
            all += 1;
            if off > 0.3 {
                missed.push(format!("{name} {size:.2} mm: {off:.2} deviations, {what}"));
            }
        }
    }
    println!("{}", missed.join("\n"));
    assert!(
        missed.len() * 5 < all,
        "{} of {all}:\n{}",
        missed.len(),
        missed.join("\n")
    );
}

/// One number of the car moved both ways, everything learnt and solved anew.
#[test]
fn derivatives_over_the_car_are_those_of_cars_solved_anew() {
    let wanted = wanted();
    let sound = Shown::at(ladders(), &ladders().sound, &wanted).unwrap();
    let doubt = &ladders().doubt;
    let nominal = car();
    for key in [
        "meter.meter_scale",
        "cylinders.filling_share",
        "turbine.throat_area",
        "wastegate.preload",
        "fuelling.delivery",
        "manifold.wall_above_ambient",
    ] {
        let k = doubt.keys.iter().position(|own| own == key).unwrap();
        let deviation = doubt.factor[(k, k)];
        let step = 1e-3;
        let moved = |sign: f64| {
            let other = nominal.map(&mut |own, value| match own == key {
                true => value + sign * step * deviation,
                false => value,
            });
            let car = Comparison::new(&other);
            let each = conditions().into_iter().map(|condition| {
                let at = car.network.with(car.command(condition.command, false));
                side(&at, None).unwrap().readings
            });
            each.collect::<Vec<_>>()
        };
        let (up, down) = (moved(1.0), moved(-1.0));
        for (i, read) in wanted.iter().enumerate() {
            let value = |side: &[sim::network::Readings<f64>]| {
                side[read.condition].get(read.reading).unwrap()
            };
            let outside = (value(&up) - value(&down)) / (2.0 * step);
            let found = sound.by_doubt[(i, k)];
            // Where nothing moves, rounding of the values themselves is all there is.
            let least = 1e-9 * value(&up).abs().max(1.0) / step;
            assert!(
                (found - outside).abs() < 1e-4 * outside.abs() + least,
                "{key}, {:?} at {}: {found}, solved anew {outside}",
                read.reading,
                read.condition
            );
        }
    }
}

/// The slope over a leak's size is that of the predictions beside the rung.
#[test]
fn slopes_over_the_size_are_those_of_solved_cars() {
    let wanted = wanted();
    let index = suspect("leak: manifold gasket");
    let fault = ladders().suspects[index];
    let rung = &ladders().curves[fault.curve][6];
    let shown = Shown::at(ladders(), rung, &wanted).unwrap();
    let step = 1e-4;
    let up = ladders().solved(&[(fault, rung.u + step)]);
    let down = ladders().solved(&[(fault, rung.u - step)]);
    for (i, read) in wanted.iter().enumerate() {
        let value = |sides: &[Option<Side>]| {
            let side = sides[read.condition].as_ref();
            side.and_then(|side| side.readings.get(read.reading))
                .unwrap()
        };
        let outside = (value(&up) - value(&down)) / (2.0 * step);
        let found = shown.by_u[i];
        let least = 1e-9 * value(&up).abs().max(1.0) / step;
        assert!(
            (found - outside).abs() < 1e-3 * outside.abs() + least,
            "{:?} at {}: {found}, solved anew {outside}",
            read.reading,
            read.condition
        );
    }
}
