//! What moves of the lines within their bands would save: cuts of the whole job
//! against inches given up.
//!
//! Flags move linearly with the lines, so the length of each run is found for
//! every choice without new geometry; each run is answered for every choice by
//! the exact count of its cuts, and the choices are put together by
//! [`trades`](crate::trades()). What comes out is worked out once more from the
//! job itself with its lines moved.
//!
//! The ground under a moved line is taken for that under the line as asked. Where it
//! was read, a run is laid out over it for every choice, if those are few enough;
//! else its cuts are counted in the rail measure of its ground alone, which a broken
//! grade or wider posts at steps can belie. A choice that turns out otherwise when it is
//! worked out is corrected in the table, and with it those in which the run is as long;
//! then the next best are looked at, until all that are left hold. Such a list is not
//! proven complete, and says so.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::report::{RunReport, Trade, Trades};
use super::run::{Hazard, Work, hazards};
use super::site::{Plan, Site};
use super::{Job, JobError};
use crate::layout::{FewestCuts, LayoutRequest, LayoutStatus};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::product::Build;
use crate::ring::Side;
use crate::route::{Route, Run};
use crate::trade::{Pair, RunCosts, trades as pairs};

/// Moves of one line.
const MOST_MOVES: usize = 200;

/// A run over its ground is laid out for no more choices than these.
const MOST_LAID_OUT: usize = 200;

/// So often the next best choices are looked at.
const MOST_ROUNDS: usize = 25;

/// A finer step is no crew's.
const LEAST_STEP_IN: f64 = 1.0 / 16.0;

/// What rounding makes of one length, in feet.
const HAIR: f64 = 1e-7;

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
) -> Result<Trades, JobError> {
    let cuts_at_all = matches!(job.product.build, Build::Panels | Build::PanelsOnFace);
    if job.bands.sides.is_empty() || !cuts_at_all {
        return Ok(Trades::default());
    }
    refuse_arcs(job, site)?;
    let lines = lines(job, plan, site)?;
    let hazards = hazards(job, site)?;
    let mut tables = Vec::new();
    for (i, (named, route)) in job.routes.iter().zip(&site.routes).enumerate() {
        for (run, (_, name)) in route.runs.iter().zip(named.legs()) {
            let moves = RunMoves::new(job, &lines, &hazards, (i, route), run, name);
            tables.push(moves.table()?);
        }
    }
    let cuts_now = sum(now.iter().map(|run| counts(&run.layout.status))).map(|sum| sum.0);
    let mut check = Check {
        job,
        lines: &lines,
        tables,
        known: BTreeMap::new(),
        otherwise: 0,
    };
    let mut found = Trades::default();
    for pair in check.holding()? {
        if let Some((cuts, hand_dug)) = check.known(&pair)
            && cuts == pair.cost
        {
            found.moves.push(Trade {
                cuts,
                cuts_now,
                hand_dug,
                moved: by_steps(job, pair.moved).magnitude(),
                moves: moved(job, &lines, &pair.moves).1,
            });
        }
    }
    let rough = check.tables.iter().filter(|table| table.rough.is_some());
    found.rough = rough.map(|table| table.name.to_owned()).collect();
    found.otherwise = check.otherwise;
    Ok(found)
}

/// Cuts and hand-dug holes of each run.
type Counts = Vec<Option<(i64, i64)>>;

/// The cuts of a run for each choice of moves.
struct RunTable<'a> {
    name: &'a str,
    costs: RunCosts,
    /// How long the run is for each, in hairs, where cuts are only counted ahead.
    rough: Option<Vec<i64>>,
    /// Those that were worked out.
    exact: BTreeSet<usize>,
}

impl RunTable<'_> {
    /// Sets what a choice came to; true if that is another.
    fn correct(&mut self, cell: usize, cuts: Option<i64>) -> bool {
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

/// The check of choices: the same job, with its lines where they would stand.
struct Check<'a> {
    job: &'a Job,
    lines: &'a [Line],
    tables: Vec<RunTable<'a>>,
    /// What choices worked out so far came to.
    known: BTreeMap<Vec<i64>, Counts>,
    /// How many came to something else than their tables said.
    otherwise: usize,
}

