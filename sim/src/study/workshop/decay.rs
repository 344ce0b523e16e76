//! A pressure-decay test: the standing intake tract is pressurised (or evacuated) and
//! shut, and the gauge creeps towards ambient.
//!
//! From two gauge readings to the leak: the effective area (discharge included) is
//! that with which the tank of [`tank`](crate::study::running::tank) passes both readings.
//! Whatever the walls do, it lies between that of adiabatic and of isothermal air;
//! the likeliest is with convection from walls that keep their temperature, free and, in a
//! vacuum test, by the jet of what comes in, its film within a factor of two ([`FILM_DOUBT`]).

pub use super::emptying::{Checked, FILM_DOUBT, Found, Heat, Pair};
use super::limits::{Excess, Step, Tested, allowed, danger};
use super::mistake;
pub use super::section::Section;
use crate::leak::Shape;
use crate::network::{Place, Vehicle};
use crate::scenario::Mistake;
use crate::{quantities, tables};

/// A leak's shape in a file.
pub type OneShape = Shape<f64>;

/// Standard doubt of a volume taken from a vehicle file, and of a stated one (judgement).
pub const VOLUME_DOUBTS: (f64, f64) = (0.10, 0.05);

quantities! {
    /// A second reading, taken with the leak mended or the suspect section shut off: what
    /// still gets out (open valves, rings, crankcase) is taken off the first.
    pub struct SecondReading {
        /// gauge pressure at its start
        start_pressure: GaugePressure [-1.1e5, 4e5],
        /// gauge pressure at its end
        end_pressure: GaugePressure [-1.1e5, 4e5],
        /// time from one to the other
        time: Time [0.0, 36000.0],
        /// its volume over that of the first reading
        volume_share: Ratio [0.01, 10.0] = 1.0,
    }
}

tables! {
    /// A pressure-decay test of the standing intake tract.
    pub struct DecayTest {
        /// volume of the air shut in; without it, that of the vehicle's pipes
        volume: Volume [1e-5, 1.0] or None,
        /// vehicle file: its pipes' volume, and what the hole does in this car
        vehicle: String or None,
        /// which of the vehicle's pipes are shut in, when no volume is given
        section: Section = Section::CompressorToManifold,
        /// standard uncertainty of the volume; 5 % if stated, 10 % if from a vehicle
        volume_doubt: Ratio [0.0, 0.5] or None,
        /// gauge pressure at the start; below zero for a vacuum test
        start_pressure: GaugePressure [-1.1e5, 4e5],
        /// gauge pressure at the end
        end_pressure: GaugePressure [-1.1e5, 4e5] or None,
        /// time from start to end
        time: Time [0.0, 36000.0] or None,
        /// smallest step that can be told on the gauge
        gauge_resolution: PressureDifference [0.0, 2e4] = 1e3,
        /// temperature of the air and the walls
        temperature: Temperature [253.15, 333.15] = 293.15,
        /// standard uncertainty of how much the air's mean temperature drifted meanwhile
        temperature_drift: TemperatureDifference [0.0, 20.0] = 0.1,
        /// ambient pressure
        ambient_pressure: AbsolutePressure [5e4, 1.1e5] = 101_325.0,
        /// bore of the pipes, for the heat of their walls: four times volume over surface, less with a charge air cooler among them
        bore: Length [0.01, 0.3] = 0.05,
        /// second reading, with the leak mended or the suspect section shut off
        reference: SecondReading<P> or None,
        /// instead of the end reading: a leak whose gauge trace is wanted
        leak: OneShape or None,
        /// boost at which the flow is wanted; without it the vehicle's highest
        boost: GaugePressure [1e3, 4e5] or None,
        /// where in the vehicle the leak is; `cold_pipe` if not given
        place: Place or None,
        /// the part is off the car, on the bench: 1.5 times normal boost is allowed, 200 kPa at most
        bench: bool = false,
    }
}

impl DecayTest<f64> {
    /// The test with the volume of its own or of `car`.
    ///
    /// # Errors
    /// No volume, or a start that is no test.
    pub fn checked(&self, car: Option<&Vehicle<f64>>) -> Result<Checked, Mistake> {
        let (of_car, stated) = VOLUME_DOUBTS;
        let (volume, doubt) = match (self.volume, car) {
            (Some(volume), _) => (volume, stated),
            (None, Some(car)) => (self.section.volume(car), of_car),
            (None, None) => {
                return Err(mistake(
                    "volume",
                    "missing key `volume`, or a `vehicle` to take it from\nhow much air is shut \
                     in: \"8 L\"",
                ));
            }
        };
        self.gauge("start_pressure", self.start_pressure)?;
        Ok(Checked {
            volume,
            volume_doubt: self.volume_doubt.unwrap_or(doubt),
            start: self.ambient_pressure + self.start_pressure,
            ambient: self.ambient_pressure,
            temperature: self.temperature,
            bore: self.bore,
            resolution: self.gauge_resolution,
            drift: self.temperature_drift,
        })
    }

    /// The two readings.
    ///
    /// # Errors
    /// Readings that cannot be: what is wrong and why.
    pub fn pair(&self) -> Result<Pair, Mistake> {
        let (Some(end), Some(time)) = (self.end_pressure, self.time) else {
            let key = match self.end_pressure {
                None => "end_pressure",
                Some(_) => "time",
            };
            let message = format!(
                "missing key `{key}`: a test is two readings and the time between; or give a \
                 `leak` whose trace is wanted"
            );
            return Err(mistake(key, message));
        };
        let pair = Pair {
            start: self.start_pressure,
            end,
            time,
            volume_share: 1.0,
        };
        self.readings("", &pair)?;
        Ok(pair)
    }

