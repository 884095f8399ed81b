//! Tokens of a description: words, figures and marks, each with its place.

use std::ops::Range;

use super::keywords::known;
use super::numbers::starts_number;

/// A piece of the text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Token {
    pub(super) kind: Kind,
    pub(super) start: usize,
    pub(super) end: usize,
    /// Blanks stand before it.
    pub(super) spaced: bool,
    /// It is the first of its line.
    pub(super) starts_line: bool,
    /// An empty line stands before it.
    pub(super) starts_paragraph: bool,
    /// A word that a number in words may start with.
    pub(super) is_numeral: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    /// Digits, with thousands commas taken out.
    Number {
        value: f64,
        /// Digits after the point.
        decimals: u8,
        /// Digits before the point.
        digits: u8,
    },
    /// Letters: the word of the grammar, empty for any other.
    Word(&'static str),
    /// A fraction that is one character, such as ½: its value and half a unit of
    /// its denominator.
    Vulgar(f64, f64),
    Degree,
    Prime,
    DoublePrime,
    /// What stands where a degree sign was lost: `*`, `^`, `¦`, `?` and the like.
    Damaged,
    Dash,
    Plus,
    PlusMinus,
    Slash,
    Comma,
    Semicolon,
    Period,
    Colon,
    Equals,
    Open,
    Close,
    Other,
    /// Past the end.
    End,
}

/// The word that is often run into the one behind it, as in `ThenceSouth`.
const THENCE: &str = "thence";

/// Parts a text into tokens.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::with_capacity(text.len() / 4);
    let (mut at, mut lines, mut blank) = (0, 1, true);
    while let Some(first) = text.get(at..).and_then(|rest| rest.chars().next()) {
        if first.is_whitespace() {
            lines += usize::from(first == '\n');
            blank = true;
            at += first.len_utf8();
            continue;
        }
        let (kind, length) = token(text, at, first);
        tokens.push(Token {
            kind,
            start: at,
            end: at + length,
            spaced: blank,
            starts_line: lines > 0,
            starts_paragraph: lines > 1 || tokens.is_empty(),
            is_numeral: matches!(kind, Kind::Word(word) if starts_number(word)),
        });
        (lines, blank) = (0, false);
        at += length;
    }
    tokens
}

fn token(text: &str, at: usize, first: char) -> (Kind, usize) {
    let rest = text.get(at..).unwrap_or_default();
    if first.is_ascii_digit() || (first == '.' && digits(rest, 1) > 0 && !is_joined(text, at)) {
        return number(rest);
    }
    if first.is_alphabetic() {
        return initials(rest).unwrap_or_else(|| word(rest));
    }
    let kind = mark(first);
    let length = first.len_utf8();
    if kind == Kind::Prime
        && let Some(second) = rest.get(length..).and_then(|rest| rest.chars().next())
        && mark(second) == Kind::Prime
    {
        return (Kind::DoublePrime, length + second.len_utf8());
    }
    (kind, length)
}

/// A letter or a digit stands right before `at`.
fn is_joined(text: &str, at: usize) -> bool {
    text.get(..at)
        .and_then(|before| before.chars().next_back())
        .is_some_and(char::is_alphanumeric)
}

fn mark(c: char) -> Kind {
    match c {
        '\'' | '′' | '’' | '‘' | '´' | '`' | 'ʹ' => Kind::Prime,
        '"' | '″' | '”' | '“' | 'ʺ' => Kind::DoublePrime,
        '°' | 'º' | '˚' => Kind::Degree,
        '*' | '^' | '¦' | '?' | '\u{fffd}' | '¡' | '¤' => Kind::Damaged,
        '-' | '‐' | '‑' | '‒' | '–' | '—' | '−' | '·' => Kind::Dash,
        '+' => Kind::Plus,
        '±' => Kind::PlusMinus,
        '/' | '⁄' | '∕' => Kind::Slash,
        ',' => Kind::Comma,
        ';' => Kind::Semicolon,
        '.' | '_' => Kind::Period,
        ':' => Kind::Colon,
        '=' => Kind::Equals,
        '(' | '[' => Kind::Open,
        ')' | ']' => Kind::Close,
        '&' => Kind::Word("and"),
        'Δ' | '∆' => Kind::Word("delta"),
        '½' => Kind::Vulgar(1.0 / 2.0, 1.0 / 4.0),
        '¼' => Kind::Vulgar(1.0 / 4.0, 1.0 / 8.0),
        '¾' => Kind::Vulgar(3.0 / 4.0, 1.0 / 8.0),
        '⅛' => Kind::Vulgar(1.0 / 8.0, 1.0 / 16.0),
        '⅜' => Kind::Vulgar(3.0 / 8.0, 1.0 / 16.0),
        '⅝' => Kind::Vulgar(5.0 / 8.0, 1.0 / 16.0),
        '⅞' => Kind::Vulgar(7.0 / 8.0, 1.0 / 16.0),
        '⅓' => Kind::Vulgar(1.0 / 3.0, 1.0 / 6.0),
        '⅔' => Kind::Vulgar(2.0 / 3.0, 1.0 / 6.0),
        _ => Kind::Other,
    }
}

