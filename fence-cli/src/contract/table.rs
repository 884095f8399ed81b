//! Every verb with the schema of what it takes and of what it answers.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

use super::batch::{BatchLine, BatchReply};
use super::deed::{DeedAnswer, DeedRequest};
use super::fit::{FitReply, FitRequest};
use super::offset::{OffsetAnswer, OffsetRequest};
use super::posts::{PostsAnswer, PostsRequest};
use super::sheet::SheetAnswer;
use super::square::{SquareAnswer, SquareRequest};
use super::takeoff::{TakeoffAnswer, TakeoffRequest};
use super::tie::{TieAnswer, TieRequest};
use crate::job_file::JobFile;

/// The version of the whole contract: it goes up when a field that other programs
/// may rely on changes its name or its meaning.
const VERSION: u32 = 1;

/// A verb and its schemas.
pub(crate) struct VerbContract {
    /// The verb.
    pub(crate) verb: &'static str,
    /// The schema of what it takes.
    input: fn() -> Schema,
    /// The schema of what it answers with `--json`.
    output: fn() -> Schema,
}

/// All verbs that have a contract. (`schema` prints them.)
pub(crate) const CONTRACTS: [VerbContract; 9] = [
    VerbContract::of::<BatchLine, BatchReply>("batch"),
    VerbContract::of::<DeedRequest, DeedAnswer>("deed"),
    VerbContract::of::<FitRequest, FitReply>("fit"),
    VerbContract::of::<OffsetRequest, OffsetAnswer>("offset"),
    VerbContract::of::<PostsRequest, PostsAnswer>("posts"),
    VerbContract::of::<JobFile, SheetAnswer>("sheet"),
    VerbContract::of::<SquareRequest, SquareAnswer>("square"),
    VerbContract::of::<TakeoffRequest, TakeoffAnswer>("takeoff"),
    VerbContract::of::<TieRequest, TieAnswer>("tie"),
];

impl VerbContract {
    const fn of<Input: JsonSchema, Output: JsonSchema>(verb: &'static str) -> Self {
        Self {
            verb,
            input: || {
                let settings = SchemaSettings::draft2020_12().for_deserialize();
                settings.into_generator().into_root_schema_for::<Input>()
            },
            output: || {
                let settings = SchemaSettings::draft2020_12().for_serialize();
                settings.into_generator().into_root_schema_for::<Output>()
            },
        }
    }

    /// The schema of what the verb takes.
    pub(crate) fn input(&self) -> Schema {
        self.named((self.input)(), "input")
    }

    /// The schema of what the verb answers.
    pub(crate) fn output(&self) -> Schema {
        self.named((self.output)(), "output")
    }

    fn named(&self, mut schema: Schema, part: &str) -> Schema {
        let verb = self.verb;
        let id = format!("urn:fence:contract:{VERSION}:{verb}:{part}");
        let title = format!("fence {verb}, {part}, contract {VERSION}");
        schema.insert("$id".to_owned(), id.into());
        schema.insert("title".to_owned(), title.into());
        schema
    }
}
