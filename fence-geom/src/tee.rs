//! Tees: where one fence branches off another.
//!
//! Both strings go to one flag, which stands on the outside face of the fence that runs
//! through. The post stands in the corner between that fence's string and the branch's,
//! on the yard's side of both, and touches both: its center is half its width inside
//! each.

use crate::angle::Angle;
use crate::length::Shift;
use crate::point::Displacement;
use crate::ring::Side;
use crate::route::{Flag, Route, Run, RunEnd, Stop};

/// How far the fence may turn at a tee and still run straight on, in degrees: a post up
/// to 7 in wide is then off its strings by no more than 1/16 in.
const STRAIGHT_ON_DEGREES: f64 = 1.0;

/// A branch by less than this, in degrees, lies on the fence.
const LEAST_BRANCH_DEGREES: f64 = 1.0;

/// Why a fence can't branch off another.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TeeError {
    /// No such flag.
    #[error(
        "there is no flag {name:?} to branch off from in the fences before this one: they have {known}; give the fence that runs through first"
    )]
    UnknownFlag {
        /// The name that was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// Two flags of one name.
    #[error("a fence branches off at {name}, and two flags are called so: give each its own name")]
    TwoFlags {
        /// The name.
        name: String,
    },
    /// The other fence ends there.
    #[error(
        "a fence can't branch off at {name}, where the other one ends: lead it from a stop on a straight stretch, or start it at a wall, a fence or a free place"
    )]
    AtEnd {
        /// The flag.
        name: String,
    },
    /// The other fence turns there.
    #[error(
        "a fence can't branch off at {name}, where the other one turns by {degrees:.1} degrees: lead it from a stop on a straight stretch, or start it at a wall, a fence or a free place"
    )]
    AtBend {
        /// The flag.
        name: String,
        /// How far it turns.
        degrees: f64,
    },
    /// A run on an arc.
    #[error(
        "a fence can't branch off at {name}, where a run on an arc begins or ends: lead it straight from a stop on a straight stretch"
    )]
    Curved {
        /// The flag.
        name: String,
    },
    /// The branch lies on the fence.
    #[error(
        "the fence that branches off at {name} lies on the other one: check the order of the stops"
    )]
    Along {
        /// The flag.
        name: String,
    },
    /// A second branch.
    #[error("two fences branch off at {name}: give the second a stop of its own to start from")]
    Second {
        /// The flag.
        name: String,
    },
}

/// Returns the flag that a fence may branch off from.
///
/// # Errors
///
/// [`TeeError::UnknownFlag`] and [`TeeError::TwoFlags`].
pub fn tee_flag<'a>(earlier: &'a [Route], name: &str) -> Result<&'a Flag, TeeError> {
    place(earlier, name).map(|(_, _, flag)| flag)
}

/// Joins a fence to the ones before it where it starts or ends at a [`Stop::Tee`]: sets
/// what stands at the ends of all runs that meet there. Does nothing for other stops.
///
/// # Errors
///
/// A [`TeeError`] that names the flag at fault.
///
/// # Source
///
/// Plane trigonometry. With `r` the way from the flag along the fence on the yard's side
/// of the branch and `a` the angle from there to the branch, a post of width `w` that
/// touches both strings stands (w/2) cot(a/2) along each where the branch goes into the
/// yard of the fence; else (w/2) cot(90° - a/2) along `r`, and as far behind the flag
/// along the branch as (w/2) tan(a/2).
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Point, Ring, RunEnd, Shift, Stop, Turn, inset_uniform, join_tees, route};
///
/// let lot = Ring::of_lines([
///     ("A", Point::new(0.0, 0.0)?),
///     ("B", Point::new(100.0, 0.0)?),
///     ("C", Point::new(100.0, 50.0)?),
///     ("D", Point::new(0.0, 50.0)?),
/// ])?;
/// let line = inset_uniform(&lot, Shift::from_feet(1.0)?)?;
/// let free = |name: &str, north, east| {
///     Ok::<_, Box<dyn std::error::Error>>(Stop::Free {
///         name: name.to_owned(),
///         at: Point::new(north, east)?,
///     })
/// };
/// let through = [free("S", 1.0, 1.0)?, free("T", 40.0, 1.0)?, free("U", 90.0, 1.0)?];
/// let mut earlier = vec![route(&lot, &line, &through, false, None, &[])?];
/// let stops = [
///     Stop::Tee { name: "T".to_owned(), at: Point::new(40.0, 1.0)? },
///     free("V", 40.0, 30.0)?,
/// ];
/// let mut branch = route(&lot, &line, &stops, false, Some(Turn::Left), &[])?;
/// join_tees(&mut earlier, &mut branch)?;
/// let RunEnd::Tee { seat, branch: true } = branch.runs[0].start else {
///     panic!("a tee");
/// };
/// assert!((seat.degrees() - 90.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn join_tees(earlier: &mut [Route], branch: &mut Route) -> Result<(), TeeError> {
    let last = branch.flags.len().saturating_sub(1);
    for run in &mut branch.runs {
        let tee = |at: usize| {
            let end = at == 0 || at == last;
            let stop = branch.flags.get(at).filter(|_| end).map(|flag| &flag.stop);
            match stop {
                Some(Stop::Tee { name, .. }) => Some(name),
                _ => None,
            }
        };
        let [on, back] = run.ways();
        if let Some(name) = tee(run.from) {
            run.start = joined(earlier, name, run, on)?;
        }
        if let Some(name) = tee(run.to) {
            run.end = joined(earlier, name, run, -back)?;
        }
    }
    Ok(())
}

