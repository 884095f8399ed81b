//! Every single slip that a call may hold, undone.

use super::figure::Figure;
use super::{SlipFigure, SlipKind};
use crate::angle::Angle;
use crate::angle_text::Direction;
use crate::bearing::{Azimuth, Bearing, EastWest, NorthSouth};
use crate::curve::{
    Curve, CurveAssumption, CurveElement, CurveElements, Degree, Radial, SIZED, resolve_curve,
};
use crate::deed::Rounding;
use crate::length::Length;
use crate::ring::Turn;
use crate::tract::{StatedCall, StatedCourse, StatedDirection};

/// A change of one call, or of what two neighbors share.
pub(super) struct Change {
    /// The first call that is replaced.
    pub(super) first: usize,
    /// How many are.
    pub(super) removed: usize,
    /// What replaces them.
    pub(super) courses: Vec<StatedCourse>,
    pub(super) kind: SlipKind,
    pub(super) figure: SlipFigure,
    /// The figure as stated, for people; empty where the call as a whole is meant.
    pub(super) before: String,
    /// The figure that is tried.
    pub(super) after: String,
}

/// A figure changed: what went wrong, what it would be, and that in words.
type Changed<T> = (SlipKind, T, String);

/// The changes of call `i`; `heading` is the direction in which the call before ends.
pub(super) fn changes_of(calls: &[StatedCall], i: usize, heading: Option<Azimuth>) -> Vec<Change> {
    let Some(call) = calls.get(i) else {
        return Vec::new();
    };
    let mut changes = Changes {
        first: i,
        heading,
        made: Vec::new(),
    };
    match &call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => changes.line(*direction, *distance, call.rounding),
        StatedCourse::Curve(elements) => changes.curve(elements, call.rounding),
    }
    changes.whole_call(&call.course);
    if let Some(next) = calls.get(i + 1) {
        changes.exchanged(&call.course, &next.course);
    }
    changes.made
}

struct Changes {
    first: usize,
    heading: Option<Azimuth>,
    made: Vec<Change>,
}

impl Changes {
    /// Adds the changes of one figure; `put` gives the course with it changed.
    fn add<T>(
        &mut self,
        figure: SlipFigure,
        before: &str,
        changed: Vec<Changed<T>>,
        put: impl Fn(T) -> StatedCourse,
    ) {
        for (kind, value, after) in changed {
            self.made.push(Change {
                first: self.first,
                removed: 1,
                courses: vec![put(value)],
                kind,
                figure,
                before: before.to_owned(),
                after,
            });
        }
    }

    fn line(
        &mut self,
        direction: Option<StatedDirection>,
        distance: Option<Length>,
        rounding: Rounding,
    ) {
        if let Some(stated) = distance {
            let figure = Figure::of_length(stated, rounding.distance);
            self.add(
                SlipFigure::Distance,
                &figure.text(),
                length_changes(&figure),
                |length| StatedCourse::Line {
                    direction,
                    distance: Some(length),
                },
            );
        }
        let put = |direction| StatedCourse::Line {
            direction: Some(direction),
            distance,
        };
        match direction {
            Some(StatedDirection::Given(stated)) => {
                let (before, changed) = direction_changes(stated, rounding.direction);
                self.add(SlipFigure::Direction, &before, changed, |direction| {
                    put(StatedDirection::Given(direction))
                });
            }
            Some(StatedDirection::Turned { angle, turn }) if angle != Angle::ZERO => {
                let figure =
                    Figure::of_degrees(angle.degrees(), rounding.direction.degrees(), 360.0);
                let changed = angle_changes(&figure);
                self.add(SlipFigure::Deflection, &figure.text(), changed, |angle| {
                    put(StatedDirection::Turned { angle, turn })
                });
                self.add(
                    SlipFigure::Deflection,
                    hand(turn),
                    other_hand(turn),
                    |turn| put(StatedDirection::Turned { angle, turn }),
                );
            }
            _ => (),
        }
    }

    fn curve(&mut self, elements: &CurveElements, rounding: Rounding) {
        self.curve_sizes(elements, rounding);
        self.curve_directions(elements, rounding);
        if let Some(turn) = elements.turn {
            self.add(
                SlipFigure::Curve(CurveElement::Turn),
                hand(turn),
                other_hand(turn),
                |turn| {
                    StatedCourse::Curve(CurveElements {
                        turn: Some(turn),
                        ..*elements
                    })
                },
            );
        }
    }

