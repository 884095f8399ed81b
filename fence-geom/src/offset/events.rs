//! The factor on all distances at which an offset changes.
//!
//! Found by offsetting again: which sides have offset lines, and in which rings,
//! changes at an event and does not change back, so halving the range of factors
//! closes in on it. With straight sides what vanishes there shrinks in
//! proportion, which gives the last digits.

use super::{Offset, OffsetError, offset};
use crate::length::Shift;
use crate::orient::segment_distance;
use crate::region::Region;
use crate::ring::Side;

/// The largest factor to look at.
const MOST: f64 = 1024.0;

/// How often a range is halved.
const HALVINGS: usize = 44;

/// What happens to an offset at a common factor on all its distances.
#[derive(Clone, Debug, PartialEq)]
pub enum OffsetEvent {
    /// Nothing is left of the offset line of a side.
    Vanishes {
        /// The factor.
        factor: f64,
        /// The name of the side.
        side: String,
    },
    /// The flag of a corner runs into the offset line of another side.
    Splits {
        /// The factor.
        factor: f64,
        /// The name of the corner.
        corner: String,
        /// The name of the side.
        side: String,
    },
}

impl OffsetEvent {
    /// Returns the common factor on all distances at which it happens.
    #[must_use]
    pub const fn factor(&self) -> f64 {
        match self {
            Self::Vanishes { factor, .. } | Self::Splits { factor, .. } => *factor,
        }
    }
}

pub(super) fn next_event(region: &Region, distances: &[Shift]) -> Option<OffsetEvent> {
    let now = form(&offset_at(region, distances, 1.0)?);
    let same =
        |factor: f64| offset_at(region, distances, factor).map(|it| form(&it)) == Some(now.clone());
    let (below, above) = bracket(&same)?;
    event_between(region, distances, 1.0, below, above)
}

/// What keeps an offset from being one ring.
pub(super) fn refusal(region: &Region, distances: &[Shift], rings: usize) -> OffsetError {
    let one = |factor: f64| {
        let made = offset_at(region, distances, factor);
        made.is_some_and(|made| made.rings().len() == 1)
    };
    let (below, above) = close_in(&one, 0.0, 1.0);
    let event = event_between(region, distances, 0.0, below, above);
    let uniform = distances
        .first()
        .copied()
        .filter(|first| distances.iter().all(|other| other == first));
    match event {
        Some(OffsetEvent::Splits {
            factor,
            corner,
            side,
        }) if rings > 0 => OffsetError::Splits {
            rings,
            corner,
            side,
            factor,
            uniform,
        },
        Some(OffsetEvent::Splits { factor, side, .. } | OffsetEvent::Vanishes { factor, side }) => {
            OffsetError::Dies {
                side,
                factor,
                uniform,
            }
        }
        None => OffsetError::Tangled,
    }
}

fn offset_at(region: &Region, distances: &[Shift], factor: f64) -> Option<Offset> {
    let scaled: Vec<Shift> = distances
        .iter()
        .map(|distance| Shift::saturating(distance.feet() * factor))
        .collect();
    offset(region.clone(), &scaled).ok()
}

/// The sides along each ring, in order.
fn form(offset: &Offset) -> Vec<Vec<usize>> {
    let mut rings: Vec<Vec<usize>> = offset
        .rings()
        .iter()
        .map(|ring| {
            let mut sides: Vec<usize> = ring.along.iter().copied().flatten().collect();
            let least = (sides.iter().enumerate())
                .min_by_key(|(_, side)| **side)
                .map_or(0, |(k, _)| k);
            sides.rotate_left(least);
            sides
        })
        .collect();
    rings.sort();
    rings
}

/// The range of factors over 1 in which a state ends; `None` if it lasts.
fn bracket(holds: &impl Fn(f64) -> bool) -> Option<(f64, f64)> {
    let mut below = 1.0;
    while below < MOST {
        if !holds(below * 2.0) {
            return Some(close_in(holds, below, below * 2.0));
        }
        below *= 2.0;
    }
    None
}

fn close_in(holds: &impl Fn(f64) -> bool, mut below: f64, mut above: f64) -> (f64, f64) {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(below, above);
        if holds(middle) {
            below = middle;
        } else {
            above = middle;
        }
    }
    (below, above)
}

