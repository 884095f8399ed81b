//! The plane grids of surveying: UTM, transverse Mercator, Lambert conformal
//! conic, oblique Mercator.

use proj::Proj;

use super::datum::Ellipsoid;
use super::{Datum, GeodesyError, LonLat, StatePlaneZone};
use crate::angle::Angle;
use crate::length::METERS_PER_FOOT;
use crate::point::Point;

/// A transverse Mercator grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TransverseMercator {
    /// Where the central meridian meets the latitude of origin.
    pub origin: LonLat,
    /// The scale factor on the central meridian.
    pub scale: f64,
    /// The grid coordinates of the origin (the false northing and easting).
    pub at_origin: Point,
}

/// A Lambert conformal conic grid with two standard parallels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LambertConic {
    /// Where the central meridian meets the latitude of origin.
    pub origin: LonLat,
    /// The two latitudes of true scale, in either order.
    pub parallels: [Angle; 2],
    /// The grid coordinates of the origin (the false northing and easting).
    pub at_origin: Point,
}

/// An oblique Mercator grid by one point and the direction of its axis there (Hotine's,
/// with the origin where the axis crosses the equator of the aposphere).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ObliqueMercator {
    /// The point of the axis that it is told by.
    pub center: LonLat,
    /// The azimuth of the axis at the center, which is also the angle by which the grid
    /// is turned back.
    pub axis: Angle,
    /// The scale factor on the axis.
    pub scale: f64,
    /// The grid coordinates of the natural origin, far from the center.
    pub at_natural_origin: Point,
}

/// A conformal map from the ellipsoid of a datum to a plane in international
/// feet.
///
/// Making one takes milliseconds, so make it once. It can't be sent between
/// threads, because the library below keeps its state in it: make one for each.
///
/// # Accuracy
///
/// A thousandth of a millimeter either way within [`Projection::REACH_DEGREES`]
/// of the central meridian, as far as the grid's parameters go.
///
/// # Source
///
/// The PROJ library, version 9, operations `tmerc` (Poder and Engsager's series)
/// and `lcc`.
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, LonLat, METERS_PER_FOOT, Projection};
///
/// // On the central meridian of a UTM zone the easting is 500,000 m.
/// let utm = Projection::utm(Datum::Nad83, 15)?;
/// let at = utm.to_plane(LonLat::new(-93.0, 45.0)?)?;
/// assert!((at.east() * METERS_PER_FOOT - 500_000.0).abs() < 1e-6);
/// # Ok::<(), fence_geom::GeodesyError>(())
/// ```
#[derive(Debug)]
pub struct Projection {
    datum: Datum,
    central_meridian: f64,
    northern: bool,
    zone: Option<StatePlaneZone>,
    engine: Proj,
}

/// How a grid lies at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GridFactors {
    /// From true north to grid north, clockwise: positive east of the central
    /// meridian in the northern hemisphere. Geodetic azimuth = grid azimuth +
    /// convergence, but for the bend of long lines.
    pub convergence: Angle,
    /// Grid distance over distance along the ellipsoid.
    pub scale: f64,
}

impl Projection {
    /// How far from the central meridian a place may lie, in degrees of longitude:
    /// wider than any zone of a state, and near enough for every digit.
    pub const REACH_DEGREES: f64 = 15.0;

    /// Half the step of the numeric derivative, in radians: 64 m, where the
    /// curvature left out and the rounding are both some 1e-11.
    const HALF_STEP: f64 = 1e-5;

    /// Returns a zone of the Universal Transverse Mercator grid, northern
    /// hemisphere.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Zone`] if `zone` is not from 1 to 60.
    ///
    /// # Source
    ///
    /// Defense Mapping Agency, TM 8358.2, *The Universal Grids* (1989): scale
    /// 0.9996, 500,000 m east on the central meridian (figures from memory,
    /// checked by the reference tests).
    pub fn utm(datum: Datum, zone: u8) -> Result<Self, GeodesyError> {
        if !(1..=60).contains(&zone) {
            return Err(GeodesyError::Zone { zone });
        }
        let central_meridian = 6.0 * f64::from(zone) - 183.0;
        let origin = (central_meridian, 0.0);
        let definition = transverse_mercator(origin, 0.9996, (500_000.0, 0.0));
        let grid = Self::of(datum, central_meridian, &definition)?;
        Ok(Self {
            northern: true,
            ..grid
        })
    }

