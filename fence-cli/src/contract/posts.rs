//! What `fence posts` takes and answers.

use fence_geom::{Change, LengthReader, LengthUnit, Objective, Reading, Shift};
use schemars::JsonSchema;
use serde::de::{self, Deserialize, Deserializer, Visitor, value::MapAccessDeserializer};
use serde::{Deserialize as DeriveDeserialize, Serialize};

use crate::fields::number_or_text;
use crate::request_unit::{UnitField, of_numbers};

use super::alias::also;
use super::ground::GroundAnswer;

/// One run of fence: TOML or JSON. Lengths are inches as a number, or text with
/// its unit; places are distances from the start reference, a flag or the face
/// of a wall.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; inches by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// From the start reference to the end reference.
    pub(crate) length: InchesOrText,
    /// What stands between the posts; `panels` by default.
    #[serde(default)]
    pub(crate) build: BuildWord,
    /// Width of a line post along the run.
    pub(crate) line_post: InchesOrText,
    /// Width of a post that touches a gate; may be left out where there is no gate.
    pub(crate) gate_post: Option<InchesOrText>,
    /// Width of a post that touches gates at their latches only; as `gate_post` by
    /// default.
    pub(crate) latch_post: Option<InchesOrText>,
    /// Clear width of a full section, or of the widest bay.
    pub(crate) full: InchesOrText,
    /// Shortest clear width of a cut section, or of a bay.
    pub(crate) min_cut: InchesOrText,
    /// How panels are cut; to any width, each from a panel of its own, by default.
    pub(crate) cutting: Option<PostsCutting>,
    /// The openings that gates come with, for runners-up with another.
    #[serde(default)]
    pub(crate) gate_openings: Vec<InchesOrText>,
    /// The gates.
    #[serde(default)]
    pub(crate) gates: Vec<PostsGate>,
    /// The end at the start reference.
    pub(crate) start: PostsEnd,
    /// The end at the end reference.
    pub(crate) end: PostsEnd,
    /// Where no hole may have its center, ends included.
    #[serde(default)]
    pub(crate) no_dig: Vec<FromTo>,
    /// Where a hole is dug by hand if it has its center there, ends included.
    #[serde(default)]
    pub(crate) hand_dig: Vec<FromTo>,
    /// Where only full sections and gates may stand.
    #[serde(default)]
    pub(crate) show: Vec<FromTo>,
    /// True if no cut section may stand next to a gate.
    #[serde(default)]
    pub(crate) guard: bool,
    /// The end where cuts should go if they must be somewhere.
    pub(crate) hide: Option<EndWord>,
    /// The step that all lengths snap to; 1/16 in by default.
    pub(crate) lattice: Option<InchesOrText>,
    /// The wishes to serve first, by the names in `objective`; those left out
    /// follow in the usual order.
    #[serde(default)]
    pub(crate) order: Vec<String>,
    /// The ground along the run, read at both ends too; level where it is not
    /// given.
    #[serde(default)]
    pub(crate) ground: Vec<PostsGround>,
    /// True where the places of `ground` were taped along the ground, not level.
    #[serde(default)]
    pub(crate) along_ground: bool,
    /// How sections follow the ground.
    pub(crate) slope: Option<PostsSlope>,
    /// Width of a post at which the fence steps; as `line_post` by default.
    pub(crate) step_post: Option<InchesOrText>,
    /// How high the fence stands over level ground: for the lengths of posts on a
    /// slope, and for the picture. 6 ft by default.
    pub(crate) height: Option<InchesOrText>,
    /// How deep posts go; 0 by default.
    pub(crate) depth: Option<InchesOrText>,
    /// The arc that the run follows; straight where it is not given.
    pub(crate) arc: Option<PostsArc>,
}

/// A reading of the ground.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsGround {
    /// From the start reference.
    pub(crate) at: InchesOrText,
    /// The height of the ground, from any one level; negative below it.
    pub(crate) height: InchesOrText,
}

/// How sections follow sloping ground.
#[derive(DeriveDeserialize, JsonSchema, Debug, Default)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsSlope {
    /// How far a full section racks, from end to end; not at all by default.
    pub(crate) rack: Option<InchesOrText>,
    /// True for what is built in place or rolled out, and racks as the ground does.
    #[serde(default)]
    pub(crate) rack_freely: bool,
    /// The least gap under a section; 1 in by default.
    pub(crate) least_gap: Option<InchesOrText>,
    /// The greatest gap wanted under a section; 4 in by default.
    pub(crate) most_gap: Option<InchesOrText>,
    /// How far posts stand above the sections beside them.
    pub(crate) post_above: Option<InchesOrText>,
    /// The lengths that posts are sold in.
    #[serde(default)]
    pub(crate) post_lengths: Vec<InchesOrText>,
}

