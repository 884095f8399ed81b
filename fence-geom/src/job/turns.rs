//! Where the string turns: the angle between two runs, how sure it is, and the
//! three tapes that check it once the flags stand.

use super::report::{TurnCheck, TurnReport};
use super::site::{Plan, Site};
use super::{Job, JobError};
use crate::angle::Angle;
use crate::corner::check_legs;
use crate::estimate::{Sigma, propagate};
use crate::length::Length;
use crate::ring::Side;
use crate::route::{Run, RunEnd};
use crate::triangle::third_side;

/// A turn: the flag's name, the angle, and the runs that meet.
struct Turning<'a> {
    flag: &'a str,
    interior: Angle,
    runs: (Length, Length),
    curved: bool,
    along: Option<[&'a str; 2]>,
}

/// Returns the turns of all routes in their order, then those where one branches off
/// another.
pub(super) fn turns(plan: &Plan<'_>, job: &Job, site: &Site) -> Vec<TurnReport> {
    let survey = &job.survey;
    let doubt = propagate(&survey.observations(), &survey.covariance(), |values| {
        let moved = plan.site(values)?;
        let angles = turnings(job, &moved).map(|turn| turn.interior.radians());
        Ok::<_, JobError>(angles.collect())
    })
    .ok();
    turnings(job, site)
        .enumerate()
        .map(|(i, turn)| TurnReport {
            flag: turn.flag.to_owned(),
            interior: turn.interior,
            sigma: doubt
                .as_ref()
                .map_or(Sigma::UNKNOWN, |estimate| estimate.sigma(i)),
            curved: turn.curved,
            along: turn.along.map(|names| names.map(str::to_owned)),
            check: check_legs(turn.runs.0, turn.runs.1)
                .filter(|_| !turn.curved)
                .map(|(back, on)| TurnCheck {
                    back,
                    on,
                    diagonal: third_side(back, on, turn.interior),
                }),
        })
        .collect()
}

fn turnings<'a>(job: &'a Job, site: &'a Site) -> impl Iterator<Item = Turning<'a>> {
    corners(site).chain(tees(job, site))
}

fn corners(site: &Site) -> impl Iterator<Item = Turning<'_>> {
    site.routes.iter().flat_map(|route| {
        route.runs.iter().filter_map(|run| {
            let RunEnd::Corner { interior } = run.start else {
                return None;
            };
            let before = route.runs.iter().find(|other| other.to == run.from)?;
            Some(Turning {
                flag: &route.flags.get(run.from)?.name,
                interior,
                runs: (before.length, run.length),
                curved: [before.shape, run.shape] != [Side::Line; 2],
                along: None,
            })
        })
    })
}

/// One end of a run: its flag's name, what stands there, the run and its name.
type NamedEnd<'a> = (&'a str, RunEnd, &'a Run, &'a str);

fn ends<'a>(job: &'a Job, site: &'a Site) -> impl Iterator<Item = NamedEnd<'a>> {
    let routes = job.routes.iter().zip(&site.routes);
    let runs = routes.flat_map(|(plan, route)| {
        let named = route.runs.iter().zip(plan.legs());
        named.map(move |(run, (_, name))| (route, run, name.as_str()))
    });
    runs.flat_map(|(route, run, name)| {
        let ends = [(run.from, run.start), (run.to, run.end)];
        ends.into_iter()
            .filter_map(move |(at, end)| Some((route.flags.get(at)?.name.as_str(), end, run, name)))
    })
}

/// Where a fence branches off: the angle from the other fence, on the yard's side. Along
/// the run of that fence which lies there the post stands before the flag or on it, so
/// that its angle is the one under 180 degrees.
fn tees<'a>(job: &'a Job, site: &'a Site) -> impl Iterator<Item = Turning<'a>> {
    ends(job, site).filter_map(|(flag, end, run, name)| {
        let RunEnd::Tee { seat, branch: true } = end else {
            return None;
        };
        let lies_beside = |end: RunEnd| match end {
            RunEnd::Tee { seat, branch } => !branch && seat.degrees() < 180.0,
            _ => false,
        };
        let mut others = ends(job, site);
        let (_, _, beside, beside_name) =
            others.find(|(at, end, ..)| *at == flag && lies_beside(*end))?;
        Some(Turning {
            flag,
            interior: if seat.degrees() < 180.0 {
                seat
            } else {
                seat - Angle::STRAIGHT
            },
            runs: (beside.length, run.length),
            curved: false,
            along: Some([beside_name, name]),
        })
    })
}
