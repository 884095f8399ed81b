//! The plan of an adjusted net: points, readings, and ellipses drawn larger than
//! they are.

use fence_geom::{
    Ellipse, Length, LengthStyle, Net, NetAnswer, NetAnswers, NetReading, Point, ReadingOf,
};
use svg::Document;
use svg::Node;
use svg::node::element::Group;

use super::labels::{Board, Label, SYMBOL, Seat, THIN_LINE, Tilted};
use super::panel::{self, Block};
use super::paper::{Area, Extent, Lie, Paper};
use super::shapes::{Pen, Type, Xy, circle, figure, line, polygon, polyline, rectangle};
use super::symbols::{INK, PALE, WARNING};
use crate::finding_words::CAUTIONS;

const TAPE_PEN: Pen = Pen::new(INK, 0.6);
const SUSPECT_PEN: Pen = Pen::new(WARNING, 1.4);
const LINE_PEN: Pen = Pen::new(PALE, 0.6).dashed("4 2");
const OTHER_PEN: Pen = Pen::new(PALE, 0.6).dashed("1.5 1.5");
const ELLIPSE_PEN: Pen = Pen::new("#0060a0", 0.8);
const ELLIPSE_FILL: &str = "#dcebf5";

/// How long half the largest ellipse is on paper, at most, in points.
const LARGEST: f64 = 26.0;
/// Corners of the outline of an ellipse.
const OUTLINE: u32 = 48;
const POINT_RADIUS: f64 = 2.6;

/// Returns the plan of a net as an SVG file.
pub(crate) fn net_svg(net: &Net, answers: &NetAnswers) -> String {
    let places = answers.answers.iter().flat_map(|answer| &answer.points);
    let extent = Extent::of(places.map(|point| point.at)).unwrap_or(Extent::ORIGIN);
    // The widths of the panel do not depend on the figures in it.
    let draft = blocks(net, answers, 1.0);
    let [landscape, portrait] = [Lie::Landscape, Lie::Portrait].map(|lie| super::room(lie, &draft));
    let paper = Paper::new(
        extent,
        super::stacked(&draft).then_some(landscape),
        portrait,
    );
    let larger = exaggeration(answers, &paper);
    let size = paper.lie.size();
    let room: Area = paper.area;
    let document = Document::new()
        .set("width", format!("{}in", size.x / 72.0))
        .set("height", format!("{}in", size.y / 72.0))
        .set("viewBox", format!("0 0 {} {}", size.x, size.y))
        .set("data-feet-per-inch", figure(paper.feet_per_inch))
        .set("data-ellipses-larger", larger)
        .add(svg::node::element::Title::new("Net of tapes"))
        .add(rectangle(Xy::ZERO, size, "white", Pen::new("none", 0.0)))
        .add(plan(net, answers, &paper, larger))
        .add(rectangle(
            room.corner,
            room.size,
            "none",
            Pen::new(INK, 0.7),
        ))
        .add(super::panels(&paper, blocks(net, answers, larger)));
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

/// The largest of 1, 2, 5, 10, ... at which no ellipse is larger than it may be.
fn exaggeration(answers: &NetAnswers, paper: &Paper) -> f64 {
    let points = answers.answers.iter().flat_map(|answer| &answer.points);
    let largest = points
        .map(|point| paper.long(point.ellipse.semi_major_95().feet()))
        .fold(0.0, f64::max);
    let steps = (0..6).flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10.0_f64.powi(power)));
    steps
        .filter(|step| *step <= 1.0 || largest * step <= LARGEST)
        .fold(1.0, f64::max)
}

