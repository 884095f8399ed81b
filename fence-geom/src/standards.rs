//! Defaults of the trade, each with its source and how firm that is.
//!
//! - **read**: seen in the publication named, or in the secondary text named
//!   with it.
//! - **from memory**: remembered, not read; check it before relying on it.
//! - **common practice, no source**: what the trade does, without a publication
//!   that says so.
//!
//! Local codes, the product's maker and the owner's surveyor go before any of
//! these: they are starting values, and each is an input where it is used.

use crate::angle::Angle;
use crate::length::Length;

/// Standard error of reading a tape: 1/8 in.
///
/// Status: common practice, no source.
pub const TAPE_READING: Length = Length::of_inches(1.0 / 8.0);

/// Standard error of the scale common to all readings of one tape: 1:5,000.
///
/// Source: a surveying textbook's section 4.3, "Taping equipment and methods",
/// p. 28, in a university library reader: a practiced crew tapes to between
/// 1:3,000 and 1:5,000. Status: read; edition not shown.
pub const TAPE_SCALE: f64 = 1.0 / 5_000.0;

/// Standard error of a corner that is taken as square, or measured by hand: half a
/// degree, 1 in in 10 ft.
///
/// Status: common practice, no source.
pub const CORNER_DEGREES: f64 = 0.5;

/// Standard error of a point set on a string or sighted between two others: 1/4 in.
///
/// Status: common practice, no source.
pub const ON_LINE: Length = Length::of_inches(1.0 / 4.0);

/// The longest tape a crew carries: 100 ft.
///
/// Status: common practice, no source.
pub const TAPE_LENGTH: Length = Length::of_feet(100.0);

/// The sharpest angle at which two tapes may meet: 30 degrees. The flattest is
/// [`TAPES_MEET_MOST`].
///
/// Status: common practice, no source.
pub const TAPES_MEET_LEAST: Angle = Angle::of_whole_degrees(30);

/// The flattest angle at which two tapes may meet: 150 degrees.
///
/// Status: common practice, no source.
pub const TAPES_MEET_MOST: Angle = Angle::of_whole_degrees(150);

/// Expansion of a steel tape for each degree Fahrenheit: 6.45 millionths.
///
/// Status: from memory, a figure usual in surveying textbooks; printed figures
/// run from 6.2 to 6.5 millionths.
pub const STEEL_TAPE_EXPANSION_PER_DEG_F: f64 = 6.45e-6;

/// The temperature at which a steel tape has its length: 68 °F (20 °C).
///
/// Source: U.S. Navy training manual "Engineering Aid Basics", taping
/// corrections. Status: read.
pub const STEEL_TAPE_STANDARD_DEG_F: f64 = 68.0;

/// The misclosure that no deed is blamed for: 0.05 ft.
///
/// Status: common practice, no source.
pub const MISCLOSURE_FLOOR: Length = Length::of_feet(0.05);

/// The fixed part of [`positional_precision`]: 0.07 ft, as printed; 2 cm exactly
/// would be 0.0656 ft.
pub const POSITIONAL_PRECISION_FIXED: Length = Length::of_feet(0.07);

/// The part of [`positional_precision`] that grows with the distance: 50 parts
/// in a million.
pub const POSITIONAL_PRECISION_SCALE: f64 = 50e-6;

/// Least distance of a hole's edge from a property pin: 3 in.
///
/// Status: common practice, no source.
pub const PIN_CLEARANCE: Length = Length::of_inches(3.0);

/// Distance from a property pin within which a hole is dug by hand and the pin
/// guarded: 12 in.
///
/// Status: common practice, no source.
pub const PIN_HAND_DIG: Length = Length::of_inches(12.0);

/// Tolerance zone of a marked utility where the state is not known: 24 in from
/// the outside edge of the line.
///
/// Most states say 18 in or 24 in, so this is the wider of the two; Michigan has
/// a caution zone of 48 in. Status: a choice made here from state summaries,
/// read. The one-call center says what holds.
pub const TOLERANCE_ZONE: Length = Length::of_inches(24.0);

