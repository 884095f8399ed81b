//! What a run crosses: the lot line, buildings, areas where nothing may be built.

use super::flag::is_arc;
use super::{Flag, RouteError, Run, run_names};
use crate::length::{Length, Shift};
use crate::piece::Piece;
use crate::point::Point;
use crate::ring::{Place, Ring, Side};

/// A run may cross a line by this much, in feet: 1/8 in, what a tape shows.
const CROSSING_FEET: f64 = 0.125 / 12.0;

/// Nearer than this to an arc, in feet, is on it.
const ROUNDING_FEET: f64 = 1e-9;

/// Refuses a run that leaves the lot or passes through a building.
pub(super) fn check_run(
    lot: &Ring,
    buildings: &[Ring],
    flags: &[Flag],
    run: &Run,
) -> Result<(), RouteError> {
    let (from, to) = run_names(flags, run);
    if let Some(at) = comes(run, lot, Place::Outside) {
        return Err(RouteError::LeavesLot {
            from,
            to,
            north: at.north(),
            east: at.east(),
        });
    }
    let mut inside = buildings.iter();
    if let Some(at) = inside.find_map(|building| comes(run, building, Place::Inside)) {
        return Err(RouteError::ThroughBuilding {
            from,
            to,
            north: at.north(),
            east: at.east(),
        });
    }
    Ok(())
}

/// Where a run first comes to the inside or the outside of a ring.
pub(super) fn comes(run: &Run, ring: &Ring, wanted: Place) -> Option<Point> {
    let tolerance = Length::saturating(CROSSING_FEET);
    let stations = match run.shape {
        Side::Line => crossings(ring, run.string)?,
        Side::Arc { .. } => crossings_of_arc(ring, run),
    };
    let mut parts = stations.iter().zip(stations.iter().skip(1));
    let (at, _) = parts.find(|(from, to)| {
        let middle = run.string_at(Shift::saturating(f64::midpoint(**from, **to)));
        ring.locate(middle, tolerance) == wanted
    })?;
    Some(run.string_at(Shift::saturating(*at)))
}

/// The stations, ends included and in order, at which a straight string is cut so
/// that no piece lies on both sides of the ring.
fn crossings(ring: &Ring, string: (Point, Point)) -> Option<Vec<f64>> {
    let way = string.1 - string.0;
    let along = way.unit()?;
    let mut stations = vec![0.0, way.length().feet()];
    for i in 0..ring.len() {
        let (from, chord) = (ring.ends(i).0.at, ring.chord(i));
        if is_arc(ring, i) {
            let start = string.0 - ring.origin();
            let (line, arc) = (Piece::line(start, start + way), ring.piece(i));
            line.meet(&arc, ROUNDING_FEET, |contact| {
                stations.push((contact.place([&line, &arc]) - start).dot(along));
            });
        }
        let slant = along.cross(chord);
        if slant.abs() > 0.0 {
            stations.push((from - string.0).cross(chord) / slant);
        }
        // A corner on the string cuts it as well, where a side lies along it.
        stations.push((from - string.0).dot(along));
    }
    Some(in_order(stations, way.length()))
}

/// The same for a curved string.
fn crossings_of_arc(ring: &Ring, run: &Run) -> Vec<f64> {
    let start = run.string.0 - ring.origin();
    let string = (run.shape).piece(start, start + (run.string.1 - run.string.0));
    let mut stations = vec![0.0, string.length];
    for i in 0..ring.len() {
        let side = ring.piece(i);
        string.meet(&side, ROUNDING_FEET, |contact| {
            stations.push(string.station(contact.place([&string, &side])));
        });
        stations.push(string.station(side.from));
    }
    in_order(stations, run.length)
}

fn in_order(mut stations: Vec<f64>, length: Length) -> Vec<f64> {
    stations.retain(|s| (0.0..=length.feet()).contains(s));
    stations.sort_by(f64::total_cmp);
    stations
}
