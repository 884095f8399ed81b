//! What a clause of a description holds: directions, distances and the words
//! between them that say what these are.

use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::{Azimuth, Bearing, EastWest, NorthSouth};
use crate::ring::Turn;
use crate::tract::StatedDirection;

use super::angles::{AngleRead, angle, repaired};
use super::bearings::{DirectionRead, Found, bearing};
use super::distances::{DistanceRead, Units, distance};
use super::lexer::{Kind, Tokens};

/// A part of a clause and its tokens.
pub(super) struct Element {
    pub(super) what: What,
    pub(super) from: usize,
    pub(super) to: usize,
}

pub(super) enum What {
    /// A bearing, an azimuth, an angle turned, or "continue".
    Direction {
        direction: StatedDirection,
        half: Angle,
        assumed: Vec<String>,
    },
    /// "northerly" and its like, which give no direction.
    General,
    Distance {
        read: DistanceRead,
        role: Role,
    },
    /// The beginning is reached.
    Beginning,
    /// "in all": the distance that follows counts.
    Total,
    /// What looks like a part of a call and can't be read.
    Bad(String),
    /// A bearing that is no call: a witness, a basis of bearings.
    NoCall(&'static str),
}

/// What a distance in a clause is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// That of the call.
    Call,
    /// Behind "to": that of the call only where it has no other.
    Late,
    /// How far along the call something is passed.
    Passing,
}

/// How azimuths are counted in a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AzimuthZero {
    North,
    South,
}

/// What a clause is read with.
#[derive(Clone, Copy)]
pub(super) struct Manner {
    pub(super) units: Units,
    /// Angles without quadrant are azimuths from here.
    pub(super) azimuths: Option<AzimuthZero>,
    /// The clause says where the beginning lies.
    pub(super) is_start: bool,
}

/// A clause half scanned.
struct Scan<'s, 't> {
    tokens: &'s Tokens<'t>,
    manner: Manner,
    end: usize,
    found: Vec<Element>,
    /// Nothing but idle words so far: a direction word here is a direction.
    head: bool,
    /// Behind "to" or what like it leads to the end of the call.
    past_to: bool,
}

/// Finds the elements of the clause of tokens `from..to`.
pub(super) fn elements(
    tokens: &Tokens<'_>,
    from: usize,
    to: usize,
    manner: &Manner,
) -> Vec<Element> {
    let mut scan = Scan {
        tokens,
        manner: *manner,
        end: to,
        found: Vec::new(),
        head: true,
        past_to: false,
    };
    let mut i = from;
    while i < to {
        i = scan.step(i).max(i + 1);
    }
    scan.found
}

impl Scan<'_, '_> {
    /// Takes what stands at `i` and returns the token after it.
    fn step(&mut self, i: usize) -> usize {
        match self.tokens.kind(i) {
            Kind::Open => past_parenthesis(self.tokens, i, self.end),
            Kind::Word(word) => self.at_word(i, word),
            Kind::Number { .. } | Kind::Vulgar(..) => self.at_number(i),
            Kind::Degree if self.is_beside_number(i) => {
                self.bad(i, i + 1, "this sign of degrees belongs to no angle")
            }
            _ => i + 1,
        }
    }

    fn is_beside_number(&self, i: usize) -> bool {
        [i.checked_sub(1), Some(i + 1)]
            .into_iter()
            .flatten()
            .any(|j| matches!(self.tokens.kind(j), Kind::Number { .. }))
    }

