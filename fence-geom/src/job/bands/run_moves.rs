//! One run with its lines moved: how many cuts it takes for each choice of moves.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::super::run::{Hazard, Work};
use super::super::{Job, JobError};
use super::{Line, by_steps};
use crate::layout::{FewestCuts, LayoutRequest, LayoutStatus};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::route::{Route, Run};
use crate::trade::RunCosts;

/// A run over its ground is laid out for no more choices than these.
const MOST_LAID_OUT: usize = 200;

/// What rounding makes of one length, in feet.
const HAIR: f64 = 1e-7;

/// A flag that moves by less than this for each foot stands still.
const STILL: f64 = 1e-9;

/// The cuts of a run for each choice of moves.
pub(super) struct RunTable<'a> {
    pub(super) name: &'a str,
    pub(super) costs: RunCosts,
    /// How long the run is for each, in hairs, where cuts are only counted ahead.
    pub(super) rough: Option<Vec<i64>>,
    /// Those that were worked out.
    exact: BTreeSet<usize>,
}

impl RunTable<'_> {
    /// Sets what a choice came to; true if that is another.
    pub(super) fn correct(&mut self, cell: usize, cuts: Option<i64>) -> bool {
        self.exact.insert(cell);
        if self.costs.costs.get(cell) == Some(&cuts) {
            return false;
        }
        let length = |cell: usize| self.rough.as_ref().map(|lengths| lengths.get(cell));
        let own = length(cell);
        for (other, told) in self.costs.costs.iter_mut().enumerate() {
            let as_long = own.is_some() && length(other) == own && !self.exact.contains(&other);
            if other == cell || as_long {
                *told = cuts;
            }
        }
        true
    }
}

/// A run and the lines that it hangs on.
pub(super) struct RunMoves<'a> {
    job: &'a Job,
    all: &'a [Line],
    lines: Vec<usize>,
    hazards: Vec<&'a Hazard>,
    route: &'a Route,
    route_number: usize,
    run: &'a Run,
    name: &'a str,
}

impl<'a> RunMoves<'a> {
    pub(super) fn new(
        job: &'a Job,
        all: &'a [Line],
        hazards: &'a [Hazard],
        (route_number, route): (usize, &'a Route),
        run: &'a Run,
        name: &'a str,
    ) -> Self {
        let mut table = Self {
            job,
            all,
            lines: Vec::new(),
            hazards: Vec::new(),
            route,
            route_number,
            run,
            name,
        };
        // How far the string moves at most, by lines that move it at all.
        let farthest: f64 = (all.iter())
            .map(|line| {
                let steps = line.moves.last().copied().unwrap_or(0);
                let ends = [run.from, run.to].map(|flag| table.rate(line, flag).length().feet());
                ends.into_iter().fold(0.0, f64::max) * by_steps(job, steps).magnitude().feet()
            })
            .sum();
        let farthest = Length::saturating(farthest);
        let product = &job.product;
        table.hazards = (hazards.iter())
            .filter(|hazard| hazard.may_reach(product, run, farthest))
            .collect();
        table.lines = (0..all.len())
            .filter(|&line| all.get(line).is_some_and(|line| table.hangs_on(line)))
            .collect();
        table
    }

    fn rate(&self, line: &Line, flag: usize) -> Displacement {
        let route = line.rates.get(self.route_number);
        route
            .and_then(|flags| flags.get(flag).copied())
            .unwrap_or_default()
    }

    /// True where a move of a line could change the layout: the run grows, turns,
    /// meets its neighbors at another angle, or comes to lie otherwise to
    /// something that holes keep away from.
    fn hangs_on(&self, line: &Line) -> bool {
        let moves = [self.run.from, self.run.to].map(|flag| self.rate(line, flag));
        if self.hazards.is_empty() {
            self.grows(line, self.run) || self.near_runs().any(|run| self.turns(line, run))
        } else {
            let still = moves.iter().all(|rate| rate.length().feet() < STILL);
            !still || self.near_runs().any(|run| self.turns(line, run))
        }
    }

    /// The run and its neighbors.
    fn near_runs(&self) -> impl Iterator<Item = &Run> {
        let flags = [self.run.from, self.run.to];
        (self.route.runs.iter())
            .filter(move |run| flags.contains(&run.from) || flags.contains(&run.to))
    }

    fn grows(&self, line: &Line, run: &Run) -> bool {
        let along = (run.string.1 - run.string.0).unit().unwrap_or_default();
        let apart = self.rate(line, run.to) - self.rate(line, run.from);
        apart.dot(along).abs() >= STILL
    }

    fn turns(&self, line: &Line, run: &Run) -> bool {
        let along = (run.string.1 - run.string.0).unit().unwrap_or_default();
        let apart = self.rate(line, run.to) - self.rate(line, run.from);
        apart.cross(along).abs() >= STILL
    }

    /// The cuts for each choice of moves.
    pub(super) fn table(&self) -> Result<RunTable<'a>, JobError> {
        let on_ground = self.job.grounds.iter().any(|plan| plan.run == self.name);
        let laid_out = on_ground && self.are_few()?;
        let costs = RunCosts {
            lines: self.lines.clone(),
            costs: if laid_out {
                self.laid_out()?
            } else {
                self.counted()?
            },
        };
        let lengths = || self.moved_runs().map(|run| hairs(run.length.forward()));
        Ok(RunTable {
            costs,
            name: self.name,
            rough: (on_ground && !laid_out).then(|| lengths().collect()),
            exact: BTreeSet::new(),
        })
    }

