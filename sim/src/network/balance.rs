//! Balances: what each stream takes from one place and gives to another, and
//! what the ledger writes down.

use super::layout::{Node, STATES, ledger, state};
use super::places::Account;
use super::streams::Computer;
use super::{Gases, Network, Streams};
use crate::control::{Memory, SpeedMode, ThrottleMode, idle_share, lag};
use crate::scalar::{Over, Scalar};
use crate::volume::Stream;

/// Rates of change.
#[derive(Clone, Copy, Debug)]
pub struct Rates<S> {
    /// Of the states, per second.
    pub states: [S; STATES],
    /// Of the ledger, per second.
    pub ledger: [S; ledger::ENTRIES],
}

impl<S: Scalar> Rates<S> {
    fn zero() -> Self {
        Self {
            states: [S::constant(0.0); STATES],
            ledger: [S::constant(0.0); ledger::ENTRIES],
        }
    }

    fn give(&mut self, node: Node, stream: &Stream<S>) {
        match node {
            Node::Ambient => self.ledger[ledger::ENTHALPY_IN] -= stream.enthalpy,
            // Signal lines are held at wall temperature: what the gas brings or
            // takes beyond their own energy is heat (added in `signal_heat`).
            Node::Capsule => self.states[state::CAPSULE] += stream.mass,
            Node::Chamber => self.states[state::CHAMBER] += stream.mass,
            _ => {
                let v = volume_of(node);
                self.states[v] += stream.mass;
                self.states[v + 1] += stream.enthalpy;
                self.states[v + 2] += stream.fuel;
            }
        }
    }

    fn take(&mut self, node: Node, stream: &Stream<S>) {
        match node {
            Node::Ambient => self.ledger[ledger::ENTHALPY_IN] += stream.enthalpy,
            Node::Capsule => self.states[state::CAPSULE] -= stream.mass,
            Node::Chamber => self.states[state::CHAMBER] -= stream.mass,
            _ => {
                let v = volume_of(node);
                self.states[v] -= stream.mass;
                self.states[v + 1] -= stream.enthalpy;
                self.states[v + 2] -= stream.fuel;
            }
        }
    }

    fn pass(&mut self, from: Node, to: Node, stream: &Stream<S>) {
        self.take(from, stream);
        self.give(to, stream);
    }

    fn energy(&mut self, node: Node, power: S) {
        self.states[3 * node as usize + 1] += power;
    }

    fn heat(&mut self, node: Node, heat: S) {
        self.states[3 * node as usize + 1] -= heat;
        self.ledger[ledger::HEAT] += heat;
    }
}

/// First state of the volume that holds the gas of `node`.
fn volume_of(node: Node) -> usize {
    3 * if node == Node::Union {
        Node::Inlet as usize
    } else {
        node as usize
    }
}

impl<P: Scalar> Network<P> {
    pub(super) fn rates<S: Over<P>>(
        &self,
        x: &[S],
        gases: &Gases<S>,
        streams: &Streams<S>,
        kept: Option<Memory>,
    ) -> Rates<S> {
        let mut rates = Rates::zero();
        self.gas_balances(&mut rates, gases, streams);
        self.leak_balances(&mut rates, streams);
        self.signal_heat(&mut rates, gases, streams);
        self.machine_rates(&mut rates, x, gases, streams);
        self.computer_rates(&mut rates, x, gases, streams, kept);
        rates
    }