/// An arc: the line of the posts' outside faces.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsArc {
    /// Its radius.
    pub(crate) radius: InchesOrText,
    /// Where the yard is: `center`, where the line curves out around it, or
    /// `away`, where the line curves into it.
    pub(crate) yard: YardWord,
    /// The most that two sections may turn at a post, in degrees: what the
    /// product's brackets swing.
    pub(crate) most_turn_deg: Option<f64>,
}

/// The side of an arc on which the yard lies.
#[derive(DeriveDeserialize, JsonSchema, Debug, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum YardWord {
    /// Where the center of the arc is.
    Center,
    /// Away from the center of the arc.
    Away,
}

/// How panels are cut.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsCutting {
    /// The gap that a bracket leaves between a panel and a post, at either end; 0
    /// by default.
    pub(crate) bracket: Option<InchesOrText>,
    /// What the saw takes; 0 by default.
    pub(crate) kerf: Option<InchesOrText>,
    /// Whether each piece needs an end as it left the factory.
    #[serde(default)]
    pub(crate) factory_end: bool,
    /// Whether what is left of one panel serves for another piece.
    #[serde(default)]
    pub(crate) reuse: bool,
    /// What is cut off is a whole multiple of this, such as the spacing of
    /// pickets; any width by default.
    pub(crate) step: Option<InchesOrText>,
}

/// A gate.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
pub(crate) struct PostsGate {
    /// Clear between its posts.
    pub(crate) opening: InchesOrText,
    /// Where the middle may be at the earliest; 6 in before `wish` by default.
    pub(crate) from: Option<InchesOrText>,
    /// Where the middle may be at the latest; 6 in after `wish` by default.
    pub(crate) to: Option<InchesOrText>,
    /// Where the middle is wished; half way from `from` to `to` by default.
    pub(crate) wish: Option<InchesOrText>,
    /// The side that latches, by the end of the run it faces; hinges on both sides
    /// by default.
    pub(crate) latch: Option<EndWord>,
}

/// An end of the run. A face is the distance from the reference to the inner
/// face of the end post, positive into the run.
#[derive(DeriveDeserialize, JsonSchema, Debug)]
#[serde(deny_unknown_fields)]
#[schemars(transform = also(&[("post", "width")]))]
pub(crate) struct PostsEnd {
    /// The face where it has one place; instead of `face_min`.
    pub(crate) face: Option<InchesOrText>,
    /// The least permitted face.
    pub(crate) face_min: Option<InchesOrText>,
    /// The greatest permitted face; `face_min` by default.
    pub(crate) face_max: Option<InchesOrText>,
    /// Where the face is wished; `face_min` by default.
    pub(crate) face_wish: Option<InchesOrText>,
    /// Width of the end post along the run; 0 where there is none.
    #[serde(alias = "width")]
    pub(crate) post: InchesOrText,
    /// False where this run does not dig the hole of the end post; by default it
    /// does where there is a post.
    pub(crate) hole: Option<bool>,
}

/// What stands between the posts.
#[derive(DeriveDeserialize, JsonSchema, Debug, Default, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum BuildWord {
    /// Panels of one width, cut where they must be.
    #[default]
    Panels,
    /// Built in place, in bays.
    Stick,
    /// Rolled fabric, in bays.
    Fabric,
    /// Panels on the face of the posts, their joints on the middle of line posts;
    /// `full` and `min_cut` then are lengths of panels from end to end.
    PanelsOnFace,
}

/// An end of the run.
#[derive(DeriveDeserialize, JsonSchema, Debug, Clone, Copy)]
#[serde(rename_all = "snake_case")]
pub(crate) enum EndWord {
    /// The end at the start reference.
    Start,
    /// The end at the end reference.
    End,
}

/// A length, or a place before or past the start reference: inches as a number,
/// or text with its unit such as `"12ft6-1/2in"`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct InchesOrText(pub(crate) Reading<Shift>);

/// What the schema says of it.
#[derive(JsonSchema)]
#[schemars(untagged)]
#[expect(dead_code, reason = "only its schema is used")]
enum NumberOrText {
    /// Inches.
    Number(f64),
    /// With its unit.
    Text(String),
}

impl JsonSchema for InchesOrText {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "InchesOrText".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        NumberOrText::json_schema(generator)
    }
}

