//! `falseair workshop flow`.

use crate::answer::dangers::Danger;
use crate::answer::given::Given;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::Warnings;
use crate::commands::workshop::kit::{spread, vehicle};
use crate::commands::workshop::page::{Sheet, true_hole};
use crate::input::case::mistake;
use crate::page::record::{Spread, WORDS, digits};
use crate::page::{Fact, Page, facts};
use crate::record;
use crate::say::{workshop, workshop_flow as say};
use sim::study::workshop::flow::FlowTest;
use sim::study::workshop::in_car::{Car, around, normal_boost};
use sim::study::workshop::limits::on_bench;
use sim::study::workshop::{gentle, hole_flow, sharp_hole};
use sim::units::round;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop flow scenarios/workshop/flow.toml
  falseair workshop flow --flow '6 L/min' \\
      --reference-pressure '101.325 kPa abs' \\
      --reference-temperature '20 degC' --pressure '13 inH2O gauge'
  falseair workshop flow --flow '6 L/min' --pressure '13 inH2O gauge'
  falseair workshop flow --flow '0.12 g/s' --pressure '1 psi gauge' \\
      --vehicle scenarios/vehicles/brindle-16.toml --place manifold_gasket

Flows: g/s, kg/h, lb/min, ...; L/min, slpm, cfm, scfm, scfh, ... with the
reference pressure and temperature on the meter's plate. A meter without a
plate, as on a smoke machine, is read all the same: the limits become wider.

Above 138 kPa gauge nothing is tested on the car; a part off the car takes
--bench: 1.5 times normal boost, 200 kPa at most.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-flow", schema::<File>);

/// Options of `workshop flow`.
#[derive(Debug, clap::Args)]
pub struct Flow {
    #[command(flatten)]
    pub(super) given: Given<FlowTest>,
    #[command(flatten)]
    pub(super) asked: Asked,
}

record! {
    /// What a flow test finds.
    pub(super) struct File {
        /// The answer in a sentence.
        says: String;
        #[serde(skip)]
        car: Option<String>;
        /// As the meter shows it.
        shown_flow_g_s: f64 = "flow the meter shows" "g/s" digits(4);
        /// Without what the first reading of the test leaks anyway.
        leak_flow_g_s: f64 = "through the leak" "g/s" digits(4);
        /// Above the air around.
        pressure_kpa: f64 = "pressure inside" "kPa gauge" digits(4);
        /// Discharge coefficient times area.
        effective_area_mm2: Spread = "effective area (Cd A)" "mm²" digits(4);
        /// Diameter of a sharp-edged hole that passes the same.
        equivalent_hole_mm: Spread = "sharp-edged hole that does the same" "mm" digits(4);
        /// As ISO 6358 has it.
        iso_6358_conductance: f64 = "sonic conductance C" "m³/(s Pa)" digits(4);
        /// As ISO 6358 has it.
        iso_6358_critical_ratio: f64 = "ISO 6358 critical ratio b" "" digits(4);
        /// Either way, where nothing says at which pressure and temperature the meter counts its volume.
        unsaid_pct: Option<f64> = "flow may be off, the meter's conditions unsaid" "%" digits(2);
        /// By the second reading; else it is that of a sharp-edged hole.
        critical_ratio_measured: bool = "b measured by a second reading" "" WORDS;
        /// Boost for which the next figure holds.
        boost_kpa: Option<f64> = "boost" "kPa" digits(4);
        /// What it loses there.
        flow_at_boost_g_s: Option<Spread> = "flow at that boost" "g/s" digits(4);
        /// What it does in the car, where one is named.
        in_car: Option<InCar>;
        /// What is dangerous, then what stays open.
        warnings: Warnings;
        /// For every such test.
        cautions: Vec<&'static str>;
    }
}

pub(super) fn run(options: &Flow) -> Result<Answer, Trouble> {
    let (test, source) = options.given.read()?;
    let car = vehicle(&source, test.vehicle.as_ref())?;
    let normal = car.as_ref().map(normal_boost);
    test.allowed(normal).map_err(|m| mistake(&source, &m))?;
    let found = test.find().map_err(|m| mistake(&source, &m))?;
    let (high, low) = test.sides(test.pressure);
    let hole = found.area.through(|area| sharp_hole(area, high, low));
    let (ambient, kelvin) = (test.ambient_pressure, test.temperature);
    let boost = test.boost.or(normal);
    let at_boost = boost.map(|gauge| {
        let flow = hole.through(|d| hole_flow(d, ambient + gauge, ambient, kelvin));
        spread(flow, 1e3)
    });
    let in_car = car.as_ref().map(|vehicle| {
        let car = Car::new(vehicle.clone(), around(ambient, kelvin), test.place());
        InCar::hole(&car, &vehicle.name, hole)
    });
    let mm = spread(hole, 1e3);
    let mut says = say::found(
        round(found.mass_flow * 1e3, 3),
        round(test.pressure / 1e3, 3),
        mm.words("mm"),
    );
    if let (Some(boost), Some(flow)) = (boost, at_boost) {
        says += &workshop::at_boost(boost / 1e3, flow.words("g/s"));
    }
    if let Some(car) = &in_car {
        says += &format!("; {}", car.says());
    }
    let file = File {
        says: says + ".",
        car: car.map(|car| car.name),
        shown_flow_g_s: found.shown * 1e3,
        leak_flow_g_s: found.mass_flow * 1e3,
        pressure_kpa: test.pressure / 1e3,
        effective_area_mm2: spread(found.area, 1e6),
        equivalent_hole_mm: mm,
        iso_6358_conductance: found.part.conductance,
        iso_6358_critical_ratio: found.part.critical_ratio,
        critical_ratio_measured: found.measured,
        unsaid_pct: found.unsaid.map(|share| 100.0 * share),
        boost_kpa: boost.map(|p| p / 1e3),
        flow_at_boost_g_s: at_boost,
        in_car,
        warnings: Warnings {
            dangers: test
                .danger(normal)
                .iter()
                .map(ToString::to_string)
                .chain(on_bench(test.bench, normal))
                .collect(),
            notes: gentle(test.pressure, normal)
                .into_iter()
                .chain(found.unsaid.map(|share| say::unsaid(100.0 * share)))
                .collect(),
        },
        cautions: workshop::TEST.into_iter().chain([say::SMOKE]).collect(),
    };
    options.asked.answer(&file)
}

impl Answers for File {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        let all = self.warnings.dangers.iter();
        all.map(|words| Danger::of_test(words)).collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        None
    }

    fn page(&self) -> Page {
        let mut blocks = vec![facts(workshop::WHAT_LEAKS, Fact::all(self, ""))];
        blocks.extend(true_hole(&self.equivalent_hole_mm, "/equivalent_hole_mm"));
        let sheet = Sheet {
            title: "Flow test",
            car: self.car.as_deref(),
            says: &self.says,
            blocks,
            in_car: self.in_car.as_ref(),
            warnings: Some(&self.warnings),
            cautions: &self.cautions,
            ..Sheet::default()
        };
        sheet.page()
    }
}
