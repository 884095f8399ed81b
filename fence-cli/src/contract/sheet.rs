//! What `fence sheet --json` answers. Every standard error is of measuring
//! only, and null where it is unknown.

use schemars::JsonSchema;
use serde::Serialize;

use super::deed::{ClosureRow, PlaceRow};
use super::fit::FitPinAnswer;
use super::ground::GroundAnswer;
use super::offset::{OffsetArc, OffsetCheck, OffsetPlace, OffsetRingRole};
use super::posts::ObjectiveRow;
use super::square::SquareVerdict;
use super::takeoff::TakeoffList;
use super::tie::{TieSetBy, TieSide};

/// A whole job worked out.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetAnswer {
    /// What is built, where and when.
    pub(crate) job: SheetJob,
    /// Why the job must not be dug; empty where it may.
    pub(crate) no_dig: Vec<String>,
    /// The lot.
    pub(crate) lot: SheetLot,
    /// The line of the posts' outside faces inside the lot.
    pub(crate) offset: SheetOffset,
    /// The flags to set.
    pub(crate) flags: Vec<SheetFlag>,
    /// The turns of the string, with tapes that check them.
    pub(crate) turns: Vec<SheetTurn>,
    /// The runs of fence, laid out.
    pub(crate) runs: Vec<SheetRun>,
    /// What moves of lines within their bands would save: no others have as few
    /// cuts for fewer inches, but where `trades_rough` names a run. Empty where no
    /// band is given.
    pub(crate) trades: Vec<SheetTrade>,
    /// Runs over whose ground there were too many choices of moves to lay each out:
    /// others that were not tried may save more.
    pub(crate) trades_rough: Vec<String>,
    /// How many choices of moves were left out or corrected because, worked out, they
    /// had other cuts than were counted.
    pub(crate) trades_otherwise: usize,
    /// What was checked and what was found, the worst first.
    pub(crate) checks: Vec<SheetCheck>,
    /// The material.
    pub(crate) takeoff: TakeoffList,
    /// The places that were measured.
    pub(crate) places: Vec<SheetPlace>,
    /// What was assumed in reading the job.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// The head of the sheet.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetJob {
    /// What is built.
    pub(crate) name: String,
    /// Where.
    pub(crate) site: String,
    /// The day the crew digs.
    pub(crate) arrival: Option<String>,
    /// What the crew should know before it comes.
    pub(crate) crew_note: Option<String>,
    /// Where the finished side looks: `out` toward the neighbor, `in` toward the
    /// yard; null where the job does not say it.
    pub(crate) finished_side: Option<FinishedSideAnswer>,
    /// The product by its name in the list.
    pub(crate) product: String,
    /// How high the fence stands over the ground.
    pub(crate) height_ft: f64,
    /// Who accepted the line where pins are missing.
    pub(crate) line_accepted_by: Option<String>,
    /// The locate ticket; null where there is none.
    pub(crate) locate: Option<SheetLocate>,
}

/// Where the finished side looks.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FinishedSideAnswer {
    /// Toward the neighbor.
    Out,
    /// Toward the yard.
    In,
}

/// The locate ticket.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetLocate {
    /// Its number.
    pub(crate) ticket: String,
    /// The day it was called in.
    pub(crate) called: Option<String>,
    /// The first day digging is allowed.
    pub(crate) good_from: Option<String>,
    /// The last day.
    pub(crate) good_until: Option<String>,
    /// The owners the center named.
    pub(crate) owners: Vec<SheetOwner>,
    /// What is known of private lines, which the center does not mark.
    pub(crate) private_lines: Option<String>,
}

/// What an owner of buried lines answered.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetOwner {
    /// The owner.
    pub(crate) name: String,
    /// The answer.
    pub(crate) answer: OwnerAnswerWord,
}

/// An owner's answer.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OwnerAnswerWord {
    /// Its lines are marked.
    Marked,
    /// They are marked, and none of the marks is near the fence.
    Away,
    /// It has none here.
    Clear,
    /// It has not answered.
    None,
}

