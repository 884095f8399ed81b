//! The job file: the only place that knows its form. Every table refuses fields
//! it does not know, so that a misspelled one is never ignored.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::contract::alias::also;
use crate::fields::{
    CoordinateField, DirectionField, LengthField, PlaceField, RackField, StationField, Two,
};

/// A whole job as its file writes it.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct JobFile {
    /// What and where, for the head of the sheet.
    pub(crate) job: Identity,
    /// The tapes of the crew.
    #[serde(default)]
    pub(crate) tape: TapeTable,
    /// The record: where the corners should be.
    pub(crate) deed: Option<DeedTable>,
    /// The pins that were found, in order around the lot.
    #[serde(default)]
    pub(crate) pin: Vec<PlaceTable>,
    /// Other places that were measured.
    #[serde(default)]
    pub(crate) point: Vec<PlaceTable>,
    /// Houses, sheds and other buildings.
    #[serde(default)]
    pub(crate) building: Vec<OutlineTable>,
    /// Where nothing may be built: easements, septic fields and the like.
    #[serde(default)]
    pub(crate) no_build: Vec<OutlineTable>,
    /// How far inside the lot line the fence stands.
    pub(crate) inside: InsideTable,
    /// What the fence is made of.
    pub(crate) product: ProductTable,
    /// The fence, stop by stop.
    pub(crate) route: Vec<RouteTable>,
    /// Wishes for single runs.
    #[serde(default)]
    pub(crate) run: Vec<RunTable>,
    /// The ground along runs that are not level.
    #[serde(default)]
    pub(crate) ground: Vec<GroundTable>,
    /// Gates.
    #[serde(default)]
    pub(crate) gate: Vec<GateTable>,
    /// The locate ticket; without one the sheet is headed DO NOT DIG.
    pub(crate) locate: Option<LocateTable>,
    /// Marked utilities.
    #[serde(default)]
    pub(crate) utility: Vec<UtilityTable>,
    /// Things that a hole must keep away from.
    #[serde(default)]
    pub(crate) obstacle: Vec<ObstacleTable>,
    /// Square checks that were taped.
    #[serde(default)]
    pub(crate) square: Vec<SquareTable>,
    /// Limits that the town or the owner sets.
    #[serde(default)]
    pub(crate) limits: LimitsTable,
}

/// The head of the sheet.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Identity {
    /// What is built.
    pub(crate) name: String,
    /// Where.
    pub(crate) site: String,
    /// The day the crew digs, `2026-12-31`.
    pub(crate) arrival: Option<String>,
    /// What the crew should know before it comes.
    pub(crate) crew_note: Option<String>,
    /// `out` toward the neighbor, `in` toward the yard.
    pub(crate) finished_side: Option<FinishedSide>,
    /// Feet of old fence to tear out.
    pub(crate) tear_out: Option<LengthField>,
    /// Who accepted the line where pins are missing.
    pub(crate) line_accepted_by: Option<String>,
}

/// Where the finished side looks.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum FinishedSide {
    /// Toward the neighbor.
    Out,
    /// Toward the yard.
    In,
}

/// The tapes.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TapeTable {
    /// Standard error of one reading.
    pub(crate) reading: Option<LengthField>,
    /// N of the 1:N standard error of the tape's scale.
    pub(crate) scale: Option<f64>,
    /// The longest tape that can be pulled.
    pub(crate) length: Option<LengthField>,
}

/// The record.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DeedTable {
    /// A file of calls, beside the job file.
    pub(crate) calls: Option<String>,
    /// The calls themselves, in place of a file of them.
    pub(crate) text: Option<String>,
}