/// Distance of posts inside the property line: 4 in, so that the concrete stays
/// inside; the footing's edge is to be checked as well.
///
/// Source: Chain Link Fence Manufacturers Institute, guide to installing a chain
/// link fence, 2009, steps 1-3. Status: read.
pub const INSIDE_OFFSET: Length = Length::of_inches(4.0);

/// The turn of a line from which a corner post is set: 10 degrees.
///
/// Source: Iowa Department of Transportation, Standard Specifications, section
/// 2519.03 A, April 2008. California's section 80 has 5 degrees for steel and 15
/// for wood. Status: read.
pub const CORNER_POST_TURN: Angle = Angle::of_whole_degrees(10);

/// How far a corner may be off a right angle and still take the post that is made for
/// one: 2 degrees.
///
/// Status: common practice, no source.
pub const SQUARE_CORNER_WITHIN: Angle = Angle::of_whole_degrees(2);

/// Widest spacing of chain link posts, center to center along the grade: 10 ft.
///
/// Source: ASTM F567-07, "Installation of Chain-Link Fence", 4.1. Status: read.
pub const CHAIN_LINK_SPACING: Length = Length::of_feet(10.0);

/// Least gap under a section: 1 in.
///
/// Source: fencing requirements of a state transportation department's
/// solicitation for right-of-way fence (a bid site's copy), which has 1 in to 6 in
/// under the fabric. Status: read, weak.
pub const GAP_UNDER_LEAST: Length = Length::of_inches(1.0);

/// Greatest gap wanted under a section, where nothing else is said: 4 in.
///
/// Status: common practice, no source. The document of [`GAP_UNDER_LEAST`] has
/// 6 in for highways, [`POOL_GAP_UNDER`] is less.
pub const GAP_UNDER_MOST: Length = Length::of_inches(4.0);

/// Greatest gap under a pool barrier over soil or grass: 2 in, measured on the
/// side away from the pool.
///
/// Source: City of Santa Paula, California, municipal code 154.09(B)(1) and the
/// like section of the City of Monrovia (American Legal Publishing copies).
/// Status: read. The building office says what holds.
pub const POOL_GAP_UNDER: Length = Length::of_inches(2.0);

/// Greatest gap under a pool barrier over a solid surface such as a concrete
/// deck: 4 in.
///
/// Source: as [`POOL_GAP_UNDER`]. Status: read.
pub const POOL_GAP_UNDER_SOLID: Length = Length::of_inches(4.0);

/// Usual spacing of wood posts, center to center: 8 ft.
///
/// Source: a fencing how-to page and a city's fence permit rules. Status: read,
/// weak.
pub const WOOD_SPACING: Length = Length::of_feet(8.0);

/// Face of a nominal 4x4 post: 3-1/2 in.
///
/// Source: Southern Pine Inspection Bureau, 2007, after Voluntary Product
/// Standard PS 20-05. Status: read.
pub const FACE_OF_4X4: Length = Length::of_inches(3.5);

/// Face of a nominal 6x6 post: 5-1/2 in, the least that grading allows.
///
/// Source: as [`FACE_OF_4X4`]. Status: read.
pub const FACE_OF_6X6: Length = Length::of_inches(5.5);

/// What the opening of a single chain link gate has over its frame: 3-3/4 in.
///
/// Source: Chain Link Fence Manufacturers Institute, guide to installing a chain
/// link fence, 2009, steps 1-3; measured inside face to inside face. Status:
/// read.
pub const CHAIN_LINK_SINGLE_GATE_GAPS: Length = Length::of_inches(3.75);

/// What the opening of a double chain link gate has over its two frames:
/// 5-1/2 in.
///
/// Source: as [`CHAIN_LINK_SINGLE_GATE_GAPS`]. Status: read.
pub const CHAIN_LINK_DOUBLE_GATE_GAPS: Length = Length::of_inches(5.5);

/// What the opening of a wood gate has over its leaf: 1-1/2 in.
///
/// Source: a wood fence supplier's glossary, "Gate opening". Status: read, weak.
pub const WOOD_GATE_GAPS: Length = Length::of_inches(1.5);

