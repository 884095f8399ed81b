//! The reading of a whole description: clause by clause, into tracts.

use std::ops::Range;

use crate::call_line::LineFault;
use crate::curve::Leaves;
use crate::deed::{Rounding, TERMINATION, Written};
use crate::length::{Area, Length};
use crate::ring::Turn;
use crate::tract::{StatedCall, StatedCourse, Tract};
use crate::units::{FootKind, Vara};

use super::areas::stated_area;
use super::bearings::Found;
use super::calls::{Draft, Drafts, drafts};
use super::clauses::{Clause, Opening, clauses};
use super::curves::{CurvePlace, CurveRead, Follows, curve, curve_places};
use super::distances::{Units, distance};
use super::elements::{AzimuthZero, Manner, elements, past_parenthesis, reaches_beginning};
use super::lexer::{Kind, Tokens};
use super::{Assumed, Description, Note, Unread};

const CALL_EXAMPLE: &str = "thence N 45°30'15\" E 104.37 feet";
const CURVE_EXAMPLE: &str = "thence along a curve to the left, radius 50.00 feet, arc length 30.00 feet, chord bearing N 45°30'15\" E";

/// A description half read.
struct DescriptionReading<'t> {
    tokens: Tokens<'t>,
    manner: Manner,
    tract: Open,
    tracts: Vec<Tract>,
    unread: Vec<Unread>,
    assumed: Vec<Assumed>,
    notes: Vec<Note>,
    /// The text says in words where it begins.
    has_start: bool,
    /// Calls are expected: a start or a "thence" has been seen.
    in_calls: bool,
    /// The curve that the call before led to.
    ahead: Option<CurveRead>,
    last_turn: Option<Turn>,
    next_is_exception: bool,
    /// A call of which nothing is known yet.
    gap: Option<StatedCall>,
}

/// A tract half read.
#[derive(Default)]
struct Open {
    ties: Vec<StatedCall>,
    calls: Vec<StatedCall>,
    area: Option<Area>,
    is_exception: bool,
    strip_width: Option<Length>,
    starts: Option<Opening>,
    /// Counts of calls at which the beginning was said to be reached.
    beginnings: Vec<usize>,
    /// The count of calls at which the line was last said to terminate.
    terminates: Option<usize>,
    seen: bool,
}

/// A text parted into clauses.
pub(super) struct Prose<'t> {
    tokens: Tokens<'t>,
    clauses: Vec<Clause>,
}

impl<'t> Prose<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let tokens = Tokens::of(text);
        let clauses = clauses(&tokens);
        Self { tokens, clauses }
    }

    /// True if the text says in words where it begins.
    pub(super) fn has_start(&self) -> bool {
        self.clauses
            .iter()
            .any(|clause| matches!(clause.opens, Opening::Commencing | Opening::Beginning))
    }

    /// Reads the tracts. Without a start and a "thence" every clause may be a call.
    pub(super) fn read(self) -> Description {
        let has_start = self.has_start();
        let is_bare = !has_start
            && !self
                .clauses
                .iter()
                .any(|clause| clause.opens == Opening::Thence);
        let mut reading = DescriptionReading::of(self.tokens, is_bare);
        reading.has_start = has_start;
        for clause in self.clauses {
            reading.clause(clause);
        }
        reading.finish()
    }
}

/// The vara of the state that a text names.
fn vara(text: &str) -> Vara {
    if text.contains("California") {
        Vara::California
    } else {
        Vara::Texas
    }
}

/// The direction that the azimuths of a text are counted from, if it has any.
fn azimuth_zero(tokens: &Tokens<'_>) -> Option<AzimuthZero> {
    let first = (0..tokens.len()).find(|&i| tokens.word(i) == "azimuth")?;
    let from = (first..tokens.len()).find_map(|i| {
        if tokens.word(i) != "from" {
            return None;
        }
        (i + 1..i + 4).find_map(|j| match tokens.word(j) {
            "south" => Some(AzimuthZero::South),
            "north" => Some(AzimuthZero::North),
            _ => None,
        })
    });
    Some(from.unwrap_or(AzimuthZero::North))
}

