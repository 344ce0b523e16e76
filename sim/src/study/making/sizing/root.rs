//! One root in one number, within limits, of a function that costs a steady
//! point to ask.

use crate::root::{Bracket, End};

/// Where the search ended.
#[derive(Clone, Copy, Debug)]
pub(super) struct Root {
    /// The number.
    pub at: f64,
    /// What the function still misses there.
    pub miss: f64,
}

/// Most evaluations.
const MOST: usize = 40;
/// First step from the start, share of the range.
const STEP: f64 = 0.04;

/// The root in `[low, high]` of a rising `function`, searched outwards from
/// `start`: the bracket grows until the sign turns or a limit is met, then
/// false position. At a limit, the limit
/// and what it misses.
///
/// # Errors
/// Those of the function.
pub(super) fn root<E>(
    [low, high]: [f64; 2],
    start: f64,
    tolerance: f64,
    mut function: impl FnMut(f64) -> Result<f64, E>,
) -> Result<Root, E> {
    let at = start.clamp(low, high);
    let mut near = Root {
        at,
        miss: function(at)?,
    };
    let mut step = STEP * (high - low);
    let mut far;
    let mut count = 1;
    loop {
        if near.miss.abs() <= tolerance {
            return Ok(near);
        }
        let towards = if near.miss < 0.0 { step } else { -step };
        let at = (near.at + towards).clamp(low, high);
        if at == near.at {
            return Ok(near);
        }
        far = Root {
            at,
            miss: function(at)?,
        };
        count += 1;
        if far.miss * near.miss <= 0.0 {
            break;
        }
        near = far;
        step *= 2.0;
    }
    let end = |root: Root| (root.at, root.miss);
    let mut bracket = Bracket::new(end(near), end(far), Some(End::High));
    let mut last = far;
    while count < MOST && last.miss.abs() > tolerance && bracket.width() > 1e-9 * (high - low) {
        let at = bracket.guess();
        last = Root {
            at,
            miss: function(at)?,
        };
        count += 1;
        bracket.take(at, last.miss);
    }
    Ok(last)
}
