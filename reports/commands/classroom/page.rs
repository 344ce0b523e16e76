//! The lesson's page.

use crate::answer::engine;
use crate::figure::ink;
use crate::look;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde_json::Value;
use std::sync::LazyLock;

const STYLE: [&str; 3] = [
    include_str!("../../kit/page/page.css"),
    look::AIR_STYLE,
    include_str!("lesson.css"),
];
const SCRIPTS: [&str; 9] = [
    include_str!("main.js"),
    look::AIR_SCRIPT,
    include_str!("drawing.js"),
    include_str!("demo.js"),
    include_str!("predict.js"),
    include_str!("branches.js"),
    include_str!("debrief.js"),
    include_str!("answer.js"),
    include_str!("hunt.js"),
];

/// Every English text, for page and script.
const WORDS: &str = include_str!("words.json");

static TEXTS: LazyLock<Value> = LazyLock::new(|| serde_json::from_str(WORDS).unwrap_or_default());

/// The text of this name; the name itself where there is none.
fn word(name: &str) -> &str {
    TEXTS[name].as_str().unwrap_or(name)
}

/// The page of a car, with a sealed fault or an empty text.
pub(super) fn page(name: &str, car: &str, sealed: &str) -> String {
    // Data in a script ends at no tag that stands in a name.
    let car = car.replace('<', "\\u003c");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (word("lesson")) ": " (name) }
                style {
                    // The program's own colours come after, and win where both name one.
                    (PreEscaped(look::TOKENS))
                    (PreEscaped(ink::style()))
                    @for style in STYLE { (PreEscaped(style)) }
                }
            }
            body.lesson {
                (PreEscaped(look::DRAWINGS))
                header {
                    h1 { (word("title")) " " (name) }
                    div.bar {
                        button #to-demonstration type="button" aria-pressed="true" { (word("demonstration")) }
                        button #to-predict type="button" aria-pressed="false" { (word("predict")) }
                        button #to-hunt type="button" aria-pressed="false" { (word("hunt")) }
                        button #large type="button" aria-pressed="false" { (word("large")) }
                    }
                }
                main {
                    p.problem #problem role="alert" hidden {}
                    (demonstration())
                    (predict())
                    (hunt())
                }
                footer {
                    p.caution { strong { (word("caution")) } " " (word("cautions")) }
                    details.notices { summary { (word("notices")) } pre { (engine::NOTICES) } }
                }
                script #words type="application/json" { (PreEscaped(WORDS.replace('<', "\\u003c"))) }
                script #air-path type="application/json" { (PreEscaped(look::AIR_MAP)) }
                script #vehicle type="application/json" { (PreEscaped(car)) }
                // Keys, digits and letters only: nothing in it ends a script.
                script #hidden-fault type="text/plain" { (PreEscaped(sealed)) }
                script #engine-bytes type="text/plain" { (PreEscaped(engine::text())) }
                script #engine { (PreEscaped(engine::SCRIPT)) }
                @for script in SCRIPTS { script { (PreEscaped(script)) } }
            }
        }
    };
    page.into_string()
}

