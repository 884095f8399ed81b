//! Distances: a number and its unit, in one part or two, said once or twice.

use std::ops::Range;

use crate::length::Length;
use crate::units::{FootKind, LengthUnit, Vara};

use super::bearings::Found;
use super::lexer::{Kind, Tokens};
use super::numbers::{Count, count};

/// A distance as read.
#[derive(Clone, Debug)]
pub(super) struct DistanceRead {
    pub(super) length: Length,
    /// Half of its last digit.
    pub(super) half: Length,
    pub(super) unit: LengthUnit,
    /// "foot" where "feet" would be a distance: a word such as wide follows.
    pub(super) singular: bool,
    pub(super) in_words: bool,
    pub(super) assumed: Vec<String>,
    pub(super) next: usize,
}

/// What the units of a text mean, and which was used last.
#[derive(Clone, Copy, Debug)]
pub(super) struct Units {
    pub(super) foot: FootKind,
    pub(super) chain_foot: FootKind,
    pub(super) vara: Vara,
    /// The unit of the distance before.
    pub(super) last: Option<LengthUnit>,
}

/// A count of one unit.
struct Part {
    count: Count,
    unit: LengthUnit,
    singular: bool,
    about: bool,
    next: usize,
}

/// How far apart two figures for one distance may be: half an inch and a hair,
/// because the second one may be rounded to the inch.
const PAIR_TOLERANCE_FEET: f64 = 0.042;

/// A number without a unit from here up is rather an angle without its signs.
const LARGEST_BARE: f64 = 30_000.0;

/// Reads a distance at token `i`. A number without a unit is one only where
/// `bare` says that a distance must stand here.
pub(super) fn distance(
    tokens: &Tokens<'_>,
    i: usize,
    units: &Units,
    bare: bool,
) -> Found<DistanceRead> {
    read(tokens, i, units, bare, true)
}

/// As [`distance`]; `again` allows the same distance in parentheses behind it. It
/// is not allowed inside these, so that nothing nests.
fn read(
    tokens: &Tokens<'_>,
    i: usize,
    units: &Units,
    bare: bool,
    again: bool,
) -> Found<DistanceRead> {
    let Some(count) = count(tokens, i) else {
        return Found::Nothing;
    };
    if is_broken(tokens, &count) {
        let span = i..count.next + 1;
        return Found::Bad(span, "this number can't be read".to_owned());
    }
    let (count, about) = without_plus(tokens, count);
    let Some((unit, next, singular)) = unit(tokens, count.next, units) else {
        return if bare {
            without_unit(tokens, i, count, units, again)
        } else {
            Found::Nothing
        };
    };
    let first = Part {
        count,
        unit,
        singular,
        about,
        next,
    };
    made(tokens, i, first, units, again)
}

/// A number run into another, or with a sign that stands for a lost fraction.
fn is_broken(tokens: &Tokens<'_>, count: &Count) -> bool {
    match tokens.kind(count.next) {
        Kind::Other => tokens.words(count.next, count.next + 1) == "%",
        Kind::Number { .. } => !tokens.spaced(count.next),
        Kind::Period => {
            !tokens.spaced(count.next)
                && !tokens.spaced(count.next + 1)
                && matches!(tokens.kind(count.next + 1), Kind::Number { .. })
        }
        _ => false,
    }
}

/// Takes `+`, `+/-` or `±` off, which say "more or less".
fn without_plus(tokens: &Tokens<'_>, count: Count) -> (Count, bool) {
    let at = count.next;
    let next = match tokens.kind(at) {
        Kind::PlusMinus => at + 1,
        Kind::Plus if tokens.kind(at + 1) == Kind::Slash => tokens.past(at + 2, Kind::Dash),
        Kind::Plus if !matches!(tokens.kind(at + 1), Kind::Number { .. }) => at + 1,
        _ => return (count, false),
    };
    (Count { next, ..count }, true)
}

fn made(
    tokens: &Tokens<'_>,
    i: usize,
    first: Part,
    units: &Units,
    again: bool,
) -> Found<DistanceRead> {
    let mut feet = first.unit.in_feet(first.count.value);
    let mut half = first.unit.in_feet(first.count.half);
    let mut assumed: Vec<String> = first.count.assumed.iter().cloned().collect();
    let mut next = first.next;
    note_unit(tokens, i..next, first.unit, &mut assumed);
    if let Some((second, end)) = second_part(tokens, &first, units) {
        feet += second.unit.in_feet(second.count.value);
        half = second.unit.in_feet(second.count.half);
        next = end;
    }
    let mut read = Twice {
        feet,
        half,
        in_words: first.count.in_words,
        next,
    };
    if again && let Some(sentence) = said_again(tokens, i, &first, &mut read, units) {
        assumed.push(sentence);
    }
    let (next, said) = more_or_less(tokens, read.next);
    if first.about || said {
        assumed.push("\"more or less\" taken as exact".to_owned());
    }
    match Length::from_feet(read.feet) {
        Ok(length) => Found::Read(DistanceRead {
            length,
            half: Length::saturating(read.half),
            unit: first.unit,
            singular: first.singular,
            in_words: read.in_words,
            assumed,
            next,
        }),
        Err(error) => Found::Bad(i..next, error.to_string()),
    }
}

