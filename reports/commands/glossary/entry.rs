//! How a term of the glossary is written.

/// A standard that a term is keyed to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Standard {
    /// Names of parts and systems.
    J1930,
    /// What a scan tool reads.
    J1979,
    /// Trouble codes.
    J2012,
    /// Flow through pneumatic parts.
    Iso6358,
    /// Guide to the expression of uncertainty in measurement.
    Gum,
    /// A word of the trade.
    Trade,
}

impl Standard {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Standard::J1930 => "SAE J1930",
            Standard::J1979 => "SAE J1979",
            Standard::J2012 => "SAE J2012",
            Standard::Iso6358 => "ISO 6358",
            Standard::Gum => "GUM",
            Standard::Trade => "",
        }
    }
}

/// A term.
pub(super) struct Entry {
    /// What it is called in the US, in the UK.
    pub names: [&'static str; 2],
    /// The standard, and its term in meaning.
    pub standard: Standard,
    pub theirs: &'static str,
    /// What it means here.
    pub meaning: &'static str,
}

pub(super) const fn both(
    name: &'static str,
    standard: Standard,
    theirs: &'static str,
    meaning: &'static str,
) -> Entry {
    split([name, name], standard, theirs, meaning)
}

pub(super) const fn split(
    names: [&'static str; 2],
    standard: Standard,
    theirs: &'static str,
    meaning: &'static str,
) -> Entry {
    Entry {
        names,
        standard,
        theirs,
        meaning,
    }
}
