//! Faults that look like leaks and are none: one table. Each changes the car by
//! one number, its severity; the value of a healthy car is stated beside it.

use super::Vehicle;
use crate::params::{Content, Described, Entry, Field, Form, Key, Presence, TableForm};
use crate::quantities;
use crate::scalar::Scalar;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use std::fmt;

macro_rules! faults {
    ( $( $(#[doc = $doc:literal])+ $name:ident: $key:literal $dimension:ident [$low:expr, $high:expr] healthy $healthy:literal
         |$v:ident, $s:ident| $change:block )+ ) => {
        /// A kind of fault.
        ///
        /// # Examples
        /// ```
        /// use sim::FaultKind;
        /// assert_eq!(FaultKind::MeterReads.key(), "meter_reads");
        /// // A meter can read too much or too little; a filter only clogs.
        /// assert!(FaultKind::MeterReads.goes_both_ways());
        /// assert!(!FaultKind::CloggedFilter.goes_both_ways());
        /// ```
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum FaultKind { $( $(#[doc = $doc])+ $name ),+ }

        impl FaultKind {
            /// Every kind.
            pub const ALL: &'static [FaultKind] = &[ $( FaultKind::$name ),+ ];

            /// Its key in a file, with range and meaning; the default is that of a healthy car.
            pub fn field(self) -> &'static Field {
                match self { $( FaultKind::$name => {
                    const FIELD: Field = Field {
                        name: $key,
                        default: Some($healthy),
                        ..quantities!(@field none [$($doc),+] $dimension [$low, $high])
                    };
                    &FIELD
                } )+ }
            }
        }

        impl<P: Scalar> Fault<P> {
            /// Does to `vehicle` what the fault does.
            pub fn apply(&self, vehicle: &mut Vehicle<P>) {
                match self.kind { $( FaultKind::$name => {
                    let ($v, $s) = (vehicle, self.severity);
                    $change
                } )+ }
            }
        }
    };
}

faults! {
    /// mass air flow sensor: reading over true flow (dirty: below 1)
    MeterReads: "meter_reads" Ratio [0.5, 1.5] healthy 1.0 |v, s| {
        v.meter.meter_scale = v.meter.meter_scale * s;
    }
    /// clogged air filter: pressure loss over that of a clean one
    CloggedFilter: "clogged_filter" Ratio [1.0, 40.0] healthy 1.0 |v, s| {
        v.filter.reference_loss = v.filter.reference_loss * s;
    }
    /// restricted charge air cooler: pressure loss over that of a clean one
    RestrictedCooler: "restricted_cooler" Ratio [1.0, 20.0] healthy 1.0 |v, s| {
        v.cooler.reference_loss = v.cooler.reference_loss * s;
    }
    /// restricted exhaust: pressure loss of catalyst and silencer over that of a clear one
    RestrictedExhaust: "restricted_exhaust" Ratio [1.0, 20.0] healthy 1.0 |v, s| {
        v.silencer.reference_loss = v.silencer.reference_loss * s;
    }
    /// wastegate stuck: it cannot close further than this opening
    WastegateStuckOpen: "wastegate_stuck_open" Ratio [0.0, 1.0] healthy 0.0 |v, s| {
        v.wastegate.least_opening = s;
    }
    /// wastegate stuck: it cannot open further than this opening
    WastegateStuckShut: "wastegate_stuck_shut" Ratio [0.0, 1.0] healthy 1.0 |v, s| {
        v.wastegate.most_opening = s;
    }
    /// weak wastegate spring: its force over that of a healthy one
    WeakSpring: "weak_spring" Ratio [0.2, 1.0] healthy 1.0 |v, s| {
        v.wastegate.preload = v.wastegate.preload * s;
        v.wastegate.stiffness = v.wastegate.stiffness * s;
    }
    /// worn turbocharger: efficiency of both wheels over that of a healthy one
    WornTurbo: "worn_turbo" Ratio [0.5, 1.0] healthy 1.0 |v, s| {
        v.turbine.peak_efficiency = v.turbine.peak_efficiency * s;
        v.compressor.work = v.compressor.work / s;
        v.compressor.work_flow = v.compressor.work_flow / s;
    }
    /// compressor bypass valve stuck open at this opening
    RecirculationStuckOpen: "recirculation_stuck_open" Ratio [0.0, 1.0] healthy 0.0 |v, s| {
        v.recirculation_valve.least_opening = s;
    }
    /// compressor bypass valve stuck: it cannot open further than this opening
    RecirculationStuckShut: "recirculation_stuck_shut" Ratio [0.0, 1.0] healthy 1.0 |v, s| {
        v.recirculation_valve.most_opening = s;
    }
    /// canister purge valve stuck open at this opening: air past the meter, with fuel vapour
    PurgeStuckOpen: "purge_stuck_open" Ratio [0.0, 1.0] healthy 0.0 |v, s| {
        v.fuelling.purge_opening = s;
    }
    /// low fuel delivery: fuel delivered over fuel commanded
    FuelDelivery: "fuel_delivery" Ratio [0.5, 1.3] healthy 1.0 |v, s| {
        v.fuelling.delivery = v.fuelling.delivery * s;
    }
    /// weak fuel pump or clogged fuel filter: fuel delivered over fuel commanded at the engine's largest fuel flow; at small flows nearly all
    FuelSupply: "fuel_supply" Ratio [0.5, 1.0] healthy 1.0 |v, s| {
        let [_, fuel] = v.largest_flows();
        v.fuelling.full_flow = fuel;
        v.fuelling.full_flow_delivery = v.fuelling.full_flow_delivery * s;
    }
    /// mass air flow sensor reads low at high flow: reading over true flow at the engine's largest air flow; at small flows nearly right
    MeterAtHighFlow: "meter_at_high_flow" Ratio [0.5, 1.0] healthy 1.0 |v, s| {
        let [air, _] = v.largest_flows();
        v.meter.high_flow = air;
        v.meter.high_flow_scale = v.meter.high_flow_scale * s;
    }
    /// oxygen sensor: reading minus true lambda
    OxygenSensor: "oxygen_sensor" Ratio [-0.2, 0.2] healthy 0.0 |v, s| {
        v.fuelling.sensor_offset += s;
    }
    /// manifold pressure sensor: reading minus true pressure
    ManifoldSensor: "manifold_sensor" PressureDifference [-3e4, 3e4] healthy 0.0 |v, s| {
        v.meter.pressure_offset += s;
    }
    /// boost sensor: reading minus true pressure
    BoostSensor: "boost_sensor" PressureDifference [-5e4, 5e4] healthy 0.0 |v, s| {
        v.boost.sensor_offset += s;
    }
    /// tired engine: compression and volumetric efficiency over those of a healthy one; blow-by rises as it falls
    TiredEngine: "tired_engine" Ratio [0.7, 1.0] healthy 1.0 |v, s| {
        // A tenth of filling lost goes with blow-by doubled and half as much of the work (own
        // choice: worn rings and valves do both).
        v.cylinders.blow_by_area = v.cylinders.blow_by_area * ((-s + 1.0) * 10.0 + 1.0);
        v.cylinders.filling_share = v.cylinders.filling_share * s;
        v.cylinders.cycle_quality = v.cylinders.cycle_quality * ((s + 1.0) * 0.5);
    }
    /// misfiring cylinder: share of the working cycles that plug or coil does not fire (one cylinder of four: 0.25)
    MisfiringCylinder: "misfiring_cylinder" Ratio [0.0, 0.5] healthy 0.0 |v, s| {
        v.cylinders.dead_share = s;
    }
}

/// A fault and how bad it is.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Fault, FaultKind, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let dirty = car.ailing(vec![Fault { kind: FaultKind::MeterReads, severity: 0.9 }]);
/// let cars = Comparison::new(&dirty);
/// let cruise = cars.point("", Command::torque(250.0, 40.0)).faulty.unwrap()?;
/// // A tenth of the air is not counted: 1/0.9 of the fuel puts it right.
/// let trim = cruise.readings.get(Reading::FuelTrim).unwrap();
/// assert!((trim - 11.1).abs() < 1.0, "{trim} %");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fault<P = f64> {
    /// What is wrong.
    pub kind: FaultKind,
    /// How bad, SI; see [`FaultKind::field`].
    pub severity: P,
}

impl FaultKind {
    /// Its key in a file.
    pub fn key(self) -> &'static str {
        self.field().name
    }

    /// Its name in words: `weak spring`.
    pub fn label(self) -> String {
        match self {
            FaultKind::RecirculationStuckOpen => "bypass valve stuck open".into(),
            FaultKind::RecirculationStuckShut => "bypass valve stuck shut".into(),
            FaultKind::PurgeStuckOpen => "purge valve stuck open".into(),
            _ => self.key().replace('_', " "),
        }
    }

    /// The severity of a healthy car, SI.
    pub fn healthy(self) -> f64 {
        self.field().default.unwrap_or(1.0)
    }

    /// Whether it can go either way from healthy.
    pub fn goes_both_ways(self) -> bool {
        let (field, healthy) = (self.field(), self.healthy());
        field.low < healthy && healthy < field.high
    }
}

impl Fault<f64> {
    /// Every fault, as bad as its range allows, each way that it goes.
    pub fn worst() -> Vec<Self> {
        let kinds = FaultKind::ALL.iter();
        let worst = kinds.flat_map(|&kind| {
            let ends = [kind.field().low, kind.field().high].into_iter();
            ends.filter(move |end| *end != kind.healthy())
                .map(move |severity| Fault { kind, severity })
        });
        worst.collect()
    }

    /// Whether its number is below that of a healthy car.
    pub fn is_below(&self) -> bool {
        self.severity < self.kind.healthy()
    }

    /// Which way it goes, where its kind goes both.
    pub fn way(&self) -> Option<&'static str> {
        let way = if self.is_below() { "low" } else { "high" };
        self.kind.goes_both_ways().then_some(way)
    }

    /// What it is, in words, without its size: `mass air flow sensor reads low`.
    pub fn name(&self) -> String {
        let doc = self.kind.field().doc.trim();
        let what = doc.split(':').next().unwrap_or(doc);
        match (self.way(), self.kind) {
            (Some(way), FaultKind::FuelDelivery) => format!("fuel delivery {way}"),
            (Some(way), _) => format!("{what} reads {way}"),
            (None, FaultKind::WastegateStuckOpen) => "wastegate stuck open".into(),
            (None, FaultKind::WastegateStuckShut) => "wastegate stuck shut".into(),
            (None, FaultKind::RecirculationStuckOpen) => {
                "compressor bypass valve stuck open".into()
            }
            (None, FaultKind::RecirculationStuckShut) => {
                "compressor bypass valve stuck shut".into()
            }
            (None, FaultKind::PurgeStuckOpen) => "canister purge valve stuck open".into(),
            (None, _) => what.into(),
        }
    }
}

