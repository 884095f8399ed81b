//! The geometry of one corner: its angle, where two offset lines meet, where a
//! corner post stands, and the diagonal that checks it.

use std::f64::consts::PI;

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::{Length, Shift};
use crate::ring::{Ring, Side, Turn};

/// The legs of the smallest check triangle, in feet. With its multiples a crew
/// needs no table at a square corner.
const UNIT_LEGS: (f64, f64) = (3.0, 4.0);

/// The largest multiple of [`UNIT_LEGS`] to ask for: 30 and 40 ft, whose
/// diagonal a 100 ft tape reads with ease.
const MOST_UNITS: f64 = 10.0;

/// What rounding leaves of the sine of a straight angle in radians.
const SINE_OF_STRAIGHT: f64 = 1e-15;

/// How a flag at the meeting of two offset lines is reached from its pin.
///
/// All three are measured from the pin. A negative way along a line goes off its
/// end: at a reflex corner the flag lies beyond both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Miter {
    /// Back along the side that arrives at the pin, to the foot of the flag.
    pub along_before: Shift,
    /// On along the side that leaves the pin, to the foot of the flag.
    pub along_after: Shift,
    /// Straight from the pin to the flag.
    pub straight: Length,
}

/// Why a corner has no such geometry.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CornerError {
    /// The angle is not that of a corner.
    #[error(
        "a corner has an interior angle of more than 0 and less than 360 degrees, got {degrees} degrees: check the order of the corners"
    )]
    Angle {
        /// The angle, in degrees.
        degrees: f64,
    },
    /// The offset lines are parallel.
    #[error(
        "two sides in one line, offset {before:.3} ft and {after:.3} ft, do not meet: give both one distance, or join them by a square jog"
    )]
    Parallel {
        /// The distance from the side that arrives, in feet.
        before: f64,
        /// The distance from the side that leaves, in feet.
        after: f64,
    },
}

/// Returns the angle at corner `i` on the inside of the ring, more than 0° and
/// less than 360°; 180° where the sides run straight on.
///
/// An arc counts with its tangent at the corner.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Ring, interior_angle};
///
/// let lot = Ring::of_lines([
///     ("A", Point::new(0.0, 0.0)?),
///     ("B", Point::new(100.0, 0.0)?),
///     ("C", Point::new(100.0, 50.0)?),
/// ])?;
/// assert!((interior_angle(&lot, 1).degrees() - 90.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn interior_angle(ring: &Ring, i: usize) -> Angle {
    let turned = deflection(ring, i);
    match ring.interior() {
        Turn::Right => Angle::STRAIGHT - turned,
        Turn::Left => Angle::STRAIGHT + turned,
    }
}

/// Returns how far the way around the ring turns at corner `i`, more than -180°
/// and up to 180°: positive to the right, negative to the left.
#[must_use]
pub fn deflection(ring: &Ring, i: usize) -> Angle {
    let n = ring.len();
    let arriving = end_direction(ring, (i + n - 1) % n);
    let leaving = start_direction(ring, i % n);
    let turned = arriving.clockwise_to(leaving);
    if turned.radians() > PI {
        turned - Angle::STRAIGHT - Angle::STRAIGHT
    } else {
        turned
    }
}

