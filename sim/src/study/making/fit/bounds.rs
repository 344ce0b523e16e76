//! How far a fit may move a number: what its key allows in a file, and not to another kind of car.

use crate::network::{Network, Vehicle};
use crate::params::{Described, Field, Form};
use crate::study::asking::sensitivity::{is_meant, quantities};
use crate::study::knowing::doubt::{Uncertain, Within};

/// A number that is a share of its file's own stays within a fifth and five times of it (own choice).
const TIMES: f64 = 5.0;

/// Least and most of the number of this key, in `spread`s from where it stands in `car`.
pub(super) fn bounds(car: &Network<f64>, key: &str, spread: f64) -> (f64, f64) {
    let share = Uncertain::named(key).is_some_and(|own| matches!(own.within, Within::Share(_)));
    let mut limits = (f64::NEG_INFINITY, f64::INFINITY);
    for number in quantities(car).iter().filter(|q| is_meant(key, &q.key)) {
        let now = number.value;
        let mut own = range(&number.key).unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
        if share && now > 0.0 {
            own = (own.0.max(now / TIMES), own.1.min(now * TIMES));
        }
        // What stands outside its range as it is does not have to come in.
        let [low, high] = [own.0.min(now), own.1.max(now)].map(|end| (end - now) / spread);
        limits = (limits.0.max(low), limits.1.min(high));
    }
    match Uncertain::one_way(key) {
        true => (limits.0.max(0.0), limits.1),
        false => limits,
    }
}

/// What a vehicle file allows of this key, SI.
fn range(key: &str) -> Option<(f64, f64)> {
    let mut form = Vehicle::<f64>::form();
    let mut parts = key.split('.');
    let of = |field: &Field| (field.low, field.high);
    loop {
        match form {
            Form::Quantity(field) => return Some(of(&field)),
            // The point, then 0 or 1 for the first or second of its numbers.
            Form::Curve { x, y, .. } => {
                return Some(of(if parts.nth(1)? == "0" { &x } else { &y }));
            }
            Form::Table(table) => {
                let part = parts.next()?;
                let entry = table.keys.into_iter().find(|entry| entry.name == part)?;
                form = entry.form;
            }
            _ => return None,
        }
    }
}
