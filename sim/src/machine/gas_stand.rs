//! From the table of a gas stand to the coefficients of a compressor or turbine.
//!
//! A table states flow and speed *corrected* to reference conditions (SAE J1826,
//! from memory); at those very conditions they are the true flow and speed, so
//! the machine's own equations are run there and their coefficients are fitted
//! by least squares with exact derivatives.

mod compressor;
mod least_squares;
mod turbine;

pub use compressor::{CompressorPoint, CompressorTable, Unseen};
pub use least_squares::{Solution, least_squares};
pub use turbine::{TurbinePoint, TurbineTable};

use crate::medium::{Fuel, Medium};
use std::fmt;

/// How far the fitted law stays from the table in one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// The quantity.
    pub what: &'static str,
    /// Root mean square: relative for pressure ratio and flow, absolute for efficiency.
    pub rms: f64,
    /// Largest, with its sign (law less table).
    pub worst: f64,
    /// Index of the point where it is largest.
    pub worst_point: usize,
}

/// One fitted coefficient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficient {
    /// Its key in a vehicle file.
    pub name: &'static str,
    /// SI.
    pub value: f64,
    /// Standard error from the scatter of the points; NaN where they do not tell, 0 at a limit.
    pub doubt: f64,
}

/// How good a fit is.
#[derive(Clone, Debug, PartialEq)]
pub struct Quality {
    /// Points in the table.
    pub points: usize,
    /// Pressure ratio (or flow), then efficiency.
    pub deviations: [Deviation; 2],
    /// Points the fitted machine does not run at: left of its surge line, beyond
    /// its zero-head flow, or beyond the blade-speed ratio of zero efficiency.
    pub outside: Vec<usize>,
    /// Every fitted coefficient.
    pub coefficients: Vec<Coefficient>,
}

impl fmt::Display for Quality {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        writeln!(f, "{} points", self.points)?;
        for d in &self.deviations {
            writeln!(
                f,
                "{}: rms {:.2} %, worst {:+.2} % at point {}",
                d.what,
                100.0 * d.rms,
                100.0 * d.worst,
                d.worst_point + 1
            )?;
        }
        let numbers: Vec<String> = self.outside.iter().map(|i| (i + 1).to_string()).collect();
        match numbers.as_slice() {
            [] => writeln!(f, "no point outside the fitted range")?,
            some => writeln!(f, "outside the fitted range: point {}", some.join(", "))?,
        }
        for c in &self.coefficients {
            writeln!(f, "{} = {:.4e} ± {:.1e}", c.name, c.value, c.doubt)?;
        }
        Ok(())
    }
}

/// A quantity of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Corrected flow.
    Flow,
    /// Pressure ratio of a compressor.
    PressureRatio,
    /// Expansion ratio of a turbine.
    ExpansionRatio,
    /// Efficiency.
    Efficiency,
    /// Corrected speed of a compressor.
    Speed,
    /// Blade-speed ratio of a turbine.
    BladeSpeedRatio,
}

impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(match self {
            Column::Flow => "flow",
            Column::PressureRatio => "pressure ratio",
            Column::ExpansionRatio => "expansion ratio",
            Column::Efficiency => "efficiency",
            Column::Speed => "speed",
            Column::BladeSpeedRatio => "blade-speed ratio",
        })
    }
}

/// Why a table cannot be fitted.
#[derive(Clone, Debug, PartialEq)]
pub enum Unfit {
    /// Fewer points than coefficients.
    TooFewPoints {
        /// How many there are.
        found: usize,
        /// How many it takes.
        needed: usize,
    },
    /// A number that cannot be.
    BadPoint {
        /// Index in the table.
        point: usize,
        /// The quantity that is wrong.
        column: Column,
        /// What it must be.
        allowed: &'static str,
    },
    /// Reference conditions or wheel diameter that cannot be.
    BadReference,
    /// Points spread too little to tell the coefficients apart.
    TooLittleSpread {
        /// The quantity that must be varied more.
        column: Column,
    },
    /// The law cannot be computed near this table.
    NoFit,
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Unfit::TooFewPoints { found, needed } => {
                write!(f, "the table has {found} points, a fit takes {needed}")
            }
            Unfit::BadPoint {
                point,
                column,
                allowed,
            } => write!(f, "point {}: {column} {allowed}", point + 1),
            Unfit::BadReference => write!(
                f,
                "reference temperature, reference pressure and wheel diameter must be above zero"
            ),
            Unfit::TooLittleSpread { column } => {
                write!(f, "the points must cover a wider range of {column}")
            }
            Unfit::NoFit => write!(f, "no coefficients fit this table"),
        }
    }
}

impl std::error::Error for Unfit {}

/// Dry air, the gas of a stand.
fn dry_air() -> Medium {
    let any_fuel = Fuel {
        hydrogen_per_carbon: 1.85,
        oxygen_per_carbon: 0.0,
        lower_heating_value: 44.0e6,
    };
    Medium::new(&any_fuel, 0.0)
}

/// Of errors that come in pairs, one of each quantity.
fn deviations(what: [&'static str; 2], errors: &[f64]) -> [Deviation; 2] {
    [0, 1].map(|k| {
        let own: Vec<f64> = errors.iter().skip(k).step_by(2).copied().collect();
        let worst = own
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let (worst_point, worst) = worst.map_or((0, 0.0), |(i, e)| (i, *e));
        let squares: f64 = own.iter().map(|e| e * e).sum();
        Deviation {
            what: what[k],
            rms: (squares / own.len() as f64).sqrt(),
            worst,
            worst_point,
        }
    })
}

fn coefficients<const K: usize>(
    names: &[&'static str; K],
    found: &Solution<K>,
) -> Vec<Coefficient> {
    (0..K)
        .map(|i| Coefficient {
            name: names[i],
            value: found.values[i],
            doubt: found.doubts[i],
        })
        .collect()
}

/// Limits of coefficients as a vehicle file has them.
fn limits<T: crate::params::Table, const K: usize>(names: &[&'static str; K]) -> [[f64; 2]; K] {
    names.map(|name| {
        let field = T::FIELDS.iter().find(|field| field.name == name);
        field.map_or([f64::NEG_INFINITY, f64::INFINITY], |f| [f.low, f.high])
    })
}

fn positive(values: &[f64]) -> bool {
    values.iter().all(|v| v.is_finite() && *v > 0.0)
}