    fn at_word(&mut self, i: usize, word: &'static str) -> usize {
        match word {
            "north" | "south" | "east" | "west" | "no" | "" => self.at_direction(i, word),
            "due" if cardinal(self.tokens.word(i + 1)).is_some() => self.due(i + 1),
            "northeast" | "southeast" | "southwest" | "northwest" | "northerly" | "southerly"
            | "easterly" | "westerly" | "northeasterly" | "southeasterly" | "southwesterly"
            | "northwesterly" => self.general(i),
            "continue" => self.carried(i),
            "deflect" | "turn" => self.turned(i),
            "right" if self.tokens.word(i + 1) == "angle" => self.right_angle(i),
            "left" | "right" if self.head && self.marked_angle(i + 1).is_some() => self.turned(i),
            "from" if self.tokens.word(i + 1) == "which" => self.no_call(i, "a witness"),
            "witness" | "basis" => self.no_call(i, "a witness or a basis of bearings"),
            "consider"
                if matches!(
                    self.tokens.word(i + 1),
                    "the" | "said" | "that" | "a" | "bearings"
                ) =>
            {
                self.no_call(i, "a basis of bearings")
            }
            "bearings" if self.tokens.is_word(i + 1) && self.tokens.word(i + 1) != "and" => {
                self.no_call(i, "a basis of bearings")
            }
            "bears" | "bear" => self.at_bears(i),
            "to" => self.at_to(i),
            "all" if self.tokens.word_before(i) == "in" => self.push(What::Total, i, i + 1),
            "total" => self.push(What::Total, i, i + 1),
            "begin" | "pob" | "initial" | "commencement" => self.at_beginning(i),
            "thence" | "then" | "and" | "run" | "go" | "extend" | "due" | "course" => {
                self.head |= matches!(word, "run" | "go" | "extend");
                i + 1
            }
            _ => self.at_other(i),
        }
    }

    fn push(&mut self, what: What, from: usize, to: usize) -> usize {
        self.head = false;
        self.found.push(Element { what, from, to });
        to
    }

    fn bad(&mut self, from: usize, to: usize, problem: &str) -> usize {
        self.push(What::Bad(problem.to_owned()), from, to)
    }

    /// The rest of the clause is no call.
    fn no_call(&mut self, i: usize, why: &'static str) -> usize {
        let end = self.end;
        self.push(What::NoCall(why), i, end)
    }

    fn at_other(&mut self, i: usize) -> usize {
        match distance(
            self.tokens,
            i,
            &self.manner.units,
            self.calls_for_distance(i),
        ) {
            Found::Read(read) => self.distance(i, read),
            _ => {
                if let Some(read) = self.marked_angle(i) {
                    return self.bare_angle(i, &read);
                }
                self.head = false;
                i + 1
            }
        }
    }

    fn at_direction(&mut self, i: usize, word: &'static str) -> usize {
        match bearing(self.tokens, i) {
            Found::Read(read) => return self.bearing(i, read),
            Found::Bad(span, problem) => {
                return self.push(What::Bad(problem), span.start, span.end);
            }
            Found::Nothing => {}
        }
        match cardinal(word) {
            Some(direction) => self.cardinal(i, direction),
            None if word == "no" => self.at_other(i),
            None => {
                self.head = false;
                i + 1
            }
        }
    }

    fn bearing(&mut self, i: usize, read: DirectionRead) -> usize {
        let next = self.tokens.past_stops(read.next);
        let leads_from = matches!(self.tokens.word(next), "from" | "of");
        if leads_from && !self.manner.is_start && self.found.iter().any(Element::is_distance) {
            let to = read.next;
            return self.push(What::NoCall("the place of a point"), i, to);
        }
        if let Some(to) = self.tie_to_witness(i, next) {
            return self.push(What::NoCall("the place of a point"), i, to);
        }
        let to = read.next;
        self.past_to = false;
        let what = What::Direction {
            direction: StatedDirection::Given(read.direction),
            half: read.half,
            assumed: read.assumed.into_iter().collect(),
        };
        self.push(what, i, to)
    }

    /// "said point lying S 45° E 12.2 feet from an oak", the bearing at `i` and `next`
    /// behind it: the token at which the distance ends.
    fn tie_to_witness(&self, i: usize, next: usize) -> Option<usize> {
        let is_placed = matches!(self.tokens.word_before(i), "lying" | "being");
        let has_call = self.found.iter().any(Element::is_distance);
        if self.manner.is_start || !(is_placed || has_call) {
            return None;
        }
        match distance(self.tokens, next, &self.manner.units, true) {
            Found::Read(read) if self.tokens.word(read.next) == "from" => Some(read.next),
            _ => None,
        }
    }

