//! Steps of a log's clock: the usual one, and the time that passes, jumps left out.

use sim::study::knowing::log::LONGEST_HELD;

/// Steps looked at to find the usual one.
const KEPT: usize = 20_000;
/// A step longer than this, s, and than so many usual ones is a jump, whatever the pace of
/// the log (own choice).
const PAUSE: f64 = 60.0;
const USUAL: f64 = 5.0;

/// The steps forward of a column of time, in its own unit.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    first: f64,
    last: f64,
    /// Some of the first that are not zero.
    kept: Vec<f64>,
    /// Sums of all, by the power of two that they reach.
    sums: Vec<f64>,
}

impl Steps {
    pub fn new() -> Self {
        Self {
            first: f64::NAN,
            last: f64::NAN,
            kept: Vec::new(),
            sums: vec![0.0; 0x800],
        }
    }

    /// The next time.
    pub fn add(&mut self, now: f64) {
        let step = now - self.last;
        self.last = now;
        if self.first.is_nan() {
            self.first = now;
        }
        if step > 0.0 && step.is_finite() {
            // The exponent, for a number above zero.
            self.sums[(step.to_bits() >> 52) as usize] += step;
            if self.kept.len() < KEPT {
                self.kept.push(step);
            }
        }
    }

    /// To be called once, after the last.
    pub fn finish(&mut self) {
        self.kept.sort_by(f64::total_cmp);
    }

    /// The first time; not a number where there is none.
    pub fn first(&self) -> f64 {
        self.first
    }

    /// The median; none where the time never goes on.
    pub fn usual(&self) -> Option<f64> {
        self.kept
            .get(self.kept.len().saturating_sub(1) / 2)
            .copied()
    }

    /// All steps together, s, those that are jumps left out (to within a power of two);
    /// `factor` is the seconds in the column's unit.
    pub fn elapsed(&self, factor: f64) -> f64 {
        let usual = self.usual().unwrap_or(0.0) * factor;
        let most = (USUAL * usual).clamp(PAUSE, LONGEST_HELD);
        let paced = self.sums.iter().enumerate().take_while(|(exponent, _)| {
            let least = f64::from_bits((*exponent as u64) << 52);
            least * factor <= most
        });
        paced.map(|(_, sum)| sum * factor).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wild_step_changes_neither_pace_nor_time() {
        let mut steps = Steps::new();
        for i in 0..100 {
            steps.add(f64::from(i) * 0.25);
        }
        for wild in [1e308, -1e308, f64::NAN, 1.7e9] {
            steps.add(wild);
        }
        steps.finish();
        assert_eq!(steps.usual(), Some(0.25));
        assert_eq!(steps.elapsed(1.0), 24.75);
        assert_eq!(Steps::new().usual(), None);
    }
}
