//! Numbers of a page against the result for programs: each carries where it stands there.

use serde_json::Value;

/// The result that a command printed.
pub fn result(stdout: &[u8]) -> Value {
    serde_json::from_slice(stdout).unwrap_or_else(|e| panic!("the result is not JSON: {e}"))
}

/// Tags of a page that carry numbers, each as its attributes.
fn tags(page: &str) -> impl Iterator<Item = &str> {
    let tags = page
        .split('<')
        .filter_map(|tag| tag.split_once('>').map(|(tag, _)| tag));
    tags.filter(|tag| tag.contains("data-json"))
}

fn attribute(tag: &str, name: &str) -> Option<String> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    let text = tag[from..].split_once('"')?.0;
    Some(
        text.replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&quot;", "\"")
            .replace("&amp;", "&"),
    )
}

/// What stands at a place: `*` is every element of a list, `*3` every third.
fn at(json: &Value, place: &str) -> Vec<Value> {
    let mut all = vec![json.clone()];
    for part in place.trim_start_matches('/').split('/') {
        all = match part.strip_prefix('*') {
            Some(step) => {
                let step: usize = if step.is_empty() {
                    1
                } else {
                    step.parse().unwrap()
                };
                let lists = all.iter().filter_map(Value::as_array);
                lists
                    .flat_map(|list| list.iter().step_by(step).cloned())
                    .collect()
            }
            None => {
                let key = part.replace("~1", "/");
                let next = |value: &Value| match part.parse::<usize>() {
                    Ok(index) if value.is_array() => value.get(index).cloned(),
                    _ => value.get(&key).cloned(),
                };
                all.iter().filter_map(next).collect()
            }
        };
    }
    all
}

/// Compares every number that carries its place; how many there are.
///
/// # Errors
/// The first that differs, in words.
pub fn check(page: &str, json: &Value) -> Result<usize, String> {
    let mut count = 0;
    for tag in tags(page) {
        if let Some(place) = attribute(tag, "data-json") {
            let shown: f64 = attribute(tag, "data-value")
                .and_then(|value| value.parse().ok())
                .ok_or_else(|| format!("no value in `{tag}`"))?;
            let stands = at(json, &place);
            match stands.first().and_then(Value::as_f64) {
                Some(stands) if stands == shown => count += 1,
                other => return Err(format!("`{place}` shows {shown}, the result has {other:?}")),
            }
        }
        for axis in ["x", "y"] {
            let Some(place) = attribute(tag, &format!("data-json-{axis}s")) else {
                continue;
            };
            let shown = attribute(tag, &format!("data-{axis}s")).unwrap_or_default();
            let shown: Vec<Option<f64>> =
                shown.split(' ').map(|value| value.parse().ok()).collect();
            let stands: Vec<Option<f64>> = at(json, &place).iter().map(Value::as_f64).collect();
            if shown != stands {
                let (a, b) = (shown.len(), stands.len());
                let first = shown.iter().zip(&stands).position(|(a, b)| a != b);
                return Err(format!(
                    "`{place}`: {a} drawn, {b} in the result, first apart {first:?}"
                ));
            }
            count += shown.len();
        }
    }
    Ok(count)
}
