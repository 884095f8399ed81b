//! What would close a tract that misses: every single slip of the pen that its
//! calls may hold, undone in turn.
//!
//! A search, no verdict: with a few thousand changes to try, some close a tract by
//! chance, so each answer comes with how many others there are.
//!
//! Source of the idea that one mistake shows in the misclosure: the direction of
//! the misclosure of a taping blunder is that of the course it lies in, W. H.
//! Rayner, *Elementary Surveying* (from memory); the list of slips is common
//! practice, no source.

use std::collections::BTreeMap;

use crate::area_check::area_left_open;
use crate::bearing::Azimuth;
use crate::curve::CurveElement;
use crate::length::{Area, Length};
use crate::tract::{StatedCall, Tract};

mod changes;
mod digits;
mod figure;
mod ledger;

use changes::{Change, changes_of};
use ledger::{Ledger, Outcome};

/// A change that leaves no more than this share of the misclosure is worth a look
/// even where it does not close the tract.
const NEAR_SHARE: f64 = 0.1;

/// The chance of other changes is counted in a disc of this share of the
/// misclosure about the beginning. Small changes, the most of all, leave the end
/// where it was: on a disc of the full misclosure they would lie on the rim.
const CHANCE_SHARE: f64 = 0.5;

/// One slip that would explain a misclosure.
#[derive(Clone, Debug, PartialEq)]
pub struct Slip {
    /// The call, counted from zero; of two neighbors, the first.
    pub call: usize,
    /// What went wrong.
    pub kind: SlipKind,
    /// In which figure of the call.
    pub figure: SlipFigure,
    /// The figure as stated; empty where the whole call is meant.
    pub before: String,
    /// The figure that would close the tract; empty where there is none to give.
    pub after: String,
    /// The misclosure that is left with it.
    pub remaining: Length,
    /// Whether that is within the limit asked for.
    pub closes: bool,
    /// The area with it.
    pub area: Area,
    /// Whether that is the stated area, as far as that is written and as the limit
    /// lets corners move; `None` where no area is stated.
    pub area_agrees: Option<bool>,
}

/// What went wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum SlipKind {
    /// One digit is another.
    WrongDigit,
    /// There is a digit too many, such as one written twice.
    ExtraDigit,
    /// A digit is missing.
    LostDigit,
    /// Two neighboring digits have changed places.
    TransposedDigits,
    /// The decimal point is missing.
    LostPoint,
    /// North for south or east for west.
    SwappedLetter,
    /// The course runs the other way.
    Reversed,
    /// The direction is a quarter turn off.
    QuarterTurn,
    /// The angle of the bearing is counted from the other axis.
    OtherAxis,
    /// The degrees are missing.
    LostDegrees,
    /// The number is in another unit.
    OtherUnit,
    /// The call does not belong here, or is stated twice.
    ExtraCall,
    /// The call should be there twice.
    LostCall,
    /// The figures of this call and the next have changed places.
    ExchangedFigures,
    /// Left for right.
    OtherHand,
    /// An element of a curve contradicts the others.
    ConflictingElement,
}

/// The figure of a call in which a slip is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum SlipFigure {
    /// The call as a whole.
    Call,
    /// The bearing or azimuth.
    Direction,
    /// The distance.
    Distance,
    /// The angle turned from the call before.
    Deflection,
    /// An element of the curve.
    Curve(CurveElement),
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipSearch {
    /// The slips worth a look, the likeliest first.
    pub slips: Vec<Slip>,
    /// How many changes were tried.
    pub tried: usize,
    /// How many of them close the tract within the limit, those left out of
    /// `slips` counted.
    pub closing: usize,
    /// How many would by chance alone, from how many changes end in the
    /// neighborhood; `None` where the misclosure is too small against the limit to
    /// tell.
    pub by_chance: Option<f64>,
    /// The course that would close the tract exactly were it left out: two free
    /// figures close anything, so it is no sign of a call left out.
    pub closing_course: (Azimuth, Length),
}

/// Why no search can be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SlipError {
    /// A call without all its parts.
    #[error(
        "call {number} lacks a direction or a distance, or its curve lacks an element: without a closure of its own a tract shows no slip, so give what is missing"
    )]
    Incomplete {
        /// The call, counted from one.
        number: usize,
    },
    /// More calls than can be searched.
    #[error("{calls} calls are more than the {max} that can be searched: split the tract", max = SlipSearch::MAX_CALLS)]
    TooManyCalls {
        /// How many there are.
        calls: usize,
    },
}

