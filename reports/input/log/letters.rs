//! Letters that a wrong encoding has spoilt: UTF-8 that was read as Windows-1252 or Latin-1 and
//! saved again, once or several times (`Â°C`, `Ã‚Â°C` for `°C`).

use std::borrow::Cow;

/// What Windows-1252 has at 0x80 to 0x9F (Unicode, mapping of cp1252, from memory); the five
/// that it leaves free are those of Latin-1.
const UPPER: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}',
    '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// How often text is taken to have been spoilt at most.
const TIMES: usize = 4;

/// What was meant; the same where nothing is spoilt.
pub(super) fn repair(text: &str) -> Cow<'_, str> {
    let mut meant = Cow::Borrowed(text);
    for _ in 0..TIMES {
        match once(&meant) {
            Some(better) => meant = Cow::Owned(better),
            None => break,
        }
    }
    meant
}

/// The text whose UTF-8 bytes were read one by one; none where no such reading is possible, or
/// it is plain letters.
fn once(text: &str) -> Option<String> {
    if text.is_ascii() {
        return None;
    }
    let bytes: Option<Vec<u8>> = text.chars().map(byte).collect();
    String::from_utf8(bytes?).ok()
}

fn byte(c: char) -> Option<u8> {
    let upper = || UPPER.iter().position(|u| *u == c).map(|i| 0x80 + i as u8);
    u8::try_from(u32::from(c)).ok().or_else(upper)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_spoilt_comes_back_and_what_was_not_stays() {
        for meant in ["°C", "λ", "Öltemp [°C]", "µs", "Drehzahl ü"] {
            let mut spoilt = meant.to_string();
            for _ in 0..3 {
                assert_eq!(repair(&spoilt), meant, "{spoilt}");
                let bytes = spoilt.bytes().map(|b| match b {
                    0x80..=0x9F => UPPER[usize::from(b - 0x80)],
                    _ => char::from(b),
                });
                spoilt = bytes.collect();
            }
        }
    }
}
