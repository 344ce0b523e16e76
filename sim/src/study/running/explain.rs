//! Why the readings changed, in plain sentences made from the ledger and the
//! readings alone: no fault and no place is known here.

use crate::control::{Command, Metering, SpeedMode, full_load_share};
use crate::network::{Reading as R, Vehicle};
use crate::study::running::simulate::Side;

/// Smallest changes worth a word: about what workshop instruments show (common
/// practice, no source).
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
    /// Temperature, K.
    pub const HEAT: f64 = 1.0;
    /// Engine speed, rpm.
    pub const SPEED: f64 = 5.0;
    /// Share of the air that an idling engine breathes.
    pub const IDLE_AIR: f64 = 0.03;
    /// Throttle, % points.
    pub const THROTTLE: f64 = 0.1;
    /// Torque and fuel, share.
    pub const WORK: f64 = 0.003;
    /// Spark, degrees.
    pub const SPARK: f64 = 0.5;
}

/// Share of the short-term trim's limit from which it counts as at its stop.
const AT_STOP: f64 = 0.99;

/// Why `faulty` reads unlike `healthy`, in a few sentences; both are of the make of `car`, settled
/// or not.
pub fn explain(healthy: &Side, faulty: &Side, car: &Vehicle<f64>, command: &Command) -> String {
    let story = Story { healthy, faulty };
    let metering = car.metering;
    if let Some(reduced) = story.reduced() {
        return reduced;
    }
    let full_load = full_load_share(command.pedal) > 0.5;
    let mut rest = vec![story.mixture(full_load, car)];
    if command.speed == SpeedMode::Free {
        rest.push(story.idle());
    } else {
        rest.extend([story.boost(full_load), story.work()]);
    }
    let rest: Vec<String> = rest.into_iter().flatten().collect();
    let air = story.air(metering);
    match (air.is_empty(), rest.is_empty()) {
        (true, true) => "Nothing changes that workshop instruments would show.".into(),
        (false, true) => {
            sentences(&[air.join("; ") + "; nothing else changes that instruments would show"])
        }
        (true, false) => sentences(&rest),
        (false, false) => sentences(&[air.join("; ")]) + " " + &sentences(&rest),
    }
}

