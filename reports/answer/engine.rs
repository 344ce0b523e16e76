//! The engine that pages carry: WebAssembly with the script that calls it, and the notices that go
//! with every copy.

use base64::Engine;

/// The script that calls it.
pub const SCRIPT: &str = include_str!("../web/built/engine.js");
/// Licences of the engine's crates ask that their notices go with every copy, and a page is one.
pub const NOTICES: &str = include_str!("../notices.txt");

/// The engine as text that a page can hold.
pub fn text() -> String {
    let packed = include_bytes!("../web/built/engine_bg.wasm.gz");
    base64::engine::general_purpose::STANDARD.encode(packed)
}
