//! JSON Schema, draft 2020-12 (json-schema.org), of a file.
//!
//! A quantity is text with a unit, one pattern a kind of quantity (`$defs`), made from the table of
//! units that the reader uses. The size of a number in a text JSON Schema cannot check but for its
//! sign: its limits stand in the description and, in the SI unit `x-unit`, as `x-minimum` and
//! `x-maximum`; the units it may be written in as `x-units`.

use crate::text::words::sentence;
use serde_json::{Map, Value, json};
use sim::params::{Content, Entry, Field, Form, Presence, TableForm};
use sim::units::{self, Dimension};

/// The schema of a file of this form.
pub fn schema(form: &Form, title: &str) -> Value {
    let mut all = object(json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
    }));
    if let Form::Table(table) = form {
        all.insert("description".into(), sentence(table.doc).into());
    }
    all.extend(of_form(form));
    let text = Value::Object(all.clone()).to_string();
    let used = Dimension::ALL.into_iter();
    let used = used.filter(|dimension| text.contains(&format!("\"{}\"", reference(*dimension))));
    let kinds: Map<_, _> = used
        .map(|dimension| (format!("{dimension:?}"), kind(dimension)))
        .collect();
    all.insert("$defs".into(), kinds.into());
    Value::Object(all)
}

/// Where the schema of a kind of quantity stands.
fn reference(dimension: Dimension) -> String {
    format!("#/$defs/{dimension:?}")
}

/// A kind of quantity: text with a unit, and plain numbers where it has none.
fn kind(dimension: Dimension) -> Value {
    let types: &[&str] = match takes_bare_numbers(dimension) {
        true => &["number", "string"],
        false => &["string"],
    };
    json!({
        "type": types,
        "pattern": units::pattern(dimension),
        "x-unit": units::si_unit(dimension),
        "x-units": units::accepted(dimension),
    })
}

fn of_form(form: &Form) -> Map<String, Value> {
    object(match form {
        Form::Quantity(field) => return quantity(field),
        Form::Curve { x, y, least, most } => {
            let axes = [x, y].map(|axis| {
                let mut schema = quantity(axis);
                schema.insert("description".into(), how(axis).into());
                schema
            });
            json!({
                "type": "array",
                "minItems": least,
                "maxItems": most,
                "items": {
                    "type": "array",
                    "prefixItems": axes,
                    "items": false,
                    "minItems": 2,
                    "maxItems": 2,
                },
            })
        }
        Form::Words(words) => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            json!({ "type": "string", "enum": words })
        }
        Form::Text => json!({ "type": "string" }),
        Form::Shaped(pattern) => json!({ "type": "string", "pattern": pattern }),
        Form::Flag => json!({ "type": "boolean" }),
        Form::Amount => json!({ "type": ["number", "string"], "pattern": "\\S" }),
        Form::Map(each) => json!({ "type": "object", "additionalProperties": of_form(each) }),
        Form::Either(forms) => {
            json!({ "anyOf": forms.iter().map(of_form).collect::<Vec<_>>() })
        }
        Form::Table(table) => return of_table(table),
        Form::List(item) => json!({ "type": "array", "items": of_form(item) }),
    })
}

fn of_table(table: &TableForm) -> Map<String, Value> {
    let named = |presence: Presence| {
        let keys = table
            .keys
            .iter()
            .filter(move |key| key.presence == presence);
        keys.map(|key| key.name)
    };
    let properties: Map<String, Value> = (table.keys.iter())
        .map(|key| (key.name.to_string(), Value::Object(of_key(key))))
        .collect();
    let mut schema = object(json!({
        "type": "object",
        "properties": properties,
        "required": named(Presence::Required).collect::<Vec<_>>(),
        "additionalProperties": false,
    }));
    let choices: Vec<Value> = named(Presence::OneOf)
        .map(|name| json!({ "required": [name] }))
        .collect();
    if !choices.is_empty() {
        schema.insert("oneOf".into(), choices.into());
    }
    schema
}

