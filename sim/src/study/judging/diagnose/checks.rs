//! What a workshop can do besides reading the running engine: one table.
//!
//! Each check ends in one of a few outcomes. A fault is seen when it is well above a stated least
//! size; how surely is own choice. Minutes and danger stand in `effort`.

use super::catalogue::Suspect;
use crate::control::Metering;
use crate::network::{FaultKind, Place};
use crate::study::running::dangers::Hazard;
use crate::study::workshop::limits::CRANKCASE as SMOKE;
use crate::study::workshop::procedures::Test;
use crate::words;

use Sees::{Either, Fault, Leak};

/// What an outcome points to.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Sees {
    /// A leak there, from about this hole on, m.
    Leak(Place, f64),
    /// A leak at one of these; which, it does not tell.
    Either([(Place, f64); 2]),
    /// A fault, from about this far from sound on, SI.
    Fault(FaultKind, f64),
}

words! {
    /// A check in the workshop, with what it is.
    pub enum Check {
        /// Smoke or low-pressure test of the intake, engine standing, at 3.4 kPa (0.5 psi) at most:
        /// it reaches the crankcase, whose seals bear no more
        Smoke = "smoke_intake",
        /// Smoke or soapy water on the exhaust up to the oxygen sensor, engine cold, oil filler cap off
        SmokeExhaust = "smoke_exhaust",
        /// Clamp the vacuum hoses off the manifold, that of the canister purge valve among them, one by
        /// one at idle, car parked, and watch the trim
        PinchVacuum = "pinch_vacuum_hoses",
        /// Clamp the hose from crankcase to manifold for a few seconds at idle, breather hose left
        /// on and open, and watch the trim
        PinchVentilation = "pinch_ventilation_hose",
        /// Engine off and cool, take the breather hose off, cap and clamp the stub at the turbocharger
        /// and nothing else, and lead the open crankcase end away from hot parts into a bottle; then,
        /// at idle only, watch the trim rise by the plain air that the crankcase ventilation (PCV)
        /// valve now draws; engine off, hose back on
        BlankBreather = "blank_breather_union",
        /// Fit a known good mass air flow sensor and read again
        SwapMeter = "swap_meter",
        /// Look at the air filter
        LookAtFilter = "look_at_filter",
        /// Ignition on, engine standing: both pressure sensors must read the barometer
        SensorsStanding = "sensors_standing",
        /// Fuel pressure and delivery by gauge
        FuelPressure = "fuel_pressure",
        /// A capped hole of known size at a vacuum port, at idle only: what the fuel trim and the air
        /// counted make of air that is known to come in; then the port's own cap on again
        KnownHole = "known_hole",
        /// Oxygen sensor against an exhaust gas analyser
        GasAnalyser = "gas_analyser",
        /// Wastegate capsule and its hose with a hand pump
        WastegatePump = "wastegate_hand_pump",
        /// Compressor bypass valve with a hand pump, from both sides
        ValvePump = "recirculation_valve_hand_pump",
        /// Pressure before the catalyst at full load
        BackPressure = "back_pressure",
        /// Pressure before and behind the charge air cooler at full load
        CoolerPressure = "cooler_pressures",
        /// Turbocharger: play and condition of the wheels, cold, with the inlet hose off
        TurboPlay = "turbocharger_play",
        /// Compression or cylinder leak-down test, oil filler cap off
        Compression = "compression",
        /// Engine standing: breather hoses, oil separator and crankcase ventilation (PCV) valve off, and
        /// looked through for sludge, water or ice
        BreatherFree = "breather_free",
        /// Spark plugs and coils looked at; then coil and plug of the cylinder that misfires changed with
        /// those of another, and the misfires counted again at idle
        SwapSpark = "swap_spark",
    }
}

/// How surely a fault well above the least size is seen.
const SEEN: f64 = 0.93;
/// Probability of an outcome that points to a fault which is not there, all together.
const FALSE_ALARM: f64 = 0.03;
/// Between the places of an outcome that does not tell them apart.
const OR: &str = "_or_";
/// What the open crankcase ([`vented`](super::vented)) tells of, from the holes, m, on with which
/// the trim of an idling car rises by three points less (own choice: an idle trim wanders by one or
/// two).
const OPENED: [(Place, f64); 2] = [(Place::BreatherUnion, 8e-3), (Place::Crankcase, 6e-3)];
/// How far off a meter must be for a known hole to show it: a fall of half a gram a second, read to
/// a few hundredths (own choice).
const CALIBRATED: f64 = 0.1;
/// Width of the change from unseen to seen, in logarithms of the size.
const EDGE: f64 = 0.25;

