//! Quantities in a file: a number, in feet unless the request names another unit, or
//! text with its unit. They are read
//! while the file is, so that an error shows the line and the words at fault.

use fence_geom::{
    Azimuth, FootKind, GroundStation, Length, LengthReader, Point, Rack, Shift, read_direction,
};
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::{self, Deserializer, IntoDeserializer, Visitor};

use crate::request_unit::{FOOT, of_numbers};

/// A length: feet as a number, or text with its unit such as `"12ft6-1/2in"`.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema)]
#[schemars(transparent, with = "NumberOrText")]
pub(crate) struct LengthField(pub(crate) Length);

/// A coordinate: feet as a number, or text with its unit; it may be negative.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema)]
#[schemars(transparent, with = "NumberOrText")]
pub(crate) struct CoordinateField(pub(crate) Shift);

/// A direction, such as `"N45-30-15E"` or `"north"`; degrees clockwise from
/// north as a number.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema)]
#[schemars(transparent, with = "NumberOrText")]
pub(crate) struct DirectionField(pub(crate) Azimuth);

/// A place along a run: a length from its start, or `start`, or `end`.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema)]
#[schemars(transparent, with = "NumberOrText")]
pub(crate) struct StationField(pub(crate) GroundStation);

/// How far a full section racks: a length, or `level`, or `freely`.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema)]
#[schemars(transparent, with = "NumberOrText")]
pub(crate) struct RackField(pub(crate) Rack);

/// A place: the name of a point; `[north, east]` in feet or with units; or so far
/// from one point toward another.
#[derive(Clone, Debug, PartialEq, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum PlaceField {
    /// The name of a pin or a point.
    Named(String),
    /// `[north, east]`
    At(#[schemars(with = "[f64; 2]")] Point),
    /// On the line of two points.
    Toward(TowardField),
}

/// A place so far from one point toward another.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TowardField {
    /// The point to measure from.
    pub(crate) from: String,
    /// The point to measure toward.
    pub(crate) toward: String,
    /// How far.
    pub(crate) by: LengthField,
}

/// What the schema says of a quantity.
#[derive(JsonSchema)]
#[schemars(untagged)]
#[expect(dead_code, reason = "only its schema is used")]
enum NumberOrText {
    Number(f64),
    Text(String),
}

impl<'de> Deserialize<'de> for LengthField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Wanted;
        impl Visitor<'_> for Wanted {
            type Value = LengthField;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a length: feet as a number, or text such as \"12ft6-1/2in\"")
            }

            fn visit_f64<E: de::Error>(self, count: f64) -> Result<LengthField, E> {
                let length = of_numbers(FOOT).length(count);
                length.map(LengthField).map_err(E::custom)
            }

            fn visit_i64<E: de::Error>(self, count: i64) -> Result<LengthField, E> {
                let count = i32::try_from(count)
                    .map_err(|_| E::custom(format!("a length of {count} is out of range")))?;
                self.visit_f64(f64::from(count))
            }

            fn visit_u64<E: de::Error>(self, count: u64) -> Result<LengthField, E> {
                let count = u32::try_from(count)
                    .map_err(|_| E::custom(format!("a length of {count} is out of range")))?;
                self.visit_f64(f64::from(count))
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<LengthField, E> {
                let reading = reader().read(text).map_err(E::custom)?;
                Ok(LengthField(reading.value))
            }
        }
        from.deserialize_any(Wanted)
    }
}

impl<'de> Deserialize<'de> for DirectionField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Wanted;
        impl Visitor<'_> for Wanted {
            type Value = DirectionField;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a direction such as \"north\" or \"N45-30-15E\"")
            }

            fn visit_f64<E: de::Error>(self, degrees: f64) -> Result<DirectionField, E> {
                Azimuth::from_degrees(degrees)
                    .map(DirectionField)
                    .map_err(E::custom)
            }

            fn visit_i64<E: de::Error>(self, degrees: i64) -> Result<DirectionField, E> {
                let degrees = i32::try_from(degrees)
                    .map_err(|_| E::custom(format!("{degrees} degrees is out of range")))?;
                self.visit_f64(f64::from(degrees))
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<DirectionField, E> {
                let reading = read_direction(text).map_err(E::custom)?;
                Ok(DirectionField(reading.value.azimuth()))
            }
        }
        from.deserialize_any(Wanted)
    }
}

