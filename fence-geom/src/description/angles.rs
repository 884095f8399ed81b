//! Angles in degrees, minutes and seconds, whole or with damaged signs.

use super::lexer::{Kind, Tokens};
use super::numbers::{Count, count};

/// An angle as read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct AngleRead {
    pub(super) degrees: f64,
    /// Half of its last digit, in degrees.
    pub(super) half: f64,
    /// It has a sign of degrees.
    pub(super) marked: bool,
    /// How many of degrees, minutes and seconds it has.
    pub(super) parts: usize,
    /// What is wrong with it, where something is.
    pub(super) problem: Option<&'static str>,
    pub(super) assumed: Option<String>,
    /// The token after it.
    pub(super) next: usize,
}

/// The sign behind a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sign {
    None,
    Dash,
    Degree,
    Minute,
    Second,
}

struct Part {
    count: Count,
    sign: Sign,
    /// The sign is a word.
    spelled: bool,
    next: usize,
}

/// Reads an angle from token `i` on. Parts are taken as long as their signs are
/// in order; what then stands behind the angle is for the caller to judge.
pub(super) fn angle(tokens: &Tokens<'_>, i: usize, most_degrees: f64) -> Option<AngleRead> {
    let mut parts: Vec<Part> = Vec::with_capacity(3);
    let mut at = i;
    while parts.len() < 3 {
        let start = match parts.last() {
            Some(before) => between(tokens, at, before),
            None => at,
        };
        let Some(part) = part(tokens, start).filter(|part| fits(tokens, part, &parts)) else {
            break;
        };
        at = part.next;
        parts.push(part);
    }
    summed(&parts, at, most_degrees)
}

fn part(tokens: &Tokens<'_>, i: usize) -> Option<Part> {
    let count = count(tokens, i).filter(|count| count.assumed.is_none() || count.in_words)?;
    let at = count.next;
    let (sign, spelled, next) = match tokens.kind(at) {
        Kind::Degree => (Sign::Degree, false, at + 1),
        Kind::Prime => (Sign::Minute, false, at + 1),
        Kind::DoublePrime => (Sign::Second, false, at + 1),
        Kind::Dash if matches!(tokens.kind(at + 1), Kind::Number { .. }) => {
            (Sign::Dash, false, at + 1)
        }
        Kind::Word(word) => match word {
            "degree" => (Sign::Degree, true, tokens.past(at + 1, Kind::Period)),
            "minute" | "m" => (Sign::Minute, true, tokens.past(at + 1, Kind::Period)),
            "second" => (Sign::Second, true, tokens.past(at + 1, Kind::Period)),
            "south" if is_second_letter(tokens, at) => (Sign::Second, true, at + 1),
            // The second's letter and the quadrant's, as in 45d30m15sE.
            "southeast" | "southwest"
                if !tokens.spaced(at) && tokens.words(at, at + 1).len() == 2 =>
            {
                (Sign::Second, true, at)
            }
            _ => (Sign::None, false, at),
        },
        _ => (Sign::None, false, at),
    };
    Some(Part {
        count,
        sign,
        spelled,
        next,
    })
}

/// The `s` of `15s E`.
fn is_second_letter(tokens: &Tokens<'_>, at: usize) -> bool {
    !tokens.spaced(at)
        && tokens.words(at, at + 1).len() == 1
        && matches!(tokens.word(at + 1), "east" | "west")
}

/// Past what may stand between two parts: a comma or "and" behind a sign, if a
/// number with the next sign follows; a hyphen behind a sign.
fn between(tokens: &Tokens<'_>, at: usize, before: &Part) -> usize {
    if matches!(before.sign, Sign::None | Sign::Dash) {
        return at;
    }
    let mut next = at;
    if matches!(tokens.kind(next), Kind::Comma | Kind::Dash) {
        next += 1;
    }
    if tokens.word(next) == "and" {
        next += 1;
    }
    let wanted = if before.sign == Sign::Degree {
        Sign::Minute
    } else {
        Sign::Second
    };
    match part(tokens, next) {
        Some(part) if next > at && part.sign == wanted => next,
        _ => at,
    }
}

/// True if a part may follow the parts before it.
fn fits(tokens: &Tokens<'_>, part: &Part, before: &[Part]) -> bool {
    let Some(last) = before.last() else {
        return !matches!(part.sign, Sign::Second);
    };
    let wanted = if before.len() == 1 && last.sign != Sign::Minute {
        Sign::Minute
    } else {
        Sign::Second
    };
    // Words don't run on without a sign: "thirty-six degrees, fifty feet".
    let run_on = part.sign == Sign::None && (part.count.in_words || last.spelled);
    let is_distance = part.sign == Sign::None
        && (super::distances::is_unit(tokens, part.next)
            || last.sign == Sign::Minute && before.len() == 2 && !is_last(tokens, part));
    // "90 degrees 80.00 m": meters.
    let is_meters = part.spelled
        && tokens.word(part.next.saturating_sub(1)) == "m"
        && !(part.count.whole && part.count.value < 60.0);
    last.sign != Sign::Second
        && !is_meters
        && last.count.whole
        && !run_on
        && !is_distance
        && (matches!(part.sign, Sign::None)
            || part.sign == wanted
            || part.sign == Sign::Dash && wanted == Sign::Minute)
}