/// How many digits stand from byte `from` on.
fn digits(text: &str, from: usize) -> usize {
    text.bytes()
        .skip(from)
        .take_while(u8::is_ascii_digit)
        .count()
}

/// Digits, thousands commas and decimals. The value is built without copying
/// where the text has no comma.
fn number(rest: &str) -> (Kind, usize) {
    let mut whole = digits(rest, 0);
    let mut commas = 0;
    if (1..=3).contains(&whole) {
        while rest.as_bytes().get(whole) == Some(&b',') && digits(rest, whole + 1) == 3 {
            whole += 4;
            commas += 1;
        }
    }
    let decimals = match rest.as_bytes().get(whole) {
        Some(b'.') => digits(rest, whole + 1),
        _ => 0,
    };
    let length = if decimals > 0 {
        whole + 1 + decimals
    } else {
        whole
    };
    let written = rest.get(..length).unwrap_or_default();
    let value = if commas > 0 {
        written.replace(',', "").parse()
    } else {
        written.parse()
    };
    let kind = Kind::Number {
        value: value.unwrap_or(f64::INFINITY),
        decimals: u8::try_from(decimals).unwrap_or(u8::MAX),
        digits: u8::try_from(whole - commas).unwrap_or(u8::MAX),
    };
    (kind, length)
}

/// The initials of the points of beginning and of commencement.
fn initials(rest: &str) -> Option<(Kind, usize)> {
    const WRITTEN: [(&str, &str); 2] = [("P.O.B", "pob"), ("P.O.C", "commencement")];
    WRITTEN.into_iter().find_map(|(initials, word)| {
        let written = rest.get(..initials.len())?;
        written
            .eq_ignore_ascii_case(initials)
            .then_some((Kind::Word(word), initials.len()))
    })
}

/// Letters, and an apostrophe between them.
fn word(rest: &str) -> (Kind, usize) {
    let mut length = 0;
    let mut chars = rest.chars().peekable();
    while let Some(c) = chars.next() {
        let inside = matches!(c, '\'' | '’') && length > 0 && {
            let after = chars.peek().copied();
            after.is_some_and(char::is_alphabetic)
        };
        if !(inside || (c.is_alphabetic() && mark(c) == Kind::Other)) {
            break;
        }
        length += c.len_utf8();
    }
    if length == 0 {
        // A letter such as Δ or º that is a mark here.
        let first = rest.chars().next().unwrap_or(' ');
        return (mark(first), first.len_utf8());
    }
    let written = rest.get(..length).unwrap_or_default();
    let word = known(written);
    if word.is_empty()
        && let Some(head) = written.get(..THENCE.len())
        && head.eq_ignore_ascii_case(THENCE)
    {
        return (Kind::Word(known(head)), head.len());
    }
    (Kind::Word(word), length)
}

/// Whether a figure may stand for a degree sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HiddenSign {
    None,
    /// Both readings are possible.
    Perhaps,
    /// The figure is the sign.
    Sure,
}

/// A letter of a quadrant, three figures past 90 that end in 0 or 1, and more
/// figures.
fn figure_for_sign(three: &[Token]) -> bool {
    match three {
        [letter, degrees, minutes] => {
            let first = if letter.kind == Kind::Period {
                true
            } else {
                matches!(letter.kind, Kind::Word("north" | "south"))
            };
            let past = matches!(
                degrees.kind,
                Kind::Number { value, decimals: 0, digits: 3 } if value > 90.0 && value % 10.0 < 2.0
            );
            first && past && matches!(minutes.kind, Kind::Number { digits: 1..=3, .. })
        }
        _ => false,
    }
}

