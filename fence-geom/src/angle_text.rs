//! Angles and directions as people write them.
//!
//! | written | read as |
//! | --- | --- |
//! | `N 45°30'15" E`, `N45-30-15E`, `N45d30m15sE`, `N 45.5 E` | quadrant bearing |
//! | `North 45 deg 30 min 15 sec East`, `North 45 degrees East` | quadrant bearing |
//! | `due north`, `North`, `N`, `east` | quadrant bearing along an axis |
//! | `az 123.5`, `azimuth 123°30'` | azimuth, clockwise from north |
//! | `123°30'`, `123-30-00`, `123.5 deg` | azimuth, and it is said so |
//!
//! Nothing is guessed: a bearing without both its letters is refused.

use std::ops::Range;
use std::str::FromStr;

use crate::angle::Angle;
use crate::bearing::{Azimuth, Bearing, EastWest, NorthSouth};
use crate::length::QuantityError;
use crate::quantity_words::{Fault, Kind, Words};
use crate::reading::{ReadError, Reading};

const DIRECTION_EXAMPLE: &str = "N45-30-15E, due north or az123.5";
const ANGLE_EXAMPLE: &str = "45-30-15 or 45.5deg";

/// A direction as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Direction {
    /// A quadrant bearing.
    Bearing(Bearing),
    /// An azimuth, clockwise from north.
    Azimuth(Azimuth),
}

/// A size of an angle, as written.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Size {
    Degrees(f64),
    Radians(f64),
}

/// One of the parts of degrees, minutes and seconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sexagesimal {
    Degrees,
    Minutes,
    Seconds,
}

/// An end of an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pole {
    Meridian(NorthSouth),
    Parallel(EastWest),
}

impl Direction {
    /// Returns the direction clockwise from north.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        match self {
            Self::Bearing(bearing) => bearing.azimuth(),
            Self::Azimuth(azimuth) => azimuth,
        }
    }
}

/// Reads a bearing or an azimuth.
///
/// A number without quadrant letters is an azimuth, in degrees; unless the text
/// says `az`, that is noted as assumed.
///
/// # Errors
///
/// A [`ReadError`] that names the words at fault: a missing letter, minutes or
/// seconds of 60 and more, a bearing past 90° or an azimuth past 360°.
///
/// # Examples
///
/// ```
/// use fence_geom::read_direction;
///
/// let call = read_direction("S 45°30' E")?;
/// assert_eq!(call.value.azimuth().degrees(), 134.5);
///
/// let error = read_direction("89-11-38 East").unwrap_err();
/// assert_eq!(&error.text[error.at], "89-11-38 East");
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
pub fn read_direction(text: &str) -> Result<Reading<Direction>, ReadError> {
    direction(text).map_err(|fault| fault.of(text, "a direction", DIRECTION_EXAMPLE))
}

/// Reads an angle, in degrees where it has no marks: `90`, `90deg`, `-0°30'`,
/// `45-30-15`, `45d30m`.
///
/// # Errors
///
/// A [`ReadError`] that names the words at fault.
///
/// # Examples
///
/// ```
/// use fence_geom::read_angle;
///
/// assert_eq!(read_angle("-0-30")?.value.degrees(), -0.5);
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
pub fn read_angle(text: &str) -> Result<Reading<Angle>, ReadError> {
    angle(text)
        .map(Reading::sure)
        .map_err(|fault| fault.of(text, "an angle", ANGLE_EXAMPLE))
}

fn angle(text: &str) -> Result<Angle, Fault> {
    let mut words = Words::of(text)?;
    let negative = words.take(&Kind::Dash);
    if !negative {
        words.take(&Kind::Plus);
    }
    let (size, at) = size(&mut words)?;
    words.expect_end()?;
    let angle = size.angle(at)?;
    Ok(if negative { -angle } else { angle })
}

fn direction(text: &str) -> Result<Reading<Direction>, Fault> {
    let mut words = Words::of(text)?;
    words.split_names(letter_after_unit);
    if words
        .take_name(|name| (name == "due").then_some(()))
        .is_some()
    {
        return due(&mut words);
    }
    let start = words.here().start;
    match words.take_name(pole) {
        Some(pole) if words.is_at_end() => Ok(Reading::sure(along(pole))),
        Some(Pole::Meridian(from)) => bearing(&mut words, start, from),
        Some(Pole::Parallel(_)) => Err(Fault::new(
            start..words.remainder().end,
            "a bearing starts with N or S",
        )),
        None => azimuth(&mut words, text),
    }
}

fn due(words: &mut Words) -> Result<Reading<Direction>, Fault> {
    let at = words.remainder();
    match words.take_name(pole) {
        Some(pole) if words.is_at_end() => Ok(Reading::sure(along(pole))),
        _ => Err(Fault::new(
            at,
            "after \"due\" comes north, east, south or west and no more",
        )),
    }
}

