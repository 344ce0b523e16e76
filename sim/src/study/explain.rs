//! Why the readings changed, in plain sentences made from the ledger and the
//! readings alone: no fault and no place is known here.

use super::simulate::Side;
use crate::control::{Command, Metering, SpeedMode, full_load_share};
use crate::network::Reading as R;

/// Smallest changes worth a word: about what workshop instruments show.
mod worth {
    /// Share of the engine's air.
    pub const AIR: f64 = 0.002;
    /// Fuel trim, % points.
    pub const TRIM: f64 = 0.5;
    /// Lambda.
    pub const LAMBDA: f64 = 0.003;
    /// Boost, kPa.
    pub const BOOST: f64 = 0.3;
    /// Boost valve duty, % points.
    pub const DUTY: f64 = 0.3;
    /// Turbo speed, krpm.
    pub const SHAFT: f64 = 0.2;
    /// Engine speed, rpm.
    pub const SPEED: f64 = 5.0;
    /// Throttle, % points.
    pub const THROTTLE: f64 = 0.1;
    /// Torque, share.
    pub const TORQUE: f64 = 0.003;
    /// Spark retard, degrees.
    pub const SPARK: f64 = 0.5;
}

struct Story<'a> {
    healthy: &'a Side,
    faulty: &'a Side,
}