    fn curve_sizes(&mut self, elements: &CurveElements, rounding: Rounding) {
        for element in SIZED {
            let Some(stated) = sized(elements, element) else {
                continue;
            };
            let figure = match element {
                CurveElement::Delta | CurveElement::Degree => {
                    Figure::of_degrees(stated, rounding.direction.degrees(), 360.0)
                }
                _ => Figure::of_length(Length::saturating(stated), rounding.distance),
            };
            let without = with_sized(elements, element, None);
            let others = resolve_curve(&without, self.heading, rounding).ok();
            // Where the others alone fix the curve, they give the figure that this
            // one should be, and no trial of its digits finds more.
            let fixed = others
                .as_ref()
                .is_some_and(|others| !others.assumed.contains(&CurveAssumption::Tangent));
            if let Some(others) = others {
                let given = element_of(&others.curve, element, elements);
                let after = given.map_or_else(String::new, |given| figure.at(given).text());
                self.add(
                    SlipFigure::Curve(element),
                    &figure.text(),
                    vec![(SlipKind::ConflictingElement, (), after)],
                    |()| StatedCourse::Curve(without),
                );
            }
            if !fixed {
                let changed = element_changes(&figure);
                self.add(SlipFigure::Curve(element), &figure.text(), changed, |it| {
                    StatedCourse::Curve(with_sized(elements, element, Some(it)))
                });
            }
        }
    }

    fn curve_directions(&mut self, elements: &CurveElements, rounding: Rounding) {
        if let Some(stated) = elements.chord_direction {
            let (before, changed) = direction_changes(stated, rounding.direction);
            let put = |chord_direction| {
                StatedCourse::Curve(CurveElements {
                    chord_direction,
                    ..*elements
                })
            };
            self.add(
                SlipFigure::Curve(CurveElement::ChordDirection),
                &before,
                changed,
                |it| put(Some(it)),
            );
            self.add(
                SlipFigure::Curve(CurveElement::ChordDirection),
                &before,
                vec![(SlipKind::ConflictingElement, (), String::new())],
                |()| put(None),
            );
        }
        if let Some(stated) = elements.radial {
            let (stated, put): (Direction, fn(Direction) -> Radial) = match stated {
                Radial::ToCenter(direction) => (direction, Radial::ToCenter),
                Radial::FromCenter(direction) => (direction, Radial::FromCenter),
            };
            let (before, changed) = direction_changes(stated, rounding.direction);
            self.add(
                SlipFigure::Curve(CurveElement::Radial),
                &before,
                changed,
                |it| {
                    StatedCourse::Curve(CurveElements {
                        radial: Some(put(it)),
                        ..*elements
                    })
                },
            );
        }
    }

    /// The call stated twice, or once where it is run twice.
    fn whole_call(&mut self, course: &StatedCourse) {
        for (kind, courses) in [
            (SlipKind::ExtraCall, Vec::new()),
            (SlipKind::LostCall, vec![*course, *course]),
        ] {
            self.made.push(Change {
                first: self.first,
                removed: 1,
                courses,
                kind,
                figure: SlipFigure::Call,
                before: String::new(),
                after: String::new(),
            });
        }
    }

    /// The bearings of two neighbors exchanged, and their distances: the two lead to
    /// one end by other corners. The calls exchanged whole would change nothing in
    /// the closure.
    fn exchanged(&mut self, course: &StatedCourse, next: &StatedCourse) {
        let (
            StatedCourse::Line {
                direction: direction @ Some(StatedDirection::Given(_)),
                distance,
            },
            StatedCourse::Line {
                direction: other @ Some(StatedDirection::Given(_)),
                distance: next_distance,
            },
        ) = (course, next)
        else {
            return;
        };
        let line =
            |direction: &Option<StatedDirection>, distance: &Option<Length>| StatedCourse::Line {
                direction: *direction,
                distance: *distance,
            };
        self.made.push(Change {
            first: self.first,
            removed: 2,
            courses: vec![line(other, distance), line(direction, next_distance)],
            kind: SlipKind::ExchangedFigures,
            figure: SlipFigure::Direction,
            before: String::new(),
            after: String::new(),
        });
        self.made.push(Change {
            first: self.first,
            removed: 2,
            courses: vec![line(direction, next_distance), line(other, distance)],
            kind: SlipKind::ExchangedFigures,
            figure: SlipFigure::Distance,
            before: String::new(),
            after: String::new(),
        });
    }
}

