//! What there is: checks, pieces put on, vents opened.

use crate::study::workshop::limits::Step;
use crate::words;

words! {
    /// A check as a procedure.
    pub enum Test {
        /// smoke through the whole intake
        Smoke = "smoke_intake",
        /// charge pipes and cooler by pressure
        Charge = "decay_boost_side",
        /// manifold by pressure
        Manifold = "manifold_pressure",
        /// inlet duct by pressure
        Inlet = "inlet_pressure",
        /// wastegate capsule by hand pump
        Capsule = "wastegate_hand_pump",
        /// compressor bypass valve by hand pump
        Chamber = "recirculation_valve_hand_pump",
        /// crankcase by smoke
        Crankcase = "crankcase_smoke",
        /// exhaust by smoke
        Exhaust = "smoke_exhaust",
        /// duct from meter to turbocharger by pressure, both ends plugged
        Duct = "decay_inlet_duct",
        /// manifold by flow, throttle plugged
        ManifoldFlow = "decay_manifold",
        /// vacuum hoses clamped one by one
        PinchVacuum = "pinch_vacuum_hoses",
        /// hose from crankcase to manifold clamped
        PinchVentilation = "pinch_ventilation_hose",
        /// breather union capped, crankcase open
        BlankBreather = "blank_breather_union",
        /// another mass air flow sensor
        SwapMeter = "swap_meter",
        /// air filter
        Filter = "look_at_filter",
        /// pressure sensors against the barometer
        Sensors = "sensors_standing",
        /// fuel pressure
        Fuel = "fuel_pressure",
        /// oxygen sensor against an analyser
        Analyser = "gas_analyser",
        /// pressure before the catalyst
        BackPressure = "back_pressure",
        /// pressures at the charge air cooler
        Cooler = "cooler_pressures",
        /// turbocharger by hand
        TurboPlay = "turbocharger_play",
        /// compression
        Compression = "compression",
        /// breather, oil separator and crankcase ventilation (PCV) valve looked through
        BreatherFree = "breather_free",
        /// a hole of known size at a vacuum port
        KnownHole = "known_hole",
        /// spark plugs and coils
        SwapSpark = "swap_spark",
        /// readings at idle
        ReadIdle = "readings_idle",
        /// readings at light load
        ReadCruise = "readings_light_cruise",
        /// readings at full load
        ReadLoad = "readings_full_load",
    }
}

words! {
    /// What is put on for a test, and comes off again.
    pub enum Piece {
        /// plug in the air box
        AirBox = "air_box_plug",
        /// plug in the compressor outlet
        Compressor = "compressor_plug",
        /// plug in the hose at the throttle
        ThrottleHose = "throttle_hose_plug",
        /// plug in the throttle
        Throttle = "throttle_plug",
        /// plug in the duct behind the meter
        Duct = "duct_plug",
        /// plug in the turbocharger end of the duct
        DuctEnd = "duct_end_plug",
        /// plug in the breather hose
        Breather = "breather_plug",
        /// cap on the breather union
        Union = "union_cap",
        /// blank of the brake servo's port
        Servo = "servo_blank",
        /// blank of the purge valve's port
        Purge = "purge_blank",
        /// plug in the hose to the wastegate solenoid
        Solenoid = "wastegate_solenoid_plug",
        /// hand pump
        HandPump = "hand_pump",
        /// smoke adapter
        Smoke = "smoke_adapter",
        /// cone in the tailpipe
        Cone = "tailpipe_cone",
        /// clamp on a vacuum hose, the brake servo's among them
        ServoClamp = "servo_clamp",
        /// clamp on the hose from crankcase to manifold
        Clamp = "hose_clamp",
        /// analyser's probe
        Probe = "analyser_probe",
        /// fuel gauge
        FuelGauge = "fuel_gauge",
        /// gauge
        Gauge = "gauge",
        /// second gauge
        SecondGauge = "second_gauge",
        /// compression gauge
        CylinderGauge = "cylinder_gauge",
        /// cap with the known hole
        Hole = "known_hole_cap",
        /// stopper of the known hole
        Stopper = "known_hole_stopper",
        /// what holds the throttle open, which must then snap shut
        ThrottleHold = "throttle_hold",
        /// tag on the key, spark and injection off: on again
        SparkOff = "spark_off_tag",
        /// tape or clamp on the part that was sealed off
        Seal = "seal_of_a_part",
    }
}

words! {
    /// What is opened and stays open during a test.
    pub enum Vent {
        /// filler cap
        FillerCap = "filler_cap",
        /// breather hose
        Breather = "breather_hose",
        /// crankcase ventilation (PCV) hose
        Ventilation = "ventilation_hose",
        /// air box
        AirBox = "air_box",
        /// charge hoses
        ChargeHose = "charge_hose",
        /// inlet duct
        Duct = "inlet_duct",
        /// signal hose
        Signal = "signal_hose",
        /// spark plugs
        SparkPlugs = "spark_plugs",
        /// the port's own cap, tight
        Port = "port_cap",
    }
}

impl Piece {
    /// What it is.
    pub fn name(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }
}

impl Vent {
    /// What it is.
    pub fn name(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }
}

impl Test {
    /// The step of the plan whose limit holds; none where no air is let in.
    pub fn step(self) -> Option<Step> {
        Some(match self {
            Test::Smoke => Step::Smoke,
            Test::Charge => Step::Charge,
            Test::Manifold | Test::ManifoldFlow => Step::Manifold,
            Test::Inlet | Test::Duct => Step::Inlet,
            Test::Capsule => Step::Capsule,
            Test::Chamber => Step::Chamber,
            Test::Crankcase => Step::Crankcase,
            Test::Exhaust => Step::Exhaust,
            _ => return None,
        })
    }

    /// What it is, in a line.
    pub fn name(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }
}