impl Check {
    /// How it is done.
    pub fn test(self) -> Test {
        match self {
            Check::Smoke => Test::Smoke,
            Check::SmokeExhaust => Test::Exhaust,
            Check::PinchVacuum => Test::PinchVacuum,
            Check::PinchVentilation => Test::PinchVentilation,
            Check::BlankBreather => Test::BlankBreather,
            Check::SwapMeter => Test::SwapMeter,
            Check::LookAtFilter => Test::Filter,
            Check::SensorsStanding => Test::Sensors,
            Check::FuelPressure => Test::Fuel,
            Check::KnownHole => Test::KnownHole,
            Check::GasAnalyser => Test::Analyser,
            Check::WastegatePump => Test::Capsule,
            Check::ValvePump => Test::Chamber,
            Check::BackPressure => Test::BackPressure,
            Check::CoolerPressure => Test::Cooler,
            Check::TurboPlay => Test::TurboPlay,
            Check::Compression => Test::Compression,
            Check::BreatherFree => Test::BreatherFree,
            Check::SwapSpark => Test::SwapSpark,
        }
    }

    /// The outcome that a word stands for: its own name, or one of the places it is about.
    pub fn outcome(self, found: &str) -> Option<usize> {
        let outcomes = self.outcomes();
        let mut outcomes = outcomes.iter();
        outcomes.position(|name| name == found || name.split(OR).any(|part| part == found))
    }

    /// An outcome of [`outcomes`](Self::outcomes) as people read it: places and faults by their own names.
    pub fn in_words(outcome: &str) -> String {
        let part = |word: &str| match word.parse::<Place>() {
            Ok(place) => place.label(),
            Err(_) => {
                let fault = FaultKind::ALL.iter().find(|kind| kind.key() == word);
                fault.map_or_else(|| word.replace('_', " "), |kind| kind.label())
            }
        };
        let parts: Vec<String> = outcome.split(OR).map(part).collect();
        parts.join(" / ")
    }

    /// Whether it can tell anything of a car that counts its air so: where manifold pressure
    /// counts it, air that comes in moves no trim.
    pub fn tells(self, metering: Metering) -> bool {
        let by_meter = matches!(self, Check::BlankBreather | Check::KnownHole);
        !by_meter || metering == Metering::AirFlowMeter
    }

    /// Its meaning, in one sentence.
    pub fn meaning(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }

    /// Whether a danger asks for it before the engine is loaded again.
    pub fn answers(self, hazard: Hazard) -> bool {
        match hazard {
            Hazard::LeanUnderBoost => matches!(self, Check::FuelPressure | Check::GasAnalyser),
            Hazard::Overboost => matches!(self, Check::WastegatePump | Check::SensorsStanding),
            Hazard::TurboOverspeed => matches!(self, Check::Smoke | Check::WastegatePump),
            Hazard::ExhaustHeat => matches!(self, Check::FuelPressure | Check::SmokeExhaust),
            Hazard::CatalystHeat | Hazard::RawFuel => {
                matches!(
                    self,
                    Check::SwapSpark | Check::GasAnalyser | Check::FuelPressure
                )
            }
            Hazard::Knock => matches!(self, Check::FuelPressure | Check::SensorsStanding),
            Hazard::CrankcasePressure => matches!(self, Check::BreatherFree | Check::Compression),
            Hazard::BrakeServo => matches!(self, Check::PinchVacuum | Check::Smoke),
            Hazard::EngineOverspeed => self == Check::Compression,
        }
    }

    /// Whether readings are taken for it at any condition one likes, idle among them.
    pub fn reads(self) -> bool {
        matches!(
            self,
            Check::BlankBreather | Check::SwapMeter | Check::KnownHole | Check::GasAnalyser
        )
    }

    /// Names of the outcomes; the first says that all is well.
    pub fn outcomes(self) -> Vec<String> {
        let seen = self.sees().into_iter().map(|sees| match sees {
            Leak(place, _) => place.word().to_string(),
            Either(places) => places.map(|(place, _)| place.word()).join(OR),
            Fault(kind, _) => kind.key().to_string(),
        });
        std::iter::once("nothing".to_string()).chain(seen).collect()
    }

    /// Probability of each outcome if `faults` (suspects with their sizes, SI) are there.
    pub fn odds(self, faults: &[(Suspect, f64)]) -> Vec<f64> {
        let sees = self.sees();
        let false_alarm = FALSE_ALARM / sees.len() as f64;
        let mut odds: Vec<f64> = (sees.iter())
            .map(|sees| {
                let clear = faults
                    .iter()
                    .map(|(suspect, size)| sees.how_surely(suspect, *size));
                false_alarm + (1.0 - FALSE_ALARM) * clear.fold(0.0, f64::max)
            })
            .collect();
        let total: f64 = odds.iter().sum();
        // Two faults at once share the outcomes.
        if total > 0.99 {
            odds.iter_mut().for_each(|odds| *odds *= 0.99 / total);
        }
        let nothing = 1.0 - odds.iter().sum::<f64>();
        std::iter::once(nothing).chain(odds).collect()
    }

