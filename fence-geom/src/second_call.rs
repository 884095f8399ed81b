//! A second call in the words behind the end of a first one.
//!
//! The words behind "to" say what stands at a corner, and no two deeds say it
//! alike; but a call among them must not be lost. What has the shape of a call
//! counts, whether its figures make sense or not.

use crate::angle_text::{Direction, read_direction};
use crate::length_text::LengthReader;
use crate::units::{FootKind, LengthUnit};

/// The most words of a direction, as in `North 45 degrees 30 minutes 15 seconds
/// East`.
const DIRECTION_WORDS: usize = 8;

/// The most words of a distance, as in `12 feet 6 1/2 inches`.
const DISTANCE_WORDS: usize = 5;

/// The most bytes of words about a corner; what is longer is no matter of a table.
const LONGEST_TAIL: usize = 1_000;

/// Words that begin another call.
const NEXT_CALL: [&str; 2] = ["thence", "then"];

/// Words behind which another call may start.
const JOINING: [&str; 4] = ["and", "next", "by", "from"];

/// Directions that say no more than the eighth of the compass.
const EIGHTHS: [&str; 8] = [
    "ne",
    "se",
    "sw",
    "nw",
    "northeast",
    "southeast",
    "southwest",
    "northwest",
];

/// Units that a distance in words may have.
const UNITS: [&str; 13] = [
    "feet", "foot", "ft", "inches", "yards", "meters", "chains", "links", "rods", "poles",
    "perches", "varas", "vrs",
];

/// Words that a direction may start with, without its figures.
const DIRECTION_STARTS: [&str; 11] = [
    "n", "north", "s", "south", "e", "east", "w", "west", "az", "azimuth", "due",
];

/// A word of a tail.
struct Word<'a> {
    text: &'a str,
    /// It stands at the start, or behind a comma, a slash or the like.
    starts_part: bool,
}

/// What a stretch of words is like.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Likeness {
    /// A direction that says it is one, by the letters of a quadrant or "azimuth".
    Plain,
    /// A bearing of which a letter is missing, or an angle with its marks: it may be the
    /// size of a nail too.
    Half,
    /// One of the eight directions of the compass.
    Axis,
    /// A number that would do as an azimuth.
    Number,
    /// No direction.
    Nothing,
}

/// The parts of a line, each with its place: it is parted at semicolons and before
/// "thence" and "then", where more than a number or a label stands before them.
pub(crate) fn parts(line: &str) -> Vec<(usize, &str)> {
    let mut parts = Vec::new();
    let (mut from, mut word_starts, mut words) = (0, 0, 0);
    let ends = line.char_indices().filter(|(_, c)| !c.is_alphanumeric());
    for (at, c) in ends {
        if words > 1 && begins_call(line.get(word_starts..at).unwrap_or_default()) {
            parts.extend(part(line, from, word_starts));
            (from, words) = (word_starts, 0);
        }
        if c == ';' {
            parts.extend(part(line, from, at));
            (from, words) = (at, 0);
        }
        words += usize::from(c.is_whitespace() && at > word_starts);
        word_starts = at + c.len_utf8();
    }
    parts.extend(part(line, from, line.len()));
    parts
}

/// The words of a stretch of a line and where they start, without the stops and the
/// "and" between it and its neighbors.
fn part(line: &str, from: usize, to: usize) -> Option<(usize, &str)> {
    let text = line.get(from..to)?;
    let bare = text.trim_start_matches(is_stop);
    let at = from + (text.len() - bare.len());
    let bare = bare.trim_end_matches(is_stop);
    let bare = match bare.strip_suffix("and") {
        Some(less) if less.ends_with(is_stop) => less.trim_end_matches(is_stop),
        _ => bare,
    };
    (!bare.is_empty()).then_some((at, bare))
}

fn is_stop(c: char) -> bool {
    c.is_whitespace() || matches!(c, ';' | ',')
}

fn begins_call(word: &str) -> bool {
    NEXT_CALL.iter().any(|next| word.eq_ignore_ascii_case(next))
}

/// True if the words behind "to" hold another call: a direction with its distance,
/// or a word that begins a call; or if they are too many to look through.
pub(crate) fn holds_call(tail: &str) -> bool {
    if tail.len() > LONGEST_TAIL {
        return true;
    }
    let shape = shape(tail);
    let words = words(&shape);
    words.iter().any(|word| begins_call(word.text))
        || (0..words.len()).any(|at| call_at(&words, at))
        || distance_before_to(&words)
        || curve_with_figures(&words)
}