    fn gas_balances<S: Over<P>>(&self, rates: &mut Rates<S>, gases: &Gases<S>, s: &Streams<S>) {
        let v = &self.vehicle;
        let outlet = self.valve_outlet();
        rates.pass(Node::Ambient, Node::Inlet, &s.filter);
        rates.pass(Node::Inlet, Node::HotPipe, &s.compressor);
        rates.pass(Node::HotPipe, outlet, &s.recirculation);
        rates.pass(Node::HotPipe, Node::ColdPipe, &s.cooler);
        rates.pass(Node::ColdPipe, Node::Manifold, &s.throttle);
        rates.pass(Node::Crankcase, Node::Union, &s.breather);
        rates.pass(Node::Crankcase, Node::Manifold, &s.ventilation);
        rates.pass(Node::Ambient, Node::Manifold, &s.purge);
        rates.pass(Node::Exhaust, Node::Downpipe, &s.wastegate);
        rates.pass(Node::Exhaust, Node::Downpipe, &s.turbine);
        rates.pass(Node::Downpipe, Node::Ambient, &s.silencer);
        rates.pass(Node::HotPipe, Node::Capsule, &s.signal);
        rates.pass(Node::Capsule, Node::Inlet, &s.bleed);
        rates.pass(Node::Manifold, Node::Chamber, &s.chamber);

        let book = &mut rates.ledger;
        book[ledger::METERED_IN] += s.filter.mass;
        book[ledger::UNMETERED_IN] += s.purge.mass;
        book[ledger::TAILPIPE] += s.silencer.mass;
        if outlet == Node::Inlet {
            book[ledger::RECIRCULATED] += s.recirculation.mass;
        } else {
            let flow = -s.recirculation.mass;
            enter(book, ledger::UNMETERED_IN, ledger::LOST, flow);
        }

        // The wheels.
        rates.energy(Node::HotPipe, s.compressor_power * s.compressor_forward);
        rates.energy(
            Node::Inlet,
            s.compressor_power * (-s.compressor_forward + 1.0),
        );
        rates.energy(Node::Downpipe, -s.turbine_power);
        rates.ledger[ledger::TURBO_WORK] += s.compressor_power - s.turbine_power;

        // The cylinders.
        let cycle = &s.cycle;
        let manifold = gases.at(Node::Manifold);
        let intake = Stream {
            mass: cycle.intake,
            enthalpy: cycle.intake * manifold.enthalpy,
            fuel: cycle.intake * manifold.fuel_fraction,
        };
        let burned = |mass: S, enthalpy: S| Stream {
            mass,
            enthalpy,
            fuel: mass * cycle.fuel_fraction,
        };
        rates.take(Node::Manifold, &intake);
        rates.give(
            Node::Exhaust,
            &burned(cycle.exhaust, cycle.exhaust_enthalpy),
        );
        rates.give(
            Node::Crankcase,
            &burned(cycle.blow_by, cycle.blow_by_enthalpy),
        );
        let book = &mut rates.ledger;
        book[ledger::ENGINE_IN] += cycle.intake;
        book[ledger::BLOW_BY] += cycle.blow_by;
        book[ledger::FUEL] += cycle.fuel;
        // What did not burn passes turbine and silencer as fuel and air; beyond, it is not ours.
        book[ledger::ENTHALPY_IN] += cycle.fuel * self.medium.fuel_enthalpy() - cycle.unburned;
        book[ledger::ENGINE_WORK] += cycle.gas_work;
        book[ledger::HEAT] += cycle.coolant_heat;

        // Cooler and walls.
        rates.heat(Node::ColdPipe, s.cooler_heat);
        let air = self.ambient.temperature;
        rates.heat(
            Node::HotPipe,
            v.hot_pipe.wall_heat(gases.at(Node::HotPipe), air),
        );
        rates.heat(
            Node::ColdPipe,
            v.cold_pipe.wall_heat(gases.at(Node::ColdPipe), air),
        );
        rates.heat(
            Node::Manifold,
            v.manifold.wall_heat(gases.at(Node::Manifold), air),
        );
        let case = gases.at(Node::Crankcase).temperature - v.crankcase.wall_temperature;
        rates.heat(Node::Crankcase, case * v.crankcase.wall_conductance);
        let hot = gases.at(Node::Exhaust).temperature - air;
        rates.heat(Node::Exhaust, hot * v.exhaust_manifold.wall_conductance);
        let warm = gases.at(Node::Downpipe).temperature - air;
        rates.heat(Node::Downpipe, warm * v.downpipe.wall_conductance);
    }

    fn leak_balances<S: Over<P>>(&self, rates: &mut Rates<S>, s: &Streams<S>) {
        for leak in s.leaks.iter().flatten() {
            for stream in [&leak.inward, &leak.outward] {
                rates.pass(leak.outer, leak.inner, stream);
            }
            let (inward, outward) = (leak.inward.mass, leak.outward.mass);
            let book = &mut rates.ledger;
            match leak.account {
                Account::Metered => book[ledger::METERED_IN] += inward + outward,
                Account::Recirculated => book[ledger::RECIRCULATED] -= inward + outward,
                Account::Internal => {}
                Account::Intake => {
                    book[ledger::UNMETERED_IN] += inward;
                    book[ledger::LOST] -= outward;
                }
                Account::Exhaust => {
                    book[ledger::EXHAUST_IN] += inward;
                    book[ledger::EXHAUST_LOST] -= outward;
                }
            }
        }
    }

