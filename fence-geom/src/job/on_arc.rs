//! A run on an arc: its line for the layout, where it meets other runs, and how its
//! posts are set.

use super::report::{ArcPostReport, ArcReport};
use super::site::Site;
use super::{Job, JobError};
use crate::angle::Angle;
use crate::arc_layout::{ArcLayout, ArcLayoutError, ArcLine, ArcYard};
use crate::corner::{CornerError, Miter, miter};
use crate::length::{Length, Shift};
use crate::point::{Displacement, Point};
use crate::ring::{Place, Side};
use crate::route::Run;

/// Two lines of post centers that are not as far inside their strings meet at a place
/// of use where the runs turn by this much at least, in degrees: the post then stands
/// off its flag by no more than twice what the two differ.
const LEAST_TURN_DEGREES: f64 = 30.0;

/// What rounding leaves of a distance, in feet.
const HAIR_FEET: f64 = 1e-9;

/// The line of a run for the layout; `None` where it is straight.
pub(super) fn line(run: &Run) -> Option<ArcLine> {
    let Side::Arc { turn, .. } = run.shape else {
        return None;
    };
    let yard = if turn == run.yard {
        ArcYard::Center
    } else {
        ArcYard::Away
    };
    let radius = run.radius()?;
    Some(ArcLine { radius, yard })
}

pub(super) fn error(run: &str, source: ArcLayoutError) -> JobError {
    let run = run.to_owned();
    match source {
        ArcLayoutError::Layout(source) => JobError::Layout { run, source },
        source => JobError::Arc { run, source },
    }
}

/// Where a corner post stands, from its flag: along the run, and how far inside its
/// string, by how far inside the centers of both runs are.
///
/// It stands where the two lines of centers meet. Where the runs turn by little and
/// one keeps farther in, it stands as far in as that one, off both.
pub(super) fn corner_seat(
    interior: Angle,
    own: Length,
    other: Length,
) -> Result<(Shift, Length), CornerError> {
    let turn = (interior.degrees() - 180.0).abs();
    let alike = own.minus(other).magnitude().feet() < HAIR_FEET;
    let (own, other) = if alike || turn < LEAST_TURN_DEGREES {
        let inner = if other > own { other } else { own };
        (inner, inner)
    } else {
        (own, other)
    };
    let Miter { along_before, .. } = miter(interior, own.forward(), other.forward())?;
    Ok((along_before, own))
}

/// What a crew needs to set the posts; `centers` are those of the posts in order.
pub(super) fn report(
    job: &Job,
    site: &Site,
    run: &Run,
    laid: &ArcLayout,
    centers: &[(usize, Point)],
) -> Option<ArcReport> {
    let center = run.center()?;
    let along = (run.string.1 - run.string.0).unit()?;
    let yard = run.toward_yard(Shift::saturating(run.length.feet() / 2.0));
    let place = |at: Point| at - run.string.0;
    let posts = centers.iter().enumerate().map(|(k, &(i, at))| {
        let next = centers.get(k + 1);
        ArcPostReport {
            turn: laid.posts.get(i).map_or(Angle::default(), |post| post.turn),
            along_chord: Shift::saturating(place(at).dot(along)),
            off_chord: Shift::saturating(place(at).dot(across(along, yard))),
            to_next: next.map(|&(_, next)| at.distance(next)),
        }
    });
    Some(ArcReport {
        center,
        center_in_reach: in_reach(job, site, center, laid.post_radius),
        radius: run.radius()?,
        post_radius: laid.post_radius,
        moved_in: laid.moved_in,
        full_turn: laid.full_turn,
        misfit: laid.misfit,
        posts: posts.collect(),
    })
}

/// Square off a way, to the side on which the yard is at the middle of the arc.
fn across(along: Displacement, yard: Displacement) -> Displacement {
    let right = along.turned_right();
    if right.dot(yard) < 0.0 { -right } else { right }
}

/// True where a crew can stand at the center and pull a tape to the posts.
fn in_reach(job: &Job, site: &Site, center: Point, radius: Length) -> bool {
    let inside = site.lot.ring().locate(center, Length::ZERO) == Place::Inside;
    let built = |ring: &crate::ring::Ring| ring.locate(center, Length::ZERO) == Place::Inside;
    inside && radius <= job.ties.longest && !site.buildings.iter().any(built)
}

#[cfg(test)]
mod tests;
