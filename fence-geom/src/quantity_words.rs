//! The words of a quantity's text: figures, marks and names, each with its
//! place, before they mean a length or an angle.

use std::ops::Range;

use crate::reading::ReadError;

/// A piece of the text and where it stands, in bytes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Word {
    pub(crate) kind: Kind,
    pub(crate) at: Range<usize>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kind {
    /// Digits, with thousands commas taken out.
    Figure {
        value: f64,
        /// Digits before the decimal point.
        whole_digits: usize,
        /// Without a decimal point.
        whole: bool,
    },
    /// A fraction that is one character, such as ½.
    Vulgar(f64),
    /// Letters, in lower case and without periods.
    Name(String),
    /// The mark of feet or minutes.
    Prime,
    /// The mark of inches or seconds.
    DoublePrime,
    /// The mark of degrees.
    Degree,
    Dash,
    Plus,
    Slash,
    Comma,
    Open,
    Close,
}

/// What is wrong with a text, and where.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fault {
    pub(crate) at: Range<usize>,
    pub(crate) problem: String,
}

/// A number as it was written.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Figure {
    pub(crate) value: f64,
    /// Neither decimals nor a fraction.
    pub(crate) whole: bool,
    pub(crate) at: Range<usize>,
}

/// The words of a text, read from the front.
pub(crate) struct Words {
    words: Vec<Word>,
    next: usize,
    /// The length of the text.
    end: usize,
}

impl Fault {
    pub(crate) fn new(at: Range<usize>, problem: impl Into<String>) -> Self {
        Self {
            at,
            problem: problem.into(),
        }
    }

    pub(crate) fn of(self, text: &str, wanted: &'static str, example: &'static str) -> ReadError {
        ReadError {
            text: text.to_owned(),
            wanted,
            at: self.at,
            problem: self.problem,
            example,
        }
    }
}

