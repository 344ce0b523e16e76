//! A question, from a TOML file or from flags.
//!
//! Each key of the file is a flag of the same name; what is given as flags is put into
//! the text of a file and read by the same reader, so units, ranges and spelling are
//! checked alike and a fault is shown with its line.

use crate::answer::Trouble;
use crate::input::Source;
use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};
use serde::de::DeserializeOwned;
use sim::params::{Content, Described, Entry, Form, Presence, TableForm};
use sim::units::{self, Dimension};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};

/// What messages call the flags.
const FLAGS: &str = "command line";

/// What a command calls its flags, where that is not what the keys are called.
pub trait Names: 'static {
    /// Keys with their flags; the key's own name is understood as well.
    const FLAGS: &'static [(&'static str, &'static str)] = &[];
    /// An option for the file, beside the bare argument.
    const FILE: Option<&'static str> = None;
}

/// Flags called as the keys are.
#[derive(Clone, Debug)]
pub struct Keys;

impl Names for Keys {}

/// A file or flags that say a `T`.
#[derive(Clone, Debug)]
pub struct Given<T, N = Keys> {
    file: Option<PathBuf>,
    /// Lines of TOML.
    lines: Vec<String>,
    kind: PhantomData<(T, N)>,
}

impl<T, N> Given<T, N> {
    /// What this file says.
    pub fn file(file: impl Into<PathBuf>) -> Self {
        Self {
            file: Some(file.into()),
            lines: Vec::new(),
            kind: PhantomData,
        }
    }
}

impl<T: DeserializeOwned, N> Given<T, N> {
    /// The question, and its text for faults found later.
    ///
    /// # Errors
    /// Both or neither given; a file or a flag that cannot be used.
    pub fn read(&self) -> Result<(T, Source), Trouble> {
        let refused = |message: &str| Err(Trouble::Other(message.into()));
        let source = match (&self.file, self.lines.is_empty()) {
            (Some(file), true) => Source::read(file)?,
            (None, false) => Source::from_text(Path::new(FLAGS), &self.lines.join("\n")),
            (Some(_), false) => {
                return refused(
                    "give a file or flags, not both: put what the flags say into the file",
                );
            }
            (None, true) => {
                return refused("nothing is asked: give a TOML file, or flags (see --help)");
            }
        };
        Ok((source.parse()?, source))
    }
}

fn entries<T: Described>() -> Vec<Entry> {
    match T::form() {
        Form::Table(table) => table.keys,
        _ => Vec::new(),
    }
}

/// A table of which one key is there, such as a leak's shape.
fn is_choice(table: &TableForm) -> bool {
    table.keys.iter().any(|key| key.presence == Presence::OneOf)
}

fn help(entry: &Entry) -> String {
    let mut text = entry.doc.to_string();
    let form = match &entry.form {
        Form::List(inner) => inner,
        form => form,
    };
    match form {
        Form::Words(words) => {
            let list: Vec<&str> = words.iter().map(|word| word.0).collect();
            text += &format!(" [{}]", list.join(", "));
        }
        Form::Table(table) => {
            let list: Vec<&str> = table.keys.iter().map(|key| key.name).collect();
            text += &format!(" [{}]", list.join(", "));
        }
        _ => {}
    }
    let default = match (form, &entry.presence) {
        (Form::Quantity(field), Presence::Default(Content::Number(value))) => {
            units::show_to(*value, field.dimension, 6)
        }
        (_, Presence::Default(Content::Word(word))) => word.to_string(),
        (Form::Quantity(field), _)
            if !matches!(field.dimension, Dimension::Ratio | Dimension::Time) =>
        {
            let example = units::example(field.dimension);
            let unit = example.split_once(' ').map_or(example, |(_, unit)| unit);
            return text + &format!(" (with its unit, such as {unit})");
        }
        _ => return text,
    };
    text + &format!(" [default: {default}]")
}

/// What kind of value stands here: `LENGTH`, `PRICE`.
fn kind(name: &str, form: &Form) -> String {
    match form {
        Form::Quantity(field) if field.dimension == Dimension::Ratio => {
            let money = matches!(name.rsplit('_').next(), Some("price" | "rate"));
            // A count, not a share.
            let count = field.low >= 1.0;
            match (money, count) {
                (true, _) => "PRICE".into(),
                (_, true) => "NUMBER".into(),
                _ => "SHARE".into(),
            }
        }
        Form::Quantity(field) => capitals(&format!("{:?}", field.dimension)),
        Form::Words(_) => "WORD".into(),
        Form::List(inner) => kind(name, inner),
        Form::Table(table) if is_choice(table) => "SHAPE KEY=VALUE, ...".into(),
        Form::Table(_) => "KEY=VALUE, ...".into(),
        _ => "TEXT".into(),
    }
}

