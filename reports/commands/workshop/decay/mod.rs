//! `falseair workshop decay`.

mod page;

use crate::answer::given::Given;
use crate::answer::write::OutFile;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::Warnings;
use crate::commands::workshop::kit::{spread, vehicle};
use crate::figure::scene::Point;
use crate::input::case::mistake;
use crate::page::record::{Spread, WORDS, digits};
use crate::record;
use crate::say::{workshop, workshop_decay as say};
use clap::ValueHint;
use sim::flow::Flow;
use sim::flow::orifice::{Discharge, orifice};
use sim::leak::Shape;
use sim::medium::GasState;
use sim::network::Vehicle;
use sim::solve::explicit::Refused;
use sim::study::workshop::decay::{Checked, DecayTest, Found, Heat, Pair};
use sim::study::workshop::in_car::{Car, around, normal_boost};
use sim::study::workshop::limits::on_bench;
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

Above 138 kPa gauge nothing is tested on the car; a part off the car takes
--bench: 1.5 times normal boost, 200 kPa at most.

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-decay", schema::<File>);

/// Options of `workshop decay`.
#[derive(Debug, clap::Args)]
pub struct Decay {
    #[command(flatten)]
    pub(super) given: Given<DecayTest>,
    #[command(flatten)]
    pub(super) asked: Asked,
    /// Also draw the gauge trace into this SVG file.
    #[arg(long, value_name = "FILE.svg", value_hint = ValueHint::FilePath)]
    pub(super) plot: Option<OutFile>,
}

record! {
    /// What two readings find.
    struct Measured {
        /// Of all that was shut in.
        volume_l: f64 = "volume" "L" digits(4);
        #[serde(skip)]
        volume_doubt: String = "standard uncertainty of the volume" "%" WORDS;
        /// Discharge coefficient times area.
        effective_area_mm2: Spread = "effective area (Cd A)" "mm²" digits(4);
        /// With air at one temperature.
        effective_area_isothermal_mm2: f64 = "the same, if air stayed at one temperature" "mm²" digits(4);
        /// With walls that give no heat.
        effective_area_adiabatic_mm2: f64 = "the same, if the walls gave no heat" "mm²" digits(4);
        /// Diameter of a sharp-edged hole that passes the same.
        equivalent_hole_mm: Spread = "sharp-edged hole that does the same" "mm" digits(4);
        /// Over the time of the test.
        mean_flow_g_s: f64 = "mean flow of the test" "g/s" digits(4);
        /// At the start pressure.
        flow_at_start_g_s: Spread = "flow at the start pressure" "g/s" digits(4);
        /// Boost for which the next figure holds.
        boost_kpa: Option<f64> = "boost" "kPa" digits(4);
        /// What it loses there.
        flow_at_boost_g_s: Option<Spread> = "flow at that boost" "g/s" digits(4);
    }

    /// What a leak leads to; times to the end pressure, where one is asked for.
    struct Predicted {
        /// Of all that is shut in.
        volume_l: f64 = "volume" "L" digits(4);
        /// Of the leak.
        shape: &'static str;
        /// At the start pressure.
        flow_at_start_g_s: f64 = "flow at the start" "g/s" digits(4);
        /// With air at one temperature.
        time_isothermal_s: Option<f64> = "time if air stayed at one temperature" "s" digits(4);
        /// With walls that give no heat.
        time_adiabatic_s: Option<f64> = "time if the walls gave no heat" "s" digits(4);
        /// With walls that give what they usually do.
        time_likely_s: Option<f64> = "likely time" "s" digits(4);
        /// With walls that give no heat.
        end_temperature_adiabatic_k: Option<f64>;
        /// With walls that give what they usually do.
        end_temperature_likely_k: Option<f64>;
    }

    /// A gauge trace.
    struct Trace {
        /// From the start.
        time_s: Vec<f64>;
        /// Gauge, with walls that give what they usually do.
        likely_kpa: Vec<f64>;
        /// Gauge, with air at one temperature.
        isothermal_kpa: Vec<f64>;
        /// Gauge, with walls that give no heat.
        adiabatic_kpa: Vec<f64>;
    }

