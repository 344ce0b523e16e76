//! Roots in one number: by halves, by false position, by Newton's method inside a bracket.

/// The border, to `halvings` halves of `low` to `high`, below which `below` holds and above which
/// it does not: the ends of the last half, between them.
///
/// # Errors
/// Those of the question.
pub fn try_border<E>(
    (mut low, mut high): (f64, f64),
    halvings: usize,
    mut below: impl FnMut(f64) -> Result<bool, E>,
) -> Result<(f64, f64), E> {
    for _ in 0..halvings {
        let middle = 0.5 * (low + high);
        match below(middle)? {
            true => low = middle,
            false => high = middle,
        }
    }
    Ok((low, high))
}

/// [`try_border`] of a question that always has an answer.
pub fn border(ends: (f64, f64), halvings: usize, mut below: impl FnMut(f64) -> bool) -> (f64, f64) {
    let asked = try_border(ends, halvings, |x| {
        Ok::<_, std::convert::Infallible>(below(x))
    });
    match asked {
        Ok(ends) => ends,
    }
}

/// A bracket around a root, closed in on by false position in its Illinois form: an end that is
/// kept twice counts half (`dowell1971`).
#[derive(Clone, Copy, Debug)]
pub struct Bracket {
    /// Where the function is one sign: number and value.
    pub low: (f64, f64),
    /// Where it is the other.
    pub high: (f64, f64),
    /// The end that moved last.
    moved: Option<End>,
}

/// An end of a bracket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The first.
    Low,
    /// The second.
    High,
}

impl Bracket {
    /// Two numbers at which the function has different signs; `moved` is the one asked last, if
    /// the other stood still before.
    pub fn new(low: (f64, f64), high: (f64, f64), moved: Option<End>) -> Self {
        Self { low, high, moved }
    }

    /// Where the line through both ends crosses zero; the middle where it does not.
    pub fn guess(&self) -> f64 {
        let ((a, fa), (b, fb)) = (self.low, self.high);
        let crossing = a + (b - a) * fa / (fa - fb);
        match crossing.is_finite() {
            true => crossing,
            false => 0.5 * (a + b),
        }
    }

    /// Takes the function's value at a number inside: which end that becomes.
    pub fn take(&mut self, at: f64, value: f64) -> End {
        let end = match (value > 0.0) == (self.low.1 > 0.0) {
            true => End::Low,
            false => End::High,
        };
        let again = self.moved == Some(end);
        let (moving, kept) = match end {
            End::Low => (&mut self.low, &mut self.high),
            End::High => (&mut self.high, &mut self.low),
        };
        *moving = (at, value);
        if again {
            kept.1 *= 0.5;
        }
        self.moved = Some(end);
        end
    }

    /// How far apart its ends are.
    pub fn width(&self) -> f64 {
        (self.high.0 - self.low.0).abs()
    }
}

/// The root between `from`, where the function is negative, and `to`, where it is not, of a
/// function that gives value and slope: Newton's method from `start`, by halves where that would
/// leave the bracket; to the share `close` of its size, in at most `most` steps.
pub fn newton_inside(
    (mut from, mut to): (f64, f64),
    start: f64,
    close: f64,
    most: usize,
    mut function: impl FnMut(f64) -> (f64, f64),
) -> f64 {
    let inside = |x: f64, from: f64, to: f64| match x > from.min(to) && x < from.max(to) {
        true => x,
        false => 0.5 * (from + to),
    };
    let mut x = inside(start, from, to);
    for _ in 0..most {
        let (value, slope) = function(x);
        if value >= 0.0 {
            to = x;
        } else {
            from = x;
        }
        let next = inside(x - value / slope, from, to);
        let close = close * to.abs().max(from.abs());
        if (next - x).abs() <= close || (to - from).abs() <= close {
            return next;
        }
        x = next;
    }
    to
}

#[cfg(test)]
mod tests {
    use super::{Bracket, border, newton_inside};

    // Roots known in closed form.
    #[test]
    fn every_way_finds_the_root_of_two() {
        let root = 2f64.sqrt();
        let (low, high) = border((0.0, 2.0), 60, |x| x * x < 2.0);
        assert!(low <= root && root <= high && high - low < 1e-15);
        let mut bracket = Bracket::new((0.0, -2.0), (2.0, 2.0), None);
        let mut asked = 0;
        while bracket.width() > 1e-12 && asked < 60 {
            let x = bracket.guess();
            if (x * x - 2.0).abs() < 1e-14 {
                break;
            }
            bracket.take(x, x * x - 2.0);
            asked += 1;
        }
        assert!((bracket.guess() - root).abs() < 1e-12 && asked < 15);
        let found = newton_inside((0.0, 2.0), 5.0, 1e-14, 50, |x| (x * x - 2.0, 2.0 * x));
        assert!((found - root).abs() < 1e-13);
        // Downwards as well: `from` may be the larger number.
        let found = newton_inside((2.0, 0.0), 1.0, 1e-14, 50, |x| (2.0 - x * x, -2.0 * x));
        assert!((found - root).abs() < 1e-13);
    }

    // A slope of zero must not end the search.
    #[test]
    fn a_flat_start_is_halved() {
        let found = newton_inside((-1.0, 2.0), 0.0, 1e-14, 80, |x| {
            (x * x * x - 1.0, 3.0 * x * x)
        });
        assert!((found - 1.0).abs() < 1e-13);
    }
}
