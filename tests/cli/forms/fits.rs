//! Whether an answer is what its JSON Schema says: the words of a schema that derived ones use.
//! `tests/schema/conform.sh` has an outside checker say the same.

use serde_json::Value;

/// Words that say nothing of the value.
const SAID: [&str; 9] = [
    "$schema",
    "$defs",
    "title",
    "description",
    "unit",
    "format",
    "default",
    "minimum",
    "maximum",
];

/// Holds an answer against a whole schema.
///
/// # Errors
/// Where it does not fit, and why.
pub fn fits(answer: &Value, schema: &Value) -> Result<(), String> {
    part(answer, schema, schema, "")
}

fn part(value: &Value, schema: &Value, whole: &Value, at: &str) -> Result<(), String> {
    let Value::Object(schema) = schema else {
        return match schema {
            Value::Bool(true) => Ok(()),
            _ => Err(format!("{at} is not allowed")),
        };
    };
    let below = |schema: &Value| part(value, schema, whole, at);
    for (word, says) in schema {
        match word.as_str() {
            "$ref" => {
                let place = says.as_str().unwrap_or_default().trim_start_matches('#');
                let found = whole
                    .pointer(place)
                    .ok_or(format!("no {place} in the schema"))?;
                below(found)?;
            }
            "type" => typed(value, says, at)?,
            "const" if says != value => return Err(format!("{at} is not {says}")),
            "enum" if !list(says).contains(value) => return Err(format!("{at} is not of {says}")),
            "const" | "enum" => {}
            "anyOf" | "oneOf" => {
                let faults: Vec<String> = list(says)
                    .iter()
                    .filter_map(|one| below(one).err())
                    .collect();
                if faults.len() == list(says).len() {
                    return Err(format!("{at} fits none: {}", faults.join("; ")));
                }
            }
            "allOf" => list(says).iter().try_for_each(below)?,
            "required" if value.is_object() => {
                let mut keys = list(says).iter().filter_map(Value::as_str);
                if let Some(missing) = keys.find(|key| value.get(key).is_none()) {
                    return Err(format!("{at}/{missing} is missing"));
                }
            }
            "properties" => {
                for (key, schema) in says.as_object().into_iter().flatten() {
                    if let Some(value) = value.get(key) {
                        part(value, schema, whole, &format!("{at}/{key}"))?;
                    }
                }
            }
            "additionalProperties" => {
                let known = schema.get("properties").and_then(Value::as_object);
                let other = value.as_object().into_iter().flatten();
                for (key, value) in
                    other.filter(|(key, _)| !known.is_some_and(|k| k.contains_key(*key)))
                {
                    part(value, says, whole, &format!("{at}/{key}"))?;
                }
            }
            "items" => {
                let skipped = schema.get("prefixItems").map_or(0, |all| list(all).len());
                for (i, value) in list(value).iter().enumerate().skip(skipped) {
                    part(value, says, whole, &format!("{at}/{i}"))?;
                }
            }
            "prefixItems" => {
                for (i, (value, schema)) in list(value).iter().zip(list(says)).enumerate() {
                    part(value, schema, whole, &format!("{at}/{i}"))?;
                }
            }
            "minItems" | "maxItems" if value.is_array() => {
                let (count, limit) = (list(value).len() as u64, says.as_u64().unwrap_or(0));
                if (word == "minItems" && count < limit) || (word == "maxItems" && count > limit) {
                    return Err(format!("{at} has {count} items"));
                }
            }
            "required" | "minItems" | "maxItems" => {}
            word if SAID.contains(&word) => {}
            word => {
                return Err(format!(
                    "{at}: the schema says `{word}`, which this test does not know"
                ));
            }
        }
    }
    Ok(())
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn typed(value: &Value, says: &Value, at: &str) -> Result<(), String> {
    let is = |kind: &str| match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        "integer" => value.is_i64() || value.is_u64(),
        _ => value.is_number(),
    };
    let fits = match says {
        Value::String(kind) => is(kind),
        kinds => list(kinds).iter().filter_map(Value::as_str).any(is),
    };
    match fits {
        true => Ok(()),
        false => Err(format!("{at} is {value}, not of type {says}")),
    }
}

#[test]
fn what_does_not_fit_is_told() {
    use serde_json::json;
    let schema = json!({
        "type": "object", "required": ["a"], "$defs": { "x": { "type": ["number", "null"] } },
        "properties": { "a": { "$ref": "#/$defs/x" }, "b": { "type": "array", "items": { "type": "string" } } },
    });
    assert_eq!(fits(&json!({ "a": 1.5, "b": ["c"] }), &schema), Ok(()));
    for (wrong, place) in [
        (json!({}), "/a"),
        (json!({ "a": "1" }), "/a"),
        (json!({ "a": null, "b": [1] }), "/b/0"),
    ] {
        assert!(fits(&wrong, &schema).unwrap_err().starts_with(place));
    }
}
