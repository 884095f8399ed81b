//! Lengths as people write them.
//!
//! | written | read as |
//! | --- | --- |
//! | `12' 6-1/2"`, `12ft6-1/2in`, `12 feet 6½ inches`, `12'-6"` | feet and inches |
//! | `12.54'`, `12.54 feet`, `.71 ft`, `1,234.56 ft` | decimal feet |
//! | `6-1/2in`, `6 1/2"`, `54''` | inches |
//! | `3 yd`, `3.82 m`, `382cm`, `3820 mm` | yards and metric |
//! | `2 ch 15 lk`, `10 rods`, `3 poles`, `7 perches` | the chain family |
//! | `500 us ft`, `500 survey feet`, `500sft` | U.S. survey feet |
//! | `2+37.40` | a station: 237.40 ft, full stations being 100 ft |
//! | `104.37 ft (104' 4-7/16")` | one figure said twice; the first counts |
//!
//! What can be read in two ways, such as `12-6-1/2`, is refused.

use std::ops::Range;
use std::str::FromStr;

use crate::length::{Length, Shift};
use crate::quantity_words::{Fault, Kind, Words};
use crate::reading::{ReadError, Reading};
use crate::units::{FootKind, LengthUnit};

const EXAMPLE: &str = "12ft6-1/2in, 12.54ft or 3.82m";

/// How far apart two figures for one length may be: half an inch and a hair,
/// because the second one may be rounded to the inch.
const PAIR_TOLERANCE_FEET: f64 = 0.042;

/// The words of the longest unit name, `u.s. survey feet`.
const LONGEST_UNIT_NAME: usize = 3;

/// How to read a length where the text leaves something open.
///
/// # Examples
///
/// ```
/// use fence_geom::{FootKind, LengthReader, LengthUnit};
///
/// let reader = LengthReader::bare(LengthUnit::Foot(FootKind::International));
/// let reading = reader.read("12.5")?;
/// assert_eq!(reading.value.feet(), 12.5);
/// assert_eq!(reading.assumed, ["\"12.5\" taken as feet"]);
///
/// let reading = LengthReader::strict().read("12ft6-1/2in")?;
/// assert_eq!(reading.value.inches(), 150.5);
/// assert!(reading.assumed.is_empty());
/// assert!(LengthReader::strict().read("12.5").is_err());
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LengthReader {
    /// The unit of a number without one; `None` refuses such a number.
    pub bare: Option<LengthUnit>,
    /// The foot that "feet" means, and that inches and yards go by beside feet.
    pub foot: FootKind,
    /// The foot that chains, links, rods, poles and perches are made of.
    pub chain_foot: FootKind,
}

/// A count of one unit.
struct Part {
    count: f64,
    whole: bool,
    unit: LengthUnit,
    at: Range<usize>,
}

/// The words of one reading and what was assumed on the way.
struct Parser<'a> {
    reader: &'a LengthReader,
    text: &'a str,
    words: Words,
    assumed: Vec<String>,
}

impl LengthReader {
    /// Returns a reader that refuses a number without a unit; feet are
    /// international, chains and rods of survey feet.
    #[must_use]
    pub const fn strict() -> Self {
        Self {
            bare: None,
            foot: FootKind::International,
            chain_foot: FootKind::UsSurvey,
        }
    }

    /// Returns a reader that takes a number without a unit as a count of `unit`
    /// and says so; otherwise as [`LengthReader::strict`].
    #[must_use]
    pub const fn bare(unit: LengthUnit) -> Self {
        Self {
            bare: Some(unit),
            ..Self::strict()
        }
    }

    /// Reads a length.
    ///
    /// # Errors
    ///
    /// A [`ReadError`] that names the words at fault: nothing to read, an unknown
    /// unit, none where one is needed, units out of order, a sign, a fraction
    /// over zero, or a length beyond [`Length::MAX_FEET`].
    pub fn read(&self, text: &str) -> Result<Reading<Length>, ReadError> {
        self.signed(text, false)
            .map(|reading| Reading {
                value: reading.value.magnitude(),
                assumed: reading.assumed,
            })
            .map_err(|fault| fault.of(text, "a length", EXAMPLE))
    }

    /// Reads a signed length, such as `-3in` or `+1ft2in`; without a sign it is
    /// forward.
    ///
    /// # Errors
    ///
    /// As [`LengthReader::read`], but a sign in front is welcome.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::LengthReader;
    ///
    /// let shift = LengthReader::strict().read_shift("-1ft3in")?.value;
    /// assert_eq!(shift.inches(), -15.0);
    /// # Ok::<(), fence_geom::ReadError>(())
    /// ```
    pub fn read_shift(&self, text: &str) -> Result<Reading<Shift>, ReadError> {
        self.signed(text, true)
            .map_err(|fault| fault.of(text, "a shift", "-3in, 1ft2-1/2in or -0.25ft"))
    }

