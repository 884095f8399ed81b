//! The material list of a fence, and its difference to a list counted by hand.

use crate::length::Length;
use crate::length_print::{InchFraction, LengthStyle};
use crate::product::{Build, Per, PostKind, Product};
use crate::stock::{CutPlan, cut_plan};

/// What one run of fence was laid out with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunCount {
    /// The name of the run.
    pub name: String,
    /// From reference to reference.
    pub length: Length,
    /// Sections that take a whole panel or bay.
    pub full: u32,
    /// Clear widths of cut sections.
    pub cuts: Vec<Length>,
    /// Gates, each with its opening and number of leaves.
    pub gates: Vec<(Length, u32)>,
    /// The posts that this run sets, each with whether it stands in a hole: a
    /// corner post counts in the run that digs it, and a post on a wall bracket
    /// has no hole.
    pub posts: Vec<(PostKind, bool)>,
}

/// A material list.
#[derive(Clone, Debug, PartialEq)]
pub struct Takeoff {
    /// The items in the order of the list.
    pub lines: Vec<TakeoffLine>,
    /// Feet of fence along all runs, gates left out.
    pub fence: Length,
    /// Feet of gate openings.
    pub gates: Length,
    /// The panels that cut sections are sawn from.
    pub sawn: Vec<SawnPanel>,
    /// No saw plan takes fewer panels; the same number where the plan is proven.
    pub sawn_least: usize,
}

/// A panel and the pieces that are sawn from it.
#[derive(Clone, Debug, PartialEq)]
pub struct SawnPanel {
    /// The pieces, longest first.
    pub pieces: Vec<SawnPiece>,
}

/// A piece of a panel for a cut section.
#[derive(Clone, Debug, PartialEq)]
pub struct SawnPiece {
    /// The run of the section.
    pub run: String,
    /// The clear width of the section.
    pub clear: Length,
    /// The length to saw.
    pub saw: Length,
}

/// One item of a material list.
#[derive(Clone, Debug, PartialEq)]
pub struct TakeoffLine {
    /// What it is.
    pub item: String,
    /// The unit it is sold in.
    pub unit: &'static str,
    /// What the fence takes, in pieces or in parts of the unit.
    pub need: f64,
    /// What to order, in whole units.
    pub order: u64,
}

/// One line of the difference to a hand-written list.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// What it is.
    pub item: String,
    /// What this list orders; 0 for an item it does not have.
    pub computed: u64,
    /// What the hand-written list has; 0 for an item it does not have.
    pub by_hand: u64,
}

/// Counts the material of some runs of one product.
///
/// Cut sections are sawn from as few panels as the product allows, over all runs:
/// where its offcuts serve, by [`cut_plan`]; else each takes a panel of its own.
///
/// Source of the concrete rule: the hole less the post, by the yield of a bag,
/// with the spare share of the product on top; rounded up once, at the end.
#[must_use]
pub fn takeoff(runs: &[RunCount], product: &Product) -> Takeoff {
    let counts = Counts::of(runs);
    let (sawn, sawn_least) = sawn(runs, product);
    let mut lines = post_lines(&counts, product);
    lines.extend(section_lines(&counts, product, sawn.len()));
    lines.extend(gate_lines(runs));
    lines.extend(product.parts.iter().map(|part| {
        let units = match part.per {
            Per::Post => f64::from(count(counts.posts.len())),
            Per::Section => f64::from(counts.sections()),
            Per::Gate => f64::from(counts.gates),
            Per::Leaf => f64::from(counts.leaves),
            Per::Foot => counts.fence,
        };
        let need = units * part.count;
        TakeoffLine {
            item: part.name.clone(),
            unit: if part.pack > 1 { "pack" } else { "each" },
            need,
            order: whole(need / f64::from(part.pack.max(1))),
        }
    }));
    lines.extend(concrete_line(&counts, product));
    lines.retain(|line| line.need > 0.0);
    Takeoff {
        lines,
        fence: Length::saturating(counts.fence),
        gates: Length::saturating(counts.gate_feet),
        sawn,
        sawn_least,
    }
}

/// The panels that all cuts are sawn from, and the fewest there could be.
fn sawn(runs: &[RunCount], product: &Product) -> (Vec<SawnPanel>, usize) {
    if !matches!(product.build, Build::Panels | Build::PanelsOnFace) {
        return (Vec::new(), 0);
    }
    let cutting = &product.cutting;
    let pieces: Vec<SawnPiece> = (runs.iter())
        .flat_map(|run| run.cuts.iter().map(|&clear| (run.name.clone(), clear)))
        .map(|(run, clear)| SawnPiece {
            run,
            clear,
            saw: cutting.saw_length(clear),
        })
        .collect();
    let lengths: Vec<Length> = pieces.iter().map(|piece| piece.saw).collect();
    let panel = cutting.saw_length(product.full);
    // A cut wider than a panel is none that a layout gives: it takes one.
    let plan = cut_plan(panel, &lengths, cutting).unwrap_or_else(|_| CutPlan {
        panels: (0..pieces.len()).map(|piece| vec![piece]).collect(),
        least: pieces.len(),
    });
    let panel = |numbers: &Vec<usize>| SawnPanel {
        pieces: (numbers.iter())
            .filter_map(|&number| pieces.get(number).cloned())
            .collect(),
    };
    (plan.panels.iter().map(panel).collect(), plan.least)
}

