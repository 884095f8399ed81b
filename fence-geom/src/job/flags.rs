//! The flags: the two tapes that set each, and how sure it is once set.

use super::report::{FlagReport, PointDoubt};
use super::site::{Plan, Site, coordinates, worse};
use super::{Job, JobError};
use crate::estimate::{Estimate, Sigma, propagate};
use crate::intersect::{TapesMeet, tapes_meet};
use crate::length::Length;
use crate::offset::OffsetRing;
use crate::point::{Displacement, Point};
use crate::ring::Turn;
use crate::route::{Flag, Stop};
use crate::ties::{TwoTapes, best_ties};
use crate::two_tapes::KnownPoint;

/// All flags of a job, and their joint doubt once set.
pub(super) struct Flags {
    pub(super) reports: Vec<FlagReport>,
    estimate: Option<Estimate>,
}

impl Flags {
    /// Finds the tapes of all flags of all routes, and what setting by them is
    /// worth.
    pub(super) fn new(plan: &Plan<'_>, job: &Job, site: &Site) -> Self {
        let known = known_points(job, site);
        let blocked: Vec<Vec<Point>> = site
            .buildings
            .iter()
            .map(|ring| ring.corners().iter().map(|corner| corner.at).collect())
            .collect();
        let ties: Vec<_> = site
            .flags()
            .map(|flag| best_ties(flag.at, &known, &blocked, &job.ties, &job.survey.tape()))
            .collect();
        let estimate = as_set(
            plan,
            job,
            site,
            &ties.iter().map(|tie| tie.as_ref().ok()).collect::<Vec<_>>(),
        );
        let reports = site
            .flags()
            .zip(ties)
            .enumerate()
            .map(|(i, (flag, ties))| FlagReport {
                name: flag.name.clone(),
                at: flag.at,
                wall: matches!(flag.stop, Stop::Wall { .. }),
                doubt: PointDoubt::of(estimate.as_ref().filter(|_| ties.is_ok()), i),
                settable: job.line_accepted_by.is_some() || stands_on_pins(flag, site),
                ties,
            })
            .collect();
        Self { reports, estimate }
    }

    /// Returns the flags once each: where a fence branches off, the flag is the other
    /// fence's.
    pub(super) fn once(self, site: &Site) -> Vec<FlagReport> {
        let flags = self.reports.into_iter().zip(site.flags());
        flags
            .filter(|(_, flag)| !matches!(flag.stop, Stop::Tee { .. }))
            .map(|(report, _)| report)
            .collect()
    }

    /// Returns the standard error, in feet, of a string between flags `from` and
    /// `to` across its directions there, at its worse end. A wall is where it is.
    pub(super) fn across(&self, from: usize, to: usize, ways: [Displacement; 2]) -> Sigma {
        let (Some(start), Some(end)) = (self.reports.get(from), self.reports.get(to)) else {
            return Sigma::UNKNOWN;
        };
        let one = |i: usize, flag: &FlagReport, way: Displacement| {
            let across = way.turned_right();
            if flag.wall {
                return Sigma::ZERO;
            }
            let known = self.estimate.as_ref().filter(|_| flag.ties.is_ok());
            let covariance =
                |a: usize, b: usize| known.and_then(|e| e.covariance().get(2 * i + a, 2 * i + b));
            let (Some(nn), Some(ne), Some(ee)) =
                (covariance(0, 0), covariance(0, 1), covariance(1, 1))
            else {
                return Sigma::UNKNOWN;
            };
            let (n, e) = (across.north(), across.east());
            let variance = n * n * nn + 2.0 * n * e * ne + e * e * ee;
            Sigma::computed(variance.max(0.0).sqrt())
        };
        worse(one(from, start, ways[0]), one(to, end, ways[1]))
    }
}

/// The places that a crew can hold a tape at. They are marks on the ground: what
/// the survey does not know of them enters through the readings, not here.
fn known_points(job: &Job, site: &Site) -> Vec<KnownPoint> {
    job.survey
        .places()
        .iter()
        .zip(&site.places)
        .filter(|(place, _)| job.visible.contains(&place.name))
        .map(|(place, &at)| KnownPoint {
            name: place.name.clone(),
            at,
            sigma: Sigma::ZERO,
        })
        .collect()
}

/// Carries the doubt to where the flags end up, relative to the marks on the
/// ground.
///
/// The survey's errors make the computed readings wrong; pulling the tapes from
/// the marks themselves adds the errors of two more readings of the same tape,
/// whose scale is the one that the survey was measured with, and so cancels.
fn as_set(plan: &Plan<'_>, job: &Job, site: &Site, ties: &[Option<&TwoTapes>]) -> Option<Estimate> {
    let survey = &job.survey;
    let observations = survey.observations();
    let readings: Vec<Length> = ties
        .iter()
        .flatten()
        .flat_map(|ties| [ties.first.reading, ties.second.reading])
        .collect();
    let covariance = survey.covariance_with(&readings);
    let values = [observations.as_slice(), &vec![0.0; readings.len()]].concat();
    propagate(&values, &covariance, |values| {
        let (measured, errors) = values
            .split_at_checked(observations.len())
            .unwrap_or_default();
        let moved = plan.site(measured)?;
        let mut errors = errors.iter().copied();
        let set =
            moved
                .flags()
                .zip(site.flags())
                .zip(ties)
                .map(|((flag, nominal), ties)| match ties {
                    None => nominal.at,
                    Some(ties) => {
                        let mut pull = |from: &str| {
                            let i = survey.index(from).unwrap_or_default();
                            let computed = moved.places.get(i).map(|place| place.distance(flag.at));
                            let error = errors.next().unwrap_or_default();
                            let feet = computed.unwrap_or_default().feet() - error;
                            let mark = site.places.get(i).copied().unwrap_or_default();
                            (mark, Length::saturating(feet))
                        };
                        let (first, second) = (pull(&ties.first.from), pull(&ties.second.from));
                        meeting(first, second, ties.hand).unwrap_or(nominal.at)
                    }
                });
        Ok::<_, JobError>(coordinates(set))
    })
    .ok()
}

/// Where two tapes meet on the given hand.
fn meeting(first: (Point, Length), second: (Point, Length), hand: Turn) -> Option<Point> {
    match (tapes_meet(first.0, first.1, second.0, second.1).ok()?, hand) {
        (TapesMeet::Touch(point), _) => Some(point),
        (TapesMeet::Cross { left, .. }, Turn::Left) => Some(left),
        (TapesMeet::Cross { right, .. }, Turn::Right) => Some(right),
    }
}

/// Whether every side of the lot that a flag hangs on has two accepted pins.
fn stands_on_pins(flag: &Flag, site: &Site) -> bool {
    let lot = &site.lot;
    match &flag.stop {
        Stop::Corner { .. } => site
            .offset
            .rings()
            .iter()
            .flat_map(OffsetRing::corners)
            .filter(|corner| corner.name == flag.name)
            .all(|corner| lot.is_pinned(corner.before) && lot.is_pinned(corner.after)),
        Stop::OnSide { side, .. } | Stop::Squared { side, .. } | Stop::Prolonged { side, .. } => {
            lot.ring()
                .side(side)
                .is_some_and(|side| lot.is_pinned(side))
        }
        Stop::Tee { name, .. } => {
            let own = |flag: &&Flag| flag.name == *name && !matches!(flag.stop, Stop::Tee { .. });
            let mut flags = site.flags();
            flags
                .find(own)
                .is_none_or(|flag| stands_on_pins(flag, site))
        }
        _ => true,
    }
}