/// A found pin, or another measured place: exactly one of `at`, `tape` and
/// `tapes` says where it is.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = also(&[("name", "corner")]))]
pub(crate) struct PlaceTable {
    /// Its name; of a pin, the corner it stands for.
    #[serde(alias = "corner")]
    pub(crate) name: String,
    /// `[north, east]` in feet.
    pub(crate) at: Option<Two<f64>>,
    /// Standard error of `at`, each way; unknown where it is not given.
    pub(crate) sigma: Option<LengthField>,
    /// One tape in a known direction: the base line.
    pub(crate) tape: Option<OneTape>,
    /// Two tapes from two points.
    pub(crate) tapes: Option<Two<TapeFrom>>,
    /// On which side of the way from the first point to the second.
    pub(crate) side: Option<Hand>,
    /// Whether a crew can hold a tape at it.
    #[serde(default = "yes")]
    pub(crate) visible: bool,
    /// What it is.
    pub(crate) kind: Option<String>,
    /// How thick.
    pub(crate) size: Option<String>,
    /// What its cap says.
    pub(crate) cap: Option<String>,
    /// How deep its top was.
    pub(crate) depth: Option<String>,
    /// Whether it looked disturbed.
    #[serde(default)]
    pub(crate) disturbed: bool,
    /// Who accepted it as the corner.
    pub(crate) accepted_by: Option<String>,
}

/// One tape in a known direction.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct OneTape {
    /// The point it is held at.
    pub(crate) from: String,
    /// What it reads.
    pub(crate) reads: LengthField,
    /// The direction.
    pub(crate) toward: DirectionField,
}

/// One of two tapes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TapeFrom {
    /// The point it is held at.
    pub(crate) from: String,
    /// What it reads.
    pub(crate) reads: LengthField,
}

/// A hand.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Hand {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// A building, or an area.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct OutlineTable {
    /// Its name.
    pub(crate) name: String,
    /// Its corners in order.
    pub(crate) corners: Vec<PlaceField>,
}

/// Inside distances, from the lot line to the outermost part of the fence.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct InsideTable {
    /// The distance on every side that is not named.
    pub(crate) each: LengthField,
    /// Other distances, by side: `"A-B" = "2ft"`.
    #[serde(default)]
    pub(crate) sides: BTreeMap<String, LengthField>,
    /// Least and greatest inside distance at which the line of a side may stand
    /// instead, to save cuts: `"A-B" = ["4in", "16in"]`.
    #[serde(default)]
    pub(crate) bands: BTreeMap<String, Two<LengthField>>,
    /// By what steps lines are moved within their bands; 1/2 in where not given.
    pub(crate) band_step: Option<LengthField>,
}

/// What the fence is made of.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ProductTable {
    /// Its name in the product list.
    pub(crate) name: String,
    /// How sections are made.
    pub(crate) build: BuildField,
    /// Clear width of a full section; for bays the widest.
    pub(crate) full: LengthField,
    /// Clear width of the shortest cut section or bay.
    pub(crate) min_cut: LengthField,
    /// Height over the ground.
    pub(crate) height: LengthField,
    /// How far rails and boards stand outside the posts.
    #[serde(default)]
    pub(crate) outstand: LengthField,
    /// The post between sections.
    pub(crate) line_post: PostTable,
    /// The post at an end; like a line post where it is not given.
    pub(crate) end_post: Option<PostTable>,
    /// The post at a square corner; like a line post where it is not given.
    pub(crate) corner_post: Option<PostTable>,
    /// The post at a corner of another angle; the corner post where it is not given.
    pub(crate) other_corner_post: Option<PostTable>,
    /// The post where a fence branches off; the corner post where it is not given.
    pub(crate) tee_post: Option<PostTable>,
    /// The post beside a gate, on which it hangs; like a line post where it is not
    /// given.
    pub(crate) gate_post: Option<PostTable>,
    /// The post that a gate latches to; the gate post where it is not given.
    pub(crate) latch_post: Option<PostTable>,
    /// The post at a stop where fabric runs straight on; the end post where it is not
    /// given.
    pub(crate) pull_post: Option<PostTable>,
    /// How panels are cut: to any width, and each piece from a panel of its own,
    /// where it is not given.
    pub(crate) cutting: Option<CuttingTable>,
    /// The openings that gates come with, for a look at what another would save.
    #[serde(default)]
    pub(crate) gate_openings: Vec<LengthField>,
    /// The post where the fence steps; like a line post where it is not given.
    pub(crate) step_post: Option<PostTable>,
    /// How it follows sloping ground.
    pub(crate) slope: Option<SlopeTable>,
    /// How far it turns at most at a post between two sections, in degrees.
    pub(crate) most_turn_deg: Option<f64>,
    /// For fabric: how long a stretch it is pulled tight over at most.
    pub(crate) pull_every: Option<LengthField>,
    /// Concrete by the bag; none where posts are tamped.
    pub(crate) concrete: Option<ConcreteTable>,
    /// Parts counted by posts, sections, gates or feet.
    #[serde(default)]
    pub(crate) parts: Vec<PartTable>,
    /// The lattice of the layout.
    pub(crate) lattice: Option<LengthField>,
}

