//! Bearings: a quadrant and an angle in it, or one of the four directions.

use std::ops::Range;

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::{Bearing, EastWest, NorthSouth};

use super::angles::{AngleRead, angle, repaired};
use super::lexer::{HiddenSign, Kind, Tokens};

/// A direction as read.
#[derive(Clone, Debug)]
pub(super) struct DirectionRead {
    pub(super) direction: Direction,
    /// Half of the last digit of its angle; none in words only.
    pub(super) half: Angle,
    pub(super) assumed: Option<String>,
    pub(super) next: usize,
}

/// What stands at a place.
pub(super) enum Found<T> {
    /// Nothing of the kind.
    Nothing,
    /// What looks like it and can't be read: the tokens, and why.
    Bad(Range<usize>, String),
    Read(T),
}

/// The most tokens from the first letter of a bearing to its last.
const LONGEST: usize = 18;

/// What is wrong with `060 14'` where the sign of degrees may have become a nought.
pub(super) const HIDDEN_SIGN: &str =
    "its sign of degrees may have become a figure: find out how many degrees are meant";

/// What is wrong with `N -0°30' E`.
const SIGNED_BEARING: &str = "the angle of a bearing has no sign: it is from 0 to 90 degrees";

/// Reads a quadrant bearing at token `i`.
pub(super) fn bearing(tokens: &Tokens<'_>, i: usize) -> Found<DirectionRead> {
    let Some((from, sure, at)) = meridian(tokens, i) else {
        return Found::Nothing;
    };
    if sure && matches!(tokens.kind(at), Kind::Number { .. }) && tokens.is_negative(at) {
        let to = angle(tokens, at, 90.0).map_or(at + 1, |read| read.next);
        let next = parallel(tokens, to).map_or(to, |(_, next)| next);
        return Found::Bad(i..next, SIGNED_BEARING.to_owned());
    }
    match tokens.hidden_sign(at) {
        HiddenSign::None => {}
        HiddenSign::Sure => {
            if let Some(found) = damaged(tokens, i, at, from) {
                return found;
            }
        }
        HiddenSign::Perhaps => {
            if let Some(read) = angle(tokens, at, 90.0)
                && let Some((_, next)) = parallel(tokens, read.next)
            {
                return Found::Bad(i..next, HIDDEN_SIGN.to_owned());
            }
        }
    }
    let read = angle(tokens, at, 90.0);
    if let Some(read) = &read
        && let Some((toward, next)) = parallel(tokens, read.next)
        && let Some(found) = whole(tokens, i..next, from, read, toward, at)
    {
        return found;
    }
    if let Some(found) = damaged(tokens, i, at, from) {
        return found;
    }
    match read {
        Some(read) if sure => broken(tokens, i, at, &read),
        _ if sure => out_of_shape(tokens, i, at),
        _ => Found::Nothing,
    }
}

/// The letter or word that a bearing starts with; whether it is one for sure; the
/// token its angle starts at.
fn meridian(tokens: &Tokens<'_>, i: usize) -> Option<(NorthSouth, bool, usize)> {
    let written = tokens.words(i, i + 1);
    let (from, sure) = match tokens.word(i) {
        "north" => (NorthSouth::North, true),
        "south" => (NorthSouth::South, true),
        "no" if tokens.kind(i + 1) == Kind::Period => (NorthSouth::North, false),
        _ => return glued(tokens, i, written),
    };
    let mut at = tokens.past(i + 1, Kind::Period);
    if written.len() > 1 {
        at = tokens.past(at, Kind::Comma);
    }
    at = tokens.past(at, Kind::Dash);
    Some((from, sure, at))
}

/// A letter run together with noughts and ones that were read as letters, such as
/// `SOl`; or `So.` for south.
fn glued(tokens: &Tokens<'_>, i: usize, written: &str) -> Option<(NorthSouth, bool, usize)> {
    let (first, rest) = written.split_at_checked(1)?;
    let from = match first {
        "N" => NorthSouth::North,
        "S" => NorthSouth::South,
        _ => return None,
    };
    if rest.eq_ignore_ascii_case("o") && tokens.kind(i + 1) == Kind::Period {
        return Some((from, false, i + 2));
    }
    let is_figures = !rest.is_empty() && rest.chars().all(|c| matches!(c, 'O' | 'o' | 'l' | 'I'));
    (is_figures && matches!(tokens.kind(i + 1), Kind::Number { .. })).then_some((from, false, i))
}

/// The letter or word that a bearing ends with, and the token after it.
fn parallel(tokens: &Tokens<'_>, at: usize) -> Option<(EastWest, usize)> {
    let mut at = tokens.past_stops(at);
    at = tokens.past(at, Kind::Dash);
    let toward = match (tokens.word(at), tokens.words(at, at + 1).len()) {
        ("east", _) => EastWest::East,
        ("west", _) => EastWest::West,
        // The second's letter and the quadrant's, as in 45d30m15sE.
        ("southeast", 2) if !tokens.spaced(at) => EastWest::East,
        ("southwest", 2) if !tokens.spaced(at) => EastWest::West,
        _ => return None,
    };
    let abbreviated = tokens.words(at, at + 1).len() == 1;
    let next = if abbreviated {
        tokens.past(at + 1, Kind::Period)
    } else {
        at + 1
    };
    Some((toward, next))
}