impl<'de> Deserialize<'de> for InchesOrText {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        number_or_text(
            from,
            "a length: inches as a number, or text such as \"12ft6-1/2in\"",
            |count| {
                let shift = match of_numbers(LengthUnit::Inch) {
                    LengthUnit::Inch => Shift::from_inches(count),
                    other => Shift::from_feet(count * other.feet()),
                };
                Ok(Reading::sure(shift?))
            },
            |text| LengthReader::strict().read_shift(text),
        )
        .map(Self)
    }
}

/// A part of the run: `[from, to]` or `{ from, to }`.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum FromTo {
    /// `[from, to]`
    Pair(InchesOrText, InchesOrText),
    /// `{ from, to }`
    Named {
        /// Where it begins.
        from: InchesOrText,
        /// Where it ends.
        to: InchesOrText,
    },
}

impl FromTo {
    /// Where it begins and where it ends.
    pub(crate) const fn both(&self) -> (&InchesOrText, &InchesOrText) {
        let (Self::Pair(from, to) | Self::Named { from, to }) = self;
        (from, to)
    }
}

impl<'de> Deserialize<'de> for FromTo {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        #[derive(DeriveDeserialize)]
        #[serde(deny_unknown_fields)]
        struct Fields {
            from: InchesOrText,
            to: InchesOrText,
        }
        struct Wanted;
        impl<'de> Visitor<'de> for Wanted {
            type Value = FromTo;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a part of the run as [from, to] or { from, to }")
            }

            fn visit_seq<A: de::SeqAccess<'de>>(self, mut seq: A) -> Result<FromTo, A::Error> {
                let (from, to) = (seq.next_element()?, seq.next_element()?);
                let more: Option<InchesOrText> = seq.next_element()?;
                match (from, to, more) {
                    (Some(from), Some(to), None) => Ok(FromTo::Pair(from, to)),
                    _ => Err(de::Error::custom(
                        "a part of the run is two places, [from, to]",
                    )),
                }
            }

            fn visit_map<A: de::MapAccess<'de>>(self, map: A) -> Result<FromTo, A::Error> {
                let Fields { from, to } = Fields::deserialize(MapAccessDeserializer::new(map))?;
                Ok(FromTo::Named { from, to })
            }
        }
        deserializer.deserialize_any(Wanted)
    }
}

/// What `fence posts FILE --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PostsAnswer {
    /// `optimal`: proven the best; `none`: no layout keeps all hard rules.
    pub(crate) status: &'static str,
    /// How well each wish is served, in steps of the lattice; null where there is
    /// no layout.
    pub(crate) objective: Option<ObjectiveRow>,
    /// The step of the lattice.
    pub(crate) lattice_in: f64,
    /// The order in which the wishes were served.
    pub(crate) order: Vec<&'static str>,
    /// The posts from the start, both end posts included.
    pub(crate) posts: Vec<PostRow>,
    /// The sections from the start.
    pub(crate) sections: Vec<SectionRow>,
    /// Other layouts worth a look.
    pub(crate) runners_up: Vec<RunnerUpRow>,
    /// How many more would be worth a look, but do not hold on this ground.
    pub(crate) runners_up_lost: usize,
    /// Where there is no layout: each hard rule that, dropped alone, would give
    /// one.
    pub(crate) blocking: Vec<BlockingRow>,
    /// The least by which each of those would have to give that gives by degrees:
    /// the window of a gate, the range of a face, the shortest cut.
    pub(crate) relaxations: Vec<RelaxationRow>,
    /// The run over its ground; null where that is not given.
    pub(crate) ground: Option<GroundAnswer>,
    /// The run on its arc; null where it is straight.
    pub(crate) arc: Option<ArcAnswer>,
    /// What had to be assumed.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<&'static str>,
}

/// A run on an arc, with straight sections as chords. Places of posts and sections
/// are along the arc of the posts' outside faces.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ArcAnswer {
    /// The radius on which the centers of the posts stand.
    pub(crate) post_radius_ft: f64,
    /// How far the posts are moved in, so that no section bulges past the line.
    pub(crate) moved_in_in: f64,
    /// The turn at a post between two full sections.
    pub(crate) full_turn_deg: f64,
    /// The turn at each post: from section to section, at an end from the tangent.
    pub(crate) turns_deg: Vec<f64>,
    /// From center to center of the posts of each section.
    pub(crate) chords_in: Vec<f64>,
    /// How far the line of post centers bulges past the middle of each section.
    pub(crate) rises_in: Vec<f64>,
    /// How far full sections and gates miss their width, at the worst.
    pub(crate) misfit_in: f64,
    /// The least radius of post centers for `most_turn_deg`; null without it.
    pub(crate) least_radius_ft: Option<f64>,
}