/// A distance that may be said a second time.
struct Twice {
    feet: f64,
    half: f64,
    in_words: bool,
    next: usize,
}

fn note_unit(tokens: &Tokens<'_>, at: Range<usize>, unit: LengthUnit, assumed: &mut Vec<String>) {
    let is_open = matches!(
        unit,
        LengthUnit::Chain(_)
            | LengthUnit::Link(_)
            | LengthUnit::Rod(_)
            | LengthUnit::Mile(_)
            | LengthUnit::Vara(_)
    );
    if is_open {
        assumed.push(format!(
            "{:?} taken as {}",
            tokens.words(at.start, at.end),
            unit.plural()
        ));
    }
}

/// A smaller unit behind the first: links, inches, or a fraction "of a perch".
fn second_part(tokens: &Tokens<'_>, first: &Part, units: &Units) -> Option<(Part, usize)> {
    let joined = match tokens.kind(first.next) {
        Kind::Word("and") | Kind::Dash | Kind::Plus => first.next + 1,
        Kind::Comma if matches!(first.unit, LengthUnit::Chain(_)) => {
            let next = first.next + 1;
            if tokens.word(next) == "and" {
                next + 1
            } else {
                next
            }
        }
        _ => first.next,
    };
    let count = count(tokens, joined)?;
    if count.value < 1.0
        && tokens.word(count.next) == "of"
        && matches!(tokens.word(count.next + 1), "a" | "an" | "one")
    {
        let (unit, next, singular) = unit(tokens, count.next + 2, units)?;
        return (unit == first.unit).then_some((
            Part {
                count,
                unit,
                singular,
                about: false,
                next,
            },
            next,
        ));
    }
    // "one hundred and four feet and thirty-seven hundredths"
    if count.value < 1.0
        && !count.whole
        && first.count.whole
        && tokens.word(first.next) == "and"
        && self::unit(tokens, count.next, units).is_none()
    {
        let next = count.next;
        let same = Part {
            count,
            unit: first.unit,
            singular: false,
            about: false,
            next,
        };
        return Some((same, next));
    }
    let (unit, next, singular) = match tokens.word(count.next) {
        "in" if matches!(first.unit, LengthUnit::Foot(_)) => (
            LengthUnit::Inch,
            tokens.past(count.next + 1, Kind::Period),
            false,
        ),
        _ => unit(tokens, count.next, units)?,
    };
    let many = first.unit.nominal_ratio(unit);
    let is_part = first.count.whole
        && first.unit.is_metric() == unit.is_metric()
        && many > 1.5
        && count.value < many
        && !matches!(
            (first.unit, unit),
            (LengthUnit::Mile(_) | LengthUnit::Chain(_), LengthUnit::Inch)
        );
    is_part.then_some((
        Part {
            count,
            unit,
            singular,
            about: false,
            next,
        },
        next,
    ))
}

/// The same distance once more in parentheses: what was assumed where the two
/// don't agree.
fn said_again(
    tokens: &Tokens<'_>,
    i: usize,
    first: &Part,
    read: &mut Twice,
    units: &Units,
) -> Option<String> {
    if tokens.kind(read.next) != Kind::Open {
        return None;
    }
    let inside = Units {
        last: Some(first.unit),
        ..*units
    };
    let Found::Read(second) = self::read(tokens, read.next + 1, &inside, true, false) else {
        return None;
    };
    if tokens.kind(second.next) != Kind::Close {
        return None;
    }
    let start = read.next;
    read.next = second.next + 1;
    let gap = (second.length.feet() - read.feet).abs();
    let written = tokens.words(i, read.next);
    if gap <= PAIR_TOLERANCE_FEET {
        return None;
    }
    let shifted = read.feet / 1000.0;
    let has_comma = tokens.words(i, start).contains(',');
    if has_comma && (second.length.feet() - shifted).abs() <= PAIR_TOLERANCE_FEET {
        read.feet = shifted;
        read.half /= 1000.0;
        return Some(format!(
            "{written:?} taken with its first comma as a decimal point, as its second figure says"
        ));
    }
    if second.in_words && !read.in_words {
        read.feet = second.length.feet();
        read.half = second.half.feet();
        read.in_words = true;
        return Some(format!(
            "the figures of {written:?} differ by {gap:.2} ft: the words are used, which by common practice hold"
        ));
    }
    let which = if read.in_words {
        "words are"
    } else {
        "first is"
    };
    Some(format!(
        "the two figures of {written:?} differ by {gap:.2} ft: the {which} used; find out which was meant"
    ))
}

