//! Balancing: the misclosure of a traverse shared out among its courses.
//!
//! A balanced course is computed: it is no longer what the paper says.

use crate::bearing::Azimuth;
use crate::length::{Area, Length};
use crate::point::Displacement;
use crate::ring::{Corner, Ring, RingError, Side};
use crate::traverse::{Traverse, enclosed, sides_of};

/// How the misclosure is shared out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum BalanceRule {
    /// In proportion to the lengths of the courses (Bowditch's rule): angles
    /// and distances are taken to be equally good.
    Compass,
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
}

/// Shares the misclosure of a traverse out among its courses.
///
/// With [`BalanceRule::Compass`] the correction of a course is the misclosure,
/// reversed, times the course's length over the perimeter.
///
/// # Errors
///
/// [`BalanceError::StaysOpen`] if the last call does not come back.
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
        .zip(corrections(traverse, rule))
        .map(|(course, correction)| BalancedCourse {
            correction,
            way: course.way + correction,
        })
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

fn corrections(traverse: &Traverse, rule: BalanceRule) -> Vec<Displacement> {
    let closure = traverse.closure();
    match rule {
        BalanceRule::Compass => {
            let back = -closure.gap();
            let perimeter = closure.perimeter().feet();
            traverse
                .courses()
                .iter()
                .map(|course| back * (course.distance().feet() / perimeter))
                .collect()
        }
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

impl BalancedCourse {
    /// Returns the computed direction.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        self.way.azimuth()
    }

    /// Returns the computed distance.
    #[must_use]
    pub fn distance(self) -> Length {
        self.way.length()
    }
}
