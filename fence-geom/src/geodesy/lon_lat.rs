//! A longitude and a latitude.

use std::fmt;

use super::GeodesyError;

/// A place on the ellipsoid: longitude first, then latitude.
///
/// - Unit: the degree, as in every file that has such places; east and north are
///   positive.
/// - Range: longitude -180..=180, latitude -60..=84, which leaves out the ice and
///   nothing that is fenced. With that, a pair of the United States with its
///   halves swapped is always out of range.
///
/// # Examples
///
/// ```
/// use fence_geom::LonLat;
///
/// let pin = LonLat::new(-93.1, 48.6)?;
/// assert_eq!(pin.latitude(), 48.6);
///
/// let swapped = LonLat::new(48.6, -93.1).unwrap_err();
/// assert!(swapped.to_string().contains("look swapped"));
/// # Ok::<(), fence_geom::GeodesyError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "Degrees", into = "Degrees"))]
pub struct LonLat {
    longitude: f64,
    latitude: f64,
}

impl LonLat {
    /// The southernmost latitude, in degrees.
    pub const MIN_LATITUDE: f64 = -60.0;
    /// The northernmost latitude, in degrees.
    pub const MAX_LATITUDE: f64 = 84.0;

    /// Creates a place from its longitude and latitude in degrees.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Swapped`] if the two only make sense the other way around,
    /// [`GeodesyError::Longitude`] and [`GeodesyError::Latitude`] if one is NaN or
    /// out of range.
    pub fn new(longitude: f64, latitude: f64) -> Result<Self, GeodesyError> {
        let is_longitude = |degrees: f64| (-180.0..=180.0).contains(&degrees);
        let is_latitude =
            |degrees: f64| (Self::MIN_LATITUDE..=Self::MAX_LATITUDE).contains(&degrees);
        match (is_longitude(longitude), is_latitude(latitude)) {
            (true, true) => Ok(Self {
                longitude,
                latitude,
            }),
            (_, false) if is_latitude(longitude) && is_longitude(latitude) => {
                Err(GeodesyError::Swapped {
                    longitude,
                    latitude,
                })
            }
            (false, _) => Err(GeodesyError::Longitude { degrees: longitude }),
            (_, false) => Err(GeodesyError::Latitude { degrees: latitude }),
        }
    }

    /// Returns the longitude in degrees, positive to the east.
    #[must_use]
    pub const fn longitude(self) -> f64 {
        self.longitude
    }

    /// Returns the latitude in degrees, positive to the north.
    #[must_use]
    pub const fn latitude(self) -> f64 {
        self.latitude
    }

    /// How far to the east of `meridian` this lies, -180 to 180 degrees.
    pub(super) fn degrees_east_of(self, meridian: f64) -> f64 {
        (self.longitude - meridian + 540.0).rem_euclid(360.0) - 180.0
    }
}

impl fmt::Display for LonLat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "longitude {}, latitude {}",
            self.longitude, self.latitude
        )
    }
}

/// The fields a place is written with.
#[cfg(feature = "serde")]
#[derive(serde::Serialize, serde::Deserialize)]
struct Degrees {
    lon_deg: f64,
    lat_deg: f64,
}

#[cfg(feature = "serde")]
impl From<LonLat> for Degrees {
    fn from(at: LonLat) -> Self {
        Self {
            lon_deg: at.longitude,
            lat_deg: at.latitude,
        }
    }
}

#[cfg(feature = "serde")]
impl TryFrom<Degrees> for LonLat {
    type Error = GeodesyError;

    fn try_from(fields: Degrees) -> Result<Self, GeodesyError> {
        Self::new(fields.lon_deg, fields.lat_deg)
    }
}
