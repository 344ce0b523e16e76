//! Charts under one another over one time: on broad paper, and for a screen that is held.

use crate::figure::chart::LEAST;
use crate::figure::scene::{Scene, held_width};

/// What differs between the two, px.
pub struct Paper {
    /// Of the whole drawing.
    pub width: f64,
    /// Height of a chart.
    pub panel: f64,
    /// Left and right of a chart.
    pub margins: (f64, f64),
    /// Whether it is for a screen that is held: names stand above what they name.
    pub held: bool,
}

impl Paper {
    /// Draws on both: broad first, then held, charts so high with so much room on their right.
    pub fn both(panels: [f64; 2], rights: [f64; 2], draw: impl Fn(&Self) -> Scene) -> Scene {
        let broad = Self {
            width: 900.0,
            panel: panels[0],
            margins: (52.0, rights[0]),
            held: false,
        };
        let held = Self {
            width: held_width(LEAST),
            panel: panels[1],
            margins: (36.0, rights[1]),
            held: true,
        };
        draw(&broad).with_held(draw(&held))
    }

    /// Where a share of the time, 0 to 1, stands across the drawing, px.
    pub fn across(&self, share: f64) -> f64 {
        let (left, right) = self.margins;
        left + (self.width - left - right) * share
    }
}
