//! The least squares: from approximate places to adjusted ones.

use nalgebra::DMatrix;

use crate::estimate::Covariance;
use crate::point::{Displacement, Point};

use super::answer::Frame;
use super::error::NetError;
use super::hanging::hanging;
use super::kernel::{Factor, Profile, near_order};
use super::model::{Model, Places, Row, Slopes, Var};

/// Steps before the adjustment is given up.
const MOST_STEPS: u32 = 100;

/// A step of this size, in feet, is the last one.
const SETTLED_FEET: f64 = 1e-9;

/// A condition of the scaled normal equations from which on places are lost in
/// rounding: four digits of sixteen are left.
const MOST_CONDITION: f64 = 1e12;

/// The first damping, in parts of the unit diagonal.
const FIRST_DAMPING: f64 = 1e-4;

/// An adjusted net.
#[derive(Clone, Debug)]
pub(super) struct Solution {
    pub(super) places: Places,
    /// v'Pv
    pub(super) misfit: f64,
    pub(super) condition: f64,
    pub(super) steps: u32,
    pub(super) frame: Frame,
    pub(super) doubt: Doubt,
}

/// Where each unknown stands in the normal equations.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Unknowns {
    points: Vec<[Option<usize>; 2]>,
    scales: Vec<Option<usize>>,
    count: usize,
}

/// The doubt of all unknowns.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Doubt {
    unknowns: Unknowns,
    factor: Factor,
    scaling: Vec<f64>,
    /// What of the inverse of the scaled equations the readings touch.
    within: Profile,
    /// The variance of each coordinate of the one known point that carries all.
    carried: f64,
}

/// What of a net is held.
pub(super) struct Held {
    pub(super) frame: Frame,
    /// The points whose northing is held.
    pub(super) north: Vec<usize>,
    /// The points whose easting is held.
    pub(super) east: Vec<usize>,
}

impl Solution {
    /// How far apart a point is in two answers, in feet.
    pub(super) fn apart(&self, other: &Self, point: usize) -> f64 {
        match (self.places.at(point), other.places.at(point)) {
            (Some(here), Some(there)) => here.distance(there).feet(),
            _ => 0.0,
        }
    }

    /// How far apart two answers are where they differ most, in feet.
    pub(super) fn farthest(&self, other: &Self) -> f64 {
        (0..self.places.points.len())
            .map(|point| self.apart(other, point))
            .fold(0.0, f64::max)
    }
}

/// Adjusts a net from approximate places.
pub(super) fn solve(model: &Model, mut places: Places) -> Result<Solution, NetError> {
    let held = hold(model);
    lay(&mut places, &held.frame, model);
    let unknowns = Unknowns::of(model, &held);
    let settled = settle(model, &unknowns, places)?;
    let normal = Normal::at(model, &unknowns, &settled.places);
    let (scaled, scaling) = normal.matrix.scaled();
    let singular = || hanging(model, &settled.places, &unknowns);
    let factor = scaled.factor(0.0).map_err(|_| singular())?;
    let condition = factor.condition(&scaled);
    if condition > MOST_CONDITION {
        return Err(singular());
    }
    let carried = match (&held.frame, model.known.as_slice()) {
        (Frame::Base { .. } | Frame::Origin { .. }, [one]) => one.sigma * one.sigma,
        _ => 0.0,
    };
    Ok(Solution {
        misfit: normal.misfit,
        condition,
        steps: settled.steps,
        frame: held.frame,
        doubt: Doubt {
            within: factor.inverse_within(),
            unknowns,
            factor,
            scaling,
            carried,
        },
        places: settled.places,
    })
}

/// What has to be held so that the net can't move as a whole.
pub(super) fn hold(model: &Model) -> Held {
    let known = model.known.len();
    let (mut north, mut east): (Vec<usize>, Vec<usize>) = model
        .known
        .iter()
        .enumerate()
        .filter(|(_, point)| point.sigma <= 0.0 || known == 1)
        .map(|(i, _)| (i, i))
        .unzip();
    if known > 1 {
        let frame = Frame::Known;
        return Held { frame, north, east };
    }
    let base = model.base();
    let name = |point: usize| model.name(point).to_owned();
    if known == 0 {
        north.push(base.0);
        east.push(base.0);
    }
    let origin = name(base.0);
    if model.has_direction() {
        let frame = Frame::Origin { origin };
        return Held { frame, north, east };
    }
    east.push(base.1);
    let frame = Frame::Base {
        origin,
        north: name(base.1),
    };
    Held { frame, north, east }
}

