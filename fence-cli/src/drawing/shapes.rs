//! Places on the page and the marks made there, all with fixed decimals so that
//! the same job always gives the same bytes.

use svg::Node;
use svg::node::element::{Circle, Group, Line, Path, Polygon, Polyline, Rectangle, Text};

use crate::decimals::decimals;

/// Letters of every drawing; the first that the reader's machine has is used.
const FONTS: &str = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// A place or a way on the page, in points of 1/72 in; y runs down the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Xy {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Xy {
    pub(super) const ZERO: Self = Self { x: 0.0, y: 0.0 };
    /// The way a line of text runs.
    pub(super) const ACROSS: Self = Self { x: 1.0, y: 0.0 };

    pub(super) const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    pub(super) fn plus(self, way: Self) -> Self {
        Self::new(self.x + way.x, self.y + way.y)
    }

    pub(super) fn minus(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }

    pub(super) fn times(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }

    pub(super) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    pub(super) fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The way of length 1; across the page for a way of no length.
    pub(super) fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 {
            self.times(1.0 / length)
        } else {
            Self::ACROSS
        }
    }

    /// The way to the right hand of one who walks along this one.
    pub(super) fn right(self) -> Self {
        Self::new(-self.y, self.x)
    }

    pub(super) fn between(self, other: Self, share: f64) -> Self {
        self.plus(other.minus(self).times(share))
    }

    pub(super) fn degrees(self) -> f64 {
        self.y.atan2(self.x).to_degrees()
    }

    /// This way or its reverse, whichever a reader need not turn the sheet over
    /// for: left to right, and upward on what is nearly upright.
    pub(super) fn readable(self) -> Self {
        let reads = if self.x.abs() < 0.02 {
            self.y < 0.0
        } else {
            self.x > 0.0
        };
        if reads { self } else { self.times(-1.0) }
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pen {
    pub(super) color: &'static str,
    pub(super) width: f64,
    pub(super) dashes: &'static str,
}

impl Pen {
    pub(super) const fn new(color: &'static str, width: f64) -> Self {
        Self {
            color,
            width,
            dashes: "",
        }
    }

    pub(super) const fn dashed(self, dashes: &'static str) -> Self {
        Self { dashes, ..self }
    }

    fn draw<N: Node>(self, mut shape: N) -> N {
        shape.assign("stroke", self.color);
        shape.assign("stroke-width", figure(self.width));
        if !self.dashes.is_empty() {
            shape.assign("stroke-dasharray", self.dashes);
        }
        shape
    }
}

/// A length on the paper.
pub(super) fn figure(value: f64) -> String {
    decimals(value, 2)
}

pub(super) fn line(from: Xy, to: Xy, pen: Pen) -> Line {
    pen.draw(
        Line::new()
            .set("x1", figure(from.x))
            .set("y1", figure(from.y))
            .set("x2", figure(to.x))
            .set("y2", figure(to.y)),
    )
}

pub(super) fn circle(center: Xy, radius: f64, fill: &'static str, pen: Pen) -> Circle {
    pen.draw(
        Circle::new()
            .set("cx", figure(center.x))
            .set("cy", figure(center.y))
            .set("r", figure(radius))
            .set("fill", fill),
    )
}

pub(super) fn rectangle(corner: Xy, size: Xy, fill: &'static str, pen: Pen) -> Rectangle {
    pen.draw(
        Rectangle::new()
            .set("x", figure(corner.x))
            .set("y", figure(corner.y))
            .set("width", figure(size.x))
            .set("height", figure(size.y))
            .set("fill", fill),
    )
}

pub(super) fn polygon(corners: &[Xy], fill: &'static str, pen: Pen) -> Polygon {
    pen.draw(
        Polygon::new()
            .set("points", points(corners))
            .set("fill", fill),
    )
}

/// An open line with round ends and corners, so that a wide one covers all that
/// is within half its width.
pub(super) fn polyline(path: &[Xy], pen: Pen) -> Polyline {
    pen.draw(
        Polyline::new()
            .set("points", points(path))
            .set("fill", "none")
            .set("stroke-linecap", "round")
            .set("stroke-linejoin", "round"),
    )
}

/// A quarter of a circle around `center`, the shorter way from `from` to `to`.
pub(super) fn arc(center: Xy, from: Xy, to: Xy, pen: Pen) -> Path {
    let (a, b) = (from.minus(center), to.minus(center));
    let bend = Bend {
        radius: a.length(),
        is_long: false,
        to_right: a.right().dot(b) > 0.0,
    };
    curve(from, to, bend, pen)
}

/// How an arc runs from its start to its end on the page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bend {
    pub(super) radius: f64,
    /// More than half a circle.
    pub(super) is_long: bool,
    /// Clockwise.
    pub(super) to_right: bool,
}

/// An arc.
pub(super) fn curve(from: Xy, to: Xy, bend: Bend, pen: Pen) -> Path {
    let radius = figure(bend.radius);
    let (large, sweep) = (u8::from(bend.is_long), u8::from(bend.to_right));
    pen.draw(
        Path::new()
            .set(
                "d",
                format!(
                    "M{},{} A{radius},{radius} 0 {large} {sweep} {},{}",
                    figure(from.x),
                    figure(from.y),
                    figure(to.x),
                    figure(to.y)
                ),
            )
            .set("fill", "none"),
    )
}

