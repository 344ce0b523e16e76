//! English, a file a command.

pub mod vehicle;
pub mod vehicle_fit;
pub mod vehicle_gas_stand;
pub mod workshop;
pub mod workshop_decay;
pub mod workshop_flow;
pub mod workshop_gap;
pub mod workshop_payback;
pub mod workshop_plan;
pub mod workshop_seal;
pub mod workshop_verify;