/// `GaugePressure` as `GAUGE PRESSURE`.
fn capitals(name: &str) -> String {
    let mut said = String::new();
    for (i, c) in name.char_indices() {
        if i > 0 && c.is_uppercase() {
            said.push(' ');
        }
        said.extend(c.to_uppercase());
    }
    said
}

/// The command line wants texts that live as long as the program; these few do.
fn kept(text: String) -> &'static str {
    text.leak()
}

impl<T: Described, N: Names> clap::Args for Given<T, N> {
    fn augment_args(command: Command) -> Command {
        let file = Arg::new("file")
            .value_name("FILE.toml")
            .help("TOML file with the keys below, instead of flags")
            .value_parser(clap::value_parser!(PathBuf));
        let named = N::FILE.map(|name| {
            let arg = Arg::new(name).long(name).value_name("FILE.toml");
            arg.help("The same file (older option)")
                .value_parser(clap::value_parser!(PathBuf))
                .conflicts_with("file")
        });
        let command = command.arg(file).args(named);
        entries::<T>().into_iter().fold(command, |command, entry| {
            let own = N::FLAGS.iter().find(|(key, _)| *key == entry.name);
            let key = kept(entry.name.replace('_', "-"));
            let action = match entry.form {
                Form::List(_) => ArgAction::Append,
                _ => ArgAction::Set,
            };
            let arg = Arg::new(entry.name)
                .long(own.map_or(key, |(_, flag)| *flag))
                .aliases([entry.name, key])
                .value_name(kept(kind(entry.name, &entry.form)))
                .help(help(&entry))
                .allow_hyphen_values(true)
                .action(action);
            // A bare flag says yes; `--bench=false` says no.
            let arg = match entry.form {
                Form::Flag => arg
                    .num_args(0..=1)
                    .require_equals(true)
                    .default_missing_value("true")
                    .value_name("true|false"),
                _ => arg,
            };
            command.arg(arg)
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl<T: Described, N: Names> FromArgMatches for Given<T, N> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let lines = entries::<T>().into_iter().filter_map(|entry| {
            let values: Vec<&String> = matches.get_many(entry.name)?.collect();
            let value = match &entry.form {
                Form::List(inner) => {
                    let each: Vec<String> = values.iter().map(|v| toml_of(inner, v)).collect();
                    format!("[{}]", each.join(", "))
                }
                form => toml_of(form, values.last()?),
            };
            Some(format!("{} = {value}", entry.name))
        });
        let named = || N::FILE.and_then(|name| matches.get_one(name));
        Ok(Self {
            file: matches.get_one("file").or_else(named).cloned(),
            lines: lines.collect(),
            kind: PhantomData,
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// A flag's value as TOML: text in quotes; `key=value, key=value` as a table, with the
/// name of a choice first: `slot gap=15 thou, length=20 mm`.
fn toml_of(form: &Form, value: &str) -> String {
    if let (Form::Flag, "true" | "false") = (form, value) {
        return value.into();
    }
    let Form::Table(table) = form else {
        return quoted(value);
    };
    let value = value.trim();
    // A table within a table is written as TOML has it: `{ name = "hose", leak = { ... } }`.
    if value.starts_with('{') {
        return value.replace(['\n', '\r'], " ");
    }
    if !is_choice(table) {
        return inline(value);
    }
    let (name, rest) = value.split_once(char::is_whitespace).unwrap_or((value, ""));
    format!("{{ {} = {} }}", bare(name), inline(rest))
}

fn inline(text: &str) -> String {
    let pairs = text
        .split(',')
        .map(str::trim)
        .filter(|pair| !pair.is_empty());
    let pairs = pairs.map(|pair| {
        // Without a value, the reader says what is missing.
        let (key, value) = pair.split_once('=').unwrap_or((pair, ""));
        let key = key.trim().replace('-', "_");
        format!("{} = {}", bare(&key), quoted(value.trim()))
    });
    format!("{{ {} }}", pairs.collect::<Vec<_>>().join(", "))
}

/// A key, in quotes where TOML needs them.
fn bare(key: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '_';
    match !key.is_empty() && key.chars().all(plain) {
        true => key.into(),
        false => quoted(key),
    }
}

/// Text in quotes, on one line.
fn quoted(text: &str) -> String {
    toml::Value::String(text.replace(['\n', '\r'], " ")).to_string()
}
