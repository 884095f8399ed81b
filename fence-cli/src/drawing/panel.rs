//! What is written beside the plan: title, legend, cautions, banners.

use fence_geom::{Fill, Finding, JobReport, PostKind, Standing};
use svg::node::element::Group;

use super::Subject;
use super::paper::Paper;
use super::shapes::{Pen, Type, Xy, circle, line, placed, polygon, rectangle};
use super::symbols::{
    BUILDING_PEN, CUT_PEN, HATCH, INK, LOT_PEN, NO_BUILD_PEN, OBSTACLE_FILL, OBSTACLE_PEN,
    PIECE_PEN, SECTION_PEN, STRING_PEN, WARNING, band, corner, flag, hand_dig, leaf, north, post,
    search, utility, utility_color, utility_words, wall,
};
use crate::finding_words::{crew, no_dig};
use crate::job_file::{FinishedSide, UtilityField};
use crate::sheet_text::pieces_words;
use crate::takeoff_list::uncounted_runs;

/// How wide every block is.
pub(super) const WIDTH: f64 = 178.0;
/// What keeps the texts off the frame.
pub(super) const PAD: f64 = 6.0;
const FRAME: Pen = Pen::new(INK, 0.7);

/// A piece of the panel, drawn at the origin.
pub(super) struct Block {
    drawn: Group,
    pub(super) height: f64,
}

impl Block {
    pub(super) fn new() -> Self {
        Self {
            drawn: Group::new(),
            height: PAD,
        }
    }

    pub(super) fn add(&mut self, part: impl Into<Box<dyn svg::Node>>) {
        svg::Node::append(&mut self.drawn, part);
    }

    /// Writes a text below what is there, folded to the width.
    pub(super) fn write(&mut self, style: Type, text: &str, most: usize) {
        for text in style.folded(text, WIDTH - 2.0 * PAD, most) {
            self.height += style.size;
            let at = Xy::new(PAD, self.height);
            self.add(style.text(at, &text));
            self.height += style.size * 0.25;
        }
    }

    /// Writes what a symbol means beside it.
    pub(super) fn row(&mut self, symbol: Group, words: &str) {
        let style = Type::plain(6.4);
        let middle = self.height + 4.6;
        let small = Group::new().set("transform", "scale(0.8)").add(symbol);
        self.add(placed(Xy::new(PAD + 13.0, middle), Xy::ACROSS).add(small));
        for text in style.folded(words, WIDTH - 2.0 * PAD - 32.0, 2) {
            let at = Xy::new(PAD + 32.0, self.height + 6.8);
            self.add(style.text(at, &text));
            self.height += 9.4;
        }
    }

    /// The block at a place, framed, as high as `height`.
    pub(super) fn at(self, corner: Xy, height: f64) -> Group {
        placed(corner, Xy::ACROSS)
            .add(rectangle(Xy::ZERO, Xy::new(WIDTH, height), "white", FRAME))
            .add(self.drawn)
    }
}

/// What is built, where, when and of what; without the scale, which is not known
/// before the room for the plan is.
pub(super) fn title(subject: Subject<'_>) -> Block {
    let mut block = Block::new();
    let file = subject.file;
    let job = &file.job;
    block.write(Type::bold(12.0), &job.name, 3);
    block.write(Type::plain(7.5), &job.site, 3);
    block.height += 3.0;
    let arrival = job.arrival.as_deref().unwrap_or("not set");
    block.write(Type::plain(7.5), &format!("Crew comes: {arrival}"), 1);
    let finished = match job.finished_side {
        Some(FinishedSide::Out) => "finished side toward the neighbor",
        Some(FinishedSide::In) => "finished side toward the yard",
        None => "finished side not said, ask",
    };
    let product = format!(
        "{}, {} high; {finished}",
        file.product.name,
        crew(file.product.height.0)
    );
    block.write(Type::plain(7.5), &product, 4);
    let vanished = subject.report.offset.vanished();
    if !vanished.is_empty() {
        let words = format!("No line can be held inside {}", vanished.join(", "));
        block.write(Type::plain(7.5), &words, 2);
    }
    if let Some(words) = pieces_words(&subject.report.offset) {
        let words = format!("The line inside the lot is {words}");
        block.write(Type::plain(7.5).colored(WARNING), &words, 2);
    }
    let ticket = file
        .locate
        .as_ref()
        .map_or("none", |locate| locate.ticket.as_str());
    block.write(Type::plain(7.5), &format!("Locate ticket: {ticket}"), 2);
    if let Some(note) = &job.crew_note {
        block.write(Type::plain(7.5), &format!("Note: {note}"), 3);
    }
    block.height += PAD / 2.0;
    block
}

