//! The number at the start of a quantity.

use super::{Dimension, expected};
use crate::spelling::quote;

/// Splits text into its number and the rest.
pub(super) fn split(text: &str, dimension: Dimension) -> Result<(f64, &str), String> {
    let trimmed = text.trim();
    // A minus sign as typeset, U+2212, is taken for the hyphen of keyboards.
    let body = trimmed.strip_prefix(['-', '+', '\u{2212}']);
    let negative = trimmed.starts_with(['-', '\u{2212}']);
    let body = body.unwrap_or(trimmed);
    let length = number_length(body.as_bytes());
    let (digits, rest) = body.split_at(length);
    let Ok(number) = digits.parse::<f64>() else {
        return Err(format!(
            "{} does not start with a number; {} is needed",
            quote(trimmed),
            expected(dimension)
        ));
    };
    if rest.starts_with(',') {
        return Err(comma(trimmed));
    }
    // `1.5.2 mm`, `1_600 cc`, `5-7 mm`, `1 600 cc`; but `2 1/s` is a number and a unit.
    let fraction = rest.strip_prefix('/').map_or("", str::trim_start);
    let stuck = rest.starts_with(|c: char| ".'_+-".contains(c))
        || fraction.starts_with(|c: char| c.is_ascii_digit());
    let rest = rest.trim();
    let second = number_length(rest.as_bytes());
    if stuck || (second > 0 && !rest[second..].starts_with('/')) {
        return Err(format!(
            "{} is not one number and a unit; {} is needed",
            quote(trimmed),
            expected(dimension)
        ));
    }
    if !number.is_finite() {
        return Err(format!("{} is too large", quote(trimmed)));
    }
    Ok((if negative { -number } else { number }, rest))
}

/// How many bytes at the start are digits, a point and an exponent.
fn number_length(text: &[u8]) -> usize {
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

fn comma(text: &str) -> String {
    let point = text.replacen(',', ".", 1);
    let mut message = format!(
        "{} has a comma; decimals take a point: write {}",
        quote(text),
        quote(&point)
    );
    let after = text.split_once(',').map_or("", |(_, after)| after);
    if number_length(after.as_bytes()) >= 3 {
        message += &format!(
            ", or {} if it parts thousands",
            quote(&text.replace(',', ""))
        );
    }
    message
}
