//! How wide letters are. Measured with DejaVu Sans, which is wider than most sans-serif
//! faces: what has room here has room with the reader's own.

use std::sync::LazyLock;
use ttf_parser::Face;

/// Tells the drawing library the face that pictures are set in where they are made into pixels; a
/// browser, where it has faces of its own, makes none.
#[cfg(target_arch = "wasm32")]
pub(super) fn register() {}

/// Tells the drawing library the face that pictures are set in where they are made into pixels.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn register() {
    use plotters::style::{FontStyle, register_font};
    use std::sync::Once;
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // The face comes with the program; a refusal would show as a picture that cannot be made.
        let _ = register_font("sans-serif", FontStyle::Normal, dejavu::sans::regular());
        let _ = register_font("sans-serif", FontStyle::Bold, dejavu::sans::bold());
    });
}

static FACES: LazyLock<[Option<Face>; 2]> = LazyLock::new(|| {
    [dejavu::sans::regular(), dejavu::sans::bold()].map(|bytes| Face::parse(bytes, 0).ok())
});

/// Width of `text` at `size`, in the unit of `size`.
pub fn width(text: &str, size: f64, bold: bool) -> f64 {
    let Some(face) = &FACES[usize::from(bold)] else {
        return 0.65 * size * text.chars().count() as f64;
    };
    let per_em = f64::from(face.units_per_em());
    let advance = |c: char| {
        let glyph = face.glyph_index(c)?;
        face.glyph_hor_advance(glyph)
    };
    let units: f64 = (text.chars())
        .map(|c| advance(c).map_or(0.65 * per_em, f64::from))
        .sum();
    size * units / per_em
}

/// `text` cut to what has room in `room`, with a sign that it was cut.
pub fn cut(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.into();
    }
    let mut kept: String = text.into();
    while kept.pop().is_some() {
        let short = format!("{}…", kept.trim_end());
        if width(&short, size, bold) <= room {
            return short;
        }
    }
    String::new()
}

/// `text` in lines of at most `room`.
pub fn lines(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size, bold) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.into()),
        }
    }
    lines
        .iter()
        .map(|line| cut(line, size, bold, room))
        .collect()
}
