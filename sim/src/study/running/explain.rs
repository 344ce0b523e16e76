//! Why the readings changed, told from the ledger and the readings alone: no fault and no place
//! is known here.

use crate::control::{Command, Metering, SpeedMode, full_load_share};
use crate::network::{Reading as R, Vehicle};
use crate::study::running::reasons::{Change, Duty, Left, Mixture, Reason, Way, said};
use crate::study::running::simulate::Side;

/// Smallest changes worth a word: about what workshop instruments show (common
/// practice, no source).
mod worth {
    /// Share of the engine's air.
    pub const AIR: f64 = 0.002;
    /// Fuel trim, % points.
    pub const TRIM: f64 = 0.5;
    /// Lambda: what an oxygen sensor is off by (`instrument`).
    pub const LAMBDA: f64 = 0.008;
    /// Boost, kPa.
    pub const BOOST: f64 = 0.3;
    /// Wastegate solenoid duty, % points.
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
    /// Working cycles that do not burn, %.
    pub const MISFIRES: f64 = 1.0;
}

/// Share of the short-term trim's limit from which it counts as at its stop.
const AT_STOP: f64 = 0.99;

/// Why `faulty` reads unlike `healthy`, in a few sentences; both are of the make of `car`, settled
/// or not.
pub fn explain(healthy: &Side, faulty: &Side, car: &Vehicle<f64>, command: &Command) -> String {
    said(&reasons(healthy, faulty, car, command))
}

