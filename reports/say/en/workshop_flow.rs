//! `workshop flow`.

use sim::sentences;

sentences! {
    /// What was found; `hole` with its limits.
    found(flow, pressure, hole) "{flow} g/s at {pressure} kPa gauge is a sharp-edged hole of {hole}, with 90 % confidence";
    /// Of a meter of which nothing says what its volume is counted at.
    unsaid(percent) "nothing says at which pressure and temperature the meter counts its litres: the flow \
                     may be {percent:.1} % off either way, which the limits hold; `reference_pressure` and \
                     `reference_temperature` (on its plate or in its papers) make them narrower";
    /// Of smoke.
    SMOKE "Smoke fluid: only what the machine's maker names; its mist burns and harms lungs, so no \
           flames, and fresh air. Not near an open fuel line: fuel vapour burns.";
}
