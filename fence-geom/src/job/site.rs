//! From base observations to places, lot, offset line and flags: one function,
//! so that doubt can be carried through all of it at once.

use super::report::{PlaceReport, PointDoubt};
use super::{Job, JobError, Outline, RoutePlan, Spot, StopPlan};
use crate::estimate::{Estimate, Sigma, propagate};
use crate::length::Shift;
use crate::lot::{Lot, lot};
use crate::offset::{Offset, OffsetError, OffsetRing, offset};
use crate::pins::Pin;
use crate::point::Point;
use crate::ring::Ring;
use crate::route::{Flag, Route, RouteError, Stop, all_stand_on, route};
use crate::survey::SurveyError;
use crate::tee::{TeeError, join_tees, tee_flag};
use crate::traverse::Traverse;

/// The parts of a job that geometry is made of, checked for names.
pub(super) struct Plan<'a> {
    job: &'a Job,
    record: Option<&'a Traverse>,
    /// The standard error of each pin, by which the fit weighs it.
    pin_sigmas: Vec<Sigma>,
}

/// A route along the piece of the offset line that all its stops stand on; where
/// the line is in pieces and there is none, that is refused.
fn along_a_piece(
    offset: &Offset,
    stops: &[Stop],
    along: impl Fn(&OffsetRing) -> Result<Route, RouteError>,
) -> Result<Result<Route, RouteError>, OffsetError> {
    let rings = offset.rings();
    if let [only] = rings {
        return Ok(along(only));
    }
    let mut refused = None;
    for ring in rings.iter().filter(|ring| all_stand_on(ring, stops)) {
        match along(ring) {
            Ok(route) => return Ok(Ok(route)),
            Err(error) => refused = refused.or(Some(error)),
        }
    }
    match refused {
        Some(error) => Ok(Err(error)),
        None => Err(offset.not_one()),
    }
}

/// Everything that follows from one set of base observations.
pub(super) struct Site {
    /// The measured places, in the order of the survey.
    pub(super) places: Vec<Point>,
    /// The lot.
    pub(super) lot: Lot,
    /// The line of the posts' outside faces.
    pub(super) offset: Offset,
    /// The routes, in the order of the job.
    pub(super) routes: Vec<Route>,
    /// The buildings, in the order of the job.
    pub(super) buildings: Vec<Ring>,
}

/// How sure places and corners are, in the order of a [`Site`].
pub(super) struct Doubts {
    pub(super) places: Vec<PointDoubt>,
    pub(super) corners: Vec<PointDoubt>,
}

impl<'a> Plan<'a> {
    pub(super) fn new(job: &'a Job, record: Option<&'a Traverse>) -> Result<Self, JobError> {
        let mut names = std::collections::BTreeSet::new();
        for (_, run) in job.routes.iter().flat_map(|route| route.legs()) {
            if !names.insert(run) {
                return Err(JobError::SameRun { name: run.clone() });
            }
        }
        let gates = job.gates.iter().map(|gate| (&gate.name, &gate.run));
        let wishes = job.run_wishes.iter().map(|wish| (&wish.run, &wish.run));
        let grounds = job.grounds.iter().map(|plan| (&plan.run, &plan.run));
        for (i, plan) in job.grounds.iter().enumerate() {
            if job
                .grounds
                .iter()
                .take(i)
                .any(|other| other.run == plan.run)
            {
                return Err(JobError::GroundTwice {
                    run: plan.run.clone(),
                });
            }
        }
        for (what, run) in gates.chain(wishes).chain(grounds) {
            if !names.contains(run) {
                let known: Vec<&str> = names.iter().map(|name| name.as_str()).collect();
                return Err(JobError::UnknownRun {
                    what: what.clone(),
                    name: run.clone(),
                    known: known.join(", "),
                });
            }
        }
        Ok(Self {
            job,
            record,
            pin_sigmas: pin_sigmas(job),
        })
    }

    /// The same plan for a job that differs in its distances only.
    pub(super) fn of<'b>(&'b self, job: &'b Job) -> Plan<'b> {
        Plan {
            job,
            record: self.record,
            pin_sigmas: self.pin_sigmas.clone(),
        }
    }