impl Story<'_> {
    fn was(&self, reading: R) -> f64 {
        self.healthy.readings.get(reading).unwrap_or(0.0)
    }

    fn is(&self, reading: R) -> f64 {
        self.faulty.readings.get(reading).unwrap_or(0.0)
    }

    fn change(&self, reading: R) -> f64 {
        self.is(reading) - self.was(reading)
    }

    /// Where air comes in or goes out, or goes round.
    fn air(&self, metering: Metering) -> Vec<String> {
        let (h, f) = (&self.healthy.ledger, &self.faulty.ledger);
        let breathes = f.engine.max(1e-6);
        let past = match metering {
            Metering::AirFlowMeter => "comes in behind the meter, uncounted",
            Metering::SpeedDensity => "comes in past the filter",
        };
        let ways = [
            (f.unmetered_in - h.unmetered_in, format!("of air {past}")),
            (
                f.lost - h.lost,
                "of air already taken in is lost before the engine".into(),
            ),
            (
                f.recirculated - h.recirculated,
                "goes round from boost back to the turbo inlet".into(),
            ),
            (
                f.exhaust_in - h.exhaust_in,
                "of air gets into the exhaust".into(),
            ),
            (
                f.exhaust_lost - h.exhaust_lost,
                "of exhaust gets out".into(),
            ),
        ];
        let counted = ways
            .into_iter()
            .filter(|(flow, _)| *flow > worth::AIR * breathes);
        counted
            .map(|(flow, what)| {
                format!(
                    "{flow:.2} g/s {what} ({:.1} % of what the engine breathes)",
                    100.0 * flow / breathes
                )
            })
            .collect()
    }

    /// What that does to the mixture.
    fn mixture(&self, full_load: bool) -> Option<String> {
        let (trim, lambda) = (self.change(R::FuelTrim), self.change(R::Lambda));
        let side = if lambda > 0.0 { "leaner" } else { "richer" };
        if full_load {
            return (lambda.abs() > worth::LAMBDA).then(|| {
                format!(
                    "open loop does not correct it, so lambda goes from {:.3} to {:.3}, {side}",
                    self.was(R::Lambda),
                    self.is(R::Lambda)
                )
            });
        }
        let corrected = (trim.abs() > worth::TRIM).then(|| {
            let verb = if trim > 0.0 { "adds" } else { "takes off" };
            format!("the oxygen sensor {verb} {:.1} % fuel by trim", trim.abs())
        });
        let left = (lambda.abs() > worth::LAMBDA).then(|| {
            let why = if (self.is(R::LambdaSensor) - 1.0).abs() < 5e-3 {
                "while the sensor reads 1.00"
            } else {
                "because the trim is at its stop"
            };
            format!(
                "the real mixture is {side} (lambda {:.2}) {why}",
                self.is(R::Lambda)
            )
        });
        match (corrected, left) {
            (Some(a), Some(b)) => Some(format!("{a}, yet {b}")),
            (a, b) => a.or(b),
        }
    }

    /// What boost control and turbo do.
    fn boost(&self, full_load: bool) -> Option<String> {
        let (boost, duty, shaft) = (
            self.change(R::Boost),
            self.change(R::WastegateDuty),
            self.change(R::ShaftSpeed),
        );
        let mut turbo = format!("turbo {shaft:+.1} krpm");
        if duty.abs() > worth::DUTY {
            turbo += &format!(", boost valve duty {duty:+.1} points");
        }
        if boost.abs() > worth::BOOST {
            let verb = if boost > 0.0 { "rises" } else { "falls" };
            Some(format!(
                "boost {verb} by {:.1} kPa ({:.2} psi); {turbo}",
                boost.abs(),
                self.change(R::BoostPsi).abs()
            ))
        } else if full_load && duty.abs() > worth::DUTY {
            Some(format!(
                "boost control holds the boost, so the gauge hides it: {turbo}"
            ))
        } else {
            (shaft.abs() > worth::SHAFT).then_some(turbo)
        }
    }

    /// What the idle governor does.
    fn idle(&self) -> Option<String> {
        let (speed, throttle) = (self.change(R::EngineSpeed), self.change(R::Throttle));
        let moved = (throttle.abs() > worth::THROTTLE).then(|| {
            let verb = if throttle < 0.0 { "closes" } else { "opens" };
            format!(
                "the idle governor {verb} the throttle by {:.1} points",
                throttle.abs()
            )
        });
        let spark = self.change(R::SparkRetard);
        let retards =
            (spark > worth::SPARK).then(|| format!("retards the spark by {spark:.0} deg"));
        let fast = (speed.abs() > worth::SPEED).then(|| {
            let how = if speed > 0.0 { "fast" } else { "slow" };
            format!("idle runs {:.0} rpm {how}", speed.abs())
        });
        let parts: Vec<String> = [moved, retards, fast].into_iter().flatten().collect();
        (!parts.is_empty()).then(|| parts.join(", "))
    }

    /// What is left at the crankshaft and in the tank.
    fn work(&self) -> Option<String> {
        let torque = self.change(R::Torque);
        let share = torque / self.was(R::Torque).abs().max(1.0);
        let fuel = |side: &Side| side.readings.get(R::FuelConsumption);
        let fuel = match fuel(self.healthy).zip(fuel(self.faulty)) {
            Some((was, is)) => format!(", fuel per work {:+.1} %", 100.0 * (is / was - 1.0)),
            None => String::new(),
        };
        (share.abs() > worth::TORQUE)
            .then(|| format!("torque {torque:+.1} N m ({:+.1} %){fuel}", 100.0 * share))
    }
}

/// Why `faulty` reads unlike `healthy`, in a sentence or two.
pub fn explain(healthy: &Side, faulty: &Side, metering: Metering, command: &Command) -> String {
    let story = Story { healthy, faulty };
    let full_load = full_load_share(command.pedal) > 0.5;
    let idle = command.speed == SpeedMode::Free;
    let air = story.air(metering);
    let mut rest: Vec<String> = story.mixture(full_load).into_iter().collect();
    rest.extend(if idle {
        story.idle()
    } else {
        story.boost(full_load)
    });
    rest.extend(if idle { None } else { story.work() });
    match (air.is_empty(), rest.is_empty()) {
        (true, true) => "Nothing changes that workshop instruments would show.".into(),
        (false, true) => format!(
            "{}; nothing else changes that instruments would show.",
            capital(&air.join("; "))
        ),
        (true, false) => format!("{}.", capital(&rest.join("; "))),
        (false, false) => format!(
            "{}. {}.",
            capital(&air.join("; ")),
            capital(&rest.join("; "))
        ),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + letters.as_str()
    })
}
