//! A steady flow test: a bench or a smoke machine holds a low pressure, and a meter
//! shows what it takes.

use super::limits::{Excess, Step, Tested, allowed, danger};
pub use super::meter::Shown;
use super::{AIR, EVEN, Span, effective_flow, interval, mistake};
use crate::flow::isentropic::{choked_function_squared, critical_pressure_ratio, flow_function};
use crate::flow::orifice::Discharge;
use crate::flow::standards::{IsoPart, REFERENCE_DENSITY, REFERENCE_TEMPERATURE};
use crate::network::Place;
use crate::scenario::Mistake;
use crate::tables;

tables! {
    /// A steady flow test of the standing intake tract.
    ///
    /// # Examples
    /// ```
    /// use sim::workshop::{FlowTest, Shown, hole_flow, sharp_hole};
    /// // What a sharp-edged hole of 2 mm lets out at half a bar, kg/s.
    /// let flow = hole_flow(2e-3, 151_325.0, 101_325.0, 293.15);
    /// let test = FlowTest {
    ///     flow: Shown::Mass(flow),
    ///     pressure: 50e3,
    ///     reference_pressure: None,
    ///     reference_temperature: None,
    ///     blanked_flow: None,
    ///     second_flow: None,
    ///     second_pressure: None,
    ///     flow_doubt: 0.03,
    ///     gauge_resolution: 100.0,
    ///     temperature: 293.15,
    ///     ambient_pressure: 101_325.0,
    ///     boost: None,
    ///     vehicle: None,
    ///     place: None,
    ///     bench: false,
    /// };
    /// let area = test.find().unwrap().area;
    /// let size = |area| sharp_hole(area, 151_325.0, 101_325.0);
    /// assert!((size(area.value) - 2e-3).abs() < 1e-6);
    /// assert!(size(area.low) < 2e-3 && 2e-3 < size(area.high));
    /// ```
    pub struct FlowTest {
        /// what the meter shows; a volume flow needs the conditions it is counted at
        flow: Shown,
        /// pressure inside while it shows that
        pressure: GaugePressure [-9e4, 4e5],
        /// pressure that the meter's volume flow is counted at
        reference_pressure: AbsolutePressure [5e4, 2e5] or None,
        /// temperature that the meter's volume flow is counted at
        reference_temperature: Temperature [253.15, 333.15] or None,
        /// what the meter still shows with the suspect part mended or shut off
        blanked_flow: Shown or None,
        /// a second reading, at another pressure: measures the critical pressure ratio
        second_flow: Shown or None,
        /// pressure inside at the second reading
        second_pressure: GaugePressure [-9e4, 4e5] or None,
        /// standard uncertainty of the meter
        flow_doubt: Ratio [0.0, 0.5] = 0.03,
        /// smallest step that can be told on the pressure gauge
        gauge_resolution: PressureDifference [0.0, 2e4] = 100.0,
        /// temperature of the air inside
        temperature: Temperature [253.15, 333.15] = 293.15,
        /// ambient pressure
        ambient_pressure: AbsolutePressure [5e4, 1.1e5] = 101_325.0,
        /// boost at which the flow is wanted; without it the vehicle's highest
        boost: GaugePressure [1e3, 4e5] or None,
        /// vehicle file: what the hole does in this car
        vehicle: String or None,
        /// where in the vehicle the leak is; `cold_pipe` if not given
        place: Place or None,
        /// the part is off the car, on the bench: 1.5 times normal boost is allowed, 200 kPa at most
        bench: bool = false,
    }
}

/// What a flow test finds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Found {
    /// As the meter shows it, kg/s.
    pub shown: f64,
    /// Through the leak, kg/s: what is still there with the part blanked taken off.
    pub mass_flow: f64,
    /// Effective area (discharge included) at the test pressure, m².
    pub area: Span,
    /// The leak as a pneumatic part.
    pub part: IsoPart,
    /// Whether the critical ratio was measured by a second reading, or is that of a sharp-edged hole.
    pub measured: bool,
}

impl FlowTest<f64> {
    /// A meter's reading, kg/s.
    fn mass(&self, key: &str, shown: Shown) -> Result<f64, Mistake> {
        match (shown, self.reference_pressure, self.reference_temperature) {
            (Shown::Mass(mass), ..) => Ok(mass),
            (Shown::Volume(volume), Some(pressure), Some(temperature)) => {
                Ok(volume * AIR.state(pressure, temperature).density())
            }
            (Shown::Volume(_), ..) => Err(mistake(
                key,
                "a volume flow says nothing without the pressure and temperature it is counted at\n\
                 give `reference_pressure` and `reference_temperature` from the meter's plate: \
                 \"101.325 kPa abs\" with \"0 degC\", \"15 degC\", \"20 degC\" or \"70 degF\", \
                 \"100 kPa abs\" with \"20 degC\" (up to 9 % apart); for a meter that shows the \
                 volume at its own inlet, the pressure and temperature there",
            )),
        }
    }