    /// Returns what follows from the given base observations.
    pub(super) fn site(&self, observations: &[f64]) -> Result<Site, JobError> {
        let places = self.job.survey.points(observations)?;
        let spots = Spots {
            job: self.job,
            places: &places,
        };
        let pins = self
            .job
            .pins
            .iter()
            .zip(&self.pin_sigmas)
            .map(|(pin, &sigma)| {
                Ok(Pin {
                    at: spots.named(&pin.corner, "a pin")?,
                    sigma,
                    ..pin.clone()
                })
            })
            .collect::<Result<Vec<_>, JobError>>()?;
        let lot = lot(self.record, &pins)?;
        let offset = offset(lot.ring().clone(), &self.distances(lot.ring())?)?;
        let buildings = self
            .job
            .buildings
            .iter()
            .map(|outline| spots.outline(outline))
            .collect::<Result<Vec<_>, _>>()?;
        let no_build = self
            .job
            .no_build
            .iter()
            .map(|area| Ok((area.name.as_str(), spots.outline(area)?)))
            .collect::<Result<Vec<_>, JobError>>()?;
        let mut routes: Vec<Route> = Vec::new();
        for plan in &self.job.routes {
            let stops = plan
                .stops
                .iter()
                .map(|(stop, _)| spots.stop(stop, plan, &routes))
                .collect::<Result<Vec<_>, _>>()?;
            let along = |ring: &OffsetRing| {
                let found = route(lot.ring(), ring, &stops, plan.closed, plan.yard, &buildings)?;
                for (name, outline) in &no_build {
                    found.keeps_clear_of(name, outline)?;
                }
                Ok(found)
            };
            let found = along_a_piece(&offset, &stops, along)?;
            let mut found = found.map_err(|source| JobError::Route {
                route: plan.name.clone(),
                source,
            })?;
            join_tees(&mut routes, &mut found).map_err(no_tee(plan))?;
            routes.push(found);
        }
        Ok(Site {
            places,
            lot,
            offset,
            routes,
            buildings,
        })
    }

    /// The distance of the posts' outside faces from each side: the inside
    /// distance is kept at what stands outside of them.
    fn distances(&self, lot: &Ring) -> Result<Vec<Shift>, JobError> {
        let inside = &self.job.inside;
        let mut distances = vec![inside.each; lot.len()];
        for (name, distance) in &inside.sides {
            let unknown = || JobError::UnknownSide {
                name: name.clone(),
                known: (0..lot.len())
                    .map(|i| lot.side_name(i))
                    .collect::<Vec<_>>()
                    .join(", "),
            };
            let side = lot.side(name).ok_or_else(unknown)?;
            if let Some(entry) = distances.get_mut(side) {
                *entry = *distance;
            }
        }
        Ok(distances
            .into_iter()
            .map(|distance| (distance + self.job.product.outstand).forward())
            .collect())
    }

    /// Carries the doubt of the base observations to places and corners.
    ///
    /// Where the job's geometry does not vary smoothly, such as at a tape that
    /// just reaches, nothing can be said, and the doubt is unknown.
    pub(super) fn doubts(&self, site: &Site) -> Doubts {
        let survey = &self.job.survey;
        let estimate = propagate(&survey.observations(), &survey.covariance(), |values| {
            self.site(values).map(|moved| moved.places_and_corners())
        })
        .ok();
        let (places, corners) = (site.places.len(), site.lot.ring().len());
        let doubt = |points: std::ops::Range<usize>| {
            points
                .map(|i| PointDoubt::of(estimate.as_ref(), i))
                .collect()
        };
        Doubts {
            places: doubt(0..places),
            corners: doubt(places..places + corners),
        }
    }
}

impl Site {
    /// All coordinates in a row: places, then corners; northing first.
    fn places_and_corners(&self) -> Vec<f64> {
        let corners = self.lot.ring().corners().iter().map(|corner| corner.at);
        coordinates(self.places.iter().copied().chain(corners))
    }

    /// The flags of all routes, one route after the other.
    pub(super) fn flags(&self) -> impl Iterator<Item = &Flag> {
        self.routes.iter().flat_map(|route| &route.flags)
    }
}

/// Northing and easting of each point in a row.
pub(super) fn coordinates(points: impl Iterator<Item = Point>) -> Vec<f64> {
    points
        .flat_map(|point| [point.north(), point.east()])
        .collect()
}

impl PointDoubt {
    /// The doubt of point `i` of an estimate of points.
    pub(super) fn of(estimate: Option<&Estimate>, i: usize) -> Self {
        let sigma = |k: usize| estimate.map_or(Sigma::UNKNOWN, |estimate| estimate.sigma(k));
        Self {
            sigma_north: sigma(2 * i),
            sigma_east: sigma(2 * i + 1),
            ellipse: estimate.and_then(|estimate| estimate.ellipse(2 * i, 2 * i + 1)),
        }
    }

    /// The larger of the two standard errors.
    fn worse(&self) -> Sigma {
        worse(self.sigma_north, self.sigma_east)
    }
}