/// A number without a sign counts seconds only right before the letter.
fn is_last(tokens: &Tokens<'_>, part: &Part) -> bool {
    matches!(tokens.word(tokens.past_stops(part.next)), "east" | "west")
}

fn summed(parts: &[Part], next: usize, most_degrees: f64) -> Option<AngleRead> {
    let first = parts.first()?;
    let last = parts.last()?;
    let lost_degrees = first.sign == Sign::Minute;
    let steps: &[f64] = if lost_degrees {
        &[60.0, 3600.0]
    } else {
        &[1.0, 60.0, 3600.0]
    };
    let mut problem = None;
    for (place, part) in parts.iter().enumerate() {
        let minor = place > 0 || lost_degrees;
        if minor && part.count.value >= 60.0 {
            problem = Some("minutes and seconds must be less than 60");
        }
    }
    let step = steps.get(parts.len().checked_sub(1)?)?;
    let value = degrees(parts, lost_degrees);
    if value > most_degrees {
        problem = Some("the angle is too large; find out which figure was meant");
    }
    Some(AngleRead {
        degrees: value,
        half: last.count.half / step,
        marked: parts.iter().any(|part| part.sign == Sign::Degree),
        parts: parts.len(),
        problem,
        assumed: parts.iter().find_map(|part| part.count.assumed.clone()),
        next,
    })
}

/// The value in degrees, summed from the seconds up as in `read_direction`.
fn degrees(parts: &[Part], lost_degrees: bool) -> f64 {
    let value = |i: usize| parts.get(i).map_or(0.0, |part| part.count.value);
    if lost_degrees {
        (value(1) / 60.0 + value(0)) / 60.0
    } else {
        (value(2) / 60.0 + value(1)) / 60.0 + value(0)
    }
}

impl AngleRead {
    /// True if it starts with minutes: degrees were left out, or it is feet.
    pub(super) fn lacks_degrees(&self, tokens: &Tokens<'_>, i: usize) -> bool {
        part(tokens, i).is_some_and(|part| part.sign == Sign::Minute)
    }
}

/// Reads an angle whose signs are damaged, if there is just one way to read it.
///
/// A degree sign may have become `'`, `"`, 0, 1 or another mark, a minute sign
/// 1, a second sign 11 or `1'`; O stands for 0, l and I for 1. Where a figure
/// took the place of the degree sign, two figures must stand before it, because
/// `91 30'` may as well be a mistake.
pub(super) fn repaired(text: &str, most_degrees: u32) -> Option<Repaired> {
    let mut signs: Vec<char> = Vec::with_capacity(text.len());
    for c in text.trim().chars() {
        signs.push(plain(c)?);
    }
    let blank_kept = ways(&signs, most_degrees);
    let found = if blank_kept.is_empty() {
        signs.retain(|c| *c != ' ');
        ways(&signs, most_degrees)
    } else {
        blank_kept
    };
    match found.as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}

/// Degrees, minutes and seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Repaired {
    pub(super) degrees: u32,
    pub(super) minutes: u32,
    pub(super) seconds: Option<f64>,
    /// Half of the last digit, in degrees.
    pub(super) half: f64,
}

impl Repaired {
    pub(super) fn value(&self) -> f64 {
        (self.seconds.unwrap_or(0.0) / 60.0 + f64::from(self.minutes)) / 60.0
            + f64::from(self.degrees)
    }
}

impl std::fmt::Display for Repaired {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}°{:02}'", self.degrees, self.minutes)?;
        match self.seconds {
            Some(seconds) => write!(f, "{seconds:02}\""),
            None => Ok(()),
        }
    }
}

/// One spelling for each sign; `~` for what stands where a sign was.
fn plain(c: char) -> Option<char> {
    Some(match c {
        '0'..='9' | '.' => c,
        'O' | 'o' => '0',
        'l' | 'I' => '1',
        '°' | 'º' | '˚' => '°',
        '\'' | '′' | '’' | '‘' | '´' | '`' | 'ʹ' => '\'',
        '"' | '″' | '”' | '“' | 'ʺ' => '"',
        // Typed for want of the sign; what stands for a lost one may be a digit.
        '*' | '^' => '°',
        '¦' | '?' | '\u{fffd}' | '¡' | '¤' => '~',
        c if c.is_whitespace() => ' ',
        _ => return None,
    })
}

