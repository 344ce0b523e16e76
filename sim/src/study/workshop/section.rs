//! Pieces of a vehicle's tract that a test shuts in.

use crate::network::{Place, Vehicle};
use crate::words;

words! {
    /// Which of a vehicle's pipes are shut in.
    pub enum Section {
        /// inlet duct, hot pipe, cooler with cold pipe, manifold
        InletToManifold = "inlet_to_manifold",
        /// hot pipe, cooler with cold pipe, manifold
        CompressorToManifold = "compressor_to_manifold",
        /// hot pipe, cooler with cold pipe
        CompressorToThrottle = "compressor_to_throttle",
        /// manifold alone
        Manifold = "manifold",
    }
}

impl Section {
    /// Volume of these pipes, m³.
    pub fn volume(self, car: &Vehicle<f64>) -> f64 {
        let pressurised = car.hot_pipe.volume + car.cold_pipe.volume;
        match self {
            Section::InletToManifold => car.inlet_duct.volume + pressurised + car.manifold.volume,
            Section::CompressorToManifold => pressurised + car.manifold.volume,
            Section::CompressorToThrottle => pressurised,
            Section::Manifold => car.manifold.volume,
        }
    }

    /// Whether a leak at a place lets air out of these pipes.
    pub fn holds(self, place: Place) -> bool {
        use Place::{
            BreatherUnion, ColdPipe, CoolerTank, HotPipe, InletDuct, ManifoldGasket,
            RecirculationCover, RecirculationDiaphragm, RecirculationSeat, VacuumLine,
            VentilationValve, WastegateSignal,
        };
        let inlet = matches!(place, InletDuct | BreatherUnion);
        // The signal chamber of the compressor bypass valve hangs on the manifold.
        let manifold = matches!(
            place,
            ManifoldGasket | VacuumLine | VentilationValve | RecirculationCover
        );
        let charge = matches!(place, HotPipe | CoolerTank | ColdPipe | WastegateSignal);
        // What passes seat or diaphragm is lost only where the far side is open.
        let (seat, diaphragm) = (RecirculationSeat == place, RecirculationDiaphragm == place);
        match self {
            Section::InletToManifold => inlet || charge || manifold,
            Section::CompressorToManifold => charge || manifold || seat || diaphragm,
            Section::CompressorToThrottle => charge || seat,
            Section::Manifold => manifold || diaphragm,
        }
    }
}
