//! Labels that keep out of each other's way: each has a list of seats, and takes
//! the one that costs least, counting what it would cover and how far down the
//! list it is. The order of the labels decides, and nothing else.

use svg::node::element::Group;

use super::paper::Area;
use super::shapes::{Type, Xy, placed};

/// What covering something costs.
pub(super) const TEXT: f64 = 100.0;
pub(super) const SYMBOL: f64 = 30.0;
pub(super) const FENCE: f64 = 25.0;
pub(super) const LOT_LINE: f64 = 14.0;
pub(super) const THIN_LINE: f64 = 8.0;
const FILL: f64 = 20.0;
const OUTSIDE: f64 = 1000.0;
/// What one step down the list of seats costs.
const STEP: f64 = 0.4;

/// A rectangle that may be turned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tilted {
    center: Xy,
    along: Xy,
    half_along: f64,
    half_across: f64,
}

impl Tilted {
    /// What a line of some width covers.
    pub(super) fn line(a: Xy, b: Xy, width: f64) -> Self {
        Self {
            center: a.between(b, 0.5),
            along: b.minus(a).unit(),
            half_along: b.minus(a).length() / 2.0,
            half_across: width / 2.0,
        }
    }

    /// A square around a symbol.
    pub(super) fn around(center: Xy, radius: f64) -> Self {
        Self {
            center,
            along: Xy::ACROSS,
            half_along: radius,
            half_across: radius,
        }
    }

    /// How far it reaches from its center in a direction.
    fn reach(&self, way: Xy) -> f64 {
        self.half_along * self.along.dot(way).abs()
            + self.half_across * self.along.right().dot(way).abs()
    }

    /// Two rectangles are apart exactly where a line along one of their sides
    /// parts them.
    fn overlaps(&self, other: &Self) -> bool {
        let way = other.center.minus(self.center);
        [
            self.along,
            self.along.right(),
            other.along,
            other.along.right(),
        ]
        .into_iter()
        .all(|axis| way.dot(axis).abs() < self.reach(axis) + other.reach(axis))
    }

    /// Its middle and its corners.
    fn points(&self) -> [Xy; 5] {
        let along = self.along.times(self.half_along);
        let across = self.along.right().times(self.half_across);
        [
            self.center,
            self.center.plus(along).plus(across),
            self.center.plus(along).minus(across),
            self.center.minus(along).plus(across),
            self.center.minus(along).minus(across),
        ]
    }

    fn is_inside(&self, area: Area) -> bool {
        let (x, y) = (self.reach(Xy::ACROSS), self.reach(Xy::ACROSS.right()));
        let far = area.far();
        self.center.x - x >= area.corner.x
            && self.center.x + x <= far.x
            && self.center.y - y >= area.corner.y
            && self.center.y + y <= far.y
    }
}

/// One or more lines of text, centered.
#[derive(Clone, Debug)]
pub(super) struct Label {
    lines: Vec<String>,
    style: Type,
}

/// Where a label may sit: its middle, and the way it runs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seat {
    pub(super) center: Xy,
    pub(super) along: Xy,
}

impl Label {
    /// No line is longer than this; the text sheet has the names whole.
    const LONGEST: f64 = 210.0;

    pub(super) fn new(style: Type, lines: impl IntoIterator<Item = String>) -> Self {
        Self {
            lines: lines
                .into_iter()
                .map(|line| style.shortened(&line, Self::LONGEST))
                .collect(),
            style,
        }
    }

    fn line_height(&self) -> f64 {
        self.style.size * 1.3
    }

    /// Half its width and half its height.
    pub(super) fn half(&self) -> Xy {
        let width = self
            .lines
            .iter()
            .map(|line| self.style.width(line))
            .fold(0.0, f64::max);
        let lines = u32::try_from(self.lines.len()).unwrap_or(u32::MAX);
        Xy::new(width, f64::from(lines) * self.line_height()).times(0.5)
    }

    pub(super) fn covers(&self, seat: Seat) -> Tilted {
        let half = self.half();
        Tilted {
            center: seat.center,
            along: seat.along,
            half_along: half.x + 1.5,
            half_across: half.y + 0.5,
        }
    }

