//! Time of a row: seconds, milliseconds, or a clock.

use crate::log::lines::number;

/// Seconds of a clock: `14:03:12.5`, with a date before it or AM/PM behind, `mm:ss.s`;
/// with the period after which it begins again. None for anything else.
pub(super) fn clock(cell: &[u8]) -> Option<(f64, f64)> {
    if !cell.contains(&b':') || cell.len() > 40 {
        return None;
    }
    let text = std::str::from_utf8(cell).ok()?.trim();
    let (text, noon) = match text.to_ascii_lowercase() {
        t if t.ends_with("am") => (&text[..text.len() - 2], Some(0.0)),
        t if t.ends_with("pm") => (&text[..text.len() - 2], Some(12.0)),
        _ => (text, None),
    };
    let text = text.trim().trim_end_matches('Z');
    let text = text.rsplit([' ', 'T']).find(|part| part.contains(':'))?;
    let text = match text.rfind(['+', '-']) {
        Some(zone) if zone > 5 => &text[..zone],
        _ => text,
    };
    let mut parts = [0.0; 4];
    let mut count = 0;
    for part in text.split(':') {
        *parts.get_mut(count)? = number(part.as_bytes()).filter(|x| *x >= 0.0)?;
        count += 1;
    }
    match (count, noon) {
        (2, None) => Some((parts[0] * 60.0 + parts[1], 3600.0)),
        (3 | 4, _) if parts[0] < 25.0 => {
            let hour = noon.map_or(parts[0], |noon| parts[0] % 12.0 + noon);
            let split_second = parts[3] / 1000.0;
            Some((
                hour * 3600.0 + parts[1] * 60.0 + parts[2] + split_second,
                86_400.0,
            ))
        }
        _ => None,
    }
}

/// Time that runs back by less is taken as noise of the clock, s.
const JITTER: f64 = 1.0;
/// No log is as long, s: 30 years. Counted from farther off, tenths of a second would blur.
const FARTHEST: f64 = 1e9;

/// Turns the cells of a time column into seconds from the first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moments {
    /// Seconds per unit of a plain number.
    pub factor: f64,
    first: f64,
    last: f64,
    turns: f64,
    /// Rows whose time was missing, or a little before the row above.
    pub odd: u64,
    /// Rows with the time of the row above.
    pub same: u64,
    /// How often it ran back: another piece of log begins.
    pub restarts: u64,
}

impl Moments {
    /// For numbers in units of `factor` seconds.
    pub fn new(factor: f64) -> Self {
        Self {
            factor,
            first: f64::NAN,
            last: f64::NAN,
            turns: 0.0,
            odd: 0,
            same: 0,
            restarts: 0,
        }
    }

    /// The time of the next row, s, and what passed since the row above: not a number at the
    /// first. Where the cell has no time, that of the row above; none before the first.
    ///
    /// A clock that runs back behind the start, or far ahead, starts from 0 there.
    pub fn next(&mut self, cell: &[u8]) -> Option<(f64, f64)> {
        let read = match number(cell) {
            Some(value) => Some((value * self.factor, f64::INFINITY)),
            None => clock(cell),
        };
        // Before the first row there is nothing to count from.
        let start = |read: f64| {
            if self.first.is_nan() {
                read
            } else {
                self.first
            }
        };
        let time = |read: f64| read + self.turns - start(read);
        // A number may be too large for its unit.
        let Some((read, period)) = read.filter(|(read, _)| time(*read).is_finite()) else {
            self.odd += 1;
            return (!self.last.is_nan()).then_some((self.last, 0.0));
        };
        let mut time = time(read);
        self.first = start(read);
        if self.last - time > 0.5 * period {
            self.turns += period;
            time += period;
        }
        let passed = time - self.last;
        if passed < 0.0 {
            if passed > -JITTER {
                self.odd += 1;
                return Some((self.last, 0.0));
            }
            self.restarts += 1;
        }
        if !(0.0..=FARTHEST).contains(&time) {
            self.first = read + self.turns;
            time = 0.0;
        }
        self.same += u64::from(passed == 0.0);
        self.last = time;
        Some((time, passed))
    }
}
