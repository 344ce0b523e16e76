//! Thousands that are parted (`2,030`, `2.030`, `2 030`), told from decimals by the whole column.

use std::ops::Range;

/// A plain whole number that a column must reach for marked ones to be more than that, and how
/// many times more it must be than the least of them read as a decimal (own choice).
const HUNDRED: f64 = 100.0;
const TIMES: f64 = 5.0;
/// Most that an engine speed in rpm can be when its thousands are read as decimals.
const TURNS: f64 = 15.0;

/// What parts thousands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    Comma,
    Point,
    /// A space of any width, an apostrophe.
    Space,
}

impl Mark {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Mark::Comma => "commas",
            Mark::Point => "points",
            Mark::Space => "spaces",
        }
    }
}

/// How a cell may be read.
enum Way {
    /// Thousands with this mark; not in doubt: two marks, two sorts of marks, a space.
    Sure(Mark),
    /// One mark before three digits: thousands, or the decimals of this number.
    Either(Mark, f64),
    /// Decimals behind this mark.
    Decimal(Mark),
    /// A whole number without marks.
    Whole(f64),
    Other,
}

fn way(cell: &[u8]) -> Way {
    let body = cell.strip_prefix(b"-").unwrap_or(cell);
    let digits = |bytes: &[u8]| bytes.iter().take_while(|b| b.is_ascii_digit()).count();
    let value = |bytes: &[u8]| -> f64 {
        let digit = |sum: f64, b: &u8| 10.0 * sum + f64::from(b - b'0');
        bytes.iter().fold(0.0, digit)
    };
    let first = digits(body);
    if first == 0 {
        return Way::Other;
    }
    if first == body.len() {
        return Way::Whole(value(body));
    }
    let Some((mark, _)) = mark(&body[first..]) else {
        return Way::Other;
    };
    let (mut at, mut groups) = (first, 0);
    while let Some((next, length)) = self::mark(&body[at..]) {
        let behind = &body[at + length..];
        if next != mark || digits(behind) != 3 {
            break;
        }
        at += length + 3;
        groups += 1;
    }
    let tail = self::mark(&body[at..]).filter(|(next, length)| {
        *next != mark
            && *next != Mark::Space
            && digits(&body[at + length..]) + at + length == body.len()
    });
    let parted = first <= 3 && body[0] != b'0' && groups > 0;
    match (parted, at == body.len(), tail) {
        (true, true, _) if groups == 1 && mark != Mark::Space => {
            Way::Either(mark, value(&body[..first]) + 1e-3 * value(&body[at - 3..]))
        }
        (true, true, _) | (true, _, Some(_)) => Way::Sure(mark),
        _ if mark != Mark::Space => Way::Decimal(mark),
        _ => Way::Other,
    }
}

/// The mark at the start of these bytes, and its length; digits must follow it.
fn mark(bytes: &[u8]) -> Option<(Mark, usize)> {
    let marks: [(&[u8], Mark); 7] = [
        (b",", Mark::Comma),
        (b".", Mark::Point),
        (b" ", Mark::Space),
        (b"'", Mark::Space),
        (b"\xA0", Mark::Space),
        ("\u{a0}".as_bytes(), Mark::Space),
        ("\u{202f}".as_bytes(), Mark::Space),
    ];
    let found = marks.iter().find(|(text, _)| bytes.starts_with(text))?;
    Some((found.1, found.0.len()))
}

/// How the cells of a column may be read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Groups {
    sure: [bool; 3],
    decimal: [bool; 3],
    /// Least and largest of what may be either, read as decimals.
    either: [[f64; 2]; 3],
    /// Largest whole number without marks.
    whole: f64,
}

impl Default for Groups {
    fn default() -> Self {
        Self {
            sure: [false; 3],
            decimal: [false; 3],
            either: [[f64::INFINITY, f64::NEG_INFINITY]; 3],
            whole: f64::NEG_INFINITY,
        }
    }
}

impl Groups {
    /// The next cell.
    pub fn add(&mut self, cell: &[u8]) {
        match way(cell) {
            Way::Sure(mark) => self.sure[mark as usize] = true,
            Way::Decimal(mark) => self.decimal[mark as usize] = true,
            Way::Either(mark, value) => {
                let [low, high] = &mut self.either[mark as usize];
                (*low, *high) = (low.min(value), high.max(value));
            }
            Way::Whole(value) => self.whole = self.whole.max(value),
            Way::Other => {}
        }
    }

    /// What parts the thousands of the column; `turns` if it is an engine speed in rpm.
    ///
    /// Where it may be decimals, whole numbers up to 999 and then 1.000 show that it is not.
    pub fn mark(&self, turns: bool) -> Option<Mark> {
        [Mark::Comma, Mark::Point, Mark::Space]
            .into_iter()
            .find(|mark| {
                let at = *mark as usize;
                let [low, high] = self.either[at];
                let goes_on = (HUNDRED..1000.0).contains(&self.whole) && low * TIMES < self.whole;
                let fast = turns && self.whole < HUNDRED && high > 0.0 && high < TURNS;
                !self.decimal[at] && (self.sure[at] || goes_on || fast)
            })
    }
}

/// Takes the marks out of a row: its cells as one line, and where each stands.
pub(super) fn without(
    (line, spans): (&[u8], &[Range<usize>]),
    marks: &[Option<Mark>],
    (to, places): (&mut Vec<u8>, &mut Vec<Range<usize>>),
) {
    to.clear();
    places.clear();
    for (i, span) in spans.iter().enumerate() {
        let cell = &line[span.clone()];
        let from = to.len();
        let own = marks.get(i).copied().flatten();
        let parted = own.filter(|own| match way(cell) {
            Way::Sure(mark) | Way::Either(mark, _) => mark == *own,
            _ => false,
        });
        let mut at = 0;
        while at < cell.len() {
            match mark(&cell[at..]) {
                Some((mark, length)) if parted == Some(mark) => at += length,
                _ => {
                    to.push(cell[at]);
                    at += 1;
                }
            }
        }
        places.push(from..to.len());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(cells: &[&str], turns: bool) -> Option<Mark> {
        let mut groups = Groups::default();
        cells.iter().for_each(|cell| groups.add(cell.as_bytes()));
        groups.mark(turns)
    }

    #[test]
    fn a_column_tells_thousands_from_decimals() {
        assert_eq!(told(&["647", "1,133", "2,030"], false), Some(Mark::Comma));
        assert_eq!(told(&["647", "1.133", "2.030"], false), Some(Mark::Point));
        assert_eq!(told(&["2 030"], false), Some(Mark::Space));
        assert_eq!(told(&["1,133", "2,030"], true), Some(Mark::Comma));
        assert_eq!(told(&["3.5", "2,030.5"], false), Some(Mark::Comma));
        for decimals in [
            &["0.999", "1.000"][..],
            &["1", "1.004"],
            &["100", "100.125"],
            &["1,133", "2,030"],
            &["647", "1.133", "2.5"],
            &["2 3"],
            &["14:03"],
        ] {
            assert_eq!(told(decimals, false), None, "{decimals:?}");
        }
    }
}
