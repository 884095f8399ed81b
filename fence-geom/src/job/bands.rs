//! What moves of the lines within their bands would save: cuts of the whole job
//! against inches given up.
//!
//! Flags move linearly with the lines, so the length of each run is found for
//! every choice without new geometry; each run is answered for every choice by
//! the exact count of its cuts, and the choices are put together by
//! [`trades`](crate::trades()). What comes out is worked out once more from the
//! job itself with its lines moved.
//!
//! Where ground was read, cuts are counted in its rail measure, taking the ground
//! under the moved line for that under the line as asked; where sections rack over
//! a broken grade a choice can turn out otherwise when it is worked out, and is
//! left out then.

use super::report::{RunReport, Trade};
use super::run::{Hazard, Work, hazards};
use super::site::{Plan, Site};
use super::{Job, JobError};
use crate::layout::{FewestCuts, LayoutStatus};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::product::Build;
use crate::ring::Side;
use crate::route::{Route, Run, Stop};
use crate::trade::{RunCosts, trades as pairs};

/// Moves of one line.
const MOST_MOVES: usize = 200;

/// A finer step is no crew's.
const LEAST_STEP_IN: f64 = 1.0 / 16.0;

/// A flag that moves by less than this for each foot stands still.
const STILL: f64 = 1e-9;

/// A line that may move.
struct Line {
    side: String,
    /// Where it is asked for.
    asked: Length,
    /// The moves it may make, in steps: the smallest first.
    moves: Vec<i64>,
    /// How each flag of each route moves for each foot.
    rates: Vec<Vec<Displacement>>,
}

/// Returns the undominated moves, the fewest cuts first; without bands, or
/// without panels that could be cut, there are none.
pub(super) fn trades(
    job: &Job,
    plan: &Plan<'_>,
    site: &Site,
    now: &[RunReport],
) -> Result<Vec<Trade>, JobError> {
    let cuts_at_all = matches!(job.product.build, Build::Panels | Build::PanelsOnFace);
    if job.bands.sides.is_empty() || !cuts_at_all {
        return Ok(Vec::new());
    }
    refuse_arcs(job, site)?;
    refuse_tees(site)?;
    let lines = lines(job, plan, site)?;
    let hazards = hazards(job, site)?;
    let mut costs = Vec::new();
    for (i, (named, route)) in job.routes.iter().zip(&site.routes).enumerate() {
        for (run, (_, name)) in route.runs.iter().zip(named.legs()) {
            let table = RunTable::new(job, &lines, &hazards, (i, route), run, name);
            costs.push(table.costs()?);
        }
    }
    let moves: Vec<Vec<i64>> = lines.iter().map(|line| line.moves.clone()).collect();
    let cuts_now = sums(now).map(|sum| sum.0);
    let mut found = Vec::new();
    for pair in pairs(&moves, &costs)? {
        let moved = moved(job, &lines, &pair.moves);
        // The check: the same job, with its lines where they would stand.
        let worked_out = match laid_out(&moved.0) {
            Err(JobError::Ground { .. }) => None,
            worked_out => worked_out?,
        };
        if let Some((cuts, hand_dug)) = worked_out
            && cuts == pair.cost
        {
            found.push(Trade {
                cuts,
                cuts_now,
                hand_dug,
                moved: by_steps(job, pair.moved).magnitude(),
                moves: moved.1,
            });
        }
    }
    Ok(found)
}

/// On an arc flags and posts don't move linearly with the lines.
fn refuse_arcs(job: &Job, site: &Site) -> Result<(), JobError> {
    let routes = job.routes.iter().zip(&site.routes);
    let mut runs = routes.flat_map(|(named, route)| route.runs.iter().zip(named.legs()));
    match runs.find(|(run, _)| run.shape != Side::Line) {
        None => Ok(()),
        Some((_, (_, name))) => Err(JobError::BandsOnArc { run: name.clone() }),
    }
}

/// At a tee the lines of one fence turn the ends of another.
fn refuse_tees(site: &Site) -> Result<(), JobError> {
    let mut flags = site.flags();
    match flags.find(|flag| matches!(flag.stop, Stop::Tee { .. })) {
        None => Ok(()),
        Some(flag) => Err(JobError::BandsOnTee {
            flag: flag.name.clone(),
        }),
    }
}

/// Cuts and hand-dug holes of all runs; nothing where a run has no layout.
fn sums<'a>(runs: impl IntoIterator<Item = &'a RunReport>) -> Option<(i64, i64)> {
    runs.into_iter().try_fold((0, 0), |(cuts, hand), run| {
        let LayoutStatus::Optimal(best) = &run.layout.status else {
            return None;
        };
        let objective = &best.objective;
        Some((cuts + objective.cuts, hand + objective.hand_dug))
    })
}

/// Cuts and hand-dug holes of a job.
fn laid_out(job: &Job) -> Result<Option<(i64, i64)>, JobError> {
    let record = job.deed.as_ref().map(crate::traverse::traverse);
    let plan = Plan::new(job, record.as_ref())?;
    let site = plan.site(&job.survey.observations())?;
    let hazards = hazards(job, &site)?;
    let mut sum = (0, 0);
    for (named, route) in job.routes.iter().zip(&site.routes) {
        for (run, (_, name)) in route.runs.iter().zip(named.legs()) {
            let laid_out = Work::new(job, &hazards, run, name, [None; 2])?.laid_out()?;
            let LayoutStatus::Optimal(best) = laid_out.layout.status else {
                return Ok(None);
            };
            sum.0 += best.objective.cuts;
            sum.1 += best.objective.hand_dug;
        }
    }
    Ok(Some(sum))
}

