//! Curves: which of their elements a clause gives.

use std::ops::Range;

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::curve::{CurveElements, Degree, DegreeOf, Leaves, Radial};
use crate::length::Length;
use crate::ring::Turn;
use crate::units::LengthUnit;

use super::angles::angle;
use super::bearings::{DirectionRead, Found, HIDDEN_SIGN, bearing};
use super::distances::{DistanceRead, Units, distance};
use super::elements::{cardinal, compass_eighth, repaired_turn};
use super::lexer::{HiddenSign, Kind, Tokens};

/// Where a clause speaks of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CurvePlace {
    /// The call runs along one.
    Along(usize),
    /// One begins where the call ends: the token at which that is said.
    Ahead(usize),
}

/// A curve as a clause gives it.
#[derive(Clone, Debug, Default)]
pub(super) struct CurveRead {
    pub(super) elements: CurveElements,
    /// Half of the last digit of the arc, or else of the chord.
    pub(super) half_distance: Length,
    /// Half of the last digit of the chord's direction.
    pub(super) half_direction: Angle,
    /// The hand is the other one, or the same, as that of the curve before.
    pub(super) follows: Option<Follows>,
    pub(super) bad: Option<(Range<usize>, String)>,
    pub(super) assumed: Vec<(Range<usize>, String)>,
    /// How many figures it has.
    pub(super) figures: usize,
    pub(super) last_unit: Option<LengthUnit>,
}

/// How a curve follows another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Follows {
    /// A reverse curve turns the other way.
    Reverse,
    /// A compound curve turns the same way.
    Compound,
}

/// What the next figure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Label {
    None,
    Radius,
    Delta,
    Arc,
    Chord,
    Tangent,
    Degree,
    RadialOut,
    RadialIn,
}

/// The places at which the clause `from..to` speaks of a curve, in order.
pub(super) fn curve_places(tokens: &Tokens<'_>, from: usize, to: usize) -> Vec<CurvePlace> {
    let mut places: Vec<CurvePlace> = Vec::new();
    for i in from..to {
        if !matches!(tokens.word(i), "curve" | "arc") || is_beside(tokens, from, i) {
            continue;
        }
        if let Some(start) = is_ahead(tokens, from, i) {
            places.push(CurvePlace::Ahead(start));
        } else if !places
            .iter()
            .any(|place| matches!(place, CurvePlace::Along(_) | CurvePlace::Ahead(_)))
        {
            places.push(CurvePlace::Along(i));
        }
    }
    places.dedup();
    places
}

/// "tangent to said curve", "the end of said curve", "concentric with the curve".
fn is_beside(tokens: &Tokens<'_>, from: usize, i: usize) -> bool {
    let mut at = i;
    for _ in 0..7 {
        let Some(before) = at.checked_sub(1).filter(|before| *before >= from) else {
            return false;
        };
        at = before;
        match tokens.word(at) {
            "to" | "with" => {
                return matches!(
                    tokens.word_before(at),
                    "tangent"
                        | "nontangent"
                        | "radial"
                        | "perpendicular"
                        | "concentric"
                        | "parallel"
                );
            }
            "of" => {
                let what = tokens.words(at.saturating_sub(1), at);
                return ["end", "center", "terminus"]
                    .iter()
                    .any(|word| what.eq_ignore_ascii_case(word));
            }
            "along" | "arc" | "on" | "a" => return false,
            _ => {}
        }
    }
    false
}

/// "to the beginning of a curve", "to a point of reverse curvature": the token of
/// "to".
fn is_ahead(tokens: &Tokens<'_>, from: usize, i: usize) -> Option<usize> {
    let mut at = i;
    let mut point = false;
    for _ in 0..10 {
        at = at.checked_sub(1).filter(|before| *before >= from)?;
        match tokens.word(at) {
            "point" | "begin" => point = true,
            "" if matches!(tokens.words(at, at + 1), "P" | "PC" | "PRC" | "PCC" | "BC") => {
                point = true;
            }
            // "to a curve", with no more than an article or two between.
            "to" if i - at <= 3 => return Some(at),
            "to" | "at" | "being" | "for" => return point.then_some(at),
            "on" if tokens.word_before(at) == "point" => {}
            "along" | "arc" | "upon" | "on" | "around" | "following" | "curve" | "through"
            | "by" => return None,
            _ => {}
        }
    }
    None
}