/// The lot, with what each corner stands on.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetLot {
    /// The corners in order.
    pub(crate) corners: Vec<SheetCorner>,
    /// The sides in order: the first leaves the first corner.
    pub(crate) sides: Vec<SheetSide>,
    /// The area.
    pub(crate) area_sq_ft: f64,
    /// The same in acres.
    pub(crate) area_acres: f64,
    /// The length around it.
    pub(crate) perimeter_ft: f64,
    /// The closure of the deed; null where the job has none.
    pub(crate) closure: Option<ClosureRow>,
    /// The fit of the deed to the pins; null without a deed or with fewer than
    /// two pins.
    pub(crate) fit: Option<SheetFit>,
}

/// A corner of the lot.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetCorner {
    /// Its name.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// Whether a pin was found for it.
    pub(crate) found: bool,
    /// Whether somebody accepted that pin.
    pub(crate) accepted: bool,
    /// For a corner not found: the radius to search, which holds 95 %; null if
    /// found or unknown.
    pub(crate) search_radius_ft: Option<f64>,
    /// The standard error of the northing.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of the easting.
    pub(crate) sigma_east_ft: Option<f64>,
}

/// A side of the lot.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetSide {
    /// Its name.
    pub(crate) name: String,
    /// Its direction as a quadrant bearing; of an arc, that of its chord.
    pub(crate) bearing: String,
    /// The same, clockwise from north.
    pub(crate) azimuth_deg: f64,
    /// Its length, along the arc where it is one.
    pub(crate) length_ft: f64,
    /// The arc; left out of a straight side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) arc: Option<OffsetArc>,
    /// False where it lacks two accepted pins: an estimate only.
    pub(crate) pinned: bool,
}

/// How the deed lies on the pins.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetFit {
    /// Ground bearing less deed bearing, positive clockwise.
    pub(crate) rotation_deg: f64,
    /// Ground distance over deed distance if let free; the fit holds it at 1.
    pub(crate) scale: f64,
    /// The standard error of one coordinate, by the residuals.
    pub(crate) sigma_ft: Option<f64>,
    /// The pins.
    pub(crate) pins: Vec<FitPinAnswer>,
}

/// The line inside the lot.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetOffset {
    /// Its rings, not closed: the first corner is not repeated.
    pub(crate) rings: Vec<Vec<OffsetPlace>>,
    /// What each ring bounds, in the order of `rings`.
    pub(crate) ring_roles: Vec<OffsetRingRole>,
    /// The sides of the lot of which no offset line is left.
    pub(crate) vanished: Vec<String>,
    /// The area inside.
    pub(crate) area_sq_ft: f64,
    /// The length around it.
    pub(crate) perimeter_ft: f64,
    /// The corners of all rings in order.
    pub(crate) corners: Vec<SheetOffsetCorner>,
}

/// A corner of the line inside the lot.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetOffsetCorner {
    /// Its name.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// The angle on the inside of the line, 0 to 360.
    pub(crate) angle_deg: f64,
    /// How far the line turns here, positive to the right.
    pub(crate) deflection_deg: f64,
    /// From the pin back along the side that arrives; negative off its end.
    pub(crate) miter_before_ft: f64,
    /// From the pin on along the side that leaves; negative off its end.
    pub(crate) miter_after_ft: f64,
    /// Straight from the pin to the flag.
    pub(crate) miter_straight_ft: f64,
}

/// A flag to set: the outside face of the posts.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetFlag {
    /// Its name.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// The standard error of the northing once it is set by its two tapes, against
    /// the marks on the ground.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of the easting once it is set.
    pub(crate) sigma_east_ft: Option<f64>,
    /// True where a wall is the mark and no flag is set.
    pub(crate) wall: bool,
    /// False where it hangs on a side that is not pinned: set no flag there.
    pub(crate) settable: bool,
    /// The best two tapes to set it; null where there are none.
    pub(crate) ties: Option<SheetTies>,
    /// Why no two tapes can set it: one reason for each known point.
    pub(crate) no_tie_because: Vec<String>,
}

