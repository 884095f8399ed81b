//! Where tapes and lines meet. Both answers are returned where two exist, never
//! a guess.

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::ring::Turn;
use crate::triangle::product_of_sides;

/// Lines that differ in direction by less than this do not meet: one second of
/// arc, below which a crossing is a guess by any instrument a crew holds.
const PARALLEL_RADIANS: f64 = std::f64::consts::PI / 648_000.0;

/// Where two tapes, each held at a known point, come together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TapesMeet {
    /// They just reach each other, on the line through the known points.
    Touch(Point),
    /// They cross twice.
    Cross {
        /// To the left of the way from the first known point to the second.
        left: Point,
        /// To the right of it.
        right: Point,
    },
}

/// Where a line meets the circle that a tape sweeps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LineMeetsTape {
    /// It grazes the circle.
    Touch(Crossing),
    /// It crosses the circle twice.
    Cross {
        /// The crossing that comes first along the line.
        first: Crossing,
        /// The one that comes after it.
        second: Crossing,
    },
}

/// A place on a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Where it is.
    pub at: Point,
    /// How far along the line from its start: negative is behind it.
    pub along: Shift,
}

/// Where two lines meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinesMeet {
    /// Where it is.
    pub at: Point,
    /// How far along the first line from its start: negative is behind it.
    pub along_first: Shift,
    /// How far along the second line from its start: negative is behind it.
    pub along_second: Shift,
    /// The angle from the first direction to the second, positive clockwise.
    pub angle: Angle,
}

/// Why there is no meeting.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum IntersectError {
    /// The two known points are one.
    #[error("the two known points are the same place: two tapes need two points that stand apart")]
    SamePoint,
    /// The tapes are too short.
    #[error(
        "the two tapes do not reach each other: together they are {gap:.3} shorter than the {apart:.3} between the known points; measure both again"
    )]
    TooShort {
        /// How far apart the known points are.
        apart: Length,
        /// How much is missing.
        gap: Length,
    },
    /// One tape is too long.
    #[error(
        "the two tapes do not meet: the longer one is {gap:.3} more than the shorter one and the {apart:.3} between the known points together; measure both again"
    )]
    TooLong {
        /// How far apart the known points are.
        apart: Length,
        /// How much is too much.
        gap: Length,
    },
    /// The line passes outside.
    #[error(
        "the line passes {gap:.3} beyond the reach of the tape; check the direction and the reading"
    )]
    Misses {
        /// How far outside.
        gap: Length,
    },
    /// The lines have one direction.
    #[error("the two lines run parallel (within a second of arc) and do not meet")]
    Parallel,
}

/// Returns where two tapes meet, each held at a known point.
///
/// # Errors
///
/// [`IntersectError`]: the tapes do not reach each other or one is too long,
/// with the gap; or the points are the same.
///
/// # Source
///
/// The half-chord is the height of the triangle of the three sides, from its
/// area as W. Kahan computes it (see [`angle_of_sides`](crate::angle_of_sides)).
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, Point, TapesMeet, tapes_meet};
///
/// let (a, b) = (Point::new(0.0, 0.0)?, Point::new(0.0, 50.0)?);
/// let answer = tapes_meet(a, Length::from_feet(30.0)?, b, Length::from_feet(40.0)?)?;
/// let TapesMeet::Cross { left, right } = answer else { panic!() };
/// // From A to B is east, so north is to the left.
/// assert_eq!((left.north(), left.east()), (24.0, 18.0));
/// assert_eq!((right.north(), right.east()), (-24.0, 18.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn tapes_meet(
    first: Point,
    first_reading: Length,
    second: Point,
    second_reading: Length,
) -> Result<TapesMeet, IntersectError> {
    let way = second - first;
    let apart = way.length();
    let unit = way.unit().ok_or(IntersectError::SamePoint)?;
    let (d, r, s) = (apart.feet(), first_reading.feet(), second_reading.feet());
    // The distance carries the rounding of the coordinates it came from.
    let rounding = 4.0 * f64::EPSILON * [d, r, s, size(first), size(second)].iter().sum::<f64>();
    if d <= rounding {
        return Err(IntersectError::SamePoint);
    }
    let (short_by, long_by) = ((d - r) - s, (r - s).abs() - d);
    if short_by > rounding {
        let gap = Length::saturating(short_by);
        return Err(IntersectError::TooShort { apart, gap });
    }
    if long_by > rounding {
        let gap = Length::saturating(long_by);
        return Err(IntersectError::TooLong { apart, gap });
    }
    let along = f64::midpoint(d, (r - s) * (r + s) / d);
    let foot = first + unit * along;
    if short_by.max(long_by) >= -rounding {
        return Ok(TapesMeet::Touch(foot));
    }
    // Twice the area over the base.
    let aside = product_of_sides(d, r, s).sqrt() / (2.0 * d);
    let to_right = unit.turned_right() * aside;
    Ok(TapesMeet::Cross {
        left: foot - to_right,
        right: foot + to_right,
    })
}