/// Compares a material list with one counted by hand, item by item, by name
/// without regard to case; only lines that differ are returned.
#[must_use]
pub fn differences(takeoff: &Takeoff, by_hand: &[(String, u64)]) -> Vec<Difference> {
    let same = |a: &str, b: &str| a.trim().eq_ignore_ascii_case(b.trim());
    let ours = takeoff.lines.iter().map(|line| Difference {
        item: line.item.clone(),
        computed: line.order,
        by_hand: by_hand
            .iter()
            .filter(|(item, _)| same(item, &line.item))
            .map(|(_, count)| count)
            .sum(),
    });
    let only_by_hand = by_hand
        .iter()
        .filter(|(item, _)| !takeoff.lines.iter().any(|line| same(item, &line.item)))
        .map(|(item, count)| Difference {
            item: item.clone(),
            computed: 0,
            by_hand: *count,
        });
    ours.chain(only_by_hand)
        .filter(|line| line.computed != line.by_hand)
        .collect()
}

/// The sums over all runs.
#[derive(Default)]
struct Counts {
    /// Every post, with whether it stands in a hole.
    posts: Vec<(PostKind, bool)>,
    full: u32,
    cut: u32,
    gates: u32,
    leaves: u32,
    gate_feet: f64,
    fence: f64,
}

impl Counts {
    fn of(runs: &[RunCount]) -> Self {
        let mut counts = Self::default();
        for run in runs {
            counts.posts.extend(&run.posts);
            counts.full += run.full;
            counts.cut += count(run.cuts.len());
            counts.gates += count(run.gates.len());
            counts.leaves += run.gates.iter().map(|(_, leaves)| leaves).sum::<u32>();
            let openings: Length = run.gates.iter().map(|(opening, _)| *opening).sum();
            counts.gate_feet += openings.feet();
            counts.fence += run.length.minus(openings).feet().max(0.0);
        }
        counts
    }

    const fn sections(&self) -> u32 {
        self.full + self.cut
    }
}

/// A line for each kind that the product has; where it has none for a place, the post
/// counts with the kind that serves there.
fn post_lines(counts: &Counts, product: &Product) -> Vec<TakeoffLine> {
    let line = |kind: PostKind| {
        let places = counts.posts.iter().map(|(place, _)| place);
        let posts = places.filter(|place| product.posts.kind_for(**place) == kind);
        pieces(kind.name().to_owned(), count(posts.count()))
    };
    product.posts.kinds().map(line).collect()
}

fn section_lines(counts: &Counts, product: &Product, sawn: usize) -> Vec<TakeoffLine> {
    match product.build {
        Build::Panels | Build::PanelsOnFace => {
            vec![pieces("panel".to_owned(), counts.full + count(sawn))]
        }
        Build::Stick => vec![pieces("bay, built in place".to_owned(), counts.sections())],
        Build::Fabric => vec![TakeoffLine {
            item: "fabric".to_owned(),
            unit: "ft",
            need: counts.fence,
            order: whole(counts.fence),
        }],
    }
}

/// One line for each opening and number of leaves, widest first.
fn gate_lines(runs: &[RunCount]) -> Vec<TakeoffLine> {
    let mut gates: Vec<(Length, u32)> = runs.iter().flat_map(|run| run.gates.clone()).collect();
    gates.sort_by(|a, b| b.0.feet().total_cmp(&a.0.feet()).then(a.1.cmp(&b.1)));
    let mut lines: Vec<TakeoffLine> = Vec::new();
    for (opening, leaves) in gates {
        let kind = if leaves > 1 { "double gate" } else { "gate" };
        let width = opening.to_text(LengthStyle::Inches(InchFraction::Sixteenth));
        let item = format!("{kind}, {width} opening");
        match lines.last_mut() {
            Some(last) if last.item == item => {
                last.need += 1.0;
                last.order += 1;
            }
            _ => lines.push(pieces(item, 1)),
        }
    }
    lines
}

fn concrete_line(counts: &Counts, product: &Product) -> Option<TakeoffLine> {
    let concrete = product.concrete?;
    let volume: f64 = counts
        .posts
        .iter()
        .filter(|(_, hole)| *hole)
        .map(|(kind, _)| product.posts.of(*kind).concrete_cubic_feet())
        .sum();
    let bags = volume / concrete.yield_cubic_feet;
    Some(TakeoffLine {
        item: "concrete".to_owned(),
        unit: "bag",
        need: bags,
        order: whole(bags * (1.0 + concrete.spare)),
    })
}

fn pieces(item: String, count: u32) -> TakeoffLine {
    TakeoffLine {
        item,
        unit: "each",
        need: f64::from(count),
        order: u64::from(count),
    }
}

fn count(items: usize) -> u32 {
    u32::try_from(items).unwrap_or(u32::MAX)
}

/// The next whole number. Floating dust above a whole one orders no more.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to what a list can hold"
)]
fn whole(count: f64) -> u64 {
    (count - 1e-9).ceil().clamp(0.0, 1e15) as u64
}
