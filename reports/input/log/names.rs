//! Plain words of the trade, and the names of SAE J1979 and J1930 (from memory). What only one
//! program's files say is not here: a mapping says what such a column is.

use sim::units::Dimension;

/// One word for several.
pub(super) const SAME: &[(&str, &str)] = &[
    ("temp", "temperature"),
    ("tmp", "temperature"),
    ("press", "pressure"),
    ("pres", "pressure"),
    ("eng", "engine"),
    ("veh", "vehicle"),
    ("accel", "accelerator"),
    ("inlet", "intake"),
    ("airflow", "air flow"),
    ("turbocharger", "turbo"),
    ("baro", "barometric"),
    ("atmospheric", "barometric"),
    ("target", "commanded"),
    ("requested", "commanded"),
    ("desired", "commanded"),
    ("setpoint", "commanded"),
    ("set", "commanded"),
    ("specified", "commanded"),
    ("request", "commanded"),
    ("command", "commanded"),
    ("cmd", "commanded"),
    ("calc", "calculated"),
    ("trims", "trim"),
    ("st", "short"),
    ("lt", "long"),
    ("λ", "lambda"),
    ("af", "afr"),
    ("a/f", "afr"),
    ("air/fuel", "air fuel ratio"),
    // Universal exhaust gas oxygen sensor, the wideband.
    ("uego", "wideband"),
    ("wbo2", "wideband"),
    // Short names of SAE J1979 and J1930 (from memory).
    ("maf", "mass air flow"),
    ("map", "manifold pressure"),
    ("iat", "intake air temperature"),
    ("ect", "coolant temperature"),
    ("iat1", "intake air temperature"),
    ("iat2", "intake air temperature 2"),
    ("cact", "charge air cooler temperature"),
    ("cact11", "charge air cooler temperature"),
    ("wgdc", "wastegate duty"),
    ("aat", "ambient air temperature"),
    ("vss", "vehicle speed"),
    ("mat", "manifold air temperature"),
    ("tp", "throttle"),
    ("tps", "throttle"),
    ("app", "pedal"),
    ("pps", "pedal"),
    ("stft", "short fuel trim"),
    ("ltft", "long fuel trim"),
    ("shrtft", "short fuel trim"),
    ("longft", "long fuel trim"),
];

/// Words that add nothing; an `A` behind a name is the mark of a sensor (SAE J1979).
pub(super) const EMPTY: &[&str] = &[
    "sensor", "position", "actual", "measured", "value", "reading", "rate", "from", "signal",
    "current", "bank", "1", "b1", "s1", "b1s1", "bank1", "sensor1", "term", "cycle", "of", "the",
    "opening", "valve", "#", "a", "hh", "mm", "ss", "sss", "pos", "act", "point", "at", "in",
];

/// Names as sets of words, parted by `|`, and what they name; `only` with a unit of this
/// dimension where the words alone do not say it.
pub(super) struct Name {
    pub key: &'static str,
    pub words: &'static str,
    pub only: Option<Dimension>,
}

const fn name(key: &'static str, words: &'static str) -> Name {
    Name {
        key,
        words,
        only: None,
    }
}

const fn with(key: &'static str, only: Dimension, words: &'static str) -> Name {
    Name {
        key,
        words,
        only: Some(only),
    }
}

