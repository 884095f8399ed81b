//! Numbers in figures, in words, and in both at once.

use super::lexer::{Kind, Tokens};

/// A number and how finely it was written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Count {
    pub(super) value: f64,
    /// Half of its last digit.
    pub(super) half: f64,
    /// Neither decimals nor a fraction.
    pub(super) whole: bool,
    pub(super) in_words: bool,
    /// What was assumed, where something was.
    pub(super) assumed: Option<String>,
    /// The token after it.
    pub(super) next: usize,
}

/// Two figures for one number differ if they are further apart than this.
const SAME: f64 = 1e-9;

/// Reads a number: `12`, `12.5`, `12-1/2`, `994½`, `thirty-six`, `one hundred
/// and five tenths`, or words with figures in parentheses behind them.
pub(super) fn count(tokens: &Tokens<'_>, i: usize) -> Option<Count> {
    match tokens.kind(i) {
        Kind::Number { .. } | Kind::Vulgar(..) => figures(tokens, i),
        Kind::Word(_) if tokens.get(i).is_some_and(|token| token.is_numeral) => {
            let words = in_words(tokens, i)?;
            Some(with_figures(tokens, words))
        }
        _ => None,
    }
}

/// True for a word that a number may start with.
pub(super) fn starts_number(word: &str) -> bool {
    !word.is_empty()
        && (matches!(word, "half" | "a" | "hundred" | "thousand") || small(word).is_some())
}

/// Figures, with a fraction where one follows.
fn figures(tokens: &Tokens<'_>, i: usize) -> Option<Count> {
    if let Some((value, half, next)) = fraction(tokens, i) {
        return Some(exactly(value, half, next));
    }
    let Kind::Number {
        value, decimals, ..
    } = tokens.kind(i)
    else {
        return None;
    };
    let joined = tokens.past(i + 1, Kind::Dash);
    if decimals == 0
        && let Some((part, half, next)) = fraction(tokens, joined)
    {
        return Some(exactly(value + part, half, next));
    }
    if is_split_decimal(tokens, i) {
        return split_decimal(tokens, i);
    }
    Some(Count {
        whole: decimals == 0,
        ..exactly(value, 0.5 * 0.1_f64.powi(i32::from(decimals)), i + 1)
    })
}

fn exactly(value: f64, half: f64, next: usize) -> Count {
    Count {
        value,
        half,
        whole: false,
        in_words: false,
        assumed: None,
        next,
    }
}

/// `1/2` or `½`: its value, half a step of it, and the token after it.
fn fraction(tokens: &Tokens<'_>, i: usize) -> Option<(f64, f64, usize)> {
    if let Kind::Vulgar(value, half) = tokens.kind(i) {
        return Some((value, half, i + 1));
    }
    let (
        Kind::Number {
            value: n,
            decimals: 0,
            ..
        },
        Kind::Slash,
        Kind::Number {
            value: d,
            decimals: 0,
            ..
        },
    ) = (tokens.kind(i), tokens.kind(i + 1), tokens.kind(i + 2))
    else {
        return None;
    };
    (n < d).then(|| (n / d, 0.5 / d, i + 3))
}

/// A typewriter's `354 . 3` or `22. 255`.
fn is_split_decimal(tokens: &Tokens<'_>, i: usize) -> bool {
    let decimals_follow = match tokens.kind(i + 2) {
        Kind::Number { decimals, .. } => decimals == 0,
        _ => false,
    };
    decimals_follow
        && matches!(tokens.kind(i), Kind::Number { decimals: 0, .. })
        && tokens.kind(i + 1) == Kind::Period
        && tokens
            .get(i + 2)
            .is_some_and(|token| token.spaced && !token.starts_line)
}

fn split_decimal(tokens: &Tokens<'_>, i: usize) -> Option<Count> {
    let joined: String = tokens
        .words(i, i + 3)
        .chars()
        .filter(|c| !c.is_whitespace())
        .collect();
    let decimals = joined.split('.').nth(1).map_or(0, str::len);
    let value = joined.replace(',', "").parse().ok()?;
    let places = i32::try_from(decimals).ok()?;
    Some(Count {
        assumed: Some(format!(
            "{:?} taken as {joined}, the blanks left out",
            tokens.words(i, i + 3)
        )),
        ..exactly(value, 0.5 * 0.1_f64.powi(places), i + 3)
    })
}

/// Adds the figures that follow words in parentheses. The words hold where the
/// two differ.
fn with_figures(tokens: &Tokens<'_>, words: Count) -> Count {
    if tokens.kind(words.next) != Kind::Open {
        return words;
    }
    let Some(figures) = figures(tokens, words.next + 1) else {
        return words;
    };
    if tokens.kind(figures.next) != Kind::Close {
        return words;
    }
    let mut both = Count {
        next: figures.next + 1,
        half: words.half.min(figures.half),
        ..words
    };
    if (both.value - figures.value).abs() > SAME {
        both.assumed = Some(words_hold(&both, &figures));
    }
    both
}

pub(super) fn words_hold(words: &Count, figures: &Count) -> String {
    format!(
        "the words say {} and the figures say {}: the words are used, which by common practice hold; \
         find out which was meant",
        words.value, figures.value
    )
}

