//! Lengths printed for a crew or for a record, with an explicit precision.

use crate::length::{Length, Shift};

/// How finely inches are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum InchFraction {
    /// To the inch.
    Whole,
    /// To 1/2 in.
    Half,
    /// To 1/4 in.
    Quarter,
    /// To 1/8 in, as crews read a tape.
    Eighth,
    /// To 1/16 in.
    Sixteenth,
    /// To 1/32 in.
    ThirtySecond,
    /// To 1/64 in.
    SixtyFourth,
}

/// How a length is printed.
///
/// Each style has a spelling with marks ([`Length::to_text`]) and one that needs
/// no quoting in a shell ([`Length::to_shell_text`]). What is printed reads back,
/// and what was read back prints the same text.
///
/// # Examples
///
/// ```
/// use fence_geom::{InchFraction, Length, LengthStyle};
///
/// let gap = Length::from_inches(150.5)?;
/// assert_eq!(gap.to_text(LengthStyle::CREW), "12' 6-1/2\"");
/// assert_eq!(gap.to_shell_text(LengthStyle::CREW), "12ft6-1/2in");
/// assert_eq!(gap.to_text(LengthStyle::Inches(InchFraction::Eighth)), "150-1/2\"");
/// assert_eq!(gap.to_text(LengthStyle::DecimalFeet { places: 2 }), "12.54 ft");
///
/// let call = Length::from_feet(104.37)?;
/// assert_eq!(call.to_text(LengthStyle::RECORD), "104.37 ft (104' 4-7/16\")");
/// let flag = Length::from_feet(237.4)?;
/// assert_eq!(flag.to_text(LengthStyle::Station { places: 2 }), "2+37.40");
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum LengthStyle {
    /// `12' 6-1/2"`; `12ft6-1/2in` in a shell.
    FeetInches(InchFraction),
    /// `150-1/2"`; `150-1/2in` in a shell.
    Inches(InchFraction),
    /// `12.54 ft`; `12.54ft` in a shell.
    DecimalFeet {
        /// Decimals of a foot; above 9 counts as 9.
        places: u8,
    },
    /// A figure of the record both ways, `104.37 ft (104' 4-7/16")`: the decimals
    /// are the figure, the inches say that same figure again. `104.37ft` in a
    /// shell.
    BothWays {
        /// Decimals of a foot; above 9 counts as 9.
        places: u8,
        /// How fine the inches are.
        fraction: InchFraction,
    },
    /// A station, `2+37.40`: full hundreds of feet, then feet.
    Station {
        /// Decimals of a foot; above 9 counts as 9.
        places: u8,
    },
    /// `3.82 m`; `3.82m` in a shell.
    Meters {
        /// Decimals of a meter; above 9 counts as 9.
        places: u8,
    },
    /// Feet with as many decimals as give back the very same value.
    Exact,
}

/// Which of its two spellings a style is printed in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Spelling {
    Marks,
    Shell,
}

/// Billionths are below anything measured, and a double of some miles still
/// holds them.
const MOST_PLACES: u8 = 9;

impl InchFraction {
    /// Returns how many of this fraction make an inch.
    #[must_use]
    pub const fn per_inch(self) -> u32 {
        match self {
            Self::Whole => 1,
            Self::Half => 2,
            Self::Quarter => 4,
            Self::Eighth => 8,
            Self::Sixteenth => 16,
            Self::ThirtySecond => 32,
            Self::SixtyFourth => 64,
        }
    }
}

impl LengthStyle {
    /// Feet and inches to 1/8 in, for a crew with a tape.
    pub const CREW: Self = Self::FeetInches(InchFraction::Eighth);

    /// A figure of a deed or plat both ways: hundredths of a foot, and 1/16 in.
    pub const RECORD: Self = Self::BothWays {
        places: 2,
        fraction: InchFraction::Sixteenth,
    };
}

impl Length {
    /// Returns the length as text, with marks for feet and inches.
    ///
    /// Each text is rounded from the unrounded length, halves away from zero
    /// where it ends in a fraction of an inch.
    #[must_use]
    pub fn to_text(self, style: LengthStyle) -> String {
        unsigned(self.feet(), style, Spelling::Marks)
    }

    /// Returns the length as text that needs no quoting in a shell.
    #[must_use]
    pub fn to_shell_text(self, style: LengthStyle) -> String {
        unsigned(self.feet(), style, Spelling::Shell)
    }
}

impl Shift {
    /// Returns the shift as text, a minus in front where it goes back.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{LengthStyle, Shift};
    ///
    /// let back = Shift::from_inches(-15.0)?;
    /// assert_eq!(back.to_text(LengthStyle::CREW), "-1' 3\"");
    /// # Ok::<(), fence_geom::QuantityError>(())
    /// ```
    #[must_use]
    pub fn to_text(self, style: LengthStyle) -> String {
        self.signed(style, Spelling::Marks)
    }

    /// Returns the shift as text that needs no quoting in a shell.
    #[must_use]
    pub fn to_shell_text(self, style: LengthStyle) -> String {
        self.signed(style, Spelling::Shell)
    }

