//! Writing results.

pub mod card;
pub mod colour;
pub mod csv;
pub mod gas_stand;
pub mod json;
pub(crate) mod ledger;
pub mod moments;
pub mod sensitivity;
pub mod table;
pub mod threshold;
pub mod vehicle_file;
pub(crate) mod words;
pub mod wrap;
pub mod write;
