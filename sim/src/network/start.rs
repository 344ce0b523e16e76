//! A state to start from: the engine as it turns over, gas at rest.

use super::Network;
use super::layout::{STATES, VOLUMES, state};
use crate::control::{Memory, SpeedMode};

impl Network<f64> {
    /// A believable first state for the network's command: ambient gas in the
    /// intake, burned gas in the exhaust, the shaft turning slowly.
    pub fn start(&self) -> [f64; STATES] {
        let (p, t) = (self.ambient.pressure, self.ambient.temperature);
        let burned = self.medium.stoichiometric_fuel_fraction();
        let gas: [(f64, f64, f64); VOLUMES] = [
            (p, t, 0.0),
            (p, t, 0.0),
            (p, t, 0.0),
            (0.6 * p, t + 20.0, 0.0),
            (p, self.vehicle.crankcase.wall_temperature, 0.2 * burned),
            (1.05 * p, 900.0, burned),
            (1.01 * p, 800.0, burned),
        ];
        let mut x = [0.0; STATES];
        for (v, (size, (p, t, f))) in self.volume_sizes().into_iter().zip(gas).enumerate() {
            let mass = p * size / (self.medium.gas_constant(f) * t);
            x[3 * v] = mass;
            x[3 * v + 1] = mass * self.medium.internal_energy(t, f);
            x[3 * v + 2] = mass * f;
        }
        let signal = |volume: f64| p * volume / (self.medium.gas_constant(0.0) * t);
        x[state::CAPSULE] = signal(self.vehicle.wastegate.signal_volume);
        x[state::CHAMBER] = signal(self.vehicle.recirculation_valve.signal_volume);
        x[state::ENGINE] = match self.command.speed {
            SpeedMode::Held(speed) => speed,
            SpeedMode::Free | SpeedMode::InGear => self.vehicle.drive.idle_speed,
        };
        let idles = self.command.speed == SpeedMode::Free && self.command.pedal == 0.0;
        // A first guess only: what an idling engine of either demo car breathes and spins, about.
        let (filling, shaft) = if idles { (0.3, 400.0) } else { (0.5, 4000.0) };
        let flow = filling * self.vehicle.cylinders.displacement * x[state::ENGINE]
            / (4.0 * std::f64::consts::PI);
        x[state::COMPRESSOR_FLOW] = flow;
        x[state::SHAFT] = shaft;
        let memory = self.command.memory.unwrap_or(Memory::FRESH);
        x[state::IDLE] = memory.idle_opening;
        x[state::IDLE_TRIM] = memory.idle_trim;
        x[state::PART_TRIM] = memory.part_load_trim;
        x[state::HIGH_TRIM] = memory.high_load_trim;
        x[state::THROTTLE] = (0.8 * self.command.pedal).max(0.03);
        x[state::METER] = flow;
        x[state::INTAKE] = t + 20.0;
        x[state::OXYGEN] = 1.0;
        x[state::PEDAL] = self.command.pedal;
        x[state::CORRECTION] = 1.0;
        x[state::ARRIVED] = 1.0;
        if let SpeedMode::Held(speed) = self.command.speed {
            x[state::CAR] = speed * self.vehicle.road.metres::<f64>(self.command.gear);
        }
        x
    }
}