    fn signed(self, style: LengthStyle, spelling: Spelling) -> String {
        let text = unsigned(self.magnitude().feet(), style, spelling);
        with_sign(self.feet() < 0.0, text)
    }
}

/// Puts a minus before `text` unless all its figures are zero: what rounds to
/// nothing has no sign.
pub(crate) fn with_sign(negative: bool, text: String) -> String {
    if negative && text.contains(|c: char| matches!(c, '1'..='9')) {
        format!("-{text}")
    } else {
        text
    }
}

fn unsigned(feet: f64, style: LengthStyle, spelling: Spelling) -> String {
    let gap = match spelling {
        Spelling::Marks => " ",
        Spelling::Shell => "",
    };
    match style {
        LengthStyle::FeetInches(fraction) => feet_inches(feet, fraction, spelling),
        LengthStyle::Inches(fraction) => {
            let mark = inch_mark(spelling);
            format!("{}{mark}", inches(ticks(feet, fraction), fraction))
        }
        LengthStyle::DecimalFeet { places } => format!("{}{gap}ft", decimals(feet, places)),
        LengthStyle::BothWays { places, fraction } => both_ways(feet, places, fraction, spelling),
        LengthStyle::Station { places } => station(feet, places),
        LengthStyle::Meters { places } => {
            let meters = feet * crate::length::METERS_PER_FOOT;
            format!("{}{gap}m", decimals(meters, places))
        }
        LengthStyle::Exact => format!("{feet}{gap}ft"),
    }
}

pub(crate) fn decimals(value: f64, places: u8) -> String {
    format!("{value:.*}", usize::from(places.min(MOST_PLACES)))
}

/// The nearest whole number of the fraction.
///
/// A length that was made from inches in binary fractions gives those inches
/// back exactly, so a half is seen as a half. Source: D. Goldberg, "What Every
/// Computer Scientist Should Know About Floating-Point Arithmetic", ACM
/// Computing Surveys 23 (1991), Theorem 7, with 12 = 8 + 4.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a length is from 0 to 1e12 ft, so at most 7.7e14 sixty-fourths of an inch"
)]
fn ticks(feet: f64, fraction: InchFraction) -> u64 {
    (feet * 12.0 * f64::from(fraction.per_inch())).round() as u64
}

const fn inch_mark(spelling: Spelling) -> &'static str {
    match spelling {
        Spelling::Marks => "\"",
        Spelling::Shell => "in",
    }
}

fn feet_inches(feet: f64, fraction: InchFraction, spelling: Spelling) -> String {
    let ticks = ticks(feet, fraction);
    let per_foot = 12 * u64::from(fraction.per_inch());
    let inches = inches(ticks % per_foot, fraction);
    let inch_mark = inch_mark(spelling);
    match (ticks / per_foot, spelling) {
        (0, _) => format!("{inches}{inch_mark}"),
        // After feet a bare fraction would be easy to overlook.
        (feet, _) if inches.contains('/') && !inches.contains('-') => match spelling {
            Spelling::Marks => format!("{feet}' 0-{inches}{inch_mark}"),
            Spelling::Shell => format!("{feet}ft0-{inches}{inch_mark}"),
        },
        (feet, Spelling::Marks) => format!("{feet}' {inches}{inch_mark}"),
        (feet, Spelling::Shell) => format!("{feet}ft{inches}{inch_mark}"),
    }
}

/// `6`, `6-1/2` or `1/2`, the fraction in lowest terms.
fn inches(ticks: u64, fraction: InchFraction) -> String {
    let per_inch = u64::from(fraction.per_inch());
    let (whole, mut over, mut under) = (ticks / per_inch, ticks % per_inch, per_inch);
    if over == 0 {
        return whole.to_string();
    }
    while over.is_multiple_of(2) {
        over /= 2;
        under /= 2;
    }
    if whole == 0 {
        format!("{over}/{under}")
    } else {
        format!("{whole}-{over}/{under}")
    }
}

fn both_ways(feet: f64, places: u8, fraction: InchFraction, spelling: Spelling) -> String {
    let figure = decimals(feet, places);
    match spelling {
        Spelling::Shell => format!("{figure}ft"),
        Spelling::Marks => {
            // A printed number always parses; the unrounded one would do as well.
            let printed = figure.parse().unwrap_or(feet);
            let inches = feet_inches(printed, fraction, spelling);
            format!("{figure} ft ({inches})")
        }
    }
}

/// Splits the printed figure, not the number, so that 99.999 becomes `1+00.00`.
fn station(feet: f64, places: u8) -> String {
    let figure = decimals(feet, places);
    let (whole, decimals) = figure
        .split_once('.')
        .map_or((figure.as_str(), None), |(whole, decimals)| {
            (whole, Some(decimals))
        });
    let padded = format!("{whole:0>3}");
    let (hundreds, rest) = padded
        .split_at_checked(padded.len().saturating_sub(2))
        .unwrap_or(("0", whole));
    decimals.map_or_else(
        || format!("{hundreds}+{rest}"),
        |decimals| format!("{hundreds}+{rest}.{decimals}"),
    )
}

#[cfg(test)]
mod tests;
