//! The outline of a lot from a map: GeoJSON or well-known text.
//!
//! Sources of the formats: RFC 7946, "The GeoJSON Format" (2016); OGC 06-103r4,
//! "Simple feature access, part 1", clause 7 (well-known text).

use std::path::Path;
use std::str::FromStr;

use anyhow::Context;
use fence_geom::{FootKind, LengthUnit, Point, Reading};
use geojson::{Feature, GeoJson, Geometry, Value};
use wkt::Wkt;

use crate::geodetic_points::plane_of_lon_lat;

/// What the coordinates of a map mean, as the reader was told.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct MapGround<'a> {
    /// The datum of longitude and latitude.
    pub(crate) datum: Option<&'a str>,
    /// The unit of coordinates in a plane.
    pub(crate) unit: Option<MapUnit>,
}

/// The unit of the coordinates of a map in a plane.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum MapUnit {
    /// International feet.
    Feet,
    /// U.S. survey feet.
    UsSurveyFeet,
    /// Meters.
    Meters,
}

impl MapGround<'_> {
    /// Refuses what only maps need where there is none.
    ///
    /// # Errors
    ///
    /// Names the datum or the unit.
    pub(crate) fn refuse(self, path: &Path) -> anyhow::Result<()> {
        if let Some(datum) = self.datum {
            anyhow::bail!(
                "{}: a datum ({datum}) goes with points headed name,lon_deg,lat_deg, or a map, and \
                 this file has none: leave --datum out",
                path.display()
            );
        }
        self.refuse_unit(path)
    }

    /// Refuses the unit of a map where there is none.
    ///
    /// # Errors
    ///
    /// Says that it must be left out.
    pub(crate) fn refuse_unit(self, path: &Path) -> anyhow::Result<()> {
        anyhow::ensure!(
            self.unit.is_none(),
            "{}: --map-unit goes with GeoJSON or well-known text, and this file is neither: leave it \
             out",
            path.display()
        );
        Ok(())
    }
}

/// Whether a text is a map: a JSON object or well-known text.
pub(crate) fn is_map(text: &str) -> bool {
    let start = text.trim_start();
    start.starts_with('{') || is_well_known_text(start)
}

fn is_well_known_text(text: &str) -> bool {
    let start: String = text.chars().take(12).collect();
    let start = start.to_ascii_uppercase();
    ["SRID=", "POLYGON", "MULTIPOLYGON"]
        .iter()
        .any(|word| start.starts_with(word))
}

/// The named corners of a ring.
pub(crate) type NamedCorners = Vec<(String, Point)>;

/// Reads the one outline of a map without holes.
///
/// # Errors
///
/// As [`read_map_rings`], and where there are holes.
pub(crate) fn read_map(
    path: &Path,
    text: &str,
    ground: MapGround<'_>,
) -> anyhow::Result<Reading<NamedCorners>> {
    let read = read_map_rings(path, text, ground)?;
    let [outline] = <[_; 1]>::try_from(read.value).map_err(|rings| {
        anyhow::anyhow!(
            "{}: the polygon has {} rings: calls run around one outline without holes, so leave the \
             others out",
            path.display(),
            rings.len()
        )
    })?;
    Ok(Reading {
        value: outline,
        assumed: read.assumed,
    })
}

/// Reads the one polygon of a map as rings of corners numbered through, the outline
/// first and then its holes, and says what was assumed.
///
/// # Errors
///
/// Names what is wrong with the text, or with what it holds: it must be one polygon,
/// and what its coordinates mean must be said.
pub(crate) fn read_map_rings(
    path: &Path,
    text: &str,
    ground: MapGround<'_>,
) -> anyhow::Result<Reading<Vec<NamedCorners>>> {
    let rings = rings(text).with_context(|| path.display().to_string())?;
    let outline = rings.concat();
    let places = numbered(&outline);
    let mut read = match (ground.datum, ground.unit) {
        (Some(datum), None) => plane_of_lon_lat(path, places, datum)?,
        (None, Some(unit)) => in_plane(path, places, unit)?,
        (Some(_), Some(_)) => anyhow::bail!(
            "{}: a map has either a datum, of longitude and latitude, or a unit, of a plane: leave \
             --datum or --map-unit out",
            path.display()
        ),
        (None, None) => anyhow::bail!(
            "{}: a map does not say what its coordinates are{}; give --map-unit feet, \
             us-survey-feet or meters for a projected plane such as state plane, or --datum NAD83 for \
             longitude and latitude",
            path.display(),
            if looks_like_degrees(&outline) {
                ", and these look like longitude and latitude"
            } else {
                ""
            }
        ),
    };
    read.assumed
        .push("the corners of the map are numbered in order".to_owned());
    let mut corners = read.value.into_iter();
    Ok(Reading {
        value: (rings.iter())
            .map(|ring| corners.by_ref().take(ring.len()).collect())
            .collect(),
        assumed: read.assumed,
    })
}