fn plan(net: &Net, answers: &NetAnswers, paper: &Paper, larger: f64) -> Group {
    let mut board = Board::new(paper.area);
    let (mut ground, mut lines, mut symbols, mut words) =
        (Group::new(), Group::new(), Group::new(), Group::new());
    for (number, answer) in (1..).zip(&answers.answers) {
        for point in &answer.points {
            let drawn = number == 1 || answers.ambiguous.contains(&point.name);
            if drawn {
                ground.append(ellipse(paper, point.at, point.ellipse, larger));
                let at = paper.at(point.at);
                symbols.append(symbol(net, &point.name, number == 1, at));
                let radius = drawn_radius(paper, point.ellipse, larger);
                board.take(Tilted::around(at, radius), SYMBOL);
            }
        }
        for (i, reading) in net.readings.iter().enumerate() {
            let suspect = is_suspect(answer, i);
            lines.append(drawn_reading(paper, answer, reading, suspect, number == 1));
            for (a, b) in ends(paper, answer, reading) {
                board.take(Tilted::line(a, b, 0.6), THIN_LINE);
            }
        }
    }
    for (number, answer) in (1..).zip(&answers.answers) {
        for point in &answer.points {
            let several = answers.ambiguous.contains(&point.name);
            if number == 1 || several {
                let name = if several {
                    format!("{}-{number}", point.name)
                } else {
                    point.name.clone()
                };
                let label = Label::new(Type::bold(8.5), [name]);
                let at = paper.at(point.at);
                let away = at.minus(paper.area.center());
                let radius = drawn_radius(paper, point.ellipse, larger);
                if let Some((_, drawn)) = board.seat(&label, label.around(at, radius, away)) {
                    words.append(drawn);
                }
            }
        }
    }
    if let Some(answer) = answers.answers.first() {
        for (i, reading) in net.readings.iter().enumerate() {
            if let (NetReading::Distance { reads, .. }, [(a, b)]) =
                (reading, ends(paper, answer, reading).as_slice())
            {
                let color = if is_suspect(answer, i) { WARNING } else { INK };
                let label = Label::new(Type::plain(6.5).colored(color), [crew(*reads)]);
                if let Some((_, drawn)) = board.seat(&label, beside(&label, *a, *b)) {
                    words.append(drawn);
                }
            }
        }
    }
    Group::new()
        .set("id", "net")
        .add(ground)
        .add(lines)
        .add(symbols)
        .add(words)
}

/// How far a point's symbol or its ellipse reaches on paper.
fn drawn_radius(paper: &Paper, ellipse: Ellipse, larger: f64) -> f64 {
    let long = paper.long(ellipse.semi_major_95().feet()) * larger;
    // Most of an ellipse is well within its long axis.
    (long * 0.8).max(POINT_RADIUS + 1.0)
}

fn crew(length: Length) -> String {
    length.to_text(LengthStyle::CREW)
}

fn is_suspect(answer: &NetAnswer, reading: usize) -> bool {
    answer.suspects.iter().any(|suspect| {
        answer
            .readings
            .get(*suspect)
            .is_some_and(|checked| checked.of == ReadingOf::Reading(reading))
    })
}

/// The ways on paper that a reading runs along.
fn ends(paper: &Paper, answer: &NetAnswer, reading: &NetReading) -> Vec<(Xy, Xy)> {
    let at = |name: &str| answer.point(name).map(|point| paper.at(point.at));
    let pair = |a: &str, b: &str| Some((at(a)?, at(b)?));
    let ways = match reading {
        NetReading::Distance { from, to, .. } | NetReading::Direction { from, to, .. } => {
            vec![pair(from, to)]
        }
        NetReading::OnLine {
            point, from, to, ..
        } => vec![pair(from, to), pair(point, from)],
        NetReading::Corner { .. } => vec![],
    };
    ways.into_iter().flatten().collect()
}

fn drawn_reading(
    paper: &Paper,
    answer: &NetAnswer,
    reading: &NetReading,
    suspect: bool,
    first: bool,
) -> Group {
    let pen = match reading {
        _ if suspect => SUSPECT_PEN,
        _ if !first => OTHER_PEN,
        NetReading::Distance { .. } | NetReading::Corner { .. } => TAPE_PEN,
        NetReading::OnLine { .. } | NetReading::Direction { .. } => LINE_PEN,
    };
    let mut group = Group::new();
    for (a, b) in ends(paper, answer, reading) {
        group = group.add(line(a, b, pen));
    }
    if let NetReading::Corner { at, from, to, .. } = reading
        && let (Some(at), Some(from), Some(to)) =
            (answer.point(at), answer.point(from), answer.point(to))
    {
        let corner = paper.at(at.at);
        let leg = |end: Point| paper.at(end).minus(corner).unit().times(9.0);
        let (a, b) = (leg(from.at), leg(to.at));
        let path = [corner.plus(a), corner.plus(a).plus(b), corner.plus(b)];
        group = group.add(polyline(&path, pen));
    }
    group
}

/// A known point is a triangle, a found one a circle.
fn symbol(net: &Net, name: &str, first: bool, at: Xy) -> Group {
    let pen = Pen::new(if first { INK } else { PALE }, 0.8);
    if net.known.iter().any(|known| known.name == name) {
        let corner = |x: f64, y: f64| at.plus(Xy::new(x, y));
        let corners = [corner(0.0, -4.4), corner(3.8, 2.2), corner(-3.8, 2.2)];
        Group::new().add(polygon(&corners, INK, pen))
    } else {
        Group::new().add(circle(at, POINT_RADIUS, "white", pen))
    }
}