fn demonstration() -> Markup {
    html! {
        section #demonstration aria-label=(word("demonstration")) {
            div #dangers .dangers role="status" {}
            p #why {}
            div.stage {
                div {
                    div #drawing {}
                    (scale())
                    div.bar {
                        button #tip-in type="button" { (word("foot down")) }
                        button #lift-off type="button" { (word("foot off")) }
                        button #hold type="button" aria-pressed="false" { (word("hold")) }
                        button #restart type="button" { (word("start again")) }
                        label { input #slow type="checkbox"; " " (word("slow motion")) }
                        span.unit #pace {}
                    }
                    (controls())
                    p { strong { (word("codes")) ": " } span #codes {} }
                }
                div {
                    dl.belief {
                        dt { (word("believes")) } dd { b #believes {} " " span.unit { "g/s" } }
                        dt { (word("gets")) } dd { b #gets {} " " span.unit { "g/s" } }
                    }
                    table {
                        caption { (word("readings")) }
                        thead {
                            tr {
                                th scope="col" { (word("reading")) }
                                th.n scope="col" { (word("sound")) }
                                th.n scope="col" { (word("faulty")) }
                                th.n scope="col" { (word("difference")) }
                                th.trace scope="col" colspan="2" { (word("trace")) }
                            }
                        }
                        tbody #readings {}
                    }
                    table {
                        caption { (word("ledger")) }
                        thead {
                            tr {
                                th scope="col" { (word("flow")) }
                                th.n scope="col" { (word("sound")) }
                                th.n scope="col" { (word("faulty")) }
                            }
                        }
                        tbody #ledger {}
                    }
                }
            }
        }
    }
}

/// What the drawing's colours stand for.
fn scale() -> Markup {
    html! {
        ul.scale aria-label=(word("scale")) {
            @for pressure in look::PRESSURES {
                @let kind = match pressure { ..100 => "suck", 100 => "", 101..150 => "mid", _ => "hi" };
                li class=(kind) style={ "--c:var(--p" (pressure) ")" } { (pressure) }
            }
        }
        p.unit { (word("scale words")) }
    }
}

fn predict() -> Markup {
    html! {
        section #predict aria-label=(word("predict")) hidden {
            div #predict-dangers .dangers role="status" {}
            div role="status" { h2 #predict-says {} }
            div.stage {
                div {
                    div #predict-drawing {}
                    (scale())
                    p #predict-air {}
                    p #predict-why role="status" {}
                }
                div {
                    table {
                        caption { (word("five")) }
                        tbody #predict-five {}
                    }
                    div.bar {
                        button #predict-see.main type="button" { (word("see")) }
                        button #predict-next.main type="button" hidden {}
                        button #predict-again type="button" hidden { (word("again")) }
                    }
                    p #predict-hint role="status" {}
                }
            }
        }
    }
}

fn controls() -> Markup {
    let slider = |id: &str, low: i32, high: i32, step: i32, value: i32| {
        html! {
            label for=(id) { span id={ (id) "-label" } { (word(id)) } " " output id={ (id) "-value" } for=(id) {} }
            input id=(id) type="range" min=(low) max=(high) step=(step) value=(value);
        }
    };
    let choice = |id: &str, words: &str| {
        html! { label for=(id) { (word(words)) } select id=(id) {} }
    };
    html! {
        div.controls {
            div { (choice("what", "what")) (choice("shape", "shape")) }
            div { (slider("size", 0, 1000, 1, 0)) }
            div { (slider("pedal", 0, 100, 1, 0)) }
            div { (choice("load", "load")) (choice("gear", "gear")) }
            div { (slider("speed", 900, 6000, 50, 2500)) }
            div {
                (slider("temperature", -20, 45, 1, 20))
                (slider("altitude", 0, 3000, 50, 0))
            }
        }
    }
}

/// Where a trainee opens an exercise, and a trainer locks one.
fn entry() -> Markup {
    html! {
        div #entry {
            div.work {
                div #number-row hidden {
                    label for="number" { (word("number")) }
                    input #number inputmode="numeric" autocomplete="off";
                }
                div {
                    label for="trainee" { (word("trainee")) }
                    input #trainee autocomplete="off";
                }
                div {
                    label for="opening" { (word("opening key")) }
                    input #opening autocomplete="off" spellcheck="false" autocapitalize="none";
                }
            }
            div.bar { button #open.main type="button" { (word("open")) } }
            details #trainer {
                summary { (word("trainer")) }
                div.work {
                    div {
                        label for="sealed" { (word("code")) }
                        textarea #sealed spellcheck="false" {}
                    }
                    div {
                        label for="seal-passphrase" {
                            (word("new passphrase")) " (" (word("or made")) ")"
                        }
                        input #seal-passphrase type="password" autocomplete="new-password";
                        button #seal type="button" { (word("seal")) }
                    }
                }
            }
        }
    }
}

/// The one answer, its receipt, and the way to the truth.
fn answer() -> Markup {
    html! {
        h3 { (word("is wrong")) }
        label for="answer" { (word("answer")) }
        select #answer {}
        div #kind-row hidden {
            label for="answer-kind" { (word("kind")) }
            select #answer-kind {}
        }
        div #size-row hidden {
            label #answer-size-label for="answer-size" { (word("answer size")) }
            input #answer-size type="number" step="any" min="-1000" max="1000";
        }
        label for="answer-2" { (word("second answer")) }
        select #answer-2 {}
        div.bar {
            button #tell.main type="button" { (word("tell")) }
            button #give-up type="button" { (word("give up")) }
        }
        div #receipt-box hidden {
            p { (word("receipt")) " " output #receipt {} }
            p { (word("show receipt")) }
            label for="debrief-key" { (word("debrief key")) }
            input #debrief-key autocomplete="off" spellcheck="false" autocapitalize="none";
            div.bar {
                button #see-debrief type="button" { (word("see debrief")) }
                button #export type="button" { (word("save")) }
            }
        }
    }
}

fn hunt() -> Markup {
    html! {
        section #hunt aria-label=(word("hunt")) hidden {
            h2 { (word("hunt")) }
            div #hunt-dangers .dangers role="status" {}
            p #hunt-status role="status" {}
            p #not-kept role="alert" hidden { (word("not kept")) }
            (entry())
            div #exercise hidden {
                p #whose {}
                p #spent {}
                p #arrival {}
                div.work {
                    div { h3 { (word("can be done")) } div #actions {} }
                    div {
                        h3 { (word("was found")) }
                        ol #found {}
                        label for="notes" { (word("notes")) }
                        textarea #notes {}
                    }
                    div { (answer()) }
                }
                button #other type="button" { (word("other")) }
            }
            div #debrief hidden {}
        }
    }
}