/// Every way to read the signs as degrees, minutes and perhaps seconds.
fn ways(signs: &[char], most_degrees: u32) -> Vec<Repaired> {
    let mut found: Vec<Repaired> = Vec::new();
    let widest = if most_degrees > 99 { 3 } else { 2 };
    for width in 1..=widest {
        let Some((degrees, after)) = figures(signs, width) else {
            continue;
        };
        if degrees > most_degrees {
            continue;
        }
        // "190" for 19°: the sign became a nought, and nothing follows.
        if width == 2 && after == ['0'] {
            found.push(Repaired {
                degrees,
                minutes: 0,
                seconds: None,
                half: 0.5,
            });
        }
        for after in after_degrees(after, width) {
            for way in minutes(degrees, after) {
                let is_past = degrees == most_degrees
                    && (way.minutes > 0 || way.seconds.is_some_and(|s| s > 0.0));
                if !is_past && !found.contains(&way) {
                    found.push(way);
                }
            }
        }
    }
    found
}

/// The number that the first `width` signs write.
fn figures(signs: &[char], width: usize) -> Option<(u32, &[char])> {
    let (head, rest) = signs.split_at_checked(width)?;
    let mut value = 0;
    for c in head {
        value = value * 10 + c.to_digit(10)?;
    }
    Some((value, rest))
}

fn past_blanks(signs: &[char]) -> &[char] {
    let blanks = signs.iter().take_while(|c| **c == ' ').count();
    signs.get(blanks..).unwrap_or_default()
}

/// What may stand behind the sign of degrees.
fn after_degrees(signs: &[char], width: usize) -> Vec<&[char]> {
    let mut ways = Vec::new();
    let bare = past_blanks(signs);
    match bare.split_first() {
        Some(('°' | '\'' | '"', rest)) => ways.push(past_blanks(rest)),
        Some(('~', rest)) if width > 1 => ways.push(past_blanks(rest)),
        _ if bare.len() < signs.len() => ways.push(bare),
        _ => {}
    }
    if let Some(('0' | '1', rest)) = signs.split_first()
        && width > 1
    {
        ways.push(past_blanks(rest));
    }
    // Nothing at all between two figures and two.
    let run = signs.iter().take_while(|c| c.is_ascii_digit()).count();
    if width == 2 && run == 2 {
        ways.push(signs);
    }
    ways
}

fn minutes(degrees: u32, signs: &[char]) -> Vec<Repaired> {
    let mut found = Vec::new();
    for width in 1..=2 {
        let Some((minutes, after)) = figures(signs, width).filter(|(value, _)| *value < 60) else {
            continue;
        };
        let without_seconds = Repaired {
            degrees,
            minutes,
            seconds: None,
            half: 0.5 / 60.0,
        };
        let trimmed = past_blanks(after);
        if matches!(trimmed, [] | ['\'' | '"' | '1']) {
            found.push(without_seconds);
        }
        let starts = [
            match trimmed.split_first() {
                Some(('\'' | '°', rest)) => Some(past_blanks(rest)),
                _ if trimmed.len() < after.len() => Some(trimmed),
                _ => None,
            },
            match after.split_first() {
                Some(('1', rest)) => Some(past_blanks(rest)),
                _ => None,
            },
        ];
        for start in starts.into_iter().flatten() {
            found.extend(seconds(start).map(|(seconds, half)| Repaired {
                seconds: Some(seconds),
                half,
                ..without_seconds
            }));
        }
    }
    found
}

/// The seconds that end the angle, and half of their last digit in degrees.
fn seconds(signs: &[char]) -> Option<(f64, f64)> {
    let end = signs
        .iter()
        .position(|c| !(c.is_ascii_digit() || *c == '.'))
        .unwrap_or(signs.len());
    let run: String = signs.get(..end)?.iter().collect();
    let tail: Vec<char> = signs
        .get(end..)?
        .iter()
        .copied()
        .filter(|c| *c != ' ')
        .collect();
    let written = match tail.as_slice() {
        ['"' | '\''] | ['\'', '\'' | '"'] if second_figures(&run) => run.as_str(),
        [] if second_figures(&run) => run.as_str(),
        [] => run.strip_suffix("11")?,
        ['\''] => run.strip_suffix('1')?,
        _ => return None,
    };
    if !second_figures(written) {
        return None;
    }
    let value: f64 = written.parse().ok().filter(|value| *value < 60.0)?;
    let decimals = written.split('.').nth(1).map_or(0, str::len);
    let places = i32::try_from(decimals).ok()?;
    Some((value, 0.5 * 0.1_f64.powi(places) / 3600.0))
}

/// One or two figures, perhaps with decimals.
fn second_figures(written: &str) -> bool {
    let whole = written.split('.').next().map_or(0, str::len);
    (1..=2).contains(&whole) && written.matches('.').count() <= 1 && !written.ends_with('.')
}