    /// What the test finds.
    ///
    /// # Errors
    /// Readings that cannot be, with the reason.
    pub fn find(&self) -> Result<Found, Mistake> {
        let shown = self.mass("flow", self.flow)?;
        if shown <= 0.0 {
            let message = "the meter shows no flow: tighter than it can tell, nothing to size";
            return Err(mistake("flow", message));
        }
        let blanked = match self.blanked_flow {
            None => 0.0,
            Some(flow) => self.mass("blanked_flow", flow)?,
        };
        if blanked < 0.0 || blanked > shown {
            let message = "with the part mended or shut off the meter shows more than before: the \
                           blanking leaks, or the pressure was not the same";
            return Err(mistake("blanked_flow", message));
        }
        if self.pressure.abs() <= self.gauge_resolution {
            let message = "the pressure is not more than the gauge can tell: no area follows";
            return Err(mistake("pressure", message));
        }
        let per_area = |gauge: f64| {
            let (high, low) = self.sides(gauge);
            effective_flow(1.0, high, low, self.temperature)
        };
        let area = interval(|[first, second, gauge]: &[f64; 3]| {
            let flow = shown * (1.0 + self.flow_doubt * first)
                - blanked * (1.0 + self.flow_doubt * second);
            Ok(flow / per_area(self.pressure + gauge * EVEN * self.gauge_resolution))
        })?;
        let mass_flow = shown - blanked;
        let (high, low) = self.sides(self.pressure);
        let second = self.second(mass_flow)?;
        Ok(Found {
            shown,
            mass_flow,
            area,
            part: second.unwrap_or_else(|| sharp_part(area.value, low / high)),
            measured: second.is_some(),
        })
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
        allowed("pressure", self.pressure, self.bench, boost)?;
        let second = self.second_pressure.unwrap_or(f64::MIN);
        allowed("second_pressure", second, self.bench, boost)
    }

    /// What is dangerous about the pressure of this test, by the limits of the plan; `boost`
    /// is the car's normal one, Pa gauge. On the bench no part of the car is pressed on.
    pub fn danger(&self, boost: Option<f64>) -> Option<Excess> {
        if self.bench {
            return None;
        }
        let tested = self.place.map_or(Tested::OneOf(&Step::ALL), Tested::Place);
        let second = self.second_pressure.unwrap_or(f64::MIN);
        danger(self.pressure.max(second), tested, boost)
    }

    /// Upstream and downstream pressure, Pa abs, at a gauge pressure inside.
    pub fn sides(&self, gauge: f64) -> (f64, f64) {
        let (inside, ambient) = (self.ambient_pressure + gauge, self.ambient_pressure);
        (inside.max(ambient), inside.min(ambient))
    }

    /// The part measured by two readings.
    fn second(&self, first: f64) -> Result<Option<IsoPart>, Mistake> {
        let wrong = |key: &str, message: &str| Err(mistake(key, message));
        let (flow, gauge) = match (self.second_flow, self.second_pressure) {
            (None, None) => return Ok(None),
            (Some(flow), Some(gauge)) => (self.mass("second_flow", flow)?, gauge),
            (Some(_), None) => {
                return wrong("second_flow", "a second flow needs its `second_pressure`");
            }
            (None, Some(_)) => {
                return wrong(
                    "second_pressure",
                    "a second pressure needs its `second_flow`",
                );
            }
        };
        if self.blanked_flow.is_some() {
            return wrong(
                "second_flow",
                "a second reading cannot be used together with `blanked_flow`: what was blanked \
                 off is known at one pressure only",
            );
        }
        let reading = |gauge, flow| {
            let (up, down) = self.sides(gauge);
            [up, down, flow]
        };
        let readings = [reading(self.pressure, first), reading(gauge, flow)];
        match IsoPart::from_two(readings, self.temperature) {
            Some(part) => Ok(Some(part)),
            None => wrong(
                "second_flow",
                "no part of ISO 6358 passes both flows: the pressures are too much alike, one of \
                 the readings is wrong, or the opening grows with pressure (a split does)",
            ),
        }
    }
}

/// A sharp-edged hole as a part of ISO 6358: exact at the critical ratio of air, and at
/// the ratio at which its effective area, m², is known.
fn sharp_part(area: f64, ratio: f64) -> IsoPart {
    let (gamma, sharp) = (1.4, Discharge::SharpEdged);
    let critical = critical_pressure_ratio(gamma);
    let bore = area / sharp.coefficient(ratio);
    let choked = bore * sharp.coefficient(critical) * choked_function_squared(gamma).sqrt();
    let speed = (AIR.state(1e5, REFERENCE_TEMPERATURE).gas_constant * REFERENCE_TEMPERATURE).sqrt();
    let share = area * flow_function(ratio, gamma) / choked;
    IsoPart {
        conductance: choked / (REFERENCE_DENSITY * speed),
        critical_ratio: IsoPart::critical_ratio_at(ratio, share).unwrap_or(critical),
    }
}
