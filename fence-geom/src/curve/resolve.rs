//! A curve from what the paper gives of it, and how far the rest contradicts.

use super::plan::{Given, Heading, Plan, SizePlan, Start};
use super::size::{self, Size};
use super::{Curve, CurveElement, CurveElements, Leaves, Radial};
use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::Azimuth;
use crate::deed::Rounding;
use crate::length::Length;
use crate::point::Displacement;
use crate::ring::Turn;

/// What surplus elements may be off without a word, in feet, however finely they
/// are written: common practice, no source.
const AGREES_FEET: f64 = 0.01;

/// Hands whose angles differ by less than this, in radians, are not told apart:
/// a hollow side is named by one of eight or sixteen winds.
const UNDECIDED_RADIANS: f64 = 0.035;

/// A curve with all its elements, and what the paper says beyond them.
#[derive(Clone, Debug, PartialEq)]
pub struct ResolvedCurve {
    /// The curve.
    pub curve: Curve,
    /// The way from its start to its end: by the chord as stated, where that
    /// does not contradict, so that a corner stands where the paper has it.
    pub way: Displacement,
    /// What rounding may have taken from that way.
    pub rounding: Rounding,
    /// The elements that were not needed, and how far each is off.
    pub surplus: Vec<Surplus>,
    /// What had to be assumed.
    pub assumed: Vec<CurveAssumption>,
}

/// An element that was not needed to lay the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surplus {
    /// Which element.
    pub element: CurveElement,
    /// How far it is off: of an angle or a direction, what that moves the end of
    /// the curve; of a hand, how far the two curves stand apart.
    pub off: Length,
    /// How far the rounding of the figures explains.
    pub allowed: Length,
}

/// What had to be assumed to lay a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum CurveAssumption {
    /// Nothing says how the curve leaves the call before.
    Tangent,
    /// The hand is the one that agrees with the hollow side or the directions.
    Hand(Turn),
    /// Radius and chord alone: less than half a circle.
    Minor,
}

/// Why a curve can't be laid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CurveError {
    /// Too few sized elements.
    #[error(
        "the curve has no size by {given} alone: give two of radius (or degree of curve), central angle, arc, chord and tangent length",
        given = listed(.given)
    )]
    NoSize {
        /// The sized elements that are given.
        given: Vec<String>,
    },
    /// Nothing says where it goes.
    #[error(
        "nothing says where the curve heads: give its chord bearing, a radial bearing at its start, or that it is tangent to the call before"
    )]
    NoDirection,
    /// The call before has no direction.
    #[error(
        "the curve is tangent to a call before it whose direction is not known: give that direction, or the chord bearing of the curve"
    )]
    NoCallBefore,
    /// Nothing says to which hand.
    #[error("nothing says whether the curve turns left or right: give its hand or its hollow side")]
    NoHand,
    /// An element of zero or less.
    #[error("the {element} of the curve must be more than zero")]
    NotPositive {
        /// Which element.
        element: CurveElement,
    },
    /// No radius.
    #[error("the radius of a curve must be more than zero")]
    NoRadius,
    /// A central angle that can't be one.
    #[error(
        "the central angle of a curve is more than 0 and less than 360 degrees, got {degrees}: a whole circle leads nowhere"
    )]
    WholeTurn {
        /// The angle.
        degrees: f64,
    },
    /// Two elements that no curve has.
    #[error("no curve has this {first} and this {second}: {why}")]
    Impossible {
        /// One element.
        first: CurveElement,
        /// The other.
        second: CurveElement,
        /// Why not.
        why: &'static str,
    },
}