/// The tokens of a text, with what the grammar asks of them.
pub(super) struct Tokens<'t> {
    pub(super) text: &'t str,
    tokens: Vec<Token>,
    /// Where each line starts.
    lines: Vec<usize>,
    /// Somewhere a degree sign has become a figure, as in `N 680 23' E`.
    has_figures_for_signs: bool,
}

impl<'t> Tokens<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let lines = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        let tokens = tokens(text);
        Self {
            text,
            has_figures_for_signs: tokens.windows(3).any(figure_for_sign),
            tokens,
            lines,
        }
    }

    /// Whether the degrees at `i`, without a sign behind them, may have theirs as
    /// their last figure.
    pub(super) fn hidden_sign(&self, i: usize) -> HiddenSign {
        let Kind::Number {
            value,
            decimals: 0,
            digits,
        } = self.kind(i)
        else {
            return HiddenSign::None;
        };
        let ends_in_sign = value % 10.0 < 2.0;
        if !ends_in_sign || !matches!(self.kind(i + 1), Kind::Number { .. }) {
            return HiddenSign::None;
        }
        match (digits, self.has_figures_for_signs) {
            (3, true) if value < 100.0 => HiddenSign::Sure,
            (3, false) if value < 100.0 => HiddenSign::Perhaps,
            (2, true) => HiddenSign::Perhaps,
            _ => HiddenSign::None,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.tokens.len()
    }

    pub(super) fn get(&self, i: usize) -> Option<&Token> {
        self.tokens.get(i)
    }

    pub(super) fn kind(&self, i: usize) -> Kind {
        self.tokens.get(i).map_or(Kind::End, |token| token.kind)
    }

    /// The word of the grammar at `i`; empty where there is none.
    pub(super) fn word(&self, i: usize) -> &'static str {
        match self.kind(i) {
            Kind::Word(word) => word,
            _ => "",
        }
    }

    pub(super) fn is_word(&self, i: usize) -> bool {
        matches!(self.kind(i), Kind::Word(_))
    }

    /// The word before `i`, periods and commas skipped.
    pub(super) fn word_before(&self, i: usize) -> &'static str {
        let mut i = i;
        while let Some(before) = i.checked_sub(1) {
            i = before;
            if !matches!(self.kind(i), Kind::Period | Kind::Comma | Kind::Colon) {
                return self.word(i);
            }
        }
        ""
    }

    pub(super) fn spaced(&self, i: usize) -> bool {
        self.tokens.get(i).is_none_or(|token| token.spaced)
    }

    /// True if the number at `i` has a minus sign: a hyphen with a blank before it and
    /// none behind it.
    pub(super) fn is_negative(&self, i: usize) -> bool {
        let Some(dash) = i.checked_sub(1) else {
            return false;
        };
        matches!(self.words(dash, i), "-" | "−") && self.spaced(dash) && !self.spaced(i)
    }

    /// The bytes of tokens `from..to`.
    pub(super) fn place(&self, from: usize, to: usize) -> Range<usize> {
        let start = self.tokens.get(from).map_or(self.text.len(), |t| t.start);
        let end = to
            .checked_sub(1)
            .and_then(|last| self.tokens.get(last))
            .map_or(start, |t| t.end);
        start..end.max(start)
    }

    /// The words of tokens `from..to`.
    pub(super) fn words(&self, from: usize, to: usize) -> &'t str {
        self.text.get(self.place(from, to)).unwrap_or_default()
    }

    /// The number of the line, from one, that byte `at` stands in.
    pub(super) fn line(&self, at: usize) -> usize {
        self.lines.partition_point(|&start| start <= at)
    }

    /// The first of `i` and what follows that is neither a period nor a comma.
    pub(super) fn past_stops(&self, mut i: usize) -> usize {
        while matches!(self.kind(i), Kind::Period | Kind::Comma) {
            i += 1;
        }
        i
    }

    pub(super) fn past(&self, i: usize, kind: Kind) -> usize {
        if self.kind(i) == kind { i + 1 } else { i }
    }
}
