//! One line of a call table, read as a call.
//!
//! The work here is to find where the direction ends and the distance begins;
//! the words of each are read by [`read_direction`] and [`LengthReader`]. Every
//! place where the line may be cut is tried, and a line that reads in two ways
//! is refused, never guessed.

use std::f64::consts::PI;
use std::ops::Range;

use crate::angle_text::{Direction, read_direction};
use crate::deed::{Call, Rounding, Written};
use crate::last_digit::half_last_digit;
use crate::length::Length;
use crate::length_text::LengthReader;
use crate::reading::{ReadError, Reading};
use crate::second_call::{holds_call, parts};

/// What a call is written like.
pub(crate) const CALL_EXAMPLE: &str = "N45-30-15E 104.37ft to B";

/// The most bytes of a direction with its distance: beyond it the words are
/// prose, and trying every cut would take time with the square of their length.
const MAX_WORDS: usize = 160;

/// Words that may stand before a direction and say nothing about it.
const BEFORE_DIRECTION: [&str; 11] = [
    "thence", "then", "and", "run", "runs", "running", "go", "goes", "going", "bearing", "on",
];

/// Words that may stand between the direction and the distance.
const BEFORE_DISTANCE: [&str; 6] = ["for", "a", "distance", "of", "and", "length"];

/// Words that say what stands at a corner, which is not its name.
const MONUMENTS: [&str; 14] = [
    "pin", "pipe", "rod", "rebar", "stake", "stone", "post", "monument", "nail", "point", "corner",
    "tree", "spike", "pole",
];

/// A line that can't be read or can't be used, with the words at fault.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, {words:?}: {problem}; write it like {accepted}")]
pub struct LineFault {
    /// The number of the line, from one.
    pub line: usize,
    /// The whole line.
    pub words: String,
    /// The place of the words at fault, in bytes of `words`.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub problem: String,
    /// What would be accepted.
    pub accepted: String,
}

/// What a line gives.
pub(crate) enum LineReading {
    /// Its call, or several where it plainly has several.
    Calls(Vec<CallLine>),
    /// Words that are not understood.
    Unread(LineFault),
    /// Words that are understood and can't be a call: no length, not a number, an
    /// unknown unit.
    Refused(LineFault),
}

/// A call as its line has it, the corners it names, and what was assumed.
pub(crate) struct CallLine {
    pub(crate) call: Call,
    pub(crate) from: Option<String>,
    pub(crate) to: Option<LineEnd>,
    pub(crate) assumed: Vec<String>,
}

/// Where a line says that the call ends.
pub(crate) enum LineEnd {
    /// At the beginning.
    Beginning,
    /// Where the line terminates: it does not come back.
    Termination,
    /// At a corner with a name.
    Named(String),
}

/// A piece of a line and where it starts.
#[derive(Clone, Copy)]
struct Piece<'a> {
    text: &'a str,
    at: usize,
}

/// One way to cut a line.
struct Cut<'a> {
    direction_words: Piece<'a>,
    distance_words: Piece<'a>,
    direction: Reading<Direction>,
    distance: Reading<Length>,
}

/// Why a line gives no call.
struct Fault {
    at: Range<usize>,
    problem: String,
    accepted: &'static str,
    refuse: bool,
}

/// Reads one line, comments already taken off, that starts at byte `start`.
pub(crate) fn read_call_line(
    line: usize,
    start: usize,
    words: &str,
    reader: &LengthReader,
) -> LineReading {
    if let Some(calls) = read_parts(line, start, words, reader) {
        return LineReading::Calls(calls);
    }
    match read(line, start, words, reader) {
        Ok(call) => LineReading::Calls(vec![call]),
        Err(fault) => {
            let refuse = fault.refuse;
            let fault = LineFault {
                line,
                words: words.to_owned(),
                at: fault.at,
                problem: fault.problem,
                accepted: fault.accepted.to_owned(),
            };
            if refuse {
                LineReading::Refused(fault)
            } else {
                LineReading::Unread(fault)
            }
        }
    }
}

/// The calls of a line with several parts, if each of them is one.
fn read_parts(
    line: usize,
    start: usize,
    words: &str,
    reader: &LengthReader,
) -> Option<Vec<CallLine>> {
    let parts = parts(words);
    if parts.len() < 2 {
        return None;
    }
    let calls = parts
        .into_iter()
        .map(|(at, part)| read(line, start + at, part, reader).ok());
    calls.collect()
}

/// True if the words behind "to" hold another call, in the line or in a part of it.
pub(crate) fn hides_call(words: &str) -> bool {
    parts(words).into_iter().any(|(at, text)| {
        let (_, tail) = Piece { text, at }.split_tail();
        tail.is_some_and(|tail| holds_call(tail.text))
    })
}

