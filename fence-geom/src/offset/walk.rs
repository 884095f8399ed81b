//! The sides of a region, each walked with the region on the right.

use super::chain::Bound;
use crate::length::Shift;
use crate::point::Point;
use crate::region::Region;
use crate::ring::{Ring, Side, Turn};

/// The bounds of each ring of a region, in displacements from `origin`.
pub(super) fn bounds(region: &Region, distances: &[Shift], origin: Point) -> Vec<Vec<Bound>> {
    let mut first = 0;
    let mut all = Vec::new();
    for (k, ring) in region.rings().enumerate() {
        let widths = distances.get(first..first + ring.len()).unwrap_or_default();
        // The region lies outside of a hole.
        let backward = (ring.interior() == Turn::Left) == (k == 0);
        let mut bounds = Vec::with_capacity(ring.len());
        bounds_of(ring, first, widths, backward, origin, &mut bounds);
        all.push(bounds);
        first += ring.len();
    }
    all
}

/// The bounds of one ring, whose first side has the index `first`.
pub(super) fn bounds_of(
    ring: &Ring,
    first: usize,
    widths: &[Shift],
    backward: bool,
    origin: Point,
    into: &mut Vec<Bound>,
) {
    into.clear();
    let index = |i: usize| u32::try_from(first + i).unwrap_or(u32::MAX);
    let bound = |(i, side): (usize, &Side)| {
        let (from, to) = ring.ends(i);
        let (from, to) = (from.at - origin, to.at - origin);
        let width = widths.get(i).map_or(0.0, |shift| shift.feet());
        let (corner, side, from, to) = if backward {
            let after = if i + 1 < ring.len() { i + 1 } else { 0 };
            (after, side.reversed(), to, from)
        } else {
            (i, *side, from, to)
        };
        Bound::new(index(i), index(corner), side.piece(from, to), width)
    };
    into.extend(ring.sides().iter().enumerate().map(bound));
    if backward {
        into.reverse();
    }
}