/// The job with its lines moved, and which move how far.
fn moved(job: &Job, lines: &[Line], moves: &[i64]) -> (Job, Vec<(String, Shift)>) {
    let mut changed = job.clone();
    let mut told = Vec::new();
    for (line, &steps) in lines.iter().zip(moves) {
        if steps != 0 {
            let by = by_steps(job, steps);
            set_inside(&mut changed, &line.side, line.asked.forward() + by);
            told.push((line.side.clone(), by));
        }
    }
    (changed, told)
}

#[expect(clippy::cast_precision_loss, reason = "at most a few hundred steps")]
fn by_steps(job: &Job, steps: i64) -> Shift {
    Shift::saturating(job.bands.step.feet() * steps as f64)
}

fn set_inside(job: &mut Job, side: &str, distance: Shift) {
    let distance = Length::saturating(distance.feet());
    let sides = &mut job.inside.sides;
    match sides.iter_mut().find(|(name, _)| name == side) {
        Some((_, inside)) => *inside = distance,
        None => sides.push((side.to_owned(), distance)),
    }
}

/// The lines with a band, with how flags move with each.
fn lines(job: &Job, plan: &Plan<'_>, site: &Site) -> Result<Vec<Line>, JobError> {
    let flags = |site: &Site| -> Vec<Vec<Point>> {
        let routes = site.routes.iter();
        routes
            .map(|route| route.flags.iter().map(|flag| flag.at).collect())
            .collect()
    };
    let here = flags(site);
    let mut lines = Vec::new();
    for (side, least, most) in &job.bands.sides {
        let named = job.inside.sides.iter().find(|(name, _)| name == side);
        let asked = named.map_or(job.inside.each, |(_, inside)| *inside);
        let moves = moves(job, side, asked, (*least, *most))?;
        let farthest = moves.last().copied().unwrap_or(0);
        let mut rates: Vec<Vec<Displacement>> = here
            .iter()
            .map(|route| vec![Displacement::default(); route.len()])
            .collect();
        if farthest != 0 {
            let by = by_steps(job, farthest);
            let mut changed = job.clone();
            set_inside(&mut changed, side, asked.forward() + by);
            let there = plan.of(&changed).site(&job.survey.observations());
            let there = flags(&there.map_err(|source| JobError::BandEnd {
                side: side.clone(),
                at: Length::saturating((asked.forward() + by).feet()),
                source: Box::new(source),
            })?);
            for (rates, (here, there)) in rates.iter_mut().zip(here.iter().zip(&there)) {
                for (rate, (here, there)) in rates.iter_mut().zip(here.iter().zip(there)) {
                    *rate = (*there - *here) * (1.0 / by.feet());
                }
            }
        }
        lines.push(Line {
            side: side.clone(),
            asked,
            moves,
            rates,
        });
    }
    Ok(lines)
}

/// The moves that a band allows in whole steps, the smallest first; outward
/// before inward.
fn moves(
    job: &Job,
    side: &str,
    asked: Length,
    (least, most): (Length, Length),
) -> Result<Vec<i64>, JobError> {
    let step = job.bands.step;
    let hair = 1e-9;
    if asked.feet() < least.feet() - hair || asked.feet() > most.feet() + hair {
        return Err(JobError::Band {
            side: side.to_owned(),
            least,
            most,
            asked,
        });
    }
    let steps = |room: Shift| (room.feet() / step.feet() + hair).floor();
    let (back, on) = (steps(asked.minus(least)), steps(most.minus(asked)));
    let count = back + on + 1.0;
    #[expect(clippy::cast_precision_loss, reason = "a few hundred")]
    let too_many = count.is_nan() || count > MOST_MOVES as f64;
    if step.inches() < LEAST_STEP_IN - hair || too_many {
        return Err(JobError::BandStep { step });
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most a few hundred")]
    let mut moves: Vec<i64> = (-(back as i64)..=on as i64).collect();
    moves.sort_by_key(|steps| (steps.abs(), *steps));
    Ok(moves)
}

/// A run and the lines that it hangs on.
struct RunTable<'a> {
    job: &'a Job,
    all: &'a [Line],
    lines: Vec<usize>,
    hazards: Vec<&'a Hazard>,
    route: &'a Route,
    route_number: usize,
    run: &'a Run,
    name: &'a str,
}

impl<'a> RunTable<'a> {
    fn new(
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
    fn costs(&self) -> Result<RunCosts, JobError> {
        let turned = (self.lines.iter())
            .filter_map(|&line| self.all.get(line))
            .any(|line| self.near_runs().any(|run| self.turns(line, run)));
        let of = |line: usize| self.all.get(line).map_or(&[][..], |line| &line.moves);
        let count: usize = self.lines.iter().map(|&line| of(line).len()).product();
        let mut fewest = FewestCuts::default();
        let mut costs = Vec::with_capacity(count);
        for cell in 0..count {
            let mut rest = cell;
            let mut steps = vec![0; self.lines.len()];
            for (place, &line) in steps.iter_mut().zip(&self.lines).rev() {
                let moves = of(line);
                *place = moves.get(rest % moves.len()).copied().unwrap_or(0);
                rest /= moves.len();
            }
            let run = self.moved(&steps, turned);
            let hazards = self.hazards.iter().copied();
            let work = Work::new(self.job, hazards, &run, self.name, [None; 2])?;
            let Some(request) = work.counted_request()? else {
                costs.push(None);
                continue;
            };
            let found = fewest.of(&request).map_err(|source| JobError::Layout {
                run: self.name.to_owned(),
                source,
            })?;
            costs.push(found.map(|(_, cuts)| cuts));
        }
        Ok(RunCosts {
            lines: self.lines.clone(),
            costs,
        })
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