    /// Whether it would find a fault of this size, SI, more often than not.
    pub(super) fn would_see(self, (suspect, size): &(Suspect, f64)) -> bool {
        let sees = self.sees().into_iter();
        sees.map(|sees| sees.how_surely(suspect, *size))
            .any(|seen| 2.0 * seen > SEEN)
    }

    /// Among how many things it sees this one; none where it does not.
    pub(super) fn sees_among(self, suspect: &Suspect) -> Option<usize> {
        let sees = self.sees();
        let about = sees.iter().any(|sees| sees.is_about(suspect));
        about.then_some(sees.len())
    }

    fn sees(self) -> Vec<Sees> {
        use FaultKind as A;
        use Place as P;
        match self {
            Check::Smoke => [
                P::InletDuct,
                P::BreatherUnion,
                P::HotPipe,
                P::CoolerTank,
                P::ColdPipe,
                P::ManifoldGasket,
                P::VacuumLine,
                P::RecirculationCover,
                P::WastegateSignal,
                P::Crankcase,
            ]
            .map(|place| Leak(place, 1e-3))
            .to_vec(),
            Check::SmokeExhaust => {
                vec![
                    Leak(P::ExhaustManifold, 1.5e-3),
                    Leak(P::BeforeOxygenSensor, 1.5e-3),
                ]
            }
            Check::PinchVacuum => {
                vec![Leak(P::VacuumLine, 1.2e-3), Fault(A::PurgeStuckOpen, 0.15)]
            }
            Check::PinchVentilation => vec![Leak(P::VentilationValve, 1.5e-3)],
            Check::BlankBreather => vec![Either(OPENED)],
            Check::SwapMeter => {
                vec![Fault(A::MeterReads, 0.03), Fault(A::MeterAtHighFlow, 0.05)]
            }
            Check::KnownHole => vec![Fault(A::MeterReads, CALIBRATED)],
            Check::LookAtFilter => vec![Fault(A::CloggedFilter, 2.0)],
            Check::SensorsStanding => {
                vec![
                    Fault(A::ManifoldSensor, 1.5e3),
                    Fault(A::BoostSensor, 2.5e3),
                ]
            }
            // Delivery is measured into a can, at full flow.
            Check::FuelPressure => vec![Fault(A::FuelDelivery, 0.05), Fault(A::FuelSupply, 0.05)],
            Check::GasAnalyser => vec![Fault(A::OxygenSensor, 0.012)],
            Check::WastegatePump => vec![
                Fault(A::WastegateStuckOpen, 0.05),
                Fault(A::WastegateStuckShut, 0.3),
                Fault(A::WeakSpring, 0.1),
                Leak(P::WastegateSignal, 0.7e-3),
            ],
            Check::ValvePump => vec![
                Fault(A::RecirculationStuckOpen, 0.03),
                Fault(A::RecirculationStuckShut, 0.3),
                Leak(P::RecirculationSeat, 2e-3),
                Leak(P::RecirculationDiaphragm, 0.7e-3),
                Leak(P::RecirculationCover, 0.7e-3),
            ],
            Check::BackPressure => vec![Fault(A::RestrictedExhaust, 0.4)],
            Check::CoolerPressure => vec![Fault(A::RestrictedCooler, 0.7)],
            Check::TurboPlay => vec![Fault(A::WornTurbo, 0.12)],
            Check::Compression => vec![Fault(A::TiredEngine, 0.06)],
            // One cylinder of the twelve that a car may have.
            Check::SwapSpark => vec![Fault(A::MisfiringCylinder, 0.04)],
            // A vent that is blocked is none of the faults on the list.
            Check::BreatherFree => Vec::new(),
        }
    }
}

impl Sees {
    /// Whether it is about this fault, of whatever size.
    fn is_about(&self, suspect: &Suspect) -> bool {
        match (self, suspect.kind(), suspect.place()) {
            (Leak(place, _), None, Some(at)) => *place == at,
            (Either(places), None, Some(at)) => places.iter().any(|(place, _)| *place == at),
            (Fault(kind, _), Some(found), _) => *kind == found,
            _ => false,
        }
    }

    fn how_surely(&self, suspect: &Suspect, size: f64) -> f64 {
        let here = |place: &Place| suspect.place() == Some(*place);
        let (over, least) = match (self, suspect.kind()) {
            (Leak(place, least), None) if here(place) => (suspect.standing(size, SMOKE), *least),
            (Either(places), None) => match places.iter().find(|(place, _)| here(place)) {
                Some((_, least)) => (suspect.standing(size, SMOKE), *least),
                None => return 0.0,
            },
            (Fault(kind, least), Some(found)) if found == *kind => {
                ((size - kind.healthy()).abs(), *least)
            }
            _ => return 0.0,
        };
        if over <= 0.0 {
            return 0.0;
        }
        SEEN / (1.0 + (-(over / least).ln() / EDGE).exp())
    }
}
