//! English, a file a command.

pub mod across;
pub mod atlas;
pub mod classroom;
pub mod codes;
pub mod diagnose;
pub mod glossary;
pub mod head;
pub mod log;
pub mod schema;
pub mod sensitivity;
pub mod simulate;
pub mod sweep;
pub mod threshold;
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