impl Words {
    pub(crate) fn of(text: &str) -> Result<Self, Fault> {
        let mut words = Vec::new();
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let start = text.len() - rest.len();
            let length = if first.is_whitespace() {
                first.len_utf8()
            } else {
                let (kind, length) = word(rest, first)
                    .map_err(|problem| Fault::new(start..start + first.len_utf8(), problem))?;
                words.push(Word {
                    kind,
                    at: start..start + length,
                });
                length
            };
            rest = rest.get(length..).unwrap_or("");
        }
        if words.is_empty() {
            return Err(Fault::new(0..text.len(), "it is empty"));
        }
        Ok(Self {
            words,
            next: 0,
            end: text.len(),
        })
    }

    /// Cuts names in two where `split` says after how many bytes.
    pub(crate) fn split_names(&mut self, split: impl Fn(&str) -> Option<usize>) {
        let mut cut = Vec::with_capacity(self.words.len());
        for word in self.words.drain(..) {
            let parts = match &word.kind {
                Kind::Name(name) => split(name).and_then(|length| name.split_at_checked(length)),
                _ => None,
            };
            if let Some((head, tail)) = parts {
                // A period may stand between the letters, so the places of the
                // two parts overlap.
                for part in [head, tail] {
                    cut.push(Word {
                        kind: Kind::Name(part.to_owned()),
                        at: word.at.clone(),
                    });
                }
            } else {
                cut.push(word);
            }
        }
        self.words = cut;
    }

    /// The kind of the word `ahead` of the next one.
    pub(crate) fn peek(&self, ahead: usize) -> Option<&Kind> {
        self.words.get(self.next + ahead).map(|word| &word.kind)
    }

    pub(crate) fn is_at_end(&self) -> bool {
        self.peek(0).is_none()
    }

    pub(crate) fn skip(&mut self, count: usize) {
        self.next = (self.next + count).min(self.words.len());
    }

    /// Takes the next word if it is of this kind.
    pub(crate) fn take(&mut self, kind: &Kind) -> bool {
        let is_next = self.peek(0) == Some(kind);
        if is_next {
            self.next += 1;
        }
        is_next
    }

    /// True if the next word is a minus sign: a dash with a blank or nothing before it
    /// and a number right behind it.
    pub(crate) fn is_minus_next(&self) -> bool {
        let before = self.next.checked_sub(1).and_then(|i| self.words.get(i));
        let (Some(dash), Some(number)) = (self.words.get(self.next), self.words.get(self.next + 1))
        else {
            return false;
        };
        dash.kind == Kind::Dash
            && matches!(number.kind, Kind::Figure { .. } | Kind::Vulgar(_))
            && number.at.start == dash.at.end
            && before.is_none_or(|before| before.at.end < dash.at.start)
    }

    /// Takes the next word if it is a name that `accept` knows.
    pub(crate) fn take_name<T>(&mut self, accept: impl Fn(&str) -> Option<T>) -> Option<T> {
        let Some(Kind::Name(name)) = self.peek(0) else {
            return None;
        };
        let known = accept(name);
        if known.is_some() {
            self.next += 1;
        }
        known
    }

    /// The place of the next word; the end of the text where there is none.
    pub(crate) fn here(&self) -> Range<usize> {
        self.words
            .get(self.next)
            .map_or(self.end..self.end, |word| word.at.clone())
    }

    /// From the place `start` to the last word taken.
    pub(crate) fn since(&self, start: usize) -> Range<usize> {
        let taken = self.next.checked_sub(1).and_then(|i| self.words.get(i));
        start..taken.map_or(start, |word| word.at.end.max(start))
    }

    /// From the next word to the end.
    pub(crate) fn remainder(&self) -> Range<usize> {
        let end = self.words.last().map_or(self.end, |word| word.at.end);
        self.here().start..end
    }

    pub(crate) fn expect_end(&self) -> Result<(), Fault> {
        if self.is_at_end() {
            return Ok(());
        }
        Err(Fault::new(
            self.remainder(),
            "these words are left over at the end",
        ))
    }

    /// Takes a number: `6`, `6.5`, `6-1/2`, `6 1/2`, `6½` or `1/2`.
    pub(crate) fn figure(&mut self) -> Result<Figure, Fault> {
        let start = self.here().start;
        if self.fraction_is_ahead(0) {
            let value = self.fraction()?;
            return Ok(self.figure_since(start, value, false));
        }
        let Some(&Kind::Figure { value, whole, .. }) = self.peek(0) else {
            return Err(Fault::new(self.here(), "a number is missing here"));
        };
        self.skip(1);
        let dashed = usize::from(self.peek(0) == Some(&Kind::Dash));
        if !self.fraction_is_ahead(dashed) {
            return Ok(self.figure_since(start, value, whole));
        }
        if !whole {
            return Err(Fault::new(
                start..self.remainder().end,
                "a number has decimals or a fraction, not both",
            ));
        }
        self.skip(dashed);
        let fraction = self.fraction()?;
        Ok(self.figure_since(start, value + fraction, false))
    }

    fn figure_since(&self, start: usize, value: f64, whole: bool) -> Figure {
        Figure {
            value,
            whole,
            at: self.since(start),
        }
    }

    fn fraction_is_ahead(&self, ahead: usize) -> bool {
        match self.peek(ahead) {
            Some(Kind::Vulgar(_)) => true,
            Some(Kind::Figure { .. }) => self.peek(ahead + 1) == Some(&Kind::Slash),
            _ => false,
        }
    }

    fn fraction(&mut self) -> Result<f64, Fault> {
        if let Some(&Kind::Vulgar(value)) = self.peek(0) {
            self.skip(1);
            return Ok(value);
        }
        let start = self.here().start;
        let numerator = self.peek(0).cloned();
        let denominator = self.peek(2).cloned();
        self.skip(3);
        let at = self.since(start);
        let (
            Some(Kind::Figure {
                value: n,
                whole: true,
                ..
            }),
            Some(Kind::Figure {
                value: d,
                whole: true,
                ..
            }),
        ) = (numerator, denominator)
        else {
            return Err(Fault::new(
                at,
                "a fraction has a whole number on each side of its slash",
            ));
        };
        if d <= 0.0 {
            return Err(Fault::new(at, "the lower number of a fraction can't be 0"));
        }
        if n >= d {
            // 121/2 is more often a 12 1/2 without its gap than 60 1/2.
            return Err(Fault::new(
                at,
                "a fraction must be less than 1; put a hyphen between the whole number and the fraction",
            ));
        }
        Ok(n / d)
    }
}

