//! The picture of a tract: its courses drawn to scale with their calls along
//! them, and what they miss by.

use fence_geom::{Angle, Point, Side, Turn};
use svg::Node;
use svg::node::element::Group;

use super::labels::{Board, LOT_LINE, Label, SYMBOL, Seat, Tilted};
use super::panel::{self, Banner};
use super::paper::{Extent, Paper};
use super::shapes::{Bend, Pen, Type, Xy, circle, curve, line, printable};
use super::symbols::{INK, WARNING};
use super::{Sheet, svg_file};

const COURSE_PEN: Pen = Pen::new(INK, 1.1);
const GAP_PEN: Pen = Pen::new(WARNING, 1.1);
/// How many pieces of an arc stand for it where room is looked for.
const PIECES: u16 = 24;
/// A gap shorter than this on paper, in points, can't be seen.
const LEAST_GAP: f64 = 3.0;

/// A tract to draw.
pub(crate) struct TractPicture {
    /// What it is called.
    pub(crate) name: String,
    /// What is written beside it.
    pub(crate) facts: Vec<String>,
    /// What must be read first: a heading and its sentence.
    pub(crate) warning: Option<(&'static str, String)>,
    /// What the calls are.
    pub(crate) courses: Vec<CoursePicture>,
    /// The misclosure in words, where there is one to show.
    pub(crate) misclosure: Option<String>,
    pub(crate) cautions: Vec<&'static str>,
}

/// A course to draw.
pub(crate) struct CoursePicture {
    /// The corner it starts from.
    pub(crate) corner: String,
    pub(crate) from: Point,
    pub(crate) to: Point,
    pub(crate) side: Side,
    /// Its bearing and its distance; of a curve, what is written in the table.
    pub(crate) words: Vec<String>,
}

/// Returns the picture as an SVG file.
pub(crate) fn tract_svg(picture: &TractPicture) -> String {
    let places = picture.courses.iter().flat_map(CoursePicture::places);
    let extent = Extent::of(places).unwrap_or(Extent::ORIGIN);
    // Which courses go into the table depends on the scale, which depends on how much
    // room the table takes: the scale without one decides.
    let bare = picture.sheet(extent, &[]);
    let mut tagged = Vec::new();
    bare.drawn(|paper| {
        tagged = picture.tagged(paper);
        Group::new()
    });
    let drawn = picture
        .sheet(extent, &tagged)
        .drawn(|paper| Plot::new(picture, paper, &tagged).drawn());
    svg_file(&drawn)
}

/// A course that has a number in the plan and its words in the table.
struct Tag {
    course: usize,
    number: String,
}

impl TractPicture {
    fn sheet(&self, extent: Extent, tagged: &[Tag]) -> Sheet<'_, impl Fn(f64) -> Vec<Banner>> {
        let entries: Vec<String> = tagged
            .iter()
            .filter_map(|tag| {
                let words = self.courses.get(tag.course)?.words.join("  ");
                Some(format!("{}  {words}", tag.number))
            })
            .collect();
        Sheet {
            title: &self.name,
            extent,
            blocks: [
                panel::facts(&self.name, &self.facts),
                panel::table(&entries),
                panel::cautions(&self.cautions),
            ],
            banners: |width| {
                let banner = self
                    .warning
                    .as_ref()
                    .map(|(heading, words)| Banner::new(heading, words, WARNING, width));
                banner.into_iter().collect()
            },
        }
    }

    /// The curves, and the lines that have no room for their words.
    fn tagged(&self, paper: &Paper) -> Vec<Tag> {
        let (mut lines, mut curves) = (0, 0);
        let mut tags = Vec::new();
        for (course, drawn) in self.courses.iter().enumerate() {
            let long = paper.at(drawn.to).minus(paper.at(drawn.from)).length();
            let number = match drawn.side {
                Side::Arc { .. } => {
                    curves += 1;
                    format!("C{curves}")
                }
                Side::Line if label(&drawn.words, long).half().x * 2.0 > long => {
                    lines += 1;
                    format!("L{lines}")
                }
                Side::Line => continue,
            };
            tags.push(Tag { course, number });
        }
        tags
    }
}

impl CoursePicture {
    /// Its ends, and places on the way where it is curved.
    fn places(&self) -> Vec<Point> {
        let between = self.side.places_between(self.from, self.to, PIECES);
        [vec![self.from], between, vec![self.to]].concat()
    }
}

/// The plan while it is drawn.
struct Plot<'a> {
    picture: &'a TractPicture,
    paper: &'a Paper,
    tagged: &'a [Tag],
    board: Board,
    lines: Group,
    symbols: Group,
    words: Group,
}

impl<'a> Plot<'a> {
    fn new(picture: &'a TractPicture, paper: &'a Paper, tagged: &'a [Tag]) -> Self {
        Self {
            picture,
            paper,
            tagged,
            board: Board::new(paper.area),
            lines: Group::new().set("class", "courses"),
            symbols: Group::new(),
            words: Group::new(),
        }
    }

