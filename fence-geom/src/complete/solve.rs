//! The missing parts that make the ways of a tract add up to nothing.

use super::{CompleteError, Fills, named_missing};
use crate::bearing::Azimuth;
use crate::curve::MissingChord;
use crate::intersect::{
    IntersectError, LineMeetsTape, TapesMeet, line_meets_tape, lines_meet, tapes_meet,
};
use crate::length::Length;
use crate::point::{Displacement, Point};
use crate::tract::Tract;

/// Returns every set of ways that fills what is missing: together they must lead
/// along `gap`, the way back to the beginning.
pub(super) fn solve(
    tract: &Tract,
    missing: &[(usize, MissingChord)],
    gap: Displacement,
) -> Result<Vec<Fills>, CompleteError> {
    use MissingChord::{Course, Direction, Extent, Length};
    let refused = |why: &str| CompleteError::NoAnswer {
        calls: named_missing(tract, missing),
        why: why.to_owned(),
    };
    match *missing {
        [] => Ok(vec![Fills::new()]),
        [(i, what)] => {
            let way = match what {
                Course | Extent => Some(gap),
                Length(along) => project(gap, along),
                Direction(length) => gap.unit().map(|unit| unit * length.feet()),
            };
            let way = way.filter(|way| way.length() > crate::length::Length::ZERO);
            let way = way.ok_or_else(|| refused(ALREADY_BACK))?;
            Ok(vec![Fills::from([(i, way)])])
        }
        [(i, first), (j, second)] => {
            let pairs = match (first, second) {
                (Length(u), Length(v)) => two_lengths(gap, u, v),
                (Direction(r), Direction(s)) => two_directions(gap, r, s),
                (Length(u), Direction(r)) => length_and_direction(gap, u, r),
                (Direction(r), Length(u)) => length_and_direction(gap, u, r)
                    .map(|pairs| pairs.into_iter().map(swapped).collect()),
                _ => {
                    return Err(CompleteError::TooMuchMissing {
                        calls: named_missing(tract, missing),
                    });
                }
            };
            let pairs: Vec<Pair> = pairs.map_err(|why| refused(&why))?;
            Ok(pairs
                .into_iter()
                .map(|(a, b)| Fills::from([(i, a), (j, b)]))
                .collect())
        }
        _ => Err(CompleteError::TooMuchMissing {
            calls: named_missing(tract, missing),
        }),
    }
}

/// The ways of the first and of the second call that lack something.
type Pair = (Displacement, Displacement);

const ALREADY_BACK: &str =
    "the other calls come back already, or the missing one would have to run backward";

/// Two lengths as equal as tapes can tell, in feet.
const SAME_LENGTH_FEET: f64 = 0.01;

/// The part of a way along a direction, if it runs forward.
fn project(way: Displacement, along: Azimuth) -> Option<Displacement> {
    let unit = Displacement::polar(along, Length::of_feet(1.0));
    let length = way.dot(unit);
    (length > 0.0).then(|| unit * length)
}

fn two_lengths(gap: Displacement, u: Azimuth, v: Azimuth) -> Result<Vec<Pair>, String> {
    let end = Point::ORIGIN + gap;
    let meet = lines_meet(Point::ORIGIN, u, end, v.reversed()).map_err(|_| {
        "their directions are parallel, so that only the sum of their lengths matters".to_owned()
    })?;
    if meet.along_first.feet() <= 0.0 || meet.along_second.feet() <= 0.0 {
        return Err("one of them would have to run backward: a direction is reversed, or a quadrant letter wrong".to_owned());
    }
    Ok(vec![(meet.at - Point::ORIGIN, end - meet.at)])
}

fn two_directions(gap: Displacement, r: Length, s: Length) -> Result<Vec<Pair>, String> {
    let end = Point::ORIGIN + gap;
    let places = match tapes_meet(Point::ORIGIN, r, end, s) {
        Ok(TapesMeet::Touch(at)) => vec![at],
        Ok(TapesMeet::Cross { left, right }) => vec![left, right],
        Err(IntersectError::SamePoint) if (r.feet() - s.feet()).abs() < SAME_LENGTH_FEET => {
            return Err(
                "the other calls come back by themselves, so that the two run opposite ways, in \
                 any direction"
                    .to_owned(),
            );
        }
        Err(_) => {
            return Err(format!(
                "lengths of {r:.2} and {s:.2} can't span the {:.2} that the other calls leave",
                gap.length()
            ));
        }
    };
    Ok(by_way_of(places, end))
}

fn length_and_direction(gap: Displacement, u: Azimuth, r: Length) -> Result<Vec<Pair>, String> {
    let end = Point::ORIGIN + gap;
    let crossings = match line_meets_tape(Point::ORIGIN, u, end, r) {
        Ok(LineMeetsTape::Touch(at)) => vec![at],
        Ok(LineMeetsTape::Cross { first, second }) => vec![first, second],
        Err(_) => {
            return Err(format!(
                "the one of known direction passes the beginning by more than the {r:.2} of the other"
            ));
        }
    };
    let places: Vec<Point> = crossings
        .into_iter()
        .filter(|crossing| crossing.along.feet() > 0.0)
        .map(|crossing| crossing.at)
        .collect();
    if places.is_empty() {
        return Err("the one of known direction would have to run backward".to_owned());
    }
    Ok(by_way_of(places, end))
}

fn by_way_of(places: Vec<Point>, end: Point) -> Vec<Pair> {
    places
        .into_iter()
        .map(|at| (at - Point::ORIGIN, end - at))
        .collect()
}

fn swapped((first, second): Pair) -> Pair {
    (second, first)
}
