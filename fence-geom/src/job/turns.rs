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
use crate::route::RunEnd;
use crate::triangle::third_side;

/// A turn of one route: the flag's name, the angle, and the runs that meet.
struct Turning<'a> {
    flag: &'a str,
    interior: Angle,
    runs: (Length, Length),
    curved: bool,
}

/// Returns the turns of all routes in their order.
pub(super) fn turns(plan: &Plan<'_>, job: &Job, site: &Site) -> Vec<TurnReport> {
    let survey = &job.survey;
    let doubt = propagate(&survey.observations(), &survey.covariance(), |values| {
        let moved = plan.site(values)?;
        let angles = turnings(&moved).map(|turn| turn.interior.radians());
        Ok::<_, JobError>(angles.collect())
    })
    .ok();
    turnings(site)
        .enumerate()
        .map(|(i, turn)| TurnReport {
            flag: turn.flag.to_owned(),
            interior: turn.interior,
            sigma: doubt
                .as_ref()
                .map_or(Sigma::UNKNOWN, |estimate| estimate.sigma(i)),
            curved: turn.curved,
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

fn turnings(site: &Site) -> impl Iterator<Item = Turning<'_>> {
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
            })
        })
    })
}
