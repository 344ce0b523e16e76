//! Every stream of the network at one moment, each from its own element.

use super::layout::{Node, state};
use super::places::Account;
use super::{Gases, Leak, Network};
use crate::control::boost::Sensed;
use crate::control::fuelling::{Cells, Trims, limiter_cut};
use crate::control::metering::Charge;
use crate::control::{Metering, SpeedMode, idle_share, sensed_pressure};
use crate::flow::orifice::{Discharge, orifice};
use crate::machine::compressor::Stage;
use crate::machine::cylinders::{Cycle, Orders};
use crate::machine::standards::absolute_load;
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use crate::smooth::{positive_part, step};
use crate::volume::Stream;

/// Most leaks one car can have at once.
pub const MOST_LEAKS: usize = 4;

/// What passes through one leak.
#[derive(Clone, Copy, Debug)]
pub struct LeakFlow<S> {
    /// Outer node.
    pub outer: Node,
    /// Inner node.
    pub inner: Node,
    /// How the ledger sees it.
    pub account: Account,
    /// Inward stream (kg/s, never negative).
    pub inward: Stream<S>,
    /// Outward stream (kg/s, never positive).
    pub outward: Stream<S>,
}

/// Streams, shaft powers and engine at one moment. Each stream is positive in
/// the direction its name gives.
#[derive(Clone, Debug)]
pub struct Streams<S> {
    /// Ambient to inlet duct, through filter and meter.
    pub filter: Stream<S>,
    /// Inlet duct to hot pipe; enthalpy without the wheel's work.
    pub compressor: Stream<S>,
    /// What the wheel does.
    pub stage: Stage<S>,
    /// Torque from compressor wheel to gas, N m.
    pub compressor_torque: S,
    /// Power from wheel to gas, W.
    pub compressor_power: S,
    /// Share of that power which ends in the hot pipe (the rest, in reverse flow, in the inlet).
    pub compressor_forward: S,
    /// Hot pipe to valve outlet.
    pub recirculation: Stream<S>,
    /// Hot pipe to cold pipe; enthalpy before the heat is taken.
    pub cooler: Stream<S>,
    /// Heat taken from that stream by the cooler, W.
    pub cooler_heat: S,
    /// Cold pipe to manifold.
    pub throttle: Stream<S>,
    /// The cylinders.
    pub cycle: Cycle<S>,
    /// Crankcase to inlet duct.
    pub breather: Stream<S>,
    /// Crankcase to manifold.
    pub ventilation: Stream<S>,
    /// Air outside to manifold, through the canister; its vapour goes to the cylinders.
    pub purge: Stream<S>,
    /// Exhaust manifold to downpipe past the turbine.
    pub wastegate: Stream<S>,
    /// Exhaust manifold to downpipe through the turbine; enthalpy before the work is taken.
    pub turbine: Stream<S>,
    /// Torque from gas to turbine wheel, N m.
    pub turbine_torque: S,
    /// Power from gas to turbine wheel, W.
    pub turbine_power: S,
    /// Downpipe to ambient.
    pub silencer: Stream<S>,
    /// Hot pipe to capsule.
    pub signal: Stream<S>,
    /// Capsule to inlet duct.
    pub bleed: Stream<S>,
    /// Duty of the bleed valve, 0 to 1.
    pub duty: S,
    /// Torque through the clutch, N m; 0 unless in gear.
    pub clutch: S,
    /// Manifold to valve chamber.
    pub chamber: Stream<S>,
    /// Leaks, in the car's order.
    pub leaks: [Option<LeakFlow<S>>; MOST_LEAKS],
    /// What the engine computer makes of its sensors.
    pub computer: Computer<S>,
}

/// What the engine computer makes of its sensors at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Computer<S> {
    /// Pedal as it heeds it, 0 to 1.
    pub pedal: S,
    /// Air by manifold pressure alone, kg/s.
    pub estimate: S,
    /// Air that fuel is dosed for, kg/s.
    pub counted_air: S,
    /// Share of the working cycles without fuel because the pedal is released well above idle.
    pub overrun: S,
    /// Share of them that the speed limiter leaves without fuel.
    pub limited: S,
    /// Share without fuel, by both.
    pub cut: S,
    /// Boost sensor, Pa over ambient.
    pub boost: S,
    /// Manifold pressure sensor, Pa abs.
    pub manifold: S,
    /// Counted charge (absolute load), ratio.
    pub charge: S,
    /// Trims.
    pub trims: Trims<S>,
}

impl<S: Scalar> Computer<S> {
    /// What boost control sees, at state `x`.
    pub fn boost(&self, x: &[S]) -> Sensed<S> {
        Sensed {
            boost: self.boost,
            filtered: x[state::FILTERED],
            charge: self.charge,
            speed: x[state::ENGINE],
            pedal: self.pedal,
            cut: self.cut,
        }
    }
}

/// Width, Pa, over which the pressure sensor's reading is rounded at vacuum.
const LEAST_SENSED: f64 = 10.0;

/// Discharge coefficient of signal hoses and their restrictors: short tubes
/// (Weisbach, in britannica1911 "Hydraulics" §63).
const HOSE_DISCHARGE: f64 = 0.82;

