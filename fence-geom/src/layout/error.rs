//! Why a request for a layout can't be used.

use super::lattice::Lattice;

/// A request that can't be laid out as it stands.
///
/// A request that is sound but has no answer is no error: see
/// [`LayoutStatus::None`](super::LayoutStatus::None).
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LayoutError {
    /// A size that must be more than zero is not, or vanishes on the lattice.
    #[error(
        "`{field}` must be at least one step of {lattice}, got {inches} in: give its real size"
    )]
    NotPositive {
        /// The field.
        field: String,
        /// Its value in inches.
        inches: f64,
        /// The lattice.
        lattice: Lattice,
    },
    /// A product width that the lattice can't hold.
    #[error("`{field}` is {inches:.4} in, which is more than 1/1000 in off the lattice of {lattice}: {remedy}", remedy = lattice_remedy(*.fits))]
    OffLattice {
        /// The field.
        field: String,
        /// Its value in inches.
        inches: f64,
        /// The lattice that was asked for.
        lattice: Lattice,
        /// A lattice that holds all product widths of the request.
        fits: Option<Lattice>,
    },
    /// A range that ends before it begins.
    #[error("`{field}` runs from {from_in} in back to {to_in} in: swap the two")]
    Inverted {
        /// The field.
        field: String,
        /// Where it begins, in inches.
        from_in: f64,
        /// Where it ends, in inches.
        to_in: f64,
    },
    /// The shortest cut is longer than a full section.
    #[error(
        "`min_cut` is {min_cut_in} in, longer than `full` of {full_in} in: give a `min_cut` of at most {full_in} in (the same means no cuts)"
    )]
    CutLongerThanFull {
        /// The shortest cut, in inches.
        min_cut_in: f64,
        /// A full section, in inches.
        full_in: f64,
    },
    /// A panel on the face of posts that could be shorter than the posts under it.
    #[error(
        "`min_cut` is {min_cut_in} in, and a cut on the face of its two posts may have to cover {posts_in} in of them: give a `min_cut` of at least that"
    )]
    CutUnderPosts {
        /// The shortest cut, in inches.
        min_cut_in: f64,
        /// What a cut may have to cover of two posts, in inches.
        posts_in: f64,
    },
    /// A gate that is wider than the whole run.
    #[error(
        "`gates[{gate}].opening` is {opening_in} in, wider than the run of {run_in} in: check `length`, or take a narrower gate"
    )]
    GateWiderThanRun {
        /// The gate, counted from 0 in the order given.
        gate: usize,
        /// Its opening, in inches.
        opening_in: f64,
        /// The run, in inches.
        run_in: f64,
    },
    /// A gate's window that lies outside the run.
    #[error(
        "the window of `gates[{gate}]`, from {from_in} in to {to_in} in, lies outside the run of 0 to {run_in} in: measure `from`, `to` and `wish` from the start reference"
    )]
    WindowOutsideRun {
        /// The gate, counted from 0 in the order given.
        gate: usize,
        /// Where the window begins, in inches.
        from_in: f64,
        /// Where it ends, in inches.
        to_in: f64,
        /// The run, in inches.
        run_in: f64,
    },
    /// Two gates that are both fixed in place, one in the way of the other.
    #[error(
        "`gates[{first}]` and `gates[{second}]` are fixed with their middles {apart_in} in apart, and their openings with the post between take {needed_in} in: move one of the two, or give it a window from `from` to `to`"
    )]
    GatesOverlap {
        /// The one gate, counted from 0 in the order given.
        first: usize,
        /// The other.
        second: usize,
        /// From middle to middle, in inches.
        apart_in: f64,
        /// The least that would do, in inches.
        needed_in: f64,
    },
    /// A gate with neither a wish nor a whole window.
    #[error("`gates[{gate}]` has no place: give `wish`, or both `from` and `to`")]
    GateWithoutPlace {
        /// The gate, counted from 0 in the order given.
        gate: usize,
    },
    /// More gates than one run may have.
    #[error("`gates` has {count} gates, and a run may have {most}: lay the run out in parts", most = super::problem::MOST_GATES)]
    TooManyGates {
        /// How many there are.
        count: usize,
    },
    /// More work than is allowed.
    #[error("`length` is {steps} steps of {lattice} and {gates} gates give {sets} sets, and steps times sets may be {limit} at most: take a coarser lattice, or lay the run out in parts", sets = 1_u64 << .gates, limit = super::problem::MOST_WORK)]
    TooMuchWork {
        /// Steps from end to end.
        steps: i64,
        /// The lattice.
        lattice: Lattice,
        /// How many gates there are.
        gates: usize,
    },
    /// A sum that could leave the range of whole numbers.
    #[error(
        "`{wish}` could grow past what is counted exactly: take a coarser lattice, or check for a length that is far too large"
    )]
    TooLarge {
        /// The wish, by name.
        wish: &'static str,
    },
    /// An order that names a wish twice.
    #[error(
        "`order` names {wish} twice: name each wish once; those left out follow in the usual order"
    )]
    OrderRepeats {
        /// The wish, by name.
        wish: &'static str,
    },
    /// A step that no lattice has.
    #[error(
        "`lattice` is {inches} in, and a step must be a plain fraction of an inch or of a millimeter, 1/64 in at the finest: 1/16 in, 1/32 in or 1 mm are usual"
    )]
    LatticeStep {
        /// The step in inches.
        inches: f64,
    },
}

fn lattice_remedy(fits: Option<Lattice>) -> String {
    fits.map_or_else(
        || {
            "no usual lattice (1/16, 1/32 or 1/64 in, 1 or 0.5 mm) holds all widths of this \
             product; give them in one system, as made"
                .to_owned()
        },
        |lattice| format!("set `lattice` to \"{lattice}\", which holds all widths given"),
    )
}