fn sentences(parts: &[String]) -> String {
    let sentence = |part: &String| {
        let mut letters = part.chars();
        let first = letters.next().map(|c| c.to_uppercase().to_string());
        first.unwrap_or_default() + letters.as_str() + "."
    };
    parts.iter().map(sentence).collect::<Vec<_>>().join(" ")
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

    /// What is left when the computer has reduced the torque.
    fn reduced(&self) -> Option<String> {
        self.faulty.unreduced.as_ref()?;
        let code = self
            .faulty
            .codes
            .iter()
            .find(|code| code.reduces_torque())?;
        Some(format!(
            "The engine computer sees {} ({code}) and reduces torque: boost {:.0} kPa instead of {:.0}, torque {:.0} N m instead of {:.0}.",
            code.name().to_lowercase(),
            self.is(R::Boost),
            self.was(R::Boost),
            self.is(R::Torque),
            self.was(R::Torque)
        ))
    }

    /// Change over the healthy value.
    fn share(&self, reading: R) -> f64 {
        self.change(reading) / self.was(reading).abs().max(1e-3)
    }

    /// Where air comes in, goes out, or goes round.
    fn air(&self, metering: Metering) -> Vec<String> {
        let (h, f) = (&self.healthy.ledger, &self.faulty.ledger);
        let breathes = f.engine.max(1e-6);
        let (past, lost) = match metering {
            Metering::AirFlowMeter => (
                "of air comes in behind the meter, uncounted",
                "of air already counted is lost before the engine",
            ),
            Metering::SpeedDensity => (
                "of air comes in past the filter",
                "of air already taken in is lost before the engine",
            ),
        };
        let ways = [
            (f.unmetered_in - h.unmetered_in, past),
            (f.lost - h.lost, lost),
            (
                f.recirculated - h.recirculated,
                "goes round from boost back to the turbo inlet",
            ),
            (f.exhaust_in - h.exhaust_in, "of air gets into the exhaust"),
            (f.exhaust_lost - h.exhaust_lost, "of exhaust gets out"),
        ];
        let of_note = ways.into_iter();
        let of_note = of_note.filter(|(flow, _)| *flow > worth::AIR * breathes);
        let told = of_note.enumerate().map(|(nth, (flow, what))| {
            let whole = ["% of what the engine breathes", "%"][nth.min(1)];
            format!(
                "{flow:.2} g/s {what} ({:.1} {whole})",
                100.0 * flow / breathes
            )
        });
        told.collect()
    }

    /// What that does to the mixture.
    fn mixture(&self, full_load: bool, car: &Vehicle<f64>) -> Option<String> {
        let (trim, lambda) = (self.change(R::FuelTrim), self.change(R::Lambda));
        let side = if lambda > 0.0 { "leaner" } else { "richer" };
        let moved = lambda.abs() > worth::LAMBDA;
        if full_load && moved {
            return Some(format!(
                "open loop does not correct the mixture, so lambda goes from {:.3} to {:.3}, {side}",
                self.was(R::Lambda),
                self.is(R::Lambda)
            ));
        }
        let trimmed = !full_load && trim.abs() > worth::TRIM;
        let verb = if trim > 0.0 { "adds" } else { "takes off" };
        let corrected = format!("the oxygen sensor {verb} {:.1} % fuel by trim", trim.abs());
        let left = format!(
            "the real mixture is {side} (lambda {:.2}), {}",
            self.is(R::Lambda),
            self.uncorrected(car.fuelling.trim_limit)
        );
        match (trimmed, moved) {
            (true, true) => Some(format!("{corrected}, yet {left}")),
            (true, false) => Some(format!("{corrected}, and so hides it from the mixture")),
            (false, true) => Some(left),
            (false, false) => self.untouched(car.metering),
        }
    }

    /// Why a closed loop leaves the mixture wrong; `limit` is the short-term trim's, share.
    fn uncorrected(&self, limit: f64) -> String {
        let (short, sensed) = (self.is(R::ShortTrim), self.is(R::LambdaSensor));
        let asked = sensed - 1.0;
        if short.abs() > AT_STOP * 100.0 * limit && short * asked > 0.0 {
            "for the trim is at its stop".into()
        } else if (sensed - self.is(R::Lambda)).abs() > asked.abs() {
            format!("though the sensor reads {sensed:.2}")
        } else {
            "and the trim does not make up for it".into()
        }
    }

    /// A mixture that stays right although much air goes astray.
    fn untouched(&self, metering: Metering) -> Option<String> {
        let (h, f) = (&self.healthy.ledger, &self.faulty.ledger);
        let astray = (f.unmetered_in - h.unmetered_in).max(f.lost - h.lost) / f.engine.max(1e-6);
        let deaf = metering == Metering::SpeedDensity && astray > 10.0 * worth::AIR;
        deaf.then(|| "counted by manifold pressure, the mixture stays as it was".into())
    }

    /// What boost control and turbo do.
    fn boost(&self, full_load: bool) -> Option<String> {
        let (boost, duty) = (self.change(R::Boost), self.change(R::WastegateDuty));
        let worked = duty.abs() > worth::DUTY;
        let duties = format!(
            "boost valve duty goes from {:.1} to {:.1} %",
            self.was(R::WastegateDuty),
            self.is(R::WastegateDuty)
        );
        let turbo = self.turbo();
        if boost.abs() > worth::BOOST {
            let mut said = format!(
                "boost {} by {:.1} kPa ({:.2} psi)",
                if boost > 0.0 { "rises" } else { "falls" },
                boost.abs(),
                self.change(R::BoostPsi).abs()
            );
            if full_load && worked {
                said += &format!("; {duties}");
            } else if full_load {
                said += &format!(
                    " at the same boost valve duty ({:.0} %)",
                    self.is(R::WastegateDuty)
                );
            }
            said += &turbo.map_or(String::new(), |turbo| format!("; {turbo}"));
            Some(said)
        } else if full_load && worked {
            let turbo = turbo.map_or(String::new(), |turbo| format!(", {turbo}"));
            Some(format!(
                "boost control keeps the boost, so the gauge hides it: {duties}{turbo}"
            ))
        } else {
            turbo
        }
    }

    /// Turbo speed, and the heat of the air it delivers.
    fn turbo(&self) -> Option<String> {
        let (shaft, heat) = (
            self.change(R::ShaftSpeed),
            self.change(R::IntakeTemperature),
        );
        let turns = (shaft.abs() > worth::SHAFT).then(|| {
            let how = if shaft > 0.0 { "faster" } else { "slower" };
            format!("the turbo turns {:.1} krpm {how}", shaft.abs())
        });
        let warms = (heat.abs() > worth::HEAT).then(|| {
            let how = if heat > 0.0 { "warmer" } else { "cooler" };
            format!("the intake air is {:.0} °C {how}", heat.abs())
        });
        let said: Vec<String> = [turns, warms].into_iter().flatten().collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// What the idle governor does, and whether it succeeds.
    fn idle(&self) -> Option<String> {
        let (speed, spark) = (self.change(R::EngineSpeed), self.change(R::SparkRetard));
        let breathes = (self.share(R::EngineAir).abs() > worth::IDLE_AIR).then(|| {
            let (was, is) = (self.was(R::EngineAir), self.is(R::EngineAir));
            format!("the engine breathes {is:.2} g/s instead of {was:.2}")
        });
        let throttle = self.change(R::Throttle);
        let moves = (throttle.abs() > worth::THROTTLE).then(|| {
            let verb = if throttle < 0.0 { "closes" } else { "opens" };
            let (was, is) = (self.was(R::Throttle), self.is(R::Throttle));
            format!("the idle governor {verb} the throttle from {was:.1} to {is:.1} %")
        });
        let shifts = (spark.abs() > worth::SPARK).then(|| {
            let how = if spark > 0.0 { "later" } else { "earlier" };
            format!("the spark comes {:.0} deg {how}", spark.abs())
        });
        let off = (speed.abs() > worth::SPEED).then(|| {
            let how = if speed > 0.0 { "fast" } else { "slow" };
            format!("idle runs {:.0} rpm too {how}", speed.abs())
        });
        let said: Vec<String> = [breathes, moves, shifts, off]
            .into_iter()
            .flatten()
            .collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// What is left at the crankshaft, for how much fuel.
    fn work(&self) -> Option<String> {
        let fuel = self.share(R::Fuel);
        let torque = self.change(R::Torque) / self.was(R::Torque).abs().max(1.0);
        let verb = |share: f64| if share > 0.0 { "rises" } else { "falls" };
        let burns = format!("fuel {} by {:.1} %", verb(fuel), 100.0 * fuel.abs());
        let gives = format!(
            "torque {} by {:.1} N m ({:.1} %)",
            verb(torque),
            self.change(R::Torque).abs(),
            100.0 * torque.abs()
        );
        match (torque.abs() > worth::WORK, fuel.abs() > worth::WORK) {
            (true, true) => Some(format!("{gives}, {burns}")),
            (true, false) => Some(gives),
            (false, true) => Some(burns),
            (false, false) => None,
        }
    }
}