/// The same as reasons with their numbers; none where nothing changes that instruments would show.
pub fn reasons(
    healthy: &Side,
    faulty: &Side,
    car: &Vehicle<f64>,
    command: &Command,
) -> Vec<Reason> {
    let story = Story { healthy, faulty };
    if let Some(reduced) = story.reduced() {
        return vec![reduced];
    }
    let full_load = full_load_share(command.pedal) > 0.5;
    let mut all = story.air(car.metering);
    all.extend(story.misfires());
    all.extend(story.mixture(full_load, car));
    match command.speed {
        SpeedMode::Free => all.extend(story.idle()),
        _ => {
            all.extend(story.boost(full_load));
            all.extend(story.work());
        }
    }
    all
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

    fn both(&self, reading: R) -> Change {
        Change {
            was: self.was(reading),
            is: self.is(reading),
        }
    }

    fn change(&self, reading: R) -> f64 {
        self.is(reading) - self.was(reading)
    }

    /// What is left when the computer has reduced the torque.
    fn reduced(&self) -> Option<Reason> {
        self.faulty.unreduced.as_ref()?;
        let mut codes = self.faulty.codes.iter();
        Some(Reason::Reduced {
            code: *codes.find(|code| code.reduces_torque())?,
            boost: self.both(R::Boost),
            torque: self.both(R::Torque),
        })
    }

    /// Change over the healthy value.
    fn share(&self, reading: R) -> f64 {
        self.change(reading) / self.was(reading).abs().max(1e-3)
    }

    /// Where air comes in, goes out, or goes round.
    fn air(&self, metering: Metering) -> Vec<Reason> {
        let (h, f) = (&self.healthy.ledger, &self.faulty.ledger);
        let breathes = f.engine.max(1e-6);
        let (past, lost) = match metering {
            Metering::AirFlowMeter => (Way::Uncounted, Way::CountedLost),
            Metering::SpeedDensity => (Way::PastFilter, Way::TakenLost),
        };
        let ways = [
            (f.unmetered_in - h.unmetered_in, past),
            (f.lost - h.lost, lost),
            (f.recirculated - h.recirculated, Way::Round),
            (f.exhaust_in - h.exhaust_in, Way::IntoExhaust),
            (f.exhaust_lost - h.exhaust_lost, Way::OutOfExhaust),
        ];
        let of_note = ways.into_iter();
        let of_note = of_note.filter(|(flow, _)| *flow > worth::AIR * breathes);
        let told = of_note.map(|(flow, way)| Reason::Astray {
            way,
            flow,
            share: 100.0 * flow / breathes,
        });
        told.collect()
    }

    /// Cycles that do not burn, where the healthy car's do.
    fn misfires(&self) -> Option<Reason> {
        let more = self.change(R::Misfire) > worth::MISFIRES;
        more.then_some(Reason::Misfires(self.is(R::Misfire)))
    }

    /// What that does to the mixture.
    fn mixture(&self, full_load: bool, car: &Vehicle<f64>) -> Option<Reason> {
        let (trim, lambda) = (self.change(R::FuelTrim), self.change(R::Lambda));
        let moved = lambda.abs() > worth::LAMBDA;
        if full_load && trim.abs() > worth::TRIM {
            return Some(self.carried(trim, moved));
        }
        if full_load && moved {
            return Some(Reason::OpenLoop(self.both(R::Lambda)));
        }
        let trimmed = !full_load && trim.abs() > worth::TRIM;
        let mixture = Mixture {
            lambda: self.is(R::Lambda),
            leaner: lambda > 0.0,
            left: self.uncorrected(car.fuelling.trim_limit),
        };
        match (trimmed, moved) {
            (true, _) => Some(Reason::Trim(trim, moved.then_some(mixture))),
            (false, true) => Some(Reason::Mixture(mixture)),
            (false, false) => self.untouched(car.metering),
        }
    }

    /// What a trim does that has moved, % points, where no sensor corrects it: fuel goes as 1 + trim.
    fn carried(&self, trim: f64, moved: bool) -> Reason {
        let fuel = |trim: f64| 1.0 + 0.01 * trim;
        let lambda = self.both(R::Lambda);
        let without = lambda.is * fuel(self.is(R::FuelTrim)) / fuel(self.was(R::FuelTrim));
        Reason::Carried {
            trim,
            lambda,
            without,
            moved,
        }
    }

    /// Why a closed loop leaves the mixture wrong; `limit` is the short-term trim's, share.
    fn uncorrected(&self, limit: f64) -> Left {
        let (short, sensed) = (self.is(R::ShortTrim), self.is(R::LambdaSensor));
        let asked = sensed - 1.0;
        if short.abs() > AT_STOP * 100.0 * limit && short * asked > 0.0 {
            Left::AtStop
        } else if (sensed - self.is(R::Lambda)).abs() > asked.abs() {
            Left::Unseen(sensed)
        } else {
            Left::Short
        }
    }

    /// A mixture that stays right although much air goes astray.
    fn untouched(&self, metering: Metering) -> Option<Reason> {
        let (h, f) = (&self.healthy.ledger, &self.faulty.ledger);
        let astray = (f.unmetered_in - h.unmetered_in).max(f.lost - h.lost) / f.engine.max(1e-6);
        let deaf = metering == Metering::SpeedDensity && astray > 10.0 * worth::AIR;
        deaf.then_some(Reason::Untouched)
    }

    /// What boost control and turbo do.
    fn boost(&self, full_load: bool) -> Vec<Reason> {
        let boost = self.change(R::Boost);
        let worked = self.change(R::WastegateDuty).abs() > worth::DUTY;
        let duty = self.both(R::WastegateDuty);
        let control = if boost.abs() > worth::BOOST {
            Some(Reason::Boost {
                kpa: boost,
                psi: self.change(R::BoostPsi),
                duty: match (full_load, worked) {
                    (false, _) => Duty::Aside,
                    (true, true) => Duty::Moved(duty),
                    (true, false) => Duty::Same(duty.is),
                },
            })
        } else {
            (full_load && worked).then_some(Reason::BoostKept(duty))
        };
        let surges = self.is(R::SurgeMargin) < 1.0 && self.was(R::SurgeMargin) >= 1.0;
        let surges = surges.then_some(Reason::Surges);
        let all = control.into_iter().chain(surges);
        all.chain(self.turbo()).collect()
    }

    /// Turbo speed, and the heat of the air it delivers.
    fn turbo(&self) -> impl Iterator<Item = Reason> + use<> {
        let (shaft, heat) = (
            self.change(R::ShaftSpeed),
            self.change(R::IntakeTemperature),
        );
        let turns = (shaft.abs() > worth::SHAFT).then_some(Reason::Turbo(shaft));
        let warms = (heat.abs() > worth::HEAT).then_some(Reason::IntakeAir(heat));
        turns.into_iter().chain(warms)
    }

    /// What the idle governor does, and whether it succeeds.
    fn idle(&self) -> impl Iterator<Item = Reason> + use<> {
        let (speed, spark) = (self.change(R::EngineSpeed), self.change(R::SparkRetard));
        let breathes = self.share(R::EngineAir).abs() > worth::IDLE_AIR;
        let moves = self.change(R::Throttle).abs() > worth::THROTTLE;
        let all = [
            breathes.then_some(Reason::Breathes(self.both(R::EngineAir))),
            moves.then_some(Reason::Governor(self.both(R::Throttle))),
            (spark.abs() > worth::SPARK).then_some(Reason::Spark(spark)),
            (speed.abs() > worth::SPEED).then_some(Reason::IdleSpeed(speed)),
        ];
        all.into_iter().flatten()
    }

    /// What is left at the crankshaft, for how much fuel.
    fn work(&self) -> impl Iterator<Item = Reason> + use<> {
        let fuel = self.share(R::Fuel);
        let by = self.change(R::Torque);
        let torque = by / self.was(R::Torque).abs().max(1.0);
        let gives = (torque.abs() > worth::WORK).then_some(Reason::Torque {
            by,
            percent: 100.0 * torque,
        });
        let burns = (fuel.abs() > worth::WORK).then_some(Reason::Fuel(100.0 * fuel));
        gives.into_iter().chain(burns)
    }
}