fn event_between(
    region: &Region,
    distances: &[Shift],
    from: f64,
    below: f64,
    above: f64,
) -> Option<OffsetEvent> {
    // Near enough for a gap to show, far enough to be above rounding.
    let before = offset_at(region, distances, below - (below - from) * 1e-6)?;
    let earlier = offset_at(region, distances, below - (below - from) * 1e-3)?;
    let after = offset_at(region, distances, above + (above - from) * 1e-9);
    let gained = after.as_ref().map_or(0, |it| it.rings().len()) > before.rings().len();
    let straight = !curved(&before);
    let factors = (below - (below - from) * 1e-3, below - (below - from) * 1e-6);
    let refine = |figures: [f64; 2]| {
        let [first, second] = figures;
        let shrunk = first - second;
        let factor = factors.1 + second / shrunk * (factors.1 - factors.0);
        let near = (factor - below).abs() <= 1e-6 * below;
        if straight && near { factor } else { below }
    };
    let edge = shortest_edge(&before);
    let gap = narrowest_gap(&before);
    let lost = after.as_ref().is_none_or(|after| lost_side(&before, after));
    if let Some(gap) = gap
        && (gained || !lost)
    {
        let was = narrowest_gap(&earlier).map_or(f64::NAN, |gap| gap.feet);
        return Some(OffsetEvent::Splits {
            factor: refine([was, gap.feet]),
            corner: gap.corner,
            side: region.side_name(gap.side),
        });
    }
    let (side, feet) = edge?;
    let was = edge_length(&earlier, side);
    Some(OffsetEvent::Vanishes {
        factor: refine([was, feet]),
        side: region.side_name(side),
    })
}

fn curved(offset: &Offset) -> bool {
    let mut rings = offset.source().rings();
    rings.any(|ring| ring.sides().iter().any(|side| *side != Side::Line))
}

fn lost_side(before: &Offset, after: &Offset) -> bool {
    let after = after.vanished();
    let before = before.vanished();
    after.iter().any(|side| !before.contains(side))
}

/// The side with the least offset line, and its length; of nearly equal ones the
/// first.
fn shortest_edge(offset: &Offset) -> Option<(usize, f64)> {
    let mut sides: Vec<(usize, f64)> = offset
        .rings()
        .iter()
        .flat_map(|ring| {
            let sides = ring.along.iter().enumerate();
            sides.filter_map(|(k, side)| Some(((*side)?, ring.ring().side_length(k).feet())))
        })
        .collect();
    sides.sort_by_key(|(side, _)| *side);
    let least = sides
        .iter()
        .map(|(_, feet)| *feet)
        .fold(f64::INFINITY, f64::min);
    sides.into_iter().find(|(_, feet)| *feet <= least * 1.01)
}

fn edge_length(offset: &Offset, wanted: usize) -> f64 {
    let lengths = offset.rings().iter().flat_map(|ring| {
        let sides = ring.along.iter().enumerate();
        sides
            .filter(|(_, side)| **side == Some(wanted))
            .map(|(k, _)| ring.ring().side_length(k).feet())
    });
    lengths.fold(f64::INFINITY, f64::min)
}

/// Where a flag has come nearest to an edge that is not its own.
struct Gap {
    feet: f64,
    corner: String,
    side: usize,
}

fn narrowest_gap(offset: &Offset) -> Option<Gap> {
    let mut least: Option<Gap> = None;
    for ring in offset.rings() {
        for (k, flag) in ring.corners().iter().enumerate() {
            for other in offset.rings() {
                for (j, side) in other.along.iter().enumerate() {
                    let Some(side) = *side else { continue };
                    let n = other.ring().len();
                    let own = std::ptr::eq(ring, other) && (j == k || (j + 1) % n == k);
                    if own {
                        continue;
                    }
                    let (from, to) = other.ring().ends(j);
                    let feet = segment_distance(flag.at, from.at, to.at);
                    if least.as_ref().is_none_or(|gap| feet < gap.feet) {
                        least = Some(Gap {
                            feet,
                            corner: flag.name.clone(),
                            side,
                        });
                    }
                }
            }
        }
    }
    least
}
