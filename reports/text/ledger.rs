//! The air ledger's lines: one table for every form of result.

use sim::network::AirLedger;

/// One line.
pub(crate) struct Line {
    /// Key in files, with the unit at its end.
    pub key: &'static str,
    /// Words in tables; empty for what only files hold.
    pub label: &'static str,
    /// Its value, g/s.
    pub of: fn(&AirLedger) -> f64,
}

const fn line(key: &'static str, label: &'static str, of: fn(&AirLedger) -> f64) -> Line {
    Line { key, label, of }
}

/// All lines, in order.
pub(crate) const LEDGER: [Line; 9] = [
    line("metered_in_g_s", "in through filter", |l| l.metered_in),
    line("unmetered_in_g_s", "in past the filter", |l| l.unmetered_in),
    line("lost_g_s", "lost to outside", |l| l.lost),
    line("recirculated_g_s", "recirculated", |l| l.recirculated),
    line("blow_by_g_s", "past the rings, back", |l| l.blow_by),
    line("engine_g_s", "into cylinders", |l| l.engine),
    line("exhaust_in_g_s", "into exhaust by leak", |l| l.exhaust_in),
    line("exhaust_lost_g_s", "out of exhaust by leak", |l| {
        l.exhaust_lost
    }),
    line("closure_g_s", "", |l| l.closure),
];
