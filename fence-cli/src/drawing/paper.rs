//! The paper: its shape, the scale, and where a place on the ground falls on it.

use fence_geom::Point;

use super::shapes::Xy;

/// US letter, in points.
const LONG: f64 = 792.0;
const SHORT: f64 = 612.0;
/// What most printers can't reach.
pub(super) const EDGE: f64 = 24.0;
const POINTS_PER_INCH: f64 = 72.0;
/// Room around the ground for bearings, distances and names.
const ROOM: f64 = 34.0;

/// Which way the sheet lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    Landscape,
    Portrait,
}

impl Lie {
    pub(super) const fn size(self) -> Xy {
        match self {
            Self::Landscape => Xy::new(LONG, SHORT),
            Self::Portrait => Xy::new(SHORT, LONG),
        }
    }
}

/// A rectangle on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub(super) corner: Xy,
    pub(super) size: Xy,
}

impl Area {
    pub(super) fn far(self) -> Xy {
        self.corner.plus(self.size)
    }

    pub(super) fn center(self) -> Xy {
        self.corner.plus(self.size.times(0.5))
    }

    /// The part of the line from `a` to `b` that lies in this area.
    pub(super) fn part(self, a: Xy, b: Xy) -> Option<(Xy, Xy)> {
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let far = self.far();
        for (start, end, low, high) in [
            (a.x, b.x, self.corner.x, far.x),
            (a.y, b.y, self.corner.y, far.y),
        ] {
            let way = end - start;
            if way == 0.0 {
                if start < low || start > high {
                    return None;
                }
                continue;
            }
            let (one, other) = ((low - start) / way, (high - start) / way);
            from = from.max(one.min(other));
            to = to.min(one.max(other));
        }
        (from < to).then(|| (a.between(b, from), a.between(b, to)))
    }
}

/// The least upright rectangle on the ground that holds a number of places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    south: f64,
    north: f64,
    west: f64,
    east: f64,
}

impl Extent {
    /// The extent of nothing.
    pub(super) const ORIGIN: Self = Self {
        south: 0.0,
        north: 0.0,
        west: 0.0,
        east: 0.0,
    };

    /// `None` without any place.
    pub(super) fn of(places: impl IntoIterator<Item = Point>) -> Option<Self> {
        places.into_iter().fold(None, |extent, at| {
            let here = Self {
                south: at.north(),
                north: at.north(),
                west: at.east(),
                east: at.east(),
            };
            Some(extent.map_or(here, |other: Self| Self {
                south: other.south.min(here.south),
                north: other.north.max(here.north),
                west: other.west.min(here.west),
                east: other.east.max(here.east),
            }))
        })
    }

    fn size(self) -> Xy {
        Xy::new(self.east - self.west, self.north - self.south)
    }
}

/// A sheet of paper with its scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paper {
    pub(super) lie: Lie,
    /// Where the plan is drawn.
    pub(super) area: Area,
    /// Feet on the ground for an inch of paper.
    pub(super) feet_per_inch: f64,
    west: f64,
    north: f64,
    corner: Xy,
}

impl Paper {
    /// Takes the lie that allows the larger scale; where both allow the same, the
    /// lie of the ground itself. `None` where the sheet can't lie.
    pub(super) fn new(ground: Extent, landscape: Option<Area>, portrait: Area) -> Self {
        let standing = Self::lying(Lie::Portrait, ground, portrait);
        let Some(landscape) = landscape else {
            return standing;
        };
        let lying = Self::lying(Lie::Landscape, ground, landscape);
        let size = ground.size();
        let stands = if lying.feet_per_inch < standing.feet_per_inch {
            false
        } else {
            standing.feet_per_inch < lying.feet_per_inch || size.y > size.x
        };
        if stands { standing } else { lying }
    }

    /// A lying sheet.
    pub(super) fn landscape(ground: Extent, area: Area) -> Self {
        Self::lying(Lie::Landscape, ground, area)
    }

    fn lying(lie: Lie, ground: Extent, area: Area) -> Self {
        let size = ground.size();
        let needed = (size.x / (area.size.x - 2.0 * ROOM)).max(size.y / (area.size.y - 2.0 * ROOM))
            * POINTS_PER_INCH;
        let feet_per_inch = round_scale(needed);
        let drawn = size.times(POINTS_PER_INCH / feet_per_inch);
        Self {
            lie,
            area,
            feet_per_inch,
            west: ground.west,
            north: ground.north,
            corner: area.center().minus(drawn.times(0.5)),
        }
    }

    /// Where a place falls: north is up.
    pub(super) fn at(&self, place: Point) -> Xy {
        self.corner.plus(Xy::new(
            self.long(place.east() - self.west),
            self.long(self.north - place.north()),
        ))
    }

    /// How long so many feet are on the paper, in points.
    pub(super) fn long(&self, feet: f64) -> f64 {
        feet * POINTS_PER_INCH / self.feet_per_inch
    }
}

/// The least scale of an engineer's rule (10, 20, 30, 40, 50 or 60 ft to the
/// inch, and their tenfolds), or 4 or 5 ft, that is not under `needed`.
///
/// An engineer's scale has these six; common practice, no source.
fn round_scale(needed: f64) -> f64 {
    let rules = (1..14)
        .flat_map(|power| [1.0, 2.0, 3.0, 4.0, 5.0, 6.0].map(|step| step * 10.0_f64.powi(power)));
    [4.0, 5.0]
        .into_iter()
        .chain(rules)
        .find(|scale| *scale >= needed)
        .unwrap_or(needed)
}

#[cfg(test)]
mod tests;
