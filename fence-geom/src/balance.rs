//! Balancing: the misclosure of a traverse shared out among its courses.
//!
//! A balanced course is computed: it is no longer what the paper says.
//!
//! A curve is balanced by its long chord, which is its course; it keeps its central
//! angle and its hand, so that its radius and its arc grow or shrink with the chord.
//! The angle is what a record of curves holds firmest, and a balanced tract whose
//! curves still turn as they did joins the lines beside them nearly as before.

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::length::{Area, Length, Shift};
use crate::point::Displacement;
use crate::ring::{Corner, Ring, RingError, Side};
use crate::standards::{TAPE_READING, TAPE_SCALE};
use crate::traverse::{Course, Traverse, enclosed, sides_of};

/// How the misclosure is shared out.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum BalanceRule {
    /// In proportion to the lengths of the courses (Bowditch's rule): angles
    /// and distances are taken to be equally good.
    Compass,
    /// Latitudes in proportion to latitudes, departures to departures: angles
    /// are taken to be better than distances, which holds only where the courses
    /// lie along the axes.
    Transit,
    /// By least squares, each course weighted by the errors of its distance and
    /// its direction.
    LeastSquares(CourseErrors),
}

/// The standard errors of a course: of its distance, a part that is the same for
/// every course and a part that grows with it; and of its direction.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, CourseErrors, Length};
///
/// let errors = CourseErrors::new(
///     Length::from_feet(0.02)?,
///     1.0 / 10_000.0,
///     Angle::from_degrees(1.0 / 60.0)?,
/// )?;
/// assert_eq!(errors.distance().feet(), 0.02);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CourseErrors {
    distance: Length,
    /// Invariant: 0 to 1.
    scale: f64,
    /// Invariant: 0 to a right angle.
    direction: Angle,
}

/// A traverse that has been made to close.
#[derive(Clone, Debug, PartialEq)]
pub struct Balanced {
    /// The rule that was used.
    pub rule: BalanceRule,
    /// The courses in order.
    pub courses: Vec<BalancedCourse>,
    /// The corners in order, the beginning first, unmoved and not repeated.
    pub corners: Vec<Corner>,
    /// The area inside.
    pub area: Area,
    sides: Vec<Side>,
}

/// A course after balancing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BalancedCourse {
    /// What was added to the course.
    pub correction: Displacement,
    /// What that is in the distance: balanced less raw.
    pub distance_residual: Shift,
    /// What that is in the direction, positive to the right.
    pub direction_residual: Angle,
    /// The computed course: its latitude is the part north, its departure the
    /// part east.
    pub way: Displacement,
}

/// Why a traverse can't be balanced.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum BalanceError {
    /// The traverse does not come back.
    #[error(
        "the last call ends at {end:?} and not at the beginning, so there is no misclosure to share out: add the call that leads back"
    )]
    StaysOpen {
        /// The name of the last corner.
        end: String,
    },
    /// The errors leave no room for the misclosure.
    #[error(
        "with the errors given, the courses can't take up the misclosure: give the directions, or the distances, a larger standard error"
    )]
    NoRoom,
}

/// Why numbers are not [`CourseErrors`].
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CourseErrorsError {
    /// The share.
    #[error("the error of a distance that grows with it must be a share from 0 to 1, got {scale}")]
    Scale {
        /// The share.
        scale: f64,
    },
    /// The angle.
    #[error("the standard error of a direction must be from 0 to 90 degrees, got {degrees}")]
    Direction {
        /// The angle, in degrees.
        degrees: f64,
    },
}

