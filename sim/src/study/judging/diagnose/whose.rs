//! Which car readings are of.

use crate::tables;

tables! {
    /// Which car the readings are of.
    pub struct ThisCar {
        /// what this very car is called: one name, the same each time it is read
        name: String or None,
        /// make or type, the same word for all sisters; left out: the `name` in the vehicle file
        make: String or None,
        /// day on which it was read, as 2026-05-03
        date: String or None,
        /// why readings that show a danger or a fault are those of a healthy car all the same
        although: String or None,
        /// how far what was so then still holds: less than 100 % after work on engine or computer
        holds: Ratio [0.0, 1.0] = 1.0,
    }
}
