//! `fence batch`.

use std::io::Write;
use std::path::PathBuf;

use anyhow::Context;
use rayon::prelude::*;
use serde_json::Value;

use super::{deed, fit, offset, posts, sheet, square, takeoff, tie};
use crate::Exit;
use crate::contract::batch::{BatchAnswer, BatchLine, BatchReply, BatchRequest};
use crate::input::read_bytes;
use crate::request_unit::in_its_unit;

/// Answers are written after this many lines, so that a long batch does not pile
/// up in memory.
const LINES_AT_ONCE: usize = 4096;

/// Answer many requests: JSON lines in, one line out for each line in
///
///   {"verb": "square", "id": 7, "request": {"legs": [30, 40], "diagonal": 50}}
///
/// gives, in the order of the lines,
///
///   {"id": 7, "exit": 0, "answer": { what the verb says with --json }}
///   {"id": 8, "exit": 2, "error": "why the request was refused"}
///
/// A line that can't be read gives a line with an error and stops nothing. The
/// requests run in parallel. No request reads a file: a deed is given by the text
/// of its calls. `fence schema batch` prints what every verb takes.
///
/// Exit status: the worst of all lines, 0, 1 or 2.
///
/// What a verb's help says of boundary surveys and of digging holds for its
/// answers here.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct BatchArgs {
    /// The requests, one a line, or - for standard input
    file: PathBuf,
    /// Answers are JSON always
    #[arg(long, hide = true)]
    json: bool,
}

pub(crate) fn batch(args: &BatchArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let bytes = read_bytes(&args.file)?;
    let text = bytes.strip_suffix(b"\n").unwrap_or(&bytes);
    let mut lines: Vec<&[u8]> = text.split(|&byte| byte == b'\n').collect();
    if bytes.is_empty() {
        lines.clear();
    }
    let mut worst = 0;
    for (chunk, first) in lines
        .chunks(LINES_AT_ONCE)
        .zip((1..).step_by(LINES_AT_ONCE))
    {
        let replies: Vec<(u8, Vec<u8>)> = chunk
            .par_iter()
            .enumerate()
            .map(|(i, line)| written(first + i, line))
            .collect::<anyhow::Result<_>>()?;
        for (exit, mut reply) in replies {
            worst = worst.max(exit);
            reply.push(b'\n');
            out.write_all(&reply)?;
        }
    }
    Ok(match worst {
        0 => Exit::Done,
        1 => Exit::AnswerIsNo,
        _ => Exit::Refused,
    })
}

/// The reply to one line, and its exit status.
fn written(number: usize, line: &[u8]) -> anyhow::Result<(u8, Vec<u8>)> {
    let (id, result) = match serde_json::from_slice::<Value>(line) {
        Ok(value) => {
            let id = value.get("id").cloned().unwrap_or_default();
            (id, answer(value))
        }
        Err(error) => (Value::Null, Err(error).context("not a line of JSON")),
    };
    let reply = match result {
        Ok((answer, exit)) => BatchReply {
            id,
            exit: exit.code(),
            answer: Some(answer),
            error: None,
        },
        Err(error) => BatchReply {
            id,
            exit: Exit::Refused.code(),
            answer: None,
            error: Some(format!("line {number}: {error:#}")),
        },
    };
    Ok((reply.exit, serde_json::to_vec(&reply)?))
}

/// The one place where a verb joins the batch.
fn answer(line: Value) -> anyhow::Result<(BatchAnswer, Exit)> {
    let unit_of = line.get("request").cloned().unwrap_or_default();
    let line: BatchLine = in_its_unit(&unit_of, || Ok(serde_json::from_value(line)?))?;
    Ok(match line.request {
        BatchRequest::Deed(request) => boxed(deed::deed_answer(&request)?, BatchAnswer::Deed),
        BatchRequest::Fit(request) => boxed(fit::fit_answer(&request, None)?, BatchAnswer::Fit),
        BatchRequest::Offset(request) => {
            boxed(offset::offset_answer(&request)?, BatchAnswer::Offset)
        }
        BatchRequest::Posts(request) => boxed(posts::posts_answer(&request)?, BatchAnswer::Posts),
        BatchRequest::Sheet(job) => boxed(sheet::sheet_answer(*job)?, BatchAnswer::Sheet),
        BatchRequest::Square(request) => {
            boxed(square::square_answer(&request)?, BatchAnswer::Square)
        }
        BatchRequest::Takeoff(request) => {
            boxed(takeoff::takeoff_answer(*request)?, BatchAnswer::Takeoff)
        }
        BatchRequest::Tie(request) => boxed(tie::tie_answer(&request)?, BatchAnswer::Tie),
    })
}

fn boxed<T>(
    (answer, exit): (T, Exit),
    wrap: impl FnOnce(Box<T>) -> BatchAnswer,
) -> (BatchAnswer, Exit) {
    (wrap(Box::new(answer)), exit)
}
