//! Clauses of a description, by the words that begin them.

use super::elements::is_direction_word;
use super::lexer::{Kind, Tokens};

/// A stretch of tokens that says one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Clause {
    pub(super) opens: Opening,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// What a clause begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Opening {
    /// "thence".
    Thence,
    /// "commencing at": ties follow.
    Commencing,
    /// "beginning at".
    Beginning,
    /// "containing": an area follows.
    Containing,
    /// "less and except".
    Except,
    /// "together with", "also".
    Also,
    /// The number of a course, or the start of a line or sentence.
    Plain,
}

/// Parts the text into clauses.
pub(super) fn clauses(tokens: &Tokens<'_>) -> Vec<Clause> {
    let mut parting = Parting {
        tokens,
        done: Vec::new(),
        opens: Opening::Plain,
        start: 0,
        depth: 0,
    };
    let mut i = 0;
    while i < tokens.len() {
        i = parting.step(i);
    }
    parting.close(tokens.len());
    parting.done
}

struct Parting<'s, 't> {
    tokens: &'s Tokens<'t>,
    done: Vec<Clause>,
    opens: Opening,
    start: usize,
    /// Parentheses open.
    depth: usize,
}

impl Parting<'_, '_> {
    fn close(&mut self, to: usize) {
        if to > self.start {
            self.done.push(Clause {
                opens: self.opens,
                from: self.start,
                to,
            });
        }
        self.depth = 0;
    }

    /// Begins a clause at `i`.
    fn open(&mut self, opens: Opening, i: usize) {
        self.close(i);
        (self.opens, self.start) = (opens, i);
    }

    fn step(&mut self, i: usize) -> usize {
        let Some(token) = self.tokens.get(i) else {
            return i + 1;
        };
        if token.starts_paragraph {
            self.open(Opening::Plain, i);
        }
        if token.starts_line
            && let Some(next) = past_course_number(self.tokens, i)
        {
            self.close(i);
            (self.opens, self.start) = (Opening::Plain, next);
            return next;
        }
        if let Some(opens) = self.opening(i) {
            self.open(opens, i);
            return i + 1;
        }
        match token.kind {
            Kind::Open => self.depth += 1,
            Kind::Close => self.depth = self.depth.saturating_sub(1),
            Kind::Semicolon if self.depth == 0 => self.open(Opening::Plain, i + 1),
            Kind::Colon if self.depth == 0 && self.colon_ends(i) => {
                self.open(Opening::Plain, i + 1);
            }
            Kind::Period if self.depth == 0 && self.sentence_ends(i) => {
                self.open(Opening::Plain, i + 1);
            }
            _ => {}
        }
        i + 1
    }

    /// What the word at `i` opens, if it opens a clause.
    fn opening(&self, i: usize) -> Option<Opening> {
        let next = self.tokens.word(self.tokens.past(i + 1, Kind::Period));
        match self.tokens.word(i) {
            "thence" => Some(Opening::Thence),
            "then" if goes_on(next) && !self.is_ordinal(i) => Some(Opening::Thence),
            "commence" if self.is_start(i) => Some(Opening::Commencing),
            "begin" if self.is_start(i) => Some(Opening::Beginning),
            "from"
                if self.is_first(i)
                    && matches!(next, "the" | "a" | "said")
                    && self.is_capital(i) =>
            {
                Some(Opening::Commencing)
            }
            "contain" | "aggregate" | "area" if self.area_follows(i) => Some(Opening::Containing),
            "except" if self.depth == 0 && next != "for" => Some(Opening::Except),
            "together" if next == "with" => Some(Opening::Also),
            "also" if self.is_first(i) && self.is_capital(i) => Some(Opening::Also),
            _ => None,
        }
    }

    /// "beginning at", "commencing N 20 E": a start, not the mention of one.
    fn is_start(&self, i: usize) -> bool {
        let mentioned = matches!(
            self.tokens.word_before(i),
            "of" | "the" | "said" | "pointof" | "to" | "true" | "place" | "actual"
        );
        let at = self.tokens.past(i + 1, Kind::Comma);
        let goes_on = matches!(
            self.tokens.word(at),
            "at" | "on" | "upon" | "in" | "from" | "for" | "near" | "with" | "a" | "an"
        ) || is_direction_word(self.tokens.word(at))
            || matches!(self.tokens.kind(at), Kind::Number { .. });
        !mentioned && goes_on
    }

    /// The ending of "6th".
    fn is_ordinal(&self, i: usize) -> bool {
        let before = i.checked_sub(1).map_or(Kind::End, |j| self.tokens.kind(j));
        matches!(before, Kind::Number { .. })
    }

    fn is_first(&self, i: usize) -> bool {
        (self.start..i).all(|j| !self.tokens.is_word(j))
    }

    fn is_capital(&self, i: usize) -> bool {
        self.tokens
            .words(i, i + 1)
            .starts_with(|c: char| c.is_uppercase())
    }

    /// A number and a unit of area within the words that follow.
    fn area_follows(&self, i: usize) -> bool {
        let mut seen = 0;
        for j in i + 1..i + 24 {
            match self.tokens.kind(j) {
                Kind::Word("acre" | "hectare" | "rood") => return true,
                Kind::Word("square") => return true,
                Kind::Word("thence" | "feet") | Kind::Semicolon | Kind::End => return false,
                _ => seen += 1,
            }
            if seen > 16 {
                return false;
            }
        }
        false
    }

    /// A colon behind the label of a figure ends nothing.
    fn colon_ends(&self, i: usize) -> bool {
        !matches!(
            self.tokens.word_before(i),
            "bears"
                | "bearing"
                | "radius"
                | "length"
                | "chord"
                | "delta"
                | "arc"
                | "distance"
                | "angle"
                | "r"
                | "l"
        )
    }

    /// A period behind a word that is no abbreviation and before a capital.
    fn sentence_ends(&self, i: usize) -> bool {
        let Some(before) = i.checked_sub(1) else {
            return false;
        };
        let next_is_capital =
            self.tokens.spaced(i + 1) && self.tokens.is_word(i + 1) && self.is_capital(i + 1);
        let ends = match self.tokens.kind(before) {
            Kind::Word(_) => self.tokens.words(before, i).len() > 3,
            Kind::Number { .. } | Kind::Close | Kind::Prime | Kind::DoublePrime => true,
            _ => false,
        };
        next_is_capital && ends
    }
}

fn goes_on(word: &str) -> bool {
    matches!(
        word,
        "run" | "go" | "continue" | "along" | "with" | "due" | "deflect" | "turn" | "by" | "extend"
    ) || is_direction_word(word)
}

/// `1.`, `1)` or `(1)` at the start of a line: the token behind it.
fn past_course_number(tokens: &Tokens<'_>, i: usize) -> Option<usize> {
    let opened = tokens.kind(i) == Kind::Open;
    let number = i + usize::from(opened);
    let is_number = matches!(
        tokens.kind(number),
        Kind::Number {
            decimals: 0,
            digits: 1..=3,
            ..
        }
    );
    let closed = match tokens.kind(number + 1) {
        Kind::Close => true,
        Kind::Period => {
            !opened && (tokens.spaced(number + 2) || tokens.kind(number + 2) == Kind::Close)
        }
        _ => false,
    };
    (is_number && closed).then(|| tokens.past(number + 2, Kind::Close))
}