fn of_key(key: &Entry) -> Map<String, Value> {
    let mut schema = of_form(&key.form);
    let mut says = vec![sentence(key.doc)];
    match &key.form {
        Form::Quantity(field) => says.push(how(field)),
        Form::Curve { x, y, .. } => {
            says.push(format!("Points of {}", lower(&how(x))));
            says.push(format!("Against each, {}", lower(&how(y))));
        }
        Form::Words(words) => {
            says.extend(
                words
                    .iter()
                    .map(|(word, doc)| format!("`{word}`: {}", sentence(doc))),
            );
        }
        _ => {}
    }
    match &key.presence {
        Presence::Required => says.push("Required.".into()),
        Presence::Optional => says.push("May be left out.".into()),
        Presence::OneOf => says.push("Exactly one such key is given.".into()),
        Presence::Default(value) => {
            let value = of_content(&key.form, value);
            match &value {
                Value::Object(_) | Value::Array(_) => {}
                plain => says.push(format!("Default {plain}.")),
            }
            schema.insert("default".into(), value);
        }
    }
    schema.insert("description".into(), says.join(" ").into());
    schema
}

fn quantity(field: &Field) -> Map<String, Value> {
    let Field { dimension, .. } = *field;
    let mut schema = object(json!({ "$ref": reference(dimension) }));
    let limits = [("minimum", field.low), ("maximum", field.high)];
    for (word, limit) in limits.into_iter().filter(|(_, limit)| limit.is_finite()) {
        schema.insert(format!("x-{word}"), limit.into());
        if takes_bare_numbers(dimension) {
            schema.insert(word.into(), limit.into());
        }
    }
    // A temperature below zero may be written of one above.
    let signs = [
        (field.low >= 0.0, units::NEGATIVE),
        (field.low > 0.0, units::ZERO),
    ];
    let refused = signs.iter().filter(|(refused, _)| *refused);
    let refused: Vec<&str> = refused.map(|(_, pattern)| *pattern).collect();
    if dimension != Dimension::Temperature && !refused.is_empty() {
        let not = json!({ "type": "string", "pattern": refused.join("|") });
        schema.insert("not".into(), not);
    }
    schema
}

fn takes_bare_numbers(dimension: Dimension) -> bool {
    units::from_bare_number(1.0, dimension).is_ok()
}

/// How a quantity is written, and how large it may be.
fn how(field: &Field) -> String {
    let Field { dimension, .. } = *field;
    let range = units::show_range(field.low, field.high, dimension);
    sentence(&format!(
        "{}: {range}",
        units::expected(dimension).replace('`', "")
    ))
}

/// A value as a file would hold it.
pub fn of_content(form: &Form, content: &Content) -> Value {
    match (form, content) {
        (Form::Quantity(field), Content::Number(value)) => number(*value, field.dimension),
        (Form::Curve { x, y, .. }, Content::Curve(points)) => {
            let point =
                |p: &[f64; 2]| json!([number(p[0], x.dimension), number(p[1], y.dimension)]);
            points.iter().map(point).collect()
        }
        (Form::Table(table), Content::Table(values)) => {
            let held = table
                .keys
                .iter()
                .zip(values)
                .filter_map(|(key, (name, value))| {
                    let value = of_content(&key.form, value.as_ref()?);
                    Some((name.to_string(), value))
                });
            Value::Object(held.collect())
        }
        (Form::List(item), Content::List(values)) => {
            values.iter().map(|value| of_content(item, value)).collect()
        }
        (Form::Map(_), _) => json!({}),
        (_, Content::Word(word)) => (*word).into(),
        (_, Content::Text(text)) => text.as_str().into(),
        (_, Content::Flag(flag)) => (*flag).into(),
        // A content is made together with its form; there is no other pair.
        _ => Value::Null,
    }
}

fn number(value: f64, dimension: Dimension) -> Value {
    let text = units::written(value, dimension);
    match takes_bare_numbers(dimension) {
        true => serde_json::from_str(&text).unwrap_or(Value::from(value)),
        false => text.into(),
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_lowercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}