/// Shares the misclosure of a traverse out among its courses.
///
/// With [`BalanceRule::Compass`] the correction of a course is the misclosure,
/// reversed, times the course's length over the sum of the lengths; with
/// [`BalanceRule::Transit`] in latitude the misclosure in latitude, reversed, times
/// the course's latitude over the sum of the latitudes without regard to sign, and
/// likewise in departure. With [`BalanceRule::LeastSquares`] the sum of the squares
/// of the corrections along and across each course, each over its standard error, is
/// the least that closes. The length of a curve is that of its chord.
///
/// # Errors
///
/// [`BalanceError::StaysOpen`] if the last call does not come back,
/// [`BalanceError::NoRoom`] if no correction closes.
///
/// # Source
///
/// Compass and transit rules: National Programme on Technology Enhanced Learning
/// (India), Surveying, module 9, lecture 29, equations 29.8 to 29.11. Least squares
/// with conditions: the corrections are -C B' (B C B')^-1 w, for observations of
/// covariance C under conditions of coefficients B and misclosure w; textbook
/// formula, from memory.
///
/// # Examples
///
/// ```
/// use fence_geom::{BalanceRule, balance, read_call_table, traverse};
///
/// let deed = read_call_table("0 60\n90 100\n180 60\n270 100.5\n")?.into_deed()?;
/// let balanced = balance(&traverse(&deed), BalanceRule::Compass)?;
/// let back: f64 = balanced.courses.iter().map(|course| course.way.east()).sum();
/// assert!(back.abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn balance(traverse: &Traverse, rule: BalanceRule) -> Result<Balanced, BalanceError> {
    if !traverse.returns() {
        let end = traverse.corners().last();
        return Err(BalanceError::StaysOpen {
            end: end.map_or_else(String::new, |corner| corner.name.clone()),
        });
    }
    let courses: Vec<BalancedCourse> = traverse
        .courses()
        .iter()
        .zip(corrections(traverse, rule)?)
        .map(|(course, correction)| BalancedCourse::of(course, correction))
        .collect();
    let corners = run_round(traverse.corners(), &courses);
    let sides = sides_of(traverse.courses());
    let area = enclosed(&corners, &sides);
    Ok(Balanced {
        rule,
        courses,
        corners,
        area,
        sides,
    })
}

fn corrections(traverse: &Traverse, rule: BalanceRule) -> Result<Vec<Displacement>, BalanceError> {
    let courses = traverse.courses();
    let back = -traverse.closure().gap();
    match rule {
        BalanceRule::Compass => {
            let sum: f64 = courses.iter().map(|course| course.distance().feet()).sum();
            let share = |course: &Course| course.distance().feet() / sum;
            Ok(courses.iter().map(|it| back * share(it)).collect())
        }
        BalanceRule::Transit => Ok(by_parts(courses, back)),
        BalanceRule::LeastSquares(errors) => by_least_squares(courses, back, errors),
    }
}

/// The transit rule.
fn by_parts(courses: &[Course], back: Displacement) -> Vec<Displacement> {
    let north: f64 = courses.iter().map(|course| course.way.north().abs()).sum();
    let east: f64 = courses.iter().map(|course| course.way.east().abs()).sum();
    // Courses without any latitude have no misclosure in latitude either.
    let share = |part: f64, sum: f64| if sum > 0.0 { part.abs() / sum } else { 0.0 };
    courses
        .iter()
        .map(|course| {
            Displacement::of_feet(
                back.north() * share(course.way.north(), north),
                back.east() * share(course.way.east(), east),
            )
        })
        .collect()
}

/// Each course's share by its own covariance: the conditions are that the ways add
/// up to nothing, so their coefficients are ones.
fn by_least_squares(
    courses: &[Course],
    back: Displacement,
    errors: CourseErrors,
) -> Result<Vec<Displacement>, BalanceError> {
    let each: Vec<Spread> = courses.iter().map(|it| Spread::of(it, errors)).collect();
    let sum = each.iter().fold(Spread::default(), |sum, one| Spread {
        nn: sum.nn + one.nn,
        ne: sum.ne + one.ne,
        ee: sum.ee + one.ee,
    });
    let weighted = sum.solve(back).ok_or(BalanceError::NoRoom)?;
    Ok(each.iter().map(|one| one.times(weighted)).collect())
}

/// The covariance of a way, in square feet.
#[derive(Clone, Copy, Default)]
struct Spread {
    nn: f64,
    ne: f64,
    ee: f64,
}

