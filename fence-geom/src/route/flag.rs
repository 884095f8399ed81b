//! Where the flags of stops stand: at corners of the offset line, along it, and where
//! lines off a wall meet it.

use super::{Flag, ON_LINE_FEET, RouteError, Stop};
use crate::length::Length;
use crate::offset::{Join, OffsetRing};
use crate::point::{Displacement, Point};
use crate::ring::{Ring, Side};

/// Where pins and deed leave a curve not quite tangent to its neighbor, the offset line
/// goes straight on past its arc to the miter. Up to this length, in feet, the arc is
/// carried on instead: it is off the straight piece by the square of that over twice
/// the radius, 1/16 in at 24 ft.
const CARRIED_ON_FEET: f64 = 0.5;

/// Finds the place of a stop.
pub(super) fn place(offset: &OffsetRing, stop: &Stop) -> Result<Flag, RouteError> {
    let at = match stop {
        Stop::Corner { corner } => corner_flag(offset, corner)?,
        Stop::OnSide {
            name,
            side,
            from,
            distance,
        } => on_side(offset, name, side, from, *distance)?,
        Stop::Squared {
            name,
            wall,
            at,
            side,
        } => squared(offset, name, *wall, *at, side)?,
        Stop::Prolonged { name, wall, side } => prolonged(offset, name, *wall, side)?,
        Stop::Wall { at, .. } | Stop::Tee { at, .. } | Stop::Free { at, .. } => *at,
    };
    Ok(Flag {
        name: stop.name().to_owned(),
        at,
        stop: stop.clone(),
    })
}

/// Whether the corners and sides that stops name are of this ring.
pub(crate) fn all_stand_on(offset: &OffsetRing, stops: &[Stop]) -> bool {
    stops.iter().all(|stop| match stop {
        Stop::Corner { corner } => corner_flag(offset, corner).is_ok(),
        Stop::OnSide { side, from, .. } => {
            offset_side(offset, side).is_ok() && corner_flag(offset, from).is_ok()
        }
        Stop::Squared { side, .. } | Stop::Prolonged { side, .. } => {
            offset_side(offset, side).is_ok()
        }
        Stop::Wall { .. } | Stop::Tee { .. } | Stop::Free { .. } => true,
    })
}

fn corner_flag(offset: &OffsetRing, name: &str) -> Result<Point, RouteError> {
    let index = corner_index(offset, name).ok_or_else(|| RouteError::UnknownCorner {
        name: name.to_owned(),
        known: names(offset.ring()),
    })?;
    Ok(offset.ring().ends(index).0.at)
}

/// The flag of a corner by its name; that of the miter, where an arc ends a little
/// before it.
pub(super) fn corner_index(offset: &OffsetRing, name: &str) -> Option<usize> {
    let (index, _) = offset.ring().corner(name)?;
    let n = offset.ring().len();
    let before = (index + n - 1) % n;
    let miter = [(before, 1), (index, 0)]
        .into_iter()
        .find_map(|(arc, end)| carried_on(offset, arc, end));
    Some(miter.unwrap_or(index))
}

/// The miter to which an arc of the offset ring may be carried on at its start, 0, or
/// its end, 1.
pub(super) fn carried_on(offset: &OffsetRing, arc: usize, end: usize) -> Option<usize> {
    let ring = offset.ring();
    let n = ring.len();
    let (last, straight, miter) = match end {
        0 => (arc, (arc + n - 1) % n, (arc + n - 1) % n),
        _ => ((arc + 1) % n, (arc + 1) % n, (arc + 2) % n),
    };
    let tangent = offset.corners().get(last)?.join == Join::Tangent;
    let short = ring.side_length(straight).feet() <= CARRIED_ON_FEET;
    (tangent && short && is_arc(ring, arc) && !is_arc(ring, straight)).then_some(miter)
}

fn names(ring: &Ring) -> String {
    let names: Vec<&str> = ring.corners().iter().map(|c| c.name.as_str()).collect();
    names.join(", ")
}

