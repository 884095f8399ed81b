//! A run seen from its outside, drawn to scale: ground, posts, sections, gates
//! and what is marked along it. A long run is cut into rows.
//!
//! The wanderer walks from left to right, so that stations grow to the right.

use fence_geom::{
    Fill, Length, LengthStyle, PostKind, Product, RunReport, SectionReport, Shift, Side,
};
use svg::Document;
use svg::node::element::Group;

use super::shapes::{Pen, Type, Xy, figure, line, placed, polygon, polyline, printable, rectangle};
use super::symbols::{CUT_FILL, INK, PALE, WARNING, utility_color};
use crate::finding_words::crew;
use crate::ground_words::inches;
use crate::job_file::JobFile;

/// The width of the drawing, in points.
const WIDTH: f64 = 740.0;
/// Room at both sides, for posts past the ends and their stations.
const SIDE: f64 = 34.0;
/// The most feet of run in a row.
const ROW_FEET: f64 = 64.0;
/// The fewest feet that a row has room for.
const LEAST_FEET: f64 = 16.0;
/// Room for the title.
const HEAD: f64 = 30.0;
/// Room below a row for stations.
const FOOT: f64 = 44.0;

/// A run to be drawn. All figures are feet, stations level from its start, heights
/// above one datum.
pub(crate) struct Elevation {
    pub(crate) title: String,
    /// How stations are taped.
    pub(crate) stations: &'static str,
    pub(crate) length: f64,
    pub(crate) ground: Vec<(f64, f64)>,
    pub(crate) posts: Vec<ElevationPost>,
    pub(crate) sections: Vec<ElevationSection>,
    pub(crate) marks: Vec<ElevationMark>,
}

/// A post to be drawn.
pub(crate) struct ElevationPost {
    pub(crate) station: f64,
    pub(crate) width: f64,
    pub(crate) ground: f64,
    pub(crate) stands_out: f64,
    /// How deep it goes; none where no hole is dug here.
    pub(crate) depth: Option<f64>,
    pub(crate) kind: PostKind,
    pub(crate) by_hand: bool,
}

/// A section to be drawn.
pub(crate) struct ElevationSection {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) bottom_from: f64,
    pub(crate) bottom_to: f64,
    pub(crate) height: f64,
    pub(crate) look: Look,
    pub(crate) label: String,
    /// A gap over its limit: where, and how much in words.
    pub(crate) over: Option<(f64, String)>,
}

/// How a section looks.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Look {
    Full,
    Cut,
    Bay,
    Gate,
}

/// A stretch of a run and what is marked there.
pub(crate) struct ElevationMark {
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// Empty where the stretch is within another of the same name.
    pub(crate) name: String,
    pub(crate) color: &'static str,
}

impl Elevation {
    /// The elevation of a run of a job.
    pub(crate) fn of_run(file: &JobFile, product: &Product, run: &RunReport) -> Self {
        let ground = run.ground.as_ref();
        let gap = product.slope.least_gap;
        let panel = product.height.minus(gap).magnitude();
        let posts = (run.posts.iter().enumerate()).map(|(i, post)| {
            let spec = product.posts.of(post.kind);
            let on_ground = ground.and_then(|ground| ground.posts.get(i));
            ElevationPost {
                station: post.station.feet(),
                width: spec.width.feet(),
                ground: on_ground.map_or(0.0, |post| post.ground.feet()),
                stands_out: on_ground
                    .map_or(product.height + product.slope.post_above, |post| {
                        post.stands_out
                    })
                    .feet(),
                depth: post.hole.then(|| spec.depth.feet()),
                kind: post.kind,
                by_hand: !post.by_hand.is_empty(),
            }
        });
        let sections = (run.sections.iter().enumerate()).map(|(i, section)| {
            let on_ground = ground.and_then(|ground| ground.sections.get(i));
            let (from, to) = on_ground.map_or((gap.forward(), gap.forward()), |section| {
                (section.bottom_from, section.bottom_to)
            });
            let (look, label) = look(section);
            let (from_station, to_station) = drawn_between(run, section);
            ElevationSection {
                from: from_station,
                to: to_station,
                bottom_from: from.feet(),
                bottom_to: to.feet(),
                height: panel.feet(),
                look,
                label,
                over: on_ground
                    .filter(|section| section.over > Length::ZERO)
                    .map(|section| (section.largest_at.feet(), crew(section.largest_gap))),
            }
        });
        Self {
            title: format!(
                "RUN {}: {} to {}, {}",
                run.name,
                run.from,
                run.to,
                crew(run.length)
            ),
            stations: match run.shape {
                Side::Line => "TAPE LEVEL",
                Side::Arc { .. } => "along the arc, drawn unrolled,",
            },
            length: run.length.feet(),
            ground: ground.map_or_else(
                || vec![(0.0, 0.0), (run.length.feet(), 0.0)],
                |ground| {
                    let readings = ground.profile.readings().iter();
                    let point = |reading: &fence_geom::GroundReading| {
                        (reading.station.feet(), reading.height.feet())
                    };
                    readings.map(point).collect()
                },
            ),
            posts: posts.collect(),
            sections: sections.collect(),
            marks: marks(file, run),
        }
    }