impl<'t> DescriptionReading<'t> {
    fn of(tokens: Tokens<'t>, in_calls: bool) -> Self {
        let manner = Manner {
            units: Units {
                foot: FootKind::International,
                chain_foot: FootKind::UsSurvey,
                vara: vara(tokens.text),
                last: None,
            },
            azimuths: azimuth_zero(&tokens),
            is_start: false,
        };
        Self {
            tokens,
            manner,
            tract: Open::default(),
            tracts: Vec::new(),
            unread: Vec::new(),
            assumed: Vec::new(),
            notes: Vec::new(),
            has_start: false,
            in_calls,
            ahead: None,
            last_turn: None,
            next_is_exception: false,
            gap: None,
        }
    }

    fn clause(&mut self, clause: Clause) {
        if clause.opens != Opening::Plain {
            self.settle_gap();
        }
        match clause.opens {
            Opening::Commencing | Opening::Beginning => self.start(clause),
            Opening::Thence => {
                self.in_calls = true;
                self.tract.seen = true;
                self.call(clause);
            }
            Opening::Containing => {
                if let Some(area) = self.area(clause) {
                    self.tract.area = Some(area);
                }
                self.in_calls = false;
            }
            Opening::Except | Opening::Also => {
                self.close_tract();
                self.next_is_exception = clause.opens == Opening::Except;
                self.in_calls = false;
            }
            Opening::Plain if self.in_calls || self.is_first_call(clause) => self.call(clause),
            Opening::Plain => self.preamble(clause),
        }
        if self.in_calls && self.terminates(clause) {
            self.tract.terminates = Some(self.tract.calls.len());
        }
    }

    /// A call before the first "thence" of a text that does not say where it begins.
    fn is_first_call(&self, clause: Clause) -> bool {
        if self.has_start {
            return false;
        }
        let found = elements(&self.tokens, clause.from, clause.to, &self.manner);
        let drafts = drafts(found);
        drafts.calls.iter().any(Draft::is_whole)
            || (!drafts.bad.is_empty() && self.starts_with_direction(clause))
    }

    /// True if the clause says that the line ends: not "the terminus of said curve".
    fn terminates(&self, clause: Clause) -> bool {
        (clause.from..clause.to).any(|i| {
            let of_curve = || {
                let next = (i + 1..clause.to.min(i + 5)).map(|j| self.tokens.word(j));
                next.take_while(|word| *word != "thence")
                    .any(|word| word == "curve")
            };
            self.tokens.word(i) == "terminate" && !of_curve()
        })
    }

    fn area(&self, clause: Clause) -> Option<Area> {
        stated_area(&self.tokens, clause.from, clause.to, &self.manner.units)
    }

    /// Words before the calls: a strip and its width.
    fn preamble(&mut self, clause: Clause) {
        let is_strip =
            (clause.from..clause.to).any(|i| matches!(self.tokens.word(i), "strip" | "centerline"));
        if is_strip && self.tract.strip_width.is_none() {
            self.tract.strip_width = self.width(clause);
        }
    }

    /// "20 feet wide", "36.576 meters in width", "10 feet on each side".
    fn width(&self, clause: Clause) -> Option<Length> {
        (clause.from..clause.to).find_map(|i| {
            let Found::Read(read) = distance(&self.tokens, i, &self.manner.units, false) else {
                return None;
            };
            let after: Vec<&str> = (read.next..read.next + 4)
                .map(|j| self.tokens.word(j))
                .collect();
            match after.as_slice() {
                ["wide", ..] | ["in", "width", ..] | ["strip", ..] => Some(read.length),
                ["on", "each" | "", "side", ..] | ["each", "side", ..] => {
                    Length::from_feet(read.length.feet() * 2.0).ok()
                }
                _ => None,
            }
        })
    }