/// A bearing with both its letters and an angle between them.
fn whole(
    tokens: &Tokens<'_>,
    span: Range<usize>,
    from: NorthSouth,
    read: &AngleRead,
    toward: EastWest,
    at: usize,
) -> Option<Found<DirectionRead>> {
    let mut assumed = read.assumed.clone();
    if read.lacks_degrees(tokens, at) {
        if read.parts < 2 || read.problem.is_some() {
            return None;
        }
        assumed = Some(format!(
            "{:?} taken as 0 degrees with minutes and seconds, its degrees being left out",
            tokens.words(span.start, span.end)
        ));
    } else if !read.marked && read.parts == 1 && read.degrees < 1.0 && read.half > 0.1 {
        // "S 1/2 E 1/2" of a section.
        return Some(Found::Nothing);
    }
    if let Some(problem) = read.problem {
        return doubled_second(tokens, &span, from, toward, at)
            .or_else(|| damaged(tokens, span.start, at, from))
            .or_else(|| Some(Found::Bad(span, problem.to_owned())));
    }
    Some(made(from, read.degrees, read.half, toward, assumed, span))
}

fn made(
    from: NorthSouth,
    degrees: f64,
    half: f64,
    toward: EastWest,
    assumed: Option<String>,
    span: Range<usize>,
) -> Found<DirectionRead> {
    let angle = Angle::from_degrees(degrees);
    let Ok(bearing) = angle.and_then(|angle| Bearing::new(from, angle, toward)) else {
        let problem = "the angle of a bearing is from 0 to 90 degrees".to_owned();
        return Found::Bad(span, problem);
    };
    Found::Read(DirectionRead {
        direction: Direction::Bearing(bearing),
        half: Angle::of_radians(half.to_radians()),
        assumed,
        next: span.end,
    })
}

/// Seconds of three figures whose last is typed twice, such as `566"`: dropping it
/// changes the bearing by less than a second's tenth whichever way it came about.
fn doubled_second(
    tokens: &Tokens<'_>,
    span: &Range<usize>,
    from: NorthSouth,
    toward: EastWest,
    at: usize,
) -> Option<Found<DirectionRead>> {
    let text = tokens.words(at, span.end);
    let run = text
        .split(|c: char| !c.is_ascii_digit())
        .rfind(|run| !run.is_empty())?;
    let [_, second, third] = run.as_bytes() else {
        return None;
    };
    if second != third {
        return None;
    }
    let start = text.rfind(run)?;
    let less = format!("{}{}", text.get(..start + 2)?, text.get(start + 3..)?);
    let shorter = Tokens::of(&less);
    let read = angle(&shorter, 0, 90.0).filter(|read| read.problem.is_none() && read.parts == 3)?;
    let assumed = format!(
        "{:?} taken as {:?}: a figure of the seconds is typed twice",
        tokens.words(span.start, span.end),
        less.trim(),
    );
    Some(made(
        from,
        read.degrees,
        read.half,
        toward,
        Some(assumed),
        span.clone(),
    ))
}

/// A bearing whose signs are damaged, if it can be read in one way.
fn damaged(
    tokens: &Tokens<'_>,
    i: usize,
    at: usize,
    from: NorthSouth,
) -> Option<Found<DirectionRead>> {
    let end = (at..i + LONGEST).find(|&j| !may_be_in_angle(tokens, j))?;
    let (toward, next) = parallel(tokens, end)?;
    let inside = tokens.words(at, end);
    // The letters that belong to the angle of `SOl 048'`.
    let inside = if at == i { inside.get(1..)? } else { inside };
    let read = repaired(inside.trim_end_matches([',', '.', '-', ' ']), 90)?;
    let assumed = format!(
        "{:?} taken as {read} in that quadrant, its signs being damaged",
        tokens.words(i, next)
    );
    Some(made(
        from,
        read.value(),
        read.half,
        toward,
        Some(assumed),
        i..next,
    ))
}

fn may_be_in_angle(tokens: &Tokens<'_>, j: usize) -> bool {
    match tokens.kind(j) {
        Kind::Number { .. }
        | Kind::Prime
        | Kind::DoublePrime
        | Kind::Degree
        | Kind::Damaged
        | Kind::Period => true,
        Kind::Word(_) => {
            let written = tokens.words(j, j + 1);
            let figures = written
                .strip_prefix(['N', 'S'])
                .filter(|rest| !rest.is_empty())
                .unwrap_or(written);
            figures.chars().all(|c| matches!(c, 'O' | 'o' | 'l' | 'I'))
        }
        _ => false,
    }
}

/// A start with an angle and no end: broken if it has the signs of an angle.
fn broken(tokens: &Tokens<'_>, i: usize, at: usize, read: &AngleRead) -> Found<DirectionRead> {
    let feet = read.lacks_degrees(tokens, at) || (read.parts == 1 && !read.marked);
    if feet {
        return out_of_shape(tokens, i, at);
    }
    Found::Bad(
        i..read.next,
        "the quadrant is open: E or W is missing after the angle".to_owned(),
    )
}

/// A start that no angle follows: if an end and a sign of an angle stand close by,
/// it is a bearing out of shape.
fn out_of_shape(tokens: &Tokens<'_>, i: usize, at: usize) -> Found<DirectionRead> {
    let mut signs = 0;
    for j in at..at + LONGEST / 2 {
        match tokens.kind(j) {
            Kind::Prime | Kind::DoublePrime | Kind::Degree => signs += 1,
            Kind::Word("degree" | "minute" | "second") => signs += 1,
            Kind::Word("east" | "west") if signs > 0 => {
                let problem = "this is no angle of a bearing".to_owned();
                return Found::Bad(i..j + 1, problem);
            }
            Kind::Word("") if tokens.words(j, j + 1).len() < 4 => {}
            Kind::Word(_) | Kind::Semicolon | Kind::Comma | Kind::End => break,
            _ => {}
        }
    }
    Found::Nothing
}
