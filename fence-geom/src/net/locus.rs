//! Where a point can be by one reading, and where two such lines meet.

use crate::bearing::Azimuth;
use crate::intersect::{
    IntersectError, LineMeetsTape, TapesMeet, line_meets_tape, lines_meet, tapes_meet,
};
use crate::length::Length;
use crate::point::{Displacement, Point};

use super::model::{Geometry, Places, Row};
use super::solve::turned;

/// A circle or a straight line on which a point lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Curve {
    Circle { center: Point, radius: Length },
    Line { from: Point, unit: Displacement },
}

/// Two lines that do not meet, and the place between them where they come nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Miss {
    pub(super) gap: Length,
    pub(super) between: Point,
}

impl Row {
    /// The curves on one of which a point lies by this reading; none where another
    /// of its points is not placed.
    pub(super) fn loci(&self, point: usize, places: &Places) -> Vec<Curve> {
        self.curves(point, places).unwrap_or_default()
    }

    fn curves(&self, p: usize, places: &Places) -> Option<Vec<Curve>> {
        let line = |from, way: Displacement| {
            Some(Curve::Line {
                from,
                unit: way.unit()?,
            })
        };
        match self.geometry {
            Geometry::Distance { from, to, .. } => {
                let other = if from == p { to } else { from };
                let center = places.at(other)?;
                let radius = Length::saturating(self.observed);
                Some(vec![Curve::Circle { center, radius }])
            }
            Geometry::Direction { from, to } => {
                let other = if from == p { to } else { from };
                let unit = Displacement::polar(Azimuth::of_radians(self.observed), FOOT);
                let from = places.at(other)?;
                Some(vec![Curve::Line { from, unit }])
            }
            Geometry::Corner { at, from, to } if at == p => {
                sees(places.at(from)?, places.at(to)?, self.observed)
            }
            Geometry::Corner { at, from, to } => {
                let (corner, other) = (
                    places.at(at)?,
                    places.at(if from == p { to } else { from })?,
                );
                let way = other - corner;
                [self.observed, -self.observed]
                    .into_iter()
                    .map(|angle| line(corner, turned(way, angle)))
                    .collect()
            }
            Geometry::OnLine { point, from, to } if point == p => {
                let (start, end) = (places.at(from)?, places.at(to)?);
                let unit = (end - start).unit()?;
                let from = start + unit.turned_right() * self.observed;
                Some(vec![Curve::Line { from, unit }])
            }
            Geometry::OnLine { point, from, to } => {
                let (aside, end) = (
                    places.at(point)?,
                    places.at(if from == p { to } else { from })?,
                );
                let way = aside - end;
                let share = self.observed / way.length().feet();
                if !(-1.0..=1.0).contains(&share) {
                    return None;
                }
                let angle = share.asin();
                let angles = if angle.abs() > 0.0 {
                    vec![angle, -angle]
                } else {
                    vec![0.0]
                };
                angles
                    .into_iter()
                    .map(|angle| line(end, turned(way, angle)))
                    .collect()
            }
            Geometry::North(_) | Geometry::East(_) | Geometry::Scale(_) => None,
        }
    }
}

const FOOT: Length = Length::of_feet(1.0);

/// The two circles from which two points are seen under an angle.
fn sees(a: Point, b: Point, angle: f64) -> Option<Vec<Curve>> {
    let way = b - a;
    let half = way.length().feet() / 2.0;
    let right = way.unit()?.turned_right() * (half / angle.tan());
    let middle = a + way * 0.5;
    let radius = Length::from_feet(half / angle.sin()).ok()?;
    let circle = |center| Curve::Circle { center, radius };
    Some(vec![circle(middle + right), circle(middle - right)])
}

impl Curve {
    /// The direction across the curve at a place on it.
    pub(super) fn across(self, at: Point) -> Displacement {
        match self {
            Self::Circle { center, .. } => (at - center).unit().unwrap_or_default(),
            Self::Line { unit, .. } => unit.turned_right(),
        }
    }

    /// Where two curves meet; parallel lines, and circles around one point, meet
    /// nowhere.
    pub(super) fn meets(self, other: Self) -> Result<Vec<Point>, Option<Miss>> {
        match (self, other) {
            (
                Self::Circle { center, radius },
                Self::Circle {
                    center: second,
                    radius: other,
                },
            ) => circles_meet(center, radius, second, other),
            (Self::Line { from, unit }, Self::Circle { center, radius })
            | (Self::Circle { center, radius }, Self::Line { from, unit }) => {
                match line_meets_tape(from, unit.azimuth(), center, radius) {
                    Ok(LineMeetsTape::Touch(one)) => Ok(vec![one.at]),
                    Ok(LineMeetsTape::Cross { first, second }) => Ok(vec![first.at, second.at]),
                    Err(IntersectError::Misses { gap }) => {
                        let between = from + unit * (center - from).dot(unit);
                        Err(Some(Miss { gap, between }))
                    }
                    Err(_) => Err(None),
                }
            }
            (
                Self::Line { from, unit },
                Self::Line {
                    from: second,
                    unit: other,
                },
            ) => match lines_meet(from, unit.azimuth(), second, other.azimuth()) {
                Ok(meeting) => Ok(vec![meeting.at]),
                Err(_) => Err(None),
            },
        }
    }
}

fn circles_meet(a: Point, r: Length, b: Point, s: Length) -> Result<Vec<Point>, Option<Miss>> {
    let unit = (b - a).unit().ok_or(None)?;
    let at = |feet: f64| a + unit * feet;
    match tapes_meet(a, r, b, s) {
        Ok(TapesMeet::Touch(point)) => Ok(vec![point]),
        Ok(TapesMeet::Cross { left, right }) => Ok(vec![left, right]),
        Err(IntersectError::TooShort { gap, .. }) => Err(Some(Miss {
            gap,
            between: at(r.feet() + gap.feet() / 2.0),
        })),
        Err(IntersectError::TooLong { gap, .. }) => Err(Some(Miss {
            gap,
            between: if r >= s {
                at(r.feet() - gap.feet() / 2.0)
            } else {
                at(-(r.feet() + gap.feet() / 2.0))
            },
        })),
        Err(_) => Err(None),
    }
}
