//! Reading the points, and taking them to the plane about the first.

use std::path::Path;

use anyhow::Context;
use fence_geom::{LineFault, LonLat, Reading, local_points, read_datum};

use super::{LATITUDE, LONGITUDE, Places};
use crate::line_fault::show_fault;
use crate::points_file::{Row, name_of, rows};

const HEADING: &str = "name,lon_deg,lat_deg (name may be left out)";
const ROW: &str = "A,-93.1000512,48.6000347 in the order of the heading";

/// Where each column stands in a line.
struct Columns {
    name: Option<usize>,
    longitude: usize,
    latitude: usize,
}

/// Reads the points of a text and takes them to the plane about the first of them,
/// and says so.
///
/// # Errors
///
/// Says that the datum is missing or unknown; shows the file, the line and the words
/// at fault; names the point that can't be projected.
pub(crate) fn read_lon_lat(path: &Path, text: &str, datum: Option<&str>) -> anyhow::Result<Places> {
    let datum = datum.with_context(|| {
        format!(
            "{}: longitude and latitude mean nothing without their datum; say it, like \
             --datum NAD83 (or NAD83(2011), WGS84)",
            path.display()
        )
    })?;
    let read = || places(text).map_err(|fault| anyhow::anyhow!(show_fault(path, &fault)));
    plane(path, datum, read)
}

/// Takes named places by longitude and latitude to the plane about the first of
/// them, and says so.
///
/// # Errors
///
/// As [`read_lon_lat`].
pub(crate) fn plane_of_lon_lat(
    path: &Path,
    places: Vec<(String, (f64, f64))>,
    datum: &str,
) -> anyhow::Result<Places> {
    let named = places.into_iter().map(|(name, (longitude, latitude))| {
        let at = LonLat::new(longitude, latitude)
            .with_context(|| format!("{}: corner {name}", path.display()))?;
        anyhow::Ok((name, at))
    });
    plane(path, datum, || {
        Ok(Reading::sure(named.collect::<anyhow::Result<_>>()?))
    })
}

fn plane(
    path: &Path,
    datum: &str,
    read: impl FnOnce() -> anyhow::Result<Reading<Vec<(String, LonLat)>>>,
) -> anyhow::Result<Places> {
    let datum = read_datum(datum)?;
    let places = read()?;
    let plane =
        local_points(datum.value, &places.value).with_context(|| path.display().to_string())?;
    let estimate = "places by longitude and latitude are an estimate unless a surveyor measured \
                    them: the found pin holds, and no flag is set by a map or a phone";
    Ok(Reading {
        value: plane.value,
        assumed: [
            places.assumed,
            datum.assumed,
            plane.assumed,
            vec![estimate.to_owned()],
        ]
        .concat(),
    })
}

fn places(text: &str) -> Result<Reading<Vec<(String, LonLat)>>, LineFault> {
    let mut rows = rows(text);
    let mut reading = Reading::sure(Vec::new());
    let Some(heading) = rows.next() else {
        return Ok(reading);
    };
    let columns = Columns::of(&heading)?;
    for (i, row) in rows.enumerate() {
        let longitude = degrees(&row, columns.longitude)?;
        let latitude = degrees(&row, columns.latitude)?;
        let at = LonLat::new(longitude, latitude)
            .map_err(|error| row.fault(0..row.words().len(), error.to_string(), ROW))?;
        let name = name_of(&row, columns.name, i, &mut reading.assumed);
        reading.value.push((name, at));
    }
    Ok(reading)
}

fn degrees(row: &Row<'_>, column: usize) -> Result<f64, LineFault> {
    let (words, at) = row.field(column);
    words.parse().map_err(|_| {
        let problem = format!("{words:?} is not a number of degrees and decimals");
        row.fault(at, problem, ROW)
    })
}

impl Columns {
    fn of(heading: &Row<'_>) -> Result<Self, LineFault> {
        let (mut name, mut longitude, mut latitude) = (None, None, None);
        for (i, (column, at)) in heading.columns().enumerate() {
            let slot = match column.to_ascii_lowercase().as_str() {
                "name" => &mut name,
                LONGITUDE => &mut longitude,
                LATITUDE => &mut latitude,
                other => {
                    let problem = format!(
                        "a column {other:?}: places are headed {LONGITUDE} and {LATITUDE}, \
                         in degrees and decimals"
                    );
                    return Err(heading.fault(at, problem, HEADING));
                }
            };
            *slot = Some(i);
        }
        match (longitude, latitude) {
            (Some(longitude), Some(latitude)) => Ok(Self {
                name,
                longitude,
                latitude,
            }),
            _ => {
                let problem = format!("the {LONGITUDE} or the {LATITUDE} column is missing");
                Err(heading.fault(0..heading.words().len(), problem, HEADING))
            }
        }
    }
}