/// The text with every figure a zero, so that a direction past its quadrant or
/// minutes past 60 still look like what they are; without minus signs, with the signs
/// of degrees that were lost, and parted behind the letters of `N.90E50ft`.
fn shape(text: &str) -> String {
    let mut shape = String::with_capacity(text.len() + 8);
    let mut before = [' ', ' '];
    let mut ahead = text.chars().peekable();
    while let Some(c) = ahead.next() {
        let [last, last_but_one] = before;
        before = [c, last];
        let figure_follows = ahead.peek().is_some_and(|c| c.is_ascii_digit());
        if c.is_ascii_digit() {
            let ends_bearing =
                matches!(last, 'e' | 'E' | 'w' | 'W') && !last_but_one.is_alphabetic();
            if ends_bearing && last_but_one != ' ' {
                shape.push(' ');
            }
            shape.push(if last == '/' { '1' } else { '0' });
        } else if matches!(c, '-' | '−') && last.is_whitespace() && figure_follows {
            shape.push(' ');
        } else if matches!(c, '*' | '^' | '¦') && last.is_ascii_digit() {
            // What a lost sign of degrees is often read as.
            shape.push('°');
        } else if c == '.' && last.is_alphabetic() {
            shape.push_str(". ");
        } else if c == '/' && !(last.is_ascii_digit() && figure_follows) {
            shape.push(',');
        } else {
            shape.push(c);
        }
    }
    shape
}

fn words(shape: &str) -> Vec<Word<'_>> {
    let is_part_end = |c: char| matches!(c, ',' | ';' | '|' | '(' | ')' | '\t');
    let mut words = Vec::new();
    for part in shape.split(is_part_end) {
        let mut starts_part = true;
        for text in part.split_whitespace() {
            if text.contains(char::is_alphanumeric) {
                words.push(Word { text, starts_part });
            }
            starts_part = !text.contains(char::is_alphanumeric)
                || JOINING.iter().any(|it| text.eq_ignore_ascii_case(it));
        }
    }
    words
}

