//! The machines of the air path: each one a parameter struct and pure functions
//! of the gas around it. No machine knows of leaks, files or controllers.

pub mod combustion;
pub mod compressor;
pub mod cooler;
pub mod crankcase;
pub mod cylinders;
pub mod edge;
pub mod gas_stand;
pub mod recirculation;
pub mod road;
pub mod shaft;
pub mod standards;
pub mod throttle;
pub mod turbine;
pub mod wastegate;
