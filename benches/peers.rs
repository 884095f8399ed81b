//! Offsetting the parcels of a county, against general geometry libraries.
//!
//! One core, offset and area, inputs in the form each library wants. The peers
//! are asked in turn, several rounds, and the medians compared; the areas too.
//! Build with `--features peers`.

use std::hint::black_box;
use std::time::Instant;

use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use clipper2_rust::{EndType, JoinType, PathD, PathsD, PointD, area_paths, inflate_paths_d};
use fence_benches::peers::{
    MITER_LIMIT, coords, geo_area, geos_area, geos_miters, geos_polygon, overlay_area,
};
use fence_geom::{OffsetBuffer, Point, Ring, Shift, Side, Turn};
use fence_tests::{Draws, arc_parcel, county_parcel, setback_feet};

const PARCELS: usize = 200_000;
const ARC_LOTS: usize = 20_000;
const ROUNDS: usize = 3;

/// What a peer is called, its time in nanoseconds a parcel, and the areas.
struct Measured {
    name: &'static str,
    nanoseconds: f64,
    areas: Vec<f64>,
}

fn main() {
    let mut draws = Draws::from(2_024);
    let parcels: Vec<(Vec<Point>, f64)> = (0..PARCELS)
        .map(|_| (county_parcel(&mut draws), setback_feet(&mut draws)))
        .collect();
    let rows = straight(&parcels);
    report("straight sides", &rows);
    let lots: Vec<(Ring, f64)> = (0..ARC_LOTS)
        .map(|_| (arc_parcel(&mut draws), setback_feet(&mut draws)))
        .collect();
    report("true arcs", &arcs(&lots));
}

fn straight(parcels: &[(Vec<Point>, f64)]) -> Vec<Measured> {
    let drawn: Vec<(Vec<[f64; 2]>, f64)> = parcels
        .iter()
        .map(|(ring, feet)| (coords(ring), *feet))
        .collect();
    let polygons: Vec<(geo::Polygon, f64)> = drawn
        .iter()
        .map(|(ring, feet)| {
            let ring: geo::LineString = ring.iter().map(|&[x, y]| (x, y)).collect();
            (geo::Polygon::new(ring, vec![]), *feet)
        })
        .collect();
    let paths: Vec<(PathsD, f64)> = drawn
        .iter()
        .map(|(ring, feet)| {
            let path: PathD = ring.iter().map(|&[x, y]| PointD::new(x, y)).collect();
            (vec![path], *feet)
        })
        .collect();
    let geometries: Vec<(geos::Geometry, f64)> = drawn
        .iter()
        .map(|(ring, feet)| (geos_polygon(ring), *feet))
        .collect();
    let miters = geos_miters();
    let mut buffer = OffsetBuffer::default();
    let mut fence = || {
        timed(parcels, |(ring, feet)| {
            let distance = Shift::from_feet(*feet).expect("a distance");
            buffer.offset(ring, distance).expect("an offset");
            buffer.area().square_feet()
        })
    };
    let mut geos = || {
        timed(&geometries, |(polygon, feet)| {
            geos_area(polygon, *feet, &miters)
        })
    };
    let mut geo = || timed(&polygons, |(polygon, feet)| geo_area(polygon, *feet));
    let mut clipper = || {
        timed(&paths, |(path, feet)| {
            let (miter, closed) = (JoinType::Miter, EndType::Polygon);
            area_paths(&inflate_paths_d(
                path,
                -feet,
                miter,
                closed,
                MITER_LIMIT,
                5,
                0.0,
            ))
        })
    };
    let mut overlay = || timed(&drawn, |(ring, feet)| overlay_area(ring, *feet));
    rounds(&mut [
        ("fence-geom", &mut fence),
        ("GEOS", &mut geos),
        ("geo buffer", &mut geo),
        ("clipper2-rust", &mut clipper),
        ("i_overlay 9 i64", &mut overlay),
    ])
}

