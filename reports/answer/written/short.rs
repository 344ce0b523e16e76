//! A file that holds what is said and no more: no key that is left out or has its default.

use super::{Digits, Values, comment, dotted, inline};
use sim::params::{Content, Described, Entry, Form, Presence, TableForm};

/// Such a file, `head` above it as a comment. Reading it back gives every number to 1e-13 of its
/// size.
pub fn short_file<T: Described>(value: &T, head: &str) -> String {
    let mut text = String::new();
    comment(&mut text, "", head);
    text.push('\n');
    if let (Form::Table(form), Content::Table(content)) = (T::form(), value.content()) {
        table(&mut text, "", &form, &content);
    }
    text
}

/// Whether a value is worth a line.
fn is_said(key: &Entry, value: &Content) -> bool {
    if key.presence == Presence::Default(value.clone()) {
        return false;
    }
    match (&key.form, value) {
        (Form::Table(form), Content::Table(values)) => said(form, values).next().is_some(),
        _ => true,
    }
}

fn said<'a>(
    form: &'a TableForm,
    values: &'a Values,
) -> impl Iterator<Item = (&'a Entry, &'a Content)> {
    let pairs = form.keys.iter().zip(values);
    let given = pairs.filter_map(|(key, (_, value))| Some((key, value.as_ref()?)));
    given.filter(|(key, value)| is_said(key, value))
}

/// The tables of a section, one or a list of them; none for a plain value.
fn section<'a>(key: &'a Entry, value: &'a Content) -> Option<(&'a TableForm, Vec<&'a Values>)> {
    let values = |content: &'a Content| match content {
        Content::Table(values) => Some(values.as_slice()),
        _ => None,
    };
    match (&key.form, value) {
        (Form::Table(form), value) => Some((form, values(value).into_iter().collect())),
        (Form::List(item), Content::List(items)) => match item.as_ref() {
            Form::Table(form) => Some((form, items.iter().filter_map(values).collect())),
            _ => None,
        },
        _ => None,
    }
}

fn table(text: &mut String, path: &str, form: &TableForm, values: &Values) {
    for (key, value) in said(form, values) {
        if section(key, value).is_none() {
            let before = key.name.len() + 3;
            let value = inline(&key.form, value, before, Digits::All);
            text.push_str(&format!("{} = {value}\n", key.name));
        }
    }
    for (key, value) in said(form, values) {
        let Some((inner, tables)) = section(key, value) else {
            continue;
        };
        let path = dotted(path, key.name);
        let header = match key.form {
            Form::List(_) => format!("[[{path}]]\n"),
            _ => format!("[{path}]\n"),
        };
        for values in tables {
            // A table of a list stands apart; what is in it stands close.
            if !path.contains('.') {
                text.push('\n');
            }
            text.push_str(&header);
            table(text, &path, inner, values);
        }
    }
}
