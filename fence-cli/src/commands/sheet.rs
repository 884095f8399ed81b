//! `fence sheet`.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use fence_geom::{JobReport, work_out};

use crate::Exit;
use crate::contract::sheet::SheetAnswer;
use crate::drawing::{plan_svg, sheet_page};
use crate::job_file::JobFile;
use crate::job_reading::{JobRead, job_of, read_job};
use crate::output_file::write_whole;
use crate::sheet_json::sheet_json;
use crate::sheet_text::sheet_text;

/// Work a whole job out: the sheet a fence crew builds from
///
/// JOB is a TOML file; fixtures/jobs/town-lot.toml is a commented one to copy.
/// The sheet goes to standard output.
///
/// Exit status: 0 done and nothing stands in the way, 1 something must be settled
/// first, 2 the job was refused and nothing was written.
///
/// Call the one-call center before digging and respect the tolerance zone of its
/// marks. A tape and a deed are not a boundary survey: only a licensed surveyor
/// can say where the line is. Check local permit, height, setback, easement and
/// pool rules. Never build on an unresolved discrepancy.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct SheetArgs {
    /// The job file, or - for standard input
    job: PathBuf,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
    /// Also write a file, by its extension: .svg the plan drawn to scale, .html the
    /// plan with the sheet below it, .txt the sheet, .json the answer in JSON
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(crate) fn sheet(args: &SheetArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let read = read_job(&args.job)?;
    let report = work_out(&read.job).with_context(|| args.job.display().to_string())?;
    let text = sheet_text(&read.file, &report, &read.assumed);
    if let Some(path) = &args.output {
        write_whole(path, &written(path, &read, &report, &text)?)?;
    }
    if args.json {
        out.write_all(&json_bytes(&read, &report)?)?;
    } else {
        out.write_all(text.as_bytes())?;
    }
    Ok(exit(&report))
}

/// The answer to a job that has been read, from no file.
pub(crate) fn sheet_answer(job: JobFile) -> anyhow::Result<(SheetAnswer, Exit)> {
    let read = job_of(job, None)?;
    let report = work_out(&read.job)?;
    let answer = sheet_json(&read.file, &report, &read.assumed);
    Ok((answer, exit(&report)))
}

/// What goes into a file of this name.
fn written(path: &Path, read: &JobRead, report: &JobReport, text: &str) -> anyhow::Result<Vec<u8>> {
    let extension = path
        .extension()
        .map(|extension| extension.to_string_lossy().to_lowercase());
    match extension.as_deref() {
        Some("svg") => Ok(plan_svg(read, report).into_bytes()),
        Some("html") => Ok(sheet_page(read, report, text).into_bytes()),
        Some("txt") => Ok(text.as_bytes().to_vec()),
        Some("json") => json_bytes(read, report),
        _ => bail!(
            "cannot tell what to write to {}: its name must end in .svg, .html, .txt or .json",
            path.display()
        ),
    }
}

fn json_bytes(read: &JobRead, report: &JobReport) -> anyhow::Result<Vec<u8>> {
    let answer = sheet_json(&read.file, report, &read.assumed);
    let mut bytes = serde_json::to_vec_pretty(&answer)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn exit(report: &JobReport) -> Exit {
    let trouble = report.findings.iter().any(|finding| finding.is_trouble());
    if trouble || !report.no_dig.is_empty() {
        Exit::AnswerIsNo
    } else {
        Exit::Done
    }
}
