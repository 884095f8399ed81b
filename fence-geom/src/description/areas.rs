//! Areas, as a description states them.

use crate::length::{Area, METERS_PER_FOOT, SQUARE_FEET_PER_ACRE};
use crate::units::LengthUnit;

use super::distances::Units;
use super::lexer::{Kind, Tokens};
use super::numbers::{Count, count};

/// Square meters in a hectare.
const SQUARE_METERS_PER_HECTARE: f64 = 10_000.0;

/// Perches in a rood, and roods in an acre.
///
/// Source: Weights and Measures Act 1985 (United Kingdom), Schedule 1, Part VI: a
/// rood is 1210 square yards; from memory.
const ROODS_PER_ACRE: f64 = 4.0;

/// Square perches, or rods, in an acre.
///
/// Source: NIST Handbook 44, Appendix C, "Units of area": 160 square rods in an
/// acre.
const PERCHES_PER_ACRE: f64 = 160.0;

/// An area and how finely it was written, in parts of itself.
struct Stated {
    area: Area,
    fineness: f64,
    next: usize,
}

/// The area that tokens `from..to` state. Where it is stated in two units, the
/// one with more figures counts.
pub(super) fn stated_area(
    tokens: &Tokens<'_>,
    from: usize,
    to: usize,
    units: &Units,
) -> Option<Area> {
    let mut finest: Option<Stated> = None;
    let mut i = from;
    while i < to {
        let Some(stated) = area(tokens, i, units) else {
            i += 1;
            continue;
        };
        i = stated.next.max(i + 1);
        if finest
            .as_ref()
            .is_none_or(|other| stated.fineness < other.fineness)
        {
            finest = Some(stated);
        }
    }
    finest.map(|stated| stated.area)
}

fn area(tokens: &Tokens<'_>, i: usize, units: &Units) -> Option<Stated> {
    let first = count(tokens, i)?;
    let (mut square_feet, mut next) = unit_of_area(tokens, &first, units)?;
    let mut last = square_feet / first.value.max(f64::MIN_POSITIVE) * first.half;
    // "3 acres, 2 roods and 15 perches".
    while let Some((part, half, end)) = smaller(tokens, next, units) {
        square_feet += part;
        last = half;
        next = end;
    }
    Some(Stated {
        area: Area::from_square_feet(square_feet).ok()?,
        fineness: last / square_feet.max(f64::MIN_POSITIVE),
        next,
    })
}

fn smaller(tokens: &Tokens<'_>, i: usize, units: &Units) -> Option<(f64, f64, usize)> {
    let mut at = tokens.past(i, Kind::Comma);
    if tokens.word(at) == "and" {
        at += 1;
    }
    let count = count(tokens, at)?;
    let foot = units.foot.international_feet();
    let acre = SQUARE_FEET_PER_ACRE * foot * foot;
    let size = match tokens.word(count.next) {
        "rood" => acre / ROODS_PER_ACRE,
        "perch" | "pole" | "rod" => acre / PERCHES_PER_ACRE,
        _ => return None,
    };
    Some((count.value * size, count.half * size, count.next + 1))
}

/// A count of a unit of area, in square feet.
fn unit_of_area(tokens: &Tokens<'_>, count: &Count, units: &Units) -> Option<(f64, usize)> {
    let foot = units.foot.international_feet();
    let next = count.next;
    let size = match tokens.word(next) {
        "acre" => SQUARE_FEET_PER_ACRE * foot * foot,
        "rood" => SQUARE_FEET_PER_ACRE * foot * foot / ROODS_PER_ACRE,
        "hectare" => SQUARE_METERS_PER_HECTARE * METERS_PER_FOOT.powi(-2),
        "square" => {
            let at = tokens.past(next + 1, Kind::Period);
            let side = square_side(tokens.word(at), units)?;
            return Some((count.value * side * side, at + 1));
        }
        _ => return None,
    };
    Some((count.value * size, next + 1))
}

/// The side of a square unit, in feet.
fn square_side(word: &str, units: &Units) -> Option<f64> {
    let unit = match word {
        "foot" | "feet" => LengthUnit::Foot(units.foot),
        "yard" => LengthUnit::Yard,
        "meter" | "m" => LengthUnit::Meter,
        "chain" => LengthUnit::Chain(units.chain_foot),
        "rod" | "pole" | "perch" => LengthUnit::Rod(units.chain_foot),
        "vara" => LengthUnit::Vara(units.vara),
        "mile" => LengthUnit::Mile(units.foot),
        _ => return None,
    };
    Some(unit.feet())
}
