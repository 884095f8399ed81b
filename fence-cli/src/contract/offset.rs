//! What `fence offset` takes and answers.

use std::collections::BTreeMap;

use fence_geom::{Length, OffsetRing, Ring, RingRole, Side, Turn};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::fit::FitCorner;
use crate::fields::{CoordinateField, LengthField};
use crate::gis_ring::MapUnit;
use crate::request_unit::UnitField;

/// A lot, by `corners` or by `text`, and how far inside it the line is held.
/// Numbers are feet.
#[derive(Deserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct OffsetRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; feet by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// The corners of the lot, in order around it.
    #[serde(default)]
    pub(crate) corners: Vec<FitCorner>,
    /// Instead of the corners: the text of a CSV of points, headed
    /// `name,north_ft,east_ft`, of a map in GeoJSON or well-known text, or of a call
    /// table.
    pub(crate) text: Option<String>,
    /// How far inside every side.
    pub(crate) by: LengthField,
    /// How far inside single sides, by name: `"A-B": "2ft"`.
    #[serde(default)]
    pub(crate) sides: BTreeMap<String, CoordinateField>,
    /// The datum of points by longitude and latitude: NAD83, NAD83(2011) or WGS84.
    pub(crate) datum: Option<String>,
    /// The unit of a map in a plane.
    pub(crate) map_unit: Option<MapUnit>,
    /// True to go outside the lot instead.
    #[serde(default)]
    pub(crate) outside: bool,
}

/// The offset line of a lot.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetAnswer {
    /// The rings of the offset line, outer ones first, not closed: the first
    /// corner is not repeated.
    pub(crate) rings: Vec<Vec<OffsetPlace>>,
    /// What each ring bounds, in the order of `rings`.
    pub(crate) ring_roles: Vec<OffsetRingRole>,
    /// In how many pieces the inside is: the outer rings.
    pub(crate) pieces: usize,
    /// The sides of which no offset line is left.
    pub(crate) vanished: Vec<String>,
    /// The area inside the offset line, all pieces together.
    pub(crate) area_sq_ft: f64,
    /// The length around it, all rings together.
    pub(crate) perimeter_ft: f64,
    /// The area of the lot.
    pub(crate) lot_area_sq_ft: f64,
    /// The sides of the lot, each with its distance.
    pub(crate) sides: Vec<OffsetSide>,
    /// The flags in order, ring by ring.
    pub(crate) corners: Vec<OffsetCornerRow>,
    /// What next changes as all distances grow; null if nothing does.
    pub(crate) next_event: Option<OffsetEventRow>,
    /// True where the lot is from a map: then the corners are an estimate, and no
    /// flag is set by them.
    pub(crate) estimate_only: bool,
    /// What was assumed in reading the request.
    pub(crate) assumed: Vec<String>,
    /// Why nothing may be built on these figures: the calls of the deed do not close;
    /// null where they do, or where the lot is not from a deed.
    pub(crate) unresolved: Option<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// A corner of a ring.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetPlace {
    /// Its name.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// The arc to the next corner; left out where a straight line joins them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) arc_to_next: Option<OffsetArc>,
}

/// A circular side.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetArc {
    /// The radius.
    pub(crate) radius_ft: f64,
    /// The hand to which it turns.
    pub(crate) turn: OffsetTurn,
    /// The angle at the center.
    pub(crate) delta_deg: f64,
}

/// The hand to which an arc turns.
#[derive(Serialize, JsonSchema, Debug)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OffsetTurn {
    /// Counterclockwise seen from above.
    Left,
    /// Clockwise seen from above.
    Right,
}

/// What a ring bounds.
#[derive(Serialize, JsonSchema, Debug)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OffsetRingRole {
    /// What it bounds lies inside of it.
    Outer,
    /// What it bounds lies outside of it, inside an outer ring.
    Hole,
}

/// A side of the lot.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetSide {
    /// Its name.
    pub(crate) name: String,
    /// How far its offset line lies from it, positive inside the lot.
    pub(crate) distance_ft: f64,
    /// How long its offset line is, zero where it has vanished.
    pub(crate) offset_length_ft: f64,
}

