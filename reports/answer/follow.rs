//! A log that grows: read again when it has grown, said again when the answer is another, until it
//! stands.

use crate::answer::gist::Gist;
use crate::answer::{Answer, Trouble};
use crate::input::{open, shelf};
use std::fs;
use std::io::Read;
use std::path::Path;
use std::time::Duration;

/// Time between two looks at the file.
pub const EVERY: Duration = Duration::from_millis(500);
/// An answer stands when so many readings of a file that grew give the same, over so many seconds of
/// the log (own choice).
pub const STANDS: (u32, f64) = (3, 60.0);

/// Said last.
pub const STOOD: &str =
    "The answer stands: it was the same three times, over a minute of the log and more.";

/// Follows the log at `path`: `read` answers, `said` prints what is new, `wait` waits for the next look
/// and says whether to go on. The last answer, which stands or after which the waiting ended.
///
/// # Errors
/// As `read`, where no answer was had before the waiting ended.
pub fn follow(
    path: &Path,
    mut read: impl FnMut() -> Result<Answer, Trouble>,
    mut said: impl FnMut(&Answer),
    mut wait: impl FnMut() -> bool,
) -> Result<Answer, Trouble> {
    let mut size = None;
    let mut last: Option<Result<Answer, Trouble>> = None;
    // What it came to first, and how often it came to the same.
    let mut since: Option<(Gist, u32)> = None;
    loop {
        let now = fs::metadata(path).map(|file| file.len()).ok();
        if now.is_some() && now != size {
            size = now;
            hold_whole_lines(path);
            match read() {
                Ok(answer) => {
                    let stands = counted(&mut since, answer.gist.as_ref());
                    let new = since.as_ref().is_none_or(|(_, count)| *count == 1);
                    if new {
                        said(&answer);
                    }
                    if stands {
                        return Ok(answer);
                    }
                    last = Some(Ok(answer));
                }
                // A log that has just begun has no answer yet: no reason to stop, or to forget one.
                Err(trouble) if !matches!(last, Some(Ok(_))) => last = Some(Err(trouble)),
                Err(_) => {}
            }
        }
        if !wait() {
            let missing = || Err(Trouble::Other(format!("{}: no such file", path.display())));
            return last.unwrap_or_else(missing);
        }
    }
}

/// Counts an answer with those before it that came to the same; whether it stands.
fn counted(since: &mut Option<(Gist, u32)>, gist: Option<&Gist>) -> bool {
    let Some(gist) = gist else {
        *since = None;
        return false;
    };
    match since
        .as_mut()
        .filter(|(first, _)| first.words == gist.words)
    {
        Some((first, count)) => {
            *count += 1;
            let long = gist.seconds - first.seconds >= STANDS.1;
            gist.decided && *count >= STANDS.0 && long
        }
        None => {
            *since = Some((gist.clone(), 1));
            false
        }
    }
}

/// Hands over what stands in the file up to its last whole line: the next may be half written.
fn hold_whole_lines(path: &Path) {
    // What was handed over before would be read again.
    shelf::hold([]);
    let mut bytes = Vec::new();
    let read = open(path).map(|mut file| file.read_to_end(&mut bytes));
    if matches!(read, Ok(Ok(_))) {
        let whole = bytes.iter().rposition(|byte| *byte == b'\n');
        bytes.truncate(whole.map_or(0, |at| at + 1));
        shelf::hold([(path.to_path_buf(), bytes)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gist(words: &str, seconds: f64, decided: bool) -> Gist {
        Gist {
            words: words.into(),
            seconds,
            decided,
        }
    }

    /// Three times the same over a minute of log, and decided; a change begins anew.
    #[test]
    fn an_answer_stands_only_after_a_minute_of_the_same() {
        let mut since = None;
        let mut stands =
            |words, seconds, decided| counted(&mut since, Some(&gist(words, seconds, decided)));
        assert!(!stands("a", 10.0, true));
        assert!(!stands("a", 40.0, true));
        assert!(!stands("b", 60.0, true));
        assert!(!stands("b", 130.0, true), "twice is not enough");
        assert!(!stands("b", 140.0, false), "not decided");
        assert!(stands("b", 150.0, true));
    }
}
