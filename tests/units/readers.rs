//! Parameter files: what is read from them.

use falseair::input::{InputError, Source};
use serde::Deserialize;
use sim::Dual;
use sim::{quantities, tables, words};
use std::path::Path;

quantities! {
    /// The throttle body.
    pub struct Throttle {
        /// Bore.
        diameter: Length [10e-3, 0.15],
        /// Plate angle when shut.
        closed_angle: Angle [0.0, 0.35] = 0.12,
    }
}

words! {
    /// How the engine computer counts air.
    pub enum Metering {
        /// By the mass air flow sensor.
        AirFlowMeter = "air_flow_meter",
        /// From manifold pressure, temperature and speed.
        SpeedDensity = "speed_density",
    }
}

tables! {
    /// An engine, as the tests know one.
    pub struct Engine {
        /// Swept volume.
        displacement: Volume [0.05e-3, 20e-3],
        /// Ratio of volumes.
        compression_ratio: Ratio [5.0, 20.0] = 10.0,
        /// The throttle.
        throttle: Throttle<P>,
        /// A second one.
        second: Throttle<P> or None,
        /// How air is counted.
        metering: Metering = Metering::AirFlowMeter,
        /// Boost wanted at a speed.
        target: AngularSpeed [0.0, 1500.0] -> GaugePressure [0.0, 3e5],
        /// Weight of a part.
        ballast: Mass [0.0, 10.0] or None,
    }
}

/// A derived struct around them.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    engine: Engine,
    #[serde(default)]
    spare: Vec<Throttle>,
    #[serde(default)]
    part: Vec<Part>,
}

/// A choice among tables, as derived readers know it.
#[derive(Debug, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Part {
    Throttle(Throttle),
    Engine(Box<Engine>),
}

pub const GOOD: &str = r#"# An engine.
[engine]
displacement = "1.6 L"
metering = "speed_density"
target = [["1000 rpm", "20 kPa gauge"], ["3000 rpm", "80 kPa gauge"]]

[engine.throttle]
diameter = "58 mm"
"#;

pub fn read(text: &str) -> Result<File, InputError> {
    Source::from_text(Path::new("engine.toml"), text).parse()
}

#[test]
fn a_good_file() {
    let engine = read(GOOD).unwrap().engine;
    assert_eq!(engine.displacement, 1.6e-3);
    assert_eq!(engine.compression_ratio, 10.0);
    assert_eq!(engine.throttle.diameter, 0.058);
    assert_eq!(engine.throttle.closed_angle, 0.12);
    assert_eq!((engine.second, engine.ballast), (None, None));
    assert_eq!(engine.metering, Metering::SpeedDensity);
    assert_eq!(engine.target.at(1e4), 80e3);
    let more = "[engine.second]\ndiameter = \"40 mm\"\n[[spare]]\ndiameter = \"1 in\"\n";
    let file = read(&format!("{GOOD}{more}")).unwrap();
    assert_eq!(file.engine.second.unwrap().diameter, 0.04);
    assert_eq!(file.spare[0].diameter, 0.0254);
    let part = "[[part]]\nthrottle.diameter = \"40 mm\"\n";
    assert!(matches!(
        read(&format!("{GOOD}{part}")).unwrap().part[0],
        Part::Throttle(_)
    ));
}

#[test]
fn a_map_sees_every_number_by_its_dotted_key() {
    let mut keys = Vec::new();
    let dual = read(GOOD).unwrap().engine.map(&mut |key, value| {
        keys.push(key.to_string());
        Dual::<2> {
            value,
            slope: [0.0; 2],
        }
    });
    assert_eq!(
        keys.join(" "),
        "displacement compression_ratio throttle.diameter throttle.closed_angle \
         target.0.0 target.0.1 target.1.0 target.1.1"
    );
    assert_eq!(dual.throttle.diameter.value, 0.058);
    assert_eq!(dual.metering, Metering::SpeedDensity);
}

#[test]
fn words_answer_with_the_nearest() {
    assert_eq!("speed_density".parse(), Ok(Metering::SpeedDensity));
    assert_eq!(
        "speed_densty".parse::<Metering>().unwrap_err().to_string(),
        "unknown word `speed_densty`; did you mean `speed_density`?\n\
         allowed here: air_flow_meter, speed_density"
    );
    assert_eq!(Metering::AirFlowMeter.to_string(), "air_flow_meter");
}

#[test]
fn a_key_missing_at_the_top() {
    let error = read("# nothing\n").unwrap_err();
    assert_eq!(
        (error.line(), error.message()),
        (None, "missing key `engine`")
    );
}

#[test]
fn faults_found_later_have_their_place_too() {
    let text = format!("{GOOD}[[spare]]\ndiameter = \"50 mm\"\n");
    let source = Source::from_text(Path::new("engine.toml"), &text);
    let at = |key: &str| {
        let error = source.error_at(key, "does not fit");
        (error.line(), error.column())
    };
    assert_eq!(at("engine.throttle.diameter"), (Some(8), Some(12)));
    assert_eq!(at("engine.target.1.0"), (Some(5), Some(42)));
    assert_eq!(at("spare.0.diameter"), (Some(10), Some(12)));
    // A default was taken: the table that could have held it.
    assert_eq!(at("engine.throttle.closed_angle"), (Some(7), Some(1)));
    assert_eq!(at("drive.speed"), (None, None));
    let error = source.error_at("drive.speed", "is needed");
    assert_eq!(error.message(), "`drive.speed`: is needed");
}
