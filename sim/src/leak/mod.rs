//! Leak shapes (one file each) and leak places (one table).
