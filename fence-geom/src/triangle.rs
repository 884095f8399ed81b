//! Triangles from three tape readings: angle and area.

use crate::angle::Angle;
use crate::length::{Area, Length};

/// One of the three tape readings at a corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CornerReading {
    /// Along the first side, from the corner.
    FirstLeg,
    /// Along the second side, from the corner.
    SecondLeg,
    /// Straight between the ends of the legs.
    Diagonal,
}

/// Why three tape readings do not make a triangle.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TriangleError {
    /// The longest side exceeds the other two laid end to end.
    #[error(
        "the sides do not meet: {which} reads {reading:.3}, which is {gap:.3} longer than the other two together; measure all three again"
    )]
    SidesDoNotMeet {
        /// The longest reading.
        which: CornerReading,
        /// What it reads.
        reading: Length,
        /// How far the two shorter sides fall short of it.
        gap: Length,
    },
    /// A leg of no length has no direction.
    #[error("{which} is zero: an angle needs two legs with a length")]
    NoLength {
        /// The leg.
        which: CornerReading,
    },
}

impl std::fmt::Display for CornerReading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::FirstLeg => "the first leg",
            Self::SecondLeg => "the second leg",
            Self::Diagonal => "the diagonal",
        })
    }
}

/// Returns the angle between two legs whose ends are `diagonal` apart, 0° to
/// 180°.
///
/// # Errors
///
/// [`TriangleError::NoLength`] for a leg of zero,
/// [`TriangleError::SidesDoNotMeet`] if there is no such triangle.
///
/// # Accuracy
///
/// A few units in the last place for the sides as given, near 0° and 180° as
/// well, where the law of cosines loses half of the digits. The parentheses
/// are the algorithm: do not rearrange them.
///
/// # Source
///
/// W. Kahan, *Miscalculating Area and Angles of a Needle-like Triangle*,
/// lecture notes, University of California, Berkeley, section "How to compute
/// angles".
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, angle_of_sides};
///
/// let [a, b, c] = [30.0, 40.0, 50.0].map(Length::from_feet);
/// assert!((angle_of_sides(a?, b?, c?)?.degrees() - 90.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn angle_of_sides(
    first_leg: Length,
    second_leg: Length,
    diagonal: Length,
) -> Result<Angle, TriangleError> {
    for (which, leg) in [
        (CornerReading::FirstLeg, first_leg),
        (CornerReading::SecondLeg, second_leg),
    ] {
        if leg <= Length::ZERO {
            return Err(TriangleError::NoLength { which });
        }
    }
    check_meeting(first_leg, second_leg, diagonal)?;

    // Kahan's a >= b, and c opposite the angle.
    let (a, b) = if first_leg >= second_leg {
        (first_leg.feet(), second_leg.feet())
    } else {
        (second_leg.feet(), first_leg.feet())
    };
    let c = diagonal.feet();
    let mu = if b >= c { c - (a - b) } else { b - (a - c) };
    let above = ((a - b) + c) * mu.max(0.0);
    let below = (a + (b + c)) * ((a - c) + b).max(0.0);
    Ok(Angle::of_radians(2.0 * above.sqrt().atan2(below.sqrt())))
}

/// Returns the diagonal to read between two legs at the given angle, by the law
/// of cosines. The angle may be either hand's.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Length, third_side};
///
/// let leg = Length::from_feet(20.0)?;
/// let diagonal = third_side(leg, leg, Angle::from_degrees(60.0)?);
/// assert!((diagonal.feet() - 20.0).abs() < 1e-12);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn third_side(first_leg: Length, second_leg: Length, angle: Angle) -> Length {
    let (a, b) = (first_leg.feet(), second_leg.feet());
    let half = (angle.radians() / 2.0).sin();
    Length::saturating(if half < 0.5 {
        // With half angles nothing cancels near 0 degrees.
        (a - b).hypot(2.0 * half * (a * b).sqrt())
    } else {
        // By its parts along and across the first leg, 3-4-5 comes out whole.
        let (sin, cos) = angle.radians().sin_cos();
        (a - b * cos).hypot(b * sin)
    })
}

/// Returns the area of the triangle with the given sides, in any order.
///
/// Three sides in line give zero, not an error: the crew taped a straight run.
///
/// # Errors
///
/// [`TriangleError::SidesDoNotMeet`] if no such triangle exists; the sides are
/// named there as two legs and a diagonal, in the order given.
///
/// # Accuracy
///
/// A few units in the last place for the sides as given, even for needle-like
/// triangles, where the half-sum formula can lose every digit.
///
/// # Source
///
/// As [`angle_of_sides`].
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, triangle_area};
///
/// let [a, b, c] = [30.0, 40.0, 50.0].map(Length::from_feet);
/// assert_eq!(triangle_area(a?, b?, c?)?.square_feet(), 600.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn triangle_area(p: Length, q: Length, r: Length) -> Result<Area, TriangleError> {
    check_meeting(p, q, r)?;
    let product = product_of_sides(p.feet(), q.feet(), r.feet());
    Ok(Area::saturating(product.sqrt() / 4.0))
}

/// Sixteen times the square of the area of a triangle; zero where rounding alone
/// keeps the sides from meeting.
pub(crate) fn product_of_sides(p: f64, q: f64, r: f64) -> f64 {
    let mut sides = [p, q, r];
    sides.sort_by(|s, t| t.total_cmp(s));
    let [a, b, c] = sides; // Kahan's a >= b >= c.
    (a + (b + c)) * (c - (a - b)).max(0.0) * (c + (a - b)) * (a + (b - c))
}

/// Refuses a longest side that exceeds the other two together by more than what
/// the rounding of the three numbers can do.
fn check_meeting(
    first_leg: Length,
    second_leg: Length,
    diagonal: Length,
) -> Result<(), TriangleError> {
    let mut sides = [
        (CornerReading::FirstLeg, first_leg),
        (CornerReading::SecondLeg, second_leg),
        (CornerReading::Diagonal, diagonal),
    ];
    sides.sort_by(|s, t| t.1.feet().total_cmp(&s.1.feet()));
    let [(which, reading), (_, middle), (_, shortest)] = sides;
    let gap = (reading.feet() - middle.feet()) - shortest.feet();
    if gap > 4.0 * f64::EPSILON * reading.feet() {
        let gap = Length::saturating(gap);
        return Err(TriangleError::SidesDoNotMeet {
            which,
            reading,
            gap,
        });
    }
    Ok(())
}