/// A turn of the string from one run into the next.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetTurn {
    /// The flag at the turn.
    pub(crate) flag: String,
    /// The angle between the runs, on the yard's side.
    pub(crate) angle_deg: f64,
    /// Its standard error; null where it is not known.
    pub(crate) angle_sigma_deg: Option<f64>,
    /// Where a fence branches off: the run of the other fence that the leg before is on,
    /// and its own run; null elsewhere.
    pub(crate) along: Option<[String; 2]>,
    /// Three tapes that check it; null where a run is too short.
    pub(crate) check: Option<OffsetCheck>,
}

/// The best two tapes to set a flag.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetTies {
    /// The tapes.
    #[serde(flatten)]
    pub(crate) set_by: TieSetBy,
    /// The hand of the way from the first tape's point to the second's on which
    /// the flag lies.
    pub(crate) side: TieSide,
    /// The standard error of setting it, in the northing.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of setting it, in the easting.
    pub(crate) sigma_east_ft: Option<f64>,
}

/// A run of fence. Stations count from its start, along the string.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetRun {
    /// Its name.
    pub(crate) name: String,
    /// The flag or wall it starts at.
    pub(crate) from: String,
    /// The flag or wall it ends at.
    pub(crate) to: String,
    /// Where the string starts.
    pub(crate) start: PlaceRow,
    /// Where the string ends.
    pub(crate) end: PlaceRow,
    /// The length of the string.
    pub(crate) length_ft: f64,
    /// The way to face, as a quadrant bearing.
    pub(crate) bearing: String,
    /// The same, clockwise from north.
    pub(crate) azimuth_deg: f64,
    /// The hand of the yard for one who walks the run.
    pub(crate) yard: TieSide,
    /// The side of the lot it runs along; null where it runs along none.
    pub(crate) side: Option<String>,
    /// From the lot line to the string; null where it runs along none.
    pub(crate) string_to_line_in: Option<f64>,
    /// From the string to the hole centers of line posts, into the yard.
    pub(crate) string_to_holes_in: f64,
    /// The standard error of the string across its direction.
    pub(crate) line_sigma_ft: Option<f64>,
    /// False where it hangs on a side that is not pinned.
    pub(crate) pinned: bool,
    /// Whether there is a layout.
    pub(crate) status: RunStatus,
    /// How well each wish is served; null where there is no layout.
    pub(crate) objective: Option<ObjectiveRow>,
    /// Where there is no layout: what, dropped alone, would give one.
    pub(crate) blocking: Vec<String>,
    /// Where there is no layout: the least that would do.
    pub(crate) relaxations: Vec<String>,
    /// Other layouts worth a look, a line each.
    pub(crate) runners_up: Vec<String>,
    /// How many more would be worth a look, but do not hold on the run's ground.
    pub(crate) runners_up_lost: usize,
    /// The posts in order.
    pub(crate) posts: Vec<SheetPost>,
    /// The sections in order.
    pub(crate) sections: Vec<SheetSection>,
    /// The run over its ground; null where the ground was not read.
    pub(crate) ground: Option<GroundAnswer>,
    /// The run on its arc; null where it is straight. Its stations count along the
    /// arc, and `bearing` is that of the tangent at its start.
    pub(crate) arc: Option<SheetArc>,
    /// Where holes are dug by hand.
    pub(crate) hand_dig: Vec<SheetStretch>,
    /// Where no hole may be.
    pub(crate) no_dig: Vec<SheetStretch>,
}

