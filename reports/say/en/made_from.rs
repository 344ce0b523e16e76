//! What an answer is made from.

use sim::sentences;

sentences! {
    /// A file, and the first digits of what tells its bytes.
    file(name, digits) "{name} (SHA-256 {digits}...)";
}
