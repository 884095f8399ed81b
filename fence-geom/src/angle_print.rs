//! Angles and directions printed with an explicit precision.

use std::fmt;

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::{Azimuth, Bearing, EastWest, NorthSouth};
use crate::length_print::{decimals, with_sign};

/// How an angle is printed.
///
/// Each style has a spelling with marks (`to_text`) and one that needs no
/// quoting in a shell (`to_shell_text`). What is printed reads back, and what was
/// read back prints the same text.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, AngleStyle, Bearing};
///
/// let call: Bearing = "North 45 deg 30 min 15 sec East".parse()?;
/// assert_eq!(call.to_text(AngleStyle::SECONDS), "N 45°30'15\" E");
/// assert_eq!(call.to_shell_text(AngleStyle::SECONDS), "N45-30-15E");
///
/// let turn: Angle = "-0-30".parse()?;
/// assert_eq!(turn.to_text(AngleStyle::SECONDS), "-0°30'00\"");
/// assert_eq!(turn.to_text(AngleStyle::Decimal { places: 2 }), "-0.50°");
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum AngleStyle {
    /// Degrees, minutes and seconds: `45°30'15"`; `45-30-15` in a shell.
    Dms {
        /// Decimals of a second; above 6 counts as 6.
        decimals: u8,
    },
    /// Degrees and decimals: `45.504°`; `45.504deg` in a shell.
    Decimal {
        /// Decimals of a degree; above 9 counts as 9.
        places: u8,
    },
    /// Degrees with as many decimals as give back the very same value, or
    /// radians where no number of degrees does.
    Exact,
}

/// The marks of one spelling.
#[derive(Clone, Copy)]
struct Marks {
    degree: &'static str,
    minute: &'static str,
    second: &'static str,
    decimal_degree: &'static str,
    radian: &'static str,
    /// Between the letters of a bearing and its angle.
    gap: &'static str,
}

const TEXT: Marks = Marks {
    degree: "°",
    minute: "'",
    second: "\"",
    decimal_degree: "°",
    radian: " rad",
    gap: " ",
};

const SHELL: Marks = Marks {
    degree: "-",
    minute: "-",
    second: "",
    decimal_degree: "deg",
    radian: "rad",
    gap: "",
};

/// A double of some turns holds no finer parts of a second.
const MOST_SECOND_DECIMALS: u8 = 6;

/// What arithmetic on an angle may add to its seconds.
const SECONDS_OF_NOISE: f64 = 1e-8;

impl AngleStyle {
    /// Degrees, minutes and whole seconds, as deeds have them.
    pub const SECONDS: Self = Self::Dms { decimals: 0 };

    /// Returns the seconds with the fewest decimals, five at most, that print the whole
    /// of an angle that somebody wrote down; whole seconds where none do, because a
    /// computed angle has decimals without end.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Angle, AngleStyle};
    ///
    /// let style = |text: &str| Ok::<_, fence_geom::ReadError>(AngleStyle::as_given(text.parse()?));
    /// assert_eq!(style("45-30-15.25")?, AngleStyle::Dms { decimals: 2 });
    /// assert_eq!(style("45.5")?, AngleStyle::SECONDS);
    /// assert_eq!(AngleStyle::as_given(Angle::from_radians(1.0)?), AngleStyle::SECONDS);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn as_given(angle: Angle) -> Self {
        let seconds = angle.degrees().abs() * 3600.0;
        (0..MOST_SECOND_DECIMALS)
            .find(|&decimals| {
                let ticks = 10_f64.powi(i32::from(decimals));
                let printed = (seconds * ticks).round() / ticks;
                (seconds - printed).abs() <= SECONDS_OF_NOISE
            })
            .map_or(Self::SECONDS, |decimals| Self::Dms { decimals })
    }
}

/// Gives a type its two spellings, and seconds by default where it is displayed.
macro_rules! print_angle {
    ($type:ty, $print:expr) => {
        impl $type {
            /// Returns this as text, with marks for degrees, minutes and seconds.
            #[must_use]
            pub fn to_text(self, style: AngleStyle) -> String {
                $print(self, style, TEXT)
            }

            /// Returns this as text that needs no quoting in a shell.
            #[must_use]
            pub fn to_shell_text(self, style: AngleStyle) -> String {
                $print(self, style, SHELL)
            }
        }

        /// Degrees, minutes and seconds; a precision asks for decimals of a
        /// second.
        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let decimals = f
                    .precision()
                    .map_or(0, |decimals| u8::try_from(decimals).unwrap_or(u8::MAX));
                f.write_str(&self.to_text(AngleStyle::Dms { decimals }))
            }
        }
    };
}

