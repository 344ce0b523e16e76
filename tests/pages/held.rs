//! Pictures as they are drawn for a screen that is held: a phone of 360 px leaves 332 px for them, on which
//! no letter is smaller than 16 px, none lies on another, and nothing runs over the edge.

use falseair::figure::axis::Axis;
use falseair::figure::bars::{Bar, bars};
use falseair::figure::chart::{Chart, Series};
use falseair::figure::ink::Ink;
use falseair::figure::scene::{Scene, Shape};
use falseair::figure::tracks::{Track, tracks};

const ROOM: f64 = 332.0;
const LEAST: f64 = 16.0;
const NAMES: [&str; 4] = [
    "idle",
    "crankcase ventilation (PCV) valve, light cruise where the trims are learnt",
    "compressor bypass (recirculation) valve by hand pump",
    "long-term trim, full load 2500 rpm: 25.0, −2.1 %",
];

fn held(scene: &Scene) {
    let held = scene.held.as_ref().unwrap();
    assert!(held.clashes().is_empty(), "{:?}", held.clashes());
    for shape in &held.shapes {
        if let Shape::Words(words) = shape {
            let size = words.size * ROOM / held.width;
            assert!(size >= LEAST, "{size:.2} px: {}", words.text);
        }
    }
}

#[test]
fn bars_tracks_and_charts_can_be_read_on_a_phone() {
    for said in [
        "0.1",
        "2.24 (2.12 to 2.29)",
        "6.2 mm, P2191 (full load 2500 rpm)",
    ] {
        let all = NAMES.iter().zip([0.0, 3.0, -2.0, 1e-9]);
        let all = all.map(|(name, value)| Bar {
            name: (*name).into(),
            value,
            said: said.into(),
            json: String::new(),
            interval: Some((value - 1.0, value + 1.0)),
            ink: Ink::Faulty,
        });
        held(&bars(
            "smallest hole that sets a code at any point of all, mm",
            &all.collect::<Vec<_>>(),
            460.0,
        ));
    }
    let all = NAMES.iter().map(|name| Track {
        said: (*name).into(),
        ring: ("/a".into(), 14.0),
        dot: ("/b".into(), -0.2),
    });
    held(&tracks(
        &all.collect::<Vec<_>>(),
        2.0,
        &[-8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0],
    ));
    for names in [
        ["healthy", "faulty"],
        ["no heat from the walls", "air at one temperature"],
    ] {
        let y = Axis::new(
            "air as the engine computer counts it while it is driven",
            "g/s",
        );
        let mut chart = Chart::new(Axis::new("engine speed", "rpm"), y);
        for (i, name) in names.into_iter().enumerate() {
            let points = (0..20).map(|x| [100.0 * f64::from(x), f64::from(x) / (i + 1) as f64]);
            chart
                .series
                .push(Series::new(name, Ink::Faulty, 2.0, points.collect()));
        }
        held(&chart.scene(620.0, 320.0));
    }
}