/// The side of the offset ring that belongs to the lot's side of that name. The
/// line of an arc may go straight on past the arc: then it is the arc itself.
fn offset_side(offset: &OffsetRing, name: &str) -> Result<usize, RouteError> {
    let lot = offset.source();
    let of_side = |side: usize| {
        let on = |k: &usize| offset.source_side(*k) == Some(side);
        let curved = |k: &usize| on(k) && is_arc(offset.ring(), *k) == is_arc(lot, side);
        let mut all = 0..offset.ring().len();
        all.clone().find(curved).or_else(|| all.find(on))
    };
    lot.side(name).and_then(of_side).ok_or_else(|| {
        let sides: Vec<String> = (0..lot.len()).map(|i| lot.side_name(i)).collect();
        RouteError::UnknownSide {
            name: name.to_owned(),
            known: sides.join(", "),
        }
    })
}

pub(super) fn is_arc(ring: &Ring, side: usize) -> bool {
    matches!(ring.sides().get(side), Some(Side::Arc { .. }))
}

fn on_side(
    offset: &OffsetRing,
    name: &str,
    side: &str,
    from: &str,
    distance: Length,
) -> Result<Point, RouteError> {
    let k = offset_side(offset, side)?;
    let (first, second) = offset.ring().ends(k);
    let piece = offset.ring().piece(k);
    let corner = corner_index(offset, from);
    let index = |name: &str| offset.ring().corner(name).map(|(index, _)| index);
    let is_end = |end: usize, name: &str| {
        corner.is_some() && (corner == index(name) || corner == carried_on(offset, k, end))
    };
    let at = corner.map_or(first.at, |corner| offset.ring().ends(corner).0.at);
    let base = piece.station(at - offset.ring().origin());
    let station = if is_end(0, &first.name) {
        base + distance.feet()
    } else if is_end(1, &second.name) {
        base - distance.feet()
    } else {
        return Err(RouteError::NotAnEnd {
            side: side.to_owned(),
            from: from.to_owned(),
            ends: format!("{} or {}", first.name, second.name),
        });
    };
    check_station(name, side, station, Length::saturating(piece.length))?;
    Ok(offset.ring().origin() + piece.at(station))
}

fn check_station(name: &str, side: &str, feet: f64, length: Length) -> Result<(), RouteError> {
    if (-ON_LINE_FEET..=length.feet() + ON_LINE_FEET).contains(&feet) {
        return Ok(());
    }
    Err(RouteError::OffSide {
        name: name.to_owned(),
        side: side.to_owned(),
        feet,
        length: length.feet(),
    })
}

fn squared(
    offset: &OffsetRing,
    name: &str,
    wall: (Point, Point),
    at: Point,
    side: &str,
) -> Result<Point, RouteError> {
    let square = wall_way(name, wall)?.turned_right();
    let (flag, _) = meeting(offset, name, (at, square), side)?;
    Ok(flag)
}

fn prolonged(
    offset: &OffsetRing,
    name: &str,
    wall: (Point, Point),
    side: &str,
) -> Result<Point, RouteError> {
    let way = wall_way(name, wall)?;
    let (flag, beyond) = meeting(offset, name, (wall.1, way), side)?;
    if beyond < 0.0 {
        return Err(RouteError::Behind {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    Ok(flag)
}

fn wall_way(name: &str, wall: (Point, Point)) -> Result<Displacement, RouteError> {
    let way = (wall.1 - wall.0).unit();
    way.ok_or_else(|| RouteError::NoWall {
        name: name.to_owned(),
    })
}

/// Where a line through a point meets the offset line of a side, and how far
/// along the line that is, in feet.
fn meeting(
    offset: &OffsetRing,
    name: &str,
    (through, way): (Point, Displacement),
    side: &str,
) -> Result<(Point, f64), RouteError> {
    let k = offset_side(offset, side)?;
    if is_arc(offset.ring(), k) {
        return Err(RouteError::Curved {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    let line = offset.ring().chord(k);
    let start = offset.ring().ends(k).0.at;
    let along = line.unit().unwrap_or_default();
    let slant = along.cross(way);
    // Under a thousandth of a radian the meeting would be poorly known and far.
    if slant.abs() < 1e-3 {
        return Err(RouteError::NeverMeets {
            name: name.to_owned(),
            side: side.to_owned(),
        });
    }
    let station = (through - start).cross(way) / slant;
    check_station(name, side, station, line.length())?;
    let flag = start + along * station;
    Ok((flag, (flag - through).dot(way)))
}