/// Reads one word off the front of `rest`: what it is and how many bytes.
fn word(rest: &str, first: char) -> Result<(Kind, usize), String> {
    if let Some(kind) = mark(first) {
        let length = first.len_utf8();
        let again = rest.get(length..).and_then(|after| after.chars().next());
        if kind == Kind::Prime
            && let Some(second) = again.filter(|&c| mark(c) == Some(Kind::Prime))
        {
            return Ok((Kind::DoublePrime, length + second.len_utf8()));
        }
        return Ok((kind, length));
    }
    if first.is_ascii_digit() || (first == '.' && digits(rest, 1) > 0) {
        return number(rest);
    }
    if first.is_alphabetic() {
        return name(rest);
    }
    Err(format!("{first:?} has no meaning here"))
}

fn mark(c: char) -> Option<Kind> {
    Some(match c {
        '\'' | '′' | '’' | '‘' | '´' | '`' | 'ʹ' => Kind::Prime,
        '"' | '″' | '”' | '“' | 'ʺ' => Kind::DoublePrime,
        '°' | 'º' | '˚' => Kind::Degree,
        '-' | '‐' | '‑' | '‒' | '–' | '—' | '−' => Kind::Dash,
        '+' => Kind::Plus,
        '/' | '⁄' | '∕' => Kind::Slash,
        ',' => Kind::Comma,
        '(' => Kind::Open,
        ')' => Kind::Close,
        '½' => Kind::Vulgar(1.0 / 2.0),
        '¼' => Kind::Vulgar(1.0 / 4.0),
        '¾' => Kind::Vulgar(3.0 / 4.0),
        '⅛' => Kind::Vulgar(1.0 / 8.0),
        '⅜' => Kind::Vulgar(3.0 / 8.0),
        '⅝' => Kind::Vulgar(5.0 / 8.0),
        '⅞' => Kind::Vulgar(7.0 / 8.0),
        '⅓' => Kind::Vulgar(1.0 / 3.0),
        '⅔' => Kind::Vulgar(2.0 / 3.0),
        _ => return None,
    })
}

/// How many digits stand from byte `from` on.
fn digits(text: &str, from: usize) -> usize {
    text.bytes()
        .skip(from)
        .take_while(u8::is_ascii_digit)
        .count()
}

fn number(rest: &str) -> Result<(Kind, usize), String> {
    let mut length = digits(rest, 0);
    if (1..=3).contains(&length) {
        while rest.as_bytes().get(length) == Some(&b',') && digits(rest, length + 1) == 3 {
            length += 4;
        }
    }
    let whole_length = length;
    let whole = rest.as_bytes().get(length) != Some(&b'.');
    if !whole {
        length += 1 + digits(rest, length + 1);
    }
    let written = rest.get(..length).unwrap_or("");
    let figure = written.replace(',', "");
    let value: f64 = figure
        .parse()
        .map_err(|_| format!("{written:?} is not a number"))?;
    let whole_digits = rest
        .bytes()
        .take(whole_length)
        .filter(u8::is_ascii_digit)
        .count();
    Ok((
        Kind::Figure {
            value,
            whole_digits,
            whole,
        },
        length,
    ))
}

fn name(rest: &str) -> Result<(Kind, usize), String> {
    let mut letters = String::new();
    let mut length = 0;
    for c in rest.chars() {
        if c == '.' {
            if digits(rest, length + 1) > 0 {
                return Err(
                    "a period between letters and digits can be read in two ways; put a space after it"
                        .to_owned(),
                );
            }
        } else if c.is_alphabetic() && mark(c).is_none() {
            letters.extend(c.to_lowercase());
        } else {
            break;
        }
        length += c.len_utf8();
    }
    Ok((Kind::Name(letters), length))
}