    /// A clause that says where a tract, or the ties to it, begin.
    fn start(&mut self, clause: Clause) {
        let was_commenced = self.tract.starts == Some(Opening::Commencing)
            && clause.opens == Opening::Beginning
            && self.tract.beginnings.is_empty();
        if was_commenced {
            let calls = std::mem::take(&mut self.tract.calls);
            self.tract.ties.extend(calls);
        } else if !self.tract.calls.is_empty() {
            self.close_tract();
        }
        self.tract.starts = Some(clause.opens);
        self.tract.is_exception |= std::mem::take(&mut self.next_is_exception);
        self.tract.seen = true;
        self.in_calls = true;
        self.ahead = None;
        let manner = Manner {
            is_start: true,
            ..self.manner
        };
        let found = elements(&self.tokens, clause.from + 1, clause.to, &manner);
        let runs = found
            .iter()
            .find(|e| e.is_direction() || e.is_distance())
            .is_some_and(|first| {
                (clause.from..first.from)
                    .any(|i| matches!(self.tokens.word(i), "run" | "go" | "extend" | "continue"))
            });
        let last = found
            .iter()
            .rev()
            .find(|e| e.is_direction() || e.is_distance());
        let leads_from = last.is_some_and(|last| {
            matches!(
                self.tokens.word(self.tokens.past_stops(last.to)),
                "from" | "of"
            )
        });
        let reached_last = found
            .last()
            .is_some_and(|last| matches!(last.what, super::elements::What::Beginning));
        let drafts = drafts(found);
        let are_calls = !leads_from && (runs || (reached_last && !drafts.calls.is_empty()));
        self.take(clause, drafts, are_calls);
    }

    /// A clause that may be a call.
    fn call(&mut self, clause: Clause) {
        let places = curve_places(&self.tokens, clause.from, clause.to);
        let ahead = places.iter().find_map(|place| match place {
            CurvePlace::Ahead(at) => Some(*at),
            CurvePlace::Along(_) => None,
        });
        let along = places.iter().find_map(|place| match place {
            CurvePlace::Along(at) => Some(*at),
            CurvePlace::Ahead(_) => None,
        });
        let end = ahead.unwrap_or(clause.to);
        let along = along.filter(|at| *at < end);
        let body = Clause { to: end, ..clause };
        match along {
            Some(at) => self.curve_clause(body, at),
            None => self.straight(body),
        }
        if let Some(at) = ahead {
            let read = curve(&self.tokens, at, clause.to, &self.manner.units);
            let reaches = (at..clause.to).any(|i| {
                matches!(self.tokens.word(i), "begin" | "pob") && reaches_beginning(&self.tokens, i)
            });
            if reaches {
                self.tract.beginnings.push(self.tract.calls.len());
            }
            self.announce(at..clause.to, read);
        }
    }

    fn announce(&mut self, span: Range<usize>, read: CurveRead) {
        if let Some((at, problem)) = &read.bad {
            self.unreadable(span, at.clone(), problem.clone(), CURVE_EXAMPLE);
            return;
        }
        self.ahead = Some(read);
    }

    /// A straight call, several, or none.
    fn straight(&mut self, clause: Clause) {
        let found = elements(&self.tokens, clause.from, clause.to, &self.manner);
        let drafts = drafts(found);
        let is_call = clause.opens == Opening::Thence
            || drafts.calls.iter().any(Draft::is_whole)
            || (!drafts.bad.is_empty() && self.starts_like_call(clause));
        if !is_call {
            self.narrative(clause, &drafts);
            return;
        }
        self.take(clause, drafts, true);
    }

    /// A clause without "thence" that starts with what looks like a call.
    fn starts_like_call(&self, clause: Clause) -> bool {
        self.starts_with_direction(clause)
            || matches!(self.tokens.kind(self.head(clause)), Kind::Number { .. })
            || (clause.from..clause.to).any(|j| self.tokens.word(j) == "distance")
    }

    fn starts_with_direction(&self, clause: Clause) -> bool {
        matches!(
            self.tokens.word(self.head(clause)),
            "north" | "south" | "east" | "west" | "deflect"
        )
    }

    /// The first token of a clause that says something.
    fn head(&self, clause: Clause) -> usize {
        let mut i = clause.from;
        while matches!(self.tokens.word(i), "and" | "along" | "the")
            || !matches!(self.tokens.kind(i), Kind::Word(_) | Kind::Number { .. }) && i < clause.to
        {
            i += 1;
        }
        i
    }

