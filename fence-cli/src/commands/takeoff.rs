//! `fence takeoff`.

use std::io::Write;
use std::path::PathBuf;

use anyhow::Context;
use fence_geom::{LengthStyle, differences, work_out};

use crate::Exit;
use crate::contract::takeoff::{
    HandCount, TakeoffAnswer, TakeoffDifference, TakeoffList, TakeoffRequest,
};
use crate::finding_words::crew;
use crate::hand_list::read_hand_list;
use crate::job_reading::{JobRead, job_of, read_job};
use crate::takeoff_list::takeoff_list;

const CAUTIONS: [&str; 2] = [
    "each cut section takes a panel of its own; offcuts are not reused",
    "counts follow the layout of this job: count again when a mark, a pin or a gate moves; call the one-call center before digging",
];

/// Count the material of a job, and compare it with a list counted by hand
///
///   fence takeoff lot.toml
///   fence takeoff lot.toml --hand counted.csv
///
/// JOB is a job file as for `fence sheet`. The hand-written list is a CSV file:
///
///   item,count
///   line post,20
///   "gate, 48"" opening",1
///
/// Items go by name, whatever the case; a name with a comma goes in quotes, and a
/// quote in it is doubled; counts are whole units as they are
/// ordered. An item that only one of the lists has is a difference too.
///
/// Exit status: 0 done, 1 the lists differ or a run could not be counted, 2 input
/// refused.
///
/// Call the one-call center before digging. Footings follow the local code and
/// the maker's instructions, not this count.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct TakeoffArgs {
    /// The job file, or - for standard input
    job: PathBuf,
    /// The hand-written list to compare with
    #[arg(long, value_name = "LIST")]
    hand: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn takeoff(args: &TakeoffArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let hand = args.hand.as_deref().map(read_hand_list).transpose()?;
    let read = read_job(&args.job)?;
    let (answer, exit) =
        answer(&read, hand.as_deref()).with_context(|| args.job.display().to_string())?;
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer)?;
        writeln!(out)?;
    } else {
        present(&answer, out)?;
    }
    Ok(exit)
}

/// The answer to a request that has been read.
pub(crate) fn takeoff_answer(request: TakeoffRequest) -> anyhow::Result<(TakeoffAnswer, Exit)> {
    answer(&job_of(request.job, None)?, request.hand.as_deref())
}

fn answer(read: &JobRead, hand: Option<&[HandCount]>) -> anyhow::Result<(TakeoffAnswer, Exit)> {
    let report = work_out(&read.job)?;
    let differences = hand.map(|hand| {
        let counts: Vec<(String, u64)> = (hand.iter())
            .map(|line| (line.item.clone(), line.count))
            .collect();
        differences(&report.takeoff, &counts)
            .into_iter()
            .map(|line| TakeoffDifference {
                item: line.item,
                computed: line.computed,
                by_hand: line.by_hand,
            })
            .collect()
    });
    let answer = TakeoffAnswer {
        list: takeoff_list(&read.file, &report),
        differences,
        assumed: read.assumed.clone(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    };
    let differs = answer.differences.as_ref().is_some_and(|d| !d.is_empty());
    let exit = if differs || !answer.list.uncounted_runs.is_empty() {
        Exit::AnswerIsNo
    } else {
        Exit::Done
    };
    Ok((answer, exit))
}

fn present(answer: &TakeoffAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    for run in &answer.list.uncounted_runs {
        writeln!(
            out,
            "NOT COUNTED: run {run:?} has no layout; fence sheet says why\n"
        )?;
    }
    present_list(&answer.list, out)?;
    if let Some(differences) = &answer.differences {
        present_differences(differences, out)?;
    }
    writeln!(out)?;
    for words in &answer.assumed {
        writeln!(out, "assumed: {words}")?;
    }
    for words in &answer.cautions {
        writeln!(out, "caution: {words}")?;
    }
    Ok(())
}

fn present_list(list: &TakeoffList, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(out, "{:<40}{:>10}{:>10}  sold by", "item", "need", "order")?;
    for line in &list.items {
        let places = if line.need.fract() == 0.0 { 0 } else { 2 };
        writeln!(
            out,
            "{:<40}{:>10.places$}{:>10}  {}",
            line.item, line.need, line.order, line.unit
        )?;
    }
    writeln!(
        out,
        "\n{:<24}{:>12}{:>10}{:>7}{:>7}{:>6}",
        "run", "length", "gates", "posts", "full", "cut"
    )?;
    for run in &list.runs {
        writeln!(
            out,
            "{:<24}{:>12}{:>10}{:>7}{:>7}{:>6}",
            run.name,
            feet(run.length_ft)?,
            feet(run.gates_ft)?,
            run.posts,
            run.full,
            run.cuts_in.len()
        )?;
    }
    write!(
        out,
        "fence {}, gates {}",
        fence_geom::Length::from_feet(list.fence_ft)?
            .to_text(LengthStyle::DecimalFeet { places: 1 }),
        feet(list.gates_ft)?
    )?;
    if let Some(old) = list.tear_out_ft {
        write!(out, ", tear out {}", feet(old)?)?;
    }
    writeln!(out)?;
    Ok(())
}

fn present_differences(
    differences: &[TakeoffDifference],
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    if differences.is_empty() {
        writeln!(out, "\nThe list counted by hand says the same.")?;
        return Ok(());
    }
    writeln!(
        out,
        "\nTHE LISTS DIFFER\n{:<40}{:>10}{:>10}{:>12}",
        "item", "computed", "by hand", "difference"
    )?;
    for line in differences {
        let more = i128::from(line.by_hand) - i128::from(line.computed);
        writeln!(
            out,
            "{:<40}{:>10}{:>10}{more:>+12}",
            line.item, line.computed, line.by_hand
        )?;
    }
    Ok(())
}

fn feet(feet: f64) -> anyhow::Result<String> {
    Ok(crew(fence_geom::Length::from_feet(feet)?))
}