/// The larger of two standard errors; unknown if either is.
pub(super) fn worse(a: Sigma, b: Sigma) -> Sigma {
    match (a.value(), b.value()) {
        (Some(a), Some(b)) => Sigma::computed(a.max(b)),
        _ => Sigma::UNKNOWN,
    }
}

/// The doubt of each pin from what it was measured by.
fn pin_sigmas(job: &Job) -> Vec<Sigma> {
    let survey = &job.survey;
    let estimate = propagate(&survey.observations(), &survey.covariance(), |values| {
        let points = survey.points(values)?;
        Ok::<_, SurveyError>(coordinates(points.into_iter()))
    })
    .ok();
    job.pins
        .iter()
        .map(|pin| {
            survey.index(&pin.corner).map_or(Sigma::UNKNOWN, |i| {
                PointDoubt::of(estimate.as_ref(), i).worse()
            })
        })
        .collect()
}

/// The places of a job by name.
pub(super) struct Spots<'a> {
    pub(super) job: &'a Job,
    pub(super) places: &'a [Point],
}

impl Spots<'_> {
    fn named(&self, name: &str, what: &str) -> Result<Point, JobError> {
        let survey = &self.job.survey;
        survey
            .index(name)
            .and_then(|i| self.places.get(i).copied())
            .ok_or_else(|| JobError::UnknownPlace {
                what: what.to_owned(),
                name: name.to_owned(),
                known: survey
                    .places()
                    .iter()
                    .map(|place| place.name.as_str())
                    .collect::<Vec<_>>()
                    .join(", "),
            })
    }

    pub(super) fn spot(&self, spot: &Spot, what: &str) -> Result<Point, JobError> {
        spot.resolve(|name| self.named(name, what))
    }

    fn outline(&self, outline: &Outline) -> Result<Ring, JobError> {
        let corners = outline
            .corners
            .iter()
            .enumerate()
            .map(|(i, spot)| {
                let name = match spot {
                    Spot::Named(name) => name.clone(),
                    Spot::Toward { .. } | Spot::At(_) => format!("corner {}", i + 1),
                };
                Ok((name, self.spot(spot, &outline.name)?))
            })
            .collect::<Result<Vec<_>, JobError>>()?;
        Ring::of_lines(corners).map_err(|source| JobError::Outline {
            name: outline.name.clone(),
            source,
        })
    }

    fn stop(&self, stop: &StopPlan, plan: &RoutePlan, earlier: &[Route]) -> Result<Stop, JobError> {
        Ok(match stop {
            StopPlan::Corner { corner } => Stop::Corner {
                corner: corner.clone(),
            },
            StopPlan::OnSide {
                name,
                side,
                from,
                distance,
            } => Stop::OnSide {
                name: name.clone(),
                side: side.clone(),
                from: from.clone(),
                distance: *distance,
            },
            StopPlan::Squared {
                name,
                wall,
                at,
                side,
            } => Stop::Squared {
                name: name.clone(),
                wall: (self.spot(&wall.0, name)?, self.spot(&wall.1, name)?),
                at: self.spot(at, name)?,
                side: side.clone(),
            },
            StopPlan::Prolonged { name, wall, side } => Stop::Prolonged {
                name: name.clone(),
                wall: (self.spot(&wall.0, name)?, self.spot(&wall.1, name)?),
                side: side.clone(),
            },
            StopPlan::Wall {
                name,
                at,
                gap,
                bracketed,
            } => Stop::Wall {
                name: name.clone(),
                at: self.spot(at, name)?,
                gap: *gap,
                bracketed: *bracketed,
            },
            StopPlan::Tee { flag } => Stop::Tee {
                name: flag.clone(),
                at: tee_flag(earlier, flag).map_err(no_tee(plan))?.at,
            },
            StopPlan::Free { name, at } => Stop::Free {
                name: name.clone(),
                at: self.spot(at, name)?,
            },
        })
    }
}

fn no_tee(plan: &RoutePlan) -> impl Fn(TeeError) -> JobError {
    |source| JobError::Tee {
        route: plan.name.clone(),
        source,
    }
}

/// Returns the measured places with their doubt.
pub(super) fn places(job: &Job, site: &Site, doubts: &Doubts) -> Vec<PlaceReport> {
    job.survey
        .places()
        .iter()
        .zip(&site.places)
        .zip(&doubts.places)
        .map(|((place, &at), &doubt)| PlaceReport {
            name: place.name.clone(),
            at,
            doubt,
        })
        .collect()
}