/// Returns where the offset lines of two sides meet, from the interior angle
/// between the sides and the distance of each line, positive to the inside.
///
/// # Errors
///
/// [`CornerError::Angle`] unless the angle lies between 0° and 360°;
/// [`CornerError::Parallel`] for sides in one line with different distances.
///
/// # Source
///
/// Plane trigonometry: with `A` the angle and `p`, `q` the distances, the foot on
/// the first side is (q + p cos A) / sin A from the corner; written here as
/// p cot(A/2) + (q - p) / sin A, which keeps its digits near a straight angle.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Shift, miter};
///
/// let half = Shift::from_inches(6.0)?;
/// let flag = miter(Angle::RIGHT, half, half)?;
/// assert!((flag.along_before.inches() - 6.0).abs() < 1e-9);
/// assert!((flag.straight.inches() - 6.0 * 2f64.sqrt()).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn miter(interior: Angle, before: Shift, after: Shift) -> Result<Miter, CornerError> {
    let (p, q) = (before.feet(), after.feet());
    let half_cotangent = half_cotangent(interior)?;
    let sin = interior.radians().sin();
    // Equal distances meet at any angle, so nothing is divided for them.
    let difference = q - p;
    let skew = if difference.abs() <= 0.0 {
        0.0
    } else if sin.abs() < SINE_OF_STRAIGHT {
        return Err(CornerError::Parallel {
            before: p,
            after: q,
        });
    } else {
        difference / sin
    };
    let along_before = p * half_cotangent + skew;
    Ok(Miter {
        along_before: Shift::saturating(along_before),
        along_after: Shift::saturating(q * half_cotangent - skew),
        straight: Length::saturating(along_before.hypot(p)),
    })
}

/// Returns how far from the flag the center of a corner post stands along each
/// run: (w/2) cot(A/2), with `w` the width and `A` the interior angle.
///
/// The flag marks where the outside faces of the two runs meet. Past 180° the
/// result is negative: the center lies beyond the flag.
///
/// # Errors
///
/// [`CornerError::Angle`] unless the angle lies between 0° and 360°.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Length, corner_post_setback};
///
/// let setback = corner_post_setback(Length::from_inches(5.0)?, Angle::RIGHT)?;
/// assert!((setback.inches() - 2.5).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn corner_post_setback(width: Length, interior: Angle) -> Result<Shift, CornerError> {
    Ok(Shift::saturating(
        width.feet() / 2.0 * half_cotangent(interior)?,
    ))
}

/// Returns how far from the flag the inner face of a corner post stands along
/// each run: half the post beyond its center.
///
/// # Errors
///
/// As [`corner_post_setback`].
pub fn corner_post_face(width: Length, interior: Angle) -> Result<Shift, CornerError> {
    let center = corner_post_setback(width, interior)?;
    Ok(Shift::saturating(center.feet() + width.feet() / 2.0))
}

/// Returns the longest check legs for a corner between two runs: a multiple of
/// 3 and 4 ft, at most 30 and 40 ft, that fits the runs; `None` where not even
/// 3 and 4 ft fit. The longer leg lies along the longer run.
#[must_use]
pub fn check_legs(before: Length, after: Length) -> Option<(Length, Length)> {
    let (short, long) = UNIT_LEGS;
    let (lesser, greater) = if before <= after {
        (before, after)
    } else {
        (after, before)
    };
    let units = (lesser.feet() / short)
        .min(greater.feet() / long)
        .min(MOST_UNITS)
        .floor();
    if units < 1.0 {
        return None;
    }
    let legs = (
        Length::saturating(short * units),
        Length::saturating(long * units),
    );
    Some(if before <= after {
        legs
    } else {
        (legs.1, legs.0)
    })
}

/// The cotangent of half an interior angle.
fn half_cotangent(interior: Angle) -> Result<f64, CornerError> {
    let half = interior.radians() / 2.0;
    if !(half > 0.0 && half < PI) {
        return Err(CornerError::Angle {
            degrees: interior.degrees(),
        });
    }
    Ok(half.cos() / half.sin())
}

/// The direction in which side `i` leaves its first corner.
fn start_direction(ring: &Ring, i: usize) -> Azimuth {
    ring.direction(i).turned(-half_turning(ring, i))
}

/// The direction in which side `i` arrives at its second corner.
fn end_direction(ring: &Ring, i: usize) -> Azimuth {
    ring.direction(i).turned(half_turning(ring, i))
}

/// The angle from the chord of a side to its tangent at the far end, positive to
/// the right.
fn half_turning(ring: &Ring, i: usize) -> Angle {
    match ring.sides().get(i) {
        Some(Side::Arc { delta, turn }) => turn.signed(Angle::of_radians(delta.radians() / 2.0)),
        _ => Angle::default(),
    }
}

#[cfg(test)]
mod tests;
