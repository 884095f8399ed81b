//! A plain run of `fence posts` as it is typed: no file, ends at the outside faces
//! of their posts.

use anyhow::Context;
use fence_geom::LengthReader;
use serde_json::{Value, json};

use crate::contract::posts::PostsRequest;

/// A run that needs no file.
#[derive(clap::Args, Debug)]
pub(crate) struct RunOptions {
    /// From the outside face of the first post to that of the last
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    #[arg(required_unless_present = "file", allow_hyphen_values = true)]
    length: Option<String>,
    /// Clear width of a full section
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    #[arg(required_unless_present = "file", allow_hyphen_values = true)]
    full: Option<String>,
    /// Shortest clear width of a cut section
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    #[arg(default_value = "12in", allow_hyphen_values = true)]
    min_cut: String,
    /// Width of a line post along the run
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    #[arg(default_value = "4in", allow_hyphen_values = true)]
    line_post: String,
    /// Width of a post beside a gate [default: as --line-post]
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    gate_post: Option<String>,
    /// Width of both end posts [default: as --line-post]
    #[arg(long, value_name = "LENGTH", value_parser = length, conflicts_with = "file")]
    end_post: Option<String>,
    /// A gate: its opening, and its middle or the range for it
    #[arg(long, value_name = "OPENING@PLACE", value_parser = gate, conflicts_with = "file")]
    gate: Vec<Value>,
    /// Where no hole may have its center
    #[arg(long, value_name = "FROM..TO", value_parser = stretch, conflicts_with = "file")]
    no_dig: Vec<Value>,
    /// Where a hole is dug by hand
    #[arg(long, value_name = "FROM..TO", value_parser = stretch, conflicts_with = "file")]
    hand_dig: Vec<Value>,
}

impl RunOptions {
    /// The request as a file would give it.
    ///
    /// # Errors
    ///
    /// Where a field is missing.
    pub(crate) fn request(&self) -> anyhow::Result<PostsRequest> {
        let or_line = |given: &Option<String>| given.as_ref().unwrap_or(&self.line_post).clone();
        let end_post = or_line(&self.end_post);
        let end = json!({ "face": end_post, "post": end_post });
        let request = json!({
            "length": self.length,
            "full": self.full,
            "min_cut": self.min_cut,
            "line_post": self.line_post,
            "gate_post": or_line(&self.gate_post),
            "start": end,
            "end": end,
            "gates": self.gate,
            "no_dig": self.no_dig,
            "hand_dig": self.hand_dig,
        });
        serde_json::from_value(request).context("the run as it was typed")
    }

    /// What was assumed.
    pub(crate) fn assumed(&self) -> Vec<String> {
        let mut assumed = vec![
            "the run goes from the outside face of its first post to that of its last".to_owned(),
        ];
        let end_post = self.end_post.as_ref().unwrap_or(&self.line_post);
        assumed.push(format!(
            "cuts of {} and more, line posts of {}, end posts of {end_post}",
            self.min_cut, self.line_post
        ));
        assumed
    }
}

/// A length with its unit, as it was typed.
fn length(text: &str) -> anyhow::Result<String> {
    LengthReader::strict().read(text)?;
    Ok(text.to_owned())
}

/// A place with its unit, as it was typed.
fn place(text: &str) -> anyhow::Result<String> {
    LengthReader::strict().read_shift(text)?;
    Ok(text.to_owned())
}

/// `OPENING@WISH` or `OPENING@FROM..TO`.
fn gate(text: &str) -> anyhow::Result<Value> {
    let (opening, at) = text.split_once('@').with_context(|| {
        format!("{text:?} is no gate; write it like 48in@20ft, or 48in@19ft..21ft for a range")
    })?;
    let opening = length(opening)?;
    match at.split_once("..") {
        Some((from, to)) => {
            Ok(json!({ "opening": opening, "from": place(from)?, "to": place(to)? }))
        }
        None => Ok(json!({ "opening": opening, "wish": place(at)? })),
    }
}

/// `FROM..TO`.
fn stretch(text: &str) -> anyhow::Result<Value> {
    let (from, to) = text
        .split_once("..")
        .with_context(|| format!("{text:?} is no stretch; write it like 31ft..33ft"))?;
    Ok(json!([place(from)?, place(to)?]))
}