impl Spread {
    fn of(course: &Course, errors: CourseErrors) -> Self {
        let length = course.distance().feet();
        let along = errors.distance.feet().hypot(errors.scale * length);
        let along = course.way.unit().unwrap_or_default() * along;
        let across = course.way.turned_right() * errors.direction.radians();
        Self {
            nn: along.north().powi(2) + across.north().powi(2),
            ne: along.north() * along.east() + across.north() * across.east(),
            ee: along.east().powi(2) + across.east().powi(2),
        }
    }

    fn times(self, way: Displacement) -> Displacement {
        Displacement::of_feet(
            self.nn * way.north() + self.ne * way.east(),
            self.ne * way.north() + self.ee * way.east(),
        )
    }

    /// The way that this covariance takes to the given one; `None` where it takes
    /// nothing there, because all courses run one way and only their lengths, or
    /// only their directions, have errors.
    fn solve(self, way: Displacement) -> Option<Displacement> {
        let determinant = self.nn * self.ee - self.ne * self.ne;
        let size = self.nn + self.ee;
        (determinant > 1e-12 * size * size).then(|| {
            Displacement::of_feet(
                (self.ee * way.north() - self.ne * way.east()) / determinant,
                (self.nn * way.east() - self.ne * way.north()) / determinant,
            )
        })
    }
}

/// The named corners moved to where the balanced courses lead.
fn run_round(corners: &[Corner], courses: &[BalancedCourse]) -> Vec<Corner> {
    let mut moved: Vec<Corner> = corners.to_vec();
    let Some(mut at) = corners.first().map(|corner| corner.at) else {
        return moved;
    };
    for (corner, course) in moved.iter_mut().skip(1).zip(courses) {
        at = at + course.way;
        corner.at = at;
    }
    moved
}

impl Balanced {
    /// Returns the corners as a ring.
    ///
    /// # Errors
    ///
    /// A [`RingError`] where the corners enclose nothing or sides cross.
    pub fn ring(&self) -> Result<Ring, RingError> {
        Ring::new(self.corners.clone(), self.sides.clone())
    }
}

impl CourseErrors {
    /// Creates the standard errors of courses: of a distance, the part that is the
    /// same for each and the share by which it grows; and of a direction.
    ///
    /// # Errors
    ///
    /// [`CourseErrorsError`] for a share that is not from 0 to 1 or an angle that is
    /// not from 0° to 90°.
    pub fn new(distance: Length, scale: f64, direction: Angle) -> Result<Self, CourseErrorsError> {
        if !(0.0..=1.0).contains(&scale) {
            return Err(CourseErrorsError::Scale { scale });
        }
        if !(Angle::ZERO..=Angle::RIGHT).contains(&direction) {
            return Err(CourseErrorsError::Direction {
                degrees: direction.degrees(),
            });
        }
        Ok(Self {
            distance,
            scale,
            direction,
        })
    }

    /// Returns the part of a distance's error that is the same for each.
    #[must_use]
    pub const fn distance(self) -> Length {
        self.distance
    }

    /// Returns the share by which a distance's error grows with it.
    #[must_use]
    pub const fn scale(self) -> f64 {
        self.scale
    }

    /// Returns the error of a direction.
    #[must_use]
    pub const fn direction(self) -> Angle {
        self.direction
    }
}

impl Default for CourseErrors {
    /// Tape and compass: the reading and the scale of a tape as in
    /// [`standards`](crate::standards), and a minute of arc. Common practice, no
    /// source.
    fn default() -> Self {
        Self {
            distance: TAPE_READING,
            scale: TAPE_SCALE,
            direction: Angle::of_radians(Angle::RIGHT.radians() / 5_400.0),
        }
    }
}

impl BalancedCourse {
    fn of(course: &Course, correction: Displacement) -> Self {
        let way = course.way + correction;
        let turned = course.way.cross(way).atan2(course.way.dot(way));
        Self {
            correction,
            distance_residual: way.length().minus(course.way.length()),
            direction_residual: Angle::of_radians(turned),
            way,
        }
    }

    /// Returns the computed direction; of a curve, of its long chord.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        self.way.azimuth()
    }

    /// Returns the computed distance; of a curve, the length of its long chord.
    #[must_use]
    pub fn distance(self) -> Length {
        self.way.length()
    }
}
