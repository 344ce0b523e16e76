//! How the values of a column lie, in bounded memory: ends that single bad cells do not move,
//! the median, the share within limits.

/// Values beyond which the ends are counted from, and values kept to tell shares (own choice).
const AT_AN_END: usize = 32;
const KEPT: usize = 1024;
/// Fewer values tell no outlier from a peak (own choice).
const FEW: u64 = 30;
/// Fewer values of a pedal do not stand in pairs wherever it is down (own choice).
const SPARSE: u64 = 1000;
/// One value in so many may be bad at an end, two at least (own choice).
const ONE_IN: u64 = 10_000;
const BAD: usize = 2;
/// Values at the top of a column that stand for a level which is held or returned to, and how
/// far they may lie apart, as a share of it (own choice).
const HELD: usize = 8;
const APART: f64 = 0.015;

/// The values of a column.
#[derive(Clone, Debug)]
pub(super) struct Spread {
    count: u64,
    last: f64,
    plain: [f64; 2],
    /// The least and the largest values, the outermost first.
    single: [Vec<f64>; 2],
    /// The same of pairs of values that follow each other, of which the one nearer to the others
    /// counts: a cell that lies alone is none of them.
    paired: [Vec<f64>; 2],
    /// Every `stride`-th value.
    kept: Vec<f64>,
    stride: u64,
}

impl Default for Spread {
    fn default() -> Self {
        Self {
            count: 0,
            last: f64::NAN,
            plain: [f64::INFINITY, f64::NEG_INFINITY],
            single: Default::default(),
            paired: Default::default(),
            kept: Vec::new(),
            stride: 1,
        }
    }
}

impl Spread {
    /// The next value, in the unit of the column.
    pub fn add(&mut self, value: f64) {
        self.plain = [self.plain[0].min(value), self.plain[1].max(value)];
        let [low, high] = &mut self.single;
        put(low, value, |a, b| a < b);
        put(high, value, |a, b| a > b);
        if self.count > 0 {
            let [low, high] = &mut self.paired;
            put(low, value.max(self.last), |a, b| a < b);
            put(high, value.min(self.last), |a, b| a > b);
        }
        self.last = value;
        if self.count.is_multiple_of(self.stride) {
            if self.kept.len() == KEPT {
                let mut odd = false;
                self.kept.retain(|_| {
                    odd = !odd;
                    odd
                });
                self.stride *= 2;
            }
            if self.count.is_multiple_of(self.stride) {
                self.kept.push(value);
            }
        }
        self.count += 1;
    }

    /// Least and largest value that more than a few bad cells show, in the unit of the column.
    pub fn ends(&self) -> [f64; 2] {
        self.inside(&self.single)
    }

    /// The same of what goes slowly, such as a pedal: no number of cells that lie alone moves it.
    pub fn slow_ends(&self) -> [f64; 2] {
        // With few values a pull is hardly longer than two of them.
        match self.count < SPARSE {
            true => self.ends(),
            false => self.inside(&self.paired),
        }
    }

    fn inside(&self, ends: &[Vec<f64>; 2]) -> [f64; 2] {
        if self.count < FEW {
            return self.plain;
        }
        let share = usize::try_from(self.count / ONE_IN).unwrap_or(AT_AN_END);
        let left_out = share.clamp(BAD, AT_AN_END - 1);
        let inside = |i: usize| ends[i].get(left_out).copied().unwrap_or(self.plain[i]);
        [inside(0), inside(1)]
    }

    /// The median, in the unit of the column; none where there is no value.
    pub fn median(&self) -> Option<f64> {
        let mut kept = self.kept.clone();
        kept.sort_by(f64::total_cmp);
        kept.get(kept.len().saturating_sub(1) / 2).copied()
    }

    /// Share, 0 to 1, of the values that lie within these limits, in the unit of the column.
    pub fn share(&self, [low, high]: [f64; 2]) -> f64 {
        let within = self.kept.iter().filter(|x| (low..=high).contains(*x));
        within.count() as f64 / self.kept.len().max(1) as f64
    }

    /// Whether the upper end is a level that is held or returned to rather than passed.
    pub fn is_held_at_the_top(&self) -> bool {
        let top = self.slow_ends()[1];
        let near = self.paired[1]
            .iter()
            .filter(|x| (**x - top).abs() <= APART * top);
        near.count() >= HELD
    }
}

/// Puts a value into the outermost that are kept.
fn put(end: &mut Vec<f64>, value: f64, before: impl Fn(f64, f64) -> bool) {
    if end.len() == AT_AN_END && end.last().is_none_or(|last| !before(value, *last)) {
        return;
    }
    let at = end.partition_point(|kept| !before(value, *kept));
    end.insert(at, value);
    end.truncate(AT_AN_END);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_cell_now_and_then_moves_neither_ends_nor_median() {
        let mut spread = Spread::default();
        for i in 0..200_000_u32 {
            spread.add(match i % 997 {
                500 => 0.0,
                700 => 100.0,
                _ => 20.0 + f64::from(i % 50),
            });
        }
        assert_eq!(spread.slow_ends(), [21.0, 68.0]);
        assert!((spread.median().unwrap_or(0.0) - 44.5).abs() < 3.0);
        assert!(spread.kept.len() <= KEPT && spread.kept.len() >= KEPT / 2);
        assert!((spread.share([20.0, 44.0]) - 0.5).abs() < 0.05);
    }
}