    /// Heat that holds the signal lines at wall temperature: enthalpy brought in
    /// less the energy of the gas that stays.
    fn signal_heat<S: Over<P>>(&self, rates: &mut Rates<S>, gases: &Gases<S>, s: &Streams<S>) {
        let mut brought = s.signal.enthalpy - s.bleed.enthalpy + s.chamber.enthalpy;
        for leak in s.leaks.iter().flatten() {
            let enthalpy = leak.inward.enthalpy + leak.outward.enthalpy;
            if matches!(leak.inner, Node::Capsule | Node::Chamber) {
                brought += enthalpy;
            }
            if matches!(leak.outer, Node::Capsule | Node::Chamber) {
                brought -= enthalpy;
            }
        }
        let air = &gases.ambient;
        let energy = air.enthalpy - air.gas_constant * air.temperature;
        let staying = rates.states[state::CAPSULE] + rates.states[state::CHAMBER];
        rates.ledger[ledger::HEAT] += brought - energy * staying;
    }

    fn machine_rates<S: Over<P>>(
        &self,
        rates: &mut Rates<S>,
        x: &[S],
        gases: &Gases<S>,
        s: &Streams<S>,
    ) {
        let v = &self.vehicle;
        let pressure = |node| gases.at(node).pressure;
        let dx = &mut rates.states;
        dx[state::COMPRESSOR_FLOW] = v.compressor.acceleration(&s.stage, pressure(Node::HotPipe));
        let shaft = x[state::SHAFT];
        let net = s.turbine_torque - s.compressor_torque - v.shaft.bearing_torque(shaft);
        dx[state::SHAFT] = v.shaft.acceleration(net);

        let speed = x[state::ENGINE];
        dx[state::ENGINE] = match self.command.speed {
            SpeedMode::Held(held) => (-speed + held) / 0.05,
            SpeedMode::Free => s.cycle.torque / v.cylinders.inertia,
            SpeedMode::InGear => (s.cycle.torque - s.clutch) / v.cylinders.inertia,
        };
        let (car, gear) = (x[state::CAR], self.command.gear);
        dx[state::CAR] = match self.command.speed {
            SpeedMode::Held(_) => (speed * v.road.metres::<S>(gear) - car) / 0.05,
            SpeedMode::Free => v.road.acceleration(car, S::constant(0.0), gear),
            SpeedMode::InGear => v.road.acceleration(car, s.clutch, gear),
        };

        let signal = pressure(Node::Capsule) - self.ambient.pressure;
        let across = pressure(Node::Exhaust) - pressure(Node::Downpipe);
        let rest = (v.boost).rest(s.computer.pedal, x[state::THROTTLE]);
        let gate = v.wastegate.balance(signal, across, rest);
        dx[state::WASTEGATE] = lag(x[state::WASTEGATE], gate, v.wastegate.time_constant);
        let valve = &v.recirculation_valve;
        let lift = valve.balance(
            pressure(Node::HotPipe),
            pressure(self.valve_outlet()),
            pressure(Node::Chamber),
        );
        dx[state::RECIRCULATION] = lag(x[state::RECIRCULATION], lift, valve.time_constant);
    }

