//! `falseair workshop decay`.

mod figure;
mod page;

use crate::answer::given::Given;
use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::before::{Spread, give};
use crate::commands::workshop::before::{ending, row, warn};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::{TEST, Warnings};
use crate::commands::workshop::kit::{at, vehicle};
use crate::page::Picture;
use crate::text::words::{bar, heading, paragraph};
use crate::text::write::OutFile;
use clap::ValueHint;
use serde::Serialize;
use sim::flow::Flow;
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::Shape;
use sim::medium::GasState;
use sim::network::Vehicle;
use sim::solve::explicit::Refused;
use sim::study::workshop::decay::{Checked, DecayTest, Found, Heat, Pair};
use sim::study::workshop::in_car::{Car, around, normal_boost};
use sim::study::workshop::{AIR, gentle, hole_flow, sharp_hole};
use sim::units::round;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop decay scenarios/workshop/decay.toml
  falseair workshop decay --start-pressure '60 kPa gauge' \\
      --end-pressure '5 kPa gauge' --time '8 s' \\
      --vehicle scenarios/vehicles/brindle-16.toml --place manifold_gasket
  falseair workshop decay --volume '8 L' --start-pressure '60 kPa gauge' \\
      --time '30 s' --leak 'round_hole diameter=1 mm' --plot trace.svg

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// Options of `workshop decay`.
#[derive(Debug, clap::Args)]
pub struct Decay {
    #[command(flatten)]
    given: Given<DecayTest>,
    #[command(flatten)]
    asked: Asked,
    /// Also draw the gauge trace into this SVG file.
    #[arg(long, value_name = "FILE.svg", value_hint = ValueHint::FilePath)]
    plot: Option<OutFile>,
}

/// What two readings find.
#[derive(Serialize)]
struct Measured {
    volume_l: f64,
    effective_area_mm2: Spread,
    effective_area_isothermal_mm2: f64,
    effective_area_adiabatic_mm2: f64,
    equivalent_hole_mm: Spread,
    mean_flow_g_s: f64,
    flow_at_start_g_s: Spread,
    boost_kpa: Option<f64>,
    flow_at_boost_g_s: Option<Spread>,
}

/// What a leak leads to; times to the end pressure, where one is asked for.
#[derive(Serialize)]
struct Predicted {
    volume_l: f64,
    shape: &'static str,
    flow_at_start_g_s: f64,
    time_isothermal_s: Option<f64>,
    time_adiabatic_s: Option<f64>,
    time_likely_s: Option<f64>,
    end_temperature_adiabatic_k: Option<f64>,
    end_temperature_likely_k: Option<f64>,
}

/// A gauge trace.
#[derive(Serialize)]
struct Trace {
    time_s: Vec<f64>,
    likely_kpa: Vec<f64>,
    isothermal_kpa: Vec<f64>,
    adiabatic_kpa: Vec<f64>,
}