impl Check<'_> {
    /// The undominated pairs once the tables are corrected wherever one of them
    /// turned out otherwise.
    fn holding(&mut self) -> Result<Vec<Pair>, JobError> {
        let moves: Vec<Vec<i64>> = self.lines.iter().map(|line| line.moves.clone()).collect();
        for _ in 0..MOST_ROUNDS {
            let found = self.pairs(&moves)?;
            let mut corrected = false;
            for pair in &found {
                corrected |= self.work_out(pair)?;
            }
            if !corrected {
                return Ok(found);
            }
        }
        self.pairs(&moves)
    }

    fn pairs(&self, moves: &[Vec<i64>]) -> Result<Vec<Pair>, JobError> {
        let costs: Vec<RunCosts> = self.tables.iter().map(|run| run.costs.clone()).collect();
        Ok(pairs(moves, &costs)?)
    }

    /// Works a choice out, if it was not before; true if it corrects a table.
    fn work_out(&mut self, pair: &Pair) -> Result<bool, JobError> {
        if self.known.contains_key(&pair.moves) {
            return Ok(false);
        }
        let counts = laid_out(&moved(self.job, self.lines, &pair.moves).0)?;
        let mut corrected = false;
        for (table, counts) in self.tables.iter_mut().zip(&counts) {
            if let Some(cell) = cell(self.lines, &table.costs.lines, &pair.moves) {
                corrected |= table.correct(cell, counts.map(|(cuts, _)| cuts));
            }
        }
        self.otherwise += usize::from(corrected);
        self.known.insert(pair.moves.clone(), counts);
        Ok(corrected)
    }

    fn known(&self, pair: &Pair) -> Option<(i64, i64)> {
        sum(self.known.get(&pair.moves)?.iter().copied())
    }
}

/// The place of a choice in the table of a run that hangs on some of the lines.
fn cell(all: &[Line], lines: &[usize], moves: &[i64]) -> Option<usize> {
    lines.iter().try_fold(0, |index, &line| {
        let of_line = &all.get(line)?.moves;
        let chosen = moves.get(line)?;
        let at = of_line.iter().position(|steps| steps == chosen)?;
        Some(index * of_line.len() + at)
    })
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

/// Cuts and hand-dug holes of all runs; nothing where a run has no layout.
fn sum(runs: impl IntoIterator<Item = Option<(i64, i64)>>) -> Option<(i64, i64)> {
    runs.into_iter().try_fold((0, 0), |(cuts, hand), run| {
        run.map(|run| (cuts + run.0, hand + run.1))
    })
}

fn counts(status: &LayoutStatus) -> Option<(i64, i64)> {
    match status {
        LayoutStatus::Optimal(best) => Some((best.objective.cuts, best.objective.hand_dug)),
        LayoutStatus::None { .. } => None,
    }
}

/// Cuts and hand-dug holes of each run of a job.
fn laid_out(job: &Job) -> Result<Counts, JobError> {
    let record = job.deed.as_ref().map(crate::traverse::traverse);
    let plan = Plan::new(job, record.as_ref())?;
    let site = plan.site(&job.survey.observations())?;
    let hazards = hazards(job, &site)?;
    let mut found = Vec::new();
    for (named, route) in job.routes.iter().zip(&site.routes) {
        for (run, (_, name)) in route.runs.iter().zip(named.legs()) {
            found.push(run_laid_out(&Work::new(
                job, &hazards, run, name, [None; 2],
            )?)?);
        }
    }
    Ok(found)
}

/// Cuts and hand-dug holes of a run; nothing where it has no layout, or leaves the
/// ground that was read.
fn run_laid_out(work: &Work<'_>) -> Result<Option<(i64, i64)>, JobError> {
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
struct RunMoves<'a> {
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
    fn table(&self) -> Result<RunTable<'a>, JobError> {
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
