//! What a steady leak does to the trim of an engine that counts air with a meter:
//! closed forms, from the definition of the trim alone.

/// Trim, share, that an inward leak behind the meter asks for:
/// `leak/(engine − leak)`; flows in one unit, `leak` below `engine`.
pub fn trim_of_inward_leak(engine: f64, leak: f64) -> f64 {
    leak / (engine - leak)
}

/// Trim, share, that an outward leak behind the meter asks for: `−leak/(engine + leak)`.
pub fn trim_of_outward_leak(engine: f64, leak: f64) -> f64 {
    -leak / (engine + leak)
}
