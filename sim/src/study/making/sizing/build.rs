//! The vehicle of a draft. A new table of the vehicle file is added here and in
//! the file of its group; a new number of a table only in that file, and only if
//! the file's default does not do.

use super::draft::Draft;
use super::part::{Notes, Part};
use super::{Refusal, Unheld, engine, exhaust, intake, turbo};
use crate::control::{Boost, BoostControl, TrimCarried, TrimCells};
use crate::curve::Curve;
use crate::network::{Known, Vehicle};

/// The vehicle, and the rule behind every number that was derived.
pub(super) fn vehicle(draft: &Draft) -> Result<(Vehicle<f64>, Notes), Refusal> {
    let mut notes = Notes::new();
    let n = &mut notes;
    let numbers = &draft.numbers;
    n.push((
        "fuel".into(),
        format!(
            "{:.0} % of ethanol by volume in petrol of CH1.85, 42.9 MJ/kg; heats: heywood1988 table D.4",
            100.0 * numbers.fuel.ethanol()
        ),
    ));
    n.push((
        "engine_speed_limit".into(),
        "18 % above the rated speed, where the table of volumetric efficiency ends (rule of thumb)"
            .into(),
    ));
    let vehicle = Vehicle {
        name: numbers.name.clone(),
        known: Known::Estimated,
        about: format!(
            "{:.2} L, {:.0} cylinders, {:.0} kW; sized by rules of thumb, nothing measured",
            engine::litres(draft),
            numbers.cylinders,
            numbers.rated_power / 1e3
        ),
        fuel: numbers.fuel.fuel(),
        filter: intake::filter(draft, n)?,
        inlet_duct: intake::inlet_duct(draft, n)?,
        compressor: turbo::compressor(draft.wheel, draft.surge_flow, n)?,
        hot_pipe: intake::hot_pipe(draft, n)?,
        cooler: intake::cooler(draft, n)?,
        cooler_heat: intake::cooler_heat(draft, n)?,
        cold_pipe: intake::cold_pipe(draft, n)?,
        throttle: intake::throttle(draft, n)?,
        manifold: intake::manifold(draft, n)?,
        filling: engine::filling(draft, n)?,
        engine_speed_limit: Some(engine::speed_limit(draft).clamp(200.0, 1500.0)),
        cylinders: engine::cylinders(draft, n)?,
        crankcase: engine::crankcase(draft, n)?,
        exhaust_manifold: exhaust::manifold(draft, n)?,
        turbine: turbo::turbine(draft, n)?,
        wastegate: turbo::wastegate(draft, n)?,
        shaft: turbo::shaft(draft, n)?,
        downpipe: exhaust::downpipe(draft, n)?,
        silencer: exhaust::silencer(draft, n)?,
        recirculation_valve: intake::recirculation_valve(draft, n)?,
        recirculation_outlet: numbers.valve,
        metering: numbers.metering,
        meter: intake::meter(draft, n)?,
        watchdogs: Part::new("watchdogs", n)
            .set(
                "underboost_from",
                (1.08 * numbers.peak_torque_speed).clamp(80.0, 600.0),
                "8 % above the peak-torque speed: below it the turbine may lack gas",
            )
            .set(
                "underboost_to",
                (1.05 * numbers.rated_speed).clamp(200.0, 900.0),
                "5 % above the rated speed",
            )
            .done()?,
        fuelling: Part::new("fuelling", n)
            .set(
                "injector_limit",
                1.3 * draft.rated.air / draft.full_load_lambda / draft.air_fuel_ratio(),
                "1.3 times the fuel of the rated power (rule of thumb)",
            )
            .set(
                "full_load_lambda",
                draft.full_load_lambda,
                match numbers.full_load_lambda {
                    Some(_) => "given",
                    None => "0.90 (rule of thumb), moved only where the exhaust would be too hot or too cold",
                },
            )
            .done()?,
        trim_cells: TrimCells::IdleAndPartLoad,
        trim_carried: TrimCarried::All,
        boost: boost(draft, n)?,
        drive: {
            let (speed, rule) = engine::idle_speed(draft);
            Part::new("drive", n)
                .set("idle_speed", speed, rule)
                .set(
                    "torque_scale",
                    0.8 * numbers.peak_torque,
                    "0.8 peak torques",
                )
                .done()?
        },
        road: engine::road(draft, n)?,
    };
    Ok((vehicle, notes))
}

/// Boost strategy: the file's defaults but for target and starting duty.
fn boost(draft: &Draft, notes: &mut Notes) -> Result<Boost<f64>, Refusal> {
    notes.push((
        "boost.target".into(),
        "matched: peak boost at the peak-torque speed; below it what the turbine gives with a tenth to spare and \
         clear of surge; above it what the wanted torque takes; falling past the rated speed"
            .into(),
    ));
    notes.push((
        "boost.target_charge".into(),
        "what the healthy engine counts at the boost target".into(),
    ));
    notes.push((
        "boost.fixed_duty".into(),
        "duty that holds the peak boost at the peak-torque speed".into(),
    ));
    let target = Curve::new(draft.boost_target())
        .map_err(|why| Refusal::Part("boost.target".into(), Unheld::Curve(why)))?;
    Ok(Boost {
        control: BoostControl::ClosedLoop,
        fixed_duty: draft.torque.duty.clamp(0.0, 0.9),
        target,
        target_charge: draft.charges()?,
        sensor_offset: 0.0,
        error_growth: 0.0,
        proportional: 0.5,
        lead: 0.15,
        filter: 0.1,
        gain: 1.2,
        least_duty: 0.0,
        most_duty: 0.95,
        time_constant: 0.3,
        rest_opening: 0.0,
    })
}
