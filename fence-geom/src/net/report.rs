//! What the residuals say: how good the places are, and which reading may be
//! wrong.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use crate::estimate::{Ellipse, NORMAL_95, Sigma};
use crate::net::Net;
use crate::point::Point;

use super::AS_WELL;
use super::answer::{CheckedReading, NetAnswer, NetPlace, WeakPlace};
use super::model::{Geometry, Model, Row};
use super::solve::{Doubt, Solution};

/// A standardized residual that one honest reading in a thousand exceeds: the
/// 0.9995 quantile of the standard normal distribution (3.2905, from memory). The
/// level is Baarda's.
const SUSPECT_FROM: f64 = 3.290_526_731_491_896;

/// How large a standardized error must be for the test to find it in 80 of 100
/// cases: [`SUSPECT_FROM`] and the 0.80 quantile (0.8416, from memory). Baarda's
/// power; printed as 4.13.
const FOUND_FROM: f64 = SUSPECT_FROM + 0.841_621_233_572_914_3;

/// A reading whose error shows by less than this share is checked by nothing.
const UNCHECKED: f64 = 1e-6;

/// The share of honest nets whose misfit stays below the limit.
const FITS: f64 = 0.95;

/// A point is weak where its 95 % ellipse is longer than so many times the 95 %
/// doubt of its worst reading: three is what two equal tapes leave that meet at 34
/// degrees.
const WEAK_FROM: f64 = 3.0;

/// Below this no crew cares, in feet: a quarter of an inch.
///
/// Common practice, no source.
const WEAK_FEET: f64 = 0.25 / 12.0;

pub(super) fn report(net: &Net, model: &Model, solution: &Solution) -> NetAnswer {
    let doubt = &solution.doubt;
    let redundancy = model.rows.len().saturating_sub(doubt.unknowns());
    let readings: Vec<CheckedReading> = model
        .rows
        .iter()
        .map(|row| checked(row, solution))
        .collect();
    NetAnswer {
        points: (0..model.names.len())
            .map(|point| place(model, solution, point))
            .collect(),
        suspects: suspects(&readings),
        readings,
        frame: solution.frame.clone(),
        redundancy,
        misfit: solution.misfit,
        misfit_limit: misfit_limit(redundancy),
        condition: solution.condition,
        steps: solution.steps,
        weak: weak(net, model, solution),
        doubt: doubt.clone(),
    }
}

fn place(model: &Model, solution: &Solution, point: usize) -> NetPlace {
    let (north, east, both) = solution.doubt.of_point(point);
    NetPlace {
        name: model.name(point).to_owned(),
        at: solution.places.at(point).unwrap_or_default(),
        sigma_north: Sigma::computed(north.max(0.0).sqrt()),
        sigma_east: Sigma::computed(east.max(0.0).sqrt()),
        ellipse: Ellipse::new(north, east, both),
    }
}

fn checked(row: &Row, solution: &Solution) -> CheckedReading {
    let (off, slopes) = row.evaluate(&solution.places).unwrap_or_default();
    let share = (1.0 - solution.doubt.of_row(row, &slopes)).clamp(0.0, 1.0);
    let is_checked = share > UNCHECKED;
    CheckedReading {
        of: row.of,
        residual: -off,
        sigma: row.sigma,
        redundancy: if is_checked { share } else { 0.0 },
        standardized: is_checked.then(|| -off / (row.sigma * share.sqrt())),
        likely_error: is_checked.then(|| off / share),
        detectable: is_checked.then(|| row.sigma * FOUND_FROM / share.sqrt()),
    }
}

