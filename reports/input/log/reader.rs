//! A column whose numbers are read.

use crate::log::unit::{Affine, Datum, Scale};
use sim::study::knowing::log::Channel;

/// A column whose numbers are read, and what makes readings of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader {
    pub place: usize,
    pub channel: Channel,
    pub affine: Affine,
    pub scale: Scale,
    pub datum: Option<Datum>,
}
