//! The words that the program uses, once each: name, meaning, and the standard that has a term for
//! it. Wording of the standards is in meaning, not checked against their text.

use super::entry::{Entry, Standard, both, split};
use Standard::{Gum, Iso6358, J1930, J1979, J2012, Trade};

/// All of them, in groups.
pub(super) const TERMS: &[(&str, &[Entry])] = &[
    (
        "Air and its measurement",
        &[
            both(
                "mass air flow (MAF) sensor",
                J1930,
                "mass air flow sensor",
                "Counts the air that enters behind the filter, in grams per second.",
            ),
            both(
                "metered air",
                J1979,
                "air flow rate from mass air flow sensor",
                "Air as the engine computer counts it: by its sensor, or from manifold pressure.",
            ),
            both(
                "unmetered air",
                Trade,
                "",
                "Air that gets into the intake behind the mass air flow sensor, so that nothing counts it.",
            ),
            both(
                "metering error",
                Trade,
                "",
                "Air that reaches the engine divided by metered air, minus 1; positive means lean before any trim.",
            ),
            both(
                "speed density",
                Trade,
                "",
                "Counting air by manifold pressure, temperature and engine speed, without an air flow sensor.",
            ),
            split(
                ["intake manifold", "inlet manifold"],
                J1930,
                "intake manifold",
                "Between throttle and cylinder head. Below ambient at idle, above it under boost.",
            ),
            both(
                "manifold absolute pressure (MAP)",
                J1979,
                "intake manifold absolute pressure",
                "Counted from vacuum: at idle some 25 to 40 kPa; with the engine standing, the pressure of the surrounding air.",
            ),
            both(
                "boost",
                Trade,
                "",
                "Pressure before the throttle above that of the surrounding air.",
            ),
            both(
                "gauge, abs",
                Trade,
                "",
                "Said after a pressure: counted from the surrounding air, or from vacuum. Never guessed.",
            ),
            both(
                "volumetric efficiency",
                Trade,
                "",
                "Air that a cycle takes in, divided by what would fill the cylinders at manifold conditions. `filling` in vehicle files.",
            ),
            both(
                "absolute load",
                J1979,
                "absolute load value",
                "Air of a cycle divided by what would fill the cylinders at a standard density; above 100 % under boost.",
            ),
            both(
                "calculated load",
                J1979,
                "calculated load value",
                "Present air flow divided by the largest at this speed, corrected for the surrounding air.",
            ),
        ],
    ),
    (
        "Turbocharger and its ducts",
        &[
            both(
                "turbocharger",
                J1930,
                "turbocharger",
                "Compressor in the intake and turbine in the exhaust on one shaft.",
            ),
            split(
                ["intake duct", "inlet duct"],
                Trade,
                "",
                "From the mass air flow sensor to the compressor; a little below ambient. `inlet_duct` in files.",
            ),
            both(
                "charge air cooler",
                J1930,
                "charge air cooler",
                "Cools the air between compressor and throttle.",
            ),
            both(
                "hot pipe, cold pipe",
                Trade,
                "",
                "The ducts before and behind the charge air cooler.",
            ),
            both(
                "compressor bypass (recirculation) valve",
                J1930,
                "compressor bypass valve",
                "Lets boost back to the inlet of the compressor, or out, when the throttle shuts. Not exhaust gas recirculation (EGR).",
            ),
            both(
                "wastegate",
                J1930,
                "wastegate",
                "Leads exhaust past the turbine, and so limits boost.",
            ),
            both(
                "wastegate solenoid duty",
                J1930,
                "wastegate regulating valve, duty",
                "Share of the time in which the solenoid bleeds the pressure that opens the wastegate: 0 % least boost, 100 % most. Never below 0.",
            ),
            both(
                "surge margin",
                Trade,
                "",
                "Flow through the compressor divided by that at its surge line, at the same speed; below 1 it surges.",
            ),
            split(
                ["muffler", "silencer"],
                J1930,
                "muffler",
                "Taken together with the catalyst as one resistance of the exhaust. `silencer` in files.",
            ),
        ],
    ),
    (
        "Crankcase",
        &[
            both(
                "blow-by",
                Trade,
                "",
                "Gas that passes the piston rings into the crankcase; returned to the intake.",
            ),
            both(
                "crankcase ventilation (PCV) valve",
                J1930,
                "positive crankcase ventilation (PCV) valve",
                "Lets crankcase gas into the manifold at idle, and must shut under boost.",
            ),
            both(
                "breather union",
                Trade,
                "",
                "Where the crankcase breather joins the duct before the compressor.",
            ),
        ],
    ),
    (
        "Mixture",
        &[
            split(
                ["gasoline", "petrol"],
                Trade,
                "",
                "The fuel of these engines.",
            ),
            both(
                "lambda",
                J1979,
                "equivalence ratio (lambda)",
                "Air divided by what the fuel needs: above 1 lean, below 1 rich.",
            ),
            both(
                "commanded lambda",
                J1979,
                "commanded equivalence ratio",
                "What the engine computer aims at.",
            ),
            both(
                "oxygen sensor",
                J1930,
                "oxygen sensor, heated oxygen sensor",
                "Reads lambda in the exhaust.",
            ),
            both(
                "short-term fuel trim",
                J1979,
                "short term fuel trim",
                "Fuel added or taken away at once so that the oxygen sensor reads what is aimed at; positive adds.",
            ),
            both(
                "long-term fuel trim",
                J1979,
                "long term fuel trim",
                "What the short-term trim had to do for long, learnt and kept.",
            ),
            both(
                "closed loop, open loop",
                J1979,
                "fuel system status: closed loop, open loop",
                "With the oxygen sensor correcting the fuel, and without: at full load as a rule.",
            ),
            both(
                "brake specific fuel consumption (BSFC)",
                Trade,
                "",
                "Fuel for each kilowatt hour at the crankshaft.",
            ),
            split(
                ["deceleration fuel cutoff", "overrun fuel cut"],
                Trade,
                "",
                "No fuel while the car drives the engine.",
            ),
        ],
    ),
    (
        "Engine computer and scan tool",
        &[
            both(
                "engine computer",
                J1930,
                "engine control module, powertrain control module",
                "Meters fuel, spark, boost and idle, and watches itself.",
            ),
            both(
                "diagnostic connector",
                J1930,
                "data link connector",
                "Where a scan tool is connected.",
            ),
            both(
                "scan-tool readings",
                J1979,
                "current powertrain diagnostic data",
                "What the engine computer gives out at the diagnostic connector.",
            ),
            both(
                "trouble code",
                J2012,
                "diagnostic trouble code",
                "P and four figures: which monitor found something. What to look at, not what to replace.",
            ),
            both(
                "monitor",
                J1979,
                "on-board monitoring",
                "A comparison that the engine computer makes while it runs; beyond its threshold for its time it sets a code.",
            ),
            both(
                "accelerator pedal position",
                J1979,
                "accelerator pedal position",
                "What the driver asks for; the engine computer turns the throttle.",
            ),
            split(
                ["wide open throttle, full load", "full load"],
                Trade,
                "",
                "The pedal all the way down.",
            ),
        ],
    ),
    (
        "Leaks and flow",
        &[
            both(
                "sharp-edged hole",
                Iso6358,
                "",
                "A round hole in a thin wall. Every leak is also given as the sharp-edged hole that passes as much.",
            ),
            both(
                "sonic conductance C",
                Iso6358,
                "sonic conductance",
                "Choked flow through a part divided by the pressure before it, at reference conditions.",
            ),
            both(
                "critical back-pressure ratio b",
                Iso6358,
                "critical back-pressure ratio",
                "Pressure behind divided by pressure before, below which flow no longer grows.",
            ),
            both(
                "pressure-decay test",
                Trade,
                "",
                "A closed section is filled and its gauge watched; the fall tells the size of the hole.",
            ),
            both(
                "smoke test",
                Trade,
                "",
                "Smoke at very low pressure shows where air gets out.",
            ),
        ],
    ),
    (
        "Numbers and how sure they are",
        &[
            both(
                "uncertainty",
                Gum,
                "uncertainty (of measurement)",
                "How far the true value may reasonably lie from what was read.",
            ),
            both(
                "standard uncertainty",
                Gum,
                "standard uncertainty",
                "Uncertainty as a standard deviation: about two of three values lie within it. `doubt` in files.",
            ),
            both(
                "90 % limits",
                Gum,
                "coverage interval",
                "The true value lies between them in nine cases of ten, one in ten may be wrong.",
            ),
            both(
                "hypothesis",
                Trade,
                "",
                "A fault that could give these readings, with its size and how probable it is.",
            ),
            both(
                "should settle",
                Trade,
                "",
                "The share of what is open between hypotheses that a test is expected to decide.",
            ),
            both(
                "healthy car",
                Trade,
                "",
                "The same car without the fault, beside which every answer is set.",
            ),
        ],
    ),
];