    /// Words between the calls: they may still say that the beginning is reached.
    fn narrative(&mut self, clause: Clause, drafts: &Drafts) {
        self.note_no_calls(drafts);
        self.stray_distance(clause, drafts);
        if let Some((at, problem)) = drafts.bad.first() {
            self.unreadable(
                clause.from..clause.to,
                at.clone(),
                problem.clone(),
                CALL_EXAMPLE,
            );
        }
        if drafts.reaches_beginning && !self.tract.calls.is_empty() {
            self.reach_beginning();
        }
        if self.tract.strip_width.is_none()
            && (clause.from..clause.to)
                .any(|i| matches!(self.tokens.word(i), "strip" | "centerline"))
        {
            self.tract.strip_width = self.width(clause);
        }
    }

    /// A distance behind a call that has none: a stop too many parts the two.
    fn stray_distance(&mut self, clause: Clause, drafts: &Drafts) {
        let lacks = self.tract.calls.last().is_some_and(|call| {
            matches!(
                call.course,
                StatedCourse::Line {
                    direction: Some(_),
                    distance: None
                }
            )
        });
        let stray = drafts
            .calls
            .iter()
            .find_map(|call| call.distance_at.clone());
        if let Some(at) = stray.filter(|_| lacks) {
            let problem = "this may be the distance of the call before".to_owned();
            self.unreadable(clause.from..clause.to, at, problem, CALL_EXAMPLE);
        }
    }

    fn note_no_calls(&mut self, drafts: &Drafts) {
        for (span, why) in &drafts.no_calls {
            let at = self.tokens.place(span.start, span.end);
            let has_figures = self
                .tokens
                .words(span.start, span.end)
                .contains(|c: char| c.is_ascii_digit());
            if has_figures {
                self.notes.push(Note {
                    line: self.tokens.line(at.start),
                    at,
                    sentence: format!("not read as a call: {why}"),
                });
            }
        }
    }

    /// Takes the calls of a clause, or lists it as unread.
    fn take(&mut self, clause: Clause, drafts: Drafts, are_calls: bool) {
        self.note_no_calls(&drafts);
        if clause.opens == Opening::Thence
            && self.leads_up(clause)
            && !drafts.calls.iter().any(|call| call.distance.is_some())
            && drafts.bad.is_empty()
        {
            return;
        }
        let lost = self.lost_distance(clause, &drafts);
        let is_bad = !drafts.bad.is_empty() || lost.is_some();
        if let Some((at, problem)) = drafts.bad.iter().cloned().chain(lost).next() {
            self.unreadable(clause.from..clause.to, at, problem, CALL_EXAMPLE);
        }
        let count = drafts.calls.len();
        for draft in drafts.calls {
            if is_bad && !draft.is_whole() {
                continue;
            }
            let whole = if count == 1 {
                clause.from..clause.to
            } else {
                draft.span()
            };
            let call = self.straight_call(whole, draft);
            if are_calls {
                self.push(call);
            } else {
                self.tract.ties.push(call);
            }
        }
        if count == 0 && !is_bad && clause.opens == Opening::Thence && self.is_gap(clause) {
            let call = self.straight_call(clause.from..clause.to, Draft::default());
            self.gap = Some(call);
        }
        if drafts.reaches_beginning {
            self.reach_beginning();
        }
    }

    /// The number that may be the distance of a call that has none.
    fn lost_distance(&self, clause: Clause, drafts: &Drafts) -> Option<(Range<usize>, String)> {
        let open = drafts
            .calls
            .iter()
            .find(|call| call.direction_at.is_some() && call.distance.is_none())?;
        let mut i = open.direction_at.as_ref()?.end;
        while i < clause.to {
            match self.tokens.kind(i) {
                Kind::Open => i = past_parenthesis(&self.tokens, i, clause.to),
                Kind::Number { decimals: 1.., .. } => {
                    let problem = "this may be the distance, and its unit can't be read";
                    return Some((i..i + 1, problem.to_owned()));
                }
                _ => i += 1,
            }
        }
        None
    }

    /// Takes the call that an earlier clause left without direction and distance,
    /// unless the clause that follows it gives them.
    fn settle_gap(&mut self) {
        if let Some(gap) = self.gap.take() {
            self.push(gap);
        }
    }

    /// A "thence" that leads somewhere without saying how.
    fn is_gap(&self, clause: Clause) -> bool {
        let count = (clause.from..clause.to)
            .filter(|&i| self.tokens.is_word(i))
            .count();
        count > 2 && !self.terminates(clause)
    }

