//! Pieces sawn from panels: how few panels give all cut pieces of a job.
//!
//! The problem is bin packing. A piece takes its length and the kerf of one saw
//! cut, and a panel has its length and one kerf, since the last cut needs none.
//! Where each piece needs a factory end, a panel gives two at most.

use crate::length::Length;

/// The search for a proven answer stops after so many steps; job sizes of some
/// thirty pieces take a few thousand.
const MOST_STEPS: u32 = 200_000;

/// With more pieces nothing is searched: the plan is the best fit by falling
/// size, with its bound.
const MOST_PIECES: usize = 300;

/// The ten-thousandths of an inch that lengths are counted in: far below a saw.
const PARTS_PER_INCH: f64 = 10_000.0;

/// How panels of a product are cut.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cutting {
    /// The gap that a bracket leaves between a panel and a post, at either end: a
    /// piece is sawn shorter than its clear width by two of them.
    pub bracket: Length,
    /// What the saw takes.
    pub kerf: Length,
    /// Whether each piece needs an end as it left the factory, such as a rail
    /// that is notched or routed there.
    pub factory_end: bool,
    /// Whether what is left of one panel serves for another piece.
    pub reuse: bool,
    /// What is cut off is a whole multiple of this, such as the spacing of
    /// pickets; without it, any width.
    pub step: Option<Length>,
}

impl Cutting {
    /// Returns the length to saw for a clear width.
    #[must_use]
    pub fn saw_length(&self, clear: Length) -> Length {
        Length::saturating(clear.feet() - 2.0 * self.bracket.feet())
    }
}

/// Which pieces come from which panel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutPlan {
    /// For each panel its pieces, by their numbers in the list, longest first.
    pub panels: Vec<Vec<usize>>,
    /// No plan has fewer panels than this.
    pub least: usize,
}

impl CutPlan {
    /// Returns true if no plan has fewer panels.
    #[must_use]
    pub const fn is_proven(&self) -> bool {
        self.panels.len() == self.least
    }
}

/// A piece that no panel gives.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("piece {number} of {piece:.4} is longer than a panel of {panel:.4}: cut it from a longer panel, or lay it out shorter", number = .index + 1)]
pub struct PieceTooLong {
    /// The number of the piece, from 0.
    pub index: usize,
    /// Its length.
    pub piece: Length,
    /// The length of a panel.
    pub panel: Length,
}

/// Returns a plan with the fewest panels, or where that takes too long the best
/// one found with the least number that any plan could have.
///
/// # Errors
///
/// [`PieceTooLong`] if a piece does not fit a panel.
///
/// # Source
///
/// S. Martello and P. Toth, *Knapsack Problems* (Wiley 1990), chapter 8: the
/// search by decreasing pieces and the bound L2, from memory. With two pieces a
/// panel the longest goes with the shortest that fits, which is exact.
///
/// # Examples
///
/// ```
/// use fence_geom::{Cutting, Length, cut_plan};
///
/// let inches = Length::from_inches;
/// let pieces = [60.0, 50.0, 40.0, 30.0].map(inches);
/// let pieces = pieces.into_iter().collect::<Result<Vec<_>, _>>()?;
/// // 60 + 30 and 50 + 40 fit 92 in panels.
/// let plan = cut_plan(inches(92.0)?, &pieces, &Cutting { reuse: true, ..Cutting::default() })?;
/// assert_eq!(plan.panels, [[0, 3], [1, 2]]);
/// assert!(plan.is_proven());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn cut_plan(
    panel: Length,
    pieces: &[Length],
    cutting: &Cutting,
) -> Result<CutPlan, PieceTooLong> {
    let kerf = parts(cutting.kerf);
    let room = parts(panel) + kerf;
    let mut sizes = Vec::with_capacity(pieces.len());
    for (index, &piece) in pieces.iter().enumerate() {
        let size = parts(piece) + kerf;
        if size > room {
            return Err(PieceTooLong {
                index,
                piece,
                panel,
            });
        }
        sizes.push(Piece { index, size });
    }
    // Longest first; a stable sort keeps equals in the order given.
    sizes.sort_by_key(|piece| std::cmp::Reverse(piece.size));
    let (panels, least) = if !cutting.reuse {
        (
            sizes.iter().map(|&piece| vec![piece]).collect(),
            sizes.len(),
        )
    } else if cutting.factory_end {
        let paired = pairs(&sizes, room);
        let least = paired.len();
        (paired, least)
    } else {
        Search::new(&sizes, room).run()
    };
    Ok(CutPlan {
        panels: panels
            .into_iter()
            .map(|panel| panel.into_iter().map(|piece| piece.index).collect())
            .collect(),
        least,
    })
}

/// A piece with one kerf, in parts of an inch.
#[derive(Clone, Copy, Debug)]
struct Piece {
    index: usize,
    size: i64,
}

/// A panel and what is sawn from it.
type Panels = Vec<Vec<Piece>>;

