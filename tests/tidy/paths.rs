//! What a file uses of its own crate, read from its text: `use` trees and paths that begin with
//! `crate`, `super` or `self`, chains of `super` included.

use std::path::Path;

/// Module path of a file below its crate's root: `study/diagnose/mod.rs` is `study::diagnose`.
pub fn module(file: &Path) -> Vec<String> {
    let mut parts: Vec<String> = (file.with_extension("").iter())
        .map(|part| part.to_string_lossy().into_owned())
        .collect();
    if ["mod", "lib", "main"].contains(&parts.last().map_or("", String::as_str)) {
        parts.pop();
    }
    parts
}

/// A use: the line it begins on (from 1), and the path from the crate's root.
pub type Use = (usize, Vec<String>);

/// Everything that the text of a module uses of its crate. Its tests at the end are left out:
/// they may look anywhere.
pub fn uses(module: &[String], text: &str) -> Vec<Use> {
    let code = text.split("#[cfg(test)]").next().unwrap_or_default();
    let mut found = Vec::new();
    let mut rest: &str = &without_remarks(code);
    let mut line = 1;
    while let Some(at) = next_path(rest) {
        line += rest[..at].matches('\n').count();
        let said = &rest[at..];
        let length = tree(said, &mut Vec::new(), &mut |path| {
            if let Some(path) = from_root(module, path) {
                found.push((line, path));
            }
        });
        line += said[..length].matches('\n').count();
        rest = &said[length..];
    }
    found
}

/// Without remarks and their text; lines stay.
fn without_remarks(code: &str) -> String {
    let lines = code
        .lines()
        .map(|line| line.find("//").map_or(line, |at| &line[..at]));
    lines.collect::<Vec<_>>().join("\n")
}

/// Where the next path of this crate begins; macros name their users' types by `$crate`.
fn next_path(text: &str) -> Option<usize> {
    let words = ["crate::", "super::", "self::"];
    let first = |word: &str| {
        let mut from = 0;
        while let Some(at) = text[from..].find(word).map(|at| at + from) {
            let before = text[..at].chars().next_back();
            if before.is_none_or(|c| !c.is_alphanumeric() && !"_$:".contains(c)) {
                return Some(at);
            }
            from = at + word.len();
        }
        None
    };
    words.into_iter().filter_map(first).min()
}

/// Walks a path or a tree of them, calls `each` with every whole path; its length in bytes.
fn tree(text: &str, before: &mut Vec<String>, each: &mut dyn FnMut(&[String])) -> usize {
    let depth = before.len();
    let mut at = 0;
    loop {
        let word: String = (text[at..].chars())
            .take_while(|c| c.is_alphanumeric() || *c == '_' || *c == '*')
            .collect();
        at += word.len();
        if !word.is_empty() {
            before.push(word);
        }
        if !text[at..].starts_with("::") {
            break;
        }
        at += 2;
        if text[at..].starts_with('{') {
            at += branches(&text[at..], before, each);
            before.truncate(depth);
            return at;
        }
    }
    each(before);
    before.truncate(depth);
    at
}

fn branches(text: &str, before: &mut Vec<String>, each: &mut dyn FnMut(&[String])) -> usize {
    let mut at = 1;
    while at < text.len() && !text[at..].starts_with('}') {
        let c = text[at..].chars().next().unwrap_or(' ');
        match c.is_alphanumeric() || c == '_' || c == '*' {
            true => at += tree(&text[at..], before, each).max(1),
            false => at += c.len_utf8(),
        }
        // `as other` names it anew; nothing more is used.
        if text[at..].starts_with(" as ") {
            at += 4;
            at += text[at..].find([',', '}']).unwrap_or(0);
        }
    }
    (at + 1).min(text.len())
}

fn from_root(module: &[String], path: &[String]) -> Option<Vec<String>> {
    let mut here = module.to_vec();
    let mut rest = path;
    match path.first()?.as_str() {
        "crate" => {
            here.clear();
            rest = &path[1..];
        }
        "self" => rest = &path[1..],
        _ => {
            while rest.first().is_some_and(|word| word == "super") {
                here.pop()?;
                rest = &rest[1..];
            }
        }
    }
    here.extend(rest.iter().filter(|word| *word != "self").cloned());
    Some(here)
}

#[test]
fn paths_are_read_as_the_compiler_reads_them() {
    let module = ["study", "sweep", "run"].map(String::from);
    let text = "use super::super::simulate::{Side, side as one};\n// crate::no::remark\n\
        use crate::{scalar::Scalar, solve::{self, steady::*}};\n\
        fn f() { super::walk::learn(); $crate::never::mind() }\n#[cfg(test)] use crate::tests;";
    let found = uses(&module, text).into_iter();
    let found: Vec<(usize, String)> = found.map(|(n, path)| (n, path.join("::"))).collect();
    let said = |n: usize, path: &str| (n, path.to_string());
    assert_eq!(
        found,
        [
            said(1, "study::simulate::Side"),
            said(1, "study::simulate::side"),
            said(3, "scalar::Scalar"),
            said(3, "solve"),
            said(3, "solve::steady::*"),
            said(4, "study::sweep::walk::learn"),
        ]
    );
}