/// A run on an arc: its posts on a circle, its sections chords.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetArc {
    /// The center of the arc.
    pub(crate) center: PlaceRow,
    /// Whether a tape can be held at the center and pulled to the posts.
    pub(crate) center_in_reach: bool,
    /// The radius of the string.
    pub(crate) radius_ft: f64,
    /// The angle at the center from the start to the end.
    pub(crate) delta_deg: f64,
    /// The hand to which the arc turns.
    pub(crate) turn: TieSide,
    /// The radius on which the centers of the posts stand.
    pub(crate) post_radius_ft: f64,
    /// How much farther in they stand than half of the widest post.
    pub(crate) moved_in_in: f64,
    /// The turn at a post between two full sections.
    pub(crate) full_turn_deg: f64,
    /// How far full sections and gates miss their width, at the worst.
    pub(crate) misfit_in: f64,
    /// How each post is set, in the order of `posts`.
    pub(crate) posts: Vec<SheetArcPost>,
}

/// How a post on an arc is set, off a string pulled straight from the start of the run
/// to its end.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetArcPost {
    /// How far the fence turns here: at an end from the arc's tangent.
    pub(crate) turn_deg: f64,
    /// From the start along the straight string.
    pub(crate) along_chord_in: f64,
    /// From there square off to the center: positive toward the yard.
    pub(crate) off_chord_in: f64,
    /// From its center to that of the next post; null at the last.
    pub(crate) to_next_in: Option<f64>,
}

/// Moves of lines within their bands.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetTrade {
    /// In words.
    pub(crate) words: String,
    /// Cuts of the whole job.
    pub(crate) cuts: i64,
    /// Cuts with the lines where they are; null where a run has no layout then.
    pub(crate) cuts_now: Option<i64>,
    /// Holes dug by hand.
    pub(crate) hand_dug: i64,
    /// All moves together.
    pub(crate) moved_in: f64,
    /// The sides whose lines move.
    pub(crate) moves: Vec<SheetMove>,
}

/// A move of a line.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetMove {
    /// The side.
    pub(crate) side: String,
    /// How far, positive into the lot.
    pub(crate) by_in: f64,
}

/// Whether there is a layout.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum RunStatus {
    /// Proven the best.
    Optimal,
    /// No layout keeps all hard rules.
    None,
}

/// A post.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetPost {
    /// The station of its center.
    pub(crate) center_in: f64,
    /// Its width along the run.
    pub(crate) width_in: f64,
    /// Its place in the fence.
    pub(crate) kind: PostWord,
    /// Whether this run digs its hole.
    pub(crate) hole: bool,
    /// What its hole is dug by hand because of; empty where a machine may dig.
    pub(crate) by_hand: Vec<String>,
    /// Its center: feet north of the origin.
    pub(crate) north_ft: f64,
    /// Its center: feet east of the origin.
    pub(crate) east_ft: f64,
    /// How much farther it stands from the string than half its width: on an arc, and
    /// where the run meets one.
    pub(crate) moved_in_in: f64,
}

/// The place of a post in the fence.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PostWord {
    /// Between two sections.
    Line,
    /// At a free or wall end.
    End,
    /// Where two runs meet at a right angle.
    Corner,
    /// Where two runs meet at another angle.
    OtherCorner,
    /// Where a fence branches off.
    Tee,
    /// Beside a gate, carrying its hinges, or both hinges and latch.
    Gate,
    /// At the latch of a gate.
    Latch,
    /// Where fabric is pulled tight in a fence that runs straight on.
    Pull,
    /// Between two sections of which one stands higher.
    Step,
}

/// A section.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetSection {
    /// What fills it.
    pub(crate) kind: SectionWord,
    /// Its clear width, level.
    pub(crate) clear_in: f64,
    /// How long its rails are, face to face of its posts. More than `clear_in` where
    /// it is racked.
    pub(crate) rail_in: f64,
    /// The length to saw for a cut; null for other sections.
    pub(crate) saw_in: Option<f64>,
    /// The station of its first face.
    pub(crate) from_in: f64,
    /// The gate in it; null in other sections.
    pub(crate) gate: Option<SheetGate>,
}