/// Searches the single slips that would close a tract.
///
/// `limit` is how much a closed tract may miss by:
/// [`Closure::allowed`](crate::Closure::allowed) of its calls, or a tolerance of
/// the reader's own. A tract that closes within it gives no slips.
///
/// Ranked by what remains of the misclosure over the limit and, where an area is
/// stated, by how far the area is from it over what the figures leave open; each kind of
/// slip is held equally likely, so that one of few possible changes goes before
/// one of many that explains no more.
///
/// # Errors
///
/// A [`SlipError`] for a tract with a part missing, or one too long.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, StatedCall, StatedDirection, Tract, find_slips, read_direction};
///
/// let call = |direction, feet| -> Result<_, Box<dyn std::error::Error>> {
///     let direction = StatedDirection::Given(read_direction(direction)?.value);
///     Ok(StatedCall::line(Some(direction), Some(Length::from_feet(feet)?)))
/// };
/// let tract = Tract {
///     calls: vec![
///         call("N 10 E", 200.0)?,
///         call("S 80 E", 140.0)?,
///         call("S 10 W", 200.0)?,
///         call("N 80 W", 104.0)?,
///     ],
///     ..Tract::default()
/// };
/// let search = find_slips(&tract, Length::from_feet(0.05)?)?;
/// assert_eq!(search.slips[0].after, "104 ft");
/// assert_eq!(search.slips[1].after, "140 ft");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn find_slips(tract: &Tract, limit: Length) -> Result<SlipSearch, SlipError> {
    if tract.calls.len() > SlipSearch::MAX_CALLS {
        return Err(SlipError::TooManyCalls {
            calls: tract.calls.len(),
        });
    }
    let ledger = Ledger::of(tract)?;
    let gap = ledger.gap();
    let mut search = SlipSearch {
        slips: Vec::new(),
        tried: 0,
        closing: 0,
        by_chance: None,
        closing_course: ((-gap).azimuth(), gap.length()),
    };
    if gap.length() <= limit {
        return Ok(search);
    }
    let judge = Judge::of(tract, &ledger, limit);
    let mut found = Found::default();
    for i in 0..tract.calls.len() {
        for change in changes_of(&tract.calls, i, ledger.heading(i)) {
            let outcome = ledger.with(change.first, change.removed, &change.courses);
            if let Some(outcome) = outcome {
                found.take(change, outcome, &judge);
            }
        }
    }
    search.tried = found.tried;
    search.closing = found.closing;
    search.by_chance = found.by_chance(&judge);
    search.slips = found.ranked(&judge);
    Ok(search)
}

impl SlipSearch {
    /// The most calls that are searched: where each call turns from the one
    /// before, the time grows with their square.
    pub const MAX_CALLS: usize = 500;

    /// The most slips that are listed: who must look at more has no sign of any.
    pub const MAX_SLIPS: usize = 20;

    /// Returns how many changes close the tract beside the first.
    #[must_use]
    pub const fn others(&self) -> usize {
        self.closing.saturating_sub(1)
    }
}

impl Slip {
    /// Returns the slip in one sentence, with its place, its figures before and
    /// after and what remains.
    #[must_use]
    pub fn sentence(&self, calls: &[StatedCall]) -> String {
        let number = self.call + 1;
        let line = calls
            .get(self.call)
            .and_then(|call| call.written.as_ref())
            .map_or_else(String::new, |written| format!(" (line {})", written.line));
        let remains = format!("{:.3} ft", self.remaining.feet());
        let what = match self.kind {
            SlipKind::ExtraCall => format!("call {number}{line} left out"),
            SlipKind::LostCall => format!("call {number}{line} run twice"),
            SlipKind::ExchangedFigures => format!(
                "the {}s of calls {number} and {}{line} exchanged",
                self.figure,
                number + 1
            ),
            SlipKind::ConflictingElement if !self.after.is_empty() => format!(
                "call {number}{line} with the {} {} that the other elements of its curve give for {}",
                self.figure, self.after, self.before
            ),
            SlipKind::ConflictingElement => format!(
                "call {number}{line} without its {}, {}, which the other elements of the curve contradict",
                self.figure, self.before
            ),
            kind => format!(
                "call {number}{line} with the {} {} for {} ({})",
                self.figure,
                self.after,
                self.before,
                kind.words()
            ),
        };
        let verb = if self.closes {
            "would close"
        } else {
            "would miss by only"
        };
        if self.closes {
            format!("{what} {verb} to {remains}")
        } else {
            format!("{what} {verb} {remains}")
        }
    }
}

