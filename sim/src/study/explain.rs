//! Why the readings changed, in plain sentences made from the ledger.
