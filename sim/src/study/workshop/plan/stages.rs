//! The stages, one function each.

use super::{BORE, Gas, Planner, Stage, Step, Tight};
use crate::flow::orifice::{Discharge, orifice};
use crate::network::{Place, RecirculationOutlet};
use crate::study::workshop::procedures::Test;
use crate::study::workshop::section::Section;

impl Planner<'_> {
    /// Smoke through the whole intake: the gentlest, and it reaches everything.
    pub(super) fn smoke(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Smoke);
        let inlet = [Place::BeforeMeter, Place::InletDuct, Place::BreatherUnion];
        Stage {
            procedure: Test::Smoke.procedure(&self.of_car),
            name: Step::Smoke.name(),
            pressure,
            why,
            volume: Some(self.all_volume() + self.car.crankcase.volume),
            places: Place::WORDS
                .iter()
                .map(|(_, place, _)| *place)
                .filter(|place| {
                    let outward = Section::CompressorToManifold.holds(*place)
                        || *place == Place::Crankcase
                        || inlet.contains(place);
                    // Inside the intake both sides fill with smoke.
                    outward
                        && *place != Place::VentilationValve
                        && (*place != Place::RecirculationSeat || self.vents())
                })
                .collect(),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }

    /// Whether the compressor bypass valve lets air out to the atmosphere.
    fn vents(&self) -> bool {
        self.car.recirculation_outlet == RecirculationOutlet::Atmosphere
    }

    /// Hot pipe, cooler, cold pipe, plugged at both ends.
    pub(super) fn charge(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Charge);
        let volume = Section::CompressorToThrottle.volume(self.car);
        Stage {
            procedure: Test::Charge.procedure(&self.of_car),
            name: Step::Charge.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Charge.places(),
            tight: Tight::Holds(self.largest_tight(pressure, volume)),
            holes: self.holes(pressure, Some(volume), BORE),
        }
    }

    /// The same with the manifold: valves and rings let air out.
    pub(super) fn manifold(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Manifold);
        let volume = Section::CompressorToManifold.volume(self.car);
        let area = self.car.cylinders.blow_by_area;
        let through = |a: &Gas, b: &Gas| orifice(area, Discharge::Constant(1.0), a, b);
        let half = self.half(&self.checked(pressure, volume, BORE), through);
        Stage {
            procedure: Test::Manifold.procedure(&self.of_car),
            name: Step::Manifold.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Manifold.places(),
            tight: half.map_or(Tight::NoSmoke, Tight::Rings),
            holes: self.holes(pressure, Some(volume), BORE),
        }
    }

    /// From the meter on: seals that never see pressure in the car.
    pub(super) fn inlet(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Inlet);
        let volume = self.all_volume();
        Stage {
            procedure: Test::Inlet.procedure(&self.of_car),
            name: Step::Inlet.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Inlet.places(),
            tight: {
                let area = self.car.cylinders.blow_by_area;
                let through = |a: &Gas, b: &Gas| orifice(area, Discharge::Constant(1.0), a, b);
                let half = self.half(&self.checked(pressure, volume, BORE), through);
                half.map_or(Tight::NoSmoke, Tight::Rings)
            },
            holes: self.holes(pressure, Some(volume), BORE),
        }
    }

    /// Capsule and hose of the wastegate.
    pub(super) fn capsule(&self) -> Stage {
        let gate = &self.car.wastegate;
        let (pressure, why) = self.limit(Step::Capsule);
        let volume = gate.signal_volume;
        Stage {
            procedure: Test::Capsule.procedure(&self.of_car),
            name: Step::Capsule.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Capsule.places(),
            tight: Tight::Holds(self.largest_tight(pressure, volume)),
            holes: self.holes(pressure, Some(volume), gate.restrictor_bore),
        }
    }

    /// Chamber above the compressor bypass valve's diaphragm.
    pub(super) fn chamber(&self) -> Stage {
        let valve = &self.car.recirculation_valve;
        let (pressure, why) = self.limit(Step::Chamber);
        Stage {
            procedure: Test::Chamber.procedure(&self.of_car),
            name: Step::Chamber.name(),
            pressure,
            why,
            volume: Some(valve.signal_volume),
            places: Step::Chamber.places(),
            tight: Tight::Holds(self.largest_tight(pressure, valve.signal_volume)),
            holes: self.holes(pressure, Some(valve.signal_volume), valve.signal_bore),
        }
    }

    /// Crankcase, by smoke only.
    pub(super) fn crankcase(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Crankcase);
        Stage {
            procedure: Test::Crankcase.procedure(&self.of_car),
            name: Step::Crankcase.name(),
            pressure,
            why,
            volume: Some(self.car.crankcase.volume),
            places: Step::Crankcase.places(),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }

    /// Exhaust up to the sensor, by smoke only.
    pub(super) fn exhaust(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Exhaust);
        Stage {
            procedure: Test::Exhaust.procedure(&self.of_car),
            name: Step::Exhaust.name(),
            pressure,
            why,
            volume: None,
            places: Step::Exhaust.places(),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }
}
