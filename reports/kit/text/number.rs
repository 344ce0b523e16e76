//! Numbers and names as people read them.

/// A number with so many decimals and a true minus sign; zero has none.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|c| matches!(c, '0' | '.')) => zero.into(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A number to so many significant digits (1 to 17), as short as it can be written.
pub fn digits(value: f64, digits: usize) -> String {
    let shown = format!("{value:.*e}", digits.clamp(1, 17) - 1);
    match shown.parse::<f64>() {
        Ok(0.0) | Err(_) => "0".into(),
        Ok(v) if v.is_finite() && !(1e-4..1e9).contains(&v.abs()) => format!("{v:e}"),
        Ok(v) => v.to_string(),
    }
}

/// A difference: as [`number`], with a plus sign where it is positive.
pub fn difference(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let nothing = text.chars().all(|c| matches!(c, '0' | '.'));
    match value > 0.0 && !nothing {
        true => format!("+{text}"),
        false => text,
    }
}

/// Most letters of a file's name made from words: file systems take 255 bytes.
const LONGEST: usize = 60;

/// A name for a file from any words: lower case letters, digits and `-`, at most 60.
pub fn slug(words: &str) -> String {
    let mut slug = String::new();
    for c in words.chars() {
        if slug.len() >= LONGEST {
            break;
        } else if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
    }
    slug.trim_end_matches('-').into()
}