    /// A direction word: a direction at the head of the clause or right before a
    /// distance, and not in the name of a line.
    fn cardinal(&mut self, i: usize, direction: Direction) -> usize {
        let next = self.tokens.past(i + 1, Kind::Period);
        if self.manner.is_start
            && matches!(self.tokens.word(next), "of" | "from")
            && self
                .found
                .last()
                .is_some_and(|last| last.is_distance() && last.to == i)
        {
            return self.due(i);
        }
        let named = matches!(
            self.tokens.word_before(i),
            "the" | "said" | "of" | "a" | "an"
        );
        let distance_next = self.distance_follows(next);
        let noun = matches!(
            self.tokens.word(next),
            "line"
                | "corner"
                | "boundary"
                | "side"
                | "half"
                | "quarter"
                | "right"
                | "of"
                | "east"
                | "west"
                | "from"
        ) || self.tokens.kind(next) == Kind::Equals;
        let is_fraction = self.tokens.kind(next + 1) == Kind::Slash;
        if named || is_fraction || (noun && !distance_next) || !(self.head || distance_next) {
            self.head = false;
            return i + 1;
        }
        if matches!(self.tokens.word(i), "east" | "west") && self.follows_figure(i) {
            let start = i.saturating_sub(1);
            return self.bad(
                start,
                i + 1,
                "the letters of the quadrant are not both there",
            );
        }
        if self.head && matches!(self.tokens.kind(next), Kind::Number { .. }) && !distance_next {
            return self.bad(i, next + 1, "this is neither a bearing nor a distance");
        }
        let mut assumed = Vec::new();
        if matches!(
            self.tokens.word(self.tokens.past_stops(next)),
            "along" | "with" | "on" | "by"
        ) {
            assumed.push(format!(
                "{:?} taken as due {}; if the line it runs along has a bearing of its own, that holds",
                self.tokens.words(i, i + 1),
                self.tokens.word(i),
            ));
        }
        self.past_to = false;
        let what = What::Direction {
            direction: StatedDirection::Given(direction),
            half: Angle::ZERO,
            assumed,
        };
        self.push(what, i, next)
    }

    /// A figure or a sign of an angle right before, so that this is the end of a
    /// broken bearing.
    fn follows_figure(&self, i: usize) -> bool {
        let mut before = i;
        while let Some(j) = before.checked_sub(1) {
            before = j;
            if !matches!(self.tokens.kind(j), Kind::Period | Kind::Comma | Kind::Dash) {
                break;
            }
        }
        // Feet and inches by their marks look like minutes and seconds.
        let taken = self.found.last().is_some_and(|last| last.to > before)
            && !matches!(self.tokens.kind(before), Kind::Prime | Kind::DoublePrime);
        !taken
            && !self.is_name(before)
            && before < i
            && matches!(
                self.tokens.kind(before),
                Kind::Number { .. }
                    | Kind::Prime
                    | Kind::DoublePrime
                    | Kind::Degree
                    | Kind::Word("degree" | "minute" | "second")
            )
    }

    /// The number of a lot, a road or a survey.
    fn is_name(&self, i: usize) -> bool {
        let before = self.tokens.word_before(i);
        let mut at = i.saturating_sub(1);
        if self.tokens.kind(at) == Kind::Period {
            at = at.saturating_sub(1);
        }
        let written = self.tokens.words(at, at + 1).to_ascii_lowercase();
        before == "no"
            || matches!(
                written.as_str(),
                "number"
                    | "lot"
                    | "section"
                    | "sec"
                    | "block"
                    | "range"
                    | "road"
                    | "highway"
                    | "township"
            )
    }

    /// A distance stands at `i`, perhaps behind "a distance of".
    fn distance_follows(&self, i: usize) -> bool {
        let mut at = self.tokens.past(i, Kind::Comma);
        at = self.tokens.past(at, Kind::Dash);
        while matches!(
            self.tokens.word(at),
            "for" | "a" | "distance" | "of" | "approximately"
        ) {
            at += 1;
        }
        matches!(
            distance(self.tokens, at, &self.manner.units, true),
            Found::Read(read) if self.can_be_bare(&read, at)
        )
    }

