//! The plan itself: everything that has a place on the ground, and its label.

mod fence;
mod site;

use fence_geom::{Point, Spot};
use svg::Node;
use svg::node::element::{ClipPath, Definitions, Group};

use super::Subject;
use super::labels::{Board, Label, Seat, TEXT, THIN_LINE, Tilted};
use super::paper::{Extent, Paper};
use super::shapes::{Pen, Xy, line, rectangle};
use super::symbols::PALE;

/// The plan while it is drawn: layers from the bottom up, and what they cover.
struct Plan<'a> {
    subject: Subject<'a>,
    paper: &'a Paper,
    board: Board,
    ground: Group,
    lines: Group,
    symbols: Group,
    words: Group,
}

/// Draws all that is on the ground.
pub(super) fn plan(subject: Subject<'_>, paper: &Paper) -> Group {
    let mut plan = Plan {
        subject,
        paper,
        board: Board::new(paper.area),
        ground: Group::new(),
        lines: Group::new(),
        symbols: Group::new(),
        words: Group::new(),
    };
    // All that is drawn comes before all that is written, so that labels keep
    // off what they would hide; the labels with the least choice come first.
    plan.buildings();
    plan.no_build();
    plan.marks();
    plan.lot_line();
    plan.pieces();
    plan.fence();
    plan.corners();
    plan.corner_labels();
    plan.section_labels();
    plan.flag_labels();
    plan.post_labels();
    plan.side_labels();
    plan.run_labels();
    plan.mark_labels();
    plan.building_labels();
    plan.clipped()
}

/// The ground that the plan must show; utilities may run out of it.
pub(super) fn extent(subject: Subject<'_>) -> Option<Extent> {
    let report = subject.report;
    let ring = report.lot.ring();
    let lot = ring.sides().iter().enumerate().flat_map(|(i, side)| {
        let (from, to) = ring.ends(i);
        let between = side.places_between(from.at, to.at, 16);
        std::iter::once(from.at).chain(between)
    });
    let flags = report.flags.iter().map(|flag| flag.at);
    let gates = report
        .runs
        .iter()
        .flat_map(|run| &run.sections)
        .filter_map(|section| match &section.fill {
            fence_geom::Fill::Gate(gate) => Some(&gate.open),
            _ => None,
        })
        .flatten()
        .copied();
    let buildings = subject
        .job
        .buildings
        .iter()
        .flat_map(|building| subject.places(&building.corners));
    Extent::of(lot.chain(flags).chain(gates).chain(buildings))
}

impl Subject<'_> {
    fn places(&self, spots: &[Spot]) -> Vec<Point> {
        spots
            .iter()
            .filter_map(|spot| self.report.place(spot))
            .collect()
    }
}

impl Plan<'_> {
    fn path(&self, spots: &[Spot]) -> Vec<Xy> {
        self.subject
            .places(spots)
            .into_iter()
            .map(|place| self.paper.at(place))
            .collect()
    }

    /// The middle of the lot on the page; labels of corners look away from it.
    fn middle(&self) -> Xy {
        let corners = self.subject.report.lot.ring().corners();
        let sum = corners
            .iter()
            .map(|corner| self.paper.at(corner.at))
            .fold(Xy::ZERO, Xy::plus);
        let count = u32::try_from(corners.len()).unwrap_or(u32::MAX).max(1);
        sum.times(1.0 / f64::from(count))
    }

    /// Marks a path as covered.
    fn take_path(&mut self, path: &[Xy], width: f64, cost: f64) {
        for pair in path.windows(2) {
            if let [a, b] = pair {
                self.board.take(Tilted::line(*a, *b, width), cost);
            }
        }
    }

    /// Writes a label on the best of its seats.
    fn write(&mut self, label: &Label, seats: Vec<Seat>) {
        if let Some((_, drawn)) = self.board.seat(label, seats) {
            self.words.append(drawn);
        }
    }

    /// Writes a label near a symbol, with a leader where it is not beside it.
    fn write_at(&mut self, label: &Label, at: Xy, radius: f64, toward: Xy) {
        self.write_led(label, label.around(at, radius, toward), at, radius);
    }

    /// Writes a label on the best of its seats, with a leader to what it is of
    /// where it does not sit beside that.
    fn write_led(&mut self, label: &Label, seats: Vec<Seat>, at: Xy, radius: f64) {
        let Some(seat) = Board::cheapest(seats, |seat| {
            let led = leader(label, *seat, at, radius);
            self.board.cost(&label.covers(*seat))
                + led.map_or(0.0, |(from, to)| {
                    LEADER + 0.6 * self.board.cost(&Tilted::line(from, to, 0.5))
                })
        }) else {
            return;
        };
        if let Some((from, to)) = leader(label, seat, at, radius) {
            self.lines.append(line(from, to, Pen::new(PALE, 0.4)));
            self.board.take(Tilted::line(from, to, 0.5), THIN_LINE);
        }
        self.board.take(label.covers(seat), TEXT);
        self.words.append(label.drawn(seat));
    }

    /// The layers, cut off at the edge of their area.
    fn clipped(self) -> Group {
        let area = self.paper.area;
        let clip = ClipPath::new().set("id", "plan-area").add(rectangle(
            area.corner,
            area.size,
            "black",
            Pen::new("none", 0.0),
        ));
        Group::new()
            .set("id", "plan")
            .set("clip-path", "url(#plan-area)")
            .add(Definitions::new().add(clip))
            .add(self.ground)
            .add(self.lines)
            .add(self.symbols)
            .add(self.words)
    }
}

/// What a leader costs beyond what it crosses.
const LEADER: f64 = 3.0;

/// The line from what a label is of to the label; `None` where they are close.
fn leader(label: &Label, seat: Seat, at: Xy, radius: f64) -> Option<(Xy, Xy)> {
    let half = label.half();
    let across = seat.along.right();
    let way = at.minus(seat.center);
    let nearest = seat
        .center
        .plus(seat.along.times(way.dot(seat.along).clamp(-half.x, half.x)))
        .plus(across.times(way.dot(across).clamp(-half.y, half.y)));
    let way = nearest.minus(at);
    (way.length() > radius + 8.0).then(|| (at.plus(way.unit().times(radius)), nearest))
}
