//! Points in a CSV file by longitude and latitude: read where the program was
//! built with geodesy, and told apart where it was not.

#[cfg(feature = "geodesy")]
mod grid;
#[cfg(feature = "geodesy")]
mod projected;

#[cfg(feature = "geodesy")]
pub(crate) use grid::on_ground;
#[cfg(feature = "geodesy")]
pub(crate) use projected::{plane_of_lon_lat, read_lon_lat};

use fence_geom::{Point, Reading, Shift};

use crate::contract::fit::{GridAnswer, GridUnit};
use crate::points_file::rows;

/// Named places in a plane, and what was assumed.
type Places = Reading<Vec<(String, Point)>>;

/// What a program says that can't project.
#[cfg(not(feature = "geodesy"))]
const WITHOUT_GEODESY: &str = "places are in longitude and latitude or in a grid, and this program \
     was built without geodesy; rebuild with `cargo build --features geodesy` (needs cmake, a C++ \
     compiler and SQLite)";

const LONGITUDE: &str = "lon_deg";
const LATITUDE: &str = "lat_deg";

/// Whether a text is a list of points by longitude and latitude: its first line
/// that says anything heads such a column.
pub(crate) fn is_lon_lat(text: &str) -> bool {
    rows(text).next().is_some_and(|heading| {
        heading.columns().any(|(column, _)| {
            column.eq_ignore_ascii_case(LONGITUDE) || column.eq_ignore_ascii_case(LATITUDE)
        })
    })
}

/// Refuses the points: they need the projections.
///
/// # Errors
///
/// Always; it says how to get a program that reads them.
#[cfg(not(feature = "geodesy"))]
pub(crate) fn read_lon_lat(
    path: &std::path::Path,
    _text: &str,
    _datum: Option<&str>,
) -> anyhow::Result<Places> {
    without_geodesy(path)
}

/// Refuses the places, as [`read_lon_lat`] does.
///
/// # Errors
///
/// Always; it says how to get a program that reads them.
#[cfg(not(feature = "geodesy"))]
pub(crate) fn plane_of_lon_lat(
    path: &std::path::Path,
    _places: Vec<(String, (f64, f64))>,
    _datum: &str,
) -> anyhow::Result<Places> {
    without_geodesy(path)
}

#[cfg(not(feature = "geodesy"))]
fn without_geodesy(path: &std::path::Path) -> anyhow::Result<Places> {
    anyhow::bail!(
        "{}: {WITHOUT_GEODESY}, or give the points as name,north_ft,east_ft",
        path.display()
    )
}

/// A place by longitude and latitude, or by grid coordinates in the grid's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Geodetic {
    LonLat { longitude: f64, latitude: f64 },
    Grid { north: f64, east: f64 },
}

/// What places on the ellipsoid or in a grid are read in.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(
    not(feature = "geodesy"),
    expect(dead_code, reason = "read where there are projections")
)]
pub(crate) struct GeodeticTerms<'a> {
    pub(crate) datum: Option<&'a str>,
    pub(crate) zone: Option<&'a str>,
    pub(crate) unit: Option<GridUnit>,
    pub(crate) height: Option<Shift>,
}

/// Places on the ground of a job.
#[derive(Debug)]
pub(crate) struct OnGround {
    /// In the order given.
    pub(crate) places: Vec<Point>,
    /// The grid behind them, where one was named.
    pub(crate) grid: Option<GridAnswer>,
    /// What was assumed.
    pub(crate) assumed: Vec<String>,
}

/// Refuses the places: they need the projections.
///
/// # Errors
///
/// Always; it says how to get a program that reads them.
#[cfg(not(feature = "geodesy"))]
pub(crate) fn on_ground(
    _terms: &GeodeticTerms<'_>,
    _places: &[(String, Geodetic)],
) -> anyhow::Result<OnGround> {
    anyhow::bail!(WITHOUT_GEODESY)
}