/// How a product follows sloping ground.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SlopeTable {
    /// How far a full section racks, from end to end: a length, `level` for not at
    /// all, or `freely`.
    pub(crate) rack: Option<RackField>,
    /// The least gap under a section.
    pub(crate) least_gap: Option<LengthField>,
    /// The greatest gap wanted under a section.
    pub(crate) most_gap: Option<LengthField>,
    /// How far posts stand above the sections beside them.
    #[serde(default)]
    pub(crate) post_above: LengthField,
    /// The lengths that posts are sold in.
    #[serde(default)]
    pub(crate) post_lengths: Vec<LengthField>,
}

/// The ground along a run, from its start to its end.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct GroundTable {
    /// The run.
    pub(crate) run: String,
    /// The readings in order, at both ends too.
    pub(crate) readings: Vec<GroundRow>,
    /// Where a leveling instrument was used: the height of the bench mark.
    pub(crate) bench_mark: Option<CoordinateField>,
    /// The reading of the rod on the bench mark.
    pub(crate) backsight: Option<LengthField>,
    /// True where the places were taped along the ground, not level.
    #[serde(default)]
    pub(crate) along_ground: bool,
}

/// One reading of the ground: exactly one of `height` and `rod`.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct GroundRow {
    /// From the run's start; or `start`, or `end`.
    pub(crate) at: StationField,
    /// The height of the ground, from any one level; negative below it.
    pub(crate) height: Option<CoordinateField>,
    /// What the rod reads there below the instrument's line of sight.
    pub(crate) rod: Option<LengthField>,
}

/// How sections are made.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum BuildField {
    /// Factory panels.
    Panels,
    /// Built in place.
    Stick,
    /// Rolled fabric.
    Fabric,
    /// Factory panels on the face of the posts.
    PanelsOnFace,
}

/// One kind of post.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostTable {
    /// Width along the run.
    pub(crate) width: LengthField,
    /// Whether it is round; square where not said.
    #[serde(default)]
    pub(crate) round: bool,
    /// Diameter of its hole.
    pub(crate) hole: LengthField,
    /// Depth of its hole.
    pub(crate) depth: LengthField,
}

/// How panels are cut.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct CuttingTable {
    /// The gap that a bracket leaves between a panel and a post, at either end.
    #[serde(default)]
    pub(crate) bracket: LengthField,
    /// What the saw takes.
    #[serde(default)]
    pub(crate) kerf: LengthField,
    /// Whether each piece needs an end as it left the factory.
    #[serde(default)]
    pub(crate) factory_end: bool,
    /// Whether what is left of one panel serves for another piece.
    #[serde(default)]
    pub(crate) reuse: bool,
    /// What is cut off is a whole multiple of this, such as the spacing of
    /// pickets; any width where it is not given.
    pub(crate) step: Option<LengthField>,
}

/// Concrete by the bag.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ConcreteTable {
    /// Cubic feet that a bag makes.
    pub(crate) bag_cu_ft: f64,
    /// Share ordered beyond the need.
    #[serde(default)]
    pub(crate) spare: f64,
}

/// A part counted by something.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PartTable {
    /// Its name.
    pub(crate) name: String,
    /// What it is counted by.
    pub(crate) per: PerField,
    /// How many for each.
    pub(crate) count: f64,
    /// How many are sold together.
    #[serde(default = "one")]
    pub(crate) pack: u32,
}

