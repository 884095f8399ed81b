//! The datums that longitudes and latitudes are read in.

use std::fmt;

use super::LonLat;
use crate::reading::{ReadError, Reading};

const NO_SHIFT: &str = "no shift between datums is applied";

/// The reference that a longitude and a latitude are counted in.
///
/// One place has coordinates in each that differ by decimeters to meters. The
/// crate never goes from one to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Datum {
    /// North American Datum of 1983, its adjustment not said.
    Nad83,
    /// North American Datum of 1983, adjustment of 2011.
    Nad83Of2011,
    /// World Geodetic System 1984, one of its satellite (G) realizations.
    Wgs84,
}

/// An ellipsoid of revolution: semi-major axis and inverse flattening.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ellipsoid {
    pub(super) semi_major_m: f64,
    pub(super) inverse_flattening: f64,
}

impl Ellipsoid {
    /// Returns the radius of curvature in the meridian, in meters.
    ///
    /// Source: P. Richardus and R. K. Adler, *Map Projections for Geodesists,
    /// Cartographers and Geographers* (1972), p. 16: M = a (1 - e²) / (1 - e²
    /// sin² φ)^(3/2).
    pub(super) fn meridian_radius_m(self, latitude_radians: f64) -> f64 {
        let flattening = 1.0 / self.inverse_flattening;
        let e2 = flattening * (2.0 - flattening);
        let w2 = 1.0 - e2 * latitude_radians.sin().powi(2);
        self.semi_major_m * (1.0 - e2) / (w2 * w2.sqrt())
    }
}

impl Datum {
    /// Returns what is taken for granted in a datum by this name.
    ///
    /// Source: D. Doyle, National Geodetic Survey, "NAD-83 vs WGS-84" (10 May
    /// 2000), for the two meters between the origins; the decimeters between
    /// adjustments are from memory.
    #[must_use]
    pub fn assumed(self) -> Vec<String> {
        match self {
            Self::Nad83 => vec![format!(
                "NAD83 is named without its adjustment (1986, HARN, 2011), which matters by \
                 decimeters: all points are taken to be of one, and {NO_SHIFT}"
            )],
            Self::Nad83Of2011 => Vec::new(),
            Self::Wgs84 => vec![format!(
                "WGS84 is taken as one of its satellite (G) realizations, which lie up to about \
                 2 m from NAD83: {NO_SHIFT}"
            )],
        }
    }

    /// Source: H. Moritz, "Geodetic Reference System 1980", *Journal of Geodesy*
    /// 74 (2000), for GRS 80, the ellipsoid of NAD83; NIMA TR8350.2, for WGS 84
    /// (both figures as used by the tests' sources too).
    pub(super) const fn ellipsoid(self) -> Ellipsoid {
        Ellipsoid {
            semi_major_m: 6_378_137.0,
            inverse_flattening: match self {
                Self::Nad83 | Self::Nad83Of2011 => 298.257_222_101,
                Self::Wgs84 => 298.257_223_563,
            },
        }
    }

    /// Whether the datum is in use at a place: for NAD83 generously, to catch a
    /// wrong sign.
    pub(super) fn is_used_at(self, at: LonLat) -> bool {
        match self {
            Self::Nad83 | Self::Nad83Of2011 => {
                // From Guam and the Aleutians over the date line to Newfoundland;
                // American Samoa is the southernmost.
                at.latitude() > -15.0 && (at.longitude() < -50.0 || at.longitude() > 140.0)
            }
            Self::Wgs84 => true,
        }
    }
}

impl fmt::Display for Datum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Nad83 => "NAD83",
            Self::Nad83Of2011 => "NAD83(2011)",
            Self::Wgs84 => "WGS84",
        })
    }
}

/// Reads the name of a datum, and says what the name leaves open.
///
/// # Errors
///
/// [`ReadError`] where the text names none of [`Datum`].
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, read_datum};
///
/// let read = read_datum("NAD 83 (2011)")?;
/// assert_eq!(read.value, Datum::Nad83Of2011);
/// assert!(read.assumed.is_empty());
/// assert_eq!(read_datum("WGS84")?.assumed.len(), 1);
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
pub fn read_datum(text: &str) -> Result<Reading<Datum>, ReadError> {
    let plain: String = text
        .chars()
        .filter(|c| !matches!(c, ' ' | '-' | '_'))
        .map(|c| c.to_ascii_uppercase())
        .collect();
    let datum = match plain.as_str() {
        "NAD83" => Datum::Nad83,
        "NAD83(2011)" => Datum::Nad83Of2011,
        "WGS84" => Datum::Wgs84,
        _ => {
            return Err(ReadError {
                text: text.to_owned(),
                wanted: "a datum",
                at: 0..text.len(),
                problem: "it is none of NAD83, NAD83(2011), WGS84; what is in another datum \
                          has to be converted first"
                    .to_owned(),
                example: "NAD83",
            });
        }
    };
    Ok(Reading {
        value: datum,
        assumed: datum.assumed(),
    })
}
