//! UTF-16 as UTF-8, piece by piece.

use std::io::{Read, Result};

/// Bytes read at once.
const PIECE: usize = 1 << 16;

/// Text in UTF-16 behind its mark.
pub(super) struct Utf16<R> {
    from: R,
    /// The byte that counts more comes first.
    big: bool,
    /// What is left of the last piece: half a character at most.
    left: Vec<u8>,
    text: Vec<u8>,
    at: usize,
}

impl<R: Read> Utf16<R> {
    /// Text of which `from` gives what follows the mark.
    pub fn new(from: R, big: bool) -> Self {
        Self {
            from,
            big,
            left: Vec::new(),
            text: Vec::new(),
            at: 0,
        }
    }

    /// Whether text of these first bytes is in it, and which byte comes first.
    pub fn begins(start: &[u8]) -> Option<bool> {
        match start {
            [0xFF, 0xFE, ..] => Some(false),
            [0xFE, 0xFF, ..] => Some(true),
            _ => None,
        }
    }

    /// The next piece; false at the end.
    fn fill(&mut self) -> Result<bool> {
        let kept = self.left.len();
        self.left.resize(kept + PIECE, 0);
        let read = self.from.read(&mut self.left[kept..])?;
        self.left.truncate(kept + read);
        let pairs = self.left.chunks_exact(2);
        let mut units: Vec<u16> = pairs
            .map(|pair| match self.big {
                true => u16::from_be_bytes([pair[0], pair[1]]),
                false => u16::from_le_bytes([pair[0], pair[1]]),
            })
            .collect();
        // The first half of a pair waits for its second.
        let half = |unit: &u16| (0xD800..0xDC00).contains(unit);
        if read > 0 && units.last().is_some_and(half) {
            units.pop();
        }
        self.left.drain(..2 * units.len());
        let read_as = char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER));
        self.text = read_as.collect::<String>().into_bytes();
        self.at = 0;
        Ok(read > 0)
    }
}

impl<R: Read> Read for Utf16<R> {
    fn read(&mut self, to: &mut [u8]) -> Result<usize> {
        while self.at == self.text.len() {
            if !self.fill()? && self.text.is_empty() {
                return Ok(0);
            }
        }
        let piece = &self.text[self.at..];
        let count = piece.len().min(to.len());
        to[..count].copy_from_slice(&piece[..count]);
        self.at += count;
        Ok(count)
    }
}