fn read(line: usize, start: usize, words: &str, reader: &LengthReader) -> Result<CallLine, Fault> {
    let whole = Piece { text: words, at: 0 };
    let (label, rest) = whole.split_label();
    let (core, tail) = rest.without_number().split_tail();
    if let Some(tail) = tail.filter(|tail| holds_call(tail.text)) {
        return Err(tail.fault(
            "another call stands behind \"to\": give each call a line of its own, and put what is only a remark behind a #",
        ));
    }
    let (core, about) = core
        .without_leading(&BEFORE_DIRECTION)
        .without_more_or_less();
    if core.text.len() > MAX_WORDS {
        return Err(core.fault("this is too long for one call: give each call a line"));
    }
    refuse_what_is_no_number(core)?;
    let cut = cut_once(core, reader)?;
    if cut.distance.value == Length::ZERO {
        return Err(Fault {
            refuse: true,
            ..cut
                .distance_words
                .fault("the call has no length: it must lead to another corner")
        });
    }
    let (from, to) = corner_names(label, tail)?;
    let mut assumed = cut.direction.assumed.clone();
    assumed.extend(cut.distance.assumed.iter().cloned());
    if about {
        assumed.push("\"more or less\" taken as exact".to_owned());
    }
    Ok(CallLine {
        call: cut.call(line, start, words, reader),
        from,
        to,
        assumed,
    })
}

/// Finds the one cut of the words into a direction and a distance.
fn cut_once<'a>(core: Piece<'a>, reader: &LengthReader) -> Result<Cut<'a>, Fault> {
    let mut found: Option<Cut<'a>> = None;
    for (direction, distance) in core.cuts() {
        let Some(cut) = Cut::read(direction, distance, reader) else {
            continue;
        };
        match &found {
            Some(other) if !other.same_values(&cut) => {
                return Err(core.fault(&format!(
                    "this reads in two ways, {:?} then {:?} or {:?} then {:?}; mark the degrees or the feet",
                    other.direction_words.text,
                    other.distance_words.text,
                    cut.direction_words.text,
                    cut.distance_words.text,
                )));
            }
            Some(_) => {}
            None => found = Some(cut),
        }
    }
    found.ok_or_else(|| explain(core, reader))
}

/// Says which half of the words can't be read.
fn explain(core: Piece<'_>, reader: &LengthReader) -> Fault {
    if core.text.is_empty() {
        return core.fault("there is neither a direction nor a distance");
    }
    if read_direction(core.text).is_ok() {
        return core.fault("the distance is missing after the direction");
    }
    let cuts = core.cuts();
    // A distance that can be read leaves the direction to blame; it is tried
    // first, because the N of "N 95 E 60" alone would do as due north.
    let fault_of_direction = cuts
        .iter()
        .find(|(_, distance)| reader.read(distance.text).is_ok())
        .and_then(|(direction, _)| {
            Some(direction.read_fault(&read_direction(direction.text).err()?))
        });
    if let Some(fault) = fault_of_direction {
        return fault;
    }
    cuts.into_iter()
        .rfind(|(direction, _)| read_direction(direction.text).is_ok())
        .map_or_else(
            || core.fault("this is not a direction followed by a distance"),
            |(_, distance)| explain_distance(distance, reader),
        )
}

fn explain_distance(distance: Piece<'_>, reader: &LengthReader) -> Fault {
    let Err(error) = reader.read(distance.text) else {
        return distance.fault("this is not a direction followed by a distance");
    };
    let fault = distance.read_fault(&error);
    Fault {
        refuse: distance.has_unknown_unit(),
        ..fault
    }
}

/// A word such as NaN is a number that a program wrote, and no call can have it.
fn refuse_what_is_no_number(core: Piece<'_>) -> Result<(), Fault> {
    for word in core.words() {
        let bare = word.text.trim_matches(|c: char| !c.is_ascii_alphabetic());
        let is_no_number = ["nan", "inf", "infinity"]
            .iter()
            .any(|no_number| bare.eq_ignore_ascii_case(no_number));
        if is_no_number {
            return Err(Fault {
                refuse: true,
                ..word.fault("this is not a number")
            });
        }
    }
    Ok(())
}

