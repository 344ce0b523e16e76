//! The door between a page in a browser and falseair, which runs there as WebAssembly: what
//! a page calls, and nothing behind it.
//!
//! The lesson speaks to `PageEngine`, `PageLesson` and the functions of `page-engine`. The bay page
//! has one call, `ask`: files as texts in, a command's own answer out.

#[cfg(target_arch = "wasm32")]
mod browser;
