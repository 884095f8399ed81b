//! The material of a job as JSON; the sheet and the takeoff share it.

use fence_geom::{JobReport, LayoutStatus, Length, RunCount, SawnPanel};

use crate::contract::takeoff::{
    TakeoffItem, TakeoffList, TakeoffPiece, TakeoffRun, TakeoffSawnPanel,
};
use crate::job_file::JobFile;

/// Returns the material of a job.
pub(crate) fn takeoff_list(file: &JobFile, report: &JobReport) -> TakeoffList {
    let takeoff = &report.takeoff;
    TakeoffList {
        items: (takeoff.lines.iter())
            .map(|line| TakeoffItem {
                item: line.item.clone(),
                unit: line.unit,
                need: line.need,
                order: line.order,
            })
            .collect(),
        fence_ft: takeoff.fence.feet(),
        gates_ft: takeoff.gates.feet(),
        tear_out_ft: file.job.tear_out.map(|old| old.0.feet()),
        runs: report.counts.iter().map(run).collect(),
        sawn_panels: takeoff.sawn.iter().map(sawn_panel).collect(),
        sawn_panels_least: takeoff.sawn_least,
        uncounted_runs: uncounted_runs(report).map(str::to_owned).collect(),
    }
}

/// The runs that nothing is counted of, because they have no layout.
pub(crate) fn uncounted_runs(report: &JobReport) -> impl Iterator<Item = &str> {
    (report.runs.iter())
        .filter(|run| matches!(run.layout.status, LayoutStatus::None { .. }))
        .map(|run| run.name.as_str())
}

fn sawn_panel(panel: &SawnPanel) -> TakeoffSawnPanel {
    TakeoffSawnPanel {
        pieces: (panel.pieces.iter())
            .map(|piece| TakeoffPiece {
                run: piece.run.clone(),
                clear_in: piece.clear.inches(),
                saw_in: piece.saw.inches(),
            })
            .collect(),
    }
}

fn run(run: &RunCount) -> TakeoffRun {
    let gates: Length = run.gates.iter().map(|gate| gate.0).sum();
    TakeoffRun {
        name: run.name.clone(),
        length_ft: run.length.feet(),
        gates_ft: gates.feet(),
        posts: run.posts.len(),
        full: run.full,
        cuts_in: run.cuts.iter().map(|cut| cut.inches()).collect(),
    }
}