    fn computer_rates<S: Over<P>>(
        &self,
        rates: &mut Rates<S>,
        x: &[S],
        gases: &Gases<S>,
        s: &Streams<S>,
        kept: Option<Memory>,
    ) {
        let v = &self.vehicle;
        let computer = &s.computer;
        let metered = rates.ledger[ledger::METERED_IN];
        let dx = &mut rates.states;
        let meter = v.meter.reading(metered);
        dx[state::METER] = lag(x[state::METER], meter, v.meter.time_constant);
        let intake = gases.at(Node::Manifold).temperature;
        dx[state::INTAKE] = lag(x[state::INTAKE], intake, v.meter.temperature_time_constant);
        // What the pipes store, the computer knows from the rates of its pressure sensors.
        let stored = [Node::Inlet, Node::HotPipe, Node::ColdPipe, Node::Manifold]
            .map(|node| dx[volume_of(node)]);
        let stored = stored
            .into_iter()
            .fold(S::constant(0.0), |sum, rate| sum + rate);
        let passing = x[state::METER] - stored;
        dx[state::CORRECTION] =
            v.meter
                .correction_rate(x[state::CORRECTION], passing, computer.estimate);
        let exhaust = gases.at(Node::Downpipe);
        let lambda = self.medium.lambda(exhaust.fuel_fraction);
        let fuelling = &v.fuelling;
        let lambda = fuelling.seen(lambda, v.cylinders.dead_share);
        let (arrived, passing) = (x[state::ARRIVED], s.silencer.mass);
        dx[state::ARRIVED] = fuelling.transport_rate(arrived, lambda, passing, exhaust.density());
        dx[state::OXYGEN] = fuelling.sensor_rate(x[state::OXYGEN], arrived);
        let (pedal, cut) = (computer.pedal, computer.cut);
        // The loop is open while fuel is cut: where an engine surges, it sees the cycles that fire.
        let fired = x[state::OXYGEN] * (-cut + 1.0);
        let closed = fuelling.closed_loop(fired, pedal, cut);
        let sensor = dx[state::OXYGEN];
        dx[state::TRIM] = fuelling.trim_rate(x[state::TRIM], fired, sensor, closed);
        let reduced = self.command.reduced;
        let allowed = v.drive.allowed(computer.charge, reduced);
        let wanted = v
            .drive
            .wanted(x[state::IDLE], pedal, allowed, x[state::ENGINE]);
        dx[state::THROTTLE] = v.drive.throttle_rate(
            self.command.throttle,
            x[state::THROTTLE],
            wanted,
            s.cycle.torque,
            v.throttle.time_constant,
        );
        dx[state::DUTY] = v.boost.correction_rate(x[state::DUTY], &computer.boost(x));
        dx[state::FILTERED] = lag(x[state::FILTERED], computer.boost, v.boost.filter);
        dx[state::PEDAL] = if self.command.pedal_rate == 0.0 {
            (-x[state::PEDAL] + self.command.pedal) / 0.02
        } else {
            S::constant(self.command.pedal_rate)
        };
        self.memory_rates(dx, x, computer, closed, kept);
    }

    /// What the computer learns, and what it keeps meanwhile.
    fn memory_rates<S: Over<P>>(
        &self,
        dx: &mut [S],
        x: &[S],
        now: &Computer<S>,
        closed: S,
        kept: Option<Memory>,
    ) {
        let v = &self.vehicle;
        let (pedal, cut) = (now.pedal, now.cut);
        let learns = if self.command.learning { 1.0 } else { 0.0 };
        let [idle, part, high] = v
            .fuelling
            .learning(v.trim_cells, [pedal, now.charge], closed)
            .map(|share| share * learns);
        let governs = if self.command.throttle == ThrottleMode::Pedal {
            idle_share(pedal) * (-cut + 1.0)
        } else {
            S::constant(0.0)
        };
        let learned = |cell: S| v.fuelling.learning_rate_of(cell, x[state::TRIM]);
        let cells = [
            (
                state::IDLE,
                governs,
                v.drive.governor_rate(x[state::IDLE], x[state::ENGINE]),
                kept.map(|m| m.idle_opening),
            ),
            (
                state::IDLE_TRIM,
                idle,
                learned(x[state::IDLE_TRIM]),
                kept.map(|m| m.idle_trim),
            ),
            (
                state::PART_TRIM,
                part,
                learned(x[state::PART_TRIM]),
                kept.map(|m| m.part_load_trim),
            ),
            (
                state::HIGH_TRIM,
                high,
                learned(x[state::HIGH_TRIM]),
                kept.map(|m| m.high_load_trim),
            ),
        ];
        for (cell, share, rate, kept) in cells {
            let back = kept.map_or(S::constant(0.0), |kept| (-x[cell] + kept) / RECALL);
            dx[cell] = rate * share + back * (-share + 1.0);
        }
    }
}

/// Time in which a memory that does not learn returns to what it was told, s.
const RECALL: f64 = 1.0;

fn enter<S: Scalar>(book: &mut [S], inward: usize, outward: usize, flow: S) {
    if flow.value() >= 0.0 {
        book[inward] += flow;
    } else {
        book[outward] -= flow;
    }
}
