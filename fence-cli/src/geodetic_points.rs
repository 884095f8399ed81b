//! Points in a CSV file by longitude and latitude: read where the program was
//! built with geodesy, and told apart where it was not.

use crate::points_file::rows;

#[cfg(feature = "geodesy")]
mod projected;

#[cfg(feature = "geodesy")]
pub(crate) use projected::{plane_of_lon_lat, read_lon_lat};

/// Named places in a plane, and what was assumed.
type Places = fence_geom::Reading<Vec<(String, fence_geom::Point)>>;

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
        "{}: its points are in longitude and latitude, and this program was built without \
         geodesy; rebuild with `cargo build --features geodesy` (needs cmake, a C++ compiler and \
         SQLite), or give the points as name,north_ft,east_ft",
        path.display()
    )
}
