//! `falseair classroom lessons`: eight lessons ready to teach, on paper.

use super::as_json;
use crate::answer::air_path::MAP;
use crate::answer::write::OutFolder;
use crate::answer::{Answer, Trouble};
use crate::figure::ink;
use crate::figure::scene::Scene;
use crate::input::{InputError, read_text};
use crate::say::classroom as say;
use crate::text::number::number;
use clap::ValueHint;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use page_engine::class::healthy;
use page_engine::lesson::{Lesson, Secret};
use rayon::prelude::*;
use serde_json::Value;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Example:
  falseair classroom lessons scenarios/vehicles/brindle-16.toml \\
      --out lessons --language de

Eight lessons in order, from where the air goes to a leak, a dirty meter or
both: aim, what to show, questions, worksheets, answers, healthy values of this car.
Both files in it, trainer.html and worksheets.html, print on A4 and US Letter. Another language is a file like
reports/commands/classroom/lessons.json, given by --words.";

const STYLE: [&str; 2] = [
    include_str!("../../kit/page/page.css"),
    include_str!("lessons.css"),
];
const CASES: &str = include_str!("cases.json");
/// What is said, a file a language.
const WORDS: [(&str, &str); 2] = [
    ("en", include_str!("lessons.json")),
    ("de", include_str!("lessons-de.json")),
];
const DRIVES: [&str; 3] = ["idle", "light cruise", "full load"];
/// Letters of the parts' names, px: on paper they are two fifths as large.
const NAMES: f64 = 20.0;
/// Lines to write on under a question.
const LINES: usize = 2;

/// Options of `classroom lessons`.
#[derive(Debug, clap::Args)]
pub struct Lessons {
    /// Vehicle file.
    pub vehicle: PathBuf,
    /// Folder for the trainer's book (aims, what to show, answers) and the worksheets (readings, a drawing to
    /// mark, room to write).
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub out: OutFolder,
    /// Language of both.
    #[arg(long, default_value = "en", value_parser = ["en", "de"])]
    pub language: String,
    /// File with the words of another language.
    #[arg(long, value_name = "FILE.json", conflicts_with = "language")]
    pub words: Option<PathBuf>,
}

/// A car of a lesson, with what was read of it: a column a drive, empty where the engine does not run.
struct Sheet {
    came: Value,
    columns: Vec<Value>,
    given: String,
}

impl Sheet {
    fn of(car: &str, secret: &Secret) -> Result<Self, String> {
        let parsed = |json: String| serde_json::from_str::<Value>(&json).map_err(|e| e.to_string());
        let mut lesson = Lesson::of(car, secret)?;
        let came = parsed(lesson.arrival())?;
        let columns = DRIVES.map(|drive| {
            let key = format!("readings_{}", drive.replace(' ', "_"));
            // What a danger holds back is not read.
            lesson.act(&key).map_or(Ok(Value::Null), parsed)
        });
        Ok(Self {
            came,
            columns: columns.into_iter().collect::<Result<_, String>>()?,
            given: lesson.truth_in_words(),
        })
    }
}

pub(super) fn lessons(options: &Lessons) -> Result<Answer, Trouble> {
    let car = as_json(&options.vehicle)?;
    let words = words(options)?;
    let cases: Vec<Secret> =
        serde_json::from_str(CASES).map_err(|e| Trouble::Other(e.to_string()))?;
    let sheets = cases.par_iter().map(|secret| Sheet::of(&car, secret));
    let sheets = sheets.collect::<Result<Vec<_>, String>>();
    let sheets = sheets.map_err(Trouble::Other)?;
    let labels = list(&sheets[0].columns[0]["readings"]).map(|one| text(&one["label"]));
    let healthy = healthy(&car, &labels.collect::<Vec<_>>()).map_err(Trouble::Other)?;
    let vehicle: Value = serde_json::from_str(&car).map_err(|e| Trouble::Other(e.to_string()))?;
    let book = Book {
        words: &words,
        name: vehicle["name"].as_str().unwrap_or_default(),
        healthy: &healthy,
        sheets: &sheets,
    };
    let files = [
        options.out.made(),
        (options.out).holding("trainer.html", book.page("trainer title", true)),
        (options.out).holding("worksheets.html", book.page("trainee title", false)),
    ];
    let said: String = (files.iter().skip(1))
        .map(|file| format!("{}\n", file.path().display()))
        .collect();
    Ok(Answer::given(said, None, Vec::new()).with(files))
}

/// The words that are asked for; those of a file must be as many as ours.
fn words(options: &Lessons) -> Result<Value, Trouble> {
    let parsed = |text: &str| serde_json::from_str::<Value>(text);
    let own = WORDS.iter().find(|(name, _)| *name == options.language);
    let own = own.map_or(WORDS[0].1, |(_, text)| text);
    let own = parsed(own).map_err(|e| Trouble::Other(e.to_string()))?;
    let Some(path) = &options.words else {
        return Ok(own);
    };
    let wrong = |why: String| InputError::new(path, why);
    let given = parsed(&read_text(path)?).map_err(|e| wrong(say::no_words(e)))?;
    match missing(&own, &given, "") {
        Some(key) => Err(wrong(say::word_missing(key)).into()),
        None => Ok(given),
    }
}