/// What joins a corner of an outline to the next: a line, or an arc of a radius
/// that turns to the right on the page or not and goes more than half around or
/// not.
#[derive(Clone, Copy, Debug)]
pub(super) struct Join {
    pub(super) to: Xy,
    pub(super) arc: Option<(f64, bool, bool)>,
}

/// A closed outline of lines and arcs that ends where it starts.
pub(super) fn outline(joins: &[Join], fill: &'static str, pen: Pen) -> Path {
    let start = joins.last().map_or(Xy::ZERO, |join| join.to);
    let mut way = format!("M{},{}", figure(start.x), figure(start.y));
    for join in joins {
        let to = format!("{},{}", figure(join.to.x), figure(join.to.y));
        way += &match join.arc {
            None => format!(" L{to}"),
            Some((radius, right, large)) => {
                let radius = figure(radius);
                let (large, right) = (u8::from(large), u8::from(right));
                format!(" A{radius},{radius} 0 {large} {right} {to}")
            }
        };
    }
    pen.draw(Path::new().set("d", way + " Z").set("fill", fill))
}

/// A group whose own origin is at `at`, turned so that its x axis runs `along`.
pub(super) fn placed(at: Xy, along: Xy) -> Group {
    Group::new().set(
        "transform",
        format!(
            "translate({} {}) rotate({})",
            figure(at.x),
            figure(at.y),
            figure(along.degrees())
        ),
    )
}

/// How a line of text is set.
#[derive(Clone, Copy, Debug)]
pub(super) struct Type {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) color: &'static str,
}

impl Type {
    pub(super) const fn plain(size: f64) -> Self {
        Self {
            size,
            bold: false,
            color: "black",
        }
    }

    pub(super) const fn bold(size: f64) -> Self {
        Self {
            bold: true,
            ..Self::plain(size)
        }
    }

    pub(super) const fn colored(self, color: &'static str) -> Self {
        Self { color, ..self }
    }

    /// About how wide a text is: no font is at hand to measure it.
    pub(super) fn width(self, text: &str) -> f64 {
        let ems: f64 = text.chars().map(ems).sum();
        ems * self.size * if self.bold { 1.07 } else { 1.0 }
    }

    /// A text that starts at `at`, on its base line.
    pub(super) fn text(self, at: Xy, text: &str) -> Text {
        Text::new(printable(text))
            .set("x", figure(at.x))
            .set("y", figure(at.y))
            .set("font-family", FONTS)
            .set("font-size", figure(self.size))
            .set("font-weight", if self.bold { "bold" } else { "normal" })
            .set("fill", self.color)
    }

    /// A text whose middle is at `at`, on its base line.
    pub(super) fn centered(self, at: Xy, text: &str) -> Text {
        self.text(at, text).set("text-anchor", "middle")
    }

    /// Breaks a text into lines no wider than `width`; the last of `most` lines
    /// ends with an ellipsis where more would follow.
    pub(super) fn folded(self, text: &str, width: f64, most: usize) -> Vec<String> {
        let mut lines = vec![String::new()];
        for word in text.split_whitespace() {
            let word = self.shortened(word, width);
            match lines.last_mut() {
                Some(line) if line.is_empty() => line.push_str(&word),
                Some(line) if self.width(line) + self.width(" ") + self.width(&word) <= width => {
                    line.push(' ');
                    line.push_str(&word);
                }
                _ => lines.push(word),
            }
        }
        if lines.len() > most {
            lines.truncate(most);
            if let Some(last) = lines.last_mut() {
                *last = self.shortened(&format!("{last} \u{2026}\u{2026}"), width);
            }
        }
        lines
    }

    /// The text, cut off with an ellipsis where it is wider than `width`.
    pub(super) fn shortened(self, text: &str, width: f64) -> String {
        if self.width(text) <= width {
            return text.to_owned();
        }
        let mut short = String::new();
        for letter in text.chars() {
            short.push(letter);
            if self.width(&short) + self.size > width {
                break;
            }
        }
        short.push('\u{2026}');
        short
    }
}

/// Letters by their width in a common sans serif, in shares of the type size.
fn ems(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.23,
        ' ' | '.' | ',' | ':' | ';' | 'f' | 't' | 'I' | '/' | '!' | '(' | ')' | '-' | 'r' => 0.31,
        '"' => 0.36,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.88,
        '\u{b0}' => 0.4,
        'A'..='Z' | '&' => 0.69,
        ' '..='~' | '\u{b1}' => 0.556,
        _ => 1.0,
    }
}

fn points(path: &[Xy]) -> String {
    path.iter()
        .map(|at| format!("{},{}", figure(at.x), figure(at.y)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// The text without what XML 1.0 has no character for (section 2.2, `Char`).
pub(super) fn printable(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '\t' | '\n' | '\r' => ' ',
            '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            other => other,
        })
        .collect()
}
