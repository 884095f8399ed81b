//! `fence schema`.

use std::io::Write;

use anyhow::Context;
use serde_json::json;

use crate::Exit;
use crate::contract::table::CONTRACTS;

/// Print the JSON Schema of what a verb takes and of what it answers
///
///   fence schema square --output
///
/// The input is the request as `fence batch` and files take it, the output what
/// the verb prints with `--json`. Without an option both are printed, as
/// `{"input": ..., "output": ...}`. The number in `$id` is the version of the
/// contract.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct SchemaArgs {
    /// The verb
    #[arg(value_parser = clap::builder::PossibleValuesParser::new(CONTRACTS.map(|contract| contract.verb)))]
    verb: String,
    /// Only what the verb takes
    #[arg(long, conflicts_with = "output")]
    input: bool,
    /// Only what the verb answers
    #[arg(long)]
    output: bool,
    /// A schema is JSON always
    #[arg(long, hide = true)]
    json: bool,
}

pub(crate) fn schema(args: &SchemaArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let contract = (CONTRACTS.iter())
        .find(|contract| contract.verb == args.verb)
        .with_context(|| format!("the verb {:?} has no schema", args.verb))?;
    let value = match (args.input, args.output) {
        (true, _) => serde_json::to_value(contract.input())?,
        (_, true) => serde_json::to_value(contract.output())?,
        _ => json!({ "input": contract.input(), "output": contract.output() }),
    };
    serde_json::to_writer_pretty(&mut *out, &value)?;
    writeln!(out)?;
    Ok(Exit::Done)
}

#[cfg(test)]
mod tests;