fn along(pole: Pole) -> Direction {
    let (from, angle, toward) = match pole {
        Pole::Meridian(from) => (from, Angle::default(), EastWest::East),
        Pole::Parallel(toward) => (NorthSouth::North, Angle::RIGHT, toward),
    };
    Direction::Bearing(Bearing::of_quadrant(from, angle, toward))
}

fn bearing(words: &mut Words, start: usize, from: NorthSouth) -> Result<Reading<Direction>, Fault> {
    if words.is_minus_next() {
        return Err(Fault::new(
            words.remainder(),
            "the angle of a bearing has no sign: it is from 0 to 90 degrees",
        ));
    }
    words.take(&Kind::Dash);
    let (size, at) = size(words)?;
    words.take(&Kind::Dash);
    let here = words.here();
    let toward = match words.take_name(pole) {
        Some(Pole::Parallel(toward)) => toward,
        Some(Pole::Meridian(_)) => {
            return Err(Fault::new(here, "a bearing ends with E or W"));
        }
        None if words.is_at_end() => {
            return Err(Fault::new(
                start..at.end,
                "the quadrant is open: E or W is missing after the angle",
            ));
        }
        None => {
            return Err(Fault::new(
                words.remainder(),
                "E or W was expected here, after the angle",
            ));
        }
    };
    words.expect_end()?;
    let angle = size.angle(at.clone())?;
    let bearing = Bearing::new(from, angle, toward).map_err(|_| {
        Fault::new(
            at,
            "the angle of a bearing is from 0 to 90 degrees; find out which figure was meant",
        )
    })?;
    Ok(Reading::sure(Direction::Bearing(bearing)))
}

fn azimuth(words: &mut Words, text: &str) -> Result<Reading<Direction>, Fault> {
    let said = words
        .take_name(|name| matches!(name, "az" | "azimuth").then_some(()))
        .is_some();
    let start = words.here().start;
    if words.take(&Kind::Dash) {
        return Err(Fault::new(
            start..words.remainder().end,
            "an azimuth has no sign: it is from 0 to 360 degrees",
        ));
    }
    let (size, at) = size(words)?;
    if words.take_name(pole).is_some() {
        return Err(Fault::new(
            words.since(start),
            "the quadrant is open: N or S is missing before the angle",
        ));
    }
    words.expect_end()?;
    let azimuth = size.azimuth(at.clone())?;
    let assumed = if said {
        Vec::new()
    } else {
        let written = text.get(at).unwrap_or("");
        vec![format!(
            "{written:?} taken as an azimuth in degrees, clockwise from north"
        )]
    };
    Ok(Reading {
        value: Direction::Azimuth(azimuth),
        assumed,
    })
}

/// Takes degrees with minutes and seconds or decimals, or radians.
fn size(words: &mut Words) -> Result<(Size, Range<usize>), Fault> {
    let start = words.here().start;
    let first = words.figure()?;
    if words
        .take_name(|name| (name == "rad").then_some(()))
        .is_some()
    {
        return Ok((Size::Radians(first.value), words.since(start)));
    }
    expect_mark(words, Sexagesimal::Degrees)?;
    let (mut parts, mut last_is_whole) = ([first.value, 0.0, 0.0], first.whole);
    for (place, part) in [Sexagesimal::Minutes, Sexagesimal::Seconds]
        .into_iter()
        .zip(parts.iter_mut().skip(1))
    {
        if !figure_follows(words) {
            break;
        }
        if !last_is_whole {
            return Err(Fault::new(
                start..words.remainder().end,
                "only the last number of an angle may have decimals or a fraction",
            ));
        }
        words.take(&Kind::Dash);
        let figure = words.figure()?;
        expect_mark(words, place)?;
        if figure.value >= 60.0 {
            return Err(Fault::new(
                figure.at,
                format!("{} must be less than 60", place.plural()),
            ));
        }
        (*part, last_is_whole) = (figure.value, figure.whole);
    }
    let [degrees, minutes, seconds] = parts;
    let value = (seconds / 60.0 + minutes) / 60.0 + degrees;
    Ok((Size::Degrees(value), words.since(start)))
}

/// A number, at once or after a hyphen.
fn figure_follows(words: &Words) -> bool {
    let ahead = usize::from(words.peek(0) == Some(&Kind::Dash));
    matches!(
        words.peek(ahead),
        Some(Kind::Figure { .. } | Kind::Vulgar(_))
    )
}