    /// A number without a unit is a distance only if the clause goes on as behind
    /// a distance.
    fn can_be_bare(&self, read: &DistanceRead, at: usize) -> bool {
        let has_unit = matches!(
            distance(self.tokens, at, &self.manner.units, false),
            Found::Read(_)
        );
        has_unit
            || matches!(
                self.tokens.kind(read.next),
                Kind::Comma | Kind::Semicolon | Kind::Period | Kind::End
            )
            || read.next >= self.end
            || matches!(
                self.tokens.word(read.next),
                "to" | "along" | "thence" | "then" | "and" | "with" | "on"
            )
    }

    fn due(&mut self, i: usize) -> usize {
        let Some(direction) = cardinal(self.tokens.word(i)) else {
            return i + 1;
        };
        self.past_to = false;
        let what = What::Direction {
            direction: StatedDirection::Given(direction),
            half: Angle::ZERO,
            assumed: Vec::new(),
        };
        self.push(what, i, i + 1)
    }

    fn general(&mut self, i: usize) -> usize {
        let stands_for_direction = self.head && self.found.is_empty();
        if stands_for_direction {
            self.push(What::General, i, i + 1)
        } else {
            self.head = false;
            i + 1
        }
    }

    /// "continue": along the direction before, where none of its own follows.
    fn carried(&mut self, i: usize) -> usize {
        self.head = true;
        let what = What::Direction {
            direction: StatedDirection::Turned {
                angle: Angle::ZERO,
                turn: Turn::Right,
            },
            half: Angle::ZERO,
            assumed: Vec::new(),
        };
        self.found.push(Element {
            what,
            from: i,
            to: i + 1,
        });
        i + 1
    }

    /// "deflecting right 91°" or "deflecting 91° right".
    fn turned(&mut self, i: usize) -> usize {
        let mut at = i + usize::from(!matches!(self.tokens.word(i), "left" | "right"));
        let (mut hand, mut read) = (None, None);
        while at < self.end.min(i + 16) && (hand.is_none() || read.is_none()) {
            match self.tokens.word(at) {
                "left" => hand = Some(Turn::Left),
                "right" if self.tokens.word(at + 1) == "angle" => {
                    read = Some(right_angle_read(at + 2));
                    at += 1;
                }
                "right" => hand = Some(Turn::Right),
                "interior" => {
                    return self.bad(
                        i,
                        at + 1,
                        "an interior angle leaves the hand open: give the bearing",
                    );
                }
                "curve" | "arc" => return i + 1,
                // "turning and running N 45 E": the bearing says where to.
                _ if matches!(bearing(self.tokens, at), Found::Read(_)) => return i + 1,
                _ => {
                    if read.is_none()
                        && let Some(angle) = self.turn_angle(at)
                    {
                        at = angle.next;
                        read = Some(angle);
                        continue;
                    }
                }
            }
            at += 1;
        }
        match (hand, read) {
            (Some(turn), Some(read)) => self.turn(i, at, turn, read),
            (None, Some(_)) => self.bad(i, at, "left or right is missing beside the angle"),
            _ => i + 1,
        }
    }

    fn turn_angle(&self, at: usize) -> Option<AngleRead> {
        let read = angle(self.tokens, at, 360.0)?;
        (read.marked && read.problem.is_none())
            .then_some(read)
            .or_else(|| repaired_turn(self.tokens, at, self.end))
    }

    fn turn(&mut self, i: usize, to: usize, turn: Turn, read: AngleRead) -> usize {
        let Ok(angle) = Angle::from_degrees(read.degrees) else {
            return self.bad(i, to, "the angle is too large");
        };
        self.past_to = false;
        let what = What::Direction {
            direction: StatedDirection::Turned { angle, turn },
            half: Angle::of_radians(read.half.to_radians()),
            assumed: read.assumed.into_iter().collect(),
        };
        self.push(what, i, to)
    }

    /// "at right angles", with the hand near it.
    fn right_angle(&mut self, i: usize) -> usize {
        for at in i + 2..self.end.min(i + 8) {
            match self.tokens.word(at) {
                "left" => return self.turn(i, at + 1, Turn::Left, right_angle_read(at)),
                "right" => return self.turn(i, at + 1, Turn::Right, right_angle_read(at)),
                _ => {}
            }
        }
        i + 2
    }