/// Where `given` lacks what `own` has, or has another kind of thing.
fn missing(own: &Value, given: &Value, at: &str) -> Option<String> {
    match (own, given) {
        (Value::Object(own), Value::Object(given)) => own.iter().find_map(|(key, value)| {
            let at = format!("{at}/{key}");
            match given.get(key) {
                Some(given) => missing(value, given, &at),
                None => Some(at),
            }
        }),
        (Value::Array(own), Value::Array(given)) => {
            let mut each = own.iter().zip(given).enumerate();
            let short = (given.len() < own.len()).then(|| format!("{at}/{}", given.len()));
            short.or_else(|| each.find_map(|(i, (a, b))| missing(a, b, &format!("{at}/{i}"))))
        }
        (Value::String(_), Value::String(_)) => None,
        _ => Some(at.into()),
    }
}

struct Book<'a> {
    words: &'a Value,
    name: &'a str,
    healthy: &'a [Value],
    sheets: &'a [Sheet],
}

impl Book<'_> {
    fn word(&self, key: &str) -> &str {
        self.words[key].as_str().unwrap_or_default()
    }

    fn page(&self, title: &str, trainer: bool) -> String {
        let lessons = self.words["lessons"].as_array().into_iter().flatten();
        let page = html! {
            (DOCTYPE)
            html lang=(self.word("language")) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.word(title)) }
                    style {
                        (PreEscaped(ink::style()))
                        @for style in STYLE { (PreEscaped(style)) }
                    }
                }
                body.sheets {
                    header { h1 { (self.word(title)) } p { (self.word("car").replacen("{}", self.name, 1)) } }
                    main {
                        @for (i, (lesson, sheet)) in lessons.zip(self.sheets).enumerate() {
                            // It is wider than a phone: keys move it, too.
                            article tabindex="0" {
                                h2 { (self.word("lesson").replacen("{}", &(i + 1).to_string(), 1)
                                    .replacen("{}", text(&lesson["title"]), 1)) }
                                @match trainer {
                                    true => { (self.plan(lesson, sheet)) }
                                    false => { (self.worksheet(lesson, sheet)) }
                                }
                            }
                        }
                    }
                    footer { p.caution { (self.word("caution")) } }
                }
            }
        };
        page.into_string()
    }

    fn plan(&self, lesson: &Value, sheet: &Sheet) -> Markup {
        let given = match sheet.given.as_str() {
            "nothing" => self.word("nothing"),
            given => given,
        };
        html! {
            @if let Some(danger) = lesson["danger"].as_str() {
                p.danger { (self.word("danger")) ": " (danger) }
            }
            h3 { (self.word("aim")) }
            p { (text(&lesson["aim"])) }
            h3 { (self.word("show")) }
            ol { @for one in list(&lesson["show"]) { li { (text(one)) } } }
            h3 { (self.word("questions")) }
            ol { @for one in list(&lesson["questions"]) { li { (text(&one[0])) " " strong { (text(&one[1])) } } } }
            h3 { (self.word("answer")) }
            p { strong { (text(&lesson["answer"])) } " " (self.word("put in").replacen("{}", given, 1)) }
            (self.values(sheet))
        }
    }

    fn worksheet(&self, lesson: &Value, sheet: &Sheet) -> Markup {
        html! {
            div.who { div { (self.word("name")) } div { (self.word("date")) } }
            (self.values(sheet))
            h3 { (self.word("mark")) }
            (self.drawing())
            h3 { (self.word("asked")) }
            ol {
                @for one in list(&lesson["questions"]) {
                    li { (text(&one[0])) @for _ in 0..LINES { div.lines {} } }
                }
            }
        }
    }

    /// Healthy values beside what was read, and the codes.
    fn values(&self, sheet: &Sheet) -> Markup {
        let head = |key: &str, drive: &str| {
            let drive = text(&self.words["conditions"][drive]);
            self.word(key).replacen("{}", drive, 1)
        };
        let shown = |column: &Value, row: usize| {
            let one = &column["readings"][row];
            let decimals = one["decimals"].as_u64().unwrap_or_default() as usize;
            match one["value"].as_f64() {
                Some(value) => number(value, decimals),
                None if column.is_null() => self.word("held").into(),
                None => self.word("stands").into(),
            }
        };
        let rows = list(&self.healthy[0]["readings"]);
        let codes: Vec<&str> = list(&sheet.came["codes"]).map(text).collect();
        html! {
            h3 { (self.word("values")) }
            table {
                thead { tr {
                    th scope="col" { (self.word("reading")) }
                    th scope="col" { (self.word("unit")) }
                    @for key in ["healthy at", "read at"] {
                        @for drive in DRIVES { th.n scope="col" { (head(key, drive)) } }
                    }
                } }
                tbody {
                    @for (i, row) in rows.enumerate() {
                        @let label = text(&row["label"]);
                        tr {
                            th scope="row" { (self.words["readings"][label].as_str().unwrap_or(label)) }
                            td.unit { (text(&row["unit"])) }
                            @for column in self.healthy.iter().chain(&sheet.columns) {
                                td.n { (shown(column, i)) }
                            }
                        }
                    }
                }
            }
            @if !codes.is_empty() { p { (self.word("codes").replacen("{}", &codes.join(", "), 1)) } }
        }
    }

    /// The air path as a drawing to mark.
    fn drawing(&self) -> Markup {
        let mut scene = Scene::new(MAP.size[0], MAP.size[1]);
        MAP.draw(&mut scene);
        MAP.name(&mut scene, (NAMES, &[]), |key| {
            self.words["parts"][key].as_str()
        });
        // The drawing library has never refused one.
        PreEscaped(scene.svg(self.word("mark")).unwrap_or_default())
    }
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn list(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}
