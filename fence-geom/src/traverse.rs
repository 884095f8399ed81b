//! From a deed to corners: latitudes, departures, closure and area.
//!
//! Source of the method: the latitude of a course is its length times the cosine
//! of its azimuth, the departure its length times the sine; their sums over a
//! closed figure are the misclosure. U.S. Navy, Engineering Aid training manual
//! (NAVEDTRA 14070), chapter 7. A curve goes by its long chord, and the area
//! between the two is added or taken off.

use crate::angle_text::Direction;
use crate::bearing::Azimuth;
use crate::call_table::CallTable;
use crate::deed::{Beginning, Call, Deed, corner_names};
use crate::estimate::ellipse_factor_95;
use crate::length::{Area, Length, Shift};
use crate::point::{Displacement, Point};
use crate::ring::{Corner, Ring, RingError, Side, clockwise_area};

/// A misclosure below this share of the perimeter is no misclosure: sums of
/// doubles go wrong by about 1e-15 of the perimeter, and no deed is written to
/// better than about 1e-7 of it, so a billionth lies safely between.
const EXACT_SHARE: f64 = 1e-9;

/// The least misclosure that is worth a remark, in feet, however finely the
/// calls are written: common practice, no source.
const ALLOWED_FLOOR_FEET: f64 = 0.05;

/// A published limit on the closure of a survey: to compare with, no verdict on a
/// deed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReferenceClosure {
    /// N of 1:N.
    pub ratio: u32,
    /// What land it is for.
    pub applies_to: &'static str,
    /// Where it is published.
    pub source: &'static str,
}

/// Published limits on the closure of surveys, the loosest first.
pub const REFERENCE_CLOSURES: [ReferenceClosure; 3] = [
    ReferenceClosure {
        ratio: 5_000,
        applies_to: "residential lots",
        source: "Washington Administrative Code 332-130-090",
    },
    ReferenceClosure {
        ratio: 10_000,
        applies_to: "urban land",
        source: "21 North Carolina Administrative Code 56 .1603, Class A",
    },
    ReferenceClosure {
        ratio: 20_000,
        applies_to: "local control networks",
        source: "21 North Carolina Administrative Code 56 .1603, Class AA",
    },
];

/// One course of a traverse: a call with its latitude and departure.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The corner it starts from.
    pub from: String,
    /// The corner it ends at.
    pub to: String,
    /// The call.
    pub call: Call,
    /// The way from end to end: north is the latitude, east the departure.
    pub way: Displacement,
}

/// How well the calls come back to the beginning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closure {
    gap: Displacement,
    perimeter: Length,
    allowed: Length,
    check: ClosureCheck,
}

/// What the closure of a deed still says, now that figures were solved from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ClosureCheck {
    /// No figure was solved: the misclosure checks all of them.
    Whole,
    /// One figure was solved: the misclosure is what that figure could not take
    /// up, and checks the others in one direction only.
    Part,
    /// A course or two figures were solved, so that the figure closes by
    /// construction: nothing is checked.
    Nothing,
}

/// A deed computed: courses, corners, closure and area, nothing adjusted.
///
/// # Examples
///
/// ```
/// use fence_geom::{read_call_table, traverse};
///
/// let table = "begin: A\n0 60\n90 100\n180 60\n270 100.5\n";
/// let traverse = traverse(&read_call_table(table)?.into_deed()?);
/// assert!((traverse.closure().misclosure().feet() - 0.5).abs() < 1e-9);
/// assert!((traverse.closure().ratio().unwrap_or(0.0) - 641.0).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Traverse {
    courses: Vec<Course>,
    corners: Vec<Corner>,
    end: Point,
    closure: Closure,
    area: Area,
    returns: bool,
}

/// Computes the courses, the corners, the closure and the area of a deed.
///
/// Without coordinates the beginning is the origin. Corners and area are raw:
/// where the deed does not close, the area is that of the figure closed by the
/// line of its misclosure. The segment between a curve and its chord counts
/// exactly.
#[must_use]
pub fn traverse(deed: &Deed) -> Traverse {
    let (courses, mut corners) = run_out(deed.beginning(), deed.calls());
    let closure = Closure::of(&courses);
    let area = enclosed(&corners, &sides_of(&courses));
    let end = corners.last().map_or(Point::ORIGIN, |corner| corner.at);
    if !deed.stays_open() {
        corners.pop();
    }
    Traverse {
        courses,
        corners,
        end,
        closure,
        area,
        returns: !deed.stays_open(),
    }
}

