//! A stated area against the computed one, and what may have been confused where
//! they differ.

use crate::length::{Area, METERS_PER_FOOT, SQUARE_FEET_PER_ACRE};
use crate::point::Displacement;
use crate::ring::{clockwise_area, clockwise_segments};
use crate::traverse::{Traverse, sides_of};

/// How near a confusion must come to the stated area, as a share of it, to be
/// named: deeds state areas to three or four figures.
const NAMED_SHARE: f64 = 0.001;

/// The units that areas are stated in, in square feet.
const UNITS: [(AreaUnit, f64); 7] = [
    (AreaUnit::Acre, SQUARE_FEET_PER_ACRE),
    (AreaUnit::SquareFoot, 1.0),
    (AreaUnit::SquareYard, 9.0),
    (AreaUnit::SquareChain, 4_356.0),
    (AreaUnit::SquareRod, 272.25),
    (
        AreaUnit::SquareMeter,
        1.0 / (METERS_PER_FOOT * METERS_PER_FOOT),
    ),
    (
        AreaUnit::Hectare,
        10_000.0 / (METERS_PER_FOOT * METERS_PER_FOOT),
    ),
];

/// A stated area beside the computed one.
#[derive(Clone, Debug, PartialEq)]
pub struct AreaCheck {
    /// What the paper states.
    pub stated: Area,
    /// What the calls enclose.
    pub computed: Area,
    /// Stated over computed, less one.
    pub share_off: f64,
    /// True if they differ by no more than was allowed.
    pub agrees: bool,
    /// The confusions that would explain the stated area, the nearest first; none
    /// where it agrees.
    pub confusions: Vec<AreaConfusion>,
}

/// A known way to a wrong area.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum AreaConfusion {
    /// The areas between the arcs and their chords were added instead of taken
    /// off, or the other way round.
    SegmentsReversed,
    /// The arcs were taken for their chords.
    SegmentsLeftOut,
    /// The length was multiplied by the width of a figure that is no rectangle.
    LengthByWidth,
    /// A sum of cross products was not halved.
    NotHalved,
    /// A sum of cross products was halved twice.
    HalvedTwice,
    /// The figure is right in one unit, and another one was written.
    Unit {
        /// The unit that fits.
        is: AreaUnit,
        /// The unit it was taken for.
        taken_for: AreaUnit,
    },
}

/// A unit of area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum AreaUnit {
    /// 43,560 square feet.
    Acre,
    /// A square foot.
    SquareFoot,
    /// 9 square feet.
    SquareYard,
    /// A tenth of an acre.
    SquareChain,
    /// A square rod, pole or perch: 272-1/4 square feet.
    SquareRod,
    /// A square meter.
    SquareMeter,
    /// 10,000 square meters.
    Hectare,
}

/// Compares a stated area with that of a traverse. They agree if they differ by no
/// more than `allowed`; otherwise known confusions are tried, and those that come as
/// near, or within a thousandth, are named.
///
/// A good area does not prove closure, nor closure the area.
///
/// # Examples
///
/// ```
/// use fence_geom::{Area, AreaConfusion, AreaUnit, check_area, read_call_table, traverse};
///
/// let square = traverse(&read_call_table("0 660\n90 660\n180 660\n270 660\n")?.into_deed()?);
/// let check = check_area(&square, Area::from_square_feet(100.0 * 43_560.0)?, Area::default());
/// assert!(!check.agrees);
/// let is = AreaUnit::SquareChain;
/// let taken_for = AreaUnit::Acre;
/// assert_eq!(check.confusions, [AreaConfusion::Unit { is, taken_for }]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn check_area(traverse: &Traverse, stated: Area, allowed: Area) -> AreaCheck {
    let computed = traverse.area();
    let off = |area: f64| (area - stated.square_feet()).abs();
    let agrees = off(computed.square_feet()) <= allowed.square_feet();
    let near = allowed
        .square_feet()
        .max(NAMED_SHARE * stated.square_feet());
    let mut found: Vec<(f64, AreaConfusion)> = if agrees {
        Vec::new()
    } else {
        areas_by_confusion(traverse)
            .into_iter()
            .map(|(area, confusion)| (off(area), confusion))
            .filter(|(off, _)| *off <= near)
            .collect()
    };
    found.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    AreaCheck {
        stated,
        computed,
        share_off: stated.square_feet() / computed.square_feet() - 1.0,
        agrees,
        confusions: found.into_iter().map(|(_, confusion)| confusion).collect(),
    }
}

