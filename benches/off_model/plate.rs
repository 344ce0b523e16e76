//! What is known of a car of the other model: its plate.

use super::engine::{Car, Driven, Point, Wrong};
use falseair::input::Source;
use sim::TenNumbers;
use std::path::Path;

/// The plate of a type: its own full load, healthy.
pub fn plate(car: &Car) -> Option<TenNumbers> {
    let points: Vec<Point> = (5..=26)
        .filter_map(|i| car.point(Wrong::Nothing, Driven::Full(250.0 * f64::from(i))))
        .collect();
    let power = |p: &&Point| p.torque * p.speed;
    let rated = points.iter().max_by(|a, b| power(a).total_cmp(&power(b)))?;
    let peak = points.iter().max_by(|a, b| a.torque.total_cmp(&b.torque))?;
    let first = points.iter().find(|p| p.torque > 0.985 * peak.torque)?;
    let boost = points.iter().map(|p| p.boost).fold(0.0, f64::max);
    let text = format!(
        "displacement = \"{:.1} L\"\ncylinders = {}\nrated_power = \"{:.0} kW\"\n\
         rated_speed = \"{:.0} rpm\"\npeak_torque = \"{:.0} N m\"\npeak_torque_speed = \"{:.0} rpm\"\n\
         peak_boost = \"{:.0} kPa gauge\"\nmetering = \"{}\"\n",
        car.displacement * 1e3,
        car.cylinders,
        rated.torque * rated.speed * std::f64::consts::PI / 30e3,
        rated.speed,
        peak.torque,
        first.speed,
        boost / 1e3,
        if car.metered {
            "air_flow_meter"
        } else {
            "speed_density"
        },
    );
    let read = Source::from_text(Path::new("plate"), &text).parse();
    read.map_err(|e| println!("{}", e.render(false))).ok()
}