fn hose<P: Scalar, S: Over<P>>(bore: P, share: S, a: &GasState<S>, b: &GasState<S>) -> Stream<S> {
    let area = share * (bore * bore * (std::f64::consts::PI / 4.0));
    Stream::of(
        &orifice(area, Discharge::Constant(HOSE_DISCHARGE), a, b),
        a,
        b,
    )
}

impl<P: Scalar> Network<P> {
    pub(super) fn streams<S: Over<P>>(&self, x: &[S], gases: &Gases<S>) -> Streams<S> {
        let v = &self.vehicle;
        let at = |node| gases.at(node);
        let (inlet, hot, cold) = (at(Node::Inlet), at(Node::HotPipe), at(Node::ColdPipe));
        let (manifold, crankcase) = (at(Node::Manifold), at(Node::Crankcase));
        let (exhaust, downpipe, ambient) =
            (at(Node::Exhaust), at(Node::Downpipe), at(Node::Ambient));
        let one = S::constant(1.0);

        let filter = Stream::of(&v.filter.flow(ambient, inlet), ambient, inlet);

        let flow = x[state::COMPRESSOR_FLOW];
        let stage = v.compressor.stage(inlet, flow, x[state::SHAFT]);
        let forward = step(flow, -2e-4, 2e-4);
        let compressor = Stream::of(
            &crate::flow::Flow {
                mass: flow,
                from_a: forward,
            },
            inlet,
            hot,
        );
        let compressor_torque = stage.torque_per_flow * flow * (forward * 2.0 - 1.0);

        let outlet = at(self.valve_outlet());
        let valve = &v.recirculation_valve;
        let valve_area = valve.area(x[state::RECIRCULATION]) * valve.discharge_coefficient;
        let recirculation = orifice(valve_area, Discharge::Constant(1.0), hot, outlet);
        let recirculation = Stream::of(&recirculation, hot, outlet);

        let through = v.cooler.flow(hot, cold);
        let cooling_air = v.cooler_heat.cooling_air_at(x[state::CAR]);
        let cooled =
            v.cooler_heat
                .outlet_temperature(&self.medium, hot, ambient, through.mass, cooling_air);
        let cooled = self.medium.enthalpy(cooled, hot.fuel_fraction);
        let cooler_heat = through.mass * through.from_a * (hot.enthalpy - cooled);
        let cooler = Stream::of(&through, hot, cold);

        let throttle_area = v.throttle.area(x[state::THROTTLE]) * v.throttle.discharge_coefficient;
        let throttle = Stream::of(
            &orifice(throttle_area, Discharge::Constant(1.0), cold, manifold),
            cold,
            manifold,
        );

        let computer = self.computer(x, manifold, cold);
        let purge = Stream::of(&v.fuelling.purge(ambient, manifold), ambient, manifold);
        let cycle = self.cylinders(x, &computer, manifold, exhaust, purge.mass);

        let union = at(Node::Union);
        let breather = Stream::of(&v.crankcase.breather(crankcase, union), crankcase, union);
        let ventilation = Stream::of(
            &(v.crankcase).ventilation(crankcase, manifold, self.ambient.pressure),
            crankcase,
            manifold,
        );

        let gate_area = v.wastegate.area(x[state::WASTEGATE]);
        let gate = orifice(gate_area, Discharge::Constant(1.0), exhaust, downpipe);
        let expansion = v.turbine.expand(exhaust, downpipe, x[state::SHAFT]);
        // The gas leaves hot: its density in the silencer is not that of the air outside.
        let tailpipe = GasState {
            pressure: ambient.pressure,
            ..*downpipe
        };
        let silencer = Stream::of(&v.silencer.flow(downpipe, &tailpipe), downpipe, ambient);

        let duty = v.boost.duty(x[state::DUTY], &computer.boost(x));
        let clutch = match self.command.speed {
            SpeedMode::InGear => v
                .road
                .clutch(x[state::ENGINE], x[state::CAR], self.command.gear),
            SpeedMode::Held(_) | SpeedMode::Free => S::constant(0.0),
        };
        let capsule = at(Node::Capsule);
        let chamber = at(Node::Chamber);
        Streams {
            filter,
            compressor,
            stage,
            compressor_torque,
            compressor_power: compressor_torque * x[state::SHAFT],
            compressor_forward: forward,
            recirculation,
            cooler,
            cooler_heat,
            throttle,
            cycle,
            breather,
            ventilation,
            purge,
            wastegate: Stream::of(&gate, exhaust, downpipe),
            turbine: Stream::of(&expansion.flow, exhaust, downpipe),
            turbine_torque: expansion.torque,
            turbine_power: expansion.torque * x[state::SHAFT],
            silencer,
            signal: hose(v.wastegate.restrictor_bore, one, hot, capsule),
            bleed: hose(v.wastegate.bleed_bore, duty, capsule, inlet),
            duty,
            clutch,
            chamber: hose(v.recirculation_valve.signal_bore, one, manifold, chamber),
            leaks: std::array::from_fn(|i| {
                let leak = self.leaks.get(i)?;
                Some(self.leak(leak, gases, cycle.exhaust))
            }),
            computer,
        }
    }

