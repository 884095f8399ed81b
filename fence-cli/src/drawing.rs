//! The plan drawn to scale, as SVG, and the page that has it above the text.
//!
//! Places come from the library; here they are only mapped to the paper, and
//! labels are kept apart.

mod elevation;
mod fit_plan;
mod labels;
mod net;
mod offset_plan;
mod page;
mod panel;
mod paper;
mod plan;
mod run_picture;
mod shapes;
mod symbols;
mod tract;

use fence_geom::{Job, JobReport, Standing};
use svg::Document;
use svg::node::element::Group;

use crate::finding_words::CAUTIONS;
use crate::job_file::JobFile;
use crate::job_reading::JobRead;
use panel::{Banner, Block};
use paper::{Area, EDGE, Lie, Paper};
use shapes::{Pen, Xy, figure, rectangle};

pub(crate) use fit_plan::fit_svg;
pub(crate) use net::net_svg;
pub(crate) use offset_plan::offset_svg;
pub(crate) use page::sheet_page;
pub(crate) use run_picture::run_elevation;
pub(crate) use tract::{CoursePicture, TractPicture, tract_svg};

/// What is drawn.
#[derive(Clone, Copy)]
struct Subject<'a> {
    file: &'a JobFile,
    job: &'a Job,
    report: &'a JobReport,
}

impl Subject<'_> {
    fn standing(&self, corner: usize) -> Standing {
        let standings = self.report.lot.standings();
        standings
            .get(corner)
            .copied()
            .unwrap_or(Standing::Predicted)
    }
}

/// The drawing and the way its sheet lies.
struct Drawing {
    document: Document,
    lie: Lie,
}

/// Returns the plan as an SVG file.
pub(crate) fn plan_svg(read: &JobRead, report: &JobReport) -> String {
    svg_file(&drawing(read, report))
}

fn svg_file(drawing: &Drawing) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
        drawing.document
    )
}

fn drawing(read: &JobRead, report: &JobReport) -> Drawing {
    let subject = Subject {
        file: &read.file,
        job: &read.job,
        report,
    };
    let sheet = Sheet {
        title: &subject.file.job.name,
        extent: plan::extent(subject).unwrap_or(paper::Extent::ORIGIN),
        blocks: [
            panel::title(subject),
            panel::legend(subject),
            panel::cautions(&CAUTIONS),
        ],
        banners: |width| Banner::due(subject, width),
    };
    sheet.drawn(|paper| plan::plan(subject, paper))
}

/// A sheet before its scale is known.
struct Sheet<'a, F> {
    title: &'a str,
    extent: paper::Extent,
    /// Title, legend and cautions.
    blocks: [Block; 3],
    /// What must be read first, for a plan so wide.
    banners: F,
}

impl<F: Fn(f64) -> Vec<Banner>> Sheet<'_, F> {
    /// The sheet with its plan.
    fn drawn(self, plan: impl FnOnce(&Paper) -> Group) -> Drawing {
        let [landscape, portrait] = [Lie::Landscape, Lie::Portrait].map(|lie| {
            let room = room(lie, &self.blocks);
            room.below(&(self.banners)(room.size.x))
        });
        let lying = stacked(&self.blocks).then_some(landscape);
        let paper = Paper::new(self.extent, lying, portrait);
        let size = paper.lie.size();
        let document = blank(&paper)
            .add(svg::node::element::Title::new(shapes::printable(
                self.title,
            )))
            .add(symbols::hatch())
            .add(rectangle(Xy::ZERO, size, "white", Pen::new("none", 0.0)))
            .add(plan(&paper))
            .add(frame(room(paper.lie, &self.blocks), self.banners))
            .add(panels(&paper, self.blocks));
        Drawing {
            document,
            lie: paper.lie,
        }
    }
}