/// A clause about a curve half scanned.
struct Scan<'s, 't> {
    tokens: &'s Tokens<'t>,
    units: Units,
    read: CurveRead,
    label: Label,
    /// The chord's direction was read last and its length may follow.
    chord_open: bool,
    depth: usize,
    end: usize,
}

/// Reads the elements of the curve that tokens `from..to` describe.
pub(super) fn curve(tokens: &Tokens<'_>, from: usize, to: usize, units: &Units) -> CurveRead {
    let mut scan = Scan {
        tokens,
        units: *units,
        read: CurveRead::default(),
        label: Label::None,
        chord_open: false,
        depth: 0,
        end: to,
    };
    let mut i = from;
    while i < to {
        i = scan.step(i).max(i + 1);
    }
    scan.read.last_unit = scan.units.last;
    scan.read
}

impl Scan<'_, '_> {
    fn step(&mut self, i: usize) -> usize {
        match self.tokens.kind(i) {
            Kind::Open => {
                self.depth += 1;
                i + 1
            }
            Kind::Close => {
                self.depth = self.depth.saturating_sub(1);
                (self.label, self.chord_open) = (Label::None, false);
                i + 1
            }
            Kind::Word(word) => self.at_word(i, word),
            Kind::Number { .. } | Kind::Vulgar(..) => self.at_figure(i),
            Kind::Degree => {
                self.bad(i..i + 1, "this sign of degrees belongs to no angle");
                i + 1
            }
            _ => i + 1,
        }
    }

    fn bad(&mut self, span: Range<usize>, problem: &str) {
        if self.read.bad.is_none() {
            self.read.bad = Some((span, problem.to_owned()));
        }
    }

    fn labeled(&mut self, label: Label, next: usize) -> usize {
        self.label = label;
        self.chord_open = false;
        next
    }

    fn at_word(&mut self, i: usize, word: &'static str) -> usize {
        let next = self.tokens.word(i + 1);
        let equals =
            self.tokens.kind(i + 1) == Kind::Equals || self.tokens.kind(i + 1) == Kind::Colon;
        match word {
            "radius" if next == "point" => self.labeled(Label::RadialIn, i + 2),
            "center" if matches!(next, "of" | "bears") => self.labeled(Label::RadialIn, i + 1),
            "radial" => self.labeled(Label::RadialOut, i + 1),
            "radius" => self.labeled(Label::Radius, i + 1),
            "r" if equals => self.labeled(Label::Radius, i + 2),
            "delta" | "central" => self.labeled(Label::Delta, i + 1),
            "degree" if equals => self.labeled(Label::Delta, i + 2),
            "degree" if next == "of" && self.tokens.word(i + 2) == "curve" => {
                self.labeled(Label::Degree, i + 3)
            }
            "angle" if !matches!(self.label, Label::Delta) => {
                let right = self.tokens.word_before(i) == "right";
                let label = if right { self.label } else { Label::Delta };
                self.labeled(label, i + 1)
            }
            "arc" if equals || self.names_length(i + 1) => self.labeled(Label::Arc, i + 1),
            "l" if equals => self.labeled(Label::Arc, i + 2),
            "a" if equals => self.labeled(Label::Arc, i + 2),
            "length" if matches!(self.label, Label::None | Label::Radius | Label::Delta) => {
                self.labeled(Label::Arc, i + 1)
            }
            "chord" | "lc" | "cb" => self.labeled(Label::Chord, i + 1),
            "ch" if equals || is_chord_word(next) => self.labeled(Label::Chord, i + 1),
            "tangent" if equals || self.names_length(i + 1) => self.labeled(Label::Tangent, i + 1),
            "t" if equals => self.labeled(Label::Tangent, i + 2),
            "through" if self.is_angle(self.past_articles(i + 1)) => {
                self.labeled(Label::Delta, i + 1)
            }
            "from" if next == "which" => self.radial_from(i),
            _ if self.leaves(i, word) => i + 1,
            _ if self.hand(i, word) => i + 1,
            "concave" => self.concave(i),
            "north" | "south" | "east" | "west" | "no" | "" => self.at_direction(i, word),
            "due" => i + 1,
            "to" => {
                self.chord_open &= self.depth > 0;
                i + 1
            }
            _ => self.at_figure(i),
        }
    }

