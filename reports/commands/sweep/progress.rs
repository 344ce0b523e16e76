//! A line on the terminal that says how far a sweep is; nothing where there is no terminal.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Time between two lines.
const PAUSE: Duration = Duration::from_millis(200);
/// Characters of the bar.
const WIDTH: u64 = 24;

/// Counts cases as they are done.
pub struct Progress {
    total: u64,
    /// Cases that were done before.
    before: u64,
    done: AtomicU64,
    start: Instant,
    /// When the line was last written; none where nobody sees it.
    shown: Option<Mutex<Instant>>,
}

impl Progress {
    /// Of so many cases, `before` are done already.
    pub fn new(total: u64, before: u64) -> Self {
        let now = Instant::now();
        Self {
            total,
            before,
            done: AtomicU64::new(0),
            start: now,
            shown: std::io::stderr().is_terminal().then(|| Mutex::new(now)),
        }
    }

    /// One more case is done.
    pub fn tick(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        // Whoever finds the line taken leaves it: it is written often enough.
        if let Some(Ok(mut shown)) = self.shown.as_ref().map(Mutex::try_lock)
            && shown.elapsed() >= PAUSE
        {
            *shown = Instant::now();
            self.show(done);
        }
    }

    /// Wipes the line.
    pub fn end(&self) {
        if self.shown.is_some() {
            let mut out = std::io::stderr().lock();
            let _ = write!(out, "\r\x1b[K").and_then(|()| out.flush());
        }
    }

    fn show(&self, done: u64) {
        let text = line(
            done,
            self.before,
            self.total,
            self.start.elapsed().as_secs_f64(),
        );
        let mut out = std::io::stderr().lock();
        // A terminal that is gone is no reason to stop.
        let _ = write!(out, "\r{text}\x1b[K").and_then(|()| out.flush());
    }
}

/// The line after `seconds` in which `done` cases came to those done `before`.
fn line(done: u64, before: u64, total: u64, seconds: f64) -> String {
    let all = (before + done).min(total);
    let filled = (WIDTH * all / total.max(1)) as usize;
    let bar = "#".repeat(filled) + &"-".repeat(WIDTH as usize - filled);
    let rate = done as f64 / seconds.max(1e-3);
    let left = (total - all) as f64 / rate.max(1e-9);
    let percent = 100 * all / total.max(1);
    format!(
        "{bar} {percent:3} %  {all}/{total} cases  {rate:.0}/s  {} left",
        clock(left)
    )
}

/// Seconds as people say them.
fn clock(seconds: f64) -> String {
    let s = seconds.ceil().min(9e9) as u64;
    match s {
        0..60 => format!("{s} s"),
        60..3600 => format!("{} min {:02} s", s / 60, s % 60),
        3600..172_800 => format!("{} h {:02} min", s / 3600, s % 3600 / 60),
        _ => format!("{} days", s / 86_400),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_how_far_how_fast_and_how_long() {
        let text = line(100, 50, 600, 10.0);
        assert_eq!(
            text,
            "######------------------  25 %  150/600 cases  10/s  45 s left"
        );
        assert_eq!(clock(3725.0), "1 h 02 min");
    }
}
