//! A lot and its offset line, drawn to scale.

use fence_geom::{Length, Offset, OffsetRing, Point, Ring, RingRole, Side, Turn};
use svg::Document;
use svg::node::element::Group;

use super::labels::{Board, Label, TEXT, Tilted};
use super::panel;
use super::paper::{Area, EDGE, Extent, Lie, Paper};
use super::shapes::{Join, Pen, Type, Xy, circle, figure, outline, rectangle};
use super::symbols::{INK, PALE};

/// Space between the plan and the strip below it.
const GAP: f64 = 8.0;
const LOT: Pen = Pen::new(PALE, 1.2).dashed("9 3 2 3");
const LINE: Pen = Pen::new(INK, 1.4);
/// Into how many chords an arc is parted to find how far it reaches.
const ALONG_ARC: u16 = 16;
const FLAG_RADIUS: f64 = 2.0;
/// What the inside of the offset line is filled with.
const INSIDE: &str = "#eef3ea";

/// Returns the picture as an SVG file.
///
/// `estimate` says that the lot is from a map, which sets no flags.
pub(crate) fn offset_svg(offset: &Offset, estimate: bool) -> String {
    let areas = [Lie::Landscape, Lie::Portrait].map(room);
    let [landscape, portrait] = areas;
    let ground = Extent::of(places(offset)).unwrap_or(Extent::ORIGIN);
    let paper = Paper::new(ground, Some(landscape), portrait);
    let size = paper.lie.size();
    let strip = Xy::new(EDGE, size.y - EDGE - panel::SCALE_HEIGHT);
    let document = Document::new()
        .set("width", format!("{}in", size.x / 72.0))
        .set("height", format!("{}in", size.y / 72.0))
        .set("viewBox", format!("0 0 {} {}", size.x, size.y))
        .set("data-feet-per-inch", figure(paper.feet_per_inch))
        .add(svg::node::element::Title::new("Lot and offset line"))
        .add(rectangle(Xy::ZERO, size, "white", Pen::new("none", 0.0)))
        .add(plan(offset, &paper))
        .add(panel::scale(&paper).at(strip, panel::SCALE_HEIGHT))
        .add(words(offset, estimate, strip));
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn room(lie: Lie) -> Area {
    let whole = lie.size().minus(Xy::new(2.0 * EDGE, 2.0 * EDGE));
    Area {
        corner: Xy::new(EDGE, EDGE),
        size: Xy::new(whole.x, whole.y - panel::SCALE_HEIGHT - GAP),
    }
}

/// Every place that the picture must show.
fn places(offset: &Offset) -> Vec<Point> {
    let rings = offset.rings().iter().map(OffsetRing::ring);
    let all = offset.source().rings().chain(rings);
    let places = |ring: &Ring| {
        let sides = ring.sides().iter().enumerate();
        let places = sides.flat_map(|(k, side)| {
            let (from, to) = ring.ends(k);
            let along = side.places_between(from.at, to.at, ALONG_ARC);
            std::iter::once(from.at).chain(along)
        });
        places.collect::<Vec<Point>>()
    };
    all.flat_map(places).collect()
}

/// Beside the scale: what is drawn, and what has become of the sides.
fn words(offset: &Offset, estimate: bool, strip: Xy) -> Group {
    let mut lines = vec![format!(
        "Dashed: the lot. Solid: the offset line, {} in all.",
        offset.perimeter().to_text(fence_geom::LengthStyle::CREW)
    )];
    if estimate {
        lines.push("NOT PINNED - ESTIMATE ONLY: the lot is from a map.".to_owned());
    }
    if offset.pieces() > 1 {
        lines.push(format!("The line splits into {} pieces.", offset.pieces()));
    }
    let vanished = offset.vanished();
    if !vanished.is_empty() {
        lines.push(format!("Without an offset line: {}.", vanished.join(", ")));
    }
    lines.push(
        "Not a boundary survey: only a licensed surveyor can say where the line is.".to_owned(),
    );
    let at = strip.plus(Xy::new(panel::WIDTH + 2.0 * GAP, 12.0));
    let style = Type::plain(7.5);
    let mut group = Group::new();
    let mut below = 0.0;
    for line in lines {
        for part in style.folded(&line, 330.0, 3) {
            group = group.add(style.text(at.plus(Xy::new(0.0, below)), &part));
            below += 10.0;
        }
    }
    group
}

fn plan(offset: &Offset, paper: &Paper) -> Group {
    let mut board = Board::new(paper.area);
    let mut group = Group::new().set("id", "offset-plan");
    for ring in offset.rings() {
        let fill = match ring.role() {
            RingRole::Outer => INSIDE,
            RingRole::Hole => "white",
        };
        group = group.add(outline(&joins(ring.ring(), paper), fill, LINE));
        take(&mut board, ring.ring(), paper);
    }
    for ring in offset.source().rings() {
        group = group.add(outline(&joins(ring, paper), "none", LOT));
        take(&mut board, ring, paper);
    }
    let flags = offset.rings().iter().flat_map(OffsetRing::corners);
    for flag in flags.clone() {
        let at = paper.at(flag.at);
        group = group.add(circle(at, FLAG_RADIUS, INK, Pen::new("none", 0.0)));
        board.take(Tilted::around(at, FLAG_RADIUS), TEXT);
    }
    let middle = paper.area.center();
    let pins = offset.source().rings().flat_map(Ring::corners);
    for corner in pins {
        let at = paper.at(corner.at);
        let label = Label::new(Type::bold(8.0), [corner.name.clone()]);
        if let Some((_, drawn)) = board.seat(&label, label.around(at, 2.0, at.minus(middle).unit()))
        {
            group = group.add(drawn);
        }
    }
    for flag in flags {
        let at = paper.at(flag.at);
        let label = Label::new(Type::plain(6.5), [flag.name.clone()]);
        let inward = middle.minus(at).unit();
        if let Some((_, drawn)) = board.seat(&label, label.around(at, FLAG_RADIUS, inward)) {
            group = group.add(drawn);
        }
    }
    group
}

/// A ring on the page.
pub(super) fn joins(ring: &Ring, paper: &Paper) -> Vec<Join> {
    let sides = ring.sides().iter().enumerate();
    sides
        .map(|(k, side)| Join {
            to: paper.at(ring.ends(k).1.at),
            arc: match side {
                Side::Line => None,
                Side::Arc { delta, turn } => Some((
                    paper.long(ring.radius(k).map_or(0.0, Length::feet)),
                    *turn == Turn::Right,
                    delta.degrees() > 180.0,
                )),
            },
        })
        .collect()
}

/// Keeps labels off the lines of a ring.
fn take(board: &mut Board, ring: &Ring, paper: &Paper) {
    for k in 0..ring.len() {
        let (from, to) = ring.ends(k);
        board.take(
            Tilted::line(paper.at(from.at), paper.at(to.at), 1.0),
            TEXT / 2.0,
        );
    }
}
