//! `workshop known-hole`.

use sim::sentences;

sentences! {
    /// What is predicted, in a sentence; a flow in g/s, a trim in points.
    predicted(hole, flow, trim) "a hole of {hole} mm lets in {flow} at idle; the fuel trim should rise by {trim}";
    /// The same where a meter does not count.
    predicted_by_pressure(hole, flow) "a hole of {hole} mm lets in {flow} at idle; air is counted by manifold pressure here, so the fuel trim should stay";
    /// What follows.
    and_means(predicted, means) "{predicted}; {means}.";
    /// Nothing read.
    only(predicted) "{predicted}.";
    /// Head of the table.
    CHANGES "What the hole should do at idle, hole open minus hole shut, with the limits of 90 % confidence, and what was read.";
    /// Head of the table.
    CALIBRATES "What the readings say by themselves: the fall of the air counted over the true flow through the hole, and the air through the meter that the trims belong to.";
    /// Head of a part.
    HOW "How it is done";
    /// Under the picture.
    ANSWERED "What was read over what was predicted: 1 is as it should be; both off alike says that the hole is not the size that was said.";
    /// Head of the picture.
    OVER "read over predicted";
    /// A caution.
    IDLE_ONLY "At idle only, car parked: this engine runs with a leak. Not on the brake servo's port. The port's own cap goes on again and is counted; the manifold, its hoses and the exhaust beside them are hot, belts and fans turn.";
}
