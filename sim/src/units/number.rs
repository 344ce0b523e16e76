//! The number at the start of a quantity.

use super::{Dimension, UnitError};

/// Splits text into its number and the rest.
pub(super) fn split(text: &str, dimension: Dimension) -> Result<(f64, &str), UnitError> {
    let trimmed = text.trim();
    // A minus sign as typeset, U+2212, is taken for the hyphen of keyboards.
    let body = trimmed.strip_prefix(['-', '+', '\u{2212}']);
    let negative = trimmed.starts_with(['-', '\u{2212}']);
    let body = body.unwrap_or(trimmed);
    let length = number_length(body.as_bytes());
    let (digits, rest) = body.split_at(length);
    let Ok(number) = digits.parse::<f64>() else {
        return Err(UnitError::NoNumber(trimmed.into(), dimension));
    };
    if rest.starts_with(',') {
        return Err(UnitError::Comma(trimmed.into()));
    }
    // `1.5.2 mm`, `1_600 cc`, `5-7 mm`, `1 600 cc`; but `2 1/s` is a number and a unit.
    let fraction = rest.strip_prefix('/').map_or("", str::trim_start);
    let stuck = rest.starts_with(|c: char| ".'_+-".contains(c))
        || fraction.starts_with(|c: char| c.is_ascii_digit());
    let rest = rest.trim();
    let second = number_length(rest.as_bytes());
    if stuck || (second > 0 && !rest[second..].starts_with('/')) {
        return Err(UnitError::NotOneNumber(trimmed.into(), dimension));
    }
    if !number.is_finite() {
        return Err(UnitError::TooLarge(trimmed.into()));
    }
    Ok((if negative { -number } else { number }, rest))
}

/// How many bytes at the start are digits, a point and an exponent.
pub(super) fn number_length(text: &[u8]) -> usize {
    let run = |from: usize| {
        let digits = text[from..].iter().take_while(|c| c.is_ascii_digit());
        from + digits.count()
    };
    let mut end = run(0);
    if text.get(end) == Some(&b'.') {
        end = run(end + 1);
    }
    if let Some(b'e' | b'E') = text.get(end) {
        let sign = usize::from(matches!(text.get(end + 1), Some(b'+' | b'-')));
        let exponent = run((end + 1 + sign).min(text.len()));
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    end
}