    /// "length", "distance" or a figure follows, perhaps behind "of".
    fn names_length(&self, i: usize) -> bool {
        match self.tokens.word(i) {
            "length" | "distance" => true,
            "of" => matches!(
                distance(self.tokens, self.past_articles(i + 1), &self.units, true),
                Found::Read(read) if !matches!(self.tokens.word(read.next), "radius" | "chord")
            ),
            _ => {
                matches!(self.tokens.kind(i), Kind::Equals | Kind::Colon)
                    || matches!(distance(self.tokens, i, &self.units, false), Found::Read(_))
            }
        }
    }

    fn past_articles(&self, mut i: usize) -> usize {
        while matches!(self.tokens.word(i), "a" | "an" | "the") {
            i += 1;
        }
        i
    }

    fn is_angle(&self, i: usize) -> bool {
        angle(self.tokens, i, 360.0).is_some_and(|read| read.marked)
            || repaired_turn(self.tokens, i, self.end).is_some()
    }

    /// "from which the radius point bears": else a witness, which is no element.
    fn radial_from(&mut self, i: usize) -> usize {
        let near = i + 2..i + 7;
        let is_center = near.clone().any(|j| {
            matches!(self.tokens.word(j), "center" | "radial") || self.tokens.word(j) == "radius"
        });
        if is_center { i + 2 } else { self.end }
    }

    /// How the curve leaves the call before.
    fn leaves(&mut self, i: usize, word: &str) -> bool {
        let elements = &mut self.read.elements;
        match word {
            "nontangent" => elements.leaves = Leaves::NotTangent,
            "tangent" => {
                // "tangent to the next course" is of the other end.
                let before = self.tokens.word_before(i);
                let dashed = i.checked_sub(2).map_or("", |j| self.tokens.word(j));
                let no_line = matches!(self.tokens.word(i + 1), "bears" | "line" | "bearing");
                if before == "non" || dashed == "non" {
                    elements.leaves = Leaves::NotTangent;
                } else if !no_line && before != "of" && elements.leaves == Leaves::Unsaid {
                    elements.leaves = Leaves::Tangent;
                }
            }
            "cusp" => elements.leaves = Leaves::Cusp,
            "reverse" => self.read.follows = Some(Follows::Reverse),
            "compound" => self.read.follows = Some(Follows::Compound),
            _ => return false,
        }
        true
    }

    /// The hand of the curve.
    fn hand(&mut self, i: usize, word: &str) -> bool {
        let before = self.tokens.word_before(i);
        let next = self.tokens.word(i + 1);
        let turn = match word {
            "counterclockwise" => Turn::Left,
            "clockwise"
                if before == "counter" || self.tokens.word(i.saturating_sub(2)) == "counter" =>
            {
                Turn::Left
            }
            "clockwise" => Turn::Right,
            "left" => Turn::Left,
            "right" if next == "of" || next == "angle" || self.tokens.kind(i + 1) == Kind::Dash => {
                return false;
            }
            "right" => Turn::Right,
            "l" if before == "to" => Turn::Left,
            "r" if before == "to" => Turn::Right,
            _ => return false,
        };
        match self.read.elements.turn {
            Some(other) if other != turn => {
                self.bad(i..i + 1, "the curve turns both left and right");
            }
            _ => self.read.elements.turn = Some(turn),
        }
        true
    }

    /// "concave to the northeast", "concave northwesterly".
    fn concave(&mut self, i: usize) -> usize {
        for j in i + 1..self.end.min(i + 5) {
            if let Found::Read(read) = bearing(self.tokens, j) {
                self.read.elements.concave = Some(read.direction.azimuth());
                return read.next;
            }
            if let Some(eighth) = compass_eighth(self.tokens.word(j)) {
                let azimuth = Azimuth::from_degrees(45.0 * f64::from(eighth));
                self.read.elements.concave = azimuth.ok();
                return j + 1;
            }
            if let Some(turn) = match self.tokens.word(j) {
                "left" => Some(Turn::Left),
                "right" => Some(Turn::Right),
                _ => None,
            } {
                self.read.elements.turn.get_or_insert(turn);
                return j + 1;
            }
        }
        i + 1
    }