/// The corners that a call runs from and to, by its label and its last words.
fn corner_names(
    label: Option<(Piece<'_>, Piece<'_>)>,
    tail: Option<Piece<'_>>,
) -> Result<(Option<String>, Option<LineEnd>), Fault> {
    let end = tail.and_then(Piece::line_end);
    let Some((from, to)) = label else {
        return Ok((None, end));
    };
    let named = to.text.to_owned();
    match end {
        Some(LineEnd::Named(name)) if name != named => Err(to.fault(&format!(
            "the call ends at {named:?} here and at {name:?} after \"to\""
        ))),
        _ => Ok((Some(from.text.to_owned()), Some(LineEnd::Named(named)))),
    }
}

impl<'a> Cut<'a> {
    fn read(direction: Piece<'a>, distance: Piece<'a>, reader: &LengthReader) -> Option<Self> {
        Some(Self {
            direction_words: direction,
            distance_words: distance,
            direction: read_direction(direction.text).ok()?,
            distance: reader.read(distance.text).ok()?,
        })
    }

    fn same_values(&self, other: &Self) -> bool {
        self.direction.value == other.direction.value && self.distance.value == other.distance.value
    }

    fn call(&self, line: usize, start: usize, words: &str, reader: &LengthReader) -> Call {
        let distance = half_last_digit(self.distance_words.text, |text| {
            reader.read(text).ok().map(|reading| reading.value.feet())
        });
        let direction = half_last_digit(self.direction_words.text, |text| {
            let azimuth = read_direction(text).ok()?.value.azimuth();
            Some(azimuth.radians())
        });
        // One digit either way of due north is a whole turn less one digit.
        let direction = direction.min(PI - direction);
        Call::straight(self.direction.value, self.distance.value)
            .rounded(Rounding {
                distance: Length::saturating(distance),
                direction: crate::angle::Angle::of_radians(direction),
            })
            .as_written(Written {
                line,
                words: words.to_owned(),
                at: start..start + words.len(),
                direction: self.direction_words.text.to_owned(),
                distance: self.distance_words.text.to_owned(),
            })
    }
}

impl<'a> Piece<'a> {
    /// The piece from byte `from` to byte `to` of this one, less the blanks and
    /// commas at its ends.
    fn part(self, from: usize, to: usize) -> Self {
        let text = self.text.get(from..to).unwrap_or_default();
        let trimmed = text.trim_start_matches(is_separator);
        Self {
            text: trimmed.trim_end_matches(is_separator),
            at: self.at + from + (text.len() - trimmed.len()),
        }
    }

    fn fault(self, problem: &str) -> Fault {
        Fault {
            at: self.at..self.at + self.text.len(),
            problem: problem.to_owned(),
            accepted: CALL_EXAMPLE,
            refuse: false,
        }
    }

    fn read_fault(self, error: &ReadError) -> Fault {
        let end = error.at.end.min(self.text.len());
        Fault {
            at: self.at + error.at.start.min(end)..self.at + end,
            problem: error.problem.clone(),
            accepted: error.example,
            refuse: false,
        }
    }

    /// The words between blanks and commas.
    fn words(self) -> impl Iterator<Item = Self> {
        let mut rest = self.part(0, self.text.len());
        std::iter::from_fn(move || {
            if rest.text.is_empty() {
                return None;
            }
            let end = rest.text.find(is_separator).unwrap_or(rest.text.len());
            let word = rest.part(0, end);
            rest = rest.part(end, rest.text.len());
            Some(word)
        })
    }

    /// Takes a label such as `A-B:` off the front.
    fn split_label(self) -> (Option<(Self, Self)>, Self) {
        let Some(colon) = self.text.find(':') else {
            return (None, self);
        };
        let label = self.part(0, colon);
        let Some(hyphen) = label.text.find('-') else {
            return (None, self);
        };
        let (from, to) = (
            label.part(0, hyphen),
            label.part(hyphen + 1, label.text.len()),
        );
        if is_name(from.text) && is_name(to.text) {
            (Some((from, to)), self.part(colon + 1, self.text.len()))
        } else {
            (None, self)
        }
    }

    /// Takes the number of the call, such as `1.`, `1)` or `(1)`, off the front.
    fn without_number(self) -> Self {
        let Some(first) = self.words().next() else {
            return self;
        };
        let digits = first
            .text
            .trim_start_matches('(')
            .trim_end_matches(['.', ')']);
        let is_number = digits.len() < first.text.len()
            && first.text.ends_with(['.', ')'])
            && (1..=3).contains(&digits.len())
            && digits.bytes().all(|b| b.is_ascii_digit());
        if is_number {
            let end = first.at + first.text.len() - self.at;
            self.part(end, self.text.len())
        } else {
            self
        }
    }