    /// Reads the name of a unit, such as `ft`, `inches` or `us ft`.
    ///
    /// # Errors
    ///
    /// A [`ReadError`] if it is none that lengths are read in.
    pub fn read_unit(&self, text: &str) -> Result<Reading<LengthUnit>, ReadError> {
        self.unit_alone(text)
            .map_err(|fault| fault.of(text, "a unit of length", "ft, in, m or us-ft"))
    }

    fn unit_alone(&self, text: &str) -> Result<Reading<LengthUnit>, Fault> {
        let mut parser = self.parser(text)?;
        let Some(value) = parser.unit()? else {
            return Err(Fault::new(
                parser.words.remainder(),
                "only the name of a unit belongs here",
            ));
        };
        parser.words.expect_end()?;
        Ok(Reading {
            value,
            assumed: parser.assumed,
        })
    }

    fn parser<'a>(&'a self, text: &'a str) -> Result<Parser<'a>, Fault> {
        Ok(Parser {
            reader: self,
            text,
            words: Words::of(text)?,
            assumed: Vec::new(),
        })
    }

    fn signed(&self, text: &str, signs: bool) -> Result<Reading<Shift>, Fault> {
        let mut parser = self.parser(text)?;
        let negative = parser.sign(signs)?;
        let feet = parser.feet()?;
        parser.second_figure(feet)?;
        parser.words.expect_end()?;
        let value = Length::from_feet(feet)
            .map_err(|error| Fault::new(0..text.len(), error.to_string()))?
            .forward();
        Ok(Reading {
            value: if negative { -value } else { value },
            assumed: parser.assumed,
        })
    }
}