/// One key of [`FaultKind`].
impl Described for Fault<f64> {
    fn form() -> Form {
        let keys = FaultKind::ALL.iter().map(|kind| Entry {
            presence: Presence::OneOf,
            ..Entry::quantity(*kind.field())
        });
        Form::Table(TableForm {
            doc: "A fault that looks like a leak: one key.",
            keys: keys.collect(),
        })
    }

    fn content(&self) -> Content {
        let keys = FaultKind::ALL.iter().map(|kind| {
            let mine = *kind == self.kind;
            (kind.key(), mine.then_some(Content::Number(self.severity)))
        });
        Content::Table(keys.collect())
    }
}

impl<'de> Deserialize<'de> for Fault<f64> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(Reader)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Fault<f64>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let keys: Vec<&str> = FaultKind::ALL.iter().map(|a| a.key()).collect();
        write!(f, "a table with one fault of {}", keys.join(", "))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Fault<f64>, A::Error> {
        let keys: Vec<&str> = FaultKind::ALL.iter().map(|a| a.key()).collect();
        let mut found = None;
        while let Some(index) = map.next_key_seed(Key(&keys))? {
            let kind = FaultKind::ALL[index];
            let severity = map.next_value_seed(kind.field())?;
            if found.replace(Fault { kind, severity }).is_some() {
                return Err(A::Error::custom(
                    "one fault a table: put the second under a `[[fault]]` of its own",
                ));
            }
        }
        found.ok_or_else(|| {
            let allowed = keys.join(", ");
            A::Error::custom(format!("the fault has no kind\nallowed here: {allowed}"))
        })
    }
}
