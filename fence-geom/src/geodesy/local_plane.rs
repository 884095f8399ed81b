//! A plane of a job's own, about one of its points.

use super::{Datum, GeodesyError, LonLat, Projection, TransverseMercator};
use crate::length::Length;
use crate::point::Point;
use crate::reading::Reading;

/// A plane about one place: feet north and east of it, north being true north
/// there.
///
/// # Accuracy
///
/// Distances are those along the ellipsoid, true to one part in a million within
/// [`LocalPlane::reach`]. Ground at a height of H feet above the ellipsoid is
/// longer by H / 20,906,000 of itself; that is not taken up.
///
/// # Source
///
/// A transverse Mercator grid with its origin at the place and scale 1. The radius
/// of 20,906,000 ft: J. Mahun, *Open Access Surveying Library*, "Horizontal
/// Coordinate Systems", Chapter K, reduction example.
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, LocalPlane, LonLat};
///
/// let plane = LocalPlane::about(Datum::Nad83, LonLat::new(-93.1, 48.6)?)?;
/// let corner = plane.to_plane(LonLat::new(-93.1, 48.6003)?)?;
/// assert!(corner.east().abs() < 1e-6);
/// assert!((corner.north() - 109.4).abs() < 0.1);
/// # Ok::<(), fence_geom::GeodesyError>(())
/// ```
#[derive(Debug)]
pub struct LocalPlane {
    origin: LonLat,
    grid: Projection,
}

impl LocalPlane {
    /// Five miles: there the scale is off by 8 parts in ten million.
    const REACH_FEET: f64 = 26_400.0;

    /// Returns how far from the origin a place may lie.
    #[must_use]
    pub fn reach() -> Length {
        Length::saturating(Self::REACH_FEET)
    }

    /// Returns the plane about a place.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::OutsideDatum`] if the datum is not in use there.
    pub fn about(datum: Datum, origin: LonLat) -> Result<Self, GeodesyError> {
        if !datum.is_used_at(origin) {
            return Err(GeodesyError::OutsideDatum { datum, at: origin });
        }
        let grid = TransverseMercator {
            origin,
            scale: 1.0,
            at_origin: Point::ORIGIN,
        };
        let grid = Projection::transverse_mercator(datum, &grid)?;
        Ok(Self { origin, grid })
    }

    /// Returns the place the plane is about.
    #[must_use]
    pub const fn origin(&self) -> LonLat {
        self.origin
    }

    /// Returns the place in the plane.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if it is farther than [`LocalPlane::reach`] from the
    /// origin.
    pub fn to_plane(&self, at: LonLat) -> Result<Point, GeodesyError> {
        let found = self.grid.to_plane(at)?;
        self.check_distance(found, at)?;
        Ok(found)
    }

    /// Returns the longitude and latitude of a place in the plane.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if it is farther than [`LocalPlane::reach`] from the
    /// origin.
    pub fn to_lon_lat(&self, at: Point) -> Result<LonLat, GeodesyError> {
        let found = self.grid.to_lon_lat(at)?;
        self.check_distance(at, found)?;
        Ok(found)
    }

    fn check_distance(&self, found: Point, at: LonLat) -> Result<(), GeodesyError> {
        let distance = found.distance(Point::ORIGIN);
        if distance <= Self::reach() {
            return Ok(());
        }
        Err(GeodesyError::OutsideLocalPlane {
            at,
            origin: self.origin,
            distance,
        })
    }
}

/// Returns named points on the plane about the first of them, and says what plane
/// that is.
///
/// # Errors
///
/// [`GeodesyError::NoPoints`] if there are none, [`GeodesyError::Named`] with the
/// name of the point that can't be projected.
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, LonLat, local_points};
///
/// let pins = [
///     ("A".to_owned(), LonLat::new(-93.1, 48.6)?),
///     ("B".to_owned(), LonLat::new(-93.0995, 48.6)?),
/// ];
/// let read = local_points(Datum::Nad83Of2011, &pins)?;
/// let (name, at) = read.value.last().ok_or("no points")?;
/// assert_eq!(name, "B");
/// assert!((at.east() - 121.0).abs() < 0.5);
/// assert!(read.assumed.iter().any(|words| words.contains("about A")));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn local_points(
    datum: Datum,
    points: &[(String, LonLat)],
) -> Result<Reading<Vec<(String, Point)>>, GeodesyError> {
    let (first, origin) = points.first().ok_or(GeodesyError::NoPoints)?;
    let named = |name: &String, problem| GeodesyError::Named {
        name: name.clone(),
        problem: Box::new(problem),
    };
    let plane = LocalPlane::about(datum, *origin).map_err(|problem| named(first, problem))?;
    let value: Result<Vec<(String, Point)>, GeodesyError> = points
        .iter()
        .map(|(name, at)| {
            let found = plane
                .to_plane(*at)
                .map_err(|problem| named(name, problem))?;
            Ok((name.clone(), found))
        })
        .collect();
    Ok(Reading {
        value: value?,
        assumed: vec![format!(
            "points are in feet on a plane about {first} ({origin}, {datum}), north being true \
             north there; distances are those along the ellipsoid, and ground H ft above it is \
             longer by H/20,906,000 (0.024 ft in 100 ft at 5,000 ft)"
        )],
    })
}