impl Parser<'_> {
    fn sign(&mut self, signs: bool) -> Result<bool, Fault> {
        let at = self.words.here();
        let negative = self.words.take(&Kind::Dash);
        let signed = negative || self.words.take(&Kind::Plus);
        if signed && !signs {
            return Err(Fault::new(
                at,
                "a length has no sign: it is zero or more; leave the sign out",
            ));
        }
        Ok(negative)
    }

    /// One figure, in international feet.
    fn feet(&mut self) -> Result<f64, Fault> {
        if self.words.peek(1) == Some(&Kind::Plus) {
            return self.station();
        }
        let mut parts: Vec<Part> = Vec::new();
        loop {
            let part = self.part(parts.last())?;
            parts.push(part);
            self.separator();
            if self.is_at_end_of_figure() {
                break;
            }
        }
        check_order(&parts)?;
        Ok(total_feet(&parts))
    }

    fn is_at_end_of_figure(&self) -> bool {
        matches!(self.words.peek(0), None | Some(Kind::Open | Kind::Close))
    }

    /// What may stand between `12 ft` and `6 in`.
    fn separator(&mut self) {
        let is_separator = match self.words.peek(0) {
            Some(Kind::Dash | Kind::Comma) => true,
            Some(Kind::Name(name)) => name == "and",
            _ => false,
        };
        if is_separator
            && matches!(
                self.words.peek(1),
                Some(Kind::Figure { .. } | Kind::Vulgar(_))
            )
        {
            self.words.skip(1);
        }
    }

    fn part(&mut self, before: Option<&Part>) -> Result<Part, Fault> {
        let figure = self.words.figure()?;
        let start = figure.at.start;
        let unit = match self.unit()? {
            Some(unit) => unit,
            None => self.unwritten_unit(&figure.at, before)?,
        };
        Ok(Part {
            count: figure.value,
            whole: figure.whole,
            unit,
            at: self.words.since(start),
        })
    }

    /// The unit that stands next, if one does.
    fn unit(&mut self) -> Result<Option<LengthUnit>, Fault> {
        match self.words.peek(0) {
            Some(Kind::Prime) => {
                self.words.skip(1);
                Ok(Some(LengthUnit::Foot(self.reader.foot)))
            }
            Some(Kind::DoublePrime) => {
                self.words.skip(1);
                Ok(Some(LengthUnit::Inch))
            }
            Some(Kind::Name(_)) => self.named_unit().map(Some),
            _ => Ok(None),
        }
    }

    fn named_unit(&mut self) -> Result<LengthUnit, Fault> {
        let at = self.words.here();
        let names = self.names_ahead();
        for count in (1..=names.len()).rev() {
            let name = names.get(..count).unwrap_or(&[]).join(" ");
            if let Some(unit) = self.reader.unit_named(&name) {
                // Hyphens in between, as in us-ft, are words of their own.
                let mut names_left = count;
                while names_left > 0 {
                    if matches!(self.words.peek(0), Some(Kind::Name(_))) {
                        names_left -= 1;
                    }
                    self.words.skip(1);
                }
                self.note_chain(unit, &name);
                return Ok(unit);
            }
        }
        let written = self.text.get(at.clone()).unwrap_or("");
        Err(Fault::new(
            at,
            format!("{written:?} is no unit known here: use ft, in, yd, m, cm, mm, ch, lk or rd"),
        ))
    }

    /// The names that stand next, hyphens between them left out.
    fn names_ahead(&self) -> Vec<String> {
        let mut names = Vec::new();
        let mut ahead = 0;
        while names.len() < LONGEST_UNIT_NAME {
            match (self.words.peek(ahead), self.words.peek(ahead + 1)) {
                (Some(Kind::Name(name)), _) => names.push(name.clone()),
                (Some(Kind::Dash), Some(Kind::Name(_))) => (),
                _ => break,
            }
            ahead += 1;
        }
        names
    }

    fn note_chain(&mut self, unit: LengthUnit, name: &str) {
        if matches!(
            unit,
            LengthUnit::Chain(_) | LengthUnit::Link(_) | LengthUnit::Rod(_)
        ) {
            self.assumed
                .push(format!("\"{name}\" taken as {}", unit.plural()));
        }
    }

    /// The unit of a number that has none: inches after feet, or the reader's.
    fn unwritten_unit(
        &mut self,
        at: &Range<usize>,
        before: Option<&Part>,
    ) -> Result<LengthUnit, Fault> {
        let written = self.text.get(at.clone()).unwrap_or("");
        if !self.is_at_end_of_figure() {
            return Err(Fault::new(
                at.start..self.words.remainder().end,
                "this can be read in more than one way; write the unit after each number",
            ));
        }
        match (before.map(|part| part.unit), self.reader.bare) {
            (Some(LengthUnit::Foot(_)), _) => {
                self.assumed.push(format!(
                    "{written:?} taken as inches, because it follows feet"
                ));
                Ok(LengthUnit::Inch)
            }
            (None, Some(unit)) => {
                self.assumed
                    .push(format!("{written:?} taken as {}", unit.plural()));
                Ok(unit)
            }
            _ => Err(Fault::new(
                at.clone(),
                format!("{written:?} has no unit; write it after the number"),
            )),
        }
    }

    /// A station, `2+37.40`: hundreds of feet, then feet.
    fn station(&mut self) -> Result<f64, Fault> {
        let start = self.words.here().start;
        let hundreds = self.words.peek(0).cloned();
        let feet = self.words.peek(2).cloned();
        self.words.skip(3);
        let at = self.words.since(start);
        let (
            Some(Kind::Figure {
                value: hundreds,
                whole: true,
                ..
            }),
            Some(Kind::Figure {
                value: feet,
                whole_digits: 2,
                ..
            }),
        ) = (hundreds, feet)
        else {
            return Err(Fault::new(
                at,
                "a station is a whole number, a plus and two digits of feet, such as 2+05.50",
            ));
        };
        let unit = match self.unit()? {
            None => LengthUnit::Foot(self.reader.foot),
            Some(unit @ LengthUnit::Foot(_)) => unit,
            Some(unit) => {
                return Err(Fault::new(
                    at,
                    format!("a station is in feet, not in {}", unit.plural()),
                ));
            }
        };
        Ok(unit.in_feet(hundreds * 100.0 + feet))
    }

    /// The same length in other words, in parentheses.
    fn second_figure(&mut self, first: f64) -> Result<(), Fault> {
        let start = self.words.here().start;
        if !self.words.take(&Kind::Open) {
            return Ok(());
        }
        let second = self.feet()?;
        if !self.words.take(&Kind::Close) {
            return Err(Fault::new(
                start..self.words.remainder().end,
                "the parenthesis is not closed",
            ));
        }
        let gap = (second - first).abs();
        if gap > PAIR_TOLERANCE_FEET {
            return Err(Fault::new(
                self.words.since(start),
                format!(
                    "the two figures differ by {gap:.2} ft; find out which one holds and give only that"
                ),
            ));
        }
        Ok(())
    }
}

