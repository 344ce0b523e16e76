//! What a hole or an opening does in the running car: for JSON and for reading.

mod page;

use crate::commands::workshop::kit::label;
use crate::page::record::{WORDS, fixed};
use crate::record;
use crate::say::workshop as say;
use sim::study::workshop::Span;
use sim::study::workshop::in_car::{Car, Effect, Effects, Running};

record! {
    /// A car with the effects of a leak, point by point.
    pub struct InCar {
        /// Its name.
        vehicle: String;
        /// Where the leak is.
        place: &'static str;
        /// At idle, light cruise, full load.
        points: Vec<Point>;
    }

    /// One operating point: the leaking car less the healthy one, unless said otherwise.
    /// Limits are those of the smallest and largest leak that the test allows.
    pub struct Point {
        /// Its name.
        name: String = "at" "" WORDS;
        #[serde(skip)]
        running: Running;
        /// Inner side of the place over its outer side, healthy car.
        pressure_kpa: f64 = "pressure" "kPa" fixed(1);
        /// Positive into the path.
        leak_flow_g_s: Option<f64> = "leak" "g/s" fixed(2);
        /// Its limits.
        leak_flow_limits_g_s: Option<[f64; 2]>;
        /// Points of fuel trim.
        trim_pct: Option<f64> = "fuel trim" "%" fixed(1);
        /// Its limits.
        trim_limits_pct: Option<[f64; 2]>;
        /// Of the leaking car.
        lambda: Option<f64> = "lambda" "" fixed(3);
        /// Pressure before the throttle.
        boost_kpa: Option<f64> = "boost" "kPa" fixed(1);
        /// Its limits.
        boost_limits_kpa: Option<[f64; 2]>;
        /// The same.
        boost_psi: Option<f64>;
        /// Of the healthy car's.
        torque_pct: Option<f64> = "torque" "%" fixed(1);
        /// Its limits.
        torque_limits_pct: Option<[f64; 2]>;
        /// Turbo speed.
        turbo_krpm: Option<f64> = "turbo" "krpm" fixed(1);
        /// Of the leaking car.
        engine_speed_rpm: Option<f64>;
        /// Trouble codes set.
        codes: Vec<&'static str>;
        /// Why the leaking car does not run there.
        failure: Option<String>;
    }
}

const KPA_PER_PSI: f64 = 6.894_757_293_168;

/// Changes smaller than this, kPa and %, are none.
const NONE: f64 = 0.05;

/// Smallest change, kPa and %, that workshop instruments show (common practice, no source).
const WORTH: f64 = 0.5;

impl InCar {
    /// A sharp-edged hole of a diameter, m, known within limits.
    pub fn hole(car: &Car, name: &str, diameter: Span) -> Self {
        let [value, low, high] = [diameter.value, diameter.low, diameter.high].map(|d| car.hole(d));
        Self::new(car, name, &value, Some([&low, &high]))
    }

    /// Effects at the car's points; `limits` are those of the smallest and largest leak.
    pub fn new(car: &Car, name: &str, effects: &Effects, limits: Option<[&Effects; 2]>) -> Self {
        let points = car.points.iter().zip(effects).enumerate();
        let points = points.map(|(i, (point, effect))| {
            let of = |get: fn(&Effect) -> f64| {
                let value = effect.as_ref().ok().map(get);
                value.filter(|x| x.is_finite())
            };
            let between = |get: fn(&Effect) -> f64| {
                let [low, high] = limits?.map(|all| all.get(i)?.as_ref().ok().map(get));
                let (a, b) = (low?, high?);
                (a.is_finite() && b.is_finite()).then_some([a.min(b), a.max(b)])
            };
            let codes = effect.as_ref().map_or(&[][..], |e| &e.codes);
            Point {
                name: point.name.clone(),
                running: point.running,
                pressure_kpa: (point.inside - point.outside) / 1e3,
                leak_flow_g_s: of(|e| e.leak_flow),
                leak_flow_limits_g_s: between(|e| e.leak_flow),
                trim_pct: of(|e| e.trim),
                trim_limits_pct: between(|e| e.trim),
                lambda: of(|e| e.lambda),
                boost_kpa: of(|e| e.boost),
                boost_limits_kpa: between(|e| e.boost),
                boost_psi: of(|e| e.boost / KPA_PER_PSI),
                torque_pct: of(|e| 100.0 * e.torque),
                torque_limits_pct: between(|e| 100.0 * e.torque),
                turbo_krpm: of(|e| e.turbo),
                engine_speed_rpm: of(|e| e.speed),
                codes: codes.iter().map(|code| code.word()).collect(),
                failure: effect.as_ref().err().map(|e| e.to_string()),
            }
        });
        Self {
            vehicle: name.into(),
            place: car.place.word(),
            points: points.collect(),
        }
    }