/// What columns are called.
pub(super) const NAMES: &[Name] = &[
    name(
        "engine_speed_rpm",
        "engine speed|rpm|engine rpm|crank speed|crankshaft speed|engine revolutions|\
         engine revs|revs",
    ),
    with("engine_speed_rpm", Dimension::AngularSpeed, "engine|speed"),
    name("vehicle_speed_km_h", "vehicle speed|road speed|car speed"),
    with(
        "vehicle_speed_km_h",
        Dimension::Speed,
        "mph|kph|kmh|km h|speed|vehicle",
    ),
    name(
        "pedal_pct",
        "pedal|accelerator|accelerator pedal|accelerator pedal d|pedal d|driver pedal|\
         accelerator pedal e|pedal e|accelerator pedal f|pedal f|pedal relative|pedal r|\
         accelerator pedal relative",
    ),
    name(
        "throttle_pct",
        "throttle|throttle plate|absolute throttle|throttle body|throttle angle|\
         throttle relative|throttle r",
    ),
    name(
        "metered_air_g_s",
        "mass air flow|air flow|air mass|metered air|mass flow",
    ),
    name(
        "manifold_kpa",
        "manifold pressure|intake manifold pressure|intake pressure|manifold",
    ),
    name(
        "boost_sensor_kpa",
        "boost|boost pressure|charge pressure|charge air pressure|turbo pressure|\
         turbo boost|turbo boost pressure|throttle intake pressure|bp",
    ),
    name(
        "commanded_boost_kpa",
        "commanded boost|commanded boost pressure|commanded charge pressure|\
         commanded charge air pressure|commanded turbo pressure|commanded turbo boost|\
         bp commanded",
    ),
    name(
        "meter_air_temp_c",
        "mass air flow temperature|air flow temperature|air meter temperature|\
         meter air temperature|air flow meter temperature|intake air temperature meter|\
         intake air mass flow temperature",
    ),
    name(
        "intake_temp_c",
        "intake temperature|intake air temperature|intake air|charge temperature|\
         charge air temperature|manifold temperature|manifold air temperature|\
         intake manifold temperature|intake air temperature 2|intake temperature 2|\
         charge air cooler temperature",
    ),
    name(
        "coolant_temp_c",
        "coolant temperature|engine coolant temperature|water temperature|coolant",
    ),
    name(
        "ambient_temp_c",
        "ambient temperature|ambient air temperature|outside temperature|\
         outside air temperature",
    ),
    name(
        "ambient_kpa",
        "ambient pressure|barometric pressure|barometric|barometer|ambient air pressure",
    ),
    name("short_trim_pct", "short trim|short fuel trim|short ft"),
    name("long_trim_pct", "long trim|long fuel trim|long ft"),
    name("fuel_trim_pct", "fuel trim|total fuel trim|total trim"),
    name(
        "lambda_sensor",
        "lambda|air fuel ratio|afr|afr ratio|equivalence ratio lambda|\
         equivalence ratio lambda wide range oxygen|wideband|wideband lambda|\
         wideband afr|wideband air fuel ratio|wideband o2|wideband oxygen|wide band|\
         wide band lambda|wide band afr|air fuel equivalence ratio|\
         air fuel equivalence ratio lambda|o2 afr|o2 lambda|exhaust lambda|eq rat11",
    ),
    name(
        "commanded_lambda",
        "commanded lambda|commanded afr|commanded air fuel ratio|\
         commanded equivalence ratio|fuel air commanded equivalence ratio|\
         commanded wideband|eq rat",
    ),
    name(
        "wastegate_solenoid_duty_pct",
        "wastegate duty|boost duty|boost control duty|boost control|boost solenoid duty|\
         wastegate solenoid duty|wastegate control|wastegate control duty|\
         boost control solenoid|boost control solenoid duty|wastegate control solenoid duty",
    ),
    name("wastegate_pct", "wastegate"),
    name(
        "shaft_krpm",
        "turbo speed|turbine speed|shaft speed|turbo shaft speed|compressor speed|\
         turbo rpm",
    ),
    with(
        "shaft_krpm",
        Dimension::AngularSpeed,
        "turbo|turbine|shaft|compressor",
    ),
    name(
        "calculated_load_pct",
        "calculated load|engine load|load|calculated engine load|load pct",
    ),
    name("absolute_load_pct", "absolute load|load abs"),
    with(
        "torque_nm",
        Dimension::Torque,
        "torque|engine torque|crankshaft torque",
    ),
    with("power_kw", Dimension::Power, "power|engine power"),
    with("fuel_g_s", Dimension::MassFlow, "fuel|fuel flow"),
    name(
        "exhaust_temp_c",
        "exhaust temperature|exhaust gas temperature",
    ),
    name(
        "exhaust_pressure_kpa",
        "exhaust pressure|exhaust manifold pressure|exhaust back pressure|back pressure",
    ),
    name("crankcase_kpa", "crankcase pressure"),
    name("gear", "gear|gear engaged|gear number|selected gear"),
];

/// Words that only a log of a diesel has: its particulate filter, its glow plugs.
pub(super) const DIESEL: &[&str] = &["diesel", "dpf", "soot", "glow"];

/// What the column of time is called.
pub(super) const TIMES: &[&str] = &[
    "time",
    "timestamp",
    "time stamp",
    "elapsed time",
    "elapsed",
    "log time",
    "clock",
    "t",
    "time day",
    "seconds",
    "date time",
];