/// A sheet with nothing on it.
fn blank(paper: &Paper) -> Document {
    let size = paper.lie.size();
    Document::new()
        .set("width", format!("{}in", size.x / 72.0))
        .set("height", format!("{}in", size.y / 72.0))
        .set("viewBox", format!("0 0 {} {}", size.x, size.y))
        .set("data-feet-per-inch", figure(paper.feet_per_inch))
}

/// Space between plan and panel.
const GAP: f64 = 8.0;

/// The room for the plan and its banners.
fn room(lie: Lie, blocks: &[Block]) -> Area {
    let whole = lie.size().minus(Xy::new(2.0 * EDGE, 2.0 * EDGE));
    Area {
        corner: Xy::new(EDGE, EDGE),
        size: match lie {
            Lie::Landscape => Xy::new(whole.x - panel::WIDTH - GAP, whole.y),
            Lie::Portrait => Xy::new(whole.x, whole.y - strip(blocks) - GAP),
        },
    }
}

/// Whether the panel beside a lying plan has room for all blocks.
fn stacked(blocks: &[Block]) -> bool {
    let height: f64 = blocks.iter().map(|block| block.height).sum();
    height + panel::SCALE_HEIGHT <= Lie::Landscape.size().y - 2.0 * EDGE
}

/// How high the panel below a standing plan is.
fn strip(blocks: &[Block]) -> f64 {
    let [title, others @ ..] = blocks else {
        return 0.0;
    };
    others
        .iter()
        .map(|block| block.height)
        .fold(title.height + panel::SCALE_HEIGHT, f64::max)
}

impl Area {
    fn below(self, banners: &[Banner]) -> Self {
        let height: f64 = banners.iter().map(Banner::height).sum();
        Self {
            corner: self.corner.plus(Xy::new(0.0, height)),
            size: self.size.minus(Xy::new(0.0, height)),
        }
    }
}

/// The banners, and the frame around them and the plan.
fn frame(room: Area, banners: impl Fn(f64) -> Vec<Banner>) -> Group {
    let mut corner = room.corner;
    let mut group = Group::new();
    for banner in banners(room.size.x) {
        group = group.add(banner.at(corner, room.size.x));
        corner = corner.plus(Xy::new(0.0, banner.height()));
    }
    group.add(rectangle(
        room.corner,
        room.size,
        "none",
        Pen::new("black", 0.7),
    ))
}

/// Title, scale, legend and cautions: beside the plan, or below it.
fn panels(paper: &Paper, blocks: [Block; 3]) -> Group {
    let far = paper.area.far();
    let bottom = paper.lie.size().y - EDGE;
    let height = strip(&blocks);
    let [title, legend, cautions] = blocks;
    let scale = panel::scale(paper);
    let step = (paper.area.size.x - 3.0 * panel::WIDTH) / 2.0 + panel::WIDTH;
    match paper.lie {
        Lie::Landscape => {
            let left = far.x + GAP;
            let under_title = EDGE + title.height;
            let under_scale = under_title + panel::SCALE_HEIGHT;
            let over_cautions = bottom - cautions.height;
            let (title_height, cautions_height) = (title.height, cautions.height);
            Group::new()
                .add(title.at(Xy::new(left, EDGE), title_height))
                .add(scale.at(Xy::new(left, under_title), panel::SCALE_HEIGHT))
                .add(legend.at(Xy::new(left, under_scale), over_cautions - under_scale))
                .add(cautions.at(Xy::new(left, over_cautions), cautions_height))
        }
        Lie::Portrait => {
            let top = far.y + GAP;
            let title_height = height - panel::SCALE_HEIGHT;
            Group::new()
                .add(title.at(Xy::new(EDGE, top), title_height))
                .add(scale.at(Xy::new(EDGE, top + title_height), panel::SCALE_HEIGHT))
                .add(legend.at(Xy::new(EDGE + step, top), height))
                .add(cautions.at(Xy::new(EDGE + 2.0 * step, top), height))
        }
    }
}