    fn at_direction(&mut self, i: usize, word: &'static str) -> usize {
        match bearing(self.tokens, i) {
            Found::Read(read) => self.direction(i, read),
            Found::Bad(span, problem) => {
                let next = span.end;
                self.bad(span, &problem);
                next
            }
            Found::Nothing => {
                let labeled = !matches!(self.label, Label::None | Label::Arc | Label::Radius);
                let ends = !matches!(
                    self.tokens.word(i + 1),
                    "line" | "right" | "side" | "corner" | "boundary"
                );
                if let Some(direction) = cardinal(word).filter(|_| labeled && ends) {
                    let next = self.tokens.past(i + 1, Kind::Period);
                    return self.direction(
                        i,
                        DirectionRead {
                            direction,
                            half: Angle::ZERO,
                            assumed: None,
                            next,
                        },
                    );
                }
                self.at_figure(i)
            }
        }
    }

    fn direction(&mut self, i: usize, read: DirectionRead) -> usize {
        let span = i..read.next;
        if let Some(sentence) = read.assumed {
            self.read.assumed.push((span.clone(), sentence));
        }
        self.read.figures += 1;
        match self.label {
            Label::RadialIn => self.read.elements.radial = Some(Radial::ToCenter(read.direction)),
            Label::RadialOut => {
                self.read.elements.radial = Some(Radial::FromCenter(read.direction));
            }
            Label::Tangent => self.bad(
                span,
                "a tangent's bearing is not used: give the chord's or a radial's",
            ),
            Label::Chord | Label::None if self.read.elements.chord_direction.is_none() => {
                if self.label == Label::None {
                    self.bad(span, "whether this is the bearing of the chord is not said");
                }
                self.read.elements.chord_direction = Some(read.direction);
                self.read.half_direction = read.half;
                (self.label, self.chord_open) = (Label::Chord, true);
                return read.next;
            }
            _ => self.bad(
                span,
                "this bearing belongs to no part of the curve that is known",
            ),
        }
        self.label = Label::None;
        read.next
    }

    fn at_figure(&mut self, i: usize) -> usize {
        if self.label == Label::Delta || self.label == Label::Degree {
            if self.tokens.hidden_sign(i) != HiddenSign::None {
                self.bad(i..i + 2, HIDDEN_SIGN);
            }
            if let Some(next) = self.angle(i) {
                return next;
            }
        } else if let Some(read) = angle(self.tokens, i, 360.0).filter(|read| read.marked) {
            // "a 4° curve" is a degree of curve; any other angle must be labeled.
            let dashed = self.tokens.past(read.next, Kind::Dash);
            if self.tokens.word(dashed) == "curve" {
                self.label = Label::Degree;
                self.angle(i);
                return dashed + 1;
            }
            self.bad(i..read.next, "what this angle is of is not said");
            return read.next;
        }
        let bare = self.label != Label::None && self.adjoins_label(i);
        match distance(self.tokens, i, &self.units, bare) {
            Found::Read(read) => self.distance(i, read),
            Found::Bad(span, problem) => {
                let next = span.end;
                self.bad(span, &problem);
                next
            }
            Found::Nothing => i + 1,
        }
    }

    /// Nothing but "of", "is" and the like between the label and the figure.
    fn adjoins_label(&self, i: usize) -> bool {
        let before = i.saturating_sub(1);
        matches!(
            self.tokens.word(before),
            "of" | "is" | "radius" | "length" | "distance" | "chord" | "arc" | "being"
        ) || matches!(self.tokens.kind(before), Kind::Equals | Kind::Colon)
    }

    fn angle(&mut self, i: usize) -> Option<usize> {
        let whole = angle(self.tokens, i, 360.0).filter(|read| {
            read.problem.is_none()
                && (read.marked || read.parts > 1)
                && !read.lacks_degrees(self.tokens, i)
        });
        let read = whole.or_else(|| repaired_turn(self.tokens, i, self.end))?;
        let span = i..read.next;
        if let Some(sentence) = read.assumed {
            self.read.assumed.push((span.clone(), sentence));
        }
        let value = Angle::from_degrees(read.degrees).ok()?;
        self.read.figures += 1;
        if self.label == Label::Degree {
            self.degree(value, span);
        } else if self.read.elements.delta.is_none_or(|other| other == value) {
            self.read.elements.delta = Some(value);
        } else {
            self.bad(span, "this is a second angle of the curve");
        }
        self.label = Label::None;
        Some(read.next)
    }