/// The most suspect reading, and all that explain the residuals as well: without
/// one reading, the square of its standardized residual is gone from the misfit.
fn suspects(readings: &[CheckedReading]) -> Vec<usize> {
    let square = |reading: &CheckedReading| reading.standardized.map_or(0.0, |w| w * w);
    let worst = readings.iter().map(square).fold(0.0, f64::max);
    if worst <= SUSPECT_FROM * SUSPECT_FROM {
        return Vec::new();
    }
    let as_well = |reading: &CheckedReading| worst - square(reading) <= AS_WELL;
    readings
        .iter()
        .enumerate()
        .filter(|(_, reading)| as_well(reading))
        .map(|(i, _)| i)
        .collect()
}

fn misfit_limit(redundancy: usize) -> Option<f64> {
    let redundancy = u32::try_from(redundancy).ok().filter(|r| *r > 0)?;
    let distribution = ChiSquared::new(f64::from(redundancy)).ok()?;
    Some(distribution.inverse_cdf(FITS))
}

fn weak(net: &Net, model: &Model, solution: &Solution) -> Vec<WeakPlace> {
    let mut worst = vec![0.0_f64; model.names.len()];
    for row in model.reading_rows() {
        let feet = reading_in_feet(net, row, solution);
        for point in row.geometry.points() {
            if let Some(most) = worst.get_mut(point) {
                *most = most.max(feet);
            }
        }
    }
    let is_weak = |(point, reading): (usize, f64)| {
        let ellipse = own_ellipse(&solution.doubt, point);
        let off = ellipse.semi_major_95();
        let limit = (reading * NORMAL_95 * WEAK_FROM).max(WEAK_FEET);
        (off.feet() > limit).then(|| WeakPlace {
            name: model.name(point).to_owned(),
            off_95: off,
            along: ellipse.azimuth(),
            tape_from: helper(model, solution, point, ellipse),
        })
    };
    worst.into_iter().enumerate().filter_map(is_weak).collect()
}

fn own_ellipse(doubt: &Doubt, point: usize) -> Ellipse {
    let (north, east, both) = doubt.of_point(point);
    Ellipse::new(north, east, both)
}

/// What a reading's standard error comes to on the ground, with its tape's scale.
fn reading_in_feet(net: &Net, row: &Row, solution: &Solution) -> f64 {
    let apart = |a: usize, b: usize| match (solution.places.at(a), solution.places.at(b)) {
        (Some(a), Some(b)) => a.distance(b).feet(),
        _ => 0.0,
    };
    match row.geometry {
        Geometry::Distance { from, to, tape } => {
            let scale = net.tapes.get(tape).and_then(|tape| tape.scale.value());
            row.sigma.hypot(scale.unwrap_or_default() * apart(from, to))
        }
        Geometry::Corner { at, from, to } => row.sigma * apart(at, from).max(apart(at, to)),
        Geometry::Direction { from, to } => row.sigma * apart(from, to),
        _ => row.sigma,
    }
}

/// The point that lies nearest to the direction in which a weak point is off, and
/// is not taped to it.
fn helper(model: &Model, solution: &Solution, point: usize, ellipse: Ellipse) -> Option<String> {
    let here = solution.places.at(point)?;
    let along = ellipse.azimuth().radians();
    let mut taped = std::collections::BTreeSet::from([point]);
    for row in model.reading_rows() {
        match row.geometry {
            Geometry::Distance { from, to, .. } if from == point => taped.insert(to),
            Geometry::Distance { from, to, .. } if to == point => taped.insert(from),
            _ => false,
        };
    }
    let share = |other: usize| {
        let way: Point = solution.places.at(other)?;
        let off = (way - here).azimuth().radians() - along;
        Some(off.cos().abs())
    };
    (0..model.names.len())
        .filter(|other| !taped.contains(other))
        .filter(|other| own_ellipse(&solution.doubt, *other).semi_major() < ellipse.semi_major())
        .filter_map(|other| Some((other, share(other)?)))
        .filter(|(_, share)| *share > 0.7)
        .max_by(|(i, a), (j, b)| a.total_cmp(b).then(j.cmp(i)))
        .map(|(other, _)| model.name(other).to_owned())
}
