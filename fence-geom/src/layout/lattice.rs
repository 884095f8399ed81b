//! The whole steps that a layout counts in, and how lengths snap to them.

use std::fmt;

use super::error::LayoutError;
use crate::length::{Length, Shift};

/// A hair that the conversion of a length to feet may leave, in steps. Far
/// below anything a tape shows, far above the rounding of a float.
const HAIR_STEPS: f64 = 1e-6;

/// How far a product width may be off the lattice, in inches.
const PRODUCT_TOLERANCE_IN: f64 = 1e-3;

/// The largest denominator tried when a step is read as a fraction of an inch.
/// It holds sixty-fourths, thousandths and tenths of a millimeter (1/254 in).
const MOST_PARTS: u32 = 2540;

/// The step that all lengths of a layout are whole multiples of.
///
/// A step is kept as an exact fraction of an inch, so that 1 mm (5/127 in) is
/// as exact as 1/16 in.
///
/// # Examples
///
/// ```
/// use fence_geom::{Lattice, Length};
///
/// let sixteenths = Lattice::from_step(Length::from_inches(0.0625)?)?;
/// assert_eq!(sixteenths, Lattice::SIXTEENTH_INCH);
/// assert_eq!(sixteenths.inches(24), 1.5);
/// assert_eq!(Lattice::MILLIMETER.to_string(), "1 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Lattice {
    /// Invariant: `parts / per_inch` is in lowest terms, at least 1/64.
    parts: u32,
    /// Invariant: within `1..=MOST_PARTS`.
    per_inch: u32,
}

impl Lattice {
    /// Steps of 1/16 in.
    pub const SIXTEENTH_INCH: Self = Self::fraction(1, 16);
    /// Steps of 1/32 in.
    pub const THIRTY_SECOND_INCH: Self = Self::fraction(1, 32);
    /// Steps of 1/64 in, the finest there are.
    pub const SIXTY_FOURTH_INCH: Self = Self::fraction(1, 64);
    /// Steps of 1 mm.
    pub const MILLIMETER: Self = Self::fraction(5, 127);
    /// Steps of half a millimeter.
    pub const HALF_MILLIMETER: Self = Self::fraction(5, 254);

    /// The lattices that an error may propose.
    const USUAL: [Self; 5] = [
        Self::SIXTEENTH_INCH,
        Self::THIRTY_SECOND_INCH,
        Self::SIXTY_FOURTH_INCH,
        Self::MILLIMETER,
        Self::HALF_MILLIMETER,
    ];

    const fn fraction(parts: u32, per_inch: u32) -> Self {
        Self { parts, per_inch }
    }

    /// Creates a lattice from its step.
    ///
    /// # Errors
    ///
    /// [`LayoutError::LatticeStep`] if the step is finer than 1/64 in, or is no
    /// fraction of an inch with at most 2,540 parts, such as sixty-fourths,
    /// thousandths of an inch or tenths of a millimeter.
    pub fn from_step(step: Length) -> Result<Self, LayoutError> {
        let inches = step.inches();
        let refused = LayoutError::LatticeStep { inches };
        // A step longer than a mile leaves nothing to lay out.
        if !(1.0 / 64.0 - 1e-12..=63_360.0).contains(&inches) {
            return Err(refused);
        }
        (1..=MOST_PARTS)
            .find_map(|per_inch| {
                let parts = inches * f64::from(per_inch);
                let whole = parts.round();
                let close = (parts - whole).abs() <= 1e-9_f64.max(whole * 1e-14);
                (close && whole >= 1.0).then(|| Self::fraction(whole_u32(whole), per_inch))
            })
            .ok_or(refused)
    }

    /// Returns the step in inches.
    #[must_use]
    pub fn step_inches(self) -> f64 {
        self.inches(1)
    }

    /// Returns `steps` in inches.
    #[must_use]
    pub fn inches(self, steps: i64) -> f64 {
        float(steps) * f64::from(self.parts) / f64::from(self.per_inch)
    }

    /// Returns `half_steps`, as hole centers are counted, in inches.
    #[must_use]
    pub fn inches_of_halves(self, half_steps: i64) -> f64 {
        self.inches(half_steps) / 2.0
    }

    /// Returns `steps` as a signed length.
    #[must_use]
    pub fn shift(self, steps: i64) -> Shift {
        Shift::saturating(self.inches(steps) / crate::length::INCHES_PER_FOOT)
    }

    /// Returns `half_steps`, as hole centers are counted, as a signed length.
    #[must_use]
    pub fn half_steps(self, half_steps: i64) -> Shift {
        Shift::saturating(self.inches_of_halves(half_steps) / crate::length::INCHES_PER_FOOT)
    }

    /// The length in steps, not yet whole; a hair off a half step is that half.
    fn steps(self, length: Shift) -> f64 {
        let steps = length.inches() * f64::from(self.per_inch) / f64::from(self.parts);
        let halves = (steps * 2.0).round() / 2.0;
        if (steps - halves).abs() <= HAIR_STEPS {
            halves
        } else {
            steps
        }
    }

    /// Snaps to the nearest step, half away from zero.
    pub(crate) fn nearest(self, length: Shift) -> i64 {
        // `round` takes a half away from zero.
        whole_i64(self.steps(length).round())
    }

    /// Snaps to the step at or below.
    pub(super) fn below(self, length: Shift) -> i64 {
        whole_i64(self.steps(length).floor())
    }

    /// Snaps to the step at or above.
    pub(super) fn above(self, length: Shift) -> i64 {
        whole_i64(self.steps(length).ceil())
    }

    /// True where a product of this width can be laid out on this lattice.
    pub(super) fn holds(self, width: Length) -> bool {
        let snapped = self.inches(self.nearest(width.forward()));
        (width.inches() - snapped).abs() <= PRODUCT_TOLERANCE_IN + 1e-9
    }

    /// The first usual lattice that holds all these widths.
    pub(super) fn that_holds(widths: &[Length]) -> Option<Self> {
        Self::USUAL
            .into_iter()
            .find(|lattice| widths.iter().all(|&width| lattice.holds(width)))
    }
}

impl Default for Lattice {
    /// Sixteenths of an inch.
    fn default() -> Self {
        Self::SIXTEENTH_INCH
    }
}

impl fmt::Display for Lattice {
    /// Writes the step as a fraction of an inch or in millimeters.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (parts, per_inch) = (self.parts, self.per_inch);
        if per_inch == 1 {
            return write!(f, "{parts} in");
        }
        let tenths_of_mm = u64::from(parts) * 254;
        if !per_inch.is_power_of_two() && tenths_of_mm.is_multiple_of(u64::from(per_inch)) {
            let tenths = tenths_of_mm / u64::from(per_inch);
            return match tenths % 10 {
                0 => write!(f, "{} mm", tenths / 10),
                tenth => write!(f, "{}.{tenth} mm", tenths / 10),
            };
        }
        write!(f, "{parts}/{per_inch} in")
    }
}

/// Steps stay far below 2^53, where floats count exactly.
#[expect(clippy::cast_precision_loss, reason = "steps are below 2^53")]
fn float(steps: i64) -> f64 {
    steps as f64
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a length of 1e12 ft is below 2^50 steps of 1/64 in"
)]
fn whole_i64(whole: f64) -> i64 {
    whole as i64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most a mile in parts of 1/2540 in, and positive"
)]
fn whole_u32(whole: f64) -> u32 {
    whole as u32
}