/// Returns where two lines meet, each through a known point in a known
/// direction; a meeting behind a start is told by its sign.
///
/// # Errors
///
/// [`IntersectError::Parallel`].
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Point, lines_meet};
///
/// let (a, b) = (Point::new(0.0, 0.0)?, Point::new(0.0, 100.0)?);
/// let (northeast, northwest) = (Azimuth::from_degrees(45.0)?, Azimuth::from_degrees(315.0)?);
/// let corner = lines_meet(a, northeast, b, northwest)?;
/// assert!((corner.at.north() - 50.0).abs() < 1e-12);
/// assert!((corner.along_first.feet() - 70.710_678).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn lines_meet(
    first: Point,
    first_direction: Azimuth,
    second: Point,
    second_direction: Azimuth,
) -> Result<LinesMeet, IntersectError> {
    let (u, v) = (along(first_direction), along(second_direction));
    let sine = u.cross(v);
    if sine.abs() < PARALLEL_RADIANS {
        return Err(IntersectError::Parallel);
    }
    let way = second - first;
    let (t, s) = (way.cross(v) / sine, way.cross(u) / sine);
    Ok(LinesMeet {
        at: first + u * t,
        along_first: Shift::saturating(t),
        along_second: Shift::saturating(s),
        angle: Angle::of_radians(sine.atan2(u.dot(v))),
    })
}

/// Returns where the line from `start` in `direction` is `reading` away from
/// `center`; a meeting behind the start is told by its sign.
///
/// # Errors
///
/// [`IntersectError::Misses`] with the gap.
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Length, LineMeetsTape, Point, line_meets_tape};
///
/// let (start, tree) = (Point::new(0.0, 0.0)?, Point::new(3.0, 10.0)?);
/// let east = Azimuth::from_degrees(90.0)?;
/// let answer = line_meets_tape(start, east, tree, Length::from_feet(5.0)?)?;
/// let LineMeetsTape::Cross { first, second } = answer else { panic!() };
/// assert!((first.along.feet() - 6.0).abs() < 1e-12);
/// assert!((second.along.feet() - 14.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn line_meets_tape(
    start: Point,
    direction: Azimuth,
    center: Point,
    reading: Length,
) -> Result<LineMeetsTape, IntersectError> {
    let u = along(direction);
    let way = center - start;
    let (foot, aside) = (way.dot(u), way.cross(u).abs());
    let r = reading.feet();
    let crossing = |t: f64| Crossing {
        at: start + u * t,
        along: Shift::saturating(t),
    };
    let rounding = 4.0 * f64::EPSILON * (size(start) + size(center) + r + aside);
    if aside - r > rounding {
        let gap = Length::saturating(aside - r);
        return Err(IntersectError::Misses { gap });
    }
    if r - aside <= rounding {
        return Ok(LineMeetsTape::Touch(crossing(foot)));
    }
    let half = ((r - aside) * (r + aside)).sqrt();
    Ok(LineMeetsTape::Cross {
        first: crossing(foot - half),
        second: crossing(foot + half),
    })
}

impl TapesMeet {
    /// Returns the answer on the given hand of the way from the first known
    /// point to the second; the only one where they touch.
    #[must_use]
    pub const fn on(self, hand: Turn) -> Point {
        match (self, hand) {
            (Self::Touch(at), _)
            | (Self::Cross { left: at, .. }, Turn::Left)
            | (Self::Cross { right: at, .. }, Turn::Right) => at,
        }
    }
}

fn along(direction: Azimuth) -> Displacement {
    let (sin, cos) = direction.radians().sin_cos();
    Displacement::of_feet(cos, sin)
}

fn size(point: Point) -> f64 {
    point.north().abs() + point.east().abs()
}