/// What a part is counted by.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PerField {
    /// Each post.
    Post,
    /// Each section that is not a gate.
    Section,
    /// Each gate.
    Gate,
    /// Each leaf.
    Leaf,
    /// Each foot of run.
    Foot,
}

/// One line of fence.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RouteTable {
    /// Its name.
    pub(crate) name: String,
    /// Its stops in order.
    pub(crate) stops: Vec<StopTable>,
    /// Whether it goes on from the last stop to the first.
    #[serde(default)]
    pub(crate) closed: bool,
    /// The hand of the yard for one who walks the stops; needed only where no
    /// run lies along the lot.
    pub(crate) yard: Option<Hand>,
}

/// A stop: exactly one of `corner`, `along`, `square`, `prolong`, `wall`, `fence`,
/// `tee` and `free`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct StopTable {
    /// The flag at this corner of the lot.
    pub(crate) corner: Option<String>,
    /// A flag on the offset line of `side`, this far from the flag of its
    /// corner `from`.
    pub(crate) along: Option<LengthField>,
    /// The place from which a line squared off the wall `off` meets the offset
    /// line of `side`.
    pub(crate) square: Option<PlaceField>,
    /// Two places on a wall that, carried on past the second, meets the offset
    /// line of `side`.
    pub(crate) prolong: Option<Two<PlaceField>>,
    /// The fence ends at a wall, at this place.
    pub(crate) wall: Option<PlaceField>,
    /// The fence ends at another fence, at this place on its face.
    pub(crate) fence: Option<PlaceField>,
    /// The fence branches off one given before, at its stop or corner of this name,
    /// where it runs straight on.
    pub(crate) tee: Option<String>,
    /// The fence ends free, at this place.
    pub(crate) free: Option<PlaceField>,
    /// The side of the lot, for `along`, `square` and `prolong`.
    pub(crate) side: Option<String>,
    /// The corner that `along` counts from.
    pub(crate) from: Option<String>,
    /// The two places of the wall that `square` is squared off.
    pub(crate) off: Option<Two<PlaceField>>,
    /// Least and greatest permitted gap from a wall or fence to the post's outer
    /// face.
    pub(crate) gap: Option<Two<LengthField>>,
    /// Whether the end post at a wall is bracketed to it and has no hole.
    #[serde(default)]
    pub(crate) bracketed: bool,
    /// Name of the flag set here.
    pub(crate) name: Option<String>,
    /// Name of the run that leaves here.
    pub(crate) run: Option<String>,
}

/// Wishes for one run.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RunTable {
    /// The run.
    pub(crate) name: String,
    /// Stretches from its start in which only full sections are wanted.
    #[serde(default)]
    pub(crate) show: Vec<Two<LengthField>>,
    /// The end at which cuts should go.
    pub(crate) hide: Option<EndField>,
    /// Whether cuts next to a gate are refused.
    #[serde(default)]
    pub(crate) guard: bool,
}

/// An end of a run.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum EndField {
    /// Where it starts.
    Start,
    /// Where it ends.
    End,
}

/// A gate.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct GateTable {
    /// Its name.
    pub(crate) name: String,
    /// The run it stands in.
    pub(crate) run: String,
    /// Clear between its posts.
    pub(crate) opening: LengthField,
    /// Where the middle of the opening should be, from the run's start.
    pub(crate) wish: LengthField,
    /// Least distance of the middle from the run's start.
    pub(crate) from: Option<LengthField>,
    /// Greatest distance of the middle from the run's start.
    pub(crate) to: Option<LengthField>,
    /// Leaves: 1 or 2.
    #[serde(default = "one")]
    pub(crate) leaves: u32,
    /// The side of the opening the hinges are on, for one leaf.
    pub(crate) hinge: EndField,
    /// The way it swings.
    pub(crate) swing: SwingField,
}

/// The way a gate swings.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SwingField {
    /// Into the yard.
    In,
    /// Out of the yard.
    Out,
}