    /// Draws it, as wide as a page.
    pub(crate) fn document(&self) -> Document {
        let rows = self.rows();
        let height = HEAD + rows.iter().map(Row::height).sum::<f64>();
        let mut document = Document::new()
            .set("width", format!("{}in", WIDTH / 72.0))
            .set("height", format!("{}in", figure(height / 72.0)))
            .set("viewBox", format!("0 0 {WIDTH} {}", figure(height)))
            .add(svg::node::element::Title::new(printable(&self.title)))
            .add(rectangle(
                Xy::ZERO,
                Xy::new(WIDTH, height),
                "white",
                Pen::new("none", 0.0),
            ))
            .add(Type::bold(10.0).text(Xy::new(SIDE, 13.0), &self.title))
            .add(Type::plain(6.6).text(
                Xy::new(SIDE, 23.0),
                &format!(
                    "Elevation to scale. Stations: {} from the start to post centers. Have buried lines marked before any hole.",
                    self.stations
                ),
            ));
        let mut top = HEAD;
        for row in &rows {
            document = document.add(row.drawn(self, top));
            top += row.height();
        }
        document
    }

    /// The elevation as an SVG file.
    pub(crate) fn svg(&self) -> String {
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
            self.document()
        )
    }

    /// Rows of about one length, broken at posts.
    fn rows(&self) -> Vec<Row> {
        // No run is so long that more rows would be read.
        let count = (self.length / ROW_FEET).ceil().clamp(1.0, 100.0);
        let share = self.length / count;
        let mut breaks = vec![0.0];
        let mut next = share;
        while next < self.length - share / 2.0 {
            let to_next = |post: &&ElevationPost| (post.station - next).abs();
            let nearest = (self.posts.iter())
                .min_by(|a, b| to_next(a).total_cmp(&to_next(b)))
                .map_or(next, |post| post.station);
            if breaks.last().is_some_and(|last| nearest > *last) {
                breaks.push(nearest);
            }
            next += share;
        }
        breaks.push(self.length);
        let rows = breaks.iter().zip(breaks.iter().skip(1));
        let longest = (rows.clone())
            .map(|(from, to)| to - from)
            .fold(LEAST_FEET, f64::max);
        rows.map(|(from, to)| Row::new(self, *from, *to, longest))
            .collect()
    }

    /// The ground at a station.
    fn ground_at(&self, station: f64) -> f64 {
        let mut pieces = self.ground.iter().zip(self.ground.iter().skip(1));
        let found = pieces.clone().find(|(_, after)| station <= after.0);
        match found.or_else(|| pieces.next_back()) {
            Some((before, after)) => {
                let share = (station - before.0) / (after.0 - before.0);
                before.1 + (after.1 - before.1) * share.clamp(0.0, 1.0)
            }
            None => 0.0,
        }
    }
}

/// Where a section is drawn. A chord on a line that curves into the yard is longer than
/// the string beside it, so there it ends where the next post does.
fn drawn_between(run: &RunReport, section: &SectionReport) -> (f64, f64) {
    let from = section.from.feet();
    let to = from + section.clear.feet();
    let mut posts = run.posts.iter().map(|post| post.station.feet());
    let next = posts.find(|station| *station > from);
    let fits = run.arc.is_some().then_some(next).flatten();
    (from, fits.map_or(to, |next| to.min(next)))
}

fn look(section: &SectionReport) -> (Look, String) {
    let rail = inches(section.rail);
    match &section.fill {
        Fill::Full => (Look::Full, rail),
        Fill::Cut => (Look::Cut, cut_label(section.rail, section.saw)),
        Fill::Bay => (Look::Bay, rail),
        Fill::Gate(gate) => (
            Look::Gate,
            format!("{} {}", gate.name, inches(section.clear)),
        ),
    }
}

/// A cut by what it fills, and by what to saw where that is another length.
pub(super) fn cut_label(rail: Length, saw: Option<Length>) -> String {
    let (rail, saw) = (inches(rail), saw.map(inches));
    match saw.filter(|saw| *saw != rail) {
        Some(saw) => format!("CUT {rail} saw {saw}"),
        None => format!("CUT {rail}"),
    }
}

