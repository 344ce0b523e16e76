//! Where a leak can be: one table. A leak at a place is one flow element from
//! its outer to its inner node; nothing else in the model knows that it exists.

use super::layout::Node;
use crate::words;

words! {
    /// Where a leak is.
    ///
    /// # Examples
    /// ```
    /// use sim::Place;
    /// assert_eq!("cold_pipe".parse(), Ok(Place::ColdPipe));
    /// // A wrong word is answered with the nearest right one.
    /// let wrong = "cold_pip".parse::<Place>().unwrap_err();
    /// assert!(wrong.to_string().contains("cold_pipe"));
    /// ```
    pub enum Place {
        /// Air box or filter, before the mass air flow (MAF) sensor (a control case: nothing is metered wrong).
        BeforeMeter = "before_meter",
        /// Duct between mass air flow sensor and turbocharger.
        InletDuct = "inlet_duct",
        /// Union of the crankcase breather at the turbocharger inlet.
        BreatherUnion = "breather_union",
        /// Seat of the compressor bypass (recirculation) valve: boost past the closed valve.
        RecirculationSeat = "recirculation_seat",
        /// Diaphragm of the compressor bypass valve: torn, the chamber above it bleeds to where the valve lets air go.
        RecirculationDiaphragm = "recirculation_diaphragm",
        /// Cover or hose of the compressor bypass valve's signal chamber, to the atmosphere.
        RecirculationCover = "recirculation_cover",
        /// Pipe between turbocharger and charge air cooler.
        HotPipe = "hot_pipe",
        /// Outlet tank of the charge air cooler.
        CoolerTank = "cooler_tank",
        /// Pipe or hose between charge air cooler and throttle.
        ColdPipe = "cold_pipe",
        /// Gasket between intake manifold and cylinder head.
        ManifoldGasket = "manifold_gasket",
        /// Vacuum line on the intake manifold.
        VacuumLine = "vacuum_line",
        /// Signal hose between boost pipe and wastegate capsule.
        WastegateSignal = "wastegate_signal",
        /// Crankcase: filler cap, dipstick, cover seal.
        Crankcase = "crankcase",
        /// Crankcase ventilation (PCV) valve stuck open: a hole from crankcase to manifold.
        VentilationValve = "ventilation_valve",
        /// Exhaust manifold or its gasket, before the turbine.
        ExhaustManifold = "exhaust_manifold",
        /// Exhaust between turbine and oxygen sensor.
        BeforeOxygenSensor = "before_oxygen_sensor",
    }
}

/// How a place is seen by the air ledger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Account {
    /// Inward flow passes the meter.
    Metered,
    /// Inward flow is unmetered air, outward flow is lost air.
    Intake,
    /// Flow inside the intake side from boost to the inlet duct.
    Recirculated,
    /// Flow inside the intake side that the ledger need not name.
    Internal,
    /// Flow between exhaust and atmosphere.
    Exhaust,
}

impl Place {
    /// Its name in words: `cold pipe`.
    pub fn label(self) -> String {
        match self {
            Place::RecirculationSeat => "bypass valve seat".into(),
            Place::RecirculationDiaphragm => "bypass valve diaphragm".into(),
            Place::RecirculationCover => "bypass valve cover".into(),
            Place::VentilationValve => "crankcase ventilation (PCV) valve".into(),
            _ => self.word().replace('_', " "),
        }
    }

    /// Outer node, inner node (positive leak flow runs outer to inner), account.
    ///
    /// `valve_outlet` is where the compressor bypass valve lets air go.
    pub fn nodes(self, valve_outlet: Node) -> (Node, Node, Account) {
        use Account::{Exhaust, Intake, Internal, Metered, Recirculated};
        use Node::Ambient;
        match self {
            Place::BeforeMeter => (Ambient, Node::Inlet, Metered),
            Place::InletDuct => (Ambient, Node::Inlet, Intake),
            Place::BreatherUnion => (Ambient, Node::Union, Intake),
            Place::RecirculationSeat if valve_outlet == Ambient => (Ambient, Node::HotPipe, Intake),
            Place::RecirculationSeat => (valve_outlet, Node::HotPipe, Recirculated),
            Place::RecirculationDiaphragm if valve_outlet == Ambient => {
                (Ambient, Node::Chamber, Intake)
            }
            Place::RecirculationDiaphragm => (valve_outlet, Node::Chamber, Recirculated),
            Place::RecirculationCover => (Ambient, Node::Chamber, Intake),
            Place::HotPipe => (Ambient, Node::HotPipe, Intake),
            Place::CoolerTank | Place::ColdPipe => (Ambient, Node::ColdPipe, Intake),
            Place::ManifoldGasket | Place::VacuumLine => (Ambient, Node::Manifold, Intake),
            Place::WastegateSignal => (Ambient, Node::Capsule, Intake),
            Place::Crankcase => (Ambient, Node::Crankcase, Intake),
            Place::VentilationValve => (Node::Crankcase, Node::Manifold, Internal),
            Place::ExhaustManifold => (Ambient, Node::Exhaust, Exhaust),
            Place::BeforeOxygenSensor => (Ambient, Node::Downpipe, Exhaust),
        }
    }
}
