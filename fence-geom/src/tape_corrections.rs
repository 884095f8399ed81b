//! What a taped distance is once slope, temperature, pull, sag and a tape of the
//! wrong length are taken out of it. Nothing is corrected unless it is asked for.
//!
//! Forces are in pounds, temperatures in degrees Fahrenheit, areas in square
//! inches, as tapes are marked.
//!
//! # Source
//!
//! U.S. Navy training manual *Engineering Aid Basics*, taping corrections, pp.
//! 12-14 and 12-15 (temperature, slope); J. Mahun, *Open Access Surveying
//! Library*, "Distances", chapter E, taping (length, pull, sag). The formulas are
//! those of any textbook; each stands at its function.

use crate::angle::Angle;
use crate::length::{Length, Shift};
use crate::standards::{STEEL_TAPE_EXPANSION_PER_DEG_F, STEEL_TAPE_STANDARD_DEG_F};

/// Young's modulus of steel, in pounds to the square inch: 29 million.
///
/// Source: J. Mahun, *Open Access Surveying Library*, "Distances", chapter E,
/// example. Status: read.
pub const STEEL_TAPE_MODULUS_PSI: f64 = 29e6;

/// The steepest ground that is taken for a slope and not for a mistake: 60
/// degrees, past which no one tapes. Common practice, no source.
const STEEPEST: f64 = std::f64::consts::FRAC_PI_3;

/// How the ground lay under a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slope {
    /// So much rise for each foot of level distance: 0.05 is five in a hundred.
    Grade(f64),
    /// So much difference in height between the ends.
    Rise(Shift),
    /// So much above or below level.
    Vertical(Angle),
}

/// A tape whose length is not what is printed on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrueLength {
    /// What is printed on it.
    pub marked: Length,
    /// What it is.
    pub actual: Length,
}

/// The warmth of a tape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmth {
    /// The tape's temperature when it was read, °F.
    pub deg_f: f64,
    /// The temperature at which it has its length, °F.
    pub standard_deg_f: f64,
    /// How much of its length it grows for each degree.
    pub expansion_per_deg_f: f64,
}

/// The pull on a tape that has its length at another one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// The pull when it was read, in pounds.
    pub pounds: f64,
    /// The pull at which it has its length, in pounds.
    pub standard_pounds: f64,
    /// The area of its section, in square inches.
    pub area_sq_in: f64,
    /// Young's modulus, in pounds to the square inch.
    pub modulus_psi: f64,
}

/// A tape that hangs between supports, and has its length when it lies flat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sag {
    /// Its weight, in pounds to the foot.
    pub pounds_per_foot: f64,
    /// The pull when it was read, in pounds.
    pub pull_pounds: f64,
    /// How far apart the supports are; the last stretch may be shorter. Longer
    /// than the reading is one span.
    pub span: Length,
}

/// What is to be corrected of a tape's readings.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, TapeCorrections, Warmth};
///
/// let cold = TapeCorrections { warmth: Some(Warmth::of_steel(22.0)), ..Default::default() };
/// let corrected = cold.correct(Length::from_feet(368.5)?, None)?;
/// assert_eq!(format!("{:.2}", corrected.level.feet()), "368.39");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TapeCorrections {
    /// A tape of the wrong length.
    pub true_length: Option<TrueLength>,
    /// A tape warmer or colder than its standard.
    pub warmth: Option<Warmth>,
    /// A tape pulled more or less than its standard.
    pub pull: Option<Pull>,
    /// A tape that hangs.
    pub sag: Option<Sag>,
}

/// Which correction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CorrectionKind {
    /// For a tape of the wrong length.
    TrueLength,
    /// For temperature.
    Temperature,
    /// For pull.
    Pull,
    /// For sag.
    Sag,
    /// For slope.
    Slope,
}

/// A corrected reading.
#[derive(Clone, Debug, PartialEq)]
pub struct CorrectedTape {
    /// What the tape read.
    pub read: Length,
    /// The level distance.
    pub level: Length,
    /// Each correction, to be added, in the order in which they were made.
    pub parts: Vec<(CorrectionKind, Shift)>,
}

/// Why a reading can't be corrected.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CorrectionError {
    /// A figure out of range.
    #[error("{what} must be {wanted}, got {value}")]
    Figure {
        /// What it is of.
        what: &'static str,
        /// What it must be.
        wanted: &'static str,
        /// What it is.
        value: f64,
    },
    /// A slope too steep for the reading.
    #[error(
        "a tape of {read:.2} can't rise {rise:.2}: past 60 degrees measure the level distance itself"
    )]
    Steep {
        /// What the tape read.
        read: Length,
        /// The rise.
        rise: Length,
    },
    /// Corrections larger than the reading.
    #[error("the corrections take {by:.2} from a reading of {read:.2}: check their figures")]
    TooMuch {
        /// What the tape read.
        read: Length,
        /// What they come to.
        by: Length,
    },
}

impl Warmth {
    /// A steel tape at the given temperature, °F, with the usual standard
    /// temperature and expansion of steel.
    #[must_use]
    pub const fn of_steel(deg_f: f64) -> Self {
        Self {
            deg_f,
            standard_deg_f: STEEL_TAPE_STANDARD_DEG_F,
            expansion_per_deg_f: STEEL_TAPE_EXPANSION_PER_DEG_F,
        }
    }
}

