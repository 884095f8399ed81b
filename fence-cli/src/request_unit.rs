//! The unit that a request says its bare numbers are in.

use std::cell::Cell;

use fence_geom::{FootKind, LengthReader, LengthUnit};
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::{self, Deserializer};
use serde_json::Value;

/// The international foot, in which the fields named `_ft` are.
pub(crate) const FOOT: LengthUnit = LengthUnit::Foot(FootKind::International);

thread_local! {
    /// Fields are read by serde, one by one: none of them sees the request that it
    /// is part of.
    static OF_NUMBERS: Cell<Option<LengthUnit>> = const { Cell::new(None) };
}

/// A unit of length by its name, such as `"m"` or `"us-ft"`.
#[derive(Clone, Copy, Debug, JsonSchema)]
#[schemars(transparent, with = "String")]
pub(crate) struct UnitField(LengthUnit);

impl<'de> Deserialize<'de> for UnitField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let name = String::deserialize(from)?;
        let unit = LengthReader::strict().read_unit(&name);
        unit.map(|unit| Self(unit.value)).map_err(de::Error::custom)
    }
}

/// Returns the unit of a bare number in the request that is being read.
pub(crate) fn of_numbers(usual: LengthUnit) -> LengthUnit {
    OF_NUMBERS.get().unwrap_or(usual)
}

/// Reads a request, its bare numbers in the unit that its field `unit` names.
///
/// # Errors
///
/// Refuses a unit that is none, and one beside a field whose name says another.
pub(crate) fn in_its_unit<T>(
    request: &Value,
    read: impl FnOnce() -> anyhow::Result<T>,
) -> anyhow::Result<T> {
    let Some(named) = request.get("unit") else {
        return read();
    };
    let UnitField(unit) =
        UnitField::deserialize(named).map_err(|error| anyhow::anyhow!("unit: {error}"))?;
    if unit != FOOT
        && let Some(field) = field_in_feet(request)
    {
        anyhow::bail!(
            "{field:?} is in feet by its name, and the request's unit is {named}: leave the unit \
             out, or write the field without _ft"
        );
    }
    let before = OF_NUMBERS.replace(Some(unit));
    let answer = read();
    OF_NUMBERS.set(before);
    answer
}

/// The first field whose name ends in `_ft`.
fn field_in_feet(value: &Value) -> Option<&str> {
    match value {
        Value::Object(fields) => fields.iter().find_map(|(name, value)| {
            if name.ends_with("_ft") {
                Some(name.as_str())
            } else {
                field_in_feet(value)
            }
        }),
        Value::Array(values) => values.iter().find_map(field_in_feet),
        _ => None,
    }
}
