//! `workshop flow`.

use sim::sentences;

sentences! {
    /// What was found; `hole` with its limits.
    found(flow, pressure, hole) "{flow} g/s at {pressure} kPa gauge is a sharp-edged hole of {hole}, with 90 % confidence";
    /// Of smoke.
    SMOKE "Smoke fluid: only what the machine's maker names; its mist burns and harms lungs, so no \
           flames, and fresh air. Not near an open fuel line: fuel vapour burns.";
}
