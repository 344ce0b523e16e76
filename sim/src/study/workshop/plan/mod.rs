//! A plan of pressure and smoke tests for one car: stages in their order, each with
//! a safe pressure, what to blank off, and what a tight system and holes would show.

mod stages;

use super::limits::{Limit, Step};

use super::emptying::{Checked, Heat};
use super::procedures::{OfCar, Procedure};
use super::section::Section;
use super::{AIR, effective_flow, sharp_hole};
use crate::leak::Shape;
use crate::medium::GasState;
use crate::network::{Ambient, Place, Vehicle};
use crate::study::running::tank::decay_flow;

/// Holes that readings are predicted for, m.
pub const HOLES: [f64; 3] = [1e-3, 2e-3, 3e-3];
/// A gauge that falls by less than this, Pa, in this time, s, shows no leak.
pub const TIGHT: (f64, f64) = (1e3, 60.0);
/// Shortest time, s, that a person reads off a watch (own choice).
pub const READABLE: f64 = 0.5;
/// Bore of pipes and of a charge air cooler's passages, for the heat of their walls, m (judgement).
const BORE: f64 = 0.04;

/// A stage of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// What is tested.
    pub name: &'static str,
    /// Highest pressure to test with, Pa gauge.
    pub pressure: f64,
    /// Why no more.
    pub why: String,
    /// Air shut in, m³; none where it is not known.
    pub volume: Option<f64>,
    /// Places where a leak lets air out of it.
    pub places: Vec<Place>,
    /// How it is done.
    pub procedure: Procedure,
    /// What a tight system shows.
    pub tight: Tight,
    /// What holes show, wherever in the stage they are.
    pub holes: Vec<Hole>,
}

/// What a tight system shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tight {
    /// No smoke and no flow that the meter tells.
    NoSmoke,
    /// The gauge falls by less than [`TIGHT`]; then no hole is larger than this, m.
    Holds(f64),
    /// Valves and rings pass air: half the pressure is left after no less than this, s.
    Rings(f64),
}

/// A hole and what it shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// m.
    pub diameter: f64,
    /// At the stage's pressure, kg/s.
    pub flow: f64,
    /// Until half the pressure is left, s; none where no volume is known, or where it is gone before
    /// a watch can be read ([`READABLE`]).
    pub half: Option<f64>,
}

/// The plan for a car in the workshop's air.
///
/// # Examples
/// ```
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let stages = sim::workshop::plan(&car.vehicle, &car.ambient);
/// // Nothing is tested above 20 psi, and every stage says why not higher.
/// assert!(stages.iter().all(|stage| stage.pressure <= sim::workshop::USUAL_TEST));
/// assert!(stages.iter().all(|stage| !stage.why.is_empty()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn plan(car: &Vehicle<f64>, ambient: &Ambient) -> Vec<Stage> {
    let planner = Planner {
        car,
        ambient,
        of_car: OfCar::new(car),
    };
    vec![
        planner.smoke(),
        planner.charge(),
        planner.manifold(),
        planner.inlet(),
        planner.capsule(),
        planner.chamber(),
        planner.crankcase(),
        planner.exhaust(),
    ]
}

struct Planner<'a> {
    car: &'a Vehicle<f64>,
    ambient: &'a Ambient,
    of_car: OfCar,
}

impl Planner<'_> {
    /// A step's highest pressure, Pa gauge, and why it is that.
    fn limit(&self, step: Step) -> (f64, String) {
        let Limit { pressure, why } = step.limit(Some(self.of_car.boost));
        (pressure, why.to_string())
    }

    fn checked(&self, pressure: f64, volume: f64, bore: f64) -> Checked {
        Checked {
            volume,
            volume_doubt: 0.0,
            start: self.ambient.pressure + pressure,
            ambient: self.ambient.pressure,
            temperature: self.ambient.temperature,
            bore,
            resolution: TIGHT.0,
            drift: 0.0,
        }
    }

    /// Until half the pressure is left, s.
    fn half(&self, test: &Checked, element: impl Fn(&Gas, &Gas) -> Flow + Copy) -> Option<f64> {
        let end = 0.5 * (test.start - test.ambient);
        let likely = test.time_to(end, Heat::Convection(1.0), element);
        let found = likely.or_else(|_| test.time_to(end, Heat::Isothermal, element));
        found.ok().map(|found| found.0)
    }

    fn holes(&self, pressure: f64, volume: Option<f64>, bore: f64) -> Vec<Hole> {
        let (outside, kelvin) = (self.ambient.pressure, self.ambient.temperature);
        let gas = |pressure| AIR.state(pressure, kelvin);
        let holes = HOLES.into_iter().map(|diameter| {
            let shape = Shape::hole(diameter);
            let through = |a: &Gas, b: &Gas| shape.flow(a, b);
            Hole {
                diameter,
                flow: through(&gas(outside), &gas(outside + pressure)).mass.abs(),
                half: volume
                    .and_then(|v| self.half(&self.checked(pressure, v, bore), through))
                    .filter(|time| *time >= READABLE),
            }
        });
        holes.collect()
    }

    /// The largest hole of a section that counts as tight, m.
    fn largest_tight(&self, pressure: f64, volume: f64) -> f64 {
        let (low, kelvin) = (self.ambient.pressure, self.ambient.temperature);
        let constant = AIR.state(low, kelvin).gas_constant;
        let flow = decay_flow(volume, TIGHT.0, TIGHT.1, constant, kelvin);
        let high = low + pressure;
        sharp_hole(flow / effective_flow(1.0, high, low, kelvin), high, low)
    }

    fn all_volume(&self) -> f64 {
        Section::InletToManifold.volume(self.car)
    }
}

type Gas = GasState<f64>;
type Flow = crate::flow::Flow<f64>;