    /// What a pressure-decay test finds, or will show.
    struct File {
        /// The answer in a sentence.
        says: String;
        #[serde(skip)]
        car: Option<String>;
        /// From two readings.
        found: Option<Measured>;
        /// From a leak.
        predicted: Option<Predicted>;
        /// What the gauge shows.
        trace: Trace;
        #[serde(skip)]
        dots: Vec<Point>;
        /// What it does in the car, where one is named.
        in_car: Option<InCar>;
        /// What is dangerous, then what stays open.
        warnings: Warnings;
        /// For every such test.
        cautions: [&'static str; 6];
    }
}

/// Steps of a trace.
const STEPS: usize = 60;

pub(super) fn run(options: &Decay) -> Result<Answer, Trouble> {
    let (test, source) = options.given.read()?;
    let wrong = |m| mistake(&source, &m);
    let car = vehicle(&source, test.vehicle.as_ref())?;
    let normal = car.as_ref().map(normal_boost);
    test.allowed(normal).map_err(wrong)?;
    let checked = test.checked(car.as_ref()).map_err(wrong)?;
    if car.is_some() {
        test.holds(test.place(), "place").map_err(wrong)?;
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
    let mut file = match &test.leak {
        Some(leak) => {
            let run = test.run().map_err(wrong)?;
            predict(&test, &checked, leak, run).map_err(refused)?
        }
        None => {
            let pair = test.pair().map_err(wrong)?;
            let second = test.second().map_err(wrong)?;
            let found = checked.find(&pair, second.as_ref()).map_err(refused)?;
            if found.area.value < 0.0 {
                let message = "with the part mended or shut off, more gets out than before: the \
                               blanking leaks, or the volume is not the stated share";
                return Err(source.error_at("reference", message).into());
            }
            let second = second.as_ref();
            measure(&test, &checked, car.as_ref(), &found, &pair, second).map_err(refused)?
        }
    };
    let above = test.danger(normal).map(|excess| excess.to_string());
    file.warnings.dangers.extend(above);
    file.warnings.dangers.extend(on_bench(test.bench, normal));
    let notes = &mut file.warnings.notes;
    notes.splice(0..0, gentle(test.start_pressure, normal));
    file.car = car.map(|car| car.name);
    let drawn = options.plot.as_ref().filter(|_| cfg!(feature = "program"));
    let plot = drawn.map(|plot| {
        let svg = file.picture().scene.svg(&file.says);
        Ok::<_, Trouble>(plot.holding(svg.map_err(Trouble::Other)?))
    });
    Ok(options.asked.answer(&file)?.with(plot.transpose()?))
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
        spread(flow, 1e3)
    });
    let at_start = hole.through(|d| hole_flow(d, start.max(ambient), start.min(ambient), kelvin));
    let in_car = car.map(|vehicle| {
        let car = Car::new(vehicle.clone(), around(ambient, kelvin), test.place());
        InCar::hole(&car, &vehicle.name, hole)
    });
    let mm = spread(hole, 1e3);
    let mut says = match second {
        _ if found.area.value == 0.0 => say::no_leak(round(mm.high, 3)),
        None => say::found(mm.words("mm")),
        Some(_) => say::not_explained(mm.words("mm")),
    };
    if let (Some(boost), Some(flow)) = (boost, at_boost) {
        says += &workshop::at_boost(boost / 1e3, flow.words("g/s"));
    }
    if let Some(car) = &in_car {
        says += &format!("; {}", car.says());
    }
    let mut warnings = Warnings::default();
    if found.area.low == 0.0 {
        warnings.notes.push(say::UPPER_LIMIT_ONLY.into());
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
        car: None,
        found: Some(Measured {
            volume_l: checked.volume * 1e3,
            volume_doubt: format!("{:.0}", 100.0 * checked.volume_doubt),
            effective_area_mm2: spread(found.area, 1e6),
            effective_area_isothermal_mm2: found.isothermal * 1e6,
            effective_area_adiabatic_mm2: found.adiabatic * 1e6,
            equivalent_hole_mm: mm,
            mean_flow_g_s: found.mean_flow * 1e3,
            flow_at_start_g_s: spread(at_start, 1e3),
            boost_kpa: boost.map(|p| p / 1e3),
            flow_at_boost_g_s: at_boost,
        }),
        predicted: None,
        trace: trace(checked, pair.time, element)?,
        dots: vec![[0.0, pair.start / 1e3], [pair.time, pair.end / 1e3]],
        in_car,
        warnings,
        cautions: workshop::TEST,
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
    let (from, lasting) = (test.start_pressure / 1e3, round(lasts, 3));
    let mut says = say::gauge_goes(leak.name().replace('_', " "), from, last, lasting);
    if let (Some((a, _)), Some((i, _))) = (adiabatic, isothermal) {
        says += &say::walls(round(a, 3), round(i, 3));
    }
    let mut warnings = Warnings::default();
    if flow == 0.0 {
        warnings.notes.push(say::NOTHING_FLOWS.into());
    }
    Ok(File {
        says: says + ".",
        car: None,
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
        dots: Vec::new(),
        in_car: None,
        warnings,
        cautions: workshop::TEST,
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