/// Lays a curve from any sufficient set of its elements.
///
/// Two of radius (or degree of curve), central angle, arc, chord and tangent
/// give its size; so does one of them with the chord's bearing and the tangent
/// at the start. The chord's bearing, a radial line or the call before give its
/// direction. Where elements are left over, the pair that contradicts the fewest
/// others is taken, and each of the others is in
/// [`surplus`](ResolvedCurve::surplus). Of a curve with neither hand nor
/// hollow side, directions decide if they can.
///
/// `before` is the direction in which the call before ends, and `rounding` how
/// far the figures of this call may be off.
///
/// # Errors
///
/// A [`CurveError`] that names what is missing or can't be.
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, CurveElements, Length, Rounding, Turn, resolve_curve};
///
/// let elements = CurveElements {
///     turn: Some(Turn::Right),
///     radius: Some(Length::from_feet(50.0)?),
///     arc: Some(Length::from_feet(78.54)?),
///     chord: Some(Length::from_feet(70.91)?),
///     ..CurveElements::default()
/// };
/// let curve = resolve_curve(&elements, Some(Azimuth::NORTH), Rounding::default())?;
/// assert!((curve.curve.delta().degrees() - 90.0).abs() < 1e-3);
/// // The chord of that arc is 70.71 ft, two tenths less than stated.
/// assert!(curve.surplus[0].contradicts());
/// assert!((curve.surplus[0].off.feet() - 0.2).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn resolve_curve(
    elements: &CurveElements,
    before: Option<Azimuth>,
    rounding: Rounding,
) -> Result<ResolvedCurve, CurveError> {
    let given = Given { elements, before };
    let best = match elements.turn {
        Some(turn) => Laid::best(given, turn, rounding)?,
        None => {
            let laid = Laid::of_either_hand(given, rounding)?;
            // Neither hand has the hollow side as stated: that the curve is tangent to
            // the call before was only assumed, and is wrong.
            if laid.assumes_tangency(given) && contradicts(&laid.surplus, CurveElement::Concave) {
                return Err(CurveError::NoDirection);
            }
            laid
        }
    };
    Ok(best.resolved(given, rounding))
}

/// A curve laid by a plan, judged by the elements left over.
struct Laid {
    plan: Plan,
    curve: Curve,
    surplus: Vec<Surplus>,
    /// How far its directions are from what is stated, in radians.
    bend: f64,
}

