//! The table: one row a test.

use super::{Act, Does, OfCar, Procedure, Protection, Test, idle, loaded, standing};
use crate::study::workshop::plan::Limit;

/// The row of a test, without its end.
pub(super) fn row(test: Test, car: &OfCar, limit: Option<Limit>) -> Procedure {
    let row = Row(Procedure {
        test,
        limit,
        protection: Vec::new(),
        cautions: Vec::new(),
        set_up: Vec::new(),
        read: Vec::new(),
        stop: Vec::new(),
        back: Vec::new(),
    });
    let row = match test {
        Test::Smoke => standing::smoke(row),
        Test::Charge => standing::charge(row, car),
        Test::Manifold => standing::manifold(row),
        Test::Inlet => standing::inlet(row),
        Test::Capsule => standing::capsule(row, car),
        Test::Chamber => standing::chamber(row),
        Test::Crankcase => standing::crankcase(row),
        Test::Exhaust => standing::exhaust(row),
        Test::Duct => standing::duct(row),
        Test::ManifoldFlow => standing::manifold_flow(row),
        Test::Filter => standing::filter(row),
        Test::Sensors => standing::sensors(row),
        Test::TurboPlay => standing::turbo(row),
        Test::Compression => standing::compression(row),
        Test::PinchVacuum => idle::vacuum(row),
        Test::PinchVentilation => idle::ventilation(row),
        Test::BlankBreather => idle::breather(row),
        Test::SwapMeter => idle::meter(row),
        Test::Fuel => idle::fuel(row),
        Test::Analyser => idle::analyser(row),
        Test::KnownHole => idle::known_hole(row),
        Test::ReadIdle => idle::read(row),
        Test::BackPressure => loaded::back_pressure(row, car),
        Test::Cooler => loaded::cooler(row, car),
        Test::ReadCruise => loaded::cruise(row, car),
        Test::ReadLoad => loaded::pull(row, car),
    };
    row.0
}

/// A row while it is written.
pub(super) struct Row(pub Procedure);

impl Row {
    /// What protects, and the dangers of the work.
    pub fn safe(mut self, protection: &[Protection], cautions: &[&str]) -> Self {
        self.0.protection.extend(protection);
        self.0
            .cautions
            .extend(cautions.iter().map(|said| said.to_string()));
        self
    }

    /// A step before the reading.
    pub fn first(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.set_up.push(Act::new(says, does));
        self
    }

    /// A step of the reading.
    pub fn read(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.read.push(Act::new(says, does));
        self
    }

    /// When to stop.
    pub fn stop(mut self, says: impl Into<String>) -> Self {
        self.0.stop.push(says.into());
        self
    }

    /// A step of its own at the end.
    pub fn back(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.back.push(Act::new(says, does));
        self
    }

    /// Highest pressure, kPa gauge, in words.
    pub fn kpa(&self) -> String {
        crate::units::round(self.0.pressure() / 1e3, 3)
    }
}