    /// A "thence" that only leads up to a list of calls.
    fn leads_up(&self, clause: Clause) -> bool {
        let last = (clause.from..clause.to)
            .rev()
            .filter(|&i| self.tokens.is_word(i))
            .take(3)
            .any(|i| {
                matches!(
                    self.tokens.word(i),
                    "follows" | "viz" | "wit" | "distance" | "course"
                )
            });
        last || self.tokens.kind(clause.to.saturating_sub(1)) == Kind::Colon
    }

    fn reach_beginning(&mut self) {
        self.settle_gap();
        let count = self.tract.calls.len();
        if self.tract.beginnings.last() != Some(&count) {
            self.tract.beginnings.push(count);
        }
    }

    fn push(&mut self, call: StatedCall) {
        self.gap = None;
        if let StatedCourse::Line { .. } = call.course {
            self.ahead = None;
        }
        self.tract.calls.push(call);
    }

    fn straight_call(&mut self, span: Range<usize>, draft: Draft) -> StatedCall {
        for (at, sentence) in &draft.assumed {
            self.assume(at.clone(), sentence);
        }
        if let Some(unit) = draft.unit {
            self.manner.units.last = Some(unit);
        }
        let words = |at: &Option<Range<usize>>| {
            at.as_ref().map_or_else(String::new, |at| {
                self.tokens.words(at.start, at.end).to_owned()
            })
        };
        let written = self.written(span, words(&draft.direction_at), words(&draft.distance_at));
        let mut call = StatedCall::line(draft.direction, draft.distance);
        call.rounding = Rounding {
            distance: draft.half_distance,
            direction: draft.half_direction,
        };
        call.written = Some(written);
        call
    }

    fn written(&self, span: Range<usize>, direction: String, distance: String) -> Written {
        let at = self.tokens.place(span.start, span.end);
        Written {
            line: self.tokens.line(at.start),
            words: self
                .tokens
                .text
                .get(at.clone())
                .unwrap_or_default()
                .to_owned(),
            at,
            direction,
            distance,
        }
    }

    /// A call along a curve.
    fn curve_clause(&mut self, clause: Clause, at: usize) {
        let start = self.line_before_curve(clause, at);
        let mut read = curve(&self.tokens, start, clause.to, &self.manner.units);
        if read.figures == 0 && clause.opens != Opening::Thence {
            return;
        }
        if let Some((at, problem)) = read.bad {
            self.unreadable(clause.from..clause.to, at, problem, CURVE_EXAMPLE);
            return;
        }
        if let Some(ahead) = self.ahead.take() {
            read.with(&ahead);
        }
        self.follow(start..clause.to, &mut read);
        for (at, sentence) in &read.assumed {
            self.assume(at.clone(), sentence);
        }
        self.manner.units.last = read.last_unit;
        self.last_turn = read.elements.turn.or(self.last_turn);
        let mut call = StatedCall::curve(read.elements);
        call.rounding = Rounding {
            distance: read.half_distance,
            direction: read.half_direction,
        };
        call.written = Some(self.written(start..clause.to, String::new(), String::new()));
        self.push(call);
        let reached = (start..clause.to).any(|i| {
            matches!(self.tokens.word(i), "begin" | "pob" | "initial")
                && reaches_beginning(&self.tokens, i)
        });
        if reached {
            self.reach_beginning();
        }
    }

    /// A straight call in front of the curve in one clause: it is taken, and the
    /// token at which the curve's words start is returned.
    fn line_before_curve(&mut self, clause: Clause, at: usize) -> usize {
        let split = (clause.from + 1..at).rev().find(|&i| {
            self.tokens.word(i) == "along" && matches!(self.tokens.word(i - 1), "and" | "then")
        });
        let Some(split) = split else {
            return clause.from;
        };
        let found = elements(&self.tokens, clause.from, split, &self.manner);
        let drafts = drafts(found);
        let is_whole = drafts.bad.is_empty()
            && drafts
                .calls
                .iter()
                .any(|call| call.direction.is_some() && call.distance.is_some());
        if !is_whole {
            return clause.from;
        }
        let body = Clause {
            to: split,
            ..clause
        };
        self.take(body, drafts, true);
        split
    }