impl LengthReader {
    fn unit_named(&self, name: &str) -> Option<LengthUnit> {
        Some(match name {
            "ft" | "foot" | "feet" => LengthUnit::Foot(self.foot),
            "international ft" | "international foot" | "international feet" | "intl ft"
            | "ift" => LengthUnit::Foot(FootKind::International),
            "us ft" | "usft" | "ft us" | "ftus" | "sft" | "us survey ft" | "us survey foot"
            | "us survey feet" | "survey ft" | "survey foot" | "survey feet" | "us foot"
            | "us feet" => LengthUnit::Foot(FootKind::UsSurvey),
            "in" | "ins" | "inch" | "inches" => LengthUnit::Inch,
            "yd" | "yds" | "yard" | "yards" => LengthUnit::Yard,
            "m" | "meter" | "meters" | "metre" | "metres" => LengthUnit::Meter,
            "cm" | "centimeter" | "centimeters" | "centimetre" | "centimetres" => {
                LengthUnit::Centimeter
            }
            "mm" | "millimeter" | "millimeters" | "millimetre" | "millimetres" => {
                LengthUnit::Millimeter
            }
            "ch" | "chs" | "chain" | "chains" => LengthUnit::Chain(self.chain_foot),
            "lk" | "lks" | "link" | "links" => LengthUnit::Link(self.chain_foot),
            "rd" | "rds" | "rod" | "rods" | "pole" | "poles" | "perch" | "perches" => {
                LengthUnit::Rod(self.chain_foot)
            }
            _ => return None,
        })
    }
}

/// Refuses `6 in 12 ft`, `12.5 ft 6 in`, `12 ft 14 in` and `3 m 2 ft`.
fn check_order(parts: &[Part]) -> Result<(), Fault> {
    for (larger, smaller) in parts.iter().zip(parts.iter().skip(1)) {
        let both = larger.at.start..smaller.at.end;
        let many = larger.unit.nominal_ratio(smaller.unit);
        if larger.unit.is_metric() != smaller.unit.is_metric() {
            return Err(Fault::new(
                both,
                "metric units don't add to feet; use one system",
            ));
        }
        if many <= 1.0 {
            return Err(Fault::new(
                both,
                "the units are out of order; write the larger one first, each once",
            ));
        }
        if !larger.whole {
            return Err(Fault::new(
                larger.at.clone(),
                "only the last number may have decimals or a fraction",
            ));
        }
        if smaller.count >= many {
            return Err(Fault::new(
                smaller.at.clone(),
                format!(
                    "after {} there must be fewer than {many} {}; carry the rest over",
                    larger.unit.plural(),
                    smaller.unit.plural(),
                ),
            ));
        }
    }
    Ok(())
}

/// The sum of the parts in international feet.
///
/// Counted in the smallest unit first, which is exact for feet and inches in
/// binary fractions, so that only the last conversion rounds.
fn total_feet(parts: &[Part]) -> f64 {
    let Some(last) = parts.last() else {
        return 0.0;
    };
    let mut kinds = parts.iter().filter_map(|part| part.unit.foot_kind());
    let kind = kinds.next();
    if kinds.any(|other| Some(other) != kind) {
        return parts.iter().map(|part| part.unit.in_feet(part.count)).sum();
    }
    let count = parts
        .iter()
        .map(|part| part.count * part.unit.nominal_ratio(last.unit))
        .sum();
    last.unit.in_feet_of(count, kind)
}

/// Refuses what was read only by an assumption.
fn without_assumption<T>(
    reading: Reading<T>,
    text: &str,
    wanted: &'static str,
) -> Result<T, ReadError> {
    match reading.assumed.first() {
        None => Ok(reading.value),
        Some(assumed) => Err(Fault::new(
            0..text.len(),
            format!("it can be read only by an assumption ({assumed})"),
        )
        .of(text, wanted, EXAMPLE)),
    }
}

impl FromStr for Length {
    type Err = ReadError;

    /// Reads a length that leaves nothing open: each number has its unit, and
    /// chains and rods are refused, because the text doesn't say of which foot
    /// they are. [`LengthReader`] reads those.
    fn from_str(text: &str) -> Result<Self, ReadError> {
        let reading = LengthReader::strict().read(text)?;
        without_assumption(reading, text, "a length")
    }
}

impl FromStr for Shift {
    type Err = ReadError;

    /// As for [`Length`], with a sign in front where it is wanted.
    fn from_str(text: &str) -> Result<Self, ReadError> {
        let reading = LengthReader::strict().read_shift(text)?;
        without_assumption(reading, text, "a shift")
    }
}

#[cfg(test)]
mod tests;
