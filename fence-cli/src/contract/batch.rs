//! What `fence batch` takes and answers, line by line.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::deed::{DeedAnswer, DeedRequest};
use super::fit::{FitAnswer, FitRequest};
use super::offset::{OffsetAnswer, OffsetRequest};
use super::posts::{PostsAnswer, PostsRequest};
use super::sheet::SheetAnswer;
use super::square::{SquareAnswer, SquareRequest};
use super::takeoff::{TakeoffAnswer, TakeoffRequest};
use super::tie::{TieAnswer, TieRequest};
use crate::job_file::JobFile;

/// A line of requests.
#[derive(Debug, Deserialize, JsonSchema)]
pub(crate) struct BatchLine {
    /// Comes back with the answer: any JSON, or nothing.
    #[serde(default)]
    #[expect(dead_code, reason = "taken from the line before the request is read")]
    pub(crate) id: Value,
    /// The verb and what it is asked.
    #[serde(flatten)]
    pub(crate) request: BatchRequest,
}

/// A verb and what it is asked.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(tag = "verb", content = "request", rename_all = "snake_case")]
pub(crate) enum BatchRequest {
    /// Runs calls out.
    Deed(DeedRequest),
    /// Fits a deed to pins.
    Fit(FitRequest),
    /// Holds a line inside a lot.
    Offset(OffsetRequest),
    /// Lays one run out.
    Posts(Box<PostsRequest>),
    /// Works a job out; the calls of its deed are given as `deed.text`.
    Sheet(Box<JobFile>),
    /// Checks a corner.
    Square(SquareRequest),
    /// Counts the material of a job.
    Takeoff(Box<TakeoffRequest>),
    /// Finds a point by two tapes, or the tapes to a point.
    Tie(Box<TieRequest>),
}

/// A line of answers.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BatchReply {
    /// The `id` of the request; null where it has none or can't be read.
    pub(crate) id: Value,
    /// The exit status of the verb: 0, 1 or 2.
    pub(crate) exit: u8,
    /// What the verb answers with `--json`, for 0 and 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) answer: Option<BatchAnswer>,
    /// Why the request was refused, for 2.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) error: Option<String>,
}

/// The answer of a verb.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum BatchAnswer {
    /// Of `deed`.
    Deed(Box<DeedAnswer>),
    /// Of `fit`.
    Fit(Box<FitAnswer>),
    /// Of `offset`.
    Offset(Box<OffsetAnswer>),
    /// Of `posts`.
    Posts(Box<PostsAnswer>),
    /// Of `sheet`.
    Sheet(Box<SheetAnswer>),
    /// Of `square`.
    Square(Box<SquareAnswer>),
    /// Of `takeoff`.
    Takeoff(Box<TakeoffAnswer>),
    /// Of `tie`.
    Tie(Box<TieAnswer>),
}
