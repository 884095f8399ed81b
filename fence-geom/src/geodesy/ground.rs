//! Grid and ground: what a distance of a plane grid is on the ground.

use super::{GeodesyError, GridFactors, LonLat, Projection};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};

/// The mean radius of the ellipsoid that heights are held against, in feet: it is good
/// to 0.3 %, which leaves 0.0008 ft in 100 ft at 5,000 ft.
///
/// Source: J. Mahun, *Open Access Surveying Library*, web edition, "Horizontal
/// Coordinate Systems", Chapter K; J. Van Sickle, GEOG 862 *GPS and GNSS for Geospatial
/// Professionals*, Pennsylvania State University, "Elevation Factor".
const RADIUS_FEET: f64 = 20_906_000.0;

/// How a distance on the ground becomes one in a grid.
///
/// # Examples
///
/// ```
/// use fence_geom::{CombinedFactor, Length, Shift};
///
/// let factor = CombinedFactor::new(0.9999, Shift::from_feet(1045.3)?)?;
/// assert!((factor.elevation() - 0.99995).abs() < 1e-8);
/// let grid = factor.grid_distance(Length::from_feet(1000.0)?);
/// assert!((grid.feet() - 999.85).abs() < 1e-4);
/// assert!((factor.ground_distance(grid).feet() - 1000.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CombinedFactor {
    scale: f64,
    elevation: f64,
}

impl CombinedFactor {
    /// The factor of a grid scale and a height above the ellipsoid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Scale`] if the scale is not from 0.9 to 1.1;
    /// [`GeodesyError::Height`] if the height is not from -2,000 to 30,000 ft.
    pub fn new(scale: f64, height: Shift) -> Result<Self, GeodesyError> {
        super::projection::check_scale(scale)?;
        if !(-2_000.0..=30_000.0).contains(&height.feet()) {
            return Err(GeodesyError::Height {
                feet: height.feet(),
            });
        }
        Ok(Self {
            scale,
            elevation: RADIUS_FEET / (RADIUS_FEET + height.feet()),
        })
    }

    /// Returns grid distance over distance along the ellipsoid.
    #[must_use]
    pub const fn scale(self) -> f64 {
        self.scale
    }

    /// Returns distance along the ellipsoid over distance on the ground.
    #[must_use]
    pub const fn elevation(self) -> f64 {
        self.elevation
    }

    /// Returns grid distance over distance on the ground: the product of the two.
    #[must_use]
    pub fn combined(self) -> f64 {
        self.scale * self.elevation
    }

    /// Returns the grid distance of a distance on the ground.
    #[must_use]
    pub fn grid_distance(self, ground: Length) -> Length {
        Length::saturating(ground.feet() * self.combined())
    }

    /// Returns the distance on the ground of a grid distance.
    #[must_use]
    pub fn ground_distance(self, grid: Length) -> Length {
        Length::saturating(grid.feet() / self.combined())
    }
}

/// A job's own plane over a grid: feet on the ground north and east of one of its
/// points, north being grid north.
///
/// # Accuracy
///
/// One combined factor serves the whole plane. It changes by less than 2 in a million
/// for each mile of a state plane zone, and by 5 in a million for 100 ft of height.
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, GroundPlane, LonLat, Shift, StatePlaneZone};
///
/// let zone = StatePlaneZone::of_number(2201).ok_or("no such zone")?;
/// let grid = zone.projection(Datum::Nad83)?;
/// let plane = GroundPlane::about(grid, LonLat::new(-93.1, 47.5)?, Shift::from_feet(1300.0)?)?;
/// let corner = plane.to_ground(LonLat::new(-93.1, 47.5003)?)?;
/// let back = plane.to_lon_lat(corner)?;
/// assert!((back.latitude() - 47.5003).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct GroundPlane {
    grid: Projection,
    origin: Point,
    factors: GridFactors,
    combined: CombinedFactor,
}

impl GroundPlane {
    /// The plane about a place whose ground is at this height above the ellipsoid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if the place is none of the grid, or the height none of a
    /// lot.
    pub fn about(grid: Projection, at: LonLat, height: Shift) -> Result<Self, GeodesyError> {
        let factors = grid.factors(at)?;
        Ok(Self {
            origin: grid.to_plane(at)?,
            combined: CombinedFactor::new(factors.scale, height)?,
            factors,
            grid,
        })
    }

    /// Returns the grid below.
    #[must_use]
    pub const fn grid(&self) -> &Projection {
        &self.grid
    }

    /// Returns the convergence and the scale of the grid at the origin.
    #[must_use]
    pub const fn factors(&self) -> GridFactors {
        self.factors
    }

    /// Returns the factor from ground to grid.
    #[must_use]
    pub const fn combined(&self) -> CombinedFactor {
        self.combined
    }

    /// Returns a place of the grid on the ground.
    #[must_use]
    pub fn of_grid(&self, at: Point) -> Point {
        Point::ORIGIN + (at - self.origin) * (1.0 / self.combined.combined())
    }

    /// Returns a place on the ground in the grid.
    #[must_use]
    pub fn in_grid(&self, at: Point) -> Point {
        let way: Displacement = at - Point::ORIGIN;
        self.origin + way * self.combined.combined()
    }

    /// Returns a place on the ground.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if it is no place of the grid.
    pub fn to_ground(&self, at: LonLat) -> Result<Point, GeodesyError> {
        Ok(self.of_grid(self.grid.to_plane(at)?))
    }

    /// Returns the longitude and latitude of a place on the ground.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if no place of the grid is there.
    pub fn to_lon_lat(&self, at: Point) -> Result<LonLat, GeodesyError> {
        self.grid.to_lon_lat(self.in_grid(at))
    }
}
