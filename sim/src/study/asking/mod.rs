//! What a leak does: how far each number moves a reading, from which size it shows, where and how.

pub mod across;
pub mod atlas;
pub mod branches;
pub mod codes;
pub mod seen;
pub mod sensitivity;
pub mod sweep;
pub mod threshold;