/// Which fence has a flag, which of its flags that is, and the flag.
fn place<'a>(earlier: &'a [Route], name: &str) -> Result<(usize, usize, &'a Flag), TeeError> {
    let flags = earlier.iter().enumerate().flat_map(|(r, route)| {
        let flags = route.flags.iter().enumerate();
        flags.map(move |(f, flag)| (r, f, flag))
    });
    // A fence that branches off itself has its flag from the other one.
    let own: Vec<_> = flags
        .filter(|(_, _, flag)| !matches!(flag.stop, Stop::Tee { .. }))
        .collect();
    let mut named = own.iter().filter(|(_, _, flag)| flag.name == name);
    let name = name.to_owned();
    match (named.next(), named.next()) {
        (Some(found), None) => Ok(*found),
        (Some(_), Some(_)) => Err(TeeError::TwoFlags { name }),
        (None, _) => {
            let known: Vec<&str> = own.iter().map(|(_, _, flag)| flag.name.as_str()).collect();
            let known = if known.is_empty() {
                "none".to_owned()
            } else {
                known.join(", ")
            };
            Err(TeeError::UnknownFlag { name, known })
        }
    }
}

/// Joins the run of a branch that leaves the flag by `away`: sets the ends of the fence
/// that runs through, and returns that of the branch.
fn joined(
    earlier: &mut [Route],
    name: &str,
    branch: &Run,
    away: Displacement,
) -> Result<RunEnd, TeeError> {
    let (fence, flag, _) = place(earlier, name)?;
    let runs = earlier
        .get_mut(fence)
        .map_or(&mut [][..], |route| &mut route.runs);
    let arriving = runs.iter().position(|run| run.to == flag);
    let leaving = runs.iter().position(|run| run.from == flag);
    let named = || name.to_owned();
    let (Some(arriving), Some(leaving)) = (arriving, leaving) else {
        return Err(TeeError::AtEnd { name: named() });
    };
    let Ok([arriving, leaving]) = runs.get_disjoint_mut([arriving, leaving]) else {
        return Err(TeeError::AtEnd { name: named() });
    };
    let ways = checked(name, arriving, leaving, branch, away)?;
    let toward = branch.toward_yard(Shift::ZERO);
    // The fence's two ways from the flag; which lies on the yard's side of the branch.
    let arriving_has_it = ways[0].dot(toward) > ways[1].dot(toward);
    let beside = if arriving_has_it { ways[0] } else { ways[1] };
    let angle = between(beside, away);
    let straight = Angle::STRAIGHT;
    let into_yard = away.dot(leaving.toward_yard(Shift::ZERO)) > 0.0;
    let (seat, through) = if into_yard {
        (angle, angle)
    } else {
        (straight + angle, straight - angle)
    };
    // The center stands as far to the other side of the flag for the other run.
    let other = straight + straight - through;
    let (at_arriving, at_leaving) = if arriving_has_it {
        (through, other)
    } else {
        (other, through)
    };
    let tee = |seat, branch| RunEnd::Tee { seat, branch };
    arriving.end = tee(at_arriving, false);
    leaving.start = tee(at_leaving, false);
    Ok(tee(seat, true))
}

/// The two ways from the flag along the fence, back and on, if a fence can branch off
/// there.
fn checked(
    name: &str,
    arriving: &Run,
    leaving: &Run,
    branch: &Run,
    away: Displacement,
) -> Result<[Displacement; 2], TeeError> {
    let name = name.to_owned();
    if [arriving, leaving, branch]
        .iter()
        .any(|run| run.shape != Side::Line)
    {
        return Err(TeeError::Curved { name });
    }
    if matches!(leaving.start, RunEnd::Tee { .. }) {
        return Err(TeeError::Second { name });
    }
    let ways = [-arriving.ways()[1], leaving.ways()[0]];
    let bend = between(-ways[0], ways[1]).degrees();
    if bend > STRAIGHT_ON_DEGREES {
        return Err(TeeError::AtBend {
            name,
            degrees: bend,
        });
    }
    if ways
        .iter()
        .any(|&way| between(way, away).degrees() < LEAST_BRANCH_DEGREES)
    {
        return Err(TeeError::Along { name });
    }
    Ok(ways)
}

/// The angle between two ways, up to a half turn.
fn between(a: Displacement, b: Displacement) -> Angle {
    Angle::of_radians(a.cross(b).abs().atan2(a.dot(b)))
}

#[cfg(test)]
mod tests;