fn length_changes(figure: &Figure) -> Vec<Changed<Length>> {
    let other_units = figure
        .other_units()
        .into_iter()
        .map(|it| (SlipKind::OtherUnit, it));
    figure
        .changes()
        .into_iter()
        .chain(other_units)
        .filter_map(|(kind, it)| {
            let length = Length::from_feet(it.value()).ok()?;
            (length > Length::ZERO).then(|| (kind, length, it.text()))
        })
        .collect()
}

fn angle_changes(figure: &Figure) -> Vec<Changed<Angle>> {
    figure
        .changes()
        .into_iter()
        .filter_map(|(kind, it)| {
            let angle = Angle::from_degrees(it.value()).ok()?;
            (angle > Angle::ZERO).then(|| (kind, angle, it.text()))
        })
        .collect()
}

/// The changes of a direction, and the direction itself in words.
fn direction_changes(stated: Direction, half: Angle) -> (String, Vec<Changed<Direction>>) {
    let half = half.degrees();
    let mut changes = match stated {
        Direction::Bearing(bearing) => bearing_changes(bearing, half),
        Direction::Azimuth(azimuth) => azimuth_changes(azimuth, half),
    };
    for quarters in [1_u8, 2, 3] {
        let turned = stated.azimuth().turned(Angle::of_radians(
            f64::from(quarters) * Angle::RIGHT.radians(),
        ));
        let turned = match stated {
            Direction::Bearing(_) => Direction::Bearing(turned.bearing()),
            Direction::Azimuth(_) => Direction::Azimuth(turned),
        };
        let kind = if quarters == 2 {
            SlipKind::Reversed
        } else {
            SlipKind::QuarterTurn
        };
        changes.push((kind, turned, direction_text(turned, half)));
    }
    (direction_text(stated, half), distinct(stated, changes))
}

/// The changes that lead elsewhere, each direction once.
fn distinct(stated: Direction, changes: Vec<Changed<Direction>>) -> Vec<Changed<Direction>> {
    let mut seen = vec![stated.azimuth().radians()];
    changes
        .into_iter()
        .filter(|(_, direction, _)| {
            let radians = direction.azimuth().radians();
            let is_new = seen.iter().all(|other| (other - radians).abs() > 1e-9);
            seen.push(radians);
            is_new
        })
        .collect()
}

fn bearing_changes(stated: Bearing, half: f64) -> Vec<Changed<Direction>> {
    let (from, angle, toward) = (stated.from(), stated.angle(), stated.toward());
    let mut changes = Vec::new();
    if is_cardinal(stated, half) {
        return changes;
    }
    let figure = Figure::of_degrees(angle.degrees(), half, 91.0);
    let mut push = |kind, from, angle, toward, figure: &Figure| {
        if let Ok(bearing) = Bearing::new(from, angle, toward) {
            let text = bearing_text(bearing, figure);
            changes.push((kind, Direction::Bearing(bearing), text));
        }
    };
    push(
        SlipKind::SwappedLetter,
        other_pole(from),
        angle,
        toward,
        &figure,
    );
    push(
        SlipKind::SwappedLetter,
        from,
        angle,
        other_side(toward),
        &figure,
    );
    for (kind, changed) in figure.changes() {
        if let Ok(angle) = Angle::from_degrees(changed.value()) {
            push(kind, from, angle, toward, &changed);
        }
    }
    if let Ok(rest) = Angle::from_degrees(90.0 - angle.degrees()) {
        let rest_figure = Figure::of_degrees(rest.degrees(), half, 91.0);
        push(SlipKind::OtherAxis, from, rest, toward, &rest_figure);
    }
    if angle.degrees() < 1.0 && half > 0.0 {
        for degrees in 1..=89_u16 {
            let angle =
                Angle::of_radians(angle.radians() + Angle::of_whole_degrees(degrees).radians());
            let figure = Figure::of_degrees(angle.degrees(), half, 91.0);
            push(SlipKind::LostDegrees, from, angle, toward, &figure);
        }
    }
    changes
}

/// Whether a bearing is in words only, such as "due north": it has no digits, and
/// its letters say nothing but where it goes.
fn is_cardinal(bearing: Bearing, half: f64) -> bool {
    let degrees = bearing.angle().degrees();
    half <= 0.0 && [0.0, 90.0].iter().any(|axis| (degrees - axis).abs() < 1e-9)
}

fn azimuth_changes(stated: Azimuth, half: f64) -> Vec<Changed<Direction>> {
    Figure::of_degrees(stated.degrees(), half, 360.0)
        .changes()
        .into_iter()
        .filter_map(|(kind, changed)| {
            let azimuth = Azimuth::from_degrees(changed.value()).ok()?;
            Some((kind, Direction::Azimuth(azimuth), changed.text()))
        })
        .collect()
}

