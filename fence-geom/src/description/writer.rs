//! A tract written out as prose that reads back as the same tract.

use std::fmt::Write;

use crate::angle::Angle;
use crate::angle_print::AngleStyle;
use crate::angle_text::Direction;
use crate::bearing::{Azimuth, EastWest, NorthSouth};
use crate::curve::{CurveElements, DegreeOf, Leaves, Radial};
use crate::length::Length;
use crate::ring::Turn;
use crate::tract::{StatedCall, StatedCourse, StatedDirection, Tract};

/// Writes a tract as a description in words of our own, which
/// [`read_description`](crate::read_description) reads back as the same tract:
/// figures keep all their digits, and what the tract lacks is left out.
///
/// Names of corners are left out: a description names monuments, not letters.
///
/// # Examples
///
/// ```
/// use fence_geom::{describe, read_description};
///
/// let text = "Beginning at a pin; thence due north 60 feet; \
///             thence along a curve to the left, radius 50 feet, delta 90 degrees.";
/// let tract = &read_description(text)?.tracts[0];
/// let written = describe(tract);
/// assert!(written.contains("thence N 0°00'00\" E, a distance of 60 feet"));
/// assert_eq!(read_description(&written)?.tracts[0].calls.len(), 2);
/// # Ok::<(), fence_geom::DescriptionError>(())
/// ```
#[must_use]
pub fn describe(tract: &Tract) -> String {
    let mut text = String::new();
    if tract.is_exception {
        text.push_str("Less and except: ");
    }
    if let Some(width) = tract.strip_width {
        let _ = write!(
            text,
            "A strip of land {} wide along this centerline. ",
            feet(width)
        );
    }
    text.push_str(if tract.ties.is_empty() {
        "Beginning at the first corner"
    } else {
        "Commencing at a known corner"
    });
    for (i, tie) in tract.ties.iter().enumerate() {
        write_call(&mut text, tie);
        if i + 1 == tract.ties.len() {
            text.push_str(" to the point of beginning");
        }
    }
    for (i, call) in tract.calls.iter().enumerate() {
        write_call(&mut text, call);
        if i + 1 == tract.calls.len() {
            let stays_open = tract.strip_width.is_some() || tract.stays_open();
            text.push_str(" to the ");
            text.push_str(if stays_open {
                "point of termination"
            } else {
                "point of beginning"
            });
        }
    }
    if let Some(area) = tract.stated_area {
        let _ = write!(text, "; containing {} square feet", area.square_feet());
    }
    text.push_str(".\n");
    text
}

fn write_call(text: &mut String, call: &StatedCall) {
    text.push_str(";\nthence ");
    match &call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => {
            text.push_str(&direction_words(*direction, distance.is_some()));
            if let Some(distance) = distance {
                let _ = write!(text, ", a distance of {}", feet(*distance));
            }
        }
        StatedCourse::Curve(elements) => write_curve(text, elements),
    }
}

fn direction_words(direction: Option<StatedDirection>, has_distance: bool) -> String {
    match direction {
        Some(StatedDirection::Given(direction)) => bearing(direction),
        Some(StatedDirection::Turned { angle, .. }) if angle == Angle::ZERO => {
            "continuing straight on".to_owned()
        }
        Some(StatedDirection::Turned { angle, turn }) => {
            format!("deflecting {} {}", hand(turn), size(angle))
        }
        None if has_distance => "along the line as it runs".to_owned(),
        None => "along the line as it runs onward".to_owned(),
    }
}

fn write_curve(text: &mut String, curve: &CurveElements) {
    text.push_str("along a ");
    match curve.leaves {
        Leaves::Unsaid => {}
        Leaves::Tangent => text.push_str("tangent "),
        Leaves::NotTangent => text.push_str("non-tangent "),
        Leaves::Cusp => text.push_str("cusp "),
    }
    text.push_str("curve");
    if let Some(turn) = curve.turn {
        let _ = write!(text, " to the {}", hand(turn));
    }
    if let Some(concave) = curve.concave {
        let _ = write!(
            text,
            ", concave to {}",
            bearing(Direction::Azimuth(concave))
        );
    }
    for (label, length) in [
        ("radius", curve.radius),
        ("arc length", curve.arc),
        ("tangent length", curve.tangent),
    ] {
        if let Some(length) = length {
            let _ = write!(text, ", {label} {}", feet(length));
        }
    }
    if let Some(delta) = curve.delta {
        let _ = write!(text, ", central angle {}", size(delta));
    }
    if let Some(degree) = curve.degree {
        let of = match degree.of {
            DegreeOf::Arc => "arc",
            DegreeOf::Chord => "chord",
        };
        let _ = write!(
            text,
            ", degree of curve {} ({of} definition)",
            size(degree.angle)
        );
    }
    match curve.radial {
        Some(Radial::ToCenter(direction)) => {
            let _ = write!(
                text,
                ", from which the radius point bears {}",
                bearing(direction)
            );
        }
        Some(Radial::FromCenter(direction)) => {
            let _ = write!(
                text,
                ", to which a radial line bears {}",
                bearing(direction)
            );
        }
        None => {}
    }
    if let Some(chord) = curve.chord_direction {
        let _ = write!(text, ", chord bearing {}", bearing(chord));
    }
    if let Some(chord) = curve.chord {
        let _ = write!(text, ", chord length {}", feet(chord));
    }
}

fn feet(length: Length) -> String {
    format!("{} feet", length.feet())
}

const fn hand(turn: Turn) -> &'static str {
    match turn {
        Turn::Left => "left",
        Turn::Right => "right",
    }
}

/// A quadrant bearing to the last digit that a double holds; an azimuth becomes
/// the bearing of the same direction.
fn bearing(direction: Direction) -> String {
    let bearing = match direction {
        Direction::Bearing(bearing) => bearing,
        Direction::Azimuth(azimuth) => Azimuth::bearing(azimuth),
    };
    let from = match bearing.from() {
        NorthSouth::North => "N",
        NorthSouth::South => "S",
    };
    let toward = match bearing.toward() {
        EastWest::East => "E",
        EastWest::West => "W",
    };
    format!("{from} {} {toward}", size(bearing.angle()))
}

/// Degrees, minutes and seconds where these say it all, else degrees and decimals.
fn size(angle: Angle) -> String {
    let whole = angle.to_text(AngleStyle::SECONDS);
    let again = crate::angle_text::read_angle(&whole);
    if again.is_ok_and(|again| again.value == angle) {
        return whole;
    }
    format!("{}°", angle.degrees())
}
