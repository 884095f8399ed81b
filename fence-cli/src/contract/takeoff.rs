//! What `fence takeoff` takes and answers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::job_file::JobFile;

/// A job, and what somebody counted for it by hand.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TakeoffRequest {
    /// The job; the calls of its deed are given as `deed.text`.
    pub(crate) job: JobFile,
    /// The hand-written list; without it there are no differences.
    pub(crate) hand: Option<Vec<HandCount>>,
}

/// A line of a hand-written list.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HandCount {
    /// What it is, by the name that the material list uses.
    pub(crate) item: String,
    /// How many are ordered, in whole units.
    pub(crate) count: u64,
}

/// What `fence takeoff JOB --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffAnswer {
    /// The material of the whole job.
    #[serde(flatten)]
    pub(crate) list: TakeoffList,
    /// Where the hand-written list differs, item by item; null without one.
    pub(crate) differences: Option<Vec<TakeoffDifference>>,
    /// What was assumed in reading the job.
    pub(crate) assumed: Vec<String>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// The material of a job.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffList {
    /// The items, in the order of the list.
    pub(crate) items: Vec<TakeoffItem>,
    /// Feet of fence along all runs, gates left out.
    pub(crate) fence_ft: f64,
    /// Feet of gate openings.
    pub(crate) gates_ft: f64,
    /// Feet of old fence to tear out; null where the job says none.
    pub(crate) tear_out_ft: Option<f64>,
    /// What each run takes.
    pub(crate) runs: Vec<TakeoffRun>,
    /// The panels that cut sections are sawn from, over all runs.
    pub(crate) sawn_panels: Vec<TakeoffSawnPanel>,
    /// No saw plan takes fewer panels; as many as `sawn_panels` where proven.
    pub(crate) sawn_panels_least: usize,
    /// Runs without a layout: nothing of them is counted.
    pub(crate) uncounted_runs: Vec<String>,
}

/// A panel that pieces are sawn from.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffSawnPanel {
    /// The pieces, longest first.
    pub(crate) pieces: Vec<TakeoffPiece>,
}

/// A piece sawn from a panel.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffPiece {
    /// The run of its section.
    pub(crate) run: String,
    /// The clear width of its section.
    pub(crate) clear_in: f64,
    /// The length to saw.
    pub(crate) saw_in: f64,
}

/// One item of the list.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffItem {
    /// What it is.
    pub(crate) item: String,
    /// The unit it is sold in.
    pub(crate) unit: &'static str,
    /// What the fence takes, in pieces or in parts of the unit.
    pub(crate) need: f64,
    /// What to order, in whole units.
    pub(crate) order: u64,
}

/// What one run takes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffRun {
    /// The run.
    pub(crate) name: String,
    /// From reference to reference.
    pub(crate) length_ft: f64,
    /// Feet of gate openings in it.
    pub(crate) gates_ft: f64,
    /// How many posts it sets.
    pub(crate) posts: usize,
    /// How many sections take a whole panel or bay.
    pub(crate) full: u32,
    /// The clear widths of its cut sections.
    pub(crate) cuts_in: Vec<f64>,
}

/// A line on which the two lists differ.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TakeoffDifference {
    /// What it is.
    pub(crate) item: String,
    /// What this list orders; 0 for an item it does not have.
    pub(crate) computed: u64,
    /// What the hand-written list has; 0 for an item it does not have.
    pub(crate) by_hand: u64,
}
