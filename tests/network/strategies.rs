//! What engine computers of other makes do, as a vehicle file says it: how long-term trims are kept
//! and what is carried to full load. F: closed form; P: common practice, no source.

use crate::cars::{car, cars, hole, network, rpm};
use sim::control::{Command, TrimCarried, TrimCells};
use sim::network::readings::Reading as R;
use sim::network::{Network, Place, Vehicle};
use sim::study::running::explain::{explain, reasons};
use sim::study::running::reasons::Reason;
use sim::study::running::simulate::{Comparison, Side};

const MM: f64 = 1e-3;

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn keeping(vehicle: &Vehicle, cells: TrimCells, carried: TrimCarried) -> Vehicle {
    Vehicle {
        trim_cells: cells,
        trim_carried: carried,
        ..vehicle.clone()
    }
}

fn at(network: &Network<f64>, command: Command) -> [Side; 2] {
    let point = Comparison::new(network).point("", command);
    [point.healthy.unwrap(), point.faulty.unwrap().unwrap()]
}

const FULL: f64 = 3500.0;

fn full() -> Command {
    Command::full_load(rpm(FULL))
}

fn cruise() -> Command {
    Command::torque(250.0, 42.0)
}

/// Light cruise and brisk driving, where the model learns (P).
fn brisk(vehicle: &Vehicle) -> Command {
    let torque = 8e5 * vehicle.cylinders.displacement / (4.0 * std::f64::consts::PI);
    Command::torque(314.0, torque)
}

/// A hole that loses counted air makes full load rich (F: the meter counts what does not arrive);
/// lean is what the trim makes of it that has been learnt where the hole loses a larger share. The
/// sentence says which did it, and what would be without.
#[test]
fn what_turns_full_load_lean_is_the_carried_trim_and_the_sentence_says_so() {
    let brindle = car("brindle-16");
    let leak = || vec![hole(Place::ColdPipe, 5.0 * MM)];
    let told = |carried| {
        let vehicle = keeping(&brindle, TrimCells::IdleAndPartLoad, carried);
        let [healthy, faulty] = at(&network(&vehicle, leak(), Command::IDLE), full());
        let all = reasons(&healthy, &faulty, &vehicle, &full());
        (
            is(&healthy, R::Lambda),
            is(&faulty, R::Lambda),
            all,
            explain(&healthy, &faulty, &vehicle, &full()),
        )
    };
    let (healthy, with, all, said) = told(TrimCarried::All);
    let (_, fresh, bare, bare_said) = told(TrimCarried::None);
    println!("{healthy} {with} {fresh}\n{said}\n{bare_said}");
    assert!(fresh < healthy - 0.04 && with > healthy + 0.02);
    let carried = all.iter().find_map(|reason| match reason {
        Reason::Carried { trim, without, .. } => Some((*trim, *without)),
        _ => None,
    });
    let (trim, without) = carried.expect("the trim is named");
    assert!(
        trim < -5.0 && (without - fresh).abs() < 0.01,
        "{trim} {without}"
    );
    assert!(said.contains("the trim learnt at part load still takes off"));
    let open = |reason: &Reason| matches!(reason, Reason::OpenLoop(_));
    assert!(bare.iter().any(open) && bare_said.contains("richer"));
    // Nothing learnt yet is the same as nothing carried.
    let mut young = network(&brindle, leak(), Command::IDLE);
    young.command.learning = false;
    let [_, young] = at(&young, full());
    assert!((is(&young, R::Lambda) - fresh).abs() < 1e-3);
}

/// In closed loop the sum is what the mixture needs, however it is kept (F).
#[test]
fn however_trims_are_kept_closed_loop_needs_the_same_fuel() {
    for vehicle in cars() {
        let trims = |cells| {
            let vehicle = keeping(&vehicle, cells, TrimCarried::All);
            let leaking = network(
                &vehicle,
                vec![hole(Place::Crankcase, 4.0 * MM)],
                Command::IDLE,
            );
            [Command::IDLE, cruise(), brisk(&vehicle)].map(|command| {
                let [_, faulty] = at(&leaking, command);
                assert!(is(&faulty, R::ShortTrim).abs() < 1e-6);
                is(&faulty, R::FuelTrim)
            })
        };
        let usual = trims(TrimCells::IdleAndPartLoad);
        for cells in [
            TrimCells::OneNumber,
            TrimCells::ByLoad,
            TrimCells::IdleOffset,
        ] {
            for (trim, usual) in trims(cells).into_iter().zip(usual) {
                assert!((trim - usual).abs() < 1e-5, "{cells}: {trim} {usual}");
            }
        }
    }
}

/// What each way of keeping carries to full load.
#[test]
fn full_load_carries_what_its_cells_have_learnt() {
    let brindle = car("brindle-16");
    let leak = vec![hole(Place::ManifoldGasket, 1.2 * MM)];
    let long = |cells, carried, command: Command| {
        let vehicle = keeping(&brindle, cells, carried);
        let [_, faulty] = at(&network(&vehicle, leak.clone(), Command::IDLE), command);
        (is(&faulty, R::LongTrim), is(&faulty, R::MeteredAir))
    };
    use TrimCarried::{All, HighestCell};
    let (cruising, air) = long(
        TrimCells::IdleAndPartLoad,
        All,
        Command::torque(250.0, learning()),
    );
    let (idling, idle_air) = long(TrimCells::IdleAndPartLoad, All, Command::IDLE);
    let (kept, full_air) = long(TrimCells::IdleAndPartLoad, All, full());
    assert!((kept - cruising).abs() < 1e-3, "{kept} {cruising}");
    let (one, _) = long(TrimCells::OneNumber, All, full());
    assert!((one - cruising).abs() < 1e-3, "{one} {cruising}");
    // The cell of high load has learnt at high load.
    let (loaded, _) = long(TrimCells::ByLoad, All, brisk(&brindle));
    for carried in [All, HighestCell] {
        let (by_load, _) = long(TrimCells::ByLoad, carried, full());
        assert!((by_load - loaded).abs() < 1e-3, "{by_load} {loaded}");
    }
    assert!(loaded < 0.7 * cruising, "{loaded} {cruising}");
    // An amount of fuel a second (F): as large a share as its air is of the air there. What it
    // leaves at cruise the other cell has learnt.
    let offset = |air: f64| idling * idle_air / air;
    let share = cruising - offset(air);
    let (highest, _) = long(TrimCells::IdleOffset, HighestCell, full());
    assert!((highest - share).abs() < 0.02 * idling, "{highest} {share}");
    let (all, _) = long(TrimCells::IdleOffset, All, full());
    let expected = share + offset(full_air);
    assert!((all - expected).abs() < 0.02 * idling, "{all} {expected}");
    println!("idle {idling} cruise {cruising} brisk {loaded} full {kept} offset {all} {highest}");
}

/// Torque of the model's learning cruise, N m: 2.5 bar in 1.598 L.
fn learning() -> f64 {
    2.5e5 * 1.598e-3 / (4.0 * std::f64::consts::PI)
}
