//! Mean of a signal, and how well a short, correlated record determines it.

use super::Channel;

/// A reading at a steady condition, in the unit of its channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Average {
    /// What.
    pub channel: Channel,
    /// Mean.
    pub mean: f64,
    /// Standard deviation of single values.
    pub scatter: f64,
    /// Standard deviation of the mean, correlation and the step of the values counted in.
    /// It says nothing of an instrument that reads wrong.
    pub doubt: f64,
    /// Values.
    pub count: u64,
}

/// Count, mean and sum of squared deviations (Welford's updating, and Chan's joining).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sums {
    pub count: f64,
    pub mean: f64,
    squares: f64,
}

impl Sums {
    pub fn add(&mut self, value: f64) {
        self.count += 1.0;
        let off = value - self.mean;
        self.mean += off / self.count;
        self.squares += off * (value - self.mean);
    }

    pub fn join(&mut self, other: &Sums) {
        if other.count == 0.0 {
            return;
        }
        let count = self.count + other.count;
        let off = other.mean - self.mean;
        self.mean += off * other.count / count;
        self.squares += other.squares + off * off * self.count * other.count / count;
        self.count = count;
    }

    pub fn variance(&self) -> f64 {
        if self.count < 2.0 {
            return 0.0;
        }
        self.squares / (self.count - 1.0)
    }
}

/// The average of a signal given as one [`Sums`] a block; none without a value.
///
/// Values close in time are alike, so the doubt comes from the means of blocks (batch
/// means), with what their own lag-one correlation r adds, `(1 + r)/(1 − r)`. A record
/// that shows one value only is known to within its `step`: `step/√12`.
/// Limits: a drift slower than the window is not seen.
pub(super) fn average(channel: Channel, blocks: &[&Sums], step: f64) -> Option<Average> {
    let mut all = Sums::default();
    let mut means = Sums::default();
    let filled = || blocks.iter().filter(|block| block.count > 0.0);
    for block in filled() {
        all.join(block);
        means.add(block.mean);
    }
    if all.count == 0.0 {
        return None;
    }
    let off: Vec<f64> = filled().map(|block| block.mean - means.mean).collect();
    let lagged: f64 = off.windows(2).map(|pair| pair[0] * pair[1]).sum();
    let square: f64 = off.iter().map(|x| x * x).sum();
    let r = if square > 0.0 {
        (lagged / square).clamp(0.0, 0.8)
    } else {
        0.0
    };
    let by_blocks = means.variance() / means.count.max(1.0) * (1.0 + r) / (1.0 - r);
    // One block tells nothing of the scatter between blocks: its values count as one.
    let scatter = all.variance();
    let by_blocks = if means.count < 2.0 {
        scatter
    } else {
        by_blocks
    };
    let step = step * step / 12.0;
    let stepped = if scatter < step {
        step
    } else {
        step / all.count
    };
    Some(Average {
        channel,
        mean: all.mean,
        scatter: scatter.sqrt(),
        doubt: (by_blocks + stepped).sqrt(),
        count: all.count as u64,
    })
}