/// The name of a tract, and what is known of it.
pub(super) fn facts(name: &str, facts: &[String]) -> Block {
    let mut block = Block::new();
    block.write(Type::bold(12.0), name, 3);
    for fact in facts {
        block.write(Type::plain(7.5), fact, 4);
    }
    block.height += PAD / 2.0;
    block
}

/// The most entries of a table beside the plan: more would not leave it room.
const MOST_ENTRIES: usize = 26;

/// The courses that are too short for their words or that are curves.
pub(super) fn table(entries: &[String]) -> Block {
    let mut block = Block::new();
    if !entries.is_empty() {
        block.write(Type::bold(7.0), "COURSES BY NUMBER", 1);
    }
    for entry in entries.iter().take(MOST_ENTRIES) {
        block.write(Type::plain(5.8), entry, 3);
    }
    if let Some(more) = entries.len().checked_sub(MOST_ENTRIES).filter(|&it| it > 0) {
        block.write(
            Type::plain(5.8),
            &format!("and {more} more: see the table of courses"),
            2,
        );
    }
    block.height += PAD / 2.0;
    block
}

/// How high the scale with its bar and the arrow to the north is.
pub(super) const SCALE_HEIGHT: f64 = 58.0;

/// The scale, a bar two inches long, and north.
pub(super) fn scale(paper: &Paper) -> Block {
    let mut block = Block::new();
    let inch = paper.long(paper.feet_per_inch);
    block.add(north(Xy::new(WIDTH - 10.0, 50.0)));
    let words = format!("Scale: 1 in = {} ft", paper.feet_per_inch);
    block.add(Type::bold(9.0).text(Xy::new(PAD, 14.0), &words));
    let note = "US letter, print at 100 %; true on paper only";
    block.add(Type::plain(5.6).text(Xy::new(PAD, 22.0), note));
    let left = Xy::new(PAD + 2.0, 34.0);
    for (i, fill) in ["black", "white", "black", "white"].into_iter().enumerate() {
        let step = f64::from(u32::try_from(i).unwrap_or(0));
        let corner = left.plus(Xy::new(step * inch / 2.0, 0.0));
        let pen = Pen::new(INK, 0.6);
        block.add(rectangle(corner, Xy::new(inch / 2.0, 4.0), fill, pen));
    }
    for (inches, unit) in [(0.0, ""), (1.0, ""), (2.0, " ft")] {
        let words = format!("{}{unit}", inches * paper.feet_per_inch);
        let at = left.plus(Xy::new(inches * inch, 12.0));
        block.add(Type::plain(6.5).centered(at, &words));
    }
    block.height = SCALE_HEIGHT;
    block
}

/// The cautions that a sheet carries.
pub(super) fn cautions(cautions: &[&str]) -> Block {
    let mut block = Block::new();
    block.write(Type::bold(7.0), "CAUTIONS", 1);
    for caution in cautions {
        block.write(Type::plain(5.8), caution, usize::MAX);
        block.height += 1.5;
    }
    block.height += PAD / 2.0;
    block
}

/// The symbols that occur, with what they mean.
pub(super) fn legend(subject: Subject<'_>) -> Block {
    let mut block = Block::new();
    block.write(Type::bold(7.0), "SYMBOLS", 1);
    block.height += 2.0;
    for (symbol, words) in lot_symbols(subject)
        .into_iter()
        .chain(fence_symbols(subject))
        .chain(mark_symbols(subject))
    {
        block.row(symbol, words);
    }
    block.height += PAD / 2.0;
    block
}

