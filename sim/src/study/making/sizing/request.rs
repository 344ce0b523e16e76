//! The ten numbers a person knows of a car, and whether they fit together.

use super::{Clash, Refusal};
use crate::control::Metering;
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::medium::FuelKind;
use crate::network::RecirculationOutlet;
use crate::tables;
use crate::units::RPM;
use std::f64::consts::PI;

tables! {
    /// What a person knows of a car.
    ///
    /// # Examples
    /// ```
    /// use sim::{TenNumbers, size};
    /// let known = TenNumbers::example();
    /// assert!(size(&known).is_ok());
    /// // Power is torque times speed: 132 kW at 575 rad/s takes 230 N m, more than this torque.
    /// let wrong = TenNumbers { peak_torque: 200.0, ..known };
    /// assert!(size(&wrong).is_err());
    /// ```
    pub struct TenNumbers {
        /// what the car is called in tables and pictures
        name: String = "unnamed car".into(),
        /// total swept volume
        displacement: Volume [0.6e-3, 6e-3],
        /// number of cylinders
        cylinders: Ratio [2.0, 12.0],
        /// rated (highest) power
        rated_power: Power [20e3, 800e3],
        /// engine speed of the rated power
        rated_speed: AngularSpeed [2800.0 * RPM, 8e3 * RPM],
        /// highest torque
        peak_torque: Torque [50.0, 1200.0],
        /// lowest engine speed of the highest torque
        peak_torque_speed: AngularSpeed [1e3 * RPM, 6e3 * RPM],
        /// highest engine speed of the highest torque, where the plate gives a range
        peak_torque_speed_end: AngularSpeed [1e3 * RPM, 8e3 * RPM] or None,
        /// highest boost; left out, estimated from torque and displacement
        peak_boost: GaugePressure [25e3, 200e3] or None,
        /// boost at the rated speed; left out, what the rated power takes
        rated_boost: GaugePressure [5e3, 200e3] or None,
        /// lambda at full load; left out, 0.90, moved where the exhaust would be too hot or too cold
        full_load_lambda: Ratio [0.75, 1.02] or None,
        /// idle speed, warm; left out, by the number of cylinders
        idle_speed: AngularSpeed [450.0 * RPM, 1300.0 * RPM] or None,
        /// how the engine computer counts the air
        metering: Metering = Metering::AirFlowMeter,
        /// where the compressor bypass valve lets the air go
        valve: RecirculationOutlet = RecirculationOutlet::InletDuct,
        /// fuel
        fuel: FuelKind = FuelKind::Petrol,
    }
}

/// Brake mean effective pressure over the absolute pressure before the throttle: 1 bar of charge
/// makes 8.5 to 11.5 bar in engines without a turbo (heywood1988 ch. 2, from memory). Outside these
/// a number is not read right, whatever the engine.
const WORK_PER_PRESSURE: [f64; 2] = [5.5, 16.0];
/// Brake mean effective pressure at peak torque that is believed of a turbocharged petrol engine
/// whose boost is not told, Pa (7 bar: less than without a turbo; 36 bar: above any on the road;
/// common practice, no source).
const MEAN_PRESSURE: [f64; 2] = [7e5, 36e5];
/// Share by which the rounding of a plate (horsepower, tens of newton metres) may contradict itself.
const ROUNDING: f64 = 0.02;
/// What is likely of it.
const TYPICAL_WORK: f64 = 10.2;
/// Highest mean piston speed, m/s (heywood1988 ch. 2, from memory: 15 in cars,
/// racing engines near 25).
const PISTON_SPEED: f64 = 23.0;
/// Swept volume of one cylinder, m³ (common practice, no source).
const CYLINDER: [f64; 2] = [0.2e-3, 0.75e-3];
/// Standard atmosphere (iso2533), Pa.
const AMBIENT: f64 = crate::constants::STANDARD_PRESSURE;

impl TenNumbers<f64> {
    /// A car to try things on: 1.6 litres, 132 kW, 250 N m. Invented; nobody makes it.
    pub fn example() -> Self {
        Self {
            name: "example, invented".into(),
            displacement: 1.6e-3,
            cylinders: 4.0,
            rated_power: 132e3,
            rated_speed: 5500.0 * PI / 30.0,
            peak_torque: 250.0,
            peak_torque_speed: 2000.0 * PI / 30.0,
            peak_torque_speed_end: None,
            peak_boost: Some(85e3),
            rated_boost: None,
            full_load_lambda: None,
            idle_speed: None,
            metering: Metering::AirFlowMeter,
            valve: RecirculationOutlet::InletDuct,
            fuel: FuelKind::Petrol,
        }
    }

    /// Torque that the rated power takes at its speed, N m.
    pub fn rated_torque(&self) -> f64 {
        self.rated_power / self.rated_speed
    }

    /// Stroke, m: bore and stroke in the ratio 1 : 1.08.
    pub fn stroke(&self) -> f64 {
        1.08 * self.bore()
    }

