//! A line on the terminal that says how far a sweep is; where there is no terminal, a line now and
//! then, so that a log of the run shows that it lives.

use std::io::{IsTerminal, Write};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Time between two lines: on a terminal, in a log.
const PAUSE: [Duration; 2] = [Duration::from_millis(200), Duration::from_secs(30)];
/// Characters of the bar.
const WIDTH: u64 = 24;

/// Counts cases as they are done.
pub struct Progress {
    total: u64,
    /// Cases that were done before.
    before: u64,
    done: AtomicU64,
    start: Instant,
    /// When the line was last written.
    shown: Mutex<Instant>,
    terminal: bool,
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
            shown: Mutex::new(now),
            terminal: std::io::stderr().is_terminal(),
        }
    }

    /// One more case is done.
    pub fn tick(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed) + 1;
        // Whoever finds the line taken leaves it: it is written often enough.
        let pause = PAUSE[usize::from(!self.terminal)];
        if let Ok(mut shown) = self.shown.try_lock()
            && shown.elapsed() >= pause
        {
            *shown = Instant::now();
            self.show(done);
        }
    }

    /// Wipes the line.
    pub fn end(&self) {
        if self.terminal {
            let mut out = std::io::stderr().lock();
            let _ = write!(out, "\r\x1b[K").and_then(|()| out.flush());
        }
    }

    fn show(&self, done: u64) {
        let seconds = self.start.elapsed().as_secs_f64();
        let mut out = std::io::stderr().lock();
        let written = match self.terminal {
            true => {
                let text = bar(self.before + done, self.total)
                    + " "
                    + &line(done, self.before, self.total, seconds);
                write!(out, "\r{text}\x1b[K")
            }
            false => writeln!(
                out,
                "sweep: {}",
                line(done, self.before, self.total, seconds)
            ),
        };
        // A terminal that is gone is no reason to stop.
        let _ = written.and_then(|()| out.flush());
    }
}

fn bar(all: u64, total: u64) -> String {
    let filled = (WIDTH * all.min(total) / total.max(1)) as usize;
    "#".repeat(filled) + &"-".repeat(WIDTH as usize - filled)
}

/// The line after `seconds` in which `done` cases came to those done `before`.
fn line(done: u64, before: u64, total: u64, seconds: f64) -> String {
    let all = (before + done).min(total);
    let rate = done as f64 / seconds.max(1e-3);
    let left = (total - all) as f64 / rate.max(1e-9);
    let percent = 100 * all / total.max(1);
    format!(
        "{percent:3} %  {all}/{total} cases  {rate:.0}/s  {} left",
        clock(left)
    )
}

/// Seconds as people say them.
pub fn clock(seconds: f64) -> String {
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
        assert_eq!(text, " 25 %  150/600 cases  10/s  45 s left");
        assert_eq!(bar(150, 600), "######------------------");
        assert_eq!(clock(3725.0), "1 h 02 min");
    }
}