    /// "bears": in a start the place of the beginning, else no call.
    fn at_bears(&mut self, i: usize) -> usize {
        if self.manner.is_start {
            return i + 1;
        }
        match bearing(self.tokens, self.tokens.past_stops(i + 1)) {
            Found::Read(read) => {
                let to = read.next;
                self.push(What::NoCall("what another line bears"), i, to)
            }
            Found::Bad(span, _) => span.end,
            Found::Nothing => i + 1,
        }
    }

    fn at_to(&mut self, i: usize) -> usize {
        let beside = matches!(
            self.tokens.word_before(i),
            "parallel"
                | "tangent"
                | "nontangent"
                | "perpendicular"
                | "concentric"
                | "adjacent"
                | "contiguous"
                | "according"
                | "radial"
                | "subject"
                | "concave"
        );
        let other = matches!(
            self.tokens.word(i + 1),
            "left" | "right" | "l" | "r" | "bear" | "run" | "wit"
        );
        if !beside && !other {
            self.past_to = true;
            self.head = false;
        }
        i + 1
    }

    /// The beginning, unless the clause only starts from it.
    fn at_beginning(&mut self, i: usize) -> usize {
        if reaches_beginning(self.tokens, i) {
            self.push(What::Beginning, i, i + 1)
        } else {
            i + 1
        }
    }

    fn at_number(&mut self, i: usize) -> usize {
        let before = i.checked_sub(1).map_or(Kind::End, |j| self.tokens.kind(j));
        if before == Kind::Damaged && !self.tokens.spaced(i) {
            return self.bad(i - 1, i + 1, "a sign here can't be read");
        }
        if let Some(read) = self.marked_angle(i) {
            if self.is_signed(i) {
                return self.bad(
                    i - 1,
                    read.next,
                    "an azimuth has no sign: it is from 0 to 360 degrees",
                );
            }
            return self.bare_angle(i, &read);
        }
        match distance(
            self.tokens,
            i,
            &self.manner.units,
            self.calls_for_distance(i),
        ) {
            Found::Read(read) if self.tokens.is_negative(i) && !self.past_to => {
                self.bad(i - 1, read.next, "a length has no sign: it is zero or more")
            }
            Found::Read(read) if self.runs_into_letter(read.next) => {
                let to = read.next + 1;
                self.bad(i, to, "a letter runs into this figure: is it an exponent?")
            }
            Found::Read(read) => self.distance(i, read),
            Found::Bad(span, problem) => self.push(What::Bad(problem), span.start, span.end),
            Found::Nothing => {
                self.head = false;
                i + 1
            }
        }
    }

    /// The letter of `1e2` or of `3E` right behind a number.
    fn runs_into_letter(&self, at: usize) -> bool {
        let letter = matches!(self.tokens.word(at), "east" | "west")
            && self.tokens.words(at, at + 1).len() == 1;
        let number = matches!(self.tokens.kind(at.saturating_sub(1)), Kind::Number { .. });
        letter && number && !self.tokens.spaced(at)
    }

    /// True for an angle with a minus sign, if only a hyphen behind "azimuth".
    fn is_signed(&self, i: usize) -> bool {
        let behind_word = i.checked_sub(2).is_some_and(|j| {
            self.tokens.word(j) == "azimuth" && self.tokens.kind(i - 1) == Kind::Dash
        });
        behind_word || self.tokens.is_negative(i)
    }

    fn marked_angle(&self, i: usize) -> Option<AngleRead> {
        angle(self.tokens, i, 360.0).filter(|read| read.marked)
    }

    /// An angle without a quadrant: an azimuth where the text has azimuths.
    fn bare_angle(&mut self, i: usize, read: &AngleRead) -> usize {
        if matches!(
            self.tokens.word(self.tokens.past_stops(read.next)),
            "east" | "west"
        ) {
            let to = self.tokens.past_stops(read.next) + 1;
            return self.bad(
                i,
                to,
                "the quadrant is open: N or S is missing before the angle",
            );
        }
        let Some(zero) = self.manner.azimuths else {
            return self.bad(
                i,
                read.next,
                "this angle has no quadrant: N or S and E or W are missing",
            );
        };
        if let Some(problem) = read.problem {
            return self.bad(i, read.next, problem);
        }
        let turned = match zero {
            AzimuthZero::North => read.degrees,
            AzimuthZero::South => read.degrees + 180.0,
        };
        let Ok(azimuth) = Azimuth::from_degrees(turned) else {
            return self.bad(i, read.next, "the angle is too large");
        };
        self.past_to = false;
        let what = What::Direction {
            direction: StatedDirection::Given(Direction::Azimuth(azimuth)),
            half: Angle::of_radians(read.half.to_radians()),
            assumed: Vec::new(),
        };
        let to = read.next;
        self.push(what, i, to)
    }

