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
        /// what the meter shows; a volume flow without `reference_pressure` and `reference_temperature` gives wider limits
        flow: Shown,
        /// pressure inside while it shows that
        pressure: GaugePressure [-9e4, 4e5],
        /// pressure that the meter's volume flow is counted at, if its plate or papers say
        reference_pressure: AbsolutePressure [5e4, 2e5] or None,
        /// temperature that the meter's volume flow is counted at, if its plate or papers say
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
    /// Share by which the flow may be off either way because nothing says what the meter's volume is
    /// counted at; none where that is said, or the meter shows a mass.
    pub unsaid: Option<f64>,
}

/// Pressures, Pa abs, and temperatures, K, that meters count their volume at: 0 °C, 15 °C, 20 °C and
/// 70 °F at 101.325 kPa, 20 °C at 100 kPa (common practice, no source).
const COUNTED_AT: ([f64; 2], [f64; 2]) = ([100e3, 101_325.0], [273.15, 294.26]);

impl FlowTest<f64> {
    /// Density that the meter's volume is counted at, kg/m³, and the share by which it may be off
    /// either way: what is not said is any of the usual conditions, or those of the air before or
    /// behind the meter.
    fn counted(&self) -> (f64, f64) {
        let ends = |said: Option<f64>, usual: [f64; 2], there: [f64; 2]| match said {
            Some(said) => [said; 2],
            None => [usual[0].min(there[0]), usual[1].max(there[1])],
        };
        let (high, low) = self.sides(self.pressure);
        let pressures = ends(self.reference_pressure, COUNTED_AT.0, [low, high]);
        let air = [self.temperature; 2];
        let temperatures = ends(self.reference_temperature, COUNTED_AT.1, air);
        let density = |pressure, temperature| AIR.state(pressure, temperature).density();
        let least = density(pressures[0], temperatures[1]);
        let most = density(pressures[1], temperatures[0]);
        (0.5 * (least + most), (most - least) / (most + least))
    }

    /// A meter's reading, kg/s.
    fn mass(&self, shown: Shown) -> f64 {
        match shown {
            Shown::Mass(mass) => mass,
            Shown::Volume(volume) => volume * self.counted().0,
        }
    }

    /// What the test finds.
    ///
    /// # Errors
    /// Readings that cannot be, with the reason.
    pub fn find(&self) -> Result<Found, Mistake> {
        let shown = self.mass(self.flow);
        if shown <= 0.0 {
            let message = "the meter shows no flow: tighter than it can tell, nothing to size";
            return Err(mistake("flow", message));
        }
        let blanked = match self.blanked_flow {
            None => 0.0,
            Some(flow) => self.mass(flow),
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
        // What nothing says is off alike in both readings of the meter: its ends are 2 of the half-width
        // apart.
        let off = |flow: Shown, by: f64| match flow {
            Shown::Mass(_) => 1.0,
            Shown::Volume(_) => 1.0 + 2.0 * self.counted().1 * EVEN * by,
        };
        let area = interval(|[first, second, gauge, plate]: &[f64; 4]| {
            let still = self.blanked_flow.map_or(1.0, |flow| off(flow, *plate));
            let flow = shown * (1.0 + self.flow_doubt * first) * off(self.flow, *plate)
                - blanked * (1.0 + self.flow_doubt * second) * still;
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
            unsaid: match (self.flow, self.counted().1) {
                (Shown::Volume(_), off) if off > 1e-9 => Some(off),
                _ => None,
            },
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
            (Some(flow), Some(gauge)) => (self.mass(flow), gauge),
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
