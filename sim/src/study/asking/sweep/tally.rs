//! What many cases come to: mean and range of a reading, over an axis, and how much of its
//! variance each axis accounts for. Bounded memory, one value at a time.

use serde::Serialize;

/// Values seen: how many, their mean and range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tally {
    /// How many.
    pub count: u64,
    /// Mean; not a number while there is none.
    pub mean: f64,
    /// Sum of squared distances from the mean. Source: `welford1962`.
    #[serde(skip)]
    pub squares: f64,
    /// Smallest.
    pub low: f64,
    /// Largest.
    pub high: f64,
}

impl Default for Tally {
    fn default() -> Self {
        Self {
            count: 0,
            mean: f64::NAN,
            squares: 0.0,
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
        }
    }
}

impl Tally {
    /// Counts a value in; one that is not finite is left out.
    pub fn add(&mut self, value: f64) {
        if !value.is_finite() {
            return;
        }
        self.count += 1;
        let before = if self.count == 1 { value } else { self.mean };
        self.mean = before + (value - before) / self.count as f64;
        self.squares += (value - before) * (value - self.mean);
        self.low = self.low.min(value);
        self.high = self.high.max(value);
    }

    /// Whether the values differ by more than a solver's rounding.
    pub fn varies(&self) -> bool {
        self.high - self.low > 1e-7 * self.high.abs().max(self.low.abs())
    }
}

/// Where values of an axis are put: each by itself, or into ranges of equal width.
#[derive(Clone, Debug, PartialEq)]
pub enum Bins {
    /// Words, each by itself.
    Words(Vec<String>),
    /// Few numbers, each by itself, in order.
    Each(Vec<f64>),
    /// Many numbers: from, to, how many ranges.
    Ranges(f64, f64, usize),
}

/// Most values that stand each by itself.
const MOST: usize = 24;
/// Ranges of an axis that has more.
const RANGES: usize = 16;

/// Values of an axis while they are looked through for the first time.
#[derive(Clone, Debug)]
pub struct Look {
    words: Vec<String>,
    numbers: Vec<f64>,
    all: Tally,
    text: bool,
}

impl Look {
    /// At an axis of words, or of numbers.
    pub fn new(text: bool) -> Self {
        Self {
            words: Vec::new(),
            numbers: Vec::new(),
            all: Tally::default(),
            text,
        }
    }

    /// Looks at one value.
    pub fn see(&mut self, value: &str) {
        if self.text {
            if self.words.len() <= MOST && !self.words.iter().any(|word| word == value) {
                self.words.push(value.into());
            }
        } else if let Ok(number) = value.parse::<f64>() {
            self.all.add(number);
            if self.numbers.len() <= MOST
                && let Err(at) = self.numbers.binary_search_by(|n| n.total_cmp(&number))
            {
                self.numbers.insert(at, number);
            }
        }
    }

    /// The bins; none where words are too many.
    pub fn bins(self) -> Option<Bins> {
        match (self.text, self.words.len(), self.numbers.len()) {
            (true, count, _) => (count <= MOST).then_some(Bins::Words(self.words)),
            (false, _, count) if count <= MOST => Some(Bins::Each(self.numbers)),
            _ => Some(Bins::Ranges(self.all.low, self.all.high, RANGES)),
        }
    }
}

impl Bins {
    /// How many.
    pub fn len(&self) -> usize {
        match self {
            Bins::Words(words) => words.len(),
            Bins::Each(numbers) => numbers.len(),
            Bins::Ranges(_, _, count) => *count,
        }
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The bin of a value; none where it fits none.
    pub fn of(&self, value: &str) -> Option<usize> {
        match self {
            Bins::Words(words) => words.iter().position(|word| word == value),
            Bins::Each(numbers) => {
                let number: f64 = value.parse().ok()?;
                numbers.binary_search_by(|n| n.total_cmp(&number)).ok()
            }
            Bins::Ranges(from, to, count) => {
                let number: f64 = value.parse().ok()?;
                let share = (number - from) / (to - from);
                (0.0..=1.0)
                    .contains(&share)
                    .then(|| ((share * *count as f64) as usize).min(count - 1))
            }
        }
    }

    /// Middle of a bin of numbers.
    pub fn middle(&self, bin: usize) -> Option<f64> {
        match self {
            Bins::Words(_) => None,
            Bins::Each(numbers) => numbers.get(bin).copied(),
            Bins::Ranges(from, to, count) => {
                Some(from + (to - from) * (bin as f64 + 0.5) / *count as f64)
            }
        }
    }

    /// Name of a bin of words.
    pub fn word(&self, bin: usize) -> Option<&str> {
        match self {
            Bins::Words(words) => words.get(bin).map(String::as_str),
            _ => None,
        }
    }
}

/// Share of a reading's variance that lies between the bins of an axis and not within them:
/// the correlation ratio, which estimates the first-order index of variance. 0 to 1; none where
/// nothing varies. With few values in a bin it reads high by about bins over values; it misses
/// what happens within a bin.
/// Source: `saltelli2008`, ch. 4.
pub fn share(all: &Tally, bins: &[Tally]) -> Option<f64> {
    let between = bins.iter().filter(|bin| bin.count > 0).map(|bin| {
        let off = bin.mean - all.mean;
        bin.count as f64 * off * off
    });
    all.varies()
        .then(|| (between.sum::<f64>() / all.squares).clamp(0.0, 1.0))
}