#[derive(Serialize)]
struct File {
    says: String,
    found: Option<Measured>,
    predicted: Option<Predicted>,
    trace: Trace,
    in_car: Option<InCar>,
    warnings: Warnings,
    cautions: [&'static str; 6],
}

/// Steps of a trace.
const STEPS: usize = 60;

pub(super) fn run(options: &Decay) -> Result<Answer, Trouble> {
    let (test, source) = options.given.read()?;
    let car = vehicle(&source, test.vehicle.as_ref())?;
    let checked = test.checked(car.as_ref()).map_err(|m| at(&source, m))?;
    if car.is_some() {
        test.holds(test.place(), "place")
            .map_err(|m| at(&source, m))?;
    }
    let refused = |e: Refused| match e {
        Refused::NoEvent { .. } => source
            .error_at(
                "leak",
                "so small a leak takes more than 10 hours: it is as good as tight, or shuts before \
                 the end pressure is reached",
            )
            .into(),
        other => Trouble::Other(format!("the test cannot be run through: {other}")),
    };
    let (mut file, dots) = match &test.leak {
        Some(leak) => {
            let run = test.run().map_err(|m| at(&source, m))?;
            (
                predict(&test, &checked, leak, run).map_err(refused)?,
                Vec::new(),
            )
        }
        None => {
            let pair = test.pair().map_err(|m| at(&source, m))?;
            let second = test.second().map_err(|m| at(&source, m))?;
            let found = checked.find(&pair, second.as_ref()).map_err(refused)?;
            if found.area.value < 0.0 {
                let message = "with the part mended or shut off, more gets out than before: the \
                               blanking leaks, or the volume is not the stated share";
                return Err(source.error_at("reference", message).into());
            }
            let dots = vec![(0.0, pair.start / 1e3), (pair.time, pair.end / 1e3)];
            let second = second.as_ref();
            let file = measure(&test, &checked, car.as_ref(), &found, &pair, second);
            (file.map_err(refused)?, dots)
        }
    };
    let normal = car.as_ref().map(normal_boost);
    let above = test.danger(normal).map(|excess| excess.to_string());
    file.warnings.dangers.extend(above);
    let notes = &mut file.warnings.notes;
    notes.splice(0..0, gentle(test.start_pressure, normal));
    let picture = || Picture {
        name: "gauge-trace".into(),
        caption:
            "What the gauge shows while the leak empties the volume: likely, and the two limits \
                  of what the walls do."
                .into(),
        scene: figure::trace(&figure::Trace {
            time: &file.trace.time_s,
            likely: &file.trace.likely_kpa,
            isothermal: &file.trace.isothermal_kpa,
            adiabatic: &file.trace.adiabatic_kpa,
            dots: &dots,
        }),
    };
    let plot = options.plot.as_ref().map(|plot| {
        let svg = picture().scene.svg(&file.says).map_err(Trouble::Other)?;
        Ok::<_, Trouble>(plot.holding(svg))
    });
    let plot = plot.transpose()?;
    let name = car.as_ref().map(|car| car.name.as_str());
    let page = || page::page(&test, name, &file, picture());
    let table = || table(&test, &checked, &file);
    Ok(give(&options.asked, page, table, &file)?.with(plot))
}

/// From readings to the leak, and to the car.
fn measure(
    test: &DecayTest,
    checked: &Checked,
    car: Option<&Vehicle>,
    found: &Found,
    pair: &Pair,
    second: Option<&Pair>,
) -> Result<File, Refused> {
    let (start, ambient, kelvin) = (checked.start, checked.ambient, checked.temperature);
    // The hole is sized half-way down.
    let middle = ambient + 0.5 * (pair.start + pair.end);
    let sized = |area| sharp_hole(area, middle.max(ambient), middle.min(ambient));
    let hole = found.area.through(sized);
    let boost = test.boost.or(car.map(normal_boost));
    let at_boost = boost.map(|gauge| {
        let flow = hole.through(|d| hole_flow(d, ambient + gauge, ambient, kelvin));
        Spread::of(flow, 1e3)
    });
    let at_start = hole.through(|d| hole_flow(d, start.max(ambient), start.min(ambient), kelvin));
    let in_car = car.map(|vehicle| {
        let car = Car::new(vehicle.clone(), around(ambient, kelvin), test.place());
        InCar::hole(&car, &vehicle.name, hole)
    });
    let mm = Spread::of(hole, 1e3);
    let mut says = if found.area.value == 0.0 {
        format!(
            "The gauge shows no leak: at most a sharp hole of {} mm, with 90 % confidence",
            round(mm.high, 3)
        )
    } else {
        let what = match second {
            None => "The gauge moved as through",
            Some(_) => "What the second reading does not explain is",
        };
        format!(
            "{what} a sharp hole of {}, with 90 % confidence",
            mm.words("mm")
        )
    };
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
    let mut warnings = Warnings::default();
    if found.area.low == 0.0 {
        warnings.notes.push(
            "the drop is not more than gauge and temperature can tell: all that is known of the leak \
             is the upper limit; wait longer"
                .into(),
        );
    }
    // The trace is that of the first reading: with all that leaks.
    let whole = match second {
        None => found.area.value,
        Some(_) => checked.find(pair, None)?.area.value,
    };
    let element =
        |a: &GasState<f64>, b: &GasState<f64>| orifice(whole, Discharge::Constant(1.0), a, b);
    Ok(File {
        says: says + ".",
        found: Some(Measured {
            volume_l: checked.volume * 1e3,
            effective_area_mm2: Spread::of(found.area, 1e6),
            effective_area_isothermal_mm2: found.isothermal * 1e6,
            effective_area_adiabatic_mm2: found.adiabatic * 1e6,
            equivalent_hole_mm: mm,
            mean_flow_g_s: found.mean_flow * 1e3,
            flow_at_start_g_s: Spread::of(at_start, 1e3),
            boost_kpa: boost.map(|p| p / 1e3),
            flow_at_boost_g_s: at_boost,
        }),
        predicted: None,
        trace: trace(checked, pair.time, element)?,
        in_car,
        warnings,
        cautions: TEST,
    })
}

/// From a leak to its gauge trace.
fn predict(
    test: &DecayTest,
    checked: &Checked,
    leak: &Shape,
    (end, time): (Option<f64>, Option<f64>),
) -> Result<File, Refused> {
    let element = |a: &GasState<f64>, b: &GasState<f64>| leak.flow(a, b);
    let until = |heat| {
        end.map(|end| checked.time_to(end, heat, element))
            .transpose()
    };
    let isothermal = until(Heat::Isothermal)?;
    let adiabatic = until(Heat::Adiabatic)?;
    let likely = match until(Heat::Convection(1.0)) {
        Err(Refused::Stiff { .. }) => isothermal,
        other => other?,
    };
    let lasts = time.or(likely.map(|(time, _)| time)).unwrap_or(1.0);
    let outside = AIR.state(checked.ambient, checked.temperature);
    let inside = AIR.state(checked.start, checked.temperature);
    let flow = element(&outside, &inside).mass.abs();
    let trace = trace(checked, lasts, element)?;
    let last = trace.likely_kpa.last().copied().unwrap_or(f64::NAN);
    let walls = match (adiabatic, isothermal) {
        (Some((a, _)), Some((i, _))) => format!(
            " ({} s if the walls gave no heat, {} s if they kept the air at one temperature)",
            round(a, 3),
            round(i, 3)
        ),
        _ => String::new(),
    };
    let says = format!(
        "With this leak ({}) the gauge goes from {:.1} to {last:.1} kPa in {} s{walls}.",
        leak.name().replace('_', " "),
        test.start_pressure / 1e3,
        round(lasts, 3),
    );
    let mut warnings = Warnings::default();
    if flow == 0.0 {
        warnings
            .notes
            .push("nothing flows through this leak at the start pressure".into());
    }
    Ok(File {
        says,
        found: None,
        predicted: Some(Predicted {
            volume_l: checked.volume * 1e3,
            shape: leak.name(),
            flow_at_start_g_s: flow * 1e3,
            time_isothermal_s: isothermal.map(|found| found.0),
            time_adiabatic_s: adiabatic.map(|found| found.0),
            time_likely_s: likely.map(|found| found.0),
            end_temperature_adiabatic_k: adiabatic.map(|found| found.1.temperature),
            end_temperature_likely_k: likely.map(|found| found.1.temperature),
        }),
        trace,
        in_car: None,
        warnings,
        cautions: TEST,
    })
}

fn trace(
    checked: &Checked,
    lasts: f64,
    element: impl Fn(&GasState<f64>, &GasState<f64>) -> Flow<f64> + Copy,
) -> Result<Trace, Refused> {
    let time_s: Vec<f64> = (0..=STEPS)
        .map(|i| lasts * i as f64 / STEPS as f64)
        .collect();
    let line = |heat| -> Result<Vec<f64>, Refused> {
        let gauge = checked.trace(&time_s, heat, element)?;
        Ok(gauge.into_iter().map(|p| p / 1e3).collect())
    };
    let isothermal_kpa = line(Heat::Isothermal)?;
    let likely_kpa = match line(Heat::Convection(1.0)) {
        Err(Refused::Stiff { .. }) => isothermal_kpa.clone(),
        other => other?,
    };
    Ok(Trace {
        adiabatic_kpa: line(Heat::Adiabatic)?,
        likely_kpa,
        isothermal_kpa,
        time_s,
    })
}

fn table(test: &DecayTest, checked: &Checked, file: &File) -> String {
    let mut text = String::new();
    warn(&mut text, &file.warnings.dangers);
    paragraph(&mut text, "", &file.says);
    if let Some(found) = &file.found {
        heading(&mut text, "pressure decay");
        let doubt = 100.0 * checked.volume_doubt;
        let volume = format!(
            "{} L, standard doubt {doubt:.0} %",
            round(found.volume_l, 4)
        );
        row(&mut text, "volume", &volume);
        let area = found.effective_area_mm2.words("mm²");
        row(&mut text, "effective area (Cd A), 90 %", &area);
        let walls = format!(
            "{} mm² if the walls gave no heat, {} if air stayed at one temperature",
            round(found.effective_area_adiabatic_mm2, 3),
            round(found.effective_area_isothermal_mm2, 3)
        );
        row(&mut text, "whatever the walls did", &walls);
        row(
            &mut text,
            "sharp hole that does the same",
            &found.equivalent_hole_mm.words("mm"),
        );
        let label = format!("flow at {:.0} kPa gauge", test.start_pressure / 1e3);
        row(&mut text, &label, &found.flow_at_start_g_s.words("g/s"));
        if let (Some(boost), Some(flow)) = (found.boost_kpa, &found.flow_at_boost_g_s) {
            row(
                &mut text,
                &format!("flow at {boost:.0} kPa boost"),
                &flow.words("g/s"),
            );
        }
    }
    heading(&mut text, "gauge, kPa");
    let most = file
        .trace
        .likely_kpa
        .iter()
        .fold(0.0, |most: f64, p| most.max(p.abs()));
    for i in (0..=STEPS).step_by(STEPS / 6) {
        let (time, gauge) = (file.trace.time_s[i], file.trace.likely_kpa[i]);
        let bar = bar(gauge.abs() / most, 48);
        let line = format!("{:>12} s{gauge:>10.2}  {bar}", round(time, 4));
        text += line.trim_end();
        text.push('\n');
    }
    if let Some(car) = &file.in_car {
        let _ = car;
    }
    ending(&mut text, &file.warnings.notes, &file.cautions);
    text
}