/// Shifts and turns the places so that what is held is where it is held.
fn lay(places: &mut Places, frame: &Frame, model: &Model) {
    let (start, end) = model.base();
    let (Some(from), Some(to)) = (places.at(start), places.at(end)) else {
        return;
    };
    let origin = model.known.first().map_or(Point::ORIGIN, |known| known.at);
    let turn = match frame {
        Frame::Known => return,
        Frame::Origin { .. } => 0.0,
        Frame::Base { .. } => -(to - from).azimuth().radians(),
    };
    for place in places.points.iter_mut().flatten() {
        *place = origin + turned(*place - from, turn);
    }
    if matches!(frame, Frame::Base { .. })
        && let Some(place) = places.at(end)
        && let Ok(north) = Point::new(place.north(), origin.east())
    {
        places.put(end, north);
    }
}

/// A way turned clockwise.
pub(super) fn turned(way: Displacement, radians: f64) -> Displacement {
    let (sin, cos) = radians.sin_cos();
    way * cos + way.turned_right() * sin
}

impl Model {
    /// The first tape, or the first reading at the one known point: where it
    /// starts and where it ends.
    pub(super) fn base(&self) -> (usize, usize) {
        let is_tape = |points: &Vec<usize>| {
            points.len() == 2 && (self.known.is_empty() || points.contains(&0))
        };
        let of = |points: Vec<usize>| match points.as_slice() {
            [from, to, ..] if !self.known.is_empty() && *to == 0 => (*to, *from),
            [from, to, ..] => (*from, *to),
            _ => (0, 1),
        };
        let all = || self.reading_rows().iter().map(|row| row.geometry.points());
        let at_known = |points: &Vec<usize>| self.known.is_empty() || points.contains(&0);
        all()
            .find(is_tape)
            .map(of)
            .or_else(|| {
                let points = all().find(at_known)?;
                let other = points.iter().copied().find(|point| *point != 0);
                other.map(|other| (0, other))
            })
            .unwrap_or((0, 1))
    }
}

impl Unknowns {
    pub(super) fn of(model: &Model, held: &Held) -> Self {
        let mut neighbors: Vec<std::collections::BTreeSet<usize>> =
            vec![std::collections::BTreeSet::new(); model.names.len()];
        for row in &model.rows {
            let points = row.geometry.points();
            for point in &points {
                if let Some(near) = neighbors.get_mut(*point) {
                    near.extend(points.iter().copied().filter(|other| other != point));
                }
            }
        }
        let neighbors: Vec<Vec<usize>> = neighbors
            .into_iter()
            .map(|near| near.into_iter().collect())
            .collect();
        let mut count = 0;
        let mut next = |free: bool| {
            free.then(|| {
                count += 1;
                count - 1
            })
        };
        let mut points = vec![[None, None]; model.names.len()];
        for point in near_order(&neighbors) {
            if let Some(place) = points.get_mut(point) {
                *place = [
                    next(!held.north.contains(&point)),
                    next(!held.east.contains(&point)),
                ];
            }
        }
        let scales = model.scales.iter().map(|free| next(*free)).collect();
        Self {
            points,
            scales,
            count,
        }
    }

    pub(super) fn place(&self, var: Var) -> Option<usize> {
        match var {
            Var::North(point) => self.points.get(point)?[0],
            Var::East(point) => self.points.get(point)?[1],
            Var::Scale(tape) => *self.scales.get(tape)?,
        }
    }

    /// The slopes of a row by the unknowns, over its standard error. A coordinate
    /// that comes twice in a row, as a corner's does, comes once here.
    fn weighed(&self, row: &Row, slopes: &Slopes) -> Vec<(usize, f64)> {
        let mut weighed: Vec<(usize, f64)> = Vec::with_capacity(slopes.len());
        for (var, slope) in slopes {
            let Some(place) = self.place(*var) else {
                continue;
            };
            let slope = slope / row.sigma;
            match weighed.iter_mut().find(|(other, _)| *other == place) {
                Some((_, sum)) => *sum += slope,
                None => weighed.push((place, slope)),
            }
        }
        weighed
    }
}

