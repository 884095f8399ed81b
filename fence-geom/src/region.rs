//! A lot with places cut out of it: a pond, a house to keep clear of.

use crate::length::{Area, Length};
use crate::ring::{Corner, Place, Ring, Turn};

/// A ring and the holes in it.
///
/// Sides and corners count through: those of the outer ring first, then those of
/// each hole. Checked when made: corner names differ throughout, and no corner of
/// a hole lies outside of the outer ring or inside another hole; they may touch.
///
/// # Examples
///
/// ```
/// use fence_geom::{Point, Region, Ring};
///
/// let square = |names: [&'static str; 4], from: f64, size: f64| {
///     let corners = [(0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)];
///     let at = |(n, e): (f64, f64)| Point::new(from + n * size, from + e * size);
///     let corners = names.into_iter().zip(corners);
///     let corners = corners.map(|(name, place)| Ok((name, at(place)?)));
///     Ok::<_, Box<dyn std::error::Error>>(Ring::of_lines(
///         corners.collect::<Result<Vec<_>, fence_geom::QuantityError>>()?,
///     )?)
/// };
/// let lot = square(["A", "B", "C", "D"], 0.0, 100.0)?;
/// let pond = square(["P", "Q", "R", "S"], 40.0, 10.0)?;
/// let region = Region::new(lot, vec![pond])?;
/// assert_eq!(region.area().square_feet(), 9_900.0);
/// assert_eq!(region.side_name(4), "P-Q");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    outer: Ring,
    holes: Vec<Ring>,
}

/// Why rings don't make a [`Region`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RegionError {
    /// Two corners of one name.
    #[error("two corners are called {name:?}: give each corner a name of its own, holes included")]
    SameName {
        /// The name.
        name: String,
    },
    /// A hole that is not in the ring.
    #[error(
        "corner {corner} of a hole lies outside the lot: give only the part of the place that lies inside"
    )]
    NotInside {
        /// The name of the corner.
        corner: String,
    },
    /// Holes over each other.
    #[error("corner {corner} of a hole lies in another hole: give the two as one")]
    Overlap {
        /// The name of the corner.
        corner: String,
    },
}

impl Region {
    /// Creates a region from a ring and its holes.
    ///
    /// # Errors
    ///
    /// A [`RegionError`] that names the corner at fault.
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Result<Self, RegionError> {
        let region = Self { outer, holes };
        let mut names = std::collections::BTreeSet::new();
        for corner in region.rings().flat_map(Ring::corners) {
            if !names.insert(corner.name.as_str()) {
                return Err(RegionError::SameName {
                    name: corner.name.clone(),
                });
            }
        }
        for (k, hole) in region.holes.iter().enumerate() {
            let place = |ring: &Ring, corner: &Corner| ring.locate(corner.at, Length::default());
            let stray = |ring: &Ring, wrong: Place| {
                let found = hole.corners().iter().find(|it| place(ring, it) == wrong);
                found.map(|corner| corner.name.clone())
            };
            if let Some(corner) = stray(&region.outer, Place::Outside) {
                return Err(RegionError::NotInside { corner });
            }
            let others = region.holes.iter().enumerate().filter(|(i, _)| *i != k);
            if let Some(corner) = others
                .into_iter()
                .find_map(|(_, other)| stray(other, Place::Inside))
            {
                return Err(RegionError::Overlap { corner });
            }
        }
        Ok(region)
    }

    /// Returns the outer ring.
    #[must_use]
    pub const fn outer(&self) -> &Ring {
        &self.outer
    }

    /// Returns the holes.
    #[must_use]
    pub fn holes(&self) -> &[Ring] {
        &self.holes
    }

    /// Returns the outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Returns how many sides, and so corners, there are in all.
    #[must_use]
    pub fn side_count(&self) -> usize {
        self.rings().map(Ring::len).sum()
    }

    /// Returns the ring that side or corner `i` belongs to, and its index there;
    /// past the end, the last.
    #[must_use]
    pub fn ring_of(&self, i: usize) -> (&Ring, usize) {
        let mut left = i;
        let mut found = (&self.outer, i);
        for ring in self.rings() {
            found = (ring, left);
            if left < ring.len() {
                break;
            }
            left -= ring.len();
        }
        found
    }

    /// Returns the name of side `i`.
    #[must_use]
    pub fn side_name(&self, i: usize) -> String {
        let (ring, i) = self.ring_of(i);
        ring.side_name(i)
    }

    /// Returns the index of the side with the given name, written either way
    /// round.
    #[must_use]
    pub fn side(&self, name: &str) -> Option<usize> {
        let mut first = 0;
        for ring in self.rings() {
            if let Some(i) = ring.side(name) {
                return Some(first + i);
            }
            first += ring.len();
        }
        None
    }

    /// Returns corner `i`.
    #[must_use]
    pub fn corner(&self, i: usize) -> &Corner {
        let (ring, i) = self.ring_of(i);
        ring.ends(i).0
    }

    /// Returns the index of the corner at the end of side `i`.
    #[must_use]
    pub fn end_of(&self, i: usize) -> usize {
        let (ring, k) = self.ring_of(i);
        i - k + (k + 1) % ring.len()
    }

    /// Returns the index of the side that arrives at corner `i`.
    #[must_use]
    pub fn side_before(&self, i: usize) -> usize {
        let (ring, k) = self.ring_of(i);
        i - k + (k + ring.len() - 1) % ring.len()
    }

    /// Returns the area, holes taken off.
    #[must_use]
    pub fn area(&self) -> Area {
        let holes: f64 = self.holes.iter().map(|it| it.area().square_feet()).sum();
        Area::saturating(self.outer.area().square_feet() - holes)
    }

    /// Returns the hand on which the region lies for one who walks the outer ring
    /// in order.
    #[must_use]
    pub fn interior(&self) -> Turn {
        self.outer.interior()
    }
}

impl From<Ring> for Region {
    fn from(outer: Ring) -> Self {
        Self {
            outer,
            holes: Vec::new(),
        }
    }
}