    /// The text, with a white edge that keeps it legible over lines.
    pub(super) fn drawn(&self, seat: Seat) -> Group {
        let mut group = placed(seat.center, seat.along);
        let mut base = self.style.size * 0.99 - self.half().y;
        for line in &self.lines {
            group = group.add(
                self.style
                    .centered(Xy::new(0.0, base), line)
                    .set("stroke", "white")
                    .set("stroke-width", "1.80")
                    .set("stroke-linejoin", "round")
                    .set("paint-order", "stroke"),
            );
            base += self.line_height();
        }
        group
    }

    /// Seats around a symbol, those on the side of `toward` first, near before
    /// far.
    pub(super) fn around(&self, at: Xy, radius: f64, toward: Xy) -> Vec<Seat> {
        let half = self.half();
        let mut ways: Vec<Xy> = (0..8)
            .map(|eighth| {
                let angle = f64::from(eighth) * std::f64::consts::FRAC_PI_4;
                Xy::new(angle.cos(), angle.sin())
            })
            .collect();
        ways.sort_by(|a, b| b.dot(toward).total_cmp(&a.dot(toward)));
        let mut seats = Vec::new();
        for gap in [2.0, 6.0, 12.0, 20.0, 30.0, 44.0] {
            for way in &ways {
                let side = |share: f64| {
                    if share.abs() < 0.3 {
                        0.0
                    } else {
                        share.signum()
                    }
                };
                seats.push(Seat {
                    center: at
                        .plus(way.times(radius + gap))
                        .plus(Xy::new(side(way.x) * half.x, side(way.y) * half.y)),
                    along: Xy::ACROSS,
                });
            }
        }
        seats
    }
}

/// What is on the paper already.
#[derive(Debug)]
pub(super) struct Board {
    area: Area,
    taken: Vec<(Tilted, f64)>,
    filled: Vec<Vec<Xy>>,
}

impl Board {
    pub(super) const fn new(area: Area) -> Self {
        Self {
            area,
            taken: Vec::new(),
            filled: Vec::new(),
        }
    }

    pub(super) fn take(&mut self, place: Tilted, cost: f64) {
        self.taken.push((place, cost));
    }

    /// Keeps labels off the inside of an outline.
    pub(super) fn fill(&mut self, outline: Vec<Xy>) {
        self.filled.push(outline);
    }

    /// What it costs to cover this.
    pub(super) fn cost(&self, place: &Tilted) -> f64 {
        let covered: f64 = self
            .taken
            .iter()
            .filter(|(other, _)| place.overlaps(other))
            .map(|(_, cost)| cost)
            .sum();
        let filled = self
            .filled
            .iter()
            .any(|outline| place.points().iter().any(|at| holds(outline, *at)));
        let outside = !place.is_inside(self.area);
        covered + if filled { FILL } else { 0.0 } + if outside { OUTSIDE } else { 0.0 }
    }

    /// Takes the seat that costs least by `cost`, the first of equals.
    pub(super) fn cheapest<T>(
        seats: impl IntoIterator<Item = T>,
        cost: impl Fn(&T) -> f64,
    ) -> Option<T> {
        let mut best: Option<(T, f64)> = None;
        let mut steps = 0.0;
        for seat in seats {
            let total = cost(&seat) + steps;
            if best.as_ref().is_none_or(|(_, least)| total < *least) {
                best = Some((seat, total));
            }
            steps += STEP;
        }
        best.map(|(seat, _)| seat)
    }

    /// Seats a label and draws it.
    pub(super) fn seat(
        &mut self,
        label: &Label,
        seats: impl IntoIterator<Item = Seat>,
    ) -> Option<(Seat, Group)> {
        let seat = Self::cheapest(seats, |seat| self.cost(&label.covers(*seat)))?;
        self.take(label.covers(seat), TEXT);
        Some((seat, label.drawn(seat)))
    }
}

/// Whether an outline holds a place: a ray to the right leaves it an odd number of
/// times.
fn holds(outline: &[Xy], at: Xy) -> bool {
    let ends = outline.iter().skip(1).chain(outline.first());
    let crossed = outline.iter().zip(ends).filter(|(a, b)| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests;
