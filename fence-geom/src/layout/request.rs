//! What a layout is asked for, in lengths.

use super::lattice::Lattice;
use super::problem::Problem;
use super::wish::Wish;
use crate::length::{Length, Shift};
use crate::obstacle::Stretch;
use crate::product::Build;

/// One run of fence to be laid out, from a start reference to an end reference.
///
/// - The reference is the flag, or the face of the wall, at either end.
/// - Widths of sections are clear widths, from face to face of the posts. Panels
///   on the face of the posts ([`Build::PanelsOnFace`]) count from end to end:
///   two meet at the middle of a line post, and a panel beside a gate or an end
///   post runs to that post's far edge.
/// - Places are distances from the start reference along the run.
#[derive(Clone, Debug, PartialEq)]
pub struct LayoutRequest {
    /// From the start reference to the end reference.
    pub length: Length,
    /// What stands between the posts.
    pub build: Build,
    /// Width of a line post along the run.
    pub line_post: Length,
    /// Width of a post that touches a gate, along the run.
    pub gate_post: Length,
    /// Width of a post that touches gates at their latches only; without it, such
    /// a post is a gate post.
    pub latch_post: Option<Length>,
    /// Clear width of a full section, or of the widest bay.
    pub full: Length,
    /// Shortest clear width of a cut section, or of a bay.
    pub min_cut: Length,
    /// What is cut off a panel is a whole multiple of this, such as the spacing
    /// of its pickets; without it, any width is cut. Bays don't ask for it.
    pub cut_step: Option<Length>,
    /// The gates; each is placed once.
    pub gates: Vec<GateRequest>,
    /// The end at the start reference.
    pub start: LayoutEnd,
    /// The end at the end reference.
    pub end: LayoutEnd,
    /// Where no hole may have its center; ends included.
    pub no_dig: Vec<Stretch>,
    /// Where a hole is dug by hand if it has its center there; ends included.
    pub hand_dig: Vec<Stretch>,
    /// Where only full sections and gates may stand; ends excluded.
    pub show: Vec<Stretch>,
    /// True if no cut section may stand next to a gate.
    pub guard: bool,
    /// The end where cuts should go if they must be somewhere.
    pub hide: Option<WhichEnd>,
    /// The step that all lengths snap to.
    pub lattice: Lattice,
    /// The wishes to serve first; those left out follow in the usual order.
    pub order: Vec<Wish>,
}

/// A gate to be placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GateRequest {
    /// Clear between its posts: leaf or leaves plus hinge, latch and center gaps.
    pub opening: Length,
    /// Where the middle of the opening may be at the earliest; without it, 6 in
    /// before `wish`.
    pub from: Option<Shift>,
    /// Where the middle of the opening may be at the latest; without it, 6 in
    /// after `wish`.
    pub to: Option<Shift>,
    /// Where the middle of the opening is wished; without it, half way between
    /// `from` and `to`.
    pub wish: Option<Shift>,
    /// The side of the opening with the latch, by the end of the run that it
    /// faces; without it, as for two leaves, both sides have hinges.
    pub latch: Option<WhichEnd>,
}

/// One end of a run.
///
/// A face is the distance from the reference to the inner face of the end post,
/// positive into the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayoutEnd {
    /// The least permitted face.
    pub face_min: Shift,
    /// The greatest permitted face.
    pub face_max: Shift,
    /// Where the face is wished.
    pub face_wish: Shift,
    /// Width of the end post along the run; zero where there is none.
    pub post: Length,
    /// True if this run digs the hole of the end post.
    pub hole: bool,
}

/// The start or the end of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WhichEnd {
    /// The end at the start reference.
    Start,
    /// The end at the end reference.
    End,
}

impl WhichEnd {
    /// Returns the other end.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Start => Self::End,
            Self::End => Self::Start,
        }
    }
}

impl LayoutEnd {
    /// An end whose face has one fixed place.
    #[must_use]
    pub const fn fixed(face: Shift, post: Length, hole: bool) -> Self {
        Self {
            face_min: face,
            face_max: face,
            face_wish: face,
            post,
            hole,
        }
    }
}

impl LayoutRequest {
    /// A run of panels with nothing in its way: no gates, no marks, sixteenths
    /// of an inch, the usual order of wishes. Set the fields that differ.
    #[must_use]
    pub const fn plain(
        length: Length,
        full: Length,
        min_cut: Length,
        line_post: Length,
        start: LayoutEnd,
        end: LayoutEnd,
    ) -> Self {
        Self {
            length,
            build: Build::Panels,
            line_post,
            gate_post: line_post,
            latch_post: None,
            full,
            min_cut,
            cut_step: None,
            gates: Vec::new(),
            start,
            end,
            no_dig: Vec::new(),
            hand_dig: Vec::new(),
            show: Vec::new(),
            guard: false,
            hide: None,
            lattice: Lattice::SIXTEENTH_INCH,
            order: Vec::new(),
        }
    }

    /// Returns the ranges that hold no step of the lattice, so that nothing can
    /// stand in them, each in words with what to do.
    #[must_use]
    pub fn ranges_without_a_step(&self) -> Vec<String> {
        let ends = [("start", &self.start), ("end", &self.end)];
        let faces = ends.map(|(name, end)| {
            let range = (end.face_min, end.face_max);
            (format!("{name}.face"), range)
        });
        let windows = self.gates.iter().enumerate().filter_map(|(i, gate)| {
            let range = (gate.from?, gate.to?);
            Some((format!("gates[{i}].window"), range))
        });
        let lattice = self.lattice;
        let empty = |from: Shift, to: Shift| from < to && lattice.above(from) > lattice.below(to);
        (faces.into_iter().chain(windows))
            .filter(|(_, (from, to))| empty(*from, *to))
            .map(|(field, (from, to))| {
                format!(
                    "`{field}` from {} in to {} in holds no step of {lattice}: widen it, give one fixed place, or take a finer lattice",
                    from.inches(),
                    to.inches()
                )
            })
            .collect()
    }

    /// Returns the pairs of gates that get in each other's way wherever their
    /// windows let them stand, by their numbers in the request.
    #[must_use]
    pub fn gates_in_the_way(&self) -> Vec<(usize, usize)> {
        let Ok(problem) = Problem::new(self) else {
            return Vec::new();
        };
        problem.gates_in_the_way()
    }
}
