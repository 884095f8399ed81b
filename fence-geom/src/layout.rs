//! One run of fence: where posts, full and cut sections and gates stand, best by
//! an order of wishes and proven so.
//!
//! All lengths snap once to whole steps of a [`Lattice`]; from there on the
//! answer is whole numbers and the same on every machine. Lengths and wishes
//! snap half away from zero; stretches of the ground outward; gate windows and
//! ranges of the ends inward (a single place to the nearest step); the shortest
//! cut up. Hole centers and middles of gates may fall on half steps and are
//! compared doubled.
//!
//! The method is a dynamic program over the places along the run, the gates
//! placed so far and the kind of the last section. Adding one vector to two
//! others keeps their lexicographic order, so the best rest of a run does not
//! depend on how its beginning was reached. A first sweep serves the leading
//! wishes, which do not depend on how wide a cut is; a second pass serves the
//! others, over the places where the leading wishes are at their best. No method
//! of guessing is in it, so "optimal" means proven.
//!
//! The problem is level and straight. It knows nothing of the ground but what
//! the request says: marks of buried lines come from a locate service, and
//! frost, wind and local rules decide depth and footing.

mod alive;
mod answer;
mod bits;
mod blocking;
mod cost;
mod error;
mod fewest_cuts;
mod ground;
mod lattice;
mod overtaking;
mod problem;
mod reach;
mod request;
mod runners_up;
mod solve;
mod sweep;
mod verify;
mod wish;

pub use answer::{
    Arrangement, Blocking, Give, Layout, LayoutStatus, PostPlace, Relaxation, SectionKind,
    SectionPlace,
};
pub use error::LayoutError;
pub(crate) use fewest_cuts::FewestCuts;
pub use lattice::Lattice;
pub use request::{GateRequest, LayoutEnd, LayoutRequest, WhichEnd};
pub use runners_up::{Change, Choices, RunnerUp, runners_up};
pub(crate) use runners_up::{Found, Settled, outside, settled_runners_up};
pub use verify::{Unsound, verify_layout};
pub use wish::{Objective, Wish};

use problem::Problem;

#[cfg(test)]
mod tests;

/// Returns the best layout of a run, or which hard rules stand in the way.
///
/// Wishes are served in the order of [`LayoutRequest::order`]. What still ties
/// is decided by the start face nearest its wish, then the smaller; then,
/// section by section from the start: full before gate (in the order given)
/// before cut, and the wider cut first.
///
/// # Errors
///
/// A [`LayoutError`] names the field that can't be used, its value and the
/// remedy. A sound request that has no layout is an answer, no error.
///
/// # Examples
///
/// Three 8 ft panels, 2 in posts and a rest of 44 in make four sections:
///
/// ```
/// use fence_geom::{LayoutRequest, LayoutStatus, Length, LayoutEnd, SectionKind, Shift, lay_out};
///
/// let inches = Length::from_inches;
/// let end = LayoutEnd::fixed(Shift::ZERO, inches(2.0)?, true);
/// // 3 x 96 + 44 in clear, and three line posts of 2 in.
/// let request = LayoutRequest::plain(
///     inches(338.0)?, inches(96.0)?, inches(12.0)?, inches(2.0)?, end, end,
/// );
/// let layout = lay_out(&request)?;
/// let LayoutStatus::Optimal(best) = layout.status else {
///     return Err("a run without marks can be laid out".into());
/// };
/// assert_eq!(best.objective.cuts, 1);
/// let cut = best.sections.iter().find(|s| s.kind == SectionKind::Cut);
/// assert_eq!(cut.map(|s| layout.lattice.inches(s.clear)), Some(44.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn lay_out(request: &LayoutRequest) -> Result<Layout, LayoutError> {
    let problem = Problem::new(request)?;
    let status = match solve::solve(&problem)? {
        Some(path) => LayoutStatus::Optimal(Arrangement::new(&problem, &path)),
        None => {
            let blocking = blocking::blocking(&problem);
            LayoutStatus::None {
                relaxations: blocking::relaxations(&problem, &blocking),
                blocking,
            }
        }
    };
    Ok(Layout {
        status,
        lattice: request.lattice,
        order: problem.order,
    })
}