/// The normal equations at some places.
pub(super) struct Normal {
    pub(super) matrix: Profile,
    right: Vec<f64>,
    misfit: f64,
}

impl Normal {
    pub(super) fn at(model: &Model, unknowns: &Unknowns, places: &Places) -> Self {
        let rows: Vec<(f64, Vec<(usize, f64)>)> = model
            .rows
            .iter()
            .filter_map(|row| {
                let (off, slopes) = row.evaluate(places)?;
                Some((off / row.sigma, unknowns.weighed(row, &slopes)))
            })
            .collect();
        let pairs = rows.iter().flat_map(|(_, slopes)| {
            let columns: Vec<usize> = slopes.iter().map(|(column, _)| *column).collect();
            let first = columns.iter().copied().min();
            columns
                .into_iter()
                .filter_map(move |column| Some((column, first?)))
        });
        let mut matrix = Profile::with_room(unknowns.count, pairs);
        let mut right = vec![0.0; unknowns.count];
        let mut misfit = 0.0;
        for (off, slopes) in &rows {
            misfit += off * off;
            for (k, (i, a)) in slopes.iter().enumerate() {
                if let Some(entry) = right.get_mut(*i) {
                    *entry += a * off;
                }
                for (j, b) in slopes.iter().take(k + 1) {
                    matrix.add(*i, *j, a * b);
                }
            }
        }
        Self {
            matrix,
            right,
            misfit,
        }
    }
}

/// Places that no step improves.
struct Settled {
    places: Places,
    steps: u32,
}

/// Gauss's iteration, damped as Levenberg and Marquardt do where a full step does
/// not help.
fn settle(model: &Model, unknowns: &Unknowns, places: Places) -> Result<Settled, NetError> {
    let mut here = places;
    let mut damping = 0.0;
    for steps in 1..=MOST_STEPS {
        let normal = Normal::at(model, unknowns, &here);
        let misfit = normal.misfit;
        let (scaled, scaling) = normal.matrix.scaled();
        loop {
            if damping > 1e12 {
                return Err(NetError::Unsettled { steps });
            }
            let step = scaled.factor(damping).ok().map(|factor| {
                let right: Vec<f64> = times(&normal.right, &scaling);
                times(&factor.solve(&right), &scaling)
            });
            let size = step
                .as_ref()
                .map_or(f64::INFINITY, |step| largest(unknowns, step));
            if let Some(step) = step
                && let Some(there) = moved(&here, unknowns, &step)
            {
                // Close to the answer the misfit changes by less than its rounding.
                let helps = misfit_at(model, &there) <= misfit * (1.0 + 1e-9) + 1e-18;
                if helps || size < 1e3 * SETTLED_FEET {
                    here = there;
                    if size < SETTLED_FEET * (1.0 + reach(&here) * 1e-6) {
                        return Ok(Settled {
                            places: here,
                            steps,
                        });
                    }
                    damping = if damping <= FIRST_DAMPING {
                        0.0
                    } else {
                        damping / 10.0
                    };
                    break;
                }
            }
            damping = (damping * 10.0).max(FIRST_DAMPING);
        }
    }
    Err(NetError::Unsettled { steps: MOST_STEPS })
}

fn times(x: &[f64], y: &[f64]) -> Vec<f64> {
    x.iter().zip(y).map(|(a, b)| a * b).collect()
}

/// The largest move of a coordinate.
fn largest(unknowns: &Unknowns, step: &[f64]) -> f64 {
    unknowns
        .points
        .iter()
        .flatten()
        .flatten()
        .filter_map(|column| step.get(*column))
        .fold(0.0, |most, move_by: &f64| most.max(move_by.abs()))
}

fn reach(places: &Places) -> f64 {
    let far = |point: &Point| point.north().abs().max(point.east().abs());
    places.points.iter().flatten().map(far).fold(0.0, f64::max)
}

fn misfit_at(model: &Model, places: &Places) -> f64 {
    model
        .rows
        .iter()
        .filter_map(|row| Some(row.evaluate(places)?.0 / row.sigma))
        .map(|off| off * off)
        .sum()
}

