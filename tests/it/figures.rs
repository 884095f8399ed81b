//! Figures out of an answer in JSON.

use serde_json::Value;

pub(crate) fn number(value: &Value, field: &str) -> f64 {
    value[field]
        .as_f64()
        .unwrap_or_else(|| panic!("{field} in {value}"))
}

pub(crate) fn rows<'a>(value: &'a Value, field: &str) -> &'a [Value] {
    value[field].as_array().expect(field)
}

#[track_caller]
pub(crate) fn near(found: f64, wanted: f64, by: f64) {
    assert!((found - wanted).abs() <= by, "{found} {wanted}");
}
