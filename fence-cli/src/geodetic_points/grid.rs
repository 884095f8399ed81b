//! Places by longitude and latitude or by grid coordinates, on the ground of a job.

use anyhow::Context;
use fence_geom::{
    CombinedFactor, Datum, FootKind, GridZone, GroundPlane, LonLat, METERS_PER_FOOT,
    METERS_PER_SURVEY_FOOT, Point, Projection, Shift, local_points, read_datum, read_grid_zone,
};

use super::{Geodetic, GeodeticTerms, OnGround};
use crate::contract::fit::{GridAnswer, GridPoint, GridUnit};

/// Takes named places to the ground of a job: feet north and east of the first.
///
/// # Errors
///
/// Says that the datum or the zone is missing or unknown, and which place is none of
/// the zone.
pub(crate) fn on_ground(
    terms: &GeodeticTerms<'_>,
    places: &[(String, Geodetic)],
) -> anyhow::Result<OnGround> {
    let datum = terms.datum.context(
        "longitudes, latitudes and grids mean nothing without their datum; say it, like \
         datum = \"NAD83(2011)\" (or NAD83, WGS84)",
    )?;
    let datum = read_datum(datum)?;
    let mut ground = match terms.zone {
        Some(zone) => in_zone(datum.value, read_grid_zone(zone)?.value, terms, places)?,
        None => on_local_plane(datum.value, places)?,
    };
    ground.assumed.splice(0..0, datum.assumed);
    Ok(ground)
}

fn on_local_plane(datum: Datum, places: &[(String, Geodetic)]) -> anyhow::Result<OnGround> {
    let lon_lat = |(name, place): &(String, Geodetic)| match place {
        Geodetic::LonLat {
            longitude,
            latitude,
        } => {
            let at = LonLat::new(*longitude, *latitude).with_context(|| name.clone())?;
            Ok((name.clone(), at))
        }
        Geodetic::Grid { .. } => anyhow::bail!(
            "{name} is given by grid coordinates: say of which `zone`, such as \"2201\", \
             \"Minnesota North\" or \"UTM 15\""
        ),
    };
    let places: Vec<(String, LonLat)> = places.iter().map(lon_lat).collect::<Result<_, _>>()?;
    let read = local_points(datum, &places)?;
    Ok(OnGround {
        places: read.value.into_iter().map(|(_, at)| at).collect(),
        grid: None,
        assumed: read.assumed,
    })
}

fn in_zone(
    datum: Datum,
    zone: GridZone,
    terms: &GeodeticTerms<'_>,
    places: &[(String, Geodetic)],
) -> anyhow::Result<OnGround> {
    let mut assumed = Vec::new();
    let unit = unit_of(zone, terms.unit, &mut assumed);
    let height = terms.height.unwrap_or_else(|| {
        assumed.push(
            "no height is given, so the ground is taken to lie on the ellipsoid: at H ft above \
             it distances are longer by H/20,906,000 (0.024 ft in 100 ft at 5,000 ft)"
                .to_owned(),
        );
        Shift::ZERO
    });
    let grid = zone.projection(datum)?;
    let found: Vec<(LonLat, Point)> = places
        .iter()
        .map(|(name, place)| both(&grid, *place, unit).with_context(|| name.clone()))
        .collect::<Result<_, _>>()?;
    let (first, _) = found.first().context("there are no places")?;
    let plane = GroundPlane::about(grid, *first, height)?;
    let name = places.first().map_or("", |(name, _)| name);
    assumed.push(format!(
        "places are in feet on the ground from {name}, north being grid north of {zone}: grid \
         distances are divided by the combined factor {:.8}; true north there is {:.4} degrees \
         {} of grid north",
        plane.combined().combined(),
        plane.factors().convergence.degrees().abs(),
        if plane.factors().convergence.degrees() < 0.0 {
            "right"
        } else {
            "left"
        },
    ));
    let rows: Vec<GridPoint> = places
        .iter()
        .zip(&found)
        .map(|((name, _), (at, in_grid))| row(&plane, name, *at, *in_grid, unit, height))
        .collect::<Result<_, _>>()?;
    Ok(OnGround {
        places: found.iter().map(|(_, at)| plane.of_grid(*at)).collect(),
        grid: Some(GridAnswer {
            zone: zone.to_string(),
            zone_number: match zone {
                GridZone::StatePlane(zone) => Some(zone.number()),
                GridZone::Utm(_) => None,
            },
            datum: datum.to_string(),
            grid_unit: unit,
            height_ft: height.feet(),
            points: rows,
        }),
        assumed,
    })
}

fn unit_of(zone: GridZone, given: Option<GridUnit>, assumed: &mut Vec<String>) -> GridUnit {
    given.unwrap_or_else(|| {
        let (unit, words) = match zone.foot() {
            Some(FootKind::UsSurvey) => (GridUnit::SurveyFoot, "U.S. survey feet"),
            Some(FootKind::International) => (GridUnit::Foot, "international feet"),
            None => (GridUnit::Meter, "meters"),
        };
        assumed.push(format!("grid coordinates of {zone} are in {words}"));
        unit
    })
}

const fn feet_in(unit: GridUnit) -> f64 {
    match unit {
        GridUnit::SurveyFoot => METERS_PER_SURVEY_FOOT / METERS_PER_FOOT,
        GridUnit::Foot => 1.0,
        GridUnit::Meter => 1.0 / METERS_PER_FOOT,
    }
}

/// A place by longitude and latitude and in the grid.
fn both(grid: &Projection, place: Geodetic, unit: GridUnit) -> anyhow::Result<(LonLat, Point)> {
    Ok(match place {
        Geodetic::LonLat {
            longitude,
            latitude,
        } => {
            let at = LonLat::new(longitude, latitude)?;
            (at, grid.to_plane(at)?)
        }
        Geodetic::Grid { north, east } => {
            let feet = feet_in(unit);
            let at = Point::new(north * feet, east * feet)?;
            (grid.to_lon_lat(at)?, at)
        }
    })
}

fn row(
    plane: &GroundPlane,
    name: &str,
    at: LonLat,
    in_grid: Point,
    unit: GridUnit,
    height: Shift,
) -> anyhow::Result<GridPoint> {
    let factors = plane.grid().factors(at)?;
    let combined = CombinedFactor::new(factors.scale, height)?;
    let ground = plane.of_grid(in_grid);
    Ok(GridPoint {
        name: name.to_owned(),
        lon_deg: at.longitude(),
        lat_deg: at.latitude(),
        grid_north: in_grid.north() / feet_in(unit),
        grid_east: in_grid.east() / feet_in(unit),
        convergence_deg: factors.convergence.degrees(),
        scale_factor: factors.scale,
        elevation_factor: combined.elevation(),
        combined_factor: combined.combined(),
        north_ft: ground.north(),
        east_ft: ground.east(),
    })
}