/// The places after a step; `None` where one leaves the plane.
fn moved(places: &Places, unknowns: &Unknowns, step: &[f64]) -> Option<Places> {
    let by = |var| {
        unknowns
            .place(var)
            .and_then(|i| step.get(i))
            .copied()
            .unwrap_or(0.0)
    };
    let mut there = places.clone();
    for (i, place) in there.points.iter_mut().enumerate() {
        if let Some(at) = place {
            let (north, east) = (by(Var::North(i)), by(Var::East(i)));
            *at = Point::new(at.north() + north, at.east() + east).ok()?;
        }
    }
    for (tape, scale) in there.scales.iter_mut().enumerate() {
        *scale += by(Var::Scale(tape));
        if scale.is_nan() || scale.abs() > 0.5 {
            return None;
        }
    }
    Some(there)
}

impl Doubt {
    /// How many unknowns there are.
    pub(super) const fn unknowns(&self) -> usize {
        self.unknowns.count
    }

    /// The covariance of two unknowns that one reading touches; zero where one of
    /// them is held.
    fn within(&self, a: Var, b: Var) -> f64 {
        let entry = |i: usize, j: usize| {
            let (x, y) = (self.scaling.get(i)?, self.scaling.get(j)?);
            Some(self.within.get(i, j) * x * y)
        };
        let places = (self.unknowns.place(a), self.unknowns.place(b));
        let own = match places {
            (Some(i), Some(j)) => entry(i, j).unwrap_or_default(),
            _ => 0.0,
        };
        own + self.carried_between(a, b)
    }

    /// What the one known point that carries the net adds: it shifts all alike.
    fn carried_between(&self, a: Var, b: Var) -> f64 {
        match (a, b) {
            (Var::North(_), Var::North(_)) | (Var::East(_), Var::East(_)) => self.carried,
            _ => 0.0,
        }
    }

    /// The variances of a point's northing and easting, and their covariance.
    pub(super) fn of_point(&self, point: usize) -> (f64, f64, f64) {
        let (north, east) = (Var::North(point), Var::East(point));
        (
            self.within(north, north),
            self.within(east, east),
            self.within(north, east),
        )
    }

    /// The variance of a computed observation, over that of the reading.
    pub(super) fn of_row(&self, row: &Row, slopes: &Slopes) -> f64 {
        let weighed = self.unknowns.weighed(row, slopes);
        let scaled: Vec<(usize, f64)> = weighed
            .iter()
            .filter_map(|(i, slope)| Some((*i, slope * self.scaling.get(*i)?)))
            .collect();
        scaled
            .iter()
            .flat_map(|(i, a)| scaled.iter().map(move |(j, b)| (i, j, a * b)))
            .map(|(i, j, product)| product * self.within.get(*i, *j))
            .sum()
    }

    /// The joint doubt of the northings and eastings of points, by turns.
    pub(super) fn joint(&self, points: &[usize]) -> Option<Covariance> {
        let vars: Vec<Var> = points
            .iter()
            .flat_map(|point| [Var::North(*point), Var::East(*point)])
            .collect();
        let size = vars.len();
        let mut matrix = DMatrix::zeros(size, size);
        for (mut column, var) in matrix.column_iter_mut().zip(&vars) {
            let whole = self.column(*var);
            for (entry, other) in column.iter_mut().zip(&vars) {
                let own = self.unknowns.place(*other).and_then(|i| whole.get(i));
                *entry = own.copied().unwrap_or_default() + self.carried_between(*var, *other);
            }
        }
        let matrix = (&matrix + matrix.transpose()) * 0.5;
        let rows: Vec<Vec<f64>> = matrix
            .row_iter()
            .map(|row| row.iter().copied().collect())
            .collect();
        Covariance::from_rows(&rows).ok()
    }

    /// The covariances of an unknown with all others; empty where it is held.
    fn column(&self, var: Var) -> Vec<f64> {
        let Some(place) = self.unknowns.place(var) else {
            return Vec::new();
        };
        let mut right = vec![0.0; self.unknowns.count];
        if let (Some(entry), Some(scale)) = (right.get_mut(place), self.scaling.get(place)) {
            *entry = *scale;
        }
        times(&self.factor.solve(&right), &self.scaling)
    }
}
