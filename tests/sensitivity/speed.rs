//! What derivatives cost (printed), and that fresh trims do not move with a leak.

use crate::differences::{car, hole, points};
use sim::control::Command;
use sim::network::{Place, Reading};
use sim::study::asking::sensitivity::{Linear, Seeded, Sensitivity, Told, quantities};
use sim::study::running::simulate::Comparison;

#[test]
fn all_quantities_at_once_cost_a_few_evaluations() {
    let network = car("brindle-16").leaking(vec![hole(Place::ColdPipe, 2e-3)]);
    let cars = Comparison::new(&network);
    let all = quantities(&network);
    let begun = std::time::Instant::now();
    let sensitivity = Sensitivity::new(&cars, all.clone());
    let prepared = begun.elapsed();
    let mut solving = std::time::Duration::ZERO;
    for (name, command) in points() {
        let begun = std::time::Instant::now();
        let point = sensitivity.point(name, command).expect("runs");
        solving += begun.elapsed();
        assert_eq!(point.slopes.readings.ncols(), all.len());
        assert!(point.slopes.readings.iter().all(|slope| slope.is_finite()));
        assert!(point.slopes.levels.iter().all(|slope| slope.is_finite()));
    }
    let command = cars.command(points()[3].1, true);
    let x = cars.faulty(command, cars.learnt(false).idle);
    let (network, x) = (network.with(command), x.expect("runs").state);
    let mut seeded = Seeded::<8>::new(&network, &all);
    let begun = std::time::Instant::now();
    let at = Linear::at(&network, &x).expect("regular");
    let linear = begun.elapsed();
    let slopes = at.slopes(&mut seeded, &Told::fixed(all.len()));
    let rest = begun.elapsed() - linear;
    assert_eq!(slopes.states.ncols(), all.len());
    println!("linearised in {linear:?}, all slopes in {rest:?}");
    println!(
        "{} quantities: prepared in {prepared:?}, 4 points in {solving:?}",
        all.len()
    );
}

#[test]
fn fresh_trims_do_not_move_with_the_leak() {
    let leaking = car("brindle-16").leaking(vec![hole(Place::InletDuct, 4e-3)]);
    let fresh = leaking.with(Command {
        learning: false,
        ..Command::IDLE
    });
    let slope = |network| {
        let cars = Comparison::new(network);
        let all = quantities(network);
        let size = all
            .iter()
            .position(|q| q.key == "leak.0.round_hole.diameter");
        let point = Sensitivity::new(&cars, all)
            .point("full load", points()[3].1)
            .expect("runs");
        point.slope(Reading::LongTrim, size.unwrap()).unwrap()
    };
    // % per metre, nothing but rounding: where trims are learnt it is thousands.
    assert!(slope(&fresh).abs() < 1e-9);
    assert!(
        slope(&leaking) > 0.0,
        "what is learnt at cruise grows with the hole"
    );
}
