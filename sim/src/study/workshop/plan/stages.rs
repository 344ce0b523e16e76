//! The stages, one function each.

use super::{BORE, Gas, Planner, Stage, Step, Tight, known};
use crate::flow::orifice::{Discharge, orifice};
use crate::network::{Place, RecirculationOutlet};
use crate::say::plan as say;
use crate::study::workshop::section::Section;
use std::f64::consts::PI;

impl Planner<'_> {
    /// Smoke through the whole intake: the gentlest, and it reaches everything.
    pub(super) fn smoke(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Smoke);
        let inlet = [Place::BeforeMeter, Place::InletDuct, Place::BreatherUnion];
        Stage {
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
            prepare: known(&[say::smoke_into_air_box(), say::nothing_else_blanked()]),
            read: known(&[say::fill_until_smoke(), say::smoke_from_exhaust()]),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }

    /// Whether the compressor bypass valve lets air out to the atmosphere.
    fn vents(&self) -> bool {
        self.car.recirculation_outlet == RecirculationOutlet::Atmosphere
    }

    /// Pressure, Pa gauge, at which the compressor bypass valve opens with nothing on its
    /// signal hose: spring over seat.
    fn valve_opens(&self) -> f64 {
        let valve = &self.car.recirculation_valve;
        valve.preload / (PI / 4.0 * valve.seat_diameter * valve.seat_diameter)
    }

    /// Hot pipe, cooler, cold pipe, plugged at both ends.
    pub(super) fn charge(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Charge);
        let volume = Section::CompressorToThrottle.volume(self.car);
        let opens = self.valve_opens();
        let signal = match opens < pressure {
            true => say::valve_opens_by_itself(opens / 1e3),
            false => say::valve_stays_shut().into(),
        };
        let mut prepare = known(&[say::plug_charge_pipes()]);
        prepare.push(signal);
        prepare.push(say::wastegate_hose_stays().into());
        let seat = match self.vents() {
            true => say::seat_heard_outside(),
            false => say::seat_heard_inside(),
        };
        Stage {
            name: Step::Charge.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Charge.places(),
            prepare,
            read: known(&[say::wait_then_read(), say::soapy_water(), seat]),
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
            name: Step::Manifold.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Manifold.places(),
            prepare: known(&[
                say::throttle_held_open(),
                say::filler_cap_out(),
                say::blank_servo_and_purge(),
                say::ventilation_hose_in_sight(),
            ]),
            read: known(&[say::read_again_sealed_off(), say::turn_to_least()]),
            tight: half.map_or(Tight::NoSmoke, Tight::Rings),
            holes: self.holes(pressure, Some(volume), BORE),
        }
    }

    /// From the meter on: seals that never see pressure in the car.
    pub(super) fn inlet(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Inlet);
        let volume = self.all_volume();
        Stage {
            name: Step::Inlet.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Inlet.places(),
            prepare: known(&[
                say::plug_behind_meter(),
                say::breather_hose_plugged(),
                say::throttle_as_before(),
            ]),
            read: known(&[say::rings_pass_here_too()]),
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
        let moves = gate.preload / gate.capsule_area;
        let (pressure, why) = self.limit(Step::Capsule);
        let volume = gate.signal_volume;
        Stage {
            name: Step::Capsule.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Capsule.places(),
            prepare: known(&[say::pump_at_boost_pipe()]),
            read: vec![say::rod_moves(moves / 1e3)],
            tight: Tight::Holds(self.largest_tight(pressure, volume)),
            holes: self.holes(pressure, Some(volume), gate.restrictor_bore),
        }
    }

    /// Chamber above the compressor bypass valve's diaphragm.
    pub(super) fn chamber(&self) -> Stage {
        let valve = &self.car.recirculation_valve;
        let (pressure, why) = self.limit(Step::Chamber);
        Stage {
            name: Step::Chamber.name(),
            pressure,
            why,
            volume: Some(valve.signal_volume),
            places: Step::Chamber.places(),
            prepare: known(&[say::pump_at_manifold()]),
            read: known(&[say::gauge_stands_still()]),
            tight: Tight::Holds(self.largest_tight(pressure, valve.signal_volume)),
            holes: self.holes(pressure, Some(valve.signal_volume), valve.signal_bore),
        }
    }

    /// Crankcase, by smoke only.
    pub(super) fn crankcase(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Crankcase);
        Stage {
            name: Step::Crankcase.name(),
            pressure,
            why,
            volume: Some(self.car.crankcase.volume),
            places: Step::Crankcase.places(),
            prepare: known(&[say::smoke_through_breather(), say::ventilation_hose_off()]),
            read: known(&[say::look_at_crankcase()]),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }

    /// Exhaust up to the sensor, by smoke only.
    pub(super) fn exhaust(&self) -> Stage {
        let (pressure, why) = self.limit(Step::Exhaust);
        Stage {
            name: Step::Exhaust.name(),
            pressure,
            why,
            volume: None,
            places: Step::Exhaust.places(),
            prepare: known(&[
                say::exhaust_cold(),
                say::crankcase_open(),
                say::smoke_through_cylinder(),
            ]),
            read: known(&[say::look_at_exhaust()]),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }
}