print_angle!(Angle, angle);
print_angle!(Azimuth, azimuth);
print_angle!(Bearing, bearing);
print_angle!(Direction, direction);

fn direction(direction: Direction, style: AngleStyle, marks: Marks) -> String {
    match direction {
        Direction::Bearing(it) => bearing(it, style, marks),
        Direction::Azimuth(it) => azimuth(it, style, marks),
    }
}

fn bearing(bearing: Bearing, style: AngleStyle, marks: Marks) -> String {
    let from = match bearing.from() {
        NorthSouth::North => 'N',
        NorthSouth::South => 'S',
    };
    let toward = match bearing.toward() {
        EastWest::East => 'E',
        EastWest::West => 'W',
    };
    let angle = angle(bearing.angle(), style, marks);
    let gap = marks.gap;
    format!("{from}{gap}{angle}{gap}{toward}")
}

/// As an angle, but what rounds up to a full turn is north again.
fn azimuth(azimuth: Azimuth, style: AngleStyle, marks: Marks) -> String {
    let degrees = azimuth.degrees();
    match style {
        AngleStyle::Dms { decimals } => {
            let full_turn = 360 * 3600 * power_of_ten(decimals);
            dms(second_ticks(degrees, decimals) % full_turn, decimals, marks)
        }
        AngleStyle::Decimal { places } => {
            let text = decimals(degrees, places);
            // "360" or "360.00" can only come from rounding.
            let text = if text.starts_with("360") {
                decimals(0.0, places)
            } else {
                text
            };
            format!("{text}{}", marks.decimal_degree)
        }
        AngleStyle::Exact => exact(azimuth.radians(), marks, |degrees| {
            Azimuth::from_degrees(degrees).map_or(f64::NAN, Azimuth::radians)
        }),
    }
}

fn angle(angle: Angle, style: AngleStyle, marks: Marks) -> String {
    let size = angle.radians().abs();
    let degrees = angle.degrees().abs();
    let text = match style {
        AngleStyle::Dms { decimals } => dms(second_ticks(degrees, decimals), decimals, marks),
        AngleStyle::Decimal { places } => {
            format!("{}{}", decimals(degrees, places), marks.decimal_degree)
        }
        AngleStyle::Exact => exact(size, marks, f64::to_radians),
    };
    with_sign(angle.radians() < 0.0, text)
}

/// Degrees that `read` turns back into `radians`, or the radians themselves.
fn exact(radians: f64, marks: Marks, read: impl Fn(f64) -> f64) -> String {
    let degrees = radians.to_degrees();
    [degrees, degrees.next_down(), degrees.next_up()]
        .into_iter()
        .filter(|&candidate| candidate >= 0.0)
        .find(|&candidate| read(candidate).to_bits() == radians.to_bits())
        .map_or_else(
            || format!("{radians}{}", marks.radian),
            |degrees| format!("{degrees}{}", marks.decimal_degree),
        )
}

fn power_of_ten(decimals: u8) -> u64 {
    10_u64.pow(u32::from(decimals.min(MOST_SECOND_DECIMALS)))
}

/// The nearest whole number of the last printed place of a second.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "an angle is within 1e9 degrees, so at most 3.6e18 millionths of a second"
)]
fn second_ticks(degrees: f64, decimals: u8) -> u64 {
    (degrees.abs() * 3600.0 * power_of_ten(decimals) as f64).round() as u64
}

/// Carries by whole numbers, so that 59.999" becomes the next minute.
fn dms(ticks: u64, decimals: u8, marks: Marks) -> String {
    let per_second = power_of_ten(decimals);
    let (seconds, part) = (ticks / per_second, ticks % per_second);
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    let (degrees, minutes) = (minutes / 60, minutes % 60);
    let part = if decimals == 0 {
        String::new()
    } else {
        let width = usize::from(decimals.min(MOST_SECOND_DECIMALS));
        format!(".{part:0width$}")
    };
    let Marks {
        degree,
        minute,
        second,
        ..
    } = marks;
    format!("{degrees}{degree}{minutes:02}{minute}{seconds:02}{part}{second}")
}

#[cfg(test)]
mod tests;
