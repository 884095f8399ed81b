//! Quantities in a file: a number, in feet unless the request names another unit, or
//! text with its unit. They are read
//! while the file is, so that an error shows the line and the words at fault.

use fence_geom::{
    Azimuth, FootKind, GroundStation, Length, LengthReader, Point, QuantityError, Rack, ReadError,
    Shift, read_direction,
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

/// Exactly two: a third is a slip, which a pair would pass over.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema)]
#[schemars(transparent)]
pub(crate) struct Two<T>(pub(crate) [T; 2]);

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

/// Reads a number or a text; `wanted` says what, where it is neither.
pub(crate) fn number_or_text<'de, D, T>(
    from: D,
    wanted: &'static str,
    of_number: impl Fn(f64) -> Result<T, QuantityError>,
    of_text: impl Fn(&str) -> Result<T, ReadError>,
) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
{
    struct Wanted<N, S>(&'static str, N, S);
    impl<T, N, S> Visitor<'_> for Wanted<N, S>
    where
        N: Fn(f64) -> Result<T, QuantityError>,
        S: Fn(&str) -> Result<T, ReadError>,
    {
        type Value = T;

        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str(self.0)
        }

        fn visit_f64<E: de::Error>(self, number: f64) -> Result<T, E> {
            self.1(number).map_err(|error| E::custom(format!("{error}: expected {}", self.0)))
        }

        fn visit_i64<E: de::Error>(self, number: i64) -> Result<T, E> {
            let exact = i32::try_from(number)
                .map_err(|_| E::custom(format!("{number} is out of range: expected {}", self.0)))?;
            self.visit_f64(f64::from(exact))
        }

        fn visit_u64<E: de::Error>(self, number: u64) -> Result<T, E> {
            let exact = u32::try_from(number)
                .map_err(|_| E::custom(format!("{number} is out of range: expected {}", self.0)))?;
            self.visit_f64(f64::from(exact))
        }

        fn visit_str<E: de::Error>(self, text: &str) -> Result<T, E> {
            self.2(text).map_err(E::custom)
        }
    }
    from.deserialize_any(Wanted(wanted, of_number, of_text))
}

impl<'de> Deserialize<'de> for LengthField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        number_or_text(
            from,
            "a length: feet as a number, or text such as \"12ft6-1/2in\"",
            |count| of_numbers(FOOT).length(count),
            |text| Ok(reader().read(text)?.value),
        )
        .map(Self)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Two<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let all = Vec::<T>::deserialize(from)?;
        let count = all.len();
        all.try_into().map(Self).map_err(|_| {
            de::Error::custom(format!(
                "two values belong between the brackets, not {count}"
            ))
        })
    }
}

impl<'de> Deserialize<'de> for CoordinateField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        number_or_text(
            from,
            "a coordinate: feet as a number, or text such as \"-12ft6-1/2in\"",
            |count| Shift::from_feet(count * of_numbers(FOOT).feet()),
            |text| Ok(reader().read_shift(text)?.value),
        )
        .map(Self)
    }
}

impl<'de> Deserialize<'de> for DirectionField {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        number_or_text(
            from,
            "a direction such as \"north\" or \"N45-30-15E\"",
            Azimuth::from_degrees,
            |text| Ok(read_direction(text)?.value.azimuth()),
        )
        .map(Self)
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

/// In a file, text without a unit is refused: a number says feet, text says its
/// unit.
fn reader() -> LengthReader {
    LengthReader {
        bare: None,
        foot: FootKind::International,
        chain_foot: FootKind::UsSurvey,
    }
}