    /// Returns a transverse Mercator grid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Scale`] if its scale factor is not from 0.9 to 1.1.
    pub fn transverse_mercator(
        datum: Datum,
        grid: &TransverseMercator,
    ) -> Result<Self, GeodesyError> {
        check_scale(grid.scale)?;
        let origin = (grid.origin.longitude(), grid.origin.latitude());
        let definition = transverse_mercator(origin, grid.scale, east_north_m(grid.at_origin));
        Self::of(datum, grid.origin.longitude(), &definition)
    }

    /// Returns a Lambert conformal conic grid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Parallels`] if its standard parallels are not of one
    /// hemisphere, or lie within a degree of the equator or a pole.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Angle, Datum, LambertConic, LonLat, METERS_PER_FOOT, Point, Projection};
    ///
    /// let grid = Projection::lambert(
    ///     Datum::Nad83,
    ///     &LambertConic {
    ///         origin: LonLat::new(-119.0, 35.0 + 20.0 / 60.0)?,
    ///         parallels: [Angle::from_degrees(36.0)?, Angle::from_degrees(37.25)?],
    ///         at_origin: Point::new(500_000.0 / METERS_PER_FOOT, 2e6 / METERS_PER_FOOT)?,
    ///     },
    /// )?;
    /// let at = LonLat::new(-120.0, 35.8)?;
    /// // West of the central meridian, grid north leans to the west.
    /// assert!(grid.factors(at)?.convergence.degrees() < 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn lambert(datum: Datum, grid: &LambertConic) -> Result<Self, GeodesyError> {
        let [first, second] = grid.parallels.map(Angle::degrees);
        check_parallels(first, second)?;
        let (east, north) = east_north_m(grid.at_origin);
        let (longitude, latitude) = (grid.origin.longitude(), grid.origin.latitude());
        let definition = format!(
            "+proj=lcc +lon_0={longitude} +lat_0={latitude} +lat_1={first} +lat_2={second} \
             +x_0={east} +y_0={north}"
        );
        Self::of(datum, longitude, &definition)
    }

    /// Returns an oblique Mercator grid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Scale`] if its scale factor is not from 0.9 to 1.1;
    /// [`GeodesyError::Failed`] if there is no such grid, as for an axis along a
    /// meridian.
    ///
    /// # Source
    ///
    /// The PROJ library, operation `omerc` with `no_uoff`.
    pub fn oblique_mercator(datum: Datum, grid: &ObliqueMercator) -> Result<Self, GeodesyError> {
        check_scale(grid.scale)?;
        let (longitude, latitude) = (grid.center.longitude(), grid.center.latitude());
        let (east, north) = east_north_m(grid.at_natural_origin);
        let (axis, scale) = (grid.axis.degrees(), grid.scale);
        let definition = format!(
            "+proj=omerc +no_uoff +lonc={longitude} +lat_0={latitude} +alpha={axis} \
             +gamma={axis} +k_0={scale} +x_0={east} +y_0={north}"
        );
        Self::of(datum, longitude, &definition)
    }

    /// This grid, for the places of one zone.
    pub(super) fn within(self, zone: StatePlaneZone) -> Self {
        Self {
            zone: Some(zone),
            ..self
        }
    }

    /// Returns the datum of the longitudes and latitudes.
    #[must_use]
    pub const fn datum(&self) -> Datum {
        self.datum
    }

    /// Returns the place in the plane.
    ///
    /// # Errors
    ///
    /// [`GeodesyError`] if the place is too far from the grid's middle, in the
    /// other hemisphere, or where the datum is not in use.
    pub fn to_plane(&self, at: LonLat) -> Result<Point, GeodesyError> {
        self.check_place(at)?;
        let (east, north) =
            self.east_north_m(at.longitude().to_radians(), at.latitude().to_radians())?;
        Point::new(north / METERS_PER_FOOT, east / METERS_PER_FOOT).map_err(|error| {
            GeodesyError::Failed {
                words: error.to_string(),
            }
        })
    }

    /// Returns the longitude and latitude of a place in the plane.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::NoLonLat`] if no place that [`to_plane`](Self::to_plane)
    /// takes is mapped there; [`GeodesyError::OutsideStateZone`] where it is one of
    /// another zone.
    pub fn to_lon_lat(&self, at: Point) -> Result<LonLat, GeodesyError> {
        let nowhere = GeodesyError::NoLonLat {
            north_ft: at.north(),
            east_ft: at.east(),
        };
        let Ok((longitude, latitude)) = self.engine.project(east_north_m(at), true) else {
            return Err(nowhere);
        };
        let Ok(found) = LonLat::new(longitude.to_degrees(), latitude.to_degrees()) else {
            return Err(nowhere);
        };
        match self.check_place(found) {
            Ok(()) => Ok(found),
            Err(outside @ GeodesyError::OutsideStateZone { .. }) => Err(outside),
            Err(_) => Err(nowhere),
        }
    }

    /// Returns the convergence and the scale factor at a place.
    ///
    /// # Errors
    ///
    /// As [`to_plane`](Self::to_plane).
    ///
    /// # Accuracy
    ///
    /// 1e-9 in the scale and 0.0001 second of arc: both come from a numeric
    /// derivative along the meridian, as the grids are conformal.
    ///
    /// # Source
    ///
    /// Sign of the convergence: J. E. Stem, *State Plane Coordinate System of
    /// 1983*, NOAA Manual NOS NGS 5 (1989), fig. 2.5: geodetic azimuth = projected
    /// geodetic azimuth + convergence.
    pub fn factors(&self, at: LonLat) -> Result<GridFactors, GeodesyError> {
        self.check_place(at)?;
        let (longitude, latitude) = (at.longitude().to_radians(), at.latitude().to_radians());
        let (south_e, south_n) = self.east_north_m(longitude, latitude - Self::HALF_STEP)?;
        let (north_e, north_n) = self.east_north_m(longitude, latitude + Self::HALF_STEP)?;
        let (east, north) = (north_e - south_e, north_n - south_n);
        let on_ellipsoid = self.ellipsoid().meridian_radius_m(latitude) * 2.0 * Self::HALF_STEP;
        Ok(GridFactors {
            // The meridian's grid azimuth is the convergence, turned around.
            convergence: Angle::of_radians((-east).atan2(north)),
            scale: north.hypot(east) / on_ellipsoid,
        })
    }

    fn of(datum: Datum, central_meridian: f64, definition: &str) -> Result<Self, GeodesyError> {
        let Ellipsoid {
            semi_major_m,
            inverse_flattening,
        } = datum.ellipsoid();
        let definition = format!("{definition} +a={semi_major_m} +rf={inverse_flattening}");
        let engine = Proj::new(&definition).map_err(|error| GeodesyError::Failed {
            words: error.to_string(),
        })?;
        Ok(Self {
            datum,
            central_meridian,
            northern: false,
            zone: None,
            engine,
        })
    }

    const fn ellipsoid(&self) -> Ellipsoid {
        self.datum.ellipsoid()
    }

    fn check_place(&self, at: LonLat) -> Result<(), GeodesyError> {
        if !self.datum.is_used_at(at) {
            return Err(GeodesyError::OutsideDatum {
                datum: self.datum,
                at,
            });
        }
        if self.northern && at.latitude() < 0.0 {
            return Err(GeodesyError::SouthOfEquator { at });
        }
        if let Some(zone) = self.zone {
            return zone.check(at);
        }
        let degrees = at.degrees_east_of(self.central_meridian).abs();
        if degrees > Self::REACH_DEGREES {
            return Err(GeodesyError::OutsideZone { at, degrees });
        }
        Ok(())
    }

    /// The easting and northing in meters of a place given in radians.
    fn east_north_m(&self, longitude: f64, latitude: f64) -> Result<(f64, f64), GeodesyError> {
        self.engine
            .project((longitude, latitude), false)
            .map_err(|error| GeodesyError::Failed {
                words: error.to_string(),
            })
    }
}

/// The definition of a transverse Mercator grid but for its ellipsoid. The series
/// is named, because a file of settings beside the library could choose another.
fn transverse_mercator(
    (longitude, latitude): (f64, f64),
    scale: f64,
    (east_m, north_m): (f64, f64),
) -> String {
    format!(
        "+proj=tmerc +algo=poder_engsager +lon_0={longitude} +lat_0={latitude} +k_0={scale} \
         +x_0={east_m} +y_0={north_m}"
    )
}

fn east_north_m(at: Point) -> (f64, f64) {
    (at.east() * METERS_PER_FOOT, at.north() * METERS_PER_FOOT)
}

pub(super) fn check_scale(scale: f64) -> Result<(), GeodesyError> {
    if (0.9..=1.1).contains(&scale) {
        Ok(())
    } else {
        Err(GeodesyError::Scale { scale })
    }
}

fn check_parallels(first: f64, second: f64) -> Result<(), GeodesyError> {
    let is_parallel = |degrees: f64| (1.0..=89.0).contains(&degrees.abs());
    if is_parallel(first) && is_parallel(second) && first * second > 0.0 {
        Ok(())
    } else {
        Err(GeodesyError::Parallels { first, second })
    }
}
