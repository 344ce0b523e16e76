//! The lesson's page.

use crate::figure::ink;
use base64::Engine;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const ENGINE: &str = include_str!("../../sim/bindings/page/built/engine.js");
const WASM: &[u8] = include_bytes!("../../sim/bindings/page/built/engine_bg.wasm.gz");
const STYLE: [&str; 2] = [include_str!("../page/page.css"), include_str!("lesson.css")];
const SCRIPTS: [&str; 5] = [
    include_str!("words.js"),
    include_str!("drawing.js"),
    include_str!("demo.js"),
    include_str!("hunt.js"),
    include_str!("main.js"),
];

const CAUTION: &str = "A picture of an engine hurts nobody; an engine does. At a car: boosted hoses let \
    go, fans, belts and turbo spin, exhaust is hot and poisonous, fuel vapour burns, and a lean engine \
    under full load can destroy itself. Follow the maker's procedure and local codes; leave licensed \
    work to those who hold the licence.";

/// The page of a car, with a sealed fault or an empty text.
pub(super) fn page(name: &str, car: &str, sealed: &str) -> String {
    let wasm = base64::engine::general_purpose::STANDARD.encode(WASM);
    // Data in a script ends at no tag that stands in a name.
    let car = car.replace('<', "\\u003c");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Lesson: " (name) }
                style {
                    (PreEscaped(ink::style()))
                    @for style in STYLE { (PreEscaped(style)) }
                }
            }
            body.lesson {
                header {
                    h1 { "Where does the air go? " (name) }
                    div.bar {
                        button #to-demonstration type="button" aria-pressed="true" { "Demonstration" }
                        button #to-hunt type="button" aria-pressed="false" { "Find the fault" }
                        button #large type="button" aria-pressed="false" { "Large type" }
                    }
                }
                main {
                    p.problem #problem role="alert" hidden {}
                    (demonstration())
                    (hunt())
                }
                footer { p.caution { strong { "Caution: " } (CAUTION) } }
                script #vehicle type="application/json" { (PreEscaped(car)) }
                script #hidden-fault type="text/plain" { (sealed) }
                script #engine-bytes type="text/plain" { (PreEscaped(wasm)) }
                script #engine { (PreEscaped(ENGINE)) }
                @for script in SCRIPTS { script { (PreEscaped(script)) } }
            }
        }
    };
    page.into_string()
}

fn demonstration() -> Markup {
    html! {
        section #demonstration aria-label="Demonstration" {
            div.stage {
                div {
                    canvas #drawing role="img" aria-label="Air path" {}
                    div.bar {
                        button #tip-in type="button" { "Foot down" }
                        button #lift-off type="button" { "Foot off" }
                        button #hold type="button" aria-pressed="false" { "Hold" }
                        button #restart type="button" { "Start again" }
                        label { input #slow type="checkbox"; " slow motion" }
                        span.unit #pace {}
                    }
                    (controls())
                    h2 { "Why" }
                    p #why {}
                    p { strong { "Trouble codes set: " } span #codes { "none" } }
                }
                div {
                    table {
                        caption { "Sound car grey, faulty car dark; the last 20 s at the right." }
                        thead {
                            tr {
                                th scope="col" { "reading" }
                                th scope="col" { "unit" }
                                th.n scope="col" { "sound" }
                                th.n scope="col" { "faulty" }
                                th.n scope="col" { "difference" }
                                td {}
                            }
                        }
                        tbody #readings {}
                    }
                }
            }
        }
    }
}

fn controls() -> Markup {
    let slider = |id: &str, words: &str, low: i32, high: i32, step: i32, value: i32| {
        html! {
            label for=(id) { span id={ (id) "-label" } { (words) } " " output id={ (id) "-value" } for=(id) {} }
            input id=(id) type="range" min=(low) max=(high) step=(step) value=(value);
        }
    };
    let choice = |id: &str, words: &str| {
        html! { label for=(id) { (words) } select id=(id) {} }
    };
    html! {
        div.controls {
            div { (choice("what", "what is wrong")) (choice("shape", "its shape")) }
            div { (slider("size", "how bad", 0, 1000, 1, 0)) }
            div { (slider("pedal", "pedal", 0, 100, 1, 0)) }
            div { (choice("load", "what the engine drives")) (choice("gear", "gear")) }
            div { (slider("speed", "speed on the brake", 900, 6000, 50, 2500)) }
            div {
                (slider("temperature", "outside air", -20, 45, 1, 20))
                (slider("altitude", "above the sea", 0, 3000, 50, 0))
            }
        }
    }
}

fn hunt() -> Markup {
    html! {
        section #hunt aria-label="Find the fault" hidden {
            h2 { "Find the fault" }
            p #hunt-status role="status" {}
            details #trainer open {
                summary { "For the trainer" }
                div.work {
                    div {
                        label for="passphrase" { "Passphrase" }
                        input #passphrase type="password" autocomplete="off";
                        label for="sealed" { "Code of another fault, if there is one" }
                        textarea #sealed spellcheck="false" {}
                        button #open type="button" { "Open the exercise" }
                    }
                    div {
                        label for="seal-passphrase" {
                            "Seal the fault of the demonstration under a new passphrase"
                        }
                        input #seal-passphrase type="password" autocomplete="new-password";
                        button #seal type="button" { "Seal it" }
                    }
                }
            }
            div #exercise hidden {
                p #spent {}
                p #arrival {}
                div.work {
                    div { h3 { "What can be done" } div #actions {} }
                    div {
                        h3 { "What was found" }
                        ol #found {}
                        label for="notes" { "Your notes" }
                        textarea #notes {}
                    }
                    div {
                        h3 { "What is wrong" }
                        label for="answer" { "Your answer" }
                        select #answer {}
                        label for="answer-size" { "Its size, if it has one" }
                        input #answer-size type="number" step="any" min="-1000" max="1000";
                        button #tell type="button" { "That is it" }
                        button #export type="button" hidden { "Save the result" }
                    }
                }
            }
            div #debrief hidden {}
        }
    }
}