impl Laid {
    /// The curve of a hand that contradicts the fewest elements; the plan that
    /// is preferred where several do.
    fn best(given: Given<'_>, turn: Turn, rounding: Rounding) -> Result<Self, CurveError> {
        let mut best: Option<Self> = None;
        let mut refused = None;
        for plan in given.plans(turn)? {
            match given.lay(plan) {
                Ok(curve) => {
                    let laid = Self::judge(given, plan, curve, rounding);
                    if best.as_ref().is_none_or(|best| laid.beats(best)) {
                        best = Some(laid);
                    }
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        best.ok_or_else(|| refused.unwrap_or(CurveError::NoDirection))
    }

    /// The curve of the hand that its hollow side and its directions agree with.
    fn of_either_hand(given: Given<'_>, rounding: Rounding) -> Result<Self, CurveError> {
        let right = Self::best(given, Turn::Right, rounding);
        let left = Self::best(given, Turn::Left, rounding);
        let (right, left) = match (right, left) {
            (Ok(right), Ok(left)) => (right, left),
            (Ok(only), Err(CurveError::Impossible { .. }))
            | (Err(CurveError::Impossible { .. }), Ok(only)) => return Ok(only),
            (Err(error), _) | (_, Err(error)) => return Err(error),
        };
        let by_contradictions = right.contradictions().cmp(&left.contradictions());
        let apart = right.bend - left.bend;
        match by_contradictions {
            std::cmp::Ordering::Less => Ok(right),
            std::cmp::Ordering::Greater => Ok(left),
            std::cmp::Ordering::Equal if apart < -UNDECIDED_RADIANS => Ok(right),
            std::cmp::Ordering::Equal if apart > UNDECIDED_RADIANS => Ok(left),
            std::cmp::Ordering::Equal => Self::by_tangency(given, right, left, rounding),
        }
    }

    /// The hand by which a curve of known chord is tangent to the call before,
    /// though the paper does not say that it is.
    fn by_tangency(
        given: Given<'_>,
        right: Self,
        left: Self,
        rounding: Rounding,
    ) -> Result<Self, CurveError> {
        let said = CurveElements {
            leaves: Leaves::Tangent,
            ..*given.elements
        };
        let said = Given {
            elements: &said,
            ..given
        };
        let unsaid = given.elements.leaves == Leaves::Unsaid;
        let tangent = |laid: &Self| {
            unsaid
                && laid
                    .check(said, CurveElement::CallBefore, rounding)
                    .is_some_and(|surplus| !surplus.contradicts())
        };
        match (tangent(&right), tangent(&left)) {
            (true, false) => Ok(right),
            (false, true) => Ok(left),
            _ => Err(CurveError::NoHand),
        }
    }

    fn judge(given: Given<'_>, plan: Plan, curve: Curve, rounding: Rounding) -> Self {
        let mut laid = Self {
            plan,
            curve,
            surplus: Vec::new(),
            bend: 0.0,
        };
        laid.surplus = given
            .sized()
            .chain([
                CurveElement::Radial,
                CurveElement::CallBefore,
                CurveElement::Concave,
            ])
            .filter_map(|element| laid.check(given, element, rounding))
            .filter(|surplus| !plan.uses(surplus.element) || surplus.contradicts())
            .collect();
        laid.bend = bend(given, curve);
        laid
    }

    fn contradictions(&self) -> usize {
        self.surplus.iter().filter(|it| it.contradicts()).count()
    }

    fn beats(&self, other: &Self) -> bool {
        self.contradictions() < other.contradictions()
    }

    /// How far a stated element is from what the curve has in its place.
    fn check(
        &self,
        given: Given<'_>,
        element: CurveElement,
        rounding: Rounding,
    ) -> Option<Surplus> {
        let off = disagreement(given, self.curve, element)?;
        let mut allowed = AGREES_FEET;
        if off.abs() > AGREES_FEET {
            given.each_rounded(rounding, |rounded| {
                let moved = rounded
                    .lay(self.plan)
                    .ok()
                    .and_then(|curve| disagreement(rounded, curve, element));
                // A figure whose last digit decides whether there is a curve at
                // all explains any difference.
                allowed += moved.map_or(f64::INFINITY, |moved| (moved - off).abs());
            });
        }
        Some(Surplus {
            element,
            off: Length::saturating(off.abs()),
            allowed: Length::saturating(allowed),
        })
    }

    fn resolved(self, given: Given<'_>, rounding: Rounding) -> ResolvedCurve {
        let stated_chord = given
            .elements
            .chord
            .filter(|_| !contradicts(&self.surplus, CurveElement::Chord));
        let way = match stated_chord {
            Some(chord) => Displacement::polar(self.curve.chord_direction(), chord),
            None => self.curve.way(),
        };
        let mut of_way = self.rounding_of_way(given, rounding);
        if stated_chord.is_some() {
            of_way.distance = rounding.distance;
        }
        ResolvedCurve {
            curve: self.curve,
            way,
            rounding: of_way,
            assumed: self.assumed(given),
            surplus: self.surplus,
        }
    }

    /// What the half digits of the elements, each by itself, do to the way.
    fn rounding_of_way(&self, given: Given<'_>, rounding: Rounding) -> Rounding {
        let way = self.curve.way();
        let unit = way.unit().unwrap_or_default();
        let (mut along, mut across) = (0.0, 0.0);
        given.each_rounded(rounding, |rounded| {
            if let Ok(curve) = rounded.lay(self.plan) {
                let moved = curve.way() - way;
                along += moved.dot(unit).powi(2);
                across += moved.cross(unit).powi(2);
            }
        });
        Rounding {
            distance: Length::saturating(along.sqrt()),
            direction: Angle::of_radians(across.sqrt() / way.length().feet()),
        }
    }

    fn assumes_tangency(&self, given: Given<'_>) -> bool {
        let leans = matches!(self.plan.heading, Heading::Start(Start::CallBefore))
            || matches!(self.plan.size, SizePlan::Alone(_, Start::CallBefore));
        leans && given.elements.leaves == Leaves::Unsaid
    }

    fn assumed(&self, given: Given<'_>) -> Vec<CurveAssumption> {
        let elements = given.elements;
        let mut assumed = Vec::new();
        if self.assumes_tangency(given) {
            assumed.push(CurveAssumption::Tangent);
        }
        if elements.turn.is_none() {
            assumed.push(CurveAssumption::Hand(self.plan.turn));
        }
        let one_of_two = matches!(
            self.plan.size,
            SizePlan::Pair(
                (
                    CurveElement::Radius | CurveElement::Degree,
                    CurveElement::Chord
                ),
                _
            )
        );
        if one_of_two && self.surplus.is_empty() {
            assumed.push(CurveAssumption::Minor);
        }
        assumed
    }
}

impl Plan {
    fn uses(self, element: CurveElement) -> bool {
        let sizes = match self.size {
            SizePlan::Pair((first, second), _) => element == first || element == second,
            SizePlan::Alone(only, start) => element == only || start.is(element),
        };
        let heads = match self.heading {
            Heading::Chord => element == CurveElement::ChordDirection,
            Heading::Start(start) => start.is(element),
        };
        sizes || heads
    }
}

impl Start {
    fn is(self, element: CurveElement) -> bool {
        match self {
            Self::Radial => element == CurveElement::Radial,
            Self::CallBefore => element == CurveElement::CallBefore,
        }
    }
}

/// How far a stated element is from that of a curve, in feet with a sign; `None`
/// where it is not stated or can't be compared.
fn disagreement(given: Given<'_>, curve: Curve, element: CurveElement) -> Option<f64> {
    let by_start = |start: Azimuth| {
        let angle = turned_by(curve.start_tangent(), start);
        let off = 2.0 * (angle / 2.0).sin() * curve.chord().feet();
        // The hand of a direction that points backward is an accident of rounding.
        if angle.abs() > Angle::RIGHT.radians() {
            off.abs()
        } else {
            off
        }
    };
    match element {
        CurveElement::Radial => given.start_of_radial(curve.turn()).map(by_start),
        CurveElement::CallBefore if given.elements.leaves != Leaves::Unsaid => {
            given.start_of_call_before().map(by_start)
        }
        CurveElement::Concave => {
            let off = off_hollow_side(given, curve)?;
            let apart = 2.0 * curve.middle_ordinate().feet();
            Some(if off > Angle::RIGHT.radians() {
                apart
            } else {
                0.0
            })
        }
        _ => {
            let size = Size {
                radius: curve.radius().feet(),
                delta: curve.delta().radians(),
            };
            let stated = size::stated(given.elements, element)?;
            let off = stated - size::predicted(size, element)?;
            let to_feet = if element == CurveElement::Delta {
                size.radius
            } else {
                1.0
            };
            Some(off * to_feet)
        }
    }
}

/// The angle between the stated hollow side and that of the curve: at its middle
/// the hollow side lies square to the chord.
fn off_hollow_side(given: Given<'_>, curve: Curve) -> Option<f64> {
    let stated = given.elements.concave?;
    let hollow = curve
        .chord_direction()
        .turned(curve.turn().signed(Angle::RIGHT));
    Some(turned_by(hollow, stated).abs())
}

/// How far the directions of a curve are from what is stated, in radians.
fn bend(given: Given<'_>, curve: Curve) -> f64 {
    let starts = given.start_of_radial(curve.turn()).into_iter().chain(
        given
            .start_of_call_before()
            .filter(|_| given.elements.leaves != Leaves::Unsaid),
    );
    let off: f64 = starts
        .map(|start| turned_by(curve.start_tangent(), start).abs())
        .sum();
    off + off_hollow_side(given, curve).unwrap_or(0.0)
}

/// The angle from one direction to another, within half a turn either way.
fn turned_by(from: Azimuth, to: Azimuth) -> f64 {
    let clockwise = from.clockwise_to(to).radians();
    if clockwise > std::f64::consts::PI {
        clockwise - std::f64::consts::TAU
    } else {
        clockwise
    }
}

impl Given<'_> {
    /// Calls `see` with each figure in turn half a digit larger.
    fn each_rounded(self, rounding: Rounding, mut see: impl FnMut(Given<'_>)) {
        let longer = |length: Length| length + rounding.distance;
        let wider = |angle: Angle| angle + rounding.direction;
        let turned = |direction: Direction| {
            Direction::Azimuth(direction.azimuth().turned(rounding.direction))
        };
        let base = *self.elements;
        let variants = [
            base.radius.map(|it| CurveElements {
                radius: Some(longer(it)),
                ..base
            }),
            base.arc.map(|it| CurveElements {
                arc: Some(longer(it)),
                ..base
            }),
            base.chord.map(|it| CurveElements {
                chord: Some(longer(it)),
                ..base
            }),
            base.tangent.map(|it| CurveElements {
                tangent: Some(longer(it)),
                ..base
            }),
            base.delta.map(|it| CurveElements {
                delta: Some(wider(it)),
                ..base
            }),
            base.degree.map(|it| CurveElements {
                degree: Some(super::Degree {
                    angle: wider(it.angle),
                    ..it
                }),
                ..base
            }),
            base.chord_direction.map(|it| CurveElements {
                chord_direction: Some(turned(it)),
                ..base
            }),
            base.radial.map(|it| CurveElements {
                radial: Some(match it {
                    Radial::ToCenter(it) => Radial::ToCenter(turned(it)),
                    Radial::FromCenter(it) => Radial::FromCenter(turned(it)),
                }),
                ..base
            }),
        ];
        for elements in variants.iter().flatten() {
            see(Given { elements, ..self });
        }
        if let Some(before) = self.before {
            see(Given {
                before: Some(before.turned(rounding.direction)),
                ..self
            });
        }
    }
}

impl Surplus {
    /// Returns true if the element is off by more than rounding explains.
    #[must_use]
    pub fn contradicts(self) -> bool {
        self.off > self.allowed
    }
}

impl ResolvedCurve {
    /// Returns the elements that contradict the others.
    pub fn contradictions(&self) -> impl Iterator<Item = &Surplus> {
        self.surplus.iter().filter(|surplus| surplus.contradicts())
    }
}

impl CurveError {
    pub(super) const fn impossible(
        first: CurveElement,
        second: CurveElement,
        why: &'static str,
    ) -> Self {
        Self::Impossible { first, second, why }
    }

    /// The chord that closure gives is longer than the diameter.
    pub(crate) const fn chord_is_too_long() -> Self {
        Self::impossible(CurveElement::Radius, CurveElement::Chord, size::LONG_CHORD)
    }
}

impl ResolvedCurve {
    /// Whether the other elements contradict the one given.
    pub(crate) fn contradicts(&self, element: CurveElement) -> bool {
        contradicts(&self.surplus, element)
    }
}

fn contradicts(surplus: &[Surplus], element: CurveElement) -> bool {
    surplus
        .iter()
        .any(|it| it.element == element && it.contradicts())
}

impl std::fmt::Display for Surplus {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the {} is off by {:.2}", self.element, self.off)
    }
}

impl std::fmt::Display for CurveAssumption {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Tangent => "the curve leaves along the tangent of the call before",
            Self::Hand(Turn::Left) => {
                "the curve turns left, as its hollow side or directions have it"
            }
            Self::Hand(Turn::Right) => {
                "the curve turns right, as its hollow side or directions have it"
            }
            Self::Minor => "the curve is less than half a circle",
        })
    }
}

fn listed(given: &[String]) -> String {
    if given.is_empty() {
        "what is given".to_owned()
    } else {
        given.join(" and ")
    }
}
