//! What is on the site before the fence: lot, buildings, utilities, obstacles.

use fence_geom::{AngleStyle, Length, LengthStyle, Mark, Side, Standing, Turn};
use svg::Node;

use super::Plan;
use crate::drawing::labels::{LOT_LINE, Label, SYMBOL, Seat, TEXT, THIN_LINE, Tilted};
use crate::drawing::offset_plan::joins;
use crate::drawing::shapes::{Pen, Type, Xy, circle, line, outline, polygon, polyline};
use crate::drawing::symbols::{
    BUILDING_PEN, HATCH, LEAST_SEARCH, LOT_PEN, NO_BUILD_PEN, OBSTACLE_FILL, OBSTACLE_PEN,
    PIECE_PEN, WARNING, band, corner, search, utility, utility_color,
};
use crate::finding_words::crew;

/// Into how many chords a curved lot line is parted, fine enough for the eye.
const CHORDS_OF_ARC: u16 = 48;

/// The least radius at which an obstacle can be seen.
const LEAST_OBSTACLE: f64 = 2.5;

impl Plan<'_> {
    pub(super) fn buildings(&mut self) {
        for building in &self.subject.job.buildings {
            let corners = self.path(&building.corners);
            self.ground.append(polygon(&corners, HATCH, BUILDING_PEN));
            let around: Vec<Xy> = corners.iter().chain(corners.first()).copied().collect();
            self.take_path(&around, 1.0, THIN_LINE);
            self.board.fill(corners);
        }
    }

    /// Where nothing may be built.
    pub(super) fn no_build(&mut self) {
        for area in &self.subject.job.no_build {
            let corners = self.path(&area.corners);
            self.ground
                .append(polygon(&corners, "none", NO_BUILD_PEN).set("class", "no-build"));
            let around: Vec<Xy> = corners.iter().chain(corners.first()).copied().collect();
            self.take_path(&around, 1.0, THIN_LINE);
        }
    }

    /// The names of buildings and of where nothing may be built.
    pub(super) fn building_labels(&mut self) {
        let job = self.subject.job;
        for building in job.buildings.iter().chain(&job.no_build) {
            let corners = self.path(&building.corners);
            let count = u32::try_from(corners.len()).unwrap_or(u32::MAX).max(1);
            let middle = corners
                .iter()
                .copied()
                .fold(Xy::ZERO, Xy::plus)
                .times(1.0 / f64::from(count));
            let label = Label::new(Type::bold(8.0), [building.name.clone()]);
            let seats = [0.0, 12.0, -12.0, 24.0, -24.0].map(|down| Seat {
                center: middle.plus(Xy::new(0.0, down)),
                along: Xy::ACROSS,
            });
            // The lines of the building itself are no reason to move.
            let free = |seat: &Seat| self.board.cost(&label.covers(*seat)) < TEXT;
            let first = seats.iter().position(free).unwrap_or(0);
            let seats = seats.get(first..=first).unwrap_or_default();
            self.write(&label, seats.to_vec());
        }
    }

    /// Utilities with their tolerance zones, and obstacles. The marks of the job
    /// are the utilities of the file, then its obstacles.
    pub(super) fn marks(&mut self) {
        let utilities = &self.subject.file.utility;
        for (i, mark) in self.subject.job.marks.iter().enumerate() {
            match utilities.get(i) {
                Some(table) => self.utility(mark, utility_color(table.kind)),
                None => self.obstacle(mark),
            }
        }
    }

    fn utility(&mut self, mark: &Mark, color: &'static str) {
        let path = self.path(&mark.path);
        let width = mark.width.feet();
        if let Some(zone) = mark.zone {
            let reach = self.paper.long(width + 2.0 * zone.feet());
            self.ground.append(band(&path, color, reach));
        }
        self.lines
            .append(utility(&path, color, self.paper.long(width)));
        self.take_path(&path, 2.0, THIN_LINE);
        if let [only] = path.as_slice() {
            self.symbols
                .append(circle(*only, 2.0, color, Pen::new(color, 0.5)));
        }
    }

    fn obstacle(&mut self, mark: &Mark) {
        let path = self.path(&mark.path);
        let width = self.paper.long(mark.width.feet());
        if let [only] = path.as_slice() {
            let radius = (width / 2.0).max(LEAST_OBSTACLE);
            self.ground
                .append(circle(*only, radius, OBSTACLE_FILL, OBSTACLE_PEN));
            self.board.take(Tilted::around(*only, radius), SYMBOL);
            return;
        }
        self.ground
            .append(polyline(&path, Pen::new(OBSTACLE_FILL, width.max(2.0))));
        self.take_path(&path, width.max(2.0), THIN_LINE);
    }

    pub(super) fn mark_labels(&mut self) {
        let utilities = &self.subject.file.utility;
        for (i, mark) in self.subject.job.marks.iter().enumerate() {
            let color = utilities
                .get(i)
                .map_or("black", |table| utility_color(table.kind));
            let label = Label::new(Type::bold(6.0).colored(color), [mark.name.clone()]);
            let path = self.path(&mark.path);
            if let [only] = path.as_slice() {
                let radius = self.paper.long(mark.width.feet()) / 2.0;
                self.write_at(&label, *only, radius.max(LEAST_OBSTACLE), Xy::ACROSS);
            } else {
                self.write_along_path(&label, &path);
            }
        }
    }

    /// Writes a label beside the visible parts of a path, the longest part first;
    /// where there is no room, at the end of a leader from its middle.
    fn write_along_path(&mut self, label: &Label, path: &[Xy]) {
        let mut parts: Vec<(Xy, Xy)> = path
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => self.paper.area.part(*a, *b),
                _ => None,
            })
            .collect();
        parts.sort_by(|(a, b), (c, d)| {
            let (first, second) = (b.minus(*a).length(), d.minus(*c).length());
            second.total_cmp(&first)
        });
        let mut seats = Vec::new();
        for (a, b) in &parts {
            let along = b.minus(*a).unit().readable();
            for share in [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9] {
                for gap in [2.0, -2.0, 7.0, -7.0] {
                    let away = gap + label.half().y * f64::signum(gap);
                    seats.push(Seat {
                        center: a.between(*b, share).plus(along.right().times(away)),
                        along,
                    });
                }
            }
        }
        let cheap = seats
            .iter()
            .any(|seat| self.board.cost(&label.covers(*seat)) < TEXT);
        match parts.first() {
            Some((a, b)) if !cheap => self.write_at(label, a.between(*b, 0.5), 1.0, Xy::ACROSS),
            _ => self.write(label, seats),
        }
    }

    /// The pieces of the line inside the lot, where it is not in one: they show why
    /// no fence goes from one to the other.
    pub(super) fn pieces(&mut self) {
        let offset = &self.subject.report.offset;
        if offset.pieces() > 1 {
            for ring in offset.rings() {
                let joins = joins(ring.ring(), self.paper);
                self.ground
                    .append(outline(&joins, "none", PIECE_PEN).set("class", "piece"));
            }
        }
    }

    pub(super) fn lot_line(&mut self) {
        let lot = &self.subject.report.lot;
        for i in 0..lot.ring().len() {
            let (a, b) = lot.ring().ends(i);
            let (from, to) = (self.paper.at(a.at), self.paper.at(b.at));
            let class = if lot.is_pinned(i) {
                "lot pinned"
            } else {
                "lot"
            };
            let side = lot.ring().sides().get(i).copied().unwrap_or(Side::Line);
            if side == Side::Line {
                self.lines
                    .append(line(from, to, LOT_PEN).set("class", class));
                self.board.take(Tilted::line(from, to, 1.0), LOT_LINE);
                continue;
            }
            let between = side.places_between(a.at, b.at, CHORDS_OF_ARC);
            let between = between.into_iter().map(|place| self.paper.at(place));
            let path: Vec<Xy> = std::iter::once(from).chain(between).chain([to]).collect();
            self.lines
                .append(polyline(&path, LOT_PEN).set("class", class));
            self.take_path(&path, 1.0, LOT_LINE);
        }
    }

    /// The corners of the lot, over the posts that stand close to them.
    pub(super) fn corners(&mut self) {
        let lot = &self.subject.report.lot;
        for (i, place) in lot.ring().corners().iter().enumerate() {
            let at = self.paper.at(place.at);
            let standing = self.subject.standing(i);
            if standing == Standing::Predicted {
                let radius = self
                    .search(i)
                    .map_or(0.0, |radius| self.paper.long(radius.feet()));
                self.symbols.append(search(at, radius));
                self.board
                    .take(Tilted::around(at, radius.max(LEAST_SEARCH)), THIN_LINE);
            }
            let name = crate::drawing::shapes::printable(&place.name);
            self.symbols.append(
                corner(standing, at)
                    .set("class", "corner")
                    .set("data-name", name),
            );
            self.board.take(Tilted::around(at, 4.5), SYMBOL);
        }
    }

    /// How far around the place of corner `i` to search.
    fn search(&self, i: usize) -> Option<Length> {
        self.subject.report.lot.fitted(i)?.search_radius
    }

    pub(super) fn corner_labels(&mut self) {
        let middle = self.middle();
        let lot = &self.subject.report.lot;
        for (i, place) in lot.ring().corners().iter().enumerate() {
            let at = self.paper.at(place.at);
            let (style, second) = match self.subject.standing(i) {
                Standing::Accepted => (Type::bold(9.0), None),
                Standing::Found => (
                    Type::bold(7.0).colored(WARNING),
                    Some("pin not accepted".to_owned()),
                ),
                Standing::Predicted => (
                    Type::bold(7.0).colored(WARNING),
                    Some(self.search(i).map_or_else(
                        || "no pin: by deed only".to_owned(),
                        |radius| format!("SEARCH HERE, {} around", crew(radius)),
                    )),
                ),
            };
            let label = Label::new(style, std::iter::once(place.name.clone()).chain(second));
            self.write_at(&label, at, 4.5, at.minus(middle));
        }
    }

    /// Bearing and distance of each side, outside the lot.
    pub(super) fn side_labels(&mut self) {
        let ring = self.subject.report.lot.ring();
        for i in 0..ring.len() {
            let (a, b) = ring.ends(i);
            let (from, to) = (self.paper.at(a.at), self.paper.at(b.at));
            let bearing = ring.direction(i).bearing().to_text(AngleStyle::SECONDS);
            let length = ring.side_length(i).to_text(LengthStyle::RECORD);
            let long = to.minus(from);
            let one_line = format!("{bearing}   {length}");
            let style = Type::plain(6.8);
            let mut lines = if let Some(radius) = ring.radius(i) {
                let radius = radius.to_text(LengthStyle::RECORD);
                vec![
                    format!("chord {bearing}"),
                    format!("arc {length}"),
                    format!("radius {radius}"),
                ]
            } else if style.width(&one_line) <= long.length() * 0.9 {
                vec![one_line]
            } else {
                vec![bearing, length]
            };
            if !self.subject.report.lot.is_pinned(i) {
                lines.push("NOT PINNED".to_owned());
            }
            let outward = match ring.interior() {
                Turn::Left => long.unit().right(),
                Turn::Right => long.unit().right().times(-1.0),
            };
            // Labels keep off an arc as off a chord: how far it bows out, or in.
            let bow = (ring.sides().get(i))
                .and_then(|side| side.places_between(a.at, b.at, 2).into_iter().next())
                .map_or(0.0, |place| {
                    let middle = self.paper.at(place).minus(from.between(to, 0.5));
                    middle.dot(outward)
                });
            let label = Label::new(style, lines);
            let mut seats = Vec::new();
            for gap in [4.0, 8.0, 14.0, 22.0, 32.0, -8.0, -14.0, 44.0, -22.0] {
                let beyond = if gap > 0.0 {
                    bow.max(0.0)
                } else {
                    bow.min(0.0)
                };
                for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
                    seats.push(Seat {
                        center: from
                            .between(to, share)
                            .plus(outward.times(gap + beyond + label.half().y * f64::signum(gap))),
                        along: long.unit().readable(),
                    });
                }
            }
            self.write(&label, seats);
        }
    }
}