/// The longest with the shortest, as long as the two fit.
fn pairs(sizes: &[Piece], room: i64) -> Panels {
    let mut panels = Panels::new();
    let mut left = sizes;
    while let [longest, rest @ ..] = left {
        match rest {
            [between @ .., shortest] if longest.size + shortest.size <= room => {
                panels.push(vec![*longest, *shortest]);
                left = between;
            }
            _ => {
                panels.push(vec![*longest]);
                left = rest;
            }
        }
    }
    panels
}

/// Branch and bound over the pieces by falling size.
struct Search<'a> {
    sizes: &'a [Piece],
    room: i64,
    least: usize,
    best: Panels,
    open: Vec<(i64, Vec<Piece>)>,
    steps: u32,
}

impl<'a> Search<'a> {
    fn new(sizes: &'a [Piece], room: i64) -> Self {
        Self {
            sizes,
            room,
            least: least_panels(sizes, room),
            best: best_fit(sizes, room),
            open: Vec::new(),
            steps: 0,
        }
    }

    fn run(mut self) -> (Panels, usize) {
        let total: i64 = self.sizes.iter().map(|piece| piece.size).sum();
        let searched = self.sizes.len() <= MOST_PIECES;
        if searched {
            self.place(self.sizes, total);
        }
        let proven = searched && self.steps < MOST_STEPS;
        let least = if proven { self.best.len() } else { self.least };
        (self.best, least)
    }

    /// Places the first of the pieces left in every way that could lead to fewer
    /// panels than the best plan has. `total` is the size of those left.
    fn place(&mut self, left: &[Piece], total: i64) {
        if self.best.len() <= self.least || self.steps >= MOST_STEPS {
            return;
        }
        self.steps += 1;
        let [piece, rest @ ..] = left else {
            // The bound below lets only better plans come here.
            self.best = self.open.iter().map(|(_, pieces)| pieces.clone()).collect();
            return;
        };
        let free: i64 = self.open.iter().map(|(free, _)| free).sum();
        let more = ceil_div((total - free).max(0), self.room);
        if self.open.len() + more >= self.best.len() {
            return;
        }
        let mut tried = Vec::new();
        for i in 0..self.open.len() {
            let Some(&(free, _)) = self.open.get(i) else {
                continue;
            };
            if free < piece.size || tried.contains(&free) {
                continue;
            }
            tried.push(free);
            self.put(i, *piece);
            self.place(rest, total - piece.size);
            self.take(i, *piece);
        }
        if self.open.len() + 1 < self.best.len() {
            self.open.push((self.room - piece.size, vec![*piece]));
            self.place(rest, total - piece.size);
            self.open.pop();
        }
    }

    fn put(&mut self, i: usize, piece: Piece) {
        if let Some((free, pieces)) = self.open.get_mut(i) {
            *free -= piece.size;
            pieces.push(piece);
        }
    }

    fn take(&mut self, i: usize, piece: Piece) {
        if let Some((free, pieces)) = self.open.get_mut(i) {
            *free += piece.size;
            pieces.pop();
        }
    }
}

/// Each piece by falling size to the panel it fills best.
fn best_fit(sizes: &[Piece], room: i64) -> Panels {
    let mut open: Vec<(i64, Vec<Piece>)> = Vec::new();
    for &piece in sizes {
        let fullest = (open.iter_mut())
            .filter(|(free, _)| *free >= piece.size)
            .min_by_key(|(free, _)| *free);
        match fullest {
            Some((free, pieces)) => {
                *free -= piece.size;
                pieces.push(piece);
            }
            None => open.push((room - piece.size, vec![piece])),
        }
    }
    open.into_iter().map(|(_, pieces)| pieces).collect()
}

/// The bound L2: for a limit, pieces longer than the room less the limit stand
/// alone, those over half the room one a panel, and what the latter leave takes
/// part of the others.
fn least_panels(sizes: &[Piece], room: i64) -> usize {
    let limits = sizes.iter().map(|piece| piece.size);
    let limits = limits.filter(|&size| 2 * size <= room).chain([0]);
    limits
        .map(|limit| {
            let (mut alone, mut over_half, mut beside, mut small) = (0, 0, 0, 0);
            for size in sizes.iter().map(|piece| piece.size) {
                if size > room - limit {
                    alone += 1;
                } else if 2 * size > room {
                    over_half += 1;
                    beside += room - size;
                } else if size >= limit {
                    small += size;
                }
            }
            alone + over_half + ceil_div((small - beside).max(0), room)
        })
        .max()
        .unwrap_or(0)
}

fn ceil_div(total: i64, room: i64) -> usize {
    let panels = (total + room - 1).checked_div(room).unwrap_or(0);
    usize::try_from(panels).unwrap_or(0)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "clamped to what lengths of panels can be"
)]
fn parts(length: Length) -> i64 {
    (length.inches() * PARTS_PER_INCH).round().clamp(0.0, 1e15) as i64
}