/// The locate ticket.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct LocateTable {
    /// Its number.
    pub(crate) ticket: String,
    /// The day it was called in.
    pub(crate) called: Option<String>,
    /// The first day digging is allowed.
    pub(crate) good_from: Option<String>,
    /// The last day.
    pub(crate) good_until: Option<String>,
    /// The owners the center named, with what each answered.
    #[serde(default)]
    pub(crate) owners: Vec<OwnerTable>,
    /// What is known of private lines, which the center does not mark.
    pub(crate) private_lines: Option<String>,
}

/// What one owner answered.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct OwnerTable {
    /// The owner.
    pub(crate) name: String,
    /// The answer.
    pub(crate) answer: AnswerField,
}

/// An owner's answer.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum AnswerField {
    /// Its lines are marked.
    Marked,
    /// They are marked, and none of the marks is near the fence.
    Away,
    /// It has none here.
    Clear,
    /// It has not answered.
    None,
}

/// A marked utility.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct UtilityTable {
    /// Its name.
    pub(crate) name: String,
    /// What it carries.
    pub(crate) kind: UtilityField,
    /// Whose it is, by a word of the owner's name in the ticket, or `private`; the
    /// word of its kind by default.
    pub(crate) owner: Option<String>,
    /// The marks in order.
    pub(crate) path: Vec<PlaceField>,
    /// How wide the line is.
    #[serde(default)]
    pub(crate) width: LengthField,
    /// The tolerance zone of the state, from the outside edge of the line.
    pub(crate) zone: Option<LengthField>,
    /// The least distance of any hole from its outside edge.
    #[serde(default)]
    pub(crate) clearance: LengthField,
    /// Standard error of the marks as measured.
    #[serde(default)]
    pub(crate) sigma: LengthField,
}

/// What a utility carries, which is also its color on the ground.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "snake_case")]
pub(crate) enum UtilityField {
    /// Electric power.
    Electric,
    /// Gas, oil, steam.
    Gas,
    /// Telephone, cable, alarm.
    Communication,
    /// Drinking water.
    Water,
    /// Reclaimed water, irrigation.
    Reclaimed,
    /// Sewers and drains.
    Sewer,
    /// Not known.
    Unknown,
}

impl UtilityField {
    /// The word by which its owner is known where none is given.
    pub(crate) const fn owner(self) -> Option<&'static str> {
        match self {
            Self::Electric => Some("electric"),
            Self::Gas => Some("gas"),
            Self::Communication => Some("communication"),
            Self::Water => Some("water"),
            Self::Reclaimed => Some("reclaimed"),
            Self::Sewer => Some("sewer"),
            Self::Unknown => None,
        }
    }
}

/// Something that a hole must keep away from.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ObstacleTable {
    /// Its name.
    pub(crate) name: String,
    /// One place, or the points of a line.
    pub(crate) path: Vec<PlaceField>,
    /// How wide it is across that line, or around that place.
    #[serde(default)]
    pub(crate) width: LengthField,
    /// The least distance of any hole from it.
    #[serde(default)]
    pub(crate) clearance: LengthField,
}

/// A square check that was taped.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SquareTable {
    /// The corner or flag.
    pub(crate) corner: String,
    /// The two legs.
    pub(crate) legs: Two<LengthField>,
    /// What the diagonal reads.
    pub(crate) diagonal: LengthField,
    /// The angle it should be, in degrees.
    #[serde(default = "right_angle")]
    pub(crate) angle_deg: f64,
    /// The run whose far end matters.
    pub(crate) run: Option<LengthField>,
}

/// Limits that the town or the owner sets.
#[derive(Clone, Copy, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct LimitsTable {
    /// The greatest height.
    pub(crate) height: Option<LengthField>,
    /// The least distance inside the lot line.
    pub(crate) inside: Option<LengthField>,
    /// Whether concrete over the lot line has been accepted.
    #[serde(default)]
    pub(crate) concrete_over_line_accepted: bool,
}

const fn yes() -> bool {
    true
}

const fn one() -> u32 {
    1
}

const fn right_angle() -> f64 {
    90.0
}