/// A number in words from `i` on.
fn in_words(tokens: &Tokens<'_>, i: usize) -> Option<Count> {
    if let Some((value, half, next)) = word_fraction(tokens, i) {
        return Some(words(value, half, false, next));
    }
    let (whole, mut next) = whole_words(tokens, i)?;
    if let Some((value, half, next)) = over(tokens, whole, next) {
        return Some(words(value, half, false, next));
    }
    if tokens.word(next) == "point"
        && let Some((value, half, next)) = spoken_decimals(tokens, next + 1)
    {
        return Some(words(whole + value, half, false, next));
    }
    if tokens.word(next) == "and" {
        if let Some((part, half, after)) = part_after_and(tokens, next + 1) {
            return Some(words(whole + part, half, false, after));
        }
        if whole % 100.0 == 0.0
            && let Some((rest, after)) = whole_words(tokens, next + 1)
            && rest < 100.0
        {
            // "nine hundred and forty", perhaps with a fraction of its own.
            next = after;
            return Some(match and_part(tokens, next) {
                Some((part, half, after)) => words(whole + rest + part, half, false, after),
                None => words(whole + rest, 0.5, true, next),
            });
        }
    }
    Some(words(whole, 0.5, true, next))
}

fn words(value: f64, half: f64, whole: bool, next: usize) -> Count {
    Count {
        whole,
        in_words: true,
        ..exactly(value, half, next)
    }
}

fn and_part(tokens: &Tokens<'_>, i: usize) -> Option<(f64, f64, usize)> {
    if tokens.word(i) != "and" {
        return None;
    }
    part_after_and(tokens, i + 1)
}

/// "fifty hundredths", "one-half", "a half", "4/10" or "½" after "and".
fn part_after_and(tokens: &Tokens<'_>, i: usize) -> Option<(f64, f64, usize)> {
    if let Some(fraction) = fraction(tokens, i) {
        return Some(fraction);
    }
    if let Some(fraction) = word_fraction(tokens, i) {
        return Some(fraction);
    }
    let (count, next) = whole_words(tokens, i)?;
    over(tokens, count, next)
}

/// "a half", "one-half" or "half".
fn word_fraction(tokens: &Tokens<'_>, i: usize) -> Option<(f64, f64, usize)> {
    let half = match tokens.word(i) {
        "half" => i,
        "a" | "one" => tokens.past(i + 1, Kind::Dash),
        _ => return None,
    };
    (tokens.word(half) == "half").then_some((0.5, 0.25, half + 1))
}

/// "tenths", "hundredths" or "one-hundredths" after a count of them.
fn over(tokens: &Tokens<'_>, count: f64, next: usize) -> Option<(f64, f64, usize)> {
    let mut at = tokens.past(next, Kind::Dash);
    if tokens.word(at) == "one" {
        at = tokens.past(at + 1, Kind::Dash);
    }
    let parts = match tokens.word(at) {
        "quarter" => 4.0,
        "third" => 3.0,
        "fifth" => 5.0,
        "sixth" => 6.0,
        "eighth" => 8.0,
        "tenth" => 10.0,
        "hundredth" => 100.0,
        "thousandth" => 1000.0,
        _ => return None,
    };
    (count < parts).then(|| (count / parts, 0.5 / parts, at + 1))
}

/// "five zero" after "point".
fn spoken_decimals(tokens: &Tokens<'_>, i: usize) -> Option<(f64, f64, usize)> {
    let (mut value, mut scale, mut at) = (0.0, 1.0, i);
    while let Some(digit) = small(tokens.word(at)).filter(|digit| *digit < 10.0) {
        scale /= 10.0;
        value += digit * scale;
        at += 1;
    }
    (at > i).then_some((value, scale / 2.0, at))
}

/// A whole number in words: "one thousand two hundred sixty-two".
fn whole_words(tokens: &Tokens<'_>, i: usize) -> Option<(f64, usize)> {
    let (mut total, mut group) = (0.0, 0.0);
    // What the next word must stay below: nothing follows a unit, and after
    // "sixty" only a unit does.
    let mut room = f64::INFINITY;
    let mut at = i;
    loop {
        let next = if at > i {
            tokens.past(at, Kind::Dash)
        } else {
            at
        };
        let word = tokens.word(next);
        if let Some(value) = small(word).filter(|value| *value < room) {
            if value == 0.0 && at > i {
                break;
            }
            group += value;
            room = if value >= 20.0 { 10.0 } else { 0.0 };
        } else if word == "hundred" && group < 100.0 {
            group = if group == 0.0 { 100.0 } else { group * 100.0 };
            room = 100.0;
        } else if word == "thousand" && total == 0.0 {
            total = if group == 0.0 { 1000.0 } else { group * 1000.0 };
            group = 0.0;
            room = 1000.0;
        } else {
            break;
        }
        at = next + 1;
    }
    (at > i).then_some((total + group, at))
}

/// The value of a word below a hundred.
fn small(word: &str) -> Option<f64> {
    Some(match word {
        "zero" | "no" => 0.0,
        "one" => 1.0,
        "two" => 2.0,
        "three" => 3.0,
        "four" => 4.0,
        "five" => 5.0,
        "six" => 6.0,
        "seven" => 7.0,
        "eight" => 8.0,
        "nine" => 9.0,
        "ten" => 10.0,
        "eleven" => 11.0,
        "twelve" => 12.0,
        "thirteen" => 13.0,
        "fourteen" => 14.0,
        "fifteen" => 15.0,
        "sixteen" => 16.0,
        "seventeen" => 17.0,
        "eighteen" => 18.0,
        "nineteen" => 19.0,
        "twenty" => 20.0,
        "thirty" => 30.0,
        "forty" => 40.0,
        "fifty" => 50.0,
        "sixty" => 60.0,
        "seventy" => 70.0,
        "eighty" => 80.0,
        "ninety" => 90.0,
        _ => return None,
    })
}