fn joined(words: &[Word<'_>], from: usize, count: usize) -> Option<String> {
    let words = words.get(from..from + count)?;
    let texts: Vec<&str> = words.iter().map(|word| word.text).collect();
    Some(texts.join(" "))
}

fn is_word(words: &[Word<'_>], at: usize, any: &[&str]) -> bool {
    words
        .get(at)
        .is_some_and(|word| any.iter().any(|it| word.text.eq_ignore_ascii_case(it)))
}

fn has_figure(text: &str) -> bool {
    text.contains(|c: char| c.is_ascii_digit())
}

/// True if a direction starts at word `at` and a distance stands beside it.
fn call_at(words: &[Word<'_>], at: usize) -> bool {
    if !may_start(words, at) {
        return false;
    }
    (1..=DIRECTION_WORDS).any(|count| {
        let likeness = joined(words, at, count).map_or(Likeness::Nothing, |text| likeness(&text));
        let end = at + count;
        match likeness {
            Likeness::Plain => {
                distance_before(words, at).is_some() || words.iter().skip(end).any(is_measure)
            }
            Likeness::Half => distance_end(words, end, true).is_some(),
            Likeness::Axis => axis_is_call(words, at, end),
            Likeness::Number => number_is_call(words, at, end),
            Likeness::Nothing => false,
        }
    })
}

/// A figure, or the unit of a distance in words.
fn is_measure(word: &Word<'_>) -> bool {
    let bare = word.text.trim_end_matches('.');
    has_figure(word.text) || UNITS.iter().any(|unit| bare.eq_ignore_ascii_case(unit))
}

fn may_start(words: &[Word<'_>], at: usize) -> bool {
    words.get(at).is_some_and(|word| {
        let letters = word
            .text
            .find(|c: char| !c.is_ascii_alphabetic())
            .unwrap_or(word.text.len());
        let first = word.text.get(..letters).unwrap_or_default();
        letters == 0 && has_figure(word.text)
            || eighth(word.text)
            || DIRECTION_STARTS
                .iter()
                .any(|it| first.eq_ignore_ascii_case(it))
    })
}

/// "SE", "S.E.", "southeast" or "southeasterly".
fn eighth(word: &str) -> bool {
    let plain = word.replace('.', "").to_ascii_lowercase();
    EIGHTHS.contains(&plain.trim_end_matches("erly"))
}

fn likeness(text: &str) -> Likeness {
    if eighth(text) {
        return Likeness::Axis;
    }
    let is_bearing = |text: &str| {
        read_direction(text).is_ok_and(|read| matches!(read.value, Direction::Bearing(_)))
    };
    match read_direction(text) {
        Ok(read) => match read.value {
            Direction::Bearing(_) if has_figure(text) => Likeness::Plain,
            Direction::Bearing(_) => Likeness::Axis,
            Direction::Azimuth(_) if read.assumed.is_empty() => Likeness::Plain,
            Direction::Azimuth(_) if is_marked(text) => Likeness::Half,
            Direction::Azimuth(_) => Likeness::Number,
        },
        // One of its letters is missing.
        Err(_) if has_figure(text) => {
            let half = is_bearing(&format!("N {text}")) || is_bearing(&format!("{text} E"));
            if half {
                Likeness::Half
            } else {
                Likeness::Nothing
            }
        }
        Err(_) => Likeness::Nothing,
    }
}

fn is_marked(angle: &str) -> bool {
    angle.contains('°')
        || angle.contains(|c: char| c.is_ascii_alphabetic())
        || angle.matches('-').count() == 2
}

/// The word behind the distance that starts at word `at`, behind "a distance of" or
/// at once.
fn distance_end(words: &[Word<'_>], at: usize, bare: bool) -> Option<usize> {
    let mut from = at;
    while is_word(words, from, &["for", "a", "distance", "of"]) {
        from += 1;
    }
    (1..=DISTANCE_WORDS)
        .rev()
        .find(|&count| is_distance(words, from, count, bare))
        .map(|count| from + count)
}

/// True if a distance, even a bare number, ends right before word `at`.
fn ends_with_distance(words: &[Word<'_>], at: usize) -> bool {
    (1..=DISTANCE_WORDS.min(at)).any(|count| is_distance(words, at - count, count, true))
}

/// The first word of the distance with a unit that ends right before word `at`.
fn distance_before(words: &[Word<'_>], at: usize) -> Option<usize> {
    (1..=DISTANCE_WORDS.min(at))
        .rev()
        .find(|&count| is_distance(words, at - count, count, false))
        .map(|count| at - count)
}

/// True for a length; one of a bare number only where that will do.
fn is_distance(words: &[Word<'_>], from: usize, count: usize, bare: bool) -> bool {
    let reader = if bare {
        LengthReader::bare(LengthUnit::Foot(FootKind::International))
    } else {
        LengthReader::strict()
    };
    joined(words, from, count).is_some_and(|text| reader.read(&text).is_ok())
}

/// `E 50ft to C`, and not `the N 50 ft of lot 3` or `50 ft N of the barn`.
fn axis_is_call(words: &[Word<'_>], at: usize, end: usize) -> bool {
    let named = at > 0 && is_word(words, at - 1, &["the", "said"]);
    let place = |next: usize| is_word(words, next, &["of", "from"]) && !goes_to(words, next);
    let leads = match distance_end(words, end, true) {
        Some(next) => {
            let has_unit = distance_end(words, end, false).is_some();
            let is_part = words.get(end).is_some_and(|word| word.text.contains('/'));
            !place(next) && (has_unit || ends_part(words, next) && !is_part)
        }
        None => distance_before(words, at).is_some_and(|from| {
            let alone = words.get(from).is_some_and(|word| word.starts_part);
            is_word(words, end, &["to"]) || alone && ends_part(words, end)
        }),
    };
    leads && !named
}

/// `90 50ft` where nothing else stands with it: not the `2 1/2 in` of a pipe.
fn number_is_call(words: &[Word<'_>], at: usize, end: usize) -> bool {
    let starts = words.get(at).is_some_and(|word| word.starts_part);
    let parted = words.get(end).is_some_and(|word| word.starts_part);
    let Some(next) = distance_end(words, end, true) else {
        return false;
    };
    (starts || at == 1 && !parted)
        && ends_part(words, next)
        && !is_distance(words, at, next - at, true)
}

fn ends_part(words: &[Word<'_>], at: usize) -> bool {
    words.get(at).is_none_or(|word| word.starts_part) || is_word(words, at, &["to"])
}

fn goes_to(words: &[Word<'_>], from: usize) -> bool {
    (from..words.len()).any(|at| is_word(words, at, &["to"]))
}

/// `45 50ft to C`: a distance that leads on to another corner, with another figure or
/// a direction in words before it.
fn distance_before_to(words: &[Word<'_>]) -> bool {
    (0..words.len()).any(|at| {
        let before = words.iter().take(at);
        is_word(words, at, &["to"])
            && ends_with_distance(words, at)
            && before
                .filter(|word| has_figure(word.text) || is_toward(word.text))
                .count()
                > 1
    })
}

/// "northeast", "southerly" and the like.
fn is_toward(word: &str) -> bool {
    let word = word.to_ascii_lowercase();
    ["north", "south", "east", "west"]
        .iter()
        .any(|start| word.starts_with(start))
}

/// A curve with two of its elements.
fn curve_with_figures(words: &[Word<'_>]) -> bool {
    let figures = words.iter().filter(|word| has_figure(word.text)).count();
    figures > 1 && (0..words.len()).any(|at| is_word(words, at, &["curve", "arc"]))
}

#[cfg(test)]
mod tests;
