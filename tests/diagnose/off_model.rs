//! Cars that the model did not make: `benches/off_model` has another model of other laws. What is
//! known of them is their plate.

#[allow(dead_code, reason = "what may be wrong is for the garage")]
#[path = "../../benches/off_model/engine.rs"]
mod engine;
#[path = "../../benches/off_model/path.rs"]
mod path;
#[path = "../../benches/off_model/typed.rs"]
mod typed;
#[path = "../../benches/off_model/types.rs"]
mod types;

use crate::setup::called_faulty;
use engine::Wrong;
use falseair::input::Source;
use sim::network::Known;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::judging::diagnose::ranking::Diagnosis;
use std::path::Path;

/// A healthy car of each of five types, one of them with cams, one counted by manifold pressure, one
/// with its wastegate open at part load: none is accused. Before aims and structure were in
/// doubt, every one was.
#[test]
fn a_healthy_car_of_another_make_is_not_accused() {
    for kind in [0, 1, 2, 7, 9] {
        let mut chance = Chance::new(91 + kind as u64);
        let make = types::kind(kind);
        let plate = typed::plate(&make).unwrap();
        let vehicle = sim::size(&plate).unwrap().vehicle;
        // Nobody has to say that a plate is no measurement.
        assert_eq!(vehicle.known, Known::Estimated);
        let car = types::drawn(&make, &mut chance);
        let text = typed::readings(&car, Wrong::Nothing, &mut chance).unwrap();
        let source = Source::from_text(Path::new("typed"), &text);
        let file: ReadingsFile = source
            .parse()
            .unwrap_or_else(|e| panic!("{}", e.render(false)));
        let doubt = |car: &_| Ok(file.doubt(car));
        let (ladders, evidence) = file.prepared(vehicle, doubt, Vec::new()).unwrap();
        let found = Diagnosis::new(&ladders, &evidence, false).unwrap();
        let first = found.hypotheses[0].name(&ladders);
        assert!(
            !called_faulty(found.verdict, found.sound()),
            "type {kind}: {:?}, {first}, healthy with {:.2}",
            found.verdict,
            found.sound()
        );
    }
}