    /// Whether workshop instruments would show it anywhere: half a percent of trim or
    /// torque, half a kPa of boost, a code, an engine that does not run.
    pub fn shows(&self) -> bool {
        let large = |value: Option<f64>| value.is_some_and(|value| value.abs() >= WORTH);
        self.points.iter().any(|point| {
            let changes = [point.trim_pct, point.boost_kpa, point.torque_pct];
            changes.into_iter().any(large) || !point.codes.is_empty() || point.failure.is_some()
        })
    }

    /// What it comes to, in one clause.
    pub fn says(&self) -> String {
        let codes = match self.codes() {
            codes if codes.is_empty() => "no code".to_string(),
            codes => format!("codes {}", codes.join(" ")),
        };
        let place = label(self.place);
        say::in_car(place, self.idle(), self.full_load(), codes)
    }

    fn idle(&self) -> String {
        let mut idle = self.points.iter();
        let idle = idle.find(|point| point.running == Running::Idle);
        match idle.map(|point| (point.trim_pct, point.failure.is_some())) {
            Some((_, true)) => say::DOES_NOT_IDLE.into(),
            Some((Some(trim), _)) if trim.abs() < NONE => say::IDLE_STAYS.into(),
            Some((Some(trim), _)) => say::idle_moves(trim),
            _ => say::IDLE_OPEN.into(),
        }
    }

    fn full_load(&self) -> String {
        let full = self.points.iter();
        let full = full.filter(|point| point.running == Running::FullLoad);
        let full: Vec<&Point> = full.collect();
        let failed = full.iter().filter(|point| point.failure.is_some()).count();
        if failed == full.len() {
            return say::FULL_LOAD_OPEN.into();
        }
        let worst = |get: fn(&Point) -> Option<f64>| {
            let all = full.iter().filter_map(|point| get(point));
            all.fold(0.0, f64::min)
        };
        let (boost, torque) = (worst(|p| p.boost_kpa), worst(|p| p.torque_pct));
        let boost_lost = say::boost(-boost, -boost / KPA_PER_PSI);
        let mut said = match (boost < -NONE, torque < -NONE) {
            (false, false) => say::FULL_LOAD_KEEPS.into(),
            (true, false) => say::loses(boost_lost),
            (false, true) => say::loses_torque(-torque),
            (true, true) => say::loses_both(boost_lost, -torque),
        };
        let lambdas = || full.iter().filter_map(|point| point.lambda);
        let low = lambdas().fold(f64::INFINITY, f64::min);
        let high = lambdas().fold(f64::NEG_INFINITY, f64::max);
        if low <= high {
            said += &format!(" at lambda {low:.2}");
        }
        if high - low >= 0.01 {
            said += &format!(" to {high:.2}");
        }
        if failed > 0 {
            said += " where it runs";
        }
        said
    }

    fn codes(&self) -> Vec<&'static str> {
        let all = self.points.iter().flat_map(|point| point.codes.iter());
        let mut codes: Vec<&str> = all.copied().collect();
        codes.sort_unstable();
        codes.dedup();
        codes
    }
}