    fn drawn(mut self) -> Group {
        for course in &self.picture.courses {
            self.course(course);
        }
        self.gap();
        let middle = self.middle();
        for course in &self.picture.courses {
            self.corner_label(course, middle);
        }
        for (i, course) in self.picture.courses.iter().enumerate() {
            self.course_label(i, course, middle);
        }
        Group::new()
            .set("id", "plan")
            .add(self.lines)
            .add(self.symbols)
            .add(self.words)
    }

    fn path(&self, course: &CoursePicture) -> Vec<Xy> {
        let places = course.places().into_iter();
        places.map(|place| self.paper.at(place)).collect()
    }

    /// The middle of the corners on the page; labels look away from it.
    fn middle(&self) -> Xy {
        let count = u32::try_from(self.picture.courses.len()).unwrap_or(u32::MAX);
        let corners = self.picture.courses.iter();
        corners
            .map(|course| self.paper.at(course.from))
            .fold(Xy::ZERO, Xy::plus)
            .times(1.0 / f64::from(count.max(1)))
    }

    fn course(&mut self, course: &CoursePicture) {
        let path = self.path(course);
        let (from, to) = (self.paper.at(course.from), self.paper.at(course.to));
        match course.side {
            Side::Line => self.lines.append(line(from, to, COURSE_PEN)),
            Side::Arc { delta, turn } => {
                let half = delta.radians() / 2.0;
                let bend = Bend {
                    radius: to.minus(from).length() / 2.0 / half.sin(),
                    is_long: delta > Angle::STRAIGHT,
                    to_right: turn == Turn::Right,
                };
                self.lines.append(curve(from, to, bend, COURSE_PEN));
            }
        }
        for pair in path.windows(2) {
            if let [a, b] = pair {
                self.board.take(Tilted::line(*a, *b, 1.0), LOT_LINE);
            }
        }
        let mark = circle(from, 2.2, "white", Pen::new(INK, 0.9));
        self.symbols.append(
            mark.set("class", "corner")
                .set("data-name", printable(&course.corner)),
        );
        self.board.take(Tilted::around(from, 3.0), SYMBOL);
    }

    /// The line of the misclosure, where it is long enough to see, and its words.
    fn gap(&mut self) {
        let (Some(words), Some(first), Some(last)) = (
            &self.picture.misclosure,
            self.picture.courses.first(),
            self.picture.courses.last(),
        ) else {
            return;
        };
        let (from, to) = (self.paper.at(last.to), self.paper.at(first.from));
        if to.minus(from).length() >= LEAST_GAP {
            self.lines
                .append(line(from, to, GAP_PEN).set("class", "misclosure"));
            self.board.take(Tilted::line(from, to, 1.0), LOT_LINE);
        } else {
            let ring = circle(to, 5.5, "none", Pen::new(WARNING, 0.8));
            self.symbols.append(ring.set("class", "misclosure"));
        }
        let label = Label::new(Type::bold(7.0).colored(WARNING), [words.clone()]);
        let seats = label.around(from.between(to, 0.5), 6.0, to.minus(self.middle()));
        self.write(&label, seats);
    }

    fn corner_label(&mut self, course: &CoursePicture, middle: Xy) {
        let at = self.paper.at(course.from);
        let label = Label::new(Type::bold(8.0), [course.corner.clone()]);
        let seats = label.around(at, 3.0, at.minus(middle));
        self.write(&label, seats);
    }

    fn course_label(&mut self, i: usize, course: &CoursePicture, middle: Xy) {
        let path = self.path(course);
        let tag = self.tagged.iter().find(|tag| tag.course == i);
        let (from, to) = (self.paper.at(course.from), self.paper.at(course.to));
        let long = to.minus(from);
        let label = tag.map_or_else(
            || label(&course.words, long.length()),
            |tag| Label::new(Type::bold(6.8), [tag.number.clone()]),
        );
        let at = path.get(path.len() / 2).copied().unwrap_or(from);
        let on = if course.side == Side::Line {
            from.between(to, 0.5)
        } else {
            at
        };
        let right = long.unit().right();
        let outward = if right.dot(on.minus(middle)) < 0.0 {
            right.times(-1.0)
        } else {
            right
        };
        let along = if tag.is_some() {
            Xy::ACROSS
        } else {
            long.unit().readable()
        };
        let mut seats = Vec::new();
        for gap in [3.0, 7.0, 13.0, -3.0, -8.0, 20.0, -14.0, 30.0] {
            for share in [0.0, -0.1, 0.1, -0.2, 0.2, -0.3, 0.3] {
                let off = gap + label.half().y * f64::signum(gap);
                seats.push(Seat {
                    center: on.plus(long.times(share)).plus(outward.times(off)),
                    along,
                });
            }
        }
        self.write(&label, seats);
    }

    fn write(&mut self, label: &Label, seats: Vec<Seat>) {
        if let Some((_, drawn)) = self.board.seat(label, seats) {
            self.words.append(drawn);
        }
    }
}

/// The words of a course, on one line where that is not longer than the course.
fn label(words: &[String], long: f64) -> Label {
    let style = Type::plain(6.8);
    let one_line = words.join("   ");
    if style.width(&one_line) <= long * 0.9 {
        Label::new(style, [one_line])
    } else {
        Label::new(style, words.iter().cloned())
    }
}