fn arcs(lots: &[(Ring, f64)]) -> Vec<Measured> {
    let lines: Vec<(Polyline<f64>, f64)> = lots
        .iter()
        .map(|(ring, feet)| {
            let mut line = Polyline::new_closed();
            for (corner, side) in ring.corners().iter().zip(ring.sides()) {
                // A bulge to the right is counterclockwise with north for x.
                let bulge = match side {
                    Side::Line => 0.0,
                    Side::Arc { delta, turn } => {
                        let bulge = (delta.radians() / 4.0).tan();
                        if *turn == Turn::Right { bulge } else { -bulge }
                    }
                };
                line.add(corner.at.north(), corner.at.east(), bulge);
            }
            // To the left with north for x is to the right on the map.
            let inward = if ring.interior() == Turn::Right {
                *feet
            } else {
                -feet
            };
            (line, inward)
        })
        .collect();
    let mut buffer = OffsetBuffer::default();
    let mut distances = Vec::new();
    let mut fence = || {
        timed(lots, |(ring, feet)| {
            distances.clear();
            distances.resize(ring.len(), Shift::from_feet(*feet).expect("a distance"));
            buffer.offset_ring(ring, &distances).expect("an offset");
            buffer.area().square_feet()
        })
    };
    let mut cavalier = || {
        timed(&lines, |(line, feet)| {
            line.parallel_offset(*feet)
                .iter()
                .map(|ring| ring.area().abs())
                .sum()
        })
    };
    rounds(&mut [
        ("fence-geom", &mut fence),
        ("cavalier_contours", &mut cavalier),
    ])
}

/// Nanoseconds an item, and what came of each.
fn timed<T>(items: &[T], mut work: impl FnMut(&T) -> f64) -> (f64, Vec<f64>) {
    let mut areas = Vec::with_capacity(items.len());
    let start = Instant::now();
    for item in items {
        areas.push(black_box(work(black_box(item))));
    }
    let count = u32::try_from(items.len()).expect("few");
    let each = start.elapsed().as_secs_f64() * 1e9 / f64::from(count);
    (each, areas)
}

type Work<'a> = &'a mut dyn FnMut() -> (f64, Vec<f64>);

/// All peers in turn, several times; the median of each.
fn rounds(peers: &mut [(&'static str, Work<'_>)]) -> Vec<Measured> {
    let mut times = vec![Vec::new(); peers.len()];
    let mut areas = vec![Vec::new(); peers.len()];
    for _ in 0..ROUNDS {
        for ((_, work), (times, areas)) in peers.iter_mut().zip(times.iter_mut().zip(&mut areas)) {
            let (each, found) = work();
            times.push(each);
            *areas = found;
        }
    }
    let rows = peers.iter().zip(times).zip(areas);
    rows.map(|(((name, _), mut times), areas)| {
        times.sort_by(f64::total_cmp);
        Measured {
            name,
            nanoseconds: times[times.len() / 2],
            areas,
        }
    })
    .collect()
}

fn report(title: &str, rows: &[Measured]) {
    let ours = &rows[0];
    println!("{title}, {} rings", ours.areas.len());
    for row in rows {
        let mut off: Vec<f64> = (row.areas.iter().zip(&ours.areas))
            .map(|(theirs, own)| (theirs - own).abs())
            .collect();
        let worst = (0..off.len())
            .max_by(|&a, &b| off[a].total_cmp(&off[b]))
            .unwrap_or(0);
        let (worst_off, many) = (off[worst], off.iter().filter(|&&feet| feet > 1e-6).count());
        off.sort_by(f64::total_cmp);
        println!(
            "{:>18} {:>8.0} ns {:>6.2} x   area off: median {:.1e}, 99 % {:.1e}, most {:.1e} (ring {worst}), {many} over 1e-6 sq ft",
            row.name,
            row.nanoseconds,
            row.nanoseconds / ours.nanoseconds,
            off[off.len() / 2],
            off[off.len() * 99 / 100],
            worst_off,
        );
    }
}
