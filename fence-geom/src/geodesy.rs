//! Longitude and latitude to a plane and back (feature `geodesy`).
//!
//! A side wing: it uses the quantities and the plane, and nothing in the library
//! uses it. The projections are those of the PROJ library, given their parameters
//! in full. That library looks for its own database and settings when a projection
//! is made; the answers are the same with and without them, and it is built
//! without the means to reach a network.
//! Meters are used here only: what comes out is in international feet.
//!
//! No shift between datums is applied anywhere: what goes in and what comes out
//! is of one datum, which has to be named.

mod datum;
mod ground;
mod local_plane;
mod lon_lat;
mod projection;
mod state_plane;

pub use datum::{Datum, read_datum};
pub use ground::{CombinedFactor, GroundPlane};
pub use local_plane::{LocalPlane, local_points};
pub use lon_lat::LonLat;
pub use projection::{GridFactors, LambertConic, ObliqueMercator, Projection, TransverseMercator};
pub use state_plane::{GridZone, StatePlaneZone, read_grid_zone};

use crate::length::Length;

/// Why a place can't be taken from the ellipsoid to a plane or back.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GeodesyError {
    /// Not a longitude.
    #[error(
        "a longitude must be from -180 to 180 degrees (west is negative), got {degrees} degrees"
    )]
    Longitude {
        /// The number, in degrees.
        degrees: f64,
    },
    /// Not a latitude of these projections.
    #[error("a latitude must be from {min} to {max} degrees (south is negative), got {degrees} degrees", min = LonLat::MIN_LATITUDE, max = LonLat::MAX_LATITUDE)]
    Latitude {
        /// The number, in degrees.
        degrees: f64,
    },
    /// The two would make sense the other way around.
    #[error(
        "longitude {longitude} and latitude {latitude} look swapped: the longitude comes first, like -93.1, 48.6"
    )]
    Swapped {
        /// What was given as the longitude, in degrees.
        longitude: f64,
        /// What was given as the latitude, in degrees.
        latitude: f64,
    },
    /// A place where the datum is not in use.
    #[error(
        "{datum} is a datum of North America and of U.S. islands in the Pacific, and {at} is elsewhere: check the sign (west longitudes are negative)"
    )]
    OutsideDatum {
        /// The datum.
        datum: Datum,
        /// The place.
        at: LonLat,
    },
    /// Not a UTM zone.
    #[error("a UTM zone must be from 1 to 60, got {zone}")]
    Zone {
        /// The number.
        zone: u8,
    },
    /// Not the scale factor of a grid.
    #[error("a scale factor must be from 0.9 to 1.1, got {scale}")]
    Scale {
        /// The number.
        scale: f64,
    },
    /// Not the two standard parallels of a cone.
    #[error(
        "standard parallels must be two latitudes of one hemisphere from 1 to 89 degrees, got {first} and {second} degrees"
    )]
    Parallels {
        /// The one, in degrees.
        first: f64,
        /// The other, in degrees.
        second: f64,
    },
    /// A place too far from the middle of a projection.
    #[error(
        "{at} lies {degrees:.1} degrees of longitude from the central meridian, more than {max}: choose the zone it is in", max = Projection::REACH_DEGREES
    )]
    OutsideZone {
        /// The place.
        at: LonLat,
        /// How far it lies from the central meridian, in degrees.
        degrees: f64,
    },
    /// A place that is none of a state plane zone.
    #[error("{at} lies outside of the zone {zone}, and in {others}: check zone, unit and digits")]
    OutsideStateZone {
        /// The place.
        at: LonLat,
        /// The zone.
        zone: String,
        /// The zones that it may be in.
        others: String,
    },
    /// Not the height of a lot.
    #[error("a height above the ellipsoid must be from -2,000 to 30,000 ft, got {feet} ft")]
    Height {
        /// The height, in feet.
        feet: f64,
    },
    /// A place south of the equator in a grid of the northern hemisphere.
    #[error("{at} lies south of the equator, and this grid is of the northern hemisphere")]
    SouthOfEquator {
        /// The place.
        at: LonLat,
    },
    /// A place too far from the middle of a local plane.
    #[error(
        "{at} lies {distance:.0} from the origin {origin} of the local plane, more than {max:.0}: check its digits", max = LocalPlane::reach()
    )]
    OutsideLocalPlane {
        /// The place.
        at: LonLat,
        /// The middle of the plane.
        origin: LonLat,
        /// How far it lies from the middle.
        distance: Length,
    },
    /// A place of the plane that is none on the ellipsoid.
    #[error(
        "{north_ft:.2} ft north, {east_ft:.2} ft east is no place of this projection: check the zone, and that the grid is in international feet"
    )]
    NoLonLat {
        /// The northing.
        north_ft: f64,
        /// The easting.
        east_ft: f64,
    },
    /// There is nothing to project.
    #[error("there are no points to project: give at least one")]
    NoPoints,
    /// A named point that can't be projected.
    #[error("point {name}: {problem}")]
    Named {
        /// Its name.
        name: String,
        /// Why not.
        problem: Box<GeodesyError>,
    },
    /// The projection library's own words.
    #[error("the projection failed: {words}; check its parameters")]
    Failed {
        /// Its words.
        words: String,
    },
}

#[cfg(test)]
mod tests;