    /// A number here is a distance even without a unit.
    fn calls_for_distance(&self, i: usize) -> bool {
        let beside = self
            .found
            .last()
            .is_some_and(|last| last.is_direction() && self.adjoins(last.to, i));
        let behind_word = match self.tokens.word_before(i) {
            "of" => i
                .checked_sub(2)
                .is_some_and(|j| self.tokens.word(j) == "distance"),
            "for" => self.found.iter().any(Element::is_direction),
            _ => false,
        };
        (beside || behind_word) && !self.past_to
    }

    /// Nothing but stops and a hyphen between two tokens.
    fn adjoins(&self, from: usize, i: usize) -> bool {
        (from..i).all(|j| {
            matches!(
                self.tokens.kind(j),
                Kind::Period | Kind::Comma | Kind::Dash | Kind::Word("and" | "distant" | "for")
            )
        })
    }

    fn distance(&mut self, i: usize, read: DistanceRead) -> usize {
        let next = read.next;
        let beside = self
            .found
            .last()
            .is_some_and(|last| last.is_direction() && self.adjoins(last.to, i));
        if !beside && self.is_no_distance(i, &read) {
            self.head = false;
            return next;
        }
        let role = if self.passes(i, next) {
            Role::Passing
        } else if self.past_to && !beside {
            Role::Late
        } else {
            Role::Call
        };
        self.manner.units.last = Some(read.unit);
        self.push(What::Distance { read, role }, i, next)
    }

    /// A width, a height, a size of a pipe, or how far a line lies from another.
    fn is_no_distance(&self, i: usize, read: &DistanceRead) -> bool {
        let next = self.tokens.word(read.next);
        let said = self.tokens.word_before(i) == "of"
            && self.tokens.word(i.saturating_sub(2)) == "distance";
        if said {
            return false;
        }
        let adjective = read.singular
            && self.tokens.is_word(read.next)
            && !matches!(next, "to" | "along" | "and" | "more" | "thence");
        let article = matches!(self.tokens.word_before(i), "a" | "an" | "the" | "existing");
        let size = matches!(next, "wide" | "width")
            || next == "in" && self.tokens.word(read.next + 1) != "all"
            || matches!(
                self.tokens
                    .words(read.next, read.next + 1)
                    .to_ascii_lowercase()
                    .as_str(),
                "high" | "deep" | "tall" | "thick" | "square" | "above" | "below" | "off" | "apart"
            );
        let inches = matches!(read.unit, crate::units::LengthUnit::Inch);
        adjective || article || size || inches || (!self.manner.is_start && self.is_offset(read))
    }

    /// "30 feet from", "30 feet north of" or "30 feet parallel with".
    fn is_offset(&self, read: &DistanceRead) -> bool {
        let mut at = read.next;
        if is_direction_word(self.tokens.word(at)) || self.tokens.word(at) == "distant" {
            at += 1;
        }
        match self.tokens.word(at) {
            "from" | "of" | "parallel" | "perpendicular" => true,
            "and" => self.tokens.word(at + 1) == "parallel",
            _ => false,
        }
    }

    fn passes(&self, i: usize, next: usize) -> bool {
        let before = self.tokens.word_before(i);
        matches!(before, "at" | "pass" | "cross")
            || matches!(
                self.tokens.word(self.tokens.past(next, Kind::Comma)),
                "pass" | "cross"
            )
    }
}

impl Element {
    pub(super) fn is_direction(&self) -> bool {
        matches!(self.what, What::Direction { .. })
    }

