//! The bay's page: what stands in it, and what may run in it.

use crate::answer::choices::choices;
use crate::answer::engine;
use crate::look;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

/// The invented car that comes with the page.
const DEMO: &str = include_str!("../../../scenarios/vehicles/brindle-16.toml");
const STYLE: [&str; 4] = [
    look::TOKENS,
    include_str!("../../kit/look/parts.css"),
    look::AIR_STYLE,
    include_str!("bay.css"),
];
/// In the order in which they need each other.
const SCRIPTS: [&str; 17] = [
    look::AIR_SCRIPT,
    include_str!("dom.js"),
    include_str!("units.js"),
    include_str!("ask.js"),
    include_str!("job.js"),
    include_str!("files.js"),
    include_str!("zip.js"),
    include_str!("pad.js"),
    include_str!("drawing.js"),
    include_str!("jobs.js"),
    include_str!("car.js"),
    include_str!("complaint.js"),
    include_str!("readings.js"),
    include_str!("fits.js"),
    include_str!("test.js"),
    include_str!("part.js"),
    include_str!("repairs.js"),
];
const LAST: [&str; 2] = [include_str!("after.js"), include_str!("main.js")];
/// Every sentence of the page's own, a catalogue a language.
const WORDS: [(&str, &str); 2] = [
    ("words-en", include_str!("words.json")),
    ("words-de", include_str!("words-de.json")),
];

/// A text that stands in the page for its scripts to read.
fn data(id: &str, kind: &str, text: &str) -> Markup {
    // Data in a script ends at no tag that stands in a text.
    let text = text.replace('<', "\\u003c");
    html! { script id=(id) type=(kind) { (PreEscaped(text)) } }
}

/// What may run and be shown: the scripts that stand here, by their hashes, the engine, and
/// nothing from a network (Content Security Policy Level 3, from memory).
fn policy(scripts: &[&str]) -> String {
    let hash = |text: &str| STANDARD.encode(Sha256::digest(text));
    let hashes = scripts
        .iter()
        .map(|text| format!(" 'sha256-{}'", hash(text)));
    // The worker is made of the engine's script, and runs under the same policy.
    format!(
        "default-src 'none'; script-src 'wasm-unsafe-eval'{}; style-src 'unsafe-inline'; \
         img-src data: blob:; worker-src blob:; connect-src 'none'; form-action 'none'; \
         base-uri 'none'",
        hashes.collect::<String>()
    )
}

/// The page.
pub(super) fn page() -> String {
    let scripts: Vec<&str> = SCRIPTS.into_iter().chain(LAST).collect();
    let word = |key: &str| -> String {
        let texts: serde_json::Value = serde_json::from_str(WORDS[0].1).unwrap_or_default();
        texts[key].as_str().unwrap_or(key).into()
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy(&scripts));
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (word("page")) }
                style { @for style in STYLE { (PreEscaped(style)) } }
            }
            body {
                div #drawings { (PreEscaped(look::DRAWINGS)) }
                p.caution #problem role="alert" hidden {}
                p.unseen #told role="status" {}
                main #main { noscript { p { (word("scripts off")) } } }
                div #bottom {
                    p.caution #kept role="alert" hidden { (word("not kept")) }
                    section #act {}
                    footer.foot #foot {}
                }
                @for (id, text) in WORDS { (data(id, "application/json", text)) }
                (data("catalogue", "application/json", &choices().to_string()))
                (data("air-path", "application/json", look::AIR_MAP))
                (data("demo-car", "text/plain", DEMO))
                @for script in &scripts { script { (PreEscaped(script)) } }
                // What is not needed for the first screen is read last.
                (data("notices", "text/plain", engine::NOTICES))
                script #engine type="text/plain" { (PreEscaped(engine::SCRIPT)) }
                script #engine-bytes type="text/plain" { (PreEscaped(engine::text())) }
            }
        }
    };
    page.into_string()
}