/// Runs calls out from the beginning: their courses, and the beginning with the
/// end of each.
pub(crate) fn run_out(beginning: &Beginning, calls: &[Call]) -> (Vec<Course>, Vec<Corner>) {
    let names = corner_names(beginning, calls);
    let mut at = beginning.at.unwrap_or(Point::ORIGIN);
    let mut corners = vec![Corner {
        name: beginning.name.clone(),
        at,
    }];
    let mut courses = Vec::with_capacity(calls.len());
    for (call, (from, to)) in calls.iter().zip(names.iter().zip(names.iter().skip(1))) {
        let way = Displacement::polar(call.direction().azimuth(), call.distance());
        at = at + way;
        corners.push(Corner {
            name: to.clone(),
            at,
        });
        courses.push(Course {
            from: from.clone(),
            to: to.clone(),
            call: call.clone(),
            way,
        });
    }
    (courses, corners)
}

/// Returns the courses that could be read of a table with unread lines, and the
/// corners they reach from the beginning before the first gap.
///
/// To look at, not to build on: a [`Traverse`] takes a whole deed only.
#[must_use]
pub fn courses_read(table: &CallTable) -> (Vec<Course>, Vec<Corner>) {
    let (mut courses, corners) = run_out(table.beginning(), table.calls_before_gap());
    let unnamed = || "?".to_owned();
    for call in table.calls().iter().skip(courses.len()) {
        courses.push(Course {
            from: unnamed(),
            to: call.corner().map_or_else(unnamed, ToOwned::to_owned),
            call: call.clone(),
            way: Displacement::polar(call.direction().azimuth(), call.distance()),
        });
    }
    (courses, corners)
}

/// What the courses run along.
pub(crate) fn sides_of(courses: &[Course]) -> Vec<Side> {
    courses.iter().map(|course| course.call.side()).collect()
}

/// The area inside the sides that follow each corner, closed by a straight line.
pub(crate) fn enclosed(corners: &[Corner], sides: &[Side]) -> Area {
    Area::saturating(clockwise_area(corners, sides).abs())
}

impl Course {
    /// Returns the direction, as the call has it.
    #[must_use]
    pub const fn direction(&self) -> Direction {
        self.call.direction()
    }

    /// Returns the distance; of a curve, the length of its long chord.
    #[must_use]
    pub const fn distance(&self) -> Length {
        self.call.distance()
    }

    /// Returns the length along the course: of a curve, that of its arc.
    #[must_use]
    pub fn length_along(&self) -> Length {
        self.call.length_along()
    }

    /// Returns the latitude: how far north the course goes.
    #[must_use]
    pub fn latitude(&self) -> Shift {
        Shift::saturating(self.way.north())
    }

    /// Returns the departure: how far east the course goes.
    #[must_use]
    pub fn departure(&self) -> Shift {
        Shift::saturating(self.way.east())
    }
}

impl Closure {
    /// Returns the way from the beginning to where the calls end: the sums of
    /// the latitudes and of the departures.
    #[must_use]
    pub const fn gap(self) -> Displacement {
        self.gap
    }

    /// Returns how far from the beginning the calls end; zero where they close
    /// exactly or by construction.
    #[must_use]
    pub fn misclosure(self) -> Length {
        if self.is_none() {
            Length::ZERO
        } else {
            self.gap.length()
        }
    }

    /// Returns the direction from the beginning to where the calls end, or
    /// `None` where they close exactly or by construction.
    #[must_use]
    pub fn direction(self) -> Option<Azimuth> {
        (!self.is_none()).then(|| self.gap.azimuth())
    }

    /// Returns N of the precision 1:N, the perimeter over the misclosure, or
    /// `None` where the calls close exactly or by construction.
    #[must_use]
    pub fn ratio(self) -> Option<f64> {
        (!self.is_none()).then(|| self.perimeter.feet() / self.gap.length().feet())
    }

    /// Returns the length around, along the arcs of curves.
    #[must_use]
    pub const fn perimeter(self) -> Length {
        self.perimeter
    }