fn numbered(outline: &[(f64, f64)]) -> Vec<(String, (f64, f64))> {
    (1..)
        .zip(outline)
        .map(|(number, place): (u32, _)| (number.to_string(), *place))
        .collect()
}

fn in_plane(
    path: &Path,
    places: Vec<(String, (f64, f64))>,
    unit: MapUnit,
) -> anyhow::Result<Reading<NamedCorners>> {
    let unit_feet = match unit {
        MapUnit::Feet => LengthUnit::Foot(FootKind::International),
        MapUnit::UsSurveyFeet => LengthUnit::Foot(FootKind::UsSurvey),
        MapUnit::Meters => LengthUnit::Meter,
    }
    .feet();
    let points = places.into_iter().map(|(name, (east, north))| {
        let at = Point::new(north * unit_feet, east * unit_feet)
            .with_context(|| format!("{}: corner {name}", path.display()))?;
        anyhow::Ok((name, at))
    });
    Ok(Reading {
        value: points.collect::<anyhow::Result<_>>()?,
        assumed: vec![
            "the first coordinate of the map is east and the second north, on the grid of the map: \
             distances on the ground differ by its scale factor"
                .to_owned(),
        ],
    })
}

/// All within the range of degrees, as a lot in a plane seldom is.
fn looks_like_degrees(outline: &[(f64, f64)]) -> bool {
    outline
        .iter()
        .all(|(x, y)| x.abs() <= 180.0 && y.abs() <= 90.0)
}

/// The rings of the one polygon, each corner an easting and a northing or a longitude
/// and a latitude, not closed.
fn rings(text: &str) -> anyhow::Result<Rings> {
    let mut rings = if text.trim_start().starts_with('{') {
        rings_of_geojson(text)?
    } else {
        rings_of_wkt(text)?
    };
    for ring in &mut rings {
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
    }
    anyhow::ensure!(!rings.is_empty(), "the polygon is empty");
    Ok(rings)
}

type Rings = Vec<Vec<(f64, f64)>>;

fn rings_of_geojson(text: &str) -> anyhow::Result<Rings> {
    let map: GeoJson = text
        .parse()
        .context("it is not GeoJSON: give one Polygon, or one Feature that has one")?;
    let mut polygons = Vec::new();
    match map {
        GeoJson::Geometry(geometry) => take_polygons(geometry, &mut polygons)?,
        GeoJson::Feature(feature) => take_feature(feature, &mut polygons)?,
        GeoJson::FeatureCollection(collection) => {
            for feature in collection.features {
                take_feature(feature, &mut polygons)?;
            }
        }
    }
    one(polygons)?
        .into_iter()
        .map(|ring| {
            ring.iter()
                .map(|position| match position.as_slice() {
                    [x, y, ..] => Ok((*x, *y)),
                    _ => anyhow::bail!("a position has no two coordinates"),
                })
                .collect()
        })
        .collect()
}

fn take_feature(feature: Feature, polygons: &mut Vec<Vec<Vec<Vec<f64>>>>) -> anyhow::Result<()> {
    feature
        .geometry
        .map_or(Ok(()), |geometry| take_polygons(geometry, polygons))
}

fn take_polygons(geometry: Geometry, polygons: &mut Vec<Vec<Vec<Vec<f64>>>>) -> anyhow::Result<()> {
    match geometry.value {
        Value::Polygon(polygon) => polygons.push(polygon),
        Value::MultiPolygon(many) => polygons.extend(many),
        other => anyhow::bail!("it holds a {}: a lot is a Polygon", other.type_name()),
    }
    Ok(())
}

fn rings_of_wkt(text: &str) -> anyhow::Result<Rings> {
    let text = text.trim();
    let text = match text.split_once(';') {
        Some((head, rest)) if head.to_ascii_uppercase().starts_with("SRID=") => rest.trim(),
        _ => text,
    };
    anyhow::ensure!(
        is_well_known_text(text),
        "it is not the well-known text of a polygon: write it like POLYGON ((0 0, 60 0, 60 100, 0 0))"
    );
    let polygons = match Wkt::<f64>::from_str(text) {
        Ok(Wkt::Polygon(polygon)) => vec![polygon],
        Ok(Wkt::MultiPolygon(many)) => many.polygons().to_vec(),
        Ok(_) => anyhow::bail!("it is not the well-known text of a polygon"),
        Err(problem) => anyhow::bail!("it is not the well-known text of a polygon: {problem}"),
    };
    let rings = one(polygons)?;
    Ok(rings
        .rings()
        .iter()
        .map(|ring| ring.coords().iter().map(|at| (at.x, at.y)).collect())
        .collect())
}

fn one<T>(polygons: Vec<T>) -> anyhow::Result<T> {
    let [polygon] = <[T; 1]>::try_from(polygons).map_err(|polygons| {
        anyhow::anyhow!(
            "it holds {} polygons: a lot is one, so leave the others out",
            polygons.len()
        )
    })?;
    Ok(polygon)
}