    /// The run for each choice of moves.
    fn moved_runs(&self) -> impl Iterator<Item = Run> {
        let turned = (self.lines.iter())
            .filter_map(|&line| self.all.get(line))
            .any(|line| self.near_runs().any(|run| self.turns(line, run)));
        let of = |line: usize| self.all.get(line).map_or(&[][..], |line| &line.moves);
        let count: usize = self.lines.iter().map(|&line| of(line).len()).product();
        (0..count).map(move |cell| {
            let mut rest = cell;
            let mut steps = vec![0; self.lines.len()];
            for (place, &line) in steps.iter_mut().zip(&self.lines).rev() {
                let moves = of(line);
                *place = moves.get(rest % moves.len()).copied().unwrap_or(0);
                rest /= moves.len();
            }
            self.moved(&steps, turned)
        })
    }

    fn work<'r>(&'r self, run: &'r Run) -> Result<Work<'r>, JobError> {
        let hazards = self.hazards.iter().copied();
        Work::new(self.job, hazards, run, self.name, [None; 2])
    }

    /// True if few of the choices differ in what the layout hangs on.
    fn are_few(&self) -> Result<bool, JobError> {
        let mut apart = BTreeSet::new();
        for run in self.moved_runs() {
            apart.insert(figures(&self.work(&run)?.request()));
            if apart.len() > MOST_LAID_OUT {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The cuts for each choice as the run is laid out over its ground.
    fn laid_out(&self) -> Result<Vec<Option<i64>>, JobError> {
        let mut found: BTreeMap<Vec<i64>, Option<i64>> = BTreeMap::new();
        let mut costs = Vec::new();
        for run in self.moved_runs() {
            let work = self.work(&run)?;
            let cuts = match found.entry(figures(&work.request())) {
                Entry::Occupied(known) => *known.get(),
                Entry::Vacant(free) => *free.insert(run_laid_out(&work)?.map(|(cuts, _)| cuts)),
            };
            costs.push(cuts);
        }
        Ok(costs)
    }

    /// The cuts for each choice by the exact count: of a run over its ground, in the
    /// rail measure of the ground alone.
    fn counted(&self) -> Result<Vec<Option<i64>>, JobError> {
        let mut fewest = FewestCuts::default();
        let mut costs = Vec::new();
        for run in self.moved_runs() {
            let Some(request) = self.work(&run)?.counted_request()? else {
                costs.push(None);
                continue;
            };
            let found = fewest.of(&request).map_err(|source| JobError::Layout {
                run: self.name.to_owned(),
                source,
            })?;
            costs.push(found.map(|(_, cuts)| cuts));
        }
        Ok(costs)
    }

    /// The run with its lines moved.
    fn moved(&self, steps: &[i64], turned: bool) -> Run {
        let at = |i: usize, flag: Point| {
            (self.lines.iter().zip(steps))
                .filter_map(|(&line, &steps)| Some((self.all.get(line)?, steps)))
                .fold(flag, |at, (line, steps)| {
                    at + self.rate(line, i) * by_steps(self.job, steps).feet()
                })
        };
        if turned {
            let flags = self.route.flags.iter().enumerate();
            let flags: Vec<Point> = flags.map(|(i, flag)| at(i, flag.at)).collect();
            let index = self.route.runs.iter().position(|run| run == self.run);
            let moved = self.route.moved(&flags);
            let found = index.and_then(|index| moved.runs.into_iter().nth(index));
            return found.unwrap_or_else(|| self.run.clone());
        }
        let mut run = self.run.clone();
        run.string = (at(run.from, run.string.0), at(run.to, run.string.1));
        run.length = run.string.0.distance(run.string.1);
        run
    }
}

/// Cuts and hand-dug holes of a layout; nothing where there is none.
pub(super) fn counts(status: &LayoutStatus) -> Option<(i64, i64)> {
    match status {
        LayoutStatus::Optimal(best) => Some((best.objective.cuts, best.objective.hand_dug)),
        LayoutStatus::None { .. } => None,
    }
}

/// Cuts and hand-dug holes of a run; nothing where it has no layout, or leaves the
/// ground that was read.
pub(super) fn run_laid_out(work: &Work<'_>) -> Result<Option<(i64, i64)>, JobError> {
    match work.laid_out() {
        Ok(laid_out) => Ok(counts(&laid_out.layout.status)),
        Err(JobError::Ground { .. }) => Ok(None),
        Err(source) => Err(source),
    }
}

/// All that the layout of a run over its ground hangs on where lines move.
fn figures(request: &LayoutRequest) -> Vec<i64> {
    let mut key = vec![hairs(request.length.forward())];
    for end in [request.start, request.end] {
        key.extend([end.face_min, end.face_max, end.face_wish].map(hairs));
    }
    for stretches in [&request.no_dig, &request.hand_dig] {
        // Apart, so that no two lists read the same.
        key.push(i64::MIN);
        key.extend(stretches.iter().flat_map(|s| [hairs(s.from), hairs(s.to)]));
    }
    key
}

#[expect(clippy::cast_possible_truncation, reason = "lengths of a job")]
fn hairs(place: Shift) -> i64 {
    (place.feet() / HAIR).round() as i64
}