/// How well each wish is served; smaller is better.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ObjectiveRow {
    /// Holes dug by hand.
    pub(crate) hand_dug: i64,
    /// Cut sections.
    pub(crate) cuts: i64,
    /// Sections, gates included.
    pub(crate) sections: i64,
    /// Places where a full and a cut section are neighbors.
    pub(crate) changes: i64,
    /// How far the end faces are from where they are wished, in steps.
    pub(crate) end_steps: i64,
    /// Sum of squares of what is cut off, in square steps.
    pub(crate) cut_squares: i64,
    /// How far the gates are from where they are wished, in half steps.
    pub(crate) gate_miss: i64,
    /// How far the cuts are from the end that hides them, in steps.
    pub(crate) cut_reach: i64,
}

impl ObjectiveRow {
    pub(crate) const fn of(objective: &Objective) -> Self {
        Self {
            hand_dug: objective.hand_dug,
            cuts: objective.cuts,
            sections: objective.sections,
            changes: objective.changes,
            end_steps: objective.end_steps,
            cut_squares: objective.cut_squares,
            gate_miss: objective.gate_miss,
            cut_reach: objective.cut_reach,
        }
    }
}

/// A post.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PostRow {
    /// Its center from the start reference.
    pub(crate) center_in: f64,
    /// Its width along the run.
    pub(crate) width_in: f64,
    /// `end`, `line` or `gate`.
    pub(crate) kind: &'static str,
    /// True if this run digs its hole.
    pub(crate) hole: bool,
    /// True if its hole is dug by hand.
    pub(crate) hand_dug: bool,
}

/// A section.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SectionRow {
    /// `full`, `cut`, `gate` or `bay`.
    pub(crate) kind: &'static str,
    /// Its clear width; of a panel on the face of the posts, its length.
    pub(crate) clear_in: f64,
    /// The length to saw for a cut: the clear width less two bracket gaps; null
    /// for other sections.
    pub(crate) saw_in: Option<f64>,
    /// Its first face from the start reference.
    pub(crate) from_in: f64,
    /// Its last face from the start reference.
    pub(crate) to_in: f64,
    /// The number of the gate in the request, from 0; null for other sections.
    pub(crate) gate: Option<usize>,
}

/// Another layout worth a look.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RunnerUpRow {
    /// How it differs from the best, with its numbers.
    pub(crate) words: String,
    /// What kind of change it is.
    pub(crate) change: ChangeWord,
    /// How well each wish is served.
    pub(crate) objective: ObjectiveRow,
    /// Panels to buy; 0 where there are none.
    pub(crate) panels: usize,
    /// Its posts.
    pub(crate) posts: Vec<PostRow>,
    /// Its sections.
    pub(crate) sections: Vec<SectionRow>,
}

/// What a runner-up does differently.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ChangeWord {
    /// Wider cuts, with one more at most.
    WiderCuts,
    /// Another opening for a gate.
    GateOpening,
    /// An end past its range.
    EndShift,
    /// Holes dug by hand.
    HandDug,
    /// Sections at an end made equal.
    EqualSections,
    /// Fewer panels to buy.
    FewerPanels,
    /// The cuts toward the other end than `hide` asks; `cut_reach` then counts from
    /// that end.
    HiddenEnd,
}

impl ChangeWord {
    pub(crate) const fn of(change: Change) -> Self {
        match change {
            Change::WiderCuts => Self::WiderCuts,
            Change::Gate(_) => Self::GateOpening,
            Change::Shift(_) => Self::EndShift,
            Change::HandDug => Self::HandDug,
            Change::Equal(..) => Self::EqualSections,
            Change::FewerPanels => Self::FewerPanels,
            Change::HiddenEnd(_) => Self::HiddenEnd,
        }
    }
}

/// How little of a hard rule would have to be given up.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RelaxationRow {
    /// The rule by the fields of the request, such as `gates[0].window`.
    pub(crate) name: String,
    /// By how much; one step of the lattice less is not enough.
    pub(crate) by_in: f64,
    /// What would give way, and how.
    pub(crate) words: String,
}

/// A hard rule that stands in the way.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BlockingRow {
    /// By the fields of the request, such as `no_dig[0]`.
    pub(crate) name: String,
    /// What would have to give way.
    pub(crate) words: String,
}