/// A flag, and how to reach it from its pin.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetCornerRow {
    /// The index of its ring in `rings`.
    pub(crate) ring: usize,
    /// Its name: that of its pin, or `B+C` where all between pins B and C has
    /// vanished; a second one of the same has a prime.
    pub(crate) name: String,
    /// The pin it is measured from: at the end of the side that arrives.
    pub(crate) pin: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// How the two offset lines are joined here.
    pub(crate) join: OffsetJoin,
    /// The angle on the inside of the offset line, 0 to 360.
    pub(crate) angle_deg: f64,
    /// How far the offset line turns here, positive to the right.
    pub(crate) deflection_deg: f64,
    /// The side that arrives at the pin.
    pub(crate) side_before: String,
    /// The side that leaves it.
    pub(crate) side_after: String,
    /// From the pin back along the side that arrives; negative off its end.
    pub(crate) miter_before_ft: f64,
    /// From the pin on along the side that leaves; negative off its end.
    pub(crate) miter_after_ft: f64,
    /// Straight from the pin to the flag.
    pub(crate) miter_straight_ft: f64,
    /// The diagonal that checks the angle; null where no legs of 3 and 4 ft fit.
    pub(crate) check: Option<OffsetCheck>,
}

/// Legs along the two offset lines at a flag, and the diagonal between them.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetCheck {
    /// Back along the line that arrives.
    pub(crate) leg_before_ft: f64,
    /// On along the line that leaves.
    pub(crate) leg_after_ft: f64,
    /// The diagonal to read.
    pub(crate) diagonal_ft: f64,
}

/// How two offset lines are joined.
#[derive(Serialize, JsonSchema, Debug)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OffsetJoin {
    /// They meet.
    Miter,
    /// By a square jog; this is one of its two flags.
    Jog,
    /// The miter of a needle is cut square; this is one of its two flags.
    Cut,
    /// The offset lines of two sides meet that are no neighbors.
    Meeting,
    /// A parallel arc ends and goes straight on.
    Tangent,
}

/// What happens to the offset line as all distances grow together.
#[derive(Serialize, JsonSchema, Debug)]
pub(crate) struct OffsetEventRow {
    /// The common factor on all distances.
    pub(crate) factor: f64,
    /// What happens.
    pub(crate) kind: OffsetEventKind,
    /// The side that vanishes, or whose line another corner runs into.
    pub(crate) side: String,
    /// The corner that runs into it; null where a side vanishes.
    pub(crate) corner: Option<String>,
}

/// What ends a range of distances.
#[derive(Serialize, JsonSchema, Debug)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OffsetEventKind {
    /// Nothing is left of a side's offset line.
    Vanishes,
    /// The offset line runs into itself.
    Splits,
}

impl OffsetPlace {
    /// The flags of a ring and what joins each to the next.
    pub(crate) fn of_ring(ring: &OffsetRing) -> Vec<Self> {
        let corners = ring.ring().corners().iter().enumerate();
        corners
            .map(|(k, flag)| Self {
                name: flag.name.clone(),
                north_ft: flag.at.north(),
                east_ft: flag.at.east(),
                arc_to_next: OffsetArc::of_side(ring.ring(), k),
            })
            .collect()
    }
}

impl OffsetArc {
    /// Side `k` of a ring, where it is an arc.
    pub(crate) fn of_side(ring: &Ring, k: usize) -> Option<Self> {
        let Some(Side::Arc { delta, turn }) = ring.sides().get(k) else {
            return None;
        };
        Some(Self {
            radius_ft: ring.radius(k).map_or(0.0, Length::feet),
            turn: match turn {
                Turn::Left => OffsetTurn::Left,
                Turn::Right => OffsetTurn::Right,
            },
            delta_deg: delta.degrees(),
        })
    }
}

impl OffsetRingRole {
    pub(crate) const fn of(role: RingRole) -> Self {
        match role {
            RingRole::Outer => Self::Outer,
            RingRole::Hole => Self::Hole,
        }
    }
}