    /// Parts the words before a lone "to" from those after it; "to the left" leads
    /// nowhere.
    fn split_tail(self) -> (Self, Option<Self>) {
        let words: Vec<Self> = self.words().collect();
        let is = |i: usize, any: &[&str]| {
            words
                .get(i)
                .is_some_and(|word| any.iter().any(|it| word.text.eq_ignore_ascii_case(it)))
        };
        let hands = ["left", "right"];
        let is_hand = |i: usize| is(i + 1, &hands) || is(i + 1, &["the"]) && is(i + 2, &hands);
        let to = (0..words.len())
            .find(|&i| is(i, &["to"]) && !is_hand(i))
            .and_then(|i| words.get(i));
        let Some(to) = to else {
            return (self.part(0, self.text.len()), None);
        };
        let start = to.at - self.at;
        (
            self.part(0, start),
            Some(self.part(start + to.text.len(), self.text.len())),
        )
    }

    /// Takes words that say nothing off the front.
    fn without_leading(self, idle: &[&str]) -> Self {
        let mut rest = self.part(0, self.text.len());
        while let Some(word) = rest.words().next() {
            if !idle.iter().any(|idle| word.text.eq_ignore_ascii_case(idle)) {
                break;
            }
            rest = rest.part(word.at + word.text.len() - rest.at, rest.text.len());
        }
        rest
    }

    /// Takes "more or less" off the end, and says whether it was there.
    fn without_more_or_less(self) -> (Self, bool) {
        let words: Vec<Self> = self.words().collect();
        let Some((kept, last)) = words
            .split_last_chunk::<3>()
            .map(|(kept, last)| (kept.last(), last))
        else {
            return (self, false);
        };
        let said = ["more", "or", "less"]
            .iter()
            .zip(last)
            .all(|(word, piece)| piece.text.trim_end_matches('.').eq_ignore_ascii_case(word));
        match kept {
            Some(kept) if said => (self.part(0, kept.at + kept.text.len() - self.at), true),
            _ => (self, false),
        }
    }

    /// Every way to cut the piece in two: between words, and where letters meet
    /// something else, as in `E104.37` or `E-104.37`.
    fn cuts(self) -> Vec<(Self, Self)> {
        let mut cuts = Vec::new();
        let mut before: Option<char> = None;
        for (at, c) in self.text.char_indices() {
            let Some(last) = before.replace(c) else {
                continue;
            };
            let new_word = is_separator(last) && !is_separator(c);
            let new_class = last.is_alphabetic() && !c.is_alphabetic() && !is_separator(c);
            if new_word || new_class {
                let joined = new_class && c == '-';
                let distance = self.part(at + usize::from(joined), self.text.len());
                cuts.push((
                    self.part(0, at).without_dash(),
                    distance.without_leading(&BEFORE_DISTANCE),
                ));
            }
        }
        cuts
    }

    /// Takes a dash that stands alone off the end.
    fn without_dash(self) -> Self {
        match self.text.strip_suffix(['-', '–', '—']) {
            Some(less) if less.ends_with(is_separator) => self.part(0, less.len()),
            _ => self,
        }
    }

    /// True for a number and one word that is no unit.
    fn has_unknown_unit(self) -> bool {
        let number_ends = self
            .text
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap_or(self.text.len());
        let (number, unit) = self.text.split_at(number_ends);
        let unit = unit.trim();
        number.parse::<f64>().is_ok() && !unit.is_empty() && unit.chars().all(char::is_alphabetic)
    }

    /// The corner that the words after "to" name, if they name one.
    fn line_end(self) -> Option<LineEnd> {
        let words: Vec<&str> = self
            .words()
            .map(|word| word.text.trim_end_matches('.'))
            .filter(|word| !word.is_empty())
            .collect();
        let lower = words.join(" ").to_ascii_lowercase();
        if lower == "beginning" || lower.ends_with(" beginning") {
            return Some(LineEnd::Beginning);
        }
        let terminates = ["termination", "terminus"]
            .iter()
            .any(|word| lower == *word || lower.ends_with(&format!("point of {word}")));
        if terminates {
            return Some(LineEnd::Termination);
        }
        let named = match words.as_slice() {
            [name] => *name,
            [kind, name] if MONUMENTS.iter().any(|m| kind.eq_ignore_ascii_case(m)) => *name,
            _ => return None,
        };
        let is_monument = MONUMENTS.iter().any(|m| named.eq_ignore_ascii_case(m));
        (!is_monument && is_name(named)).then(|| LineEnd::Named(named.to_owned()))
    }
}

/// True for a corner's name: letters, digits, dots, primes and underscores.
pub(crate) fn is_name(text: &str) -> bool {
    (1..=40).contains(&text.chars().count())
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '.' | '_' | '\''))
}

fn is_separator(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';')
}
