//! The stages, one function each.

use super::{BORE, Gas, Planner, Stage, Step, Tight, known};
use crate::flow::orifice::{Discharge, orifice};
use crate::network::{Place, RecirculationOutlet};
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
            prepare: known(&[
                "Let the smoke in through a plug in the air box, before the meter; leave the filler \
                 cap and the dipstick in place.",
                "Nothing else is blanked off: what hangs on the intake fills too. Purge valve and \
                 brake servo are closed by their own valves; smoke there is a finding.",
            ]),
            read: known(&[
                "Fill until smoke has come at a cap loosened furthest away, close it, then look with \
                 a strong lamp at every joint.",
                "Smoke from the exhaust is no leak of the intake: one cylinder stands with both \
                 valves open. Turn the engine by hand a little and look again.",
            ]),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }

    /// Whether the recirculation valve lets air out to the atmosphere.
    fn vents(&self) -> bool {
        self.car.recirculation_outlet == RecirculationOutlet::Atmosphere
    }

    /// Pressure, Pa gauge, at which the recirculation valve opens with nothing on its
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
            true => format!(
                "The recirculation valve opens by itself from {:.0} kPa when its signal hose is \
                 open, and looks like a leak: stay below, or feed that hose with the test pressure.",
                opens / 1e3
            ),
            false => "The recirculation valve stays shut at this pressure.".into(),
        };
        let mut prepare = known(&[
            "Take the hose off the compressor outlet and plug it; take the hose off the throttle and \
             plug it (the throttle itself is never tight). Secure both plugs with clamps and a strap.",
        ]);
        prepare.push(signal);
        prepare.push("The signal hose of the wastegate stays on: it is part of the test.".into());
        let seat = match self.vents() {
            true => "Air heard at the recirculation valve's outlet passes its seat.",
            false => {
                "Air heard in the inlet duct (take it off the compressor) passes the recirculation \
                 valve's seat; at the valve's signal hose, its diaphragm."
            }
        };
        Stage {
            name: Step::Charge.name(),
            pressure,
            why,
            volume: Some(volume),
            places: Step::Charge.places(),
            prepare,
            read: known(&[
                "Shut off the supply, wait half a minute until the air has taken the temperature of \
                 the walls, then read the gauge against the watch.",
                "Soapy water at joints, cooler tanks and hose ends shows where.",
                seat,
            ]),
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
                "Hose back on the throttle, plug at the compressor outlet stays; hold the throttle \
                 open by the maker's way, not by wedging it.",
                "Take out the filler cap and leave the breather open to the air: what passes the \
                 rings must get out. Never block the crankcase vent.",
                "Blank off the hoses of brake servo and purge valve at the manifold.",
                "Put the ventilation valve's hose in sight: air out of it towards the crankcase means \
                 the valve does not shut.",
            ]),
            read: known(&[
                "Read as before, then again with the suspect part sealed off: the difference is its \
                 own (`workshop decay` with a `reference`).",
                "Turn the engine by hand to the position that lets out least.",
            ]),
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
                "Plug the duct behind the meter (the meter itself is not made for pressure); all \
                 other hoses back on.",
                "Take the breather hose off the crankcase end and plug the hose, never the crankcase: \
                 its vent stays open to the air, filler cap out.",
                "Throttle held open as before; servo and purge hoses stay blanked off.",
            ]),
            read: known(&[
                "Valves and rings let air out here too: what counts is the fall against that with \
                 the union or duct joint sealed by hand-tight tape or clamp.",
            ]),
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
            prepare: known(&[
                "Take the signal hose off the boost pipe and pump there; plug the hose to the boost \
                 valve.",
            ]),
            read: vec![format!(
                "The rod should begin to move near {:.0} kPa and the gauge stand still; so small a \
                 volume empties through any hole at once.",
                moves / 1e3
            )],
            tight: Tight::Holds(self.largest_tight(pressure, volume)),
            holes: self.holes(pressure, Some(volume), gate.restrictor_bore),
        }
    }

    /// Chamber above the recirculation valve's diaphragm.
    pub(super) fn chamber(&self) -> Stage {
        let valve = &self.car.recirculation_valve;
        let (pressure, why) = self.limit(Step::Chamber);
        Stage {
            name: Step::Chamber.name(),
            pressure,
            why,
            volume: Some(valve.signal_volume),
            places: Step::Chamber.places(),
            prepare: known(&[
                "Take the signal hose off the manifold and pump there; the charge pipe stays open, so \
                 that a torn diaphragm shows.",
            ]),
            read: known(&["The gauge should stand still; then with vacuum the valve should lift."]),
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
            prepare: known(&[
                "Let the smoke in through the breather hose, which is the vent: the machine's own \
                 relief must open at this pressure, so that nothing is blocked.",
                "Take the ventilation valve's hose off the manifold: no smoke may come out of the \
                 hose by itself with the valve shut.",
            ]),
            read: known(&["Look at filler cap, dipstick, covers and both ends of the crankshaft."]),
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
                "Exhaust cold. Let the smoke in at the tailpipe through a cone; a drain hole of the \
                 silencer is no leak.",
                "Filler cap out, breather hose left on and open, air box open: what passes valves and \
                 rings must get out before it presses on the crankcase's seals.",
                "Smoke goes on through a cylinder with both valves open into the intake: turn the \
                 engine by hand until it does not.",
            ]),
            read: known(&["Look at manifold, turbine flanges and every joint up to the sensor."]),
            tight: Tight::NoSmoke,
            holes: self.holes(pressure, None, BORE),
        }
    }
}