    /// The hand of a reverse or compound curve, by the curve before.
    fn follow(&mut self, span: Range<usize>, read: &mut CurveRead) {
        let Some(follows) = read.follows else {
            return;
        };
        if read.elements.leaves == Leaves::Unsaid {
            read.elements.leaves = Leaves::Tangent;
        }
        if read.elements.turn.is_some() || read.elements.concave.is_some() {
            return;
        }
        let turn = match (follows, self.last_turn) {
            (Follows::Reverse, Some(Turn::Left)) | (Follows::Compound, Some(Turn::Right)) => {
                Turn::Right
            }
            (Follows::Reverse, Some(Turn::Right)) | (Follows::Compound, Some(Turn::Left)) => {
                Turn::Left
            }
            (_, None) => return,
        };
        read.elements.turn = Some(turn);
        let hand = match turn {
            Turn::Left => "left",
            Turn::Right => "right",
        };
        let kind = match follows {
            Follows::Reverse => "reverse",
            Follows::Compound => "compound",
        };
        self.assume(
            span,
            &format!(
                "a {kind} curve without a hand of its own taken to the {hand}, by the curve before"
            ),
        );
    }

    fn assume(&mut self, span: Range<usize>, sentence: &str) {
        let at = self.tokens.place(span.start, span.end);
        self.assumed.push(Assumed {
            line: self.tokens.line(at.start),
            at,
            sentence: sentence.to_owned(),
        });
    }

    fn unreadable(
        &mut self,
        span: Range<usize>,
        at: Range<usize>,
        problem: String,
        accepted: &'static str,
    ) {
        let place = self.tokens.place(span.start, span.end);
        let fault = self.tokens.place(at.start, at.end);
        let words = self.tokens.text.get(place.clone()).unwrap_or_default();
        let within = |byte: usize| byte.saturating_sub(place.start).min(words.len());
        self.unread.push(Unread {
            fault: LineFault {
                line: self.tokens.line(place.start),
                words: words.to_owned(),
                at: within(fault.start)..within(fault.end),
                problem,
                accepted: accepted.to_owned(),
            },
            at: place,
        });
    }

    /// Ends the tract that is being read, if it has anything.
    fn close_tract(&mut self) {
        let open = std::mem::take(&mut self.tract);
        self.last_turn = None;
        self.ahead = None;
        if open.calls.is_empty() && open.ties.is_empty() {
            // A width or an area before the calls belongs to the tract to come.
            self.tract = Open {
                starts: None,
                beginnings: Vec::new(),
                ..open
            };
            return;
        }
        self.tracts.push(open.closed());
    }

    fn finish(mut self) -> Description {
        self.settle_gap();
        self.close_tract();
        Description {
            tracts: self.tracts,
            unread: self.unread,
            assumed: self.assumed,
            notes: self.notes,
        }
    }
}

impl Open {
    /// Sorts the ties from the calls: the first time that the beginning is reached
    /// ends the ties, if calls follow.
    fn closed(self) -> Tract {
        let mut ties = self.ties;
        let mut calls = self.calls;
        let count = calls.len();
        if let Some(&first) = self.beginnings.first()
            && first < calls.len()
        {
            let rest = calls.split_off(first);
            ties.extend(std::mem::replace(&mut calls, rest));
        }
        // A strip says by its width that it stays open.
        if self.strip_width.is_none()
            && self.terminates == Some(count)
            && self
                .beginnings
                .last()
                .is_none_or(|&reached| reached < count)
            && let Some(last) = calls.last_mut()
        {
            last.corner = Some(TERMINATION.to_owned());
        }
        Tract {
            ties,
            calls,
            stated_area: self.area,
            is_exception: self.is_exception,
            strip_width: self.strip_width,
            ..Tract::default()
        }
    }
}

impl Draft {
    /// The tokens from its first element to its last.
    fn span(&self) -> Range<usize> {
        let parts = [self.direction_at.as_ref(), self.distance_at.as_ref()];
        let start = parts.iter().flatten().map(|at| at.start).min().unwrap_or(0);
        let end = parts.iter().flatten().map(|at| at.end).max().unwrap_or(0);
        start..end
    }
}