type Entry = (Group, &'static str);

const LEFT: Xy = Xy::new(-13.0, 0.0);
const RIGHT: Xy = Xy::new(13.0, 0.0);

fn stroke(pen: Pen) -> Group {
    Group::new().add(line(LEFT, RIGHT, pen))
}

fn lot_symbols(subject: Subject<'_>) -> Vec<Entry> {
    let mut entries = vec![(stroke(LOT_PEN), "lot line")];
    let standings = subject.report.lot.standings();
    for (standing, words) in [
        (Standing::Accepted, "corner: pin found and accepted"),
        (Standing::Found, "corner: pin found, NOT accepted"),
    ] {
        if standings.contains(&standing) {
            entries.push((corner(standing, Xy::ZERO), words));
        }
    }
    if standings.contains(&Standing::Predicted) {
        let symbol = corner(Standing::Predicted, Xy::ZERO).add(search(Xy::ZERO, 0.0));
        entries.push((symbol, "no pin: search here (95 % circle)"));
    }
    if !subject.job.buildings.is_empty() {
        let corners = [(-9.0, -3.5), (9.0, -3.5), (9.0, 3.5), (-9.0, 3.5)];
        let corners = corners.map(|(x, y)| Xy::new(x, y));
        let symbol = Group::new().add(polygon(&corners, HATCH, BUILDING_PEN));
        entries.push((symbol, "building"));
    }
    if !subject.job.no_build.is_empty() {
        entries.push((stroke(NO_BUILD_PEN), "nothing may be built inside"));
    }
    if subject.report.offset.pieces() > 1 {
        entries.push((stroke(PIECE_PEN), "piece of the line inside the lot"));
    }
    entries
}

fn fence_symbols(subject: Subject<'_>) -> Vec<Entry> {
    let report = subject.report;
    let mut entries = vec![(stroke(STRING_PEN), "string: outside faces of the posts")];
    let sections = || report.runs.iter().flat_map(|run| &run.sections);
    let posts = || report.runs.iter().flat_map(|run| &run.posts);
    if sections().any(|section| matches!(section.fill, Fill::Full)) {
        entries.push((stroke(SECTION_PEN), "full panel"));
    }
    if sections().any(|section| matches!(section.fill, Fill::Bay)) {
        entries.push((stroke(SECTION_PEN), "bay"));
    }
    if sections().any(|section| matches!(section.fill, Fill::Cut)) {
        let symbol = stroke(CUT_PEN).add(line(LEFT, RIGHT, SECTION_PEN));
        entries.push((symbol, "CUT section, clear width"));
    }
    for (kind, words) in [
        (PostKind::Line, "line post"),
        (PostKind::Corner, "corner post"),
        (PostKind::OtherCorner, "odd-angle corner post"),
        (PostKind::Tee, "tee post: a fence branches off"),
        (PostKind::End, "end post"),
        (PostKind::Gate, "gate post"),
        (PostKind::Latch, "latch post"),
        (PostKind::Pull, "pull post: the fabric is pulled tight here"),
        (PostKind::Step, "step post: the fence steps here"),
    ] {
        if posts().any(|post| post.takes == kind) {
            entries.push((post(kind, false, Xy::ZERO, Xy::ACROSS, 0.0), words));
        }
    }
    if posts().any(|post| !post.by_hand.is_empty()) {
        let symbol = hand_dig(Xy::ZERO, 4.6);
        entries.push((symbol, "ring around a post: DIG BY HAND"));
    }
    if sections().any(|section| matches!(section.fill, Fill::Gate(_))) {
        let (hinge, shut, open) = (Xy::new(-4.0, 4.0), Xy::new(4.0, 4.0), Xy::new(-4.0, -4.0));
        entries.push((leaf(hinge, shut, open), "gate leaf, open, and its swing"));
    }
    if report.flags.iter().any(|flag| !flag.wall && flag.settable) {
        entries.push((
            placed(Xy::new(-2.0, 5.5), Xy::ACROSS).add(flag(Xy::ZERO)),
            "flag to set, at the foot of its staff",
        ));
    }
    if report.flags.iter().any(|flag| flag.wall) {
        entries.push((wall(Xy::ZERO, Xy::ACROSS), "the fence ends at a wall"));
    }
    entries
}

fn mark_symbols(subject: Subject<'_>) -> Vec<Entry> {
    let mut entries = Vec::new();
    for kind in [
        UtilityField::Electric,
        UtilityField::Gas,
        UtilityField::Communication,
        UtilityField::Water,
        UtilityField::Reclaimed,
        UtilityField::Sewer,
        UtilityField::Unknown,
    ] {
        if subject.file.utility.iter().any(|table| table.kind == kind) {
            let color = utility_color(kind);
            let path = [LEFT.times(0.7), RIGHT.times(0.7)];
            let symbol = Group::new()
                .add(band(&path, color, 8.0))
                .add(utility(&path, color, 0.0));
            entries.push((symbol, utility_words(kind)));
        }
    }
    if !subject.file.utility.is_empty() {
        entries.push((
            Group::new().set("opacity", "0.3").add(rectangle(
                Xy::new(-13.0, -3.5),
                Xy::new(26.0, 7.0),
                "#999999",
                Pen::new("none", 0.0),
            )),
            "band in its color: tolerance zone",
        ));
    }
    if !subject.file.obstacle.is_empty() {
        let symbol = Group::new().add(circle(Xy::ZERO, 3.5, OBSTACLE_FILL, OBSTACLE_PEN));
        entries.push((symbol, "obstacle"));
    }
    entries
}

/// What must be read first, across the top of the plan.
pub(super) struct Banner {
    lines: Vec<(Type, String)>,
    fill: &'static str,
}

/// What else must be settled before the fence is built; the sheet has it whole.
fn unsettled(report: &JobReport) -> Option<String> {
    let open =
        |finding: &&Finding| finding.is_trouble() && !matches!(finding, Finding::NotPinned { .. });
    let count = report.findings.iter().filter(open).count();
    let runs: Vec<&str> = uncounted_runs(report).collect();
    let things = match count {
        0 => return None,
        1 => "one thing is not settled: see the sheet".to_owned(),
        _ => format!("{count} things are not settled: see the sheet"),
    };
    Some(if runs.is_empty() {
        things
    } else {
        format!("{things}; no layout: {}", runs.join(", "))
    })
}

impl Banner {
    const SIDE: f64 = 8.0;

    /// The banners that are due, for a plan `width` wide.
    pub(super) fn due(subject: Subject<'_>, width: f64) -> Vec<Self> {
        let mut banners = Vec::new();
        let report = subject.report;
        if !report.no_dig.is_empty() {
            let reasons: Vec<String> = report.no_dig.iter().map(no_dig).collect();
            banners.push(Self::new(
                "DO NOT DIG",
                &reasons.join("; "),
                "#b00000",
                width,
            ));
        }
        let sides: Vec<&str> = report
            .findings
            .iter()
            .filter_map(|finding| match finding {
                Finding::NotPinned {
                    side,
                    accepted_by: None,
                } => Some(side.as_str()),
                _ => None,
            })
            .collect();
        if !sides.is_empty() {
            let words = format!(
                "the fence runs along sides without two accepted pins: {}",
                sides.join(", ")
            );
            banners.push(Self::new(
                "NOT PINNED - ESTIMATE ONLY",
                &words,
                "#333333",
                width,
            ));
        }
        if let Some(words) = unsettled(report) {
            banners.push(Self::new("STOP AND SETTLE FIRST", &words, "#333333", width));
        }
        banners
    }

    pub(super) fn new(title: &str, words: &str, fill: &'static str, width: f64) -> Self {
        let small = Type::plain(7.0).colored("white");
        let mut lines = vec![(Type::bold(14.0).colored("white"), title.to_owned())];
        lines.extend(
            small
                .folded(words, width - 2.0 * Self::SIDE, 3)
                .into_iter()
                .map(|text| (small, text)),
        );
        Self { lines, fill }
    }

    pub(super) fn height(&self) -> f64 {
        let lines: f64 = self.lines.iter().map(|(style, _)| style.size * 1.2).sum();
        lines + 5.0
    }

    pub(super) fn at(&self, corner: Xy, width: f64) -> Group {
        let mut group = placed(corner, Xy::ACROSS)
            .set("class", "banner")
            .add(rectangle(
                Xy::ZERO,
                Xy::new(width, self.height()),
                self.fill,
                Pen::new("none", 0.0),
            ));
        let mut base = 0.0;
        for (style, text) in &self.lines {
            base += style.size * 1.12;
            group = group.add(style.text(Xy::new(Self::SIDE, base), text));
        }
        group
    }
}
