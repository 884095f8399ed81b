//! General geometry libraries, asked for the area of a mitered offset.

use fence_geom::Point;
use geo::{Area, Buffer};
use geos::Geom;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use i_overlay::mesh::math::MathMode;

/// How many times the distance a miter may reach.
pub const MITER_LIMIT: f64 = 10.0;

/// The corners as easting and northing, counterclockwise.
#[must_use]
pub fn coords(ring: &[Point]) -> Vec<[f64; 2]> {
    let mut coords: Vec<[f64; 2]> = ring.iter().map(|p| [p.east(), p.north()]).collect();
    if signed_area(&coords) < 0.0 {
        coords.reverse();
    }
    coords
}

/// The area of a ring, positive counterclockwise.
#[must_use]
pub fn signed_area(ring: &[[f64; 2]]) -> f64 {
    let Some(&[x, y]) = ring.first() else {
        return 0.0;
    };
    let next = ring.iter().cycle().skip(1);
    let pairs = ring.iter().zip(next);
    pairs
        .map(|(a, b)| (a[0] - x) * (b[1] - y) - (a[1] - y) * (b[0] - x))
        .sum::<f64>()
        / 2.0
}

/// A polygon of GEOS.
///
/// # Panics
///
/// If GEOS refuses the figures.
#[must_use]
pub fn geos_polygon(ring: &[[f64; 2]]) -> geos::Geometry {
    let closed: Vec<[f64; 2]> = ring.iter().chain(ring.first()).copied().collect();
    let coords = geos::CoordSeq::new_from_vec(&closed).expect("coordinates");
    let shell = geos::Geometry::create_linear_ring(coords).expect("a ring");
    geos::Geometry::create_polygon(shell, vec![]).expect("a polygon")
}

/// Mitered joins in GEOS.
///
/// # Panics
///
/// If GEOS refuses them.
#[must_use]
pub fn geos_miters() -> geos::BufferParams {
    geos::BufferParams::builder()
        .join_style(geos::JoinStyle::Mitre)
        .mitre_limit(MITER_LIMIT)
        .build()
        .expect("parameters")
}

/// The area of the offset by GEOS, positive feet to the inside.
///
/// # Panics
///
/// If GEOS fails.
#[must_use]
pub fn geos_area(polygon: &geos::Geometry, feet: f64, miters: &geos::BufferParams) -> f64 {
    let offset = polygon.buffer_with_params(-feet, miters).expect("a buffer");
    offset.area().expect("an area")
}

/// The area of the offset by `geo`.
#[must_use]
pub fn geo_area(polygon: &geo::Polygon, feet: f64) -> f64 {
    let join = geo::buffer::LineJoin::Miter(least_angle());
    let style = geo::buffer::BufferStyle::new(-feet).line_join(join);
    polygon.buffer_with_style(style).unsigned_area()
}

/// The area of the offset by `i_overlay`, in 64-bit integers and with no bevels.
#[must_use]
pub fn overlay_area(ring: &[[f64; 2]], feet: f64) -> f64 {
    let mut style = OutlineStyle::new(-feet).line_join(LineJoin::Miter(least_angle()));
    style.math = MathMode::Float;
    style.miter_min_turn = 0.0;
    let ring = ring.to_vec();
    let shapes = ring.outline_as::<i64>(&style);
    let rings = shapes.iter().flatten();
    rings.map(|ring| signed_area(ring)).sum()
}

/// The smallest angle whose miter reaches no further than the limit.
fn least_angle() -> f64 {
    2.0 * (1.0 / MITER_LIMIT).asin()
}