impl SlipKind {
    /// Returns what went wrong in a few words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WrongDigit => "a digit wrong",
            Self::ExtraDigit => "a digit too many",
            Self::LostDigit => "a digit lost",
            Self::TransposedDigits => "digits transposed",
            Self::LostPoint => "decimal point lost",
            Self::SwappedLetter => "quadrant letter swapped",
            Self::Reversed => "direction reversed",
            Self::QuarterTurn => "a quarter turn off",
            Self::OtherAxis => "angle from the other axis",
            Self::LostDegrees => "degrees lost",
            Self::OtherUnit => "another unit",
            Self::ExtraCall => "a call too many",
            Self::LostCall => "a call lost",
            Self::ExchangedFigures => "figures of neighbors exchanged",
            Self::OtherHand => "left for right",
            Self::ConflictingElement => "an element against the others",
        }
    }
}

impl std::fmt::Display for SlipFigure {
    /// Writes its name in the trade.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Call => f.write_str("call"),
            Self::Direction => f.write_str("bearing"),
            Self::Distance => f.write_str("distance"),
            Self::Deflection => f.write_str("deflection"),
            Self::Curve(element) => element.fmt(f),
        }
    }
}

/// What outcomes are measured against.
struct Judge {
    limit: f64,
    misclosure: f64,
    /// The stated area and what may be between it and the true one.
    area: Option<(f64, f64)>,
}

impl Judge {
    fn of(tract: &Tract, ledger: &Ledger<'_>, limit: Length) -> Self {
        let area = tract.stated_area.map(|stated| {
            let open = area_left_open(stated, limit, ledger.perimeter());
            (stated.square_feet(), open.square_feet())
        });
        Self {
            limit: limit.feet(),
            misclosure: ledger.gap().length().feet(),
            area,
        }
    }

    fn area_agrees(&self, area: Area) -> Option<bool> {
        self.area
            .map(|(stated, open)| (area.square_feet() - stated).abs() <= open)
    }

    /// How badly an outcome explains the tract: the logarithm of one over its
    /// likelihood. The errors have no normal law, since a tract that holds a slip may well
    /// miss by more than rounding besides; heavy tails keep one large error from
    /// outweighing all else.
    fn doubt(&self, remaining: Length, area: Area) -> f64 {
        let of = |ratio: f64| (ratio * ratio).ln_1p();
        let area = self.area.map_or(0.0, |(stated, open)| {
            of((area.square_feet() - stated) / open)
        });
        of(remaining.feet() / self.limit) + area
    }

    /// The radius of the disc in which chance is counted.
    fn neighborhood(&self) -> f64 {
        CHANCE_SHARE * self.misclosure
    }

    fn is_near(&self, remaining: Length) -> bool {
        remaining.feet() <= self.limit.max(NEAR_SHARE * self.misclosure)
    }
}

/// What a search has come upon so far.
#[derive(Default)]
struct Found {
    slips: Vec<Slip>,
    tried: usize,
    closing: usize,
    in_neighborhood: usize,
    of_kind: BTreeMap<SlipKind, usize>,
}

impl Found {
    fn take(&mut self, change: Change, outcome: Outcome, judge: &Judge) {
        let Outcome { remaining, area } = outcome;
        self.tried += 1;
        *self.of_kind.entry(change.kind).or_default() += 1;
        if remaining.feet() <= judge.neighborhood() {
            self.in_neighborhood += 1;
        }
        let closes = remaining.feet() <= judge.limit;
        if closes {
            self.closing += 1;
        }
        if judge.is_near(remaining) {
            self.slips.push(Slip {
                call: change.first,
                kind: change.kind,
                figure: change.figure,
                before: change.before,
                after: change.after,
                remaining,
                closes,
                area,
                area_agrees: judge.area_agrees(area),
            });
        }
    }

    /// How many changes would close by chance, if their ends lie as densely about the
    /// beginning as in its neighborhood.
    fn by_chance(&self, judge: &Judge) -> Option<f64> {
        let share = (judge.limit / judge.neighborhood()).powi(2);
        let away = self.in_neighborhood.saturating_sub(self.closing);
        (share < 0.25).then(|| ratio(away) * share / (1.0 - share))
    }

    fn ranked(self, judge: &Judge) -> Vec<Slip> {
        let doubt = |slip: &Slip| {
            let alike = self.of_kind.get(&slip.kind).copied().unwrap_or(1);
            judge.doubt(slip.remaining, slip.area) + ratio(alike).ln()
        };
        let mut ranked: Vec<(f64, Slip)> = self
            .slips
            .iter()
            .map(|slip| (doubt(slip), slip.clone()))
            .collect();
        ranked.sort_by(|(a, x), (b, y)| {
            a.total_cmp(b)
                .then(x.remaining.feet().total_cmp(&y.remaining.feet()))
                .then(x.call.cmp(&y.call))
        });
        ranked.truncate(SlipSearch::MAX_SLIPS);
        ranked.into_iter().map(|(_, slip)| slip).collect()
    }
}

/// A count as a number; far below the integers that doubles hold exactly.
fn ratio(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::from(u32::MAX), f64::from)
}