/// What fills a section.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SectionWord {
    /// A full panel.
    Full,
    /// A cut panel.
    Cut,
    /// A gate.
    Gate,
    /// Built in place, or of fabric.
    Bay,
}

/// A gate in its place: hinges and leaf edges on the string.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetGate {
    /// Its name.
    pub(crate) name: String,
    /// One leaf or two.
    pub(crate) leaves: u32,
    /// For one leaf: whether the hinges are on the side of the run's start.
    pub(crate) hinge_at_start: bool,
    /// Whether it swings into the yard.
    pub(crate) swings_in: bool,
    /// The hinge points, a leaf each.
    pub(crate) hinges: Vec<PlaceRow>,
    /// The free edge of each leaf when the gate is shut.
    pub(crate) shut: Vec<PlaceRow>,
    /// The free edge of each leaf when the gate is square open.
    pub(crate) open: Vec<PlaceRow>,
}

/// A part of a run, ends included, and why.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetStretch {
    /// What it is near to.
    pub(crate) near: String,
    /// The station where it begins.
    pub(crate) from_in: f64,
    /// The station where it ends.
    pub(crate) to_in: f64,
}

/// Something that was checked.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetCheck {
    /// What was checked.
    pub(crate) kind: CheckKind,
    /// True for what must be mended, or can't be told, before the fence is built;
    /// false for a notice and for a check that passes.
    pub(crate) trouble: bool,
    /// What was found and what to do, in one sentence or two.
    pub(crate) words: String,
    /// The corner, pin, side, flag, run or gate it is about; null where it is
    /// about the whole job.
    pub(crate) about: Option<String>,
    /// For a square check: what the readings say.
    pub(crate) square: Option<SheetSquare>,
}

/// What was checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum CheckKind {
    /// Whether the deed closes.
    Closure,
    /// Whether both ends of a side are accepted pins.
    Pinned,
    /// Whether a pin agrees with the deed and the other pins.
    PinAgrees,
    /// Whether a pin looked disturbed.
    PinDisturbed,
    /// Whether the ticket and the marks entered agree, and who asked about private
    /// lines.
    Locate,
    /// Whether a corner is square.
    Square,
    /// Whether a run has a layout.
    Layout,
    /// Whether two tapes can set a flag.
    Ties,
    /// Whether the line is told well enough for the inside distance.
    Inside,
    /// Whether concrete stays inside the lot line.
    Concrete,
    /// A hole to dig by hand.
    HandDug,
    /// Whether a gate swings free.
    Swing,
    /// Whether a gate stands between gate posts.
    GatePost,
    /// The height against its limit.
    Height,
    /// The distance inside the lot line against its limit.
    Setback,
    /// Whether the gap under a section is within its limit.
    Gap,
    /// Whether posts are sold as long as the ground needs them.
    PostLength,
    /// Whether the product turns as much at a post as an arc needs.
    Turn,
    /// Whether fabric is pulled tight often enough.
    Pull,
    /// Anything else.
    Other,
}

/// What the readings of a square check say.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetSquare {
    /// The angle that was taped.
    pub(crate) angle_deg: f64,
    /// Its standard error.
    pub(crate) angle_sigma_deg: Option<f64>,
    /// The diagonal as read less the one needed.
    pub(crate) diagonal_error_in: f64,
    /// `square` (at the design angle), `out` or `undecided`.
    pub(crate) verdict: SquareVerdict,
    /// How far the far end of the run stands off its line.
    pub(crate) run_error_in: f64,
    /// How far it may be off.
    pub(crate) tolerance_in: f64,
}

/// A measured place.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetPlace {
    /// Its name.
    pub(crate) name: String,
    /// Feet north of the origin.
    pub(crate) north_ft: f64,
    /// Feet east of the origin.
    pub(crate) east_ft: f64,
    /// The standard error of the northing.
    pub(crate) sigma_north_ft: Option<f64>,
    /// The standard error of the easting.
    pub(crate) sigma_east_ft: Option<f64>,
}