/// The outline of the ellipse that holds 95 %, larger than it is.
fn ellipse(paper: &Paper, at: Point, ellipse: Ellipse, larger: f64) -> Group {
    let along = ellipse.azimuth().radians();
    let (long, wide) = (
        paper.long(ellipse.semi_major_95().feet()) * larger,
        paper.long(ellipse.semi_minor_95().feet()) * larger,
    );
    if long < 0.2 {
        return Group::new();
    }
    let (sin, cos) = along.sin_cos();
    // North is up, so a way of (north, east) is (east, -north) on paper.
    let (axis, across) = (Xy::new(sin, -cos), Xy::new(cos, sin));
    let center = paper.at(at);
    let outline: Vec<Xy> = (0..OUTLINE)
        .map(|k| {
            let (s, c) = (f64::from(k) * std::f64::consts::TAU / f64::from(OUTLINE)).sin_cos();
            center
                .plus(axis.times(long * c))
                .plus(across.times(wide * s))
        })
        .collect();
    Group::new().add(polygon(&outline, ELLIPSE_FILL, ELLIPSE_PEN))
}

/// Seats along a line, on both sides of it.
fn beside(label: &Label, a: Xy, b: Xy) -> Vec<Seat> {
    let along = b.minus(a).unit().readable();
    let aside = along.right().times(label.half().y + 1.5);
    let mut seats = Vec::new();
    for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78] {
        for side in [-1.0, 1.0] {
            let center = a.between(b, share).plus(aside.times(side));
            seats.push(Seat { center, along });
        }
    }
    seats
}

fn blocks(net: &Net, answers: &NetAnswers, larger: f64) -> [Block; 3] {
    [
        title(net, answers),
        legend(net, answers, larger),
        panel::cautions(&CAUTIONS),
    ]
}

fn title(net: &Net, answers: &NetAnswers) -> Block {
    let mut block = Block::new();
    block.write(Type::bold(12.0), "Net of tapes", 1);
    let Some(answer) = answers.answers.first() else {
        return block;
    };
    let counts = format!(
        "{} points, {} readings, {} more than needed",
        answer.points.len(),
        net.readings.len(),
        answer.redundancy
    );
    block.write(Type::plain(7.5), &counts, 2);
    let words = match (answer.fits(), answer.suspects.is_empty()) {
        (true, true) => "The readings go together.",
        (_, false) => "A READING IS SUSPECT: measure it again.",
        (false, true) => "THE READINGS DO NOT GO TOGETHER.",
    };
    let color = if answer.fits() && answer.suspects.is_empty() {
        INK
    } else {
        WARNING
    };
    block.write(Type::bold(7.5).colored(color), words, 2);
    if !answers.ambiguous.is_empty() {
        let words = format!("More than one place fits: {}", answers.ambiguous.join(", "));
        block.write(Type::bold(7.5).colored(WARNING), &words, 4);
    }
    block.height += 4.0;
    block
}

fn legend(net: &Net, answers: &NetAnswers, larger: f64) -> Block {
    let mut block = Block::new();
    block.write(Type::bold(7.0), "SYMBOLS", 1);
    let times = if larger > 1.0 {
        format!("drawn {larger} times its size")
    } else {
        "drawn to scale".to_owned()
    };
    let sample = Xy::new(0.0, 0.0);
    let tape = || Group::new().add(line(Xy::new(-9.0, 0.0), Xy::new(9.0, 0.0), TAPE_PEN));
    let mut rows = vec![
        (
            symbol(net, "", true, sample),
            "found by the readings".to_owned(),
        ),
        (tape(), "tape, with what it reads".to_owned()),
        (
            Group::new().add(circle(sample, 6.0, ELLIPSE_FILL, ELLIPSE_PEN)),
            format!("95 % ellipse, {times}"),
        ),
    ];
    if let Some(known) = net.known.first() {
        rows.insert(
            0,
            (
                symbol(net, &known.name, true, sample),
                "known point".to_owned(),
            ),
        );
    }
    if answers
        .answers
        .iter()
        .any(|answer| !answer.suspects.is_empty())
    {
        let drawn = Group::new().add(line(Xy::new(-9.0, 0.0), Xy::new(9.0, 0.0), SUSPECT_PEN));
        rows.push((drawn, "suspect reading".to_owned()));
    }
    let aside = |reading: &NetReading| {
        matches!(
            reading,
            NetReading::OnLine { .. } | NetReading::Direction { .. }
        )
    };
    if net.readings.iter().any(aside) {
        let drawn = Group::new().add(line(Xy::new(-9.0, 0.0), Xy::new(9.0, 0.0), LINE_PEN));
        rows.push((drawn, "line or direction".to_owned()));
    }
    for (symbol, words) in rows {
        block.row(symbol, &words);
    }
    block
}
