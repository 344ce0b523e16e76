//! What a command answers, declared once: in every form it has, to where it goes.

use crate::answer::dangers::{Danger, endangered};
use crate::answer::write::OutFile;
use crate::answer::{Answer, Pictures, Trouble};
use crate::input::made_from::{self, MadeFrom};
use crate::page::{Page, VERSION};
use crate::say::made_from as say;
use crate::text::printed::Text;
use crate::text::words::is_obeyed;
use clap::ValueHint;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::{Value, json};
use std::marker::PhantomData;

/// What a command answers. For people it is a [`Page`], set as table, page or Markdown; for
/// programs it is data, written as JSON, with its JSON Schema.
pub trait Answers {
    /// What programs read.
    type Data<'a>: Serialize + JsonSchema
    where
        Self: 'a;

    /// For programs.
    fn data(&self) -> Self::Data<'_>;

    /// For people, without its dangers.
    fn page(&self) -> Page;

    /// What is dangerous: for programs under `dangers`, for people before all else.
    fn dangers(&self) -> Vec<Danger> {
        Vec::new()
    }

    /// What to beware of, for programs under `cautions`; none where the data have them already.
    fn cautions(&self) -> Option<Vec<String>> {
        Some(Vec::new())
    }

    /// The page, dangers first.
    fn said(&self) -> Page {
        let made_from = made_from::all().into_iter();
        Page {
            made_from: (made_from)
                .map(|made| say::file(&made.file, &made.sha256[..12]))
                .collect(),
            ..endangered(self.page(), &self.dangers())
        }
    }

    /// For spreadsheets, where the command has that form.
    ///
    /// # Errors
    /// It has none, or the rows cannot be written.
    fn csv(&self) -> Result<String, Trouble> {
        Err(Trouble::Other("this answer has no CSV form".into()))
    }

    /// Physics without an answer, one line each.
    fn failures(&self) -> Vec<String> {
        Vec::new()
    }
}

/// A command by name, a command of a command after a `-`, and the JSON Schema of its answer.
pub type SchemaOf = (&'static str, fn() -> Schema);

/// JSON Schema of what a command answers.
pub fn schema<A: Answers + 'static>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let generator = settings.into_generator();
    let mut generator = generator;
    let dangers = generator.subschema_for::<Vec<Danger>>();
    let files = generator.subschema_for::<Vec<File>>();
    let mut schema = generator.into_root_schema_for::<A::Data<'static>>();
    let about = "Version of the program that made this.";
    let beware = "What to beware of.";
    let stamps = [
        (
            "falseair_version",
            json!({ "type": "string", "description": about }),
        ),
        ("made_from", files.to_value()),
        ("dangers", dangers.to_value()),
        (
            "cautions",
            json!({ "type": "array", "items": { "type": "string" }, "description": beware }),
        ),
    ];
    for (key, form) in stamps {
        let keys = schema.get_mut("properties").and_then(Value::as_object_mut);
        let new = keys.is_some_and(|keys| match keys.contains_key(key) {
            true => false,
            false => keys.insert(key.into(), form).is_none(),
        });
        let required = schema.get_mut("required").and_then(Value::as_array_mut);
        if let Some(required) = required.filter(|_| new) {
            required.push(key.into());
        }
    }
    schema
}

/// A file that an answer is made from.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "InputFile")]
struct File {
    /// Its name, without its folders.
    file: String,
    /// SHA-256 of its bytes, hexadecimal.
    sha256: String,
}

impl From<MadeFrom> for File {
    fn from(made: MadeFrom) -> Self {
        Self {
            file: made.file,
            sha256: made.sha256,
        }
    }
}

/// What a program reads, with the version of the program that made it, and with what is
/// dangerous.
#[derive(Serialize)]
struct Stamped<T> {
    falseair_version: &'static str,
    made_from: Vec<File>,
    dangers: Vec<Danger>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cautions: Option<Vec<String>>,
    #[serde(flatten)]
    answer: T,
}

/// An answer as JSON.
///
/// # Errors
/// It cannot be made.
pub fn json(answer: &impl Answers) -> Result<String, Trouble> {
    let stamped = Stamped {
        falseair_version: VERSION,
        made_from: made_from::all().into_iter().map(File::from).collect(),
        dangers: answer.dangers(),
        cautions: answer.cautions(),
        answer: answer.data(),
    };
    let text = serde_json::to_string_pretty(&stamped);
    Ok(turnless(text.map_err(|e| Trouble::Other(e.to_string()))?) + "\n")
}

/// Form of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// For reading, at most 80 columns.
    Table,
    /// Every number, for programs.
    Json,
    /// For spreadsheets.
    Csv,
    /// A page of words and tables.
    Markdown,
}

impl Form {
    const ALL: [(Form, &'static str, &'static str); 4] = [
        (Form::Table, "table", "For reading, at most 80 columns"),
        (Form::Json, "json", "For programs"),
        (Form::Csv, "csv", "For spreadsheets"),
        (Form::Markdown, "markdown", "Words and tables as Markdown"),
    ];