fn direction_text(direction: Direction, half: f64) -> String {
    match direction {
        Direction::Bearing(bearing) if is_cardinal(bearing, half) => {
            let north = bearing.azimuth().radians().cos();
            let word = match (bearing.from(), bearing.toward()) {
                (NorthSouth::North, _) if north > 0.5 => "north",
                (NorthSouth::South, _) if north < -0.5 => "south",
                (_, EastWest::East) => "east",
                (_, EastWest::West) => "west",
            };
            format!("due {word}")
        }
        Direction::Bearing(bearing) => {
            let figure = Figure::of_degrees(bearing.angle().degrees(), half, 91.0);
            bearing_text(bearing, &figure)
        }
        Direction::Azimuth(azimuth) => Figure::of_degrees(azimuth.degrees(), half, 360.0).text(),
    }
}

fn bearing_text(bearing: Bearing, angle: &Figure) -> String {
    let from = match bearing.from() {
        NorthSouth::North => "N",
        NorthSouth::South => "S",
    };
    let toward = match bearing.toward() {
        EastWest::East => "E",
        EastWest::West => "W",
    };
    format!("{from} {} {toward}", angle.text())
}

const fn other_pole(from: NorthSouth) -> NorthSouth {
    match from {
        NorthSouth::North => NorthSouth::South,
        NorthSouth::South => NorthSouth::North,
    }
}

const fn other_side(toward: EastWest) -> EastWest {
    match toward {
        EastWest::East => EastWest::West,
        EastWest::West => EastWest::East,
    }
}

fn other_hand(turn: Turn) -> Vec<Changed<Turn>> {
    let other = turn.other();
    vec![(SlipKind::OtherHand, other, hand(other).to_owned())]
}

const fn hand(turn: Turn) -> &'static str {
    match turn {
        Turn::Left => "left",
        Turn::Right => "right",
    }
}

/// A sized element as stated, in feet or degrees.
fn sized(elements: &CurveElements, element: CurveElement) -> Option<f64> {
    match element {
        CurveElement::Radius => elements.radius.map(Length::feet),
        CurveElement::Delta => elements.delta.map(Angle::degrees),
        CurveElement::Arc => elements.arc.map(Length::feet),
        CurveElement::Chord => elements.chord.map(Length::feet),
        CurveElement::Tangent => elements.tangent.map(Length::feet),
        CurveElement::Degree => elements.degree.map(|degree| degree.angle.degrees()),
        _ => None,
    }
}

/// The elements with one of them changed, in feet or degrees, or left out.
fn with_sized(
    elements: &CurveElements,
    element: CurveElement,
    value: Option<f64>,
) -> CurveElements {
    let mut changed = *elements;
    let length = value.map(Length::saturating);
    let angle = value.map(|degrees| Angle::of_radians(degrees.to_radians()));
    match element {
        CurveElement::Radius => changed.radius = length,
        CurveElement::Delta => changed.delta = angle,
        CurveElement::Arc => changed.arc = length,
        CurveElement::Chord => changed.chord = length,
        CurveElement::Tangent => changed.tangent = length,
        CurveElement::Degree => {
            changed.degree = elements.degree.and_then(|degree| {
                Some(Degree {
                    angle: angle?,
                    ..degree
                })
            });
        }
        _ => (),
    }
    changed
}

/// What a curve has for a sized element, in feet or degrees; of the degree, by what
/// the paper counts it.
fn element_of(curve: &Curve, element: CurveElement, stated: &CurveElements) -> Option<f64> {
    match element {
        CurveElement::Radius => Some(curve.radius().feet()),
        CurveElement::Delta => Some(curve.delta().degrees()),
        CurveElement::Arc => Some(curve.arc().feet()),
        CurveElement::Chord => Some(curve.chord().feet()),
        CurveElement::Tangent => curve.tangent().map(Length::feet),
        CurveElement::Degree => {
            let degree = stated.degree?;
            curve.degree(degree.of, degree.foot).map(Angle::degrees)
        }
        _ => None,
    }
}

/// The changes of a sized element, in feet or degrees.
fn element_changes(figure: &Figure) -> Vec<Changed<f64>> {
    figure
        .changes()
        .into_iter()
        .filter(|(_, it)| it.value() > 0.0)
        .map(|(kind, it)| (kind, it.value(), it.text()))
        .collect()
}

#[cfg(test)]
mod tests;
