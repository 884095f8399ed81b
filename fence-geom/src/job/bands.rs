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

mod run_moves;

use std::collections::BTreeMap;

use super::report::{RunReport, Trade, Trades};
use super::run::{Work, hazards};
use super::site::{Plan, Site};
use super::{Job, JobError};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::product::Build;
use crate::ring::Side;
use crate::route::Stop;
use crate::trade::{Pair, RunCosts, trades as pairs};
use run_moves::{RunMoves, RunTable, counts, run_laid_out};

/// Moves of one line.
const MOST_MOVES: usize = 200;

/// So often the next best choices are looked at.
const MOST_ROUNDS: usize = 25;

/// A finer step is no crew's.
const LEAST_STEP_IN: f64 = 1.0 / 16.0;

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
    refuse_tees(site)?;
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
fn sum(runs: impl IntoIterator<Item = Option<(i64, i64)>>) -> Option<(i64, i64)> {
    runs.into_iter().try_fold((0, 0), |(cuts, hand), run| {
        run.map(|run| (cuts + run.0, hand + run.1))
    })
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