/// Cubic feet of concrete from a pound of bagged mix: 0.0075, so 0.60 from a bag
/// of 80 lb.
///
/// Source: civil engineering notes on the yield of bags that agree with each
/// other. Status: read, weak.
pub const CONCRETE_CUBIC_FEET_PER_POUND: f64 = 0.0075;

/// Spare concrete for waste and uneven ground: a tenth.
///
/// Source: as [`CONCRETE_CUBIC_FEET_PER_POUND`]. Status: read, weak.
pub const CONCRETE_SPARE: f64 = 0.1;

/// The height above which a chain link post goes deeper than 24 in: 4 ft.
const CHAIN_LINK_LOW_HEIGHT: f64 = 4.0;

/// What a wood post is set in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Backfill {
    /// Tamped soil.
    Soil,
    /// Concrete.
    Concrete,
}

/// Returns the relative positional precision that an ALTA/NSPS survey may show
/// between neighboring corners `distance` apart, at 95 %: 0.07 ft plus 50 parts
/// in a million. Shown as a reference, it is no standard error.
///
/// Source: American Land Title Association and National Society of Professional
/// Surveyors, "Minimum Standard Detail Requirements for ALTA/NSPS Land Title
/// Surveys", effective February 23, 2021, 3.E. Status: read.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, standards};
///
/// let side = Length::from_feet(200.0)?;
/// assert!((standards::positional_precision(side).feet() - 0.08).abs() < 1e-12);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn positional_precision(distance: Length) -> Length {
    let growing = Length::saturating(distance.feet() * POSITIONAL_PRECISION_SCALE);
    POSITIONAL_PRECISION_FIXED + growing
}

/// Returns the diameter of the hole for a chain link post `across` its widest:
/// four times that up to 4 in, three times above.
///
/// Source: ASTM F567-07, "Installation of Chain-Link Fence", 5.1, for normal
/// conditions. Status: read.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, standards};
///
/// let post = Length::from_inches(2.5)?;
/// assert_eq!(standards::chain_link_hole(post).inches(), 10.0);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn chain_link_hole(across: Length) -> Length {
    let times = if across.inches() <= 4.0 { 4.0 } else { 3.0 };
    Length::saturating(across.feet() * times)
}

/// Returns the least depth of the hole for a chain link post of a fence of the
/// given height: 24 in, and 3 in more for each foot above 4 ft. Frost may ask
/// for more.
///
/// Source: ASTM F567-07, "Installation of Chain-Link Fence", 5.1. Status: read.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, standards};
///
/// let fence = Length::from_feet(6.0)?;
/// assert_eq!(standards::chain_link_hole_depth(fence).inches(), 30.0);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn chain_link_hole_depth(fence_height: Length) -> Length {
    let above = (fence_height.feet() - CHAIN_LINK_LOW_HEIGHT).max(0.0);
    Length::saturating(2.0 + 0.25 * above)
}

/// Returns the diameter of the hole for a wood post: twice its face in tamped
/// soil, three times in concrete.
///
/// Source: "Fence post specifications", a home-building journalist's column.
/// Status: read, weak.
///
/// # Examples
///
/// ```
/// use fence_geom::standards::{self, Backfill};
///
/// let hole = standards::wood_hole(standards::FACE_OF_4X4, Backfill::Concrete);
/// assert_eq!(hole.inches(), 10.5);
/// ```
#[must_use]
pub fn wood_hole(face: Length, backfill: Backfill) -> Length {
    let times = match backfill {
        Backfill::Soil => 2.0,
        Backfill::Concrete => 3.0,
    };
    Length::saturating(face.feet() * times)
}

/// Returns how much of a wood post of the given whole length goes into the
/// ground: a third, and 24 in at least. Frost may ask for more.
///
/// Source: as [`wood_hole`] for the third, read, weak; the 24 in are common
/// practice, no source.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, standards};
///
/// let post = Length::from_feet(9.0)?;
/// assert_eq!(standards::wood_buried(post).feet(), 3.0);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn wood_buried(post: Length) -> Length {
    Length::saturating((post.feet() / 3.0).max(2.0))
}
