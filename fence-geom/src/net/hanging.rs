//! Points that can move without any reading telling, and tapes that would hold
//! them.

use std::collections::BTreeSet;

use crate::point::Displacement;

use super::answer::ReadingOf;
use super::error::NetError;
use super::model::{Geometry, Model, Places, Row, Var};
use super::solve::{Normal, Unknowns};

/// An eigenvalue of the scaled normal equations below this is that of a net that
/// can move.
const MOVES: f64 = 1e-9;

/// What is added to the diagonal, so that a net that can move has a factor.
const ADDED: f64 = 1e-11;

/// A point whose share of the move is less than this stays.
const STAYS: f64 = 1e-3;

/// How many tapes are named before the rest is left to the next run.
const MOST_TAPES: usize = 12;

/// The standard error of a tape that is not pulled yet, in feet: any will do.
const SOME_SIGMA: f64 = 0.01;

/// The error that names what of a net can move at the given places.
pub(super) fn hanging(model: &Model, places: &Places, unknowns: &Unknowns) -> NetError {
    let mut model = model.clone();
    let mut points = BTreeSet::new();
    let mut more_tapes = Vec::new();
    while more_tapes.len() < MOST_TAPES {
        let Some(moves) = free_move(&model, places, unknowns) else {
            break;
        };
        points.extend(moving(&moves));
        let Some((from, to)) = best_tape(&model, places, &moves) else {
            break;
        };
        more_tapes.push((model.name(from).to_owned(), model.name(to).to_owned()));
        model.rows.push(Row {
            of: ReadingOf::Reading(usize::MAX),
            geometry: Geometry::Distance {
                from,
                to,
                tape: usize::MAX,
            },
            observed: 0.0,
            sigma: SOME_SIGMA,
        });
    }
    NetError::Hanging {
        hanging: points
            .into_iter()
            .map(|point| model.name(point).to_owned())
            .collect(),
        more_tapes,
    }
}

/// Whether the points that are unknown can move.
pub(super) fn can_move(model: &Model, places: &Places, unknowns: &Unknowns) -> bool {
    free_move(model, places, unknowns).is_some()
}

/// How each point moves in a move that no reading tells; `None` if there is none.
fn free_move(model: &Model, places: &Places, unknowns: &Unknowns) -> Option<Vec<Displacement>> {
    let (scaled, scaling) = Normal::at(model, unknowns, places).matrix.scaled();
    let factor = scaled.factor(ADDED).ok()?;
    let (inverse, direction) = factor.weakest();
    if 1.0 / inverse - ADDED > MOVES {
        return None;
    }
    let share = |var| {
        let place = unknowns.place(var)?;
        Some(direction.get(place)? * scaling.get(place)?)
    };
    let way = |point| {
        let (north, east) = (share(Var::North(point)), share(Var::East(point)));
        Displacement::of_feet(north.unwrap_or_default(), east.unwrap_or_default())
    };
    Some((0..model.names.len()).map(way).collect())
}

fn moving(moves: &[Displacement]) -> Vec<usize> {
    let most = moves.iter().map(|way| way.dot(*way)).fold(0.0, f64::max);
    moves
        .iter()
        .enumerate()
        .filter(|(_, way)| way.dot(**way) > STAYS * STAYS * most)
        .map(|(point, _)| point)
        .collect()
}

/// The tape, not pulled yet, that tells most of a move: from a point that stays if
/// there is one. It runs from there to the point that moves.
fn best_tape(model: &Model, places: &Places, moves: &[Displacement]) -> Option<(usize, usize)> {
    let hang = moving(moves);
    let taped = |a: usize, b: usize| {
        model.rows.iter().any(|row| {
            matches!(row.geometry, Geometry::Distance { from, to, .. }
                if (from, to) == (a, b) || (to, from) == (a, b))
        })
    };
    let tells = |from: usize, to: usize| {
        let unit = (places.at(to)? - places.at(from)?).unit()?;
        let own = unit.dot(*moves.get(to)? - *moves.get(from)?).abs();
        Some(if hang.contains(&from) { own * 0.5 } else { own })
    };
    let mut best: Option<((usize, usize), f64)> = None;
    for &to in &hang {
        for from in (0..moves.len()).filter(|from| *from != to && !taped(*from, to)) {
            let told = tells(from, to).unwrap_or_default();
            // More by a margin, so that rounding does not choose.
            if told > best.map_or(0.0, |(_, most)| most * (1.0 + 1e-6)) {
                best = Some(((from, to), told));
            }
        }
    }
    best.map(|(tape, _)| tape)
}