    /// Returns what the closure still checks.
    #[must_use]
    pub const fn check(self) -> ClosureCheck {
        self.check
    }

    /// Returns true if the misclosure is less than the arithmetic can tell from
    /// zero; never where the figure closes by construction, which is no merit of
    /// its calls.
    #[must_use]
    pub fn is_exact(self) -> bool {
        self.check != ClosureCheck::Nothing && self.is_none()
    }

    fn is_none(self) -> bool {
        self.gap.length().feet() <= EXACT_SHARE * self.perimeter.feet()
    }

    /// Returns the largest misclosure that the rounding of the calls explains,
    /// at 95 %, and at least 0.05 ft.
    ///
    /// Each figure is taken to be off by anything up to half of its last digit,
    /// all alike: a standard deviation of that half over the root of three.
    #[must_use]
    pub const fn allowed(self) -> Length {
        self.allowed
    }

    /// Returns true if the rounding of the calls explains the misclosure.
    #[must_use]
    pub fn is_within_rounding(self) -> bool {
        self.misclosure() <= self.allowed
    }

    fn of(courses: &[Course]) -> Self {
        let gap = courses
            .iter()
            .fold(Displacement::default(), |sum, course| sum + course.way);
        Self {
            gap,
            check: ClosureCheck::of(courses),
            perimeter: courses.iter().map(Course::length_along).sum(),
            allowed: Length::saturating(
                (ellipse_factor_95(None) * rounding_sigma(courses)).max(ALLOWED_FLOOR_FEET),
            ),
        }
    }
}

impl ClosureCheck {
    fn of(courses: &[Course]) -> Self {
        let solved: u32 = courses
            .iter()
            .map(|course| course.call.solved())
            .map(|solved| u32::from(solved.direction) + u32::from(solved.distance))
            .sum();
        match solved {
            0 => Self::Whole,
            1 => Self::Part,
            _ => Self::Nothing,
        }
    }
}

/// The standard deviation, in feet, that rounding gives the end of the courses
/// in the direction where it is largest.
fn rounding_sigma(courses: &[Course]) -> f64 {
    let (mut nn, mut ne, mut ee) = (0.0, 0.0, 0.0);
    for course in courses {
        let rounding = course.call.rounding();
        let along = course.way.unit().unwrap_or_default() * rounding.distance.feet();
        let across = course.way.turned_right() * rounding.direction.radians();
        for error in [along, across] {
            nn += error.north() * error.north() / 3.0;
            ne += error.north() * error.east() / 3.0;
            ee += error.east() * error.east() / 3.0;
        }
    }
    // The larger eigenvalue of the symmetric matrix of two rows.
    let half_sum = (nn + ee) / 2.0;
    let spread = ((nn - ee) / 2.0).hypot(ne);
    (half_sum + spread).sqrt()
}

impl Traverse {
    /// Returns the courses in order.
    #[must_use]
    pub fn courses(&self) -> &[Course] {
        &self.courses
    }

    /// Returns the corners in order, the beginning first and not repeated.
    #[must_use]
    pub fn corners(&self) -> &[Corner] {
        &self.corners
    }

    /// Returns where the last call ends: the beginning again, but for the
    /// misclosure.
    #[must_use]
    pub const fn end(&self) -> Point {
        self.end
    }

    /// Returns the closure.
    #[must_use]
    pub const fn closure(&self) -> Closure {
        self.closure
    }

    /// Returns the area inside the courses and the line of the misclosure.
    #[must_use]
    pub const fn area(&self) -> Area {
        self.area
    }

    /// Returns true if the last call comes back to the beginning, and false if
    /// it names a corner of its own.
    #[must_use]
    pub const fn returns(&self) -> bool {
        self.returns
    }

    /// Returns the corners as a ring; its last side takes up the misclosure. A
    /// curve keeps its central angle.
    ///
    /// # Errors
    ///
    /// A [`RingError`] where the corners enclose nothing or sides cross.
    pub fn ring(&self) -> Result<Ring, RingError> {
        Ring::new(self.corners.clone(), self.sides())
    }

    /// What follows each corner; straight where the calls stop short of the
    /// beginning.
    pub(crate) fn sides(&self) -> Vec<Side> {
        let mut sides = sides_of(&self.courses);
        sides.resize(self.corners.len(), Side::Line);
        sides
    }
}