impl<'de> Deserialize<'de> for PlaceField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Wanted;
        impl<'de> Visitor<'de> for Wanted {
            type Value = PlaceField;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("the name of a point, [north, east], or { from, toward, by }")
            }

            fn visit_str<E: de::Error>(self, name: &str) -> Result<PlaceField, E> {
                Ok(PlaceField::Named(name.to_owned()))
            }

            fn visit_map<A: de::MapAccess<'de>>(self, map: A) -> Result<PlaceField, A::Error> {
                TowardField::deserialize(de::value::MapAccessDeserializer::new(map))
                    .map(PlaceField::Toward)
            }

            fn visit_seq<A: de::SeqAccess<'de>>(self, mut seq: A) -> Result<PlaceField, A::Error> {
                let mut next = || seq.next_element::<CoordinateField>();
                let (Some(north), Some(east), None) = (next()?, next()?, next()?) else {
                    return Err(de::Error::custom("a place is [north, east]: two numbers"));
                };
                Point::new(north.0.feet(), east.0.feet())
                    .map(PlaceField::At)
                    .map_err(de::Error::custom)
            }
        }
        from.deserialize_any(Wanted)
    }
}

/// A word, or what a number or a text with its unit is.
#[derive(serde::Deserialize)]
#[serde(untagged)]
enum WordOrNumber {
    Number(f64),
    Text(String),
}

impl WordOrNumber {
    /// The meaning of a word that `known` knows, or a length.
    fn read<T, E: de::Error>(
        self,
        known: impl Fn(&str) -> Option<T>,
        of_length: impl Fn(Length) -> T,
    ) -> Result<T, E> {
        let length = match self {
            Self::Number(count) => of_numbers(FOOT).length(count).map_err(E::custom)?,
            Self::Text(text) => {
                if let Some(word) = known(&text) {
                    return Ok(word);
                }
                LengthField::deserialize(text.as_str().into_deserializer())?.0
            }
        };
        Ok(of_length(length))
    }
}

impl<'de> Deserialize<'de> for StationField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let known = |word: &str| match word {
            "start" => Some(GroundStation::Start),
            "end" => Some(GroundStation::End),
            _ => None,
        };
        WordOrNumber::deserialize(from)?
            .read(known, |length| GroundStation::At(length.forward()))
            .map(Self)
    }
}

impl<'de> Deserialize<'de> for RackField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let known = |word: &str| match word {
            "level" => Some(Rack::Level),
            "freely" => Some(Rack::Freely),
            _ => None,
        };
        WordOrNumber::deserialize(from)?
            .read(known, Rack::UpTo)
            .map(Self)
    }
}

impl<'de> Deserialize<'de> for CoordinateField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Wanted;
        impl Visitor<'_> for Wanted {
            type Value = CoordinateField;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a coordinate: feet as a number, or text such as \"-12ft6-1/2in\"")
            }

            fn visit_f64<E: de::Error>(self, count: f64) -> Result<CoordinateField, E> {
                let shift = Shift::from_feet(count * of_numbers(FOOT).feet());
                shift.map(CoordinateField).map_err(E::custom)
            }

            fn visit_i64<E: de::Error>(self, count: i64) -> Result<CoordinateField, E> {
                let count = i32::try_from(count)
                    .map_err(|_| E::custom(format!("a coordinate of {count} is out of range")))?;
                self.visit_f64(f64::from(count))
            }

            fn visit_u64<E: de::Error>(self, count: u64) -> Result<CoordinateField, E> {
                let count = u32::try_from(count)
                    .map_err(|_| E::custom(format!("a coordinate of {count} is out of range")))?;
                self.visit_f64(f64::from(count))
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<CoordinateField, E> {
                let reading = reader().read_shift(text).map_err(E::custom)?;
                Ok(CoordinateField(reading.value))
            }
        }
        from.deserialize_any(Wanted)
    }
}

/// In a file, text without a unit is refused: a number says feet, text says its
/// unit.
fn reader() -> LengthReader {
    LengthReader {
        bare: None,
        foot: FootKind::International,
        chain_foot: FootKind::UsSurvey,
    }
}
