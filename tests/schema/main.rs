//! What a file may hold, as the program states it: the schema against the shipped
//! files and against the readers, the reference, and the writer of vehicle files.

mod conform;
mod describe;
mod reference;
mod refused;
mod write;

use falseair::input::{Source, read_toml};
use serde::de::DeserializeOwned;
use sim::params::{Described, Entry, Form};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Shipped TOML files in a folder, in order.
fn shipped(folder: &str) -> Vec<PathBuf> {
    let list = std::fs::read_dir(root().join(folder)).unwrap();
    let mut files: Vec<PathBuf> = list
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    assert!(files.len() > 1, "{folder}");
    files
}

fn vehicles() -> Vec<sim::network::Vehicle> {
    let files = shipped("scenarios/vehicles");
    files.iter().map(|path| read_toml(path).unwrap()).collect()
}

/// Reads text as a file.
fn read<T: DeserializeOwned>(text: &str) -> Result<T, String> {
    let source = Source::from_text(Path::new("file.toml"), text);
    source.parse().map_err(|e| e.render(false))
}

/// Every key that holds a number, dotted, with its entry; a list's keys once.
fn leaves<T: Described>() -> Vec<(String, Entry)> {
    let mut found = Vec::new();
    walk("", &T::form(), &mut |path, entry| {
        if !matches!(entry.form, Form::Table(_) | Form::List(_)) {
            found.push((path.to_string(), entry.clone()));
        }
    });
    found
}

fn walk(path: &str, form: &Form, each: &mut dyn FnMut(&str, &Entry)) {
    match form {
        Form::Table(table) => {
            for entry in &table.keys {
                let path = format!(
                    "{path}{}{}",
                    if path.is_empty() { "" } else { "." },
                    entry.name
                );
                each(&path, entry);
                walk(&path, &entry.form, each);
            }
        }
        Form::List(item) => walk(path, item, each),
        _ => {}
    }
}