    /// Bore, m, with a stroke of 1.08 bores.
    pub fn bore(&self) -> f64 {
        (4.0 * self.displacement / self.cylinders / (PI * 1.08)).cbrt()
    }

    /// Whether the numbers can belong to one engine.
    ///
    /// # Errors
    /// [`Refusal::Clash`]: which numbers contradict each other, and what would fit.
    pub fn check(&self) -> Result<(), Refusal> {
        if self.cylinders.fract() != 0.0 {
            return Err(Clash::Cylinders(self.cylinders).into());
        }
        let each = self.displacement / self.cylinders;
        if !(CYLINDER[0]..=CYLINDER[1]).contains(&each) {
            let [most, fewest] = CYLINDER.map(|limit| self.displacement / limit);
            let fits = [fewest.ceil(), most.floor()];
            return Err(Clash::CylinderSize { each, fits }.into());
        }
        let speed = self.rated_speed;
        let piston = speed * self.stroke() / PI;
        if piston > PISTON_SPEED {
            let clash = Clash::PistonSpeed {
                speed,
                piston,
                most: speed * PISTON_SPEED / piston,
            };
            return Err(clash.into());
        }
        if self.peak_torque_speed > 0.9 * speed {
            let clash = Clash::PeakSpeed {
                peak: self.peak_torque_speed,
                rated: speed,
            };
            return Err(clash.into());
        }
        self.check_work()
    }

    /// Highest engine speed of the highest torque, rad/s: the lowest where no other is given.
    pub fn plateau_end(&self) -> f64 {
        let end = self.peak_torque_speed_end.unwrap_or(self.peak_torque_speed);
        end.clamp(self.peak_torque_speed, self.rated_speed)
    }

    /// The same without a boost, and with a torque that begins at `share` times its speed, below nine
    /// tenths of the rated.
    pub(super) fn torque_from(&self, share: f64) -> Self {
        let from = self.peak_torque_speed;
        let from = from.max((share * from).min(0.9 * self.rated_speed));
        Self {
            peak_boost: None,
            peak_torque_speed: from,
            peak_torque_speed_end: self.peak_torque_speed_end.filter(|end| *end > 1.05 * from),
            ..self.clone()
        }
    }

    /// Boost that the peak torque most likely takes, Pa gauge: a first guess.
    pub(super) fn likely_boost(&self) -> f64 {
        let typical = torque_of_mean_pressure(TYPICAL_WORK, self.displacement);
        (self.peak_torque / typical - AMBIENT).clamp(25e3, 200e3)
    }

    /// Whether power, torque and their speeds fit: power is torque times speed.
    fn check_work(&self) -> Result<(), Refusal> {
        if let Some(end) = self.peak_torque_speed_end
            && end <= self.peak_torque_speed
        {
            let from = self.peak_torque_speed;
            return Err(Clash::Plateau { from, end }.into());
        }
        let torque = self.rated_torque();
        if torque > (1.0 + ROUNDING) * self.peak_torque {
            let most = self.peak_torque * self.rated_speed;
            return Err(Clash::PowerOverTorque { torque, most }.into());
        }
        let end = (self.peak_torque_speed_end).unwrap_or(self.peak_torque_speed);
        let power = self.peak_torque * end;
        if power > (1.0 + ROUNDING) * self.rated_power {
            let most = self.rated_power / self.peak_torque;
            return Err(Clash::TorqueOverPower { power, most }.into());
        }
        match self.peak_boost {
            Some(boost) => self.check_boost(boost),
            None => self.check_size(),
        }
    }

    /// Whether peak torque and displacement fit.
    fn check_size(&self) -> Result<(), Refusal> {
        let gives = MEAN_PRESSURE.map(|work| torque_of_mean_pressure(work, self.displacement));
        if (gives[0]..=gives[1]).contains(&self.peak_torque) {
            return Ok(());
        }
        let clash = Clash::TorqueOffSize {
            asked: self.peak_torque,
            displacement: self.displacement,
            gives,
        };
        Err(clash.into())
    }

    /// Whether peak torque, boost and displacement can be meant.
    fn check_boost(&self, boost: f64) -> Result<(), Refusal> {
        let pressure = AMBIENT + boost;
        let gives = WORK_PER_PRESSURE
            .map(|work| torque_of_mean_pressure(work * pressure, self.displacement));
        if (gives[0]..=gives[1]).contains(&self.peak_torque) {
            return Ok(());
        }
        let typical = torque_of_mean_pressure(TYPICAL_WORK, self.displacement);
        let fits = self.peak_torque / typical - AMBIENT;
        let clash = Clash::TorqueOffBoost {
            boost,
            displacement: self.displacement,
            gives,
            asked: self.peak_torque,
            // Suggested only where it could be given.
            fits: (25e3..=200e3).contains(&fits).then_some(fits),
            torque: typical * pressure,
        };
        Err(clash.into())
    }
}
