//! Lengths as people write them: read in every common spelling, printed for a
//! crew or for a record.

use crate::length::Length;
use crate::reading::{ReadError, Reading};
use crate::units::{FootKind, LengthUnit};

/// How to read a length where the text leaves something open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LengthReader {
    /// The unit of a number without one; `None` refuses such a number.
    pub bare: Option<LengthUnit>,
    /// The foot that "feet" means.
    pub foot: FootKind,
    /// The foot that chains, links, rods, poles and perches are made of.
    pub chain_foot: FootKind,
}

impl LengthReader {
    /// Reads a length.
    ///
    /// # Errors
    ///
    /// A [`ReadError`] that names the words at fault.
    pub fn read(&self, text: &str) -> Result<Reading<Length>, ReadError> {
        let number: f64 = text
            .trim()
            .trim_end_matches("ft")
            .trim_end()
            .parse()
            .map_err(|_| refused(text))?;
        let length = Length::from_feet(number).map_err(|_| refused(text))?;
        Ok(Reading::sure(length))
    }
}

fn refused(text: &str) -> ReadError {
    ReadError {
        text: text.to_owned(),
        wanted: "a length",
        at: 0..text.len(),
        problem: "not a number".to_owned(),
        example: "12ft6-1/2in, 12.54ft or 3.82m",
    }
}
