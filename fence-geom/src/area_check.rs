//! A stated area against the computed one, and what may have been confused where
//! they differ.

use crate::length::{Area, Length, METERS_PER_FOOT, SQUARE_FEET_PER_ACRE};
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
    let mut check = compare(stated, traverse.area(), allowed);
    if !check.agrees {
        let off = |area: f64| (area - stated.square_feet()).abs();
        let near = allowed
            .square_feet()
            .max(NAMED_SHARE * stated.square_feet());
        let mut found: Vec<(f64, AreaConfusion)> = areas_by_confusion(traverse)
            .into_iter()
            .map(|(area, confusion)| (off(area), confusion))
            .filter(|(off, _)| *off <= near)
            .collect();
        found.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        check.confusions = found.into_iter().map(|(_, confusion)| confusion).collect();
    }
    check
}

/// Compares a stated area with that of a strip of the given width along an open
/// traverse, whose length may be off by `limit`. They agree if that and the last digit
/// of the stated area explain the difference.
///
/// # Examples
///
/// ```
/// use fence_geom::{Area, Length, check_strip_area, read_call_table, traverse};
///
/// let line = traverse(&read_call_table("90 400 to B\n45 100 to C\n")?.into_deed()?);
/// let stated = Area::from_square_feet(10_000.0)?;
/// let check = check_strip_area(&line, Length::from_feet(20.0)?, stated, Length::ZERO);
/// assert!(check.agrees);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn check_strip_area(
    traverse: &Traverse,
    width: Length,
    stated: Area,
    limit: Length,
) -> AreaCheck {
    let digit = half_last_digit_of_area(stated.square_feet());
    let allowed = Area::saturating(digit + limit.feet() * width.feet());
    compare(stated, strip_area(traverse, width), allowed)
}

/// Returns the area of a strip of the given width along an open traverse, square at
/// both ends: length by width, since at each bend, and along each arc, one side is
/// longer by what the other is shorter.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, read_call_table, strip_area, traverse};
///
/// let line = traverse(&read_call_table("90 400 to B\n45 100 to C\n")?.into_deed()?);
/// assert_eq!(strip_area(&line, Length::from_feet(20.0)?).square_feet(), 10_000.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn strip_area(traverse: &Traverse, width: Length) -> Area {
    Area::saturating(traverse.closure().perimeter().feet() * width.feet())
}

/// Returns how wide a strip along an open traverse is to have a stated area.
///
/// # Examples
///
/// ```
/// use fence_geom::{Area, read_call_table, strip_width, traverse};
///
/// let line = traverse(&read_call_table("90 400 to B\n45 100 to C\n")?.into_deed()?);
/// let stated = Area::from_square_feet(10_000.0)?;
/// assert_eq!(strip_width(&line, stated).feet(), 20.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn strip_width(traverse: &Traverse, area: Area) -> Length {
    Length::saturating(area.square_feet() / traverse.closure().perimeter().feet())
}

/// Returns how much a stated area may be off the computed one and still agree: as
/// finely as it is written, and as corners may lie in a tract of this perimeter
/// that may miss by `limit`.
///
/// # Examples
///
/// ```
/// use fence_geom::{Area, Length, area_left_open};
///
/// // Half of the last digit of 4,720 sq ft, and a corner moved by 0.05 ft.
/// let stated = Area::from_square_feet(4_720.0)?;
/// let open = area_left_open(stated, Length::from_feet(0.05)?, Length::from_feet(520.0)?);
/// assert!((open.square_feet() - 7.0).abs() < 1e-9);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn area_left_open(stated: Area, limit: Length, perimeter: Length) -> Area {
    // A corner that moves by the limit sweeps half of that by the diagonal between
    // its neighbors, and no diagonal is longer than half the way round.
    let swept = limit.feet() * perimeter.feet() / 4.0;
    Area::saturating(half_last_digit_of_area(stated.square_feet()) + swept)
}

/// Half of the last digit of an area, in square feet: of the unit in which it has
/// the fewest digits.
fn half_last_digit_of_area(square_feet: f64) -> f64 {
    let hectare = 10_000.0 / (METERS_PER_FOOT * METERS_PER_FOOT);
    [SQUARE_FEET_PER_ACRE, 1.0, hectare]
        .into_iter()
        .flat_map(|unit| (0..=4).map(move |decimals| (unit, 10_f64.powi(decimals))))
        .filter(|(unit, scale)| {
            let count = square_feet / unit * scale;
            (count - count.round()).abs() < 1e-6 * count.max(1.0).sqrt()
        })
        .min_by(|(a, p), (b, q)| (p / a).total_cmp(&(q / b)))
        .map_or(0.0, |(unit, scale)| unit / scale / 2.0)
}

fn compare(stated: Area, computed: Area, allowed: Area) -> AreaCheck {
    let off = (computed.square_feet() - stated.square_feet()).abs();
    AreaCheck {
        stated,
        computed,
        share_off: stated.square_feet() / computed.square_feet() - 1.0,
        agrees: off <= allowed.square_feet(),
        confusions: Vec::new(),
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

#[cfg(test)]
mod tests;