    pub(super) fn is_distance(&self) -> bool {
        matches!(self.what, What::Distance { .. })
    }
}

fn right_angle_read(next: usize) -> AngleRead {
    AngleRead {
        degrees: 90.0,
        half: 0.0,
        marked: true,
        parts: 1,
        problem: None,
        assumed: None,
        next,
    }
}

/// An angle turned whose signs are damaged.
pub(super) fn repaired_turn(tokens: &Tokens<'_>, i: usize, end: usize) -> Option<AngleRead> {
    let is_part = |j: usize| {
        matches!(
            tokens.kind(j),
            Kind::Number { .. } | Kind::Prime | Kind::DoublePrime | Kind::Degree | Kind::Damaged
        )
    };
    let to = (i..end).find(|&j| !is_part(j)).unwrap_or(end);
    if to < i + 2 {
        return None;
    }
    let found = repaired(tokens.words(i, to), 360)?;
    Some(AngleRead {
        degrees: found.value(),
        half: found.half,
        marked: true,
        parts: 3,
        problem: None,
        assumed: Some(format!(
            "{:?} taken as {found}, its signs being damaged",
            tokens.words(i, to)
        )),
        next: to,
    })
}

/// The most tokens of a parenthesis; an opening without an end is left alone.
const LONGEST_PARENTHESIS: usize = 160;

/// The token behind a parenthesis, or behind its opening if it is not closed.
pub(super) fn past_parenthesis(tokens: &Tokens<'_>, i: usize, end: usize) -> usize {
    let mut depth = 0;
    for j in i..end.min(i + LONGEST_PARENTHESIS) {
        match tokens.kind(j) {
            Kind::Open => depth += 1,
            Kind::Close => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return j + 1;
        }
    }
    i + 1
}

/// The direction of one of the four words or letters.
pub(super) fn cardinal(word: &str) -> Option<Direction> {
    let (from, angle, toward) = match word {
        "north" => (NorthSouth::North, Angle::ZERO, EastWest::East),
        "south" => (NorthSouth::South, Angle::ZERO, EastWest::East),
        "east" => (NorthSouth::North, Angle::RIGHT, EastWest::East),
        "west" => (NorthSouth::North, Angle::RIGHT, EastWest::West),
        _ => return None,
    };
    Bearing::new(from, angle, toward)
        .ok()
        .map(Direction::Bearing)
}

/// The eighth of the compass, from north clockwise, that a word names.
pub(super) fn compass_eighth(word: &str) -> Option<u8> {
    Some(match word {
        "north" | "northerly" => 0,
        "northeast" | "northeasterly" => 1,
        "east" | "easterly" => 2,
        "southeast" | "southeasterly" => 3,
        "south" | "southerly" => 4,
        "southwest" | "southwesterly" => 5,
        "west" | "westerly" => 6,
        "northwest" | "northwesterly" => 7,
        _ => return None,
    })
}

pub(super) fn is_direction_word(word: &str) -> bool {
    compass_eighth(word).is_some()
}

/// True if the mention of the beginning at `i` is of its being reached: not
/// "from said point of beginning", not "the beginning of a curve".
pub(super) fn reaches_beginning(tokens: &Tokens<'_>, i: usize) -> bool {
    let is_curve = tokens.word(i + 1) == "of"
        && (i + 2..i + 8).any(|j| matches!(tokens.word(j), "curve" | "arc"));
    if is_curve || (tokens.word(i) == "initial" && tokens.word(i + 1) != "point") {
        return false;
    }
    let mut at = i;
    while let Some(before) = at.checked_sub(1) {
        let belongs = matches!(
            tokens.word(before),
            "of" | "point"
                | "place"
                | "pointof"
                | "the"
                | "said"
                | "true"
                | "actual"
                | "and"
                | "a"
                | "t"
        ) || tokens.kind(before) == Kind::Period
            || tokens.words(before, at) == "P";
        // "of" belongs to the phrase only behind "point" or "place".
        let is_of = tokens.word(before) == "of"
            && !matches!(tokens.word(before.saturating_sub(1)), "point" | "place");
        if !belongs || is_of {
            return !(is_of || tokens.word(before) == "from");
        }
        at = before;
    }
    true
}