/// Takes the mark of this part if there is one, and refuses that of another.
fn expect_mark(words: &mut Words, place: Sexagesimal) -> Result<(), Fault> {
    let found = match words.peek(0) {
        Some(Kind::Degree) => Some(Sexagesimal::Degrees),
        Some(Kind::Prime) => Some(Sexagesimal::Minutes),
        Some(Kind::DoublePrime) => Some(Sexagesimal::Seconds),
        Some(Kind::Name(name)) => sexagesimal(name),
        _ => None,
    };
    match found {
        None => Ok(()),
        // "N 45 S" has a second S where a letter E or W should be.
        Some(found) if found == place => {
            words.skip(1);
            Ok(())
        }
        Some(found) => Err(Fault::new(
            words.here(),
            format!(
                "this marks {}, but {} come here; write all of degrees, minutes and seconds",
                found.plural(),
                place.plural(),
            ),
        )),
    }
}

impl Sexagesimal {
    const fn plural(self) -> &'static str {
        match self {
            Self::Degrees => "degrees",
            Self::Minutes => "minutes",
            Self::Seconds => "seconds",
        }
    }
}

impl Size {
    fn angle(self, at: Range<usize>) -> Result<Angle, Fault> {
        match self {
            Self::Degrees(degrees) => Angle::from_degrees(degrees),
            Self::Radians(radians) => Angle::from_radians(radians),
        }
        .map_err(|error| unusable(at, error))
    }

    /// The azimuth, a full turn being north again.
    fn azimuth(self, at: Range<usize>) -> Result<Azimuth, Fault> {
        let (value, full_turn) = match self {
            Self::Degrees(degrees) => (degrees, 360.0),
            Self::Radians(radians) => (radians, std::f64::consts::TAU),
        };
        if value > full_turn {
            return Err(Fault::new(
                at,
                "an azimuth is from 0 to 360 degrees; take whole turns off",
            ));
        }
        match self {
            Self::Degrees(degrees) => Azimuth::from_degrees(degrees),
            Self::Radians(radians) => Azimuth::from_radians(radians),
        }
        .map_err(|error| unusable(at, error))
    }
}

fn unusable(at: Range<usize>, error: QuantityError) -> Fault {
    Fault::new(at, error.to_string())
}

fn pole(name: &str) -> Option<Pole> {
    Some(match name {
        "n" | "north" => Pole::Meridian(NorthSouth::North),
        "s" | "south" => Pole::Meridian(NorthSouth::South),
        "e" | "east" => Pole::Parallel(EastWest::East),
        "w" | "west" => Pole::Parallel(EastWest::West),
        _ => return None,
    })
}

fn sexagesimal(name: &str) -> Option<Sexagesimal> {
    Some(match name {
        "d" | "deg" | "degs" | "degree" | "degrees" => Sexagesimal::Degrees,
        "m" | "min" | "mins" | "minute" | "minutes" => Sexagesimal::Minutes,
        "s" | "sec" | "secs" | "second" | "seconds" => Sexagesimal::Seconds,
        _ => return None,
    })
}

/// Where to cut `sE` in `N45d30m15sE`: a unit with the quadrant letter at its
/// end.
fn letter_after_unit(name: &str) -> Option<usize> {
    let is_unit = |name: &str| name == "rad" || sexagesimal(name).is_some();
    if is_unit(name) {
        return None;
    }
    ["e", "w", "east", "west"]
        .into_iter()
        .find_map(|letter| name.strip_suffix(letter).filter(|unit| is_unit(unit)))
        .map(str::len)
}

impl FromStr for Angle {
    type Err = ReadError;

    /// As [`read_angle`].
    fn from_str(text: &str) -> Result<Self, ReadError> {
        read_angle(text).map(|reading| reading.value)
    }
}

impl FromStr for Direction {
    type Err = ReadError;

    /// As [`read_direction`]; an angle without quadrant letters is an azimuth.
    fn from_str(text: &str) -> Result<Self, ReadError> {
        read_direction(text).map(|reading| reading.value)
    }
}

impl FromStr for Azimuth {
    type Err = ReadError;

    /// As [`read_direction`]; a quadrant bearing becomes its azimuth.
    fn from_str(text: &str) -> Result<Self, ReadError> {
        text.parse().map(Direction::azimuth)
    }
}

impl FromStr for Bearing {
    type Err = ReadError;

    /// As [`read_direction`], but an azimuth is refused.
    fn from_str(text: &str) -> Result<Self, ReadError> {
        match text.parse()? {
            Direction::Bearing(bearing) => Ok(bearing),
            Direction::Azimuth(_) => Err(Fault::new(
                0..text.len(),
                "the quadrant is open: N or S and E or W are missing",
            )
            .of(text, "a bearing", "N45-30-15E or due north")),
        }
    }
}

#[cfg(test)]
mod tests;