fn marks(file: &JobFile, run: &RunReport) -> Vec<ElevationMark> {
    let known = |name: &str| file.utility.iter().find(|utility| utility.name == name);
    let near = run.hand_dig.iter().map(|near| (near, true));
    let near = near.chain(run.no_dig.iter().map(|near| (near, false)));
    near.filter(|((stretch, _), _)| stretch.to > Shift::ZERO && stretch.from < run.length.forward())
        .map(|((stretch, name), by_hand)| {
            let named = by_hand || !run.hand_dig.iter().any(|(_, other)| other == name);
            ElevationMark {
                from: stretch.from.feet(),
                to: stretch.to.feet(),
                name: if named { name.clone() } else { String::new() },
                color: known(name).map_or(PALE, |utility| utility_color(utility.kind)),
            }
        })
        .collect()
}

/// A part of a run on one line of the page.
struct Row {
    from: f64,
    to: f64,
    /// How far past its end what stands there still belongs to it.
    past: f64,
    /// Points in a foot.
    scale: f64,
    /// The highest and the lowest place in it, in feet.
    highest: f64,
    lowest: f64,
}

impl Row {
    /// `feet` is what the width of the page holds; rows of one run have one scale.
    fn new(elevation: &Elevation, from: f64, to: f64, feet: f64) -> Self {
        let mut row = Self {
            from,
            to,
            past: if to < elevation.length { 0.01 } else { 2.0 },
            scale: (WIDTH - 2.0 * SIDE) / feet,
            highest: f64::MIN,
            lowest: f64::MAX,
        };
        let ends = [from, to].map(|station| elevation.ground_at(station));
        let between = (elevation.ground.iter()).filter(|point| row.holds(point.0));
        let mut heights: Vec<f64> = ends
            .into_iter()
            .chain(between.map(|point| point.1))
            .collect();
        for post in elevation
            .posts
            .iter()
            .filter(|post| row.holds(post.station))
        {
            heights.push(post.ground + post.stands_out);
            heights.push(post.ground - post.depth.unwrap_or_default());
        }
        for section in elevation
            .sections
            .iter()
            .filter(|section| row.shows(section))
        {
            let high = section.bottom_from.max(section.bottom_to);
            heights.push(high + section.height);
        }
        for height in heights {
            row.highest = row.highest.max(height);
            row.lowest = row.lowest.min(height);
        }
        row
    }

    fn holds(&self, station: f64) -> bool {
        // What stands past an end of the run belongs to its row.
        let first = self.from <= 0.0 && station < 0.0;
        first || (self.from <= station && station <= self.to + self.past)
    }

    /// A section belongs to the row that its middle is in.
    fn shows(&self, section: &ElevationSection) -> bool {
        let middle = section.from.midpoint(section.to);
        self.from <= middle && middle < self.to
    }

    fn height(&self) -> f64 {
        (self.highest - self.lowest) * self.scale + FOOT
    }

    fn at(&self, top: f64, station: f64, height: f64) -> Xy {
        Xy::new(
            SIDE + (station - self.from) * self.scale,
            top + 8.0 + (self.highest - height) * self.scale,
        )
    }

    fn drawn(&self, elevation: &Elevation, top: f64) -> Group {
        let mut group = Group::new();
        for mark in
            (elevation.marks.iter()).filter(|mark| mark.to > self.from && mark.from < self.to)
        {
            group = group.add(self.mark(elevation, mark, top));
        }
        for section in (elevation.sections.iter()).filter(|section| self.shows(section)) {
            group = group.add(self.section(elevation, section, top));
        }
        group = group.add(polyline(
            &self.ground(elevation, top),
            Pen::new("#6b4f2a", 1.6),
        ));
        let posts = elevation
            .posts
            .iter()
            .filter(|post| self.holds(post.station));
        for (i, post) in posts.enumerate() {
            group = group.add(self.post(post, top, i % 2 == 1));
        }
        group
    }

    fn ground(&self, elevation: &Elevation, top: f64) -> Vec<Xy> {
        let inside = |point: &&(f64, f64)| self.from < point.0 && point.0 < self.to;
        let end = |station: f64| (station, elevation.ground_at(station));
        std::iter::once(end(self.from))
            .chain(elevation.ground.iter().filter(inside).copied())
            .chain(std::iter::once(end(self.to)))
            .map(|(station, height)| self.at(top, station, height))
            .collect()
    }