impl TapeCorrections {
    /// Returns the level distance that a reading stands for.
    ///
    /// The corrections for the tape are each worked out from the reading and
    /// added up; the slope is taken out of their sum.
    ///
    /// # Errors
    ///
    /// [`CorrectionError`] if a figure is out of range or the corrections are
    /// larger than the reading.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Angle, Length, Slope, TapeCorrections};
    ///
    /// let slope = Slope::Vertical(Angle::from_degrees(5.0)?);
    /// let read = Length::from_feet(300.0)?;
    /// let corrected = TapeCorrections::default().correct(read, Some(slope))?;
    /// assert_eq!(format!("{:.2}", corrected.level.feet()), "298.86");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn correct(
        &self,
        read: Length,
        slope: Option<Slope>,
    ) -> Result<CorrectedTape, CorrectionError> {
        let feet = read.feet();
        let mut parts = Vec::new();
        if let Some(tape) = self.true_length {
            parts.push((CorrectionKind::TrueLength, for_length(feet, tape)?));
        }
        if let Some(warmth) = self.warmth {
            parts.push((CorrectionKind::Temperature, for_warmth(feet, warmth)?));
        }
        if let Some(pull) = self.pull {
            parts.push((CorrectionKind::Pull, for_pull(feet, pull)?));
        }
        if let Some(sag) = self.sag {
            parts.push((CorrectionKind::Sag, for_sag(feet, sag)?));
        }
        let sum: f64 = parts.iter().map(|(_, part)| part).sum();
        let along = Length::from_feet(feet + sum).map_err(|_| CorrectionError::TooMuch {
            read,
            by: Length::saturating(sum.abs()),
        })?;
        if let Some(slope) = slope {
            let level = level(along, slope)?;
            parts.push((CorrectionKind::Slope, level - along.feet()));
        }
        let all: f64 = parts.iter().map(|(_, part)| part).sum();
        Ok(CorrectedTape {
            read,
            level: Length::saturating(feet + all),
            parts: parts
                .into_iter()
                .map(|(kind, part)| (kind, Shift::saturating(part)))
                .collect(),
        })
    }
}

/// L (actual - marked) / marked: a long tape reads too little.
fn for_length(feet: f64, tape: TrueLength) -> Result<f64, CorrectionError> {
    let (marked, actual) = (tape.marked.feet(), tape.actual.feet());
    let ratio = actual / marked - 1.0;
    // A tape that is off by more is another tape, or another unit.
    if !(-0.02..=0.02).contains(&ratio) {
        return Err(CorrectionError::Figure {
            what: "the tape's actual length",
            wanted: "within 2 % of the marked one",
            value: actual,
        });
    }
    Ok(feet * ratio)
}

/// k L (T - T0): a warm tape is long and reads too little.
fn for_warmth(feet: f64, warmth: Warmth) -> Result<f64, CorrectionError> {
    for deg_f in [warmth.deg_f, warmth.standard_deg_f] {
        ranged("a tape's temperature", "-60 to 180 °F", deg_f, -60.0, 180.0)?;
    }
    let expansion = warmth.expansion_per_deg_f;
    ranged(
        "expansion",
        "0 to 0.0001 for a degree",
        expansion,
        0.0,
        1e-4,
    )?;
    Ok(expansion * feet * (warmth.deg_f - warmth.standard_deg_f))
}

/// (P - P0) L / (A E): a tape pulled hard is long and reads too little.
fn for_pull(feet: f64, pull: Pull) -> Result<f64, CorrectionError> {
    for pounds in [pull.pounds, pull.standard_pounds] {
        ranged("pull", "0 to 200 lb", pounds, 0.0, 200.0)?;
    }
    let (area, modulus) = (pull.area_sq_in, pull.modulus_psi);
    ranged("a tape's section", "0.0001 to 1 sq in", area, 1e-4, 1.0)?;
    ranged(
        "Young's modulus",
        "10,000 to 100,000,000 psi",
        modulus,
        1e4,
        1e8,
    )?;
    Ok((pull.pounds - pull.standard_pounds) * feet / (area * modulus))
}

/// - w^2 l^3 / (24 P^2) for each span l: a tape that hangs reads too much.
fn for_sag(feet: f64, sag: Sag) -> Result<f64, CorrectionError> {
    let (weight, pull, span) = (sag.pounds_per_foot, sag.pull_pounds, sag.span.feet());
    ranged("a tape's weight", "0 to 1 lb to the foot", weight, 0.0, 1.0)?;
    ranged(
        "pull",
        "1 to 200 lb for a tape that hangs",
        pull,
        1.0,
        200.0,
    )?;
    ranged("span", "1 to 1,000 ft", span, 1.0, 1000.0)?;
    let of = |span: f64| (weight / pull).powi(2) * span.powi(3) / 24.0;
    let spans = (feet / span).floor();
    Ok(-(spans * of(span) + of(feet - spans * span)))
}

/// The level part of a distance along a slope.
fn level(along: Length, slope: Slope) -> Result<f64, CorrectionError> {
    let feet = along.feet();
    match slope {
        Slope::Grade(grade) => {
            let steepest = STEEPEST.tan();
            ranged("grade", "within 170 %", grade, -steepest, steepest)?;
            Ok(feet / 1.0_f64.hypot(grade))
        }
        Slope::Vertical(angle) => {
            let degrees = angle.degrees();
            ranged("vertical angle", "within 60 degrees", degrees, -60.0, 60.0)?;
            Ok(feet * angle.radians().cos())
        }
        Slope::Rise(rise) => {
            let height = rise.feet().abs();
            if height > feet * STEEPEST.sin() {
                return Err(CorrectionError::Steep {
                    read: along,
                    rise: rise.magnitude(),
                });
            }
            Ok(((feet - height) * (feet + height)).sqrt())
        }
    }
}

fn ranged(
    what: &'static str,
    wanted: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<(), CorrectionError> {
    if (least..=most).contains(&value) {
        Ok(())
    } else {
        Err(CorrectionError::Figure {
            what,
            wanted,
            value,
        })
    }
}