    /// The degree of a curve, by the definition that the clause names.
    fn degree(&mut self, angle: Angle, span: Range<usize>) {
        let named = (span.end..self.end.min(span.end + 12))
            .find_map(|j| (self.tokens.word(j + 1) == "definition").then(|| self.tokens.word(j)));
        let of = match named {
            Some("chord") => DegreeOf::Chord,
            Some(_) => DegreeOf::Arc,
            None => {
                let sentence =
                    "the degree of curve taken as that of 100 ft of arc, no definition being named";
                self.read.assumed.push((span, sentence.to_owned()));
                DegreeOf::Arc
            }
        };
        self.read.elements.degree = Some(Degree {
            angle,
            of,
            foot: self.units.foot,
        });
    }

    fn distance(&mut self, i: usize, read: DistanceRead) -> usize {
        let next = read.next;
        let after = self.tokens.word(next);
        let is_size = read.unit == LengthUnit::Inch && !self.adjoins_label(i);
        if is_size
            || matches!(after, "wide" | "width" | "from")
            || (after == "in" && self.tokens.word(next + 1) == "width")
        {
            return next;
        }
        let adjective = read.singular || self.label == Label::None;
        let label = match after {
            "radius" if adjective => Label::Radius,
            "chord" if adjective => Label::Chord,
            "arc" if adjective => Label::Arc,
            _ if read.singular && self.tokens.is_word(next) && self.label == Label::None => {
                return next;
            }
            _ if self.label == Label::None && self.chord_open => Label::Chord,
            _ if self.label == Label::Delta => Label::None,
            _ => self.label,
        };
        for sentence in &read.assumed {
            self.read.assumed.push((i..next, sentence.clone()));
        }
        self.units.last = Some(read.unit);
        self.read.figures += 1;
        self.place(i..next, label, &read);
        if after == "chord" && label == Label::Chord {
            // "a 6.41 foot chord bearing S 12 E".
            (self.label, self.chord_open) = (Label::Chord, false);
            return next + 1;
        }
        if self.label != Label::Chord || label == Label::Arc {
            self.label = Label::None;
        }
        self.chord_open = false;
        if after == "radius" && label == Label::Radius {
            next + 1
        } else {
            next
        }
    }

    /// Sets the element that a distance is.
    fn place(&mut self, span: Range<usize>, label: Label, read: &DistanceRead) {
        let elements = &mut self.read.elements;
        let label = match label {
            Label::Chord if elements.chord.is_some() => Label::None,
            other => other,
        };
        let slot = match label {
            Label::Radius => &mut elements.radius,
            Label::Chord => &mut elements.chord,
            Label::Tangent => &mut elements.tangent,
            _ => &mut elements.arc,
        };
        match *slot {
            Some(other) if (other.feet() - read.length.feet()).abs() > 0.005 => {
                self.bad(
                    span,
                    "which part of the curve this length is of can't be told",
                );
                return;
            }
            _ => *slot = Some(read.length),
        }
        let is_arc = matches!(label, Label::None | Label::Arc);
        if is_arc || (label == Label::Chord && elements.arc.is_none()) {
            self.read.half_distance = read.half;
        }
    }
}

fn is_chord_word(word: &str) -> bool {
    matches!(word, "bears" | "bearing" | "length" | "distance")
}

impl CurveRead {
    /// Adds what was said of the curve when the call before ended at it.
    pub(super) fn with(&mut self, ahead: &Self) {
        let (own, said) = (&mut self.elements, &ahead.elements);
        own.turn = own.turn.or(said.turn);
        own.concave = own.concave.or(said.concave);
        own.radius = own.radius.or(said.radius);
        own.delta = own.delta.or(said.delta);
        own.arc = own.arc.or(said.arc);
        own.chord = own.chord.or(said.chord);
        own.chord_direction = own.chord_direction.or(said.chord_direction);
        own.tangent = own.tangent.or(said.tangent);
        own.degree = own.degree.or(said.degree);
        own.radial = own.radial.or(said.radial);
        if own.leaves == Leaves::Unsaid {
            own.leaves = said.leaves;
        }
        self.follows = self.follows.or(ahead.follows);
        if self.half_distance == Length::ZERO {
            self.half_distance = ahead.half_distance;
        }
        if self.half_direction == Angle::ZERO {
            self.half_direction = ahead.half_direction;
        }
        self.figures += ahead.figures;
    }
}