/// Past "more or less", and whether it is there.
fn more_or_less(tokens: &Tokens<'_>, at: usize) -> (usize, bool) {
    let start = tokens.past(tokens.past(at, Kind::Comma), Kind::Open);
    let said = tokens.word(start) == "more"
        && tokens.word(start + 1) == "or"
        && tokens.word(start + 2) == "less";
    if said {
        (tokens.past(start + 3, Kind::Close), true)
    } else if tokens.kind(at) == Kind::PlusMinus {
        (at + 1, true)
    } else if tokens.kind(at) == Kind::Plus && tokens.kind(at + 1) == Kind::Slash {
        (tokens.past(at + 2, Kind::Dash), true)
    } else {
        (at, false)
    }
}

/// A number where a distance must stand: in the unit of the one before, or feet.
fn without_unit(
    tokens: &Tokens<'_>,
    i: usize,
    count: Count,
    units: &Units,
    again: bool,
) -> Found<DistanceRead> {
    let span = i..count.next + 1;
    if count.value >= LARGEST_BARE {
        return Found::Bad(span, "this number is too large to be a distance".to_owned());
    }
    match tokens.kind(count.next) {
        Kind::Word("square" | "acre" | "hectare" | "degree" | "north" | "south") => {
            return Found::Nothing;
        }
        Kind::Slash | Kind::Degree | Kind::Equals | Kind::Dash => return Found::Nothing,
        Kind::Other | Kind::Damaged => {
            return Found::Bad(span, "this distance can't be read".to_owned());
        }
        Kind::Word("") if !tokens.spaced(count.next) => {
            return Found::Bad(span, "this distance can't be read".to_owned());
        }
        _ => {}
    }
    let (unit, why) = match units.last {
        Some(unit) => (unit, "the unit before"),
        None => (LengthUnit::Foot(units.foot), "no unit being written"),
    };
    let sentence = format!(
        "{:?} taken as {}, {why}",
        tokens.words(i, count.next),
        unit.plural()
    );
    let next = count.next;
    let first = Part {
        count,
        unit,
        singular: false,
        about: false,
        next,
    };
    match made(tokens, i, first, units, again) {
        Found::Read(mut read) => {
            read.assumed.insert(0, sentence);
            Found::Read(read)
        }
        other => other,
    }
}

/// True if a unit of length stands at `i`.
pub(super) fn is_unit(tokens: &Tokens<'_>, i: usize) -> bool {
    let units = Units {
        foot: FootKind::International,
        chain_foot: FootKind::UsSurvey,
        vara: Vara::Texas,
        last: None,
    };
    tokens.is_word(i) && tokens.word(i) != "m" && unit(tokens, i, &units).is_some()
}

/// The unit at `i`, the token after it, and whether it is "foot".
fn unit(tokens: &Tokens<'_>, i: usize, units: &Units) -> Option<(LengthUnit, usize, bool)> {
    match tokens.kind(i) {
        Kind::Prime => return Some((LengthUnit::Foot(units.foot), i + 1, false)),
        Kind::DoublePrime => return Some((LengthUnit::Inch, i + 1, false)),
        _ => {}
    }
    let hyphen = tokens.kind(i) == Kind::Dash && !tokens.spaced(i);
    let stop = tokens.kind(i) == Kind::Period && !tokens.spaced(i);
    let (foot, at) = named_foot(tokens, i + usize::from(hyphen || stop));
    let next = tokens.past(at + 1, Kind::Period);
    let unit = match (tokens.word(at), foot) {
        ("foot" | "feet", _) => LengthUnit::Foot(foot.unwrap_or(units.foot)),
        (_, Some(_)) => return None,
        ("inch", None) => LengthUnit::Inch,
        ("yard", None) => LengthUnit::Yard,
        ("meter" | "m", None) => LengthUnit::Meter,
        ("chain" | "ch", None) => LengthUnit::Chain(units.chain_foot),
        ("link", None) => LengthUnit::Link(units.chain_foot),
        ("rod" | "pole" | "perch", None) => LengthUnit::Rod(units.chain_foot),
        ("mile", None) => LengthUnit::Mile(units.foot),
        ("vara", None) => LengthUnit::Vara(units.vara),
        _ => return None,
    };
    let is_abbreviated = !matches!(
        tokens.words(at, at + 1).len(),
        4.. // A period behind a whole word ends a sentence.
    );
    let next = if is_abbreviated { next } else { at + 1 };
    Some((unit, next, tokens.word(at) == "foot" || hyphen))
}

/// The foot that "U.S. survey" or "international" before a unit names.
fn named_foot(tokens: &Tokens<'_>, i: usize) -> (Option<FootKind>, usize) {
    let mut at = i;
    let american = match tokens.word(at) {
        "us" => {
            at = tokens.past(at + 1, Kind::Period);
            true
        }
        "" if tokens.words(at, at + 1) == "U"
            && tokens.word(tokens.past(at + 1, Kind::Period)) == "south" =>
        {
            at = tokens.past(tokens.past(at + 1, Kind::Period) + 1, Kind::Period);
            true
        }
        _ => false,
    };
    match tokens.word(at) {
        "survey" => (Some(FootKind::UsSurvey), at + 1),
        "international" => (Some(FootKind::International), at + 1),
        _ if american => (Some(FootKind::UsSurvey), at),
        _ => (None, at),
    }
}
