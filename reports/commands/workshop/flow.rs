//! `falseair workshop flow`.

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::{TEST, Warnings, ending, row, warn};
use crate::commands::workshop::kit::{Spread, at, give, vehicle};
use crate::commands::workshop::page::{Fact, Sheet, facts, true_hole};
use crate::page::Page;
use crate::text::words::{heading, paragraph};
use serde::Serialize;
use sim::study::workshop::flow::FlowTest;
use sim::study::workshop::in_car::{Car, around, normal_boost};
use sim::study::workshop::{gentle, hole_flow, sharp_hole};
use sim::units::round;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop flow scenarios/workshop/flow.toml
  falseair workshop flow --flow '6 L/min' \\
      --reference-pressure '101.325 kPa abs' \\
      --reference-temperature '20 degC' --pressure '13 inH2O gauge'
  falseair workshop flow --flow '0.12 g/s' --pressure '1 psi gauge' \\
      --vehicle scenarios/vehicles/brindle-16.toml --place manifold_gasket

Flows: g/s, kg/h, lb/min, ...; L/min, slpm, cfm, scfm, scfh, ... with the
reference pressure and temperature on the meter's plate.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// Options of `workshop flow`.
#[derive(Debug, clap::Args)]
pub struct Flow {
    #[command(flatten)]
    given: Given<FlowTest>,
    #[command(flatten)]
    asked: Asked,
}

#[derive(Serialize)]
struct File {
    says: String,
    shown_flow_g_s: f64,
    leak_flow_g_s: f64,
    pressure_kpa: f64,
    effective_area_mm2: Spread,
    equivalent_hole_mm: Spread,
    /// m³/(s Pa), as ISO 6358 has it.
    iso_6358_conductance: f64,
    iso_6358_critical_ratio: f64,
    critical_ratio_measured: bool,
    boost_kpa: Option<f64>,
    flow_at_boost_g_s: Option<Spread>,
    in_car: Option<InCar>,
    warnings: Warnings,
    cautions: Vec<&'static str>,
}

const SMOKE_CAUTION: &str = "Smoke fluid: only what the machine's maker names; its mist burns and \
                             harms lungs, so no flames, and fresh air. Not near an open fuel line: \
                             fuel vapour burns.";

pub(super) fn run(options: &Flow) -> Result<Answer, Trouble> {
    let (test, source) = options.given.read()?;
    let car = vehicle(&source, test.vehicle.as_ref())?;
    let found = test.find().map_err(|m| at(&source, m))?;
    let (high, low) = test.sides(test.pressure);
    let hole = found.area.through(|area| sharp_hole(area, high, low));
    let (ambient, kelvin) = (test.ambient_pressure, test.temperature);
    let normal = car.as_ref().map(normal_boost);
    let boost = test.boost.or(normal);
    let at_boost = boost.map(|gauge| {
        let flow = hole.through(|d| hole_flow(d, ambient + gauge, ambient, kelvin));
        Spread::of(flow, 1e3)
    });
    let in_car = car.as_ref().map(|vehicle| {
        let car = Car::new(vehicle.clone(), around(ambient, kelvin), test.place());
        InCar::hole(&car, &vehicle.name, hole)
    });
    let mm = Spread::of(hole, 1e3);
    let mut says = format!(
        "{} g/s at {} kPa gauge is a sharp hole of {}, with 90 % confidence",
        round(found.mass_flow * 1e3, 3),
        round(test.pressure / 1e3, 3),
        mm.words("mm")
    );
    if let (Some(boost), Some(flow)) = (boost, at_boost) {
        says += &format!(
            "; at {:.0} kPa boost it loses {}",
            boost / 1e3,
            flow.words("g/s")
        );
    }
    if let Some(car) = &in_car {
        says += &format!("; {}", car.says());
    }
    let file = File {
        says: says + ".",
        shown_flow_g_s: found.shown * 1e3,
        leak_flow_g_s: found.mass_flow * 1e3,
        pressure_kpa: test.pressure / 1e3,
        effective_area_mm2: Spread::of(found.area, 1e6),
        equivalent_hole_mm: mm,
        iso_6358_conductance: found.part.conductance,
        iso_6358_critical_ratio: found.part.critical_ratio,
        critical_ratio_measured: found.measured,
        boost_kpa: boost.map(|p| p / 1e3),
        flow_at_boost_g_s: at_boost,
        in_car,
        warnings: Warnings {
            dangers: test
                .danger(normal)
                .iter()
                .map(ToString::to_string)
                .collect(),
            notes: gentle(test.pressure, normal).into_iter().collect(),
        },
        cautions: TEST.into_iter().chain([SMOKE_CAUTION]).collect(),
    };
    let name = car.as_ref().map(|car| car.name.as_str());
    give(&options.asked, || page(name, &file), || table(&file), &file)
}