    /// The second reading, if there is one.
    ///
    /// # Errors
    /// As [`pair`](Self::pair).
    pub fn second(&self) -> Result<Option<Pair>, Mistake> {
        let Some(second) = &self.reference else {
            return Ok(None);
        };
        let pair = Pair {
            start: second.start_pressure,
            end: second.end_pressure,
            time: second.time,
            volume_share: second.volume_share,
        };
        self.gauge("reference.start_pressure", pair.start)?;
        self.readings("reference.", &pair)?;
        Ok(Some(pair))
    }

    /// Where in the vehicle the leak is.
    pub fn place(&self) -> Place {
        self.place.unwrap_or(Place::ColdPipe)
    }

    /// Whether its pressures may be used at all; `boost` is the car's normal one, Pa gauge.
    ///
    /// # Errors
    /// A pressure above all that is tested with.
    pub fn allowed(&self, boost: Option<f64>) -> Result<(), Mistake> {
        allowed("start_pressure", self.start_pressure, self.bench, boost)?;
        let second = self.reference.as_ref().map(|second| second.start_pressure);
        let second = second.unwrap_or(f64::MIN);
        allowed("reference.start_pressure", second, self.bench, boost)
    }

    /// What is dangerous about the pressure of this test, by the limits of the plan; `boost`
    /// is the car's normal one, Pa gauge. On the bench no part of the car is pressed on.
    pub fn danger(&self, boost: Option<f64>) -> Option<Excess> {
        if self.bench {
            return None;
        }
        let tested = match (self.volume, self.place) {
            (None, _) => Tested::Section(self.section),
            (Some(_), Some(place)) => Tested::Place(place),
            (Some(_), None) => Tested::OneOf(&Step::BY_DECAY),
        };
        let second = self.reference.as_ref().map(|second| second.start_pressure);
        danger(
            self.start_pressure.max(second.unwrap_or(f64::MIN)),
            tested,
            boost,
        )
    }

    /// How far a trace runs that is wanted for a leak: an end, Pa gauge, or a time, s.
    ///
    /// # Errors
    /// Neither or both, or an end that the leak does not lead to.
    pub fn run(&self) -> Result<(Option<f64>, Option<f64>), Mistake> {
        if self.reference.is_some() {
            let message = "a predicted trace takes no second reading";
            return Err(mistake("reference", message));
        }
        if self.end_pressure.is_some() == self.time.is_some() {
            let message = "a trace is wanted for this `leak`: give how far it runs, either \
                           `end_pressure` or `time`";
            return Err(mistake("leak", message));
        }
        let pair = Pair {
            start: self.start_pressure,
            end: self.end_pressure.unwrap_or(self.start_pressure),
            time: self.time.unwrap_or(1.0),
            volume_share: 1.0,
        };
        self.readings("", &pair)?;
        Ok((self.end_pressure, self.time))
    }

    /// Refuses a place outside the section that is shut in; with a volume of its own, the
    /// section is the person's to know.
    ///
    /// # Errors
    /// The place, and the sections that hold it.
    pub fn holds(&self, place: Place, key: &str) -> Result<(), Mistake> {
        if self.volume.is_some() || self.section.holds(place) {
            return Ok(());
        }
        let others = Section::WORDS.iter().filter(|(_, s, _)| s.holds(place));
        let others: Vec<&str> = others.map(|(word, ..)| *word).collect();
        let allowed = match others.is_empty() {
            true => "no section of a decay test holds it: find it by smoke or by readings".into(),
            false => format!("sections that hold it: {}", others.join(", ")),
        };
        let message = format!(
            "a leak at `{place}` lets no air out of the section `{}`\n{allowed}",
            self.section
        );
        Err(mistake(key, message))
    }

    fn gauge(&self, key: &str, gauge: f64) -> Result<(), Mistake> {
        if gauge.abs() <= self.gauge_resolution || gauge == 0.0 {
            return Err(mistake(
                key,
                "the start is not above (or, for a vacuum test, below) ambient by more than the \
                 gauge can tell: nothing drives air through a leak",
            ));
        }
        if self.ambient_pressure + gauge <= 0.0 {
            let message = "this is below a perfect vacuum at the stated ambient pressure";
            return Err(mistake(key, message));
        }
        Ok(())
    }

    fn readings(&self, table: &str, pair: &Pair) -> Result<(), Mistake> {
        let at = |key: &str, message: &str| Err(mistake(&format!("{table}{key}"), message));
        let away = pair.end * pair.start.signum();
        if away > pair.start.abs() {
            let message = match pair.start > 0.0 {
                true => {
                    "the end pressure is above the start: a leak can only let pressure fall. Was \
                     air still being let in, or did it warm up?"
                }
                false => {
                    "the vacuum is deeper at the end than at the start: a leak can only let it \
                     fill. Was the pump still running, or did the air cool down?"
                }
            };
            return at("end_pressure", message);
        }
        if pair.time <= 0.0 {
            let message = "no time passed between the readings, so no flow follows from them";
            return at("time", message);
        }
        if away <= 0.0 || away < self.gauge_resolution {
            return at(
                "end_pressure",
                "the gauge is back at ambient: any larger hole would have done the same. Read \
                 the end earlier, while the gauge still shows something",
            );
        }
        Ok(())
    }
}