/// The area, in square feet, that each confusion would have given.
fn areas_by_confusion(traverse: &Traverse) -> Vec<(f64, AreaConfusion)> {
    let sides = sides_of(traverse.courses());
    let whole = clockwise_area(traverse.corners(), &sides);
    let segments = clockwise_segments(traverse.corners(), &sides);
    let area = whole.abs();
    let mut found = vec![
        (2.0 * area, AreaConfusion::NotHalved),
        (area / 2.0, AreaConfusion::HalvedTwice),
    ];
    if segments.abs() > 0.0 {
        let straight = whole - segments;
        found.push(((straight - segments).abs(), AreaConfusion::SegmentsReversed));
        found.push((straight.abs(), AreaConfusion::SegmentsLeftOut));
    }
    let products = lengths_by_widths(traverse);
    found.extend(products.map(|product| (product, AreaConfusion::LengthByWidth)));
    for (is, is_feet) in UNITS {
        for (taken_for, taken_feet) in UNITS {
            if is != taken_for {
                let figure = area / is_feet;
                found.push((figure * taken_feet, AreaConfusion::Unit { is, taken_for }));
            }
        }
    }
    found
}

/// The products that pass for length by width: of neighboring sides, and of the
/// means of opposite ones, of four; and of the extents along and across the first
/// course.
fn lengths_by_widths(traverse: &Traverse) -> impl Iterator<Item = f64> {
    let lengths: Vec<f64> = traverse
        .courses()
        .iter()
        .map(|course| course.distance().feet())
        .collect();
    let mut products = Vec::new();
    if let [a, b, c, d] = *lengths.as_slice() {
        products.extend([a * b, b * c, c * d, d * a, (a + c) * (b + d) / 4.0]);
    }
    let axis = traverse.courses().first().map(|course| course.way);
    if let Some(along) = axis.and_then(Displacement::unit) {
        let extent = |axis: Displacement| {
            let origin = traverse.end();
            let places = traverse
                .corners()
                .iter()
                .map(|it| (it.at - origin).dot(axis));
            let (low, high) = places.fold((f64::MAX, f64::MIN), |(low, high), place| {
                (low.min(place), high.max(place))
            });
            high - low
        };
        products.push(extent(along) * extent(along.turned_right()));
    }
    products.into_iter()
}

impl std::fmt::Display for AreaConfusion {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::SegmentsReversed => f.write_str(
                "the areas between arcs and chords were added instead of taken off, or the other way round",
            ),
            Self::SegmentsLeftOut => f.write_str("the curves were taken for their chords"),
            Self::LengthByWidth => {
                f.write_str("length was multiplied by width, and the figure is no rectangle")
            }
            Self::NotHalved => f.write_str("the double area was not halved"),
            Self::HalvedTwice => f.write_str("the area was halved once too often"),
            Self::Unit { is, taken_for } => {
                write!(f, "the figure is in {is} and was written as {taken_for}")
            }
        }
    }
}

impl std::fmt::Display for AreaUnit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Acre => "acres",
            Self::SquareFoot => "square feet",
            Self::SquareYard => "square yards",
            Self::SquareChain => "square chains",
            Self::SquareRod => "square rods",
            Self::SquareMeter => "square meters",
            Self::Hectare => "hectares",
        })
    }
}