    /// The forms that `F` allows, as values of an option.
    pub fn parser<F: Forms>() -> impl TypedValueParser<Value = Form> {
        let allowed = Self::ALL
            .iter()
            .filter(|(form, ..)| F::ALLOWED.contains(form));
        let values = allowed.map(|(_, name, help)| PossibleValue::new(*name).help(*help));
        PossibleValuesParser::new(values).map(|name| {
            let found = Self::ALL.iter().find(|(_, known, _)| *known == name);
            found.map_or(Form::Table, |(form, ..)| *form)
        })
    }

    /// An answer in this form, all of it if that is asked for.
    ///
    /// # Errors
    /// It cannot be made.
    pub fn whole(self, answer: &impl Answers, full: bool) -> Result<Text, Trouble> {
        match self {
            Form::Table if full && cfg!(feature = "program") => {
                Ok(unfolded(answer.said()).printed().into())
            }
            form => form.of(answer),
        }
    }

    /// An answer in this form.
    ///
    /// # Errors
    /// It cannot be made.
    pub fn of(self, answer: &impl Answers) -> Result<Text, Trouble> {
        // A page asks for data only, and need not carry what sets the rest.
        if cfg!(not(feature = "program")) {
            return Ok(json(answer)?.into());
        }
        Ok(match self {
            Form::Table => answer.said().printed().into(),
            Form::Markdown => answer.said().markdown().into(),
            Form::Csv => answer.csv()?.into(),
            Form::Json => json(answer)?.into(),
        })
    }
}

/// The forms that a command has.
pub trait Forms: Clone + Send + Sync + std::fmt::Debug + 'static {
    /// In the order of the help.
    const ALLOWED: &'static [Form];
}

/// Table and JSON.
#[derive(Clone, Debug)]
pub struct Plain;

/// Table, JSON and CSV.
#[derive(Clone, Debug)]
pub struct WithCsv;

/// Table, JSON and Markdown.
#[derive(Clone, Debug)]
pub struct WithMarkdown;

/// All of them.
#[derive(Clone, Debug)]
pub struct Every;

impl Forms for Plain {
    const ALLOWED: &'static [Form] = &[Form::Table, Form::Json];
}

impl Forms for WithCsv {
    const ALLOWED: &'static [Form] = &[Form::Table, Form::Json, Form::Csv];
}

impl Forms for WithMarkdown {
    const ALLOWED: &'static [Form] = &[Form::Table, Form::Json, Form::Markdown];
}

impl Forms for Every {
    const ALLOWED: &'static [Form] = &[Form::Table, Form::Json, Form::Csv, Form::Markdown];
}

/// Where an answer goes, and how it looks.
#[derive(Clone, Debug, clap::Args)]
pub struct Asked<F: Forms = Plain> {
    /// Form of the answer.
    #[arg(long, default_value = "table", value_parser = Form::parser::<F>())]
    pub format: Form,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// All of the answer: nothing is left out or folded away.
    #[arg(long)]
    pub full: bool,
    /// Page and pictures.
    #[command(flatten)]
    pub pictures: Pictures,
    #[arg(skip)]
    forms: PhantomData<F>,
}

impl<F: Forms> Asked<F> {
    /// As a program reads it, to the terminal.
    pub fn data() -> Self {
        Self {
            format: Form::Json,
            out: None,
            full: false,
            pictures: Pictures::default(),
            forms: PhantomData,
        }
    }

    /// The answer in the form asked for, to where it goes, with the pictures asked for.
    ///
    /// # Errors
    /// Something cannot be made.
    pub fn answer(&self, answer: &impl Answers) -> Result<Answer, Trouble> {
        let drawn = match cfg!(feature = "program") {
            true => self.pictures.drawn(|| Ok(self.whole(answer.said())))?,
            false => Vec::new(),
        };
        let text = match self.format {
            Form::Table if cfg!(feature = "program") => self.whole(answer.said()).printed().into(),
            form => form.of(answer)?,
        };
        Ok(Answer::given(text, self.out.as_ref(), answer.failures()).with(drawn))
    }
}

impl<F: Forms> Asked<F> {
    /// The page with nothing folded away, if that is asked for.
    fn whole(&self, page: Page) -> Page {
        match self.full {
            true => unfolded(page),
            false => page,
        }
    }
}

/// The page with nothing left out or folded away.
pub fn unfolded(mut page: Page) -> Page {
    page.whole = true;
    for section in &mut page.sections {
        section.folded = false;
    }
    page
}

/// JSON whose texts, the same to programs, turn no terminal: what would be obeyed is escaped.
fn turnless(json: String) -> String {
    let turns = |c: char| is_obeyed(c) && c != '\n';
    match json.contains(turns) {
        false => json,
        true => (json.chars())
            .map(|c| match turns(c) {
                true => format!("\\u{:04x}", u32::from(c)),
                false => c.into(),
            })
            .collect(),
    }
}