    /// A band below the ground, with its name.
    fn mark(&self, elevation: &Elevation, mark: &ElevationMark, top: f64) -> Group {
        let (from, to) = (mark.from.max(self.from), mark.to.min(self.to));
        let ends = [from, to].map(|station| self.at(top, station, elevation.ground_at(station)));
        let bottom = top + 8.0 + (self.highest - self.lowest) * self.scale;
        let band = [
            ends[0],
            ends[1],
            Xy::new(ends[1].x, bottom),
            Xy::new(ends[0].x, bottom),
        ];
        let middle = Xy::new(ends[0].x.midpoint(ends[1].x), bottom - 2.0);
        Group::new()
            .add(Group::new().set("opacity", "0.25").add(polygon(
                &band,
                mark.color,
                Pen::new("none", 0.0),
            )))
            .add(Type::plain(5.6).centered(middle, &mark.name))
    }

    fn section(&self, elevation: &Elevation, section: &ElevationSection, top: f64) -> Group {
        let corner = |station: f64, height: f64| self.at(top, station, height);
        let high = section.height;
        let corners = [
            corner(section.from, section.bottom_from),
            corner(section.to, section.bottom_to),
            corner(section.to, section.bottom_to + high),
            corner(section.from, section.bottom_from + high),
        ];
        let fill = match section.look {
            Look::Cut => CUT_FILL,
            Look::Full | Look::Bay | Look::Gate => "white",
        };
        let mut group = Group::new().add(polygon(&corners, fill, Pen::new(INK, 0.6)));
        if section.look == Look::Gate {
            let pen = Pen::new(PALE, 0.3).dashed("3 2");
            group = group
                .add(line(corners[0], corners[2], pen))
                .add(line(corners[1], corners[3], pen));
        }
        let middle = corners[0].between(corners[2], 0.5);
        let style = match section.look {
            Look::Cut | Look::Gate => Type::bold(6.6),
            Look::Full | Look::Bay => Type::plain(6.0).colored(PALE),
        };
        let room = corners[1].x - corners[0].x - 2.0;
        group = group.add(label(style, &section.label, middle, room));
        if let Some((station, gap)) = &section.over {
            // Beside the hole of the post that the gap mostly ends at.
            let middle = section.from.midpoint(section.to);
            let aside = station + (middle - station).clamp(-2.0, 2.0);
            let at = self.at(top, aside, elevation.ground_at(aside));
            let words = format!("gap {gap}");
            let style = Type::bold(6.0).colored(WARNING);
            group = group.add(style.centered(at.plus(Xy::new(0.0, 8.0)), &words));
        }
        group
    }

    fn post(&self, post: &ElevationPost, top: f64, low: bool) -> Group {
        let foot = self.at(top, post.station, post.ground);
        let head = self.at(top, post.station, post.ground + post.stands_out);
        let width = (post.width * self.scale).max(2.4);
        let shaft = |top: f64, bottom: f64, fill, pen| {
            let corner = Xy::new(foot.x - width / 2.0, top);
            rectangle(corner, Xy::new(width, bottom - top), fill, pen)
        };
        let fill = match post.kind {
            PostKind::Line | PostKind::Step | PostKind::End | PostKind::Pull => "#dddddd",
            _ => INK,
        };
        let mut group = Group::new().add(shaft(head.y, foot.y, fill, Pen::new(INK, 0.6)));
        if let Some(depth) = post.depth {
            let bottom = self.at(top, post.station, post.ground - depth);
            let pen = Pen::new(INK, 0.5).dashed("2 1.5");
            group = group.add(shaft(foot.y, bottom.y, "none", pen));
        }
        let base = top + 8.0 + (self.highest - self.lowest) * self.scale;
        let down = if low { 18.0 } else { 10.0 };
        let seat = Xy::new(foot.x, base + down);
        let station = Shift::from_feet(post.station).unwrap_or_default();
        let words = station.to_text(LengthStyle::CREW);
        let (style, words) = if post.by_hand {
            (Type::bold(6.2).colored(WARNING), format!("{words} BY HAND"))
        } else {
            (Type::plain(6.2), words)
        };
        group
            .add(line(
                Xy::new(foot.x, base + 1.0),
                Xy::new(foot.x, seat.y - 6.0),
                Pen::new(PALE, 0.3),
            ))
            .add(style.centered(seat, &words))
    }
}

/// A text about a middle, folded; where a word of it is wider than the room it
/// stands upright, because a size must never be cut off.
fn label(style: Type, text: &str, middle: Xy, room: f64) -> Group {
    if text.split_whitespace().any(|word| style.width(word) > room) {
        let up = Xy::new(0.0, -1.0);
        let base = middle.plus(Xy::new(style.size / 3.0, 0.0));
        return placed(base, up).add(style.centered(Xy::new(0.0, 0.0), text));
    }
    let lines = style.folded(text, room, 4);
    (lines.iter().zip(0_u8..)).fold(Group::new(), |group, (text, row)| {
        let down = Xy::new(0.0, 7.5 * f64::from(row));
        group.add(style.centered(middle.plus(down), text))
    })
}
