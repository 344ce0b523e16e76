//! From a span in a TOML text to its dotted key, and back.

use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// One entry of the document: its dotted key and the spans of key and value.
struct Entry<'a> {
    key: String,
    /// None in a list.
    name: Option<Range<usize>>,
    value: &'a Spanned<DeValue<'a>>,
}

/// Every entry, each table before what it holds.
fn entries<'a>(table: &'a DeTable<'a>) -> Vec<Entry<'a>> {
    let mut found = Vec::new();
    for (name, value) in table {
        push(
            &mut found,
            name.get_ref().to_string(),
            Some(name.span()),
            value,
        );
    }
    found
}

fn push<'a>(
    found: &mut Vec<Entry<'a>>,
    key: String,
    name: Option<Range<usize>>,
    value: &'a Spanned<DeValue<'a>>,
) {
    found.push(Entry {
        key: key.clone(),
        name,
        value,
    });
    match value.get_ref() {
        DeValue::Table(table) => {
            for (name, value) in table {
                push(found, join(&key, name.get_ref()), Some(name.span()), value);
            }
        }
        DeValue::Array(list) => {
            for (i, value) in list.iter().enumerate() {
                push(found, join(&key, &i.to_string()), None, value);
            }
        }
        _ => {}
    }
}

/// A dotted key.
pub(super) fn join(table: &str, key: &str) -> String {
    match table {
        "" => key.into(),
        _ => format!("{table}.{key}"),
    }
}

/// The dotted key of the innermost entry that holds `span`.
///
/// A table opened by a header has the header for its span, and `[a.b]` opens
/// both `a` and `a.b`; `hint`, the keys passed on the way (list places left
/// out), decides between them.
pub(super) fn key_of(root: &DeTable, span: &Range<usize>, hint: &str) -> String {
    let holds = |outer: &Range<usize>| outer.start <= span.start && span.end <= outer.end;
    let hinted = |key: &str| {
        let named = key.split('.').filter(|part| part.parse::<usize>().is_err());
        named.eq(hint.split('.'))
    };
    let candidates = entries(root).into_iter().filter_map(|entry| {
        let spans = [entry.name, Some(entry.value.span())];
        let smallest = (spans.into_iter().flatten().filter(holds)).map(|s| s.len());
        smallest
            .min()
            .map(|length| (length, !hinted(&entry.key), entry.key))
    });
    candidates.min().map(|(.., key)| key).unwrap_or_default()
}

/// The dotted key at a place in a text that is not quite TOML: the innermost
/// entry around it, else the table whose header comes last before it.
pub(super) fn key_around(root: &DeTable, at: usize) -> String {
    let inner = key_of(root, &(at..at), "");
    if !inner.is_empty() {
        return inner;
    }
    let headed = entries(root).into_iter().filter_map(|entry| {
        let start = entry.value.span().start;
        let table = matches!(entry.value.get_ref(), DeValue::Table(_));
        (table && start <= at).then_some((start, entry.key))
    });
    headed.max().map(|(_, key)| key).unwrap_or_default()
}

/// The span of the value at a dotted key, or of the innermost table on the way
/// to it; none if that is the whole file.
pub(super) fn span_of(root: &DeTable, key: &str) -> Option<Range<usize>> {
    let leads = |entry: &Entry| {
        let rest = key.strip_prefix(entry.key.as_str());
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let found = entries(root).into_iter().filter(leads);
    found
        .max_by_key(|entry| entry.key.len())
        .map(|entry| entry.value.span())
}