    /// What the engine computer makes of its sensors.
    fn computer<S: Over<P>>(
        &self,
        x: &[S],
        manifold: &GasState<S>,
        cold: &GasState<S>,
    ) -> Computer<S> {
        let v = &self.vehicle;
        let speed = x[state::ENGINE];
        let pedal = v.drive.heeded_pedal(x[state::PEDAL], self.command.reduced);
        // No sensor reads below vacuum, whatever its offset.
        let (error, growth) = (v.meter.pressure_offset, v.meter.pressure_error_growth);
        let sensed = sensed_pressure(manifold.pressure, error, growth);
        let sensed = positive_part(sensed, LEAST_SENSED);
        let estimate = v.meter.speed_density(
            &Charge {
                pressure: sensed,
                // Its sensor is slow; from flow and load the computer knows the gas's own.
                temperature: manifold.temperature,
                speed,
                filling: v.filling.at(speed),
            },
            v.cylinders.compression_ratio,
            v.cylinders.displacement,
            self.made_for.gas_constant(v.meter.assumed_water),
            self.ambient.pressure,
        );
        let counted = match v.metering {
            Metering::AirFlowMeter => estimate * x[state::CORRECTION],
            Metering::SpeedDensity => estimate,
        };
        let counted_air = positive_part(counted, 1e-6);
        let charge = absolute_load(counted_air, speed, v.cylinders.displacement);
        let overrun = v.fuelling.overrun_cut(v.drive.idle_speed, pedal, speed);
        let limited = limiter_cut(v.speed_limit(), speed);
        Computer {
            pedal,
            estimate,
            counted_air,
            overrun,
            limited,
            cut: overrun + limited * (-overrun + 1.0),
            boost: sensed_pressure(cold.pressure, v.boost.sensor_offset, v.boost.error_growth)
                - self.ambient.pressure,
            manifold: sensed,
            charge,
            trims: Trims {
                short: x[state::TRIM],
                long: v.fuelling.long(
                    (v.trim_cells, v.trim_carried),
                    &Cells {
                        idle: x[state::IDLE_TRIM],
                        part_load: x[state::PART_TRIM],
                        high_load: x[state::HIGH_TRIM],
                    },
                    [pedal, counted_air, charge],
                ),
            },
        }
    }

    /// The cylinders under the engine computer's orders.
    fn cylinders<S: Over<P>>(
        &self,
        x: &[S],
        computer: &Computer<S>,
        manifold: &GasState<S>,
        exhaust: &GasState<S>,
        purge: S,
    ) -> Cycle<S> {
        let v = &self.vehicle;
        let speed = x[state::ENGINE];
        let orders = Orders {
            filling: v.filling.at(speed),
            fuel: v.fuelling.fuel(
                computer.counted_air,
                computer.pedal,
                &computer.trims,
                self.made_for.air_fuel_ratio(v.meter.assumed_water),
            ) + purge * v.fuelling.purge_vapour,
            fired: -computer.cut + 1.0,
            spark_retard: v
                .drive
                .spark_retard(idle_share(computer.pedal) * (-computer.cut + 1.0), speed),
        };
        v.cylinders
            .cycle(&self.medium, manifold, exhaust.pressure, speed, &orders)
    }

    fn leak<S: Over<P>>(&self, leak: &Leak<P>, gases: &Gases<S>, exhaust_flow: S) -> LeakFlow<S> {
        let (outer, inner, account) = leak.place.nodes(self.valve_outlet());
        let (a, b) = (gases.at(outer), gases.at(inner));
        let pipe = match inner {
            Node::Exhaust => Some(&self.vehicle.exhaust_manifold),
            Node::Downpipe => Some(&self.vehicle.downpipe),
            _ => None,
        };
        let none = Stream::none();
        let mut result = LeakFlow {
            outer,
            inner,
            account,
            inward: none,
            outward: none,
        };
        let mut add = |gas: &GasState<S>, share: f64| {
            let stream = Stream::of(&leak.shape.flow(a, gas), a, gas);
            if stream.mass.value() >= 0.0 {
                result.inward = result.inward.plus(&stream, share);
            } else {
                result.outward = result.outward.plus(&stream, share);
            }
        };
        match pipe {
            None => add(b, 1.0),
            Some(pipe) => {
                let swing = pipe.pulsation(b, exhaust_flow);
                for cosine in PULSE {
                    add(
                        &GasState {
                            pressure: b.pressure + swing * cosine,
                            ..*b
                        },
                        0.25,
                    );
                }
            }
        }
        result
    }
}

/// Cosines at the four Gauss-Chebyshev points of a pulsation: a leak's mean flow
/// over a cycle is the mean of its flow at these (Abramowitz & Stegun 25.4.38).
const PULSE: [f64; 4] = [
    0.923_879_532_511_286_7,
    0.382_683_432_365_089_8,
    -0.382_683_432_365_089_8,
    -0.923_879_532_511_286_7,
];
