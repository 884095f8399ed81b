//! Second names of fields in a schema: a reader that takes them is not known to
//! the schema by itself.

use schemars::Schema;
use serde_json::{Value, json};

/// Lets a schema of an object take each field by its second name as well, but not
/// by both.
pub(crate) fn also(names: &[(&str, &str)]) -> impl Fn(&mut Schema) {
    move |schema| {
        for (name, second) in names {
            add(schema, name, second);
        }
    }
}

fn add(schema: &mut Schema, name: &str, second: &str) {
    let properties = schema.get_mut("properties").and_then(Value::as_object_mut);
    let Some(properties) = properties else {
        return;
    };
    let Some(field) = properties.get(name).cloned() else {
        return;
    };
    properties.insert(second.to_owned(), field);
    let required = schema.get_mut("required").and_then(Value::as_array_mut);
    let rule = match required {
        Some(required) if required.iter().any(|field| field == name) => {
            required.retain(|field| field != name);
            json!({ "oneOf": [{ "required": [name] }, { "required": [second] }] })
        }
        _ => json!({ "not": { "required": [name, second] } }),
    };
    let rules = schema
        .ensure_object()
        .entry("allOf")
        .or_insert_with(|| json!([]));
    if let Some(rules) = rules.as_array_mut() {
        rules.push(rule);
    }
}