fn page(car: Option<&str>, file: &File) -> Page {
    let mut all = vec![
        Fact::new(
            "flow the meter shows",
            "g/s",
            file.shown_flow_g_s,
            "/shown_flow_g_s",
        ),
        Fact::new(
            "through the leak",
            "g/s",
            file.leak_flow_g_s,
            "/leak_flow_g_s",
        ),
        Fact::new(
            "pressure inside",
            "kPa gauge",
            file.pressure_kpa,
            "/pressure_kpa",
        ),
        Fact::spread(
            "effective area (Cd A)",
            "mm²",
            &file.effective_area_mm2,
            "/effective_area_mm2",
        ),
        Fact::spread(
            "sharp hole that does the same",
            "mm",
            &file.equivalent_hole_mm,
            "/equivalent_hole_mm",
        ),
        Fact::new(
            "ISO 6358 conductance C",
            "m³/(s Pa)",
            file.iso_6358_conductance,
            "/iso_6358_conductance",
        ),
        Fact::new(
            "ISO 6358 critical ratio b",
            "",
            file.iso_6358_critical_ratio,
            "/iso_6358_critical_ratio",
        ),
    ];
    if let (Some(boost), Some(flow)) = (file.boost_kpa, &file.flow_at_boost_g_s) {
        let label = format!("flow at {boost:.0} kPa boost");
        all.push(Fact::spread(label, "g/s", flow, "/flow_at_boost_g_s"));
    }
    let mut blocks = vec![facts(
        "What leaks, with the limits of 90 % confidence.",
        all,
    )];
    blocks.extend(true_hole(&file.equivalent_hole_mm, "/equivalent_hole_mm"));
    let sheet = Sheet {
        title: "Flow test",
        car,
        dangers: &file.warnings.dangers,
        says: &file.says,
        blocks,
        in_car: file.in_car.as_ref(),
        warnings: &file.warnings.notes,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

fn table(file: &File) -> String {
    let mut text = String::new();
    warn(&mut text, &file.warnings.dangers);
    paragraph(&mut text, "", &file.says);
    heading(&mut text, "flow test");
    let round = |x: f64| round(x, 4);
    let text_of = &mut text;
    row(
        text_of,
        "flow the meter shows",
        &format!("{} g/s", round(file.shown_flow_g_s)),
    );
    row(
        text_of,
        "through the leak",
        &format!("{} g/s", round(file.leak_flow_g_s)),
    );
    row(
        text_of,
        "pressure inside",
        &format!("{} kPa gauge", round(file.pressure_kpa)),
    );
    row(
        text_of,
        "effective area (Cd A), 90 %",
        &file.effective_area_mm2.words("mm²"),
    );
    row(
        text_of,
        "sharp hole that does the same",
        &file.equivalent_hole_mm.words("mm"),
    );
    let conductance = format!("{} m3/(s Pa)", round(file.iso_6358_conductance));
    row(text_of, "ISO 6358 conductance C", &conductance);
    let origin = match file.critical_ratio_measured {
        true => "measured by the second reading",
        false => "of a sharp hole; a second reading would measure it",
    };
    let ratio = format!("{} ({origin})", round(file.iso_6358_critical_ratio));
    row(text_of, "ISO 6358 critical ratio b", &ratio);
    if let (Some(boost), Some(flow)) = (file.boost_kpa, &file.flow_at_boost_g_s) {
        row(
            text_of,
            &format!("flow at {boost:.0} kPa boost"),
            &flow.words("g/s"),
        );
    }
    if let Some(car) = &file.in_car {
        car.table(&mut text);
    }
    ending(&mut text, &file.warnings.notes, &file.cautions);
    text
}
