//! The one drawing of the air path, and the colours it is drawn in: for every page that shows it.

/// Colours and sizes of type, by name.
pub const TOKENS: &str = include_str!("look/tokens.css");
/// The signs, and the drawing's pipes and parts.
pub const DRAWINGS: &str = include_str!("look/air.svg");
/// Where pipes run, what is called how, where is read: JSON.
pub const AIR_MAP: &str = include_str!("look/air.json");
/// What lays flow, pressure, names and marks over the drawing; it reads the map in `#air-path`.
pub const AIR_SCRIPT: &str = include_str!("look/air.js");
/// The drawing's style; its colours are those of [`TOKENS`].
pub const AIR_STYLE: &str = include_str!("look/air.css");
/// Pressures, kPa absolute, at which the scale has a colour of its own.
pub const PRESSURES: [u32; 8] = [30, 60, 95, 100, 130, 160, 185, 220];
