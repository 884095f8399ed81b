//! The fence: strings, sections, posts, gates, flags, and the sizes of each.

use fence_geom::{
    Fill, InchFraction, Length, LengthStyle, RunReport, SectionReport, Shape, Side, Turn,
};
use svg::Node;

use super::Plan;
use crate::drawing::elevation::cut_label;
use crate::drawing::labels::{Board, FENCE, Label, SYMBOL, Seat, TEXT, THIN_LINE, Tilted};
use crate::drawing::shapes::{Type, Xy, circle, line, polyline, printable};
use crate::drawing::symbols::{
    CUT_PEN, DIMENSION_PEN, HOLE_PEN, SECTION_PEN, STRING_PEN, WARNING, flag, hand_dig, leaf, post,
    post_radius, tick, wall,
};
use crate::finding_words::crew;

/// How far the ring of a hand-dug post stands off it.
const RING: f64 = 2.6;

/// Into how many chords a curved string is parted, fine enough for the eye.
const CHORDS_OF_ARC: u16 = 48;

/// What it costs to write the length of a run outside of the yard, where the
/// lengths of the lot's sides are.
const OUTSIDE_YARD: f64 = 40.0;

/// A run on the page.
#[derive(Clone, Copy)]
struct Line {
    start: Xy,
    end: Xy,
    along: Xy,
    yard: Xy,
}

impl Line {
    /// The line of one section, as if it were a run.
    fn beside(self, start: Xy, end: Xy) -> Self {
        let along = end.minus(start).unit();
        let right = along.right();
        let yard = if right.dot(self.yard) < 0.0 {
            right.times(-1.0)
        } else {
            right
        };
        Self {
            start,
            end,
            along,
            yard,
        }
    }

    fn length(self) -> f64 {
        self.end.minus(self.start).length()
    }
}

impl Plan<'_> {
    fn line_of(&self, run: &RunReport) -> Line {
        let (start, end) = (self.paper.at(run.start), self.paper.at(run.end));
        let along = end.minus(start).unit();
        Line {
            start,
            end,
            along,
            yard: match run.yard {
                Turn::Right => along.right(),
                Turn::Left => along.right().times(-1.0),
            },
        }
    }

    pub(super) fn fence(&mut self) {
        let runs = &self.subject.report.runs;
        for run in runs {
            self.string(run);
            for section in &run.sections {
                self.section(section);
            }
        }
        for run in runs {
            self.posts(run);
        }
        for mark in &self.subject.report.flags {
            let at = self.paper.at(mark.at);
            if mark.wall {
                let along = runs
                    .iter()
                    .find(|run| run.from == mark.name || run.to == mark.name)
                    .map_or(Xy::ACROSS, |run| self.line_of(run).along);
                self.symbols.append(wall(at, along));
            } else if mark.settable {
                self.symbols.append(flag(at));
                self.board
                    .take(Tilted::around(at.plus(Xy::new(3.5, -9.5)), 3.5), SYMBOL);
            }
        }
    }

    fn string(&mut self, run: &RunReport) {
        let path = self.string_path(run);
        let name = printable(&run.name);
        match path.as_slice() {
            [start, end] => self.lines.append(
                line(*start, *end, STRING_PEN)
                    .set("class", "string")
                    .set("data-run", name),
            ),
            path => self.lines.append(
                polyline(path, STRING_PEN)
                    .set("class", "string")
                    .set("data-run", name),
            ),
        }
        self.take_path(&path, 2.0, FENCE);
    }

    /// The string from end to end; an arc in chords.
    fn string_path(&self, run: &RunReport) -> Vec<Xy> {
        let between = (run.shape).places_between(run.start, run.end, CHORDS_OF_ARC);
        std::iter::once(run.start)
            .chain(between)
            .chain(std::iter::once(run.end))
            .map(|place| self.paper.at(place))
            .collect()
    }

    fn section(&mut self, section: &SectionReport) {
        let (from, to) = (self.paper.at(section.ends.0), self.paper.at(section.ends.1));
        match &section.fill {
            Fill::Gate(gate) => {
                for ((hinge, shut), open) in gate.hinges.iter().zip(&gate.shut).zip(&gate.open) {
                    let [hinge, shut, open] = [hinge, shut, open].map(|at| self.paper.at(*at));
                    self.symbols.append(leaf(hinge, shut, open));
                    self.board.take(Tilted::line(hinge, open, 1.0), FENCE);
                    self.board.take(Tilted::line(shut, open, 3.0), THIN_LINE);
                }
            }
            Fill::Cut => {
                self.ground.append(line(from, to, CUT_PEN));
                self.lines.append(line(from, to, SECTION_PEN));
            }
            Fill::Full | Fill::Bay => self.lines.append(line(from, to, SECTION_PEN)),
        }
    }

    fn posts(&mut self, run: &RunReport) {
        let along = self.line_of(run).along;
        let posts = self.subject.job.product.posts;
        for report in &run.posts {
            let kind = report.takes;
            let spec = posts.of(kind);
            let at = self.paper.at(report.at);
            let along = run.arc.as_ref().map_or(along, |arc| {
                at.minus(self.paper.at(arc.center)).unit().right()
            });
            let width = self.paper.long(spec.width.feet());
            let radius = post_radius(kind, width);
            let hole = self.paper.long(spec.hole.feet()) / 2.0;
            if report.hole && hole > radius * 1.2 {
                self.ground.append(circle(at, hole, "none", HOLE_PEN));
            }
            if report.hole {
                let round = spec.shape == Shape::Round;
                self.symbols.append(post(kind, round, at, along, width));
            }
            if !report.by_hand.is_empty() {
                self.symbols.append(hand_dig(at, radius + RING));
            }
            self.board.take(Tilted::around(at, radius), FENCE);
        }
    }

    /// The length of each run, on its yard side.
    pub(super) fn run_labels(&mut self) {
        for run in &self.subject.report.runs {
            let on = self.line_of(run);
            let label = Label::new(Type::plain(6.8), run_words(run));
            if run.shape != Side::Line {
                self.write(&label, self.seats_of_arc(run));
                continue;
            }
            let Some((off, seat)) = Board::cheapest(seats_of_run(on), |(off, seat)| {
                let [dimension, extensions @ ..] = dimension_lines(on, *off);
                let extended: f64 = extensions.iter().map(|line| self.board.cost(line)).sum();
                let outside = if *off < 0.0 { OUTSIDE_YARD } else { 0.0 };
                self.board.cost(&label.covers(*seat))
                    + 0.4 * self.board.cost(&dimension)
                    + 0.1 * extended
                    + outside
            }) else {
                continue;
            };
            self.dimension(on, off);
            self.board.take(label.covers(seat), TEXT);
            self.words.append(label.drawn(seat));
        }
    }

    /// Seats beside the middle of a curved run, in the yard before outside of it.
    fn seats_of_arc(&self, run: &RunReport) -> Vec<Seat> {
        let on = self.line_of(run);
        let path = self.string_path(run);
        let parts = path.len() - 1;
        let mut seats = Vec::new();
        for off in [14.0, 20.0, 28.0, 38.0, 50.0, -20.0, -30.0, -44.0] {
            for part in [parts / 2, parts / 3, 2 * parts / 3] {
                let at = path.get(part).copied().unwrap_or(on.start);
                seats.push(Seat {
                    center: at.plus(on.yard.times(off)),
                    along: on.along.readable(),
                });
            }
        }
        seats
    }

    /// A dimension line `off` the string, from end to end.
    fn dimension(&mut self, on: Line, off: f64) {
        let ends = [on.start, on.end].map(|end| (end, end.plus(on.yard.times(off))));
        for (end, far) in ends {
            let from = end.plus(on.yard.times(5.0 * off.signum()));
            let beyond = far.plus(on.yard.times(3.0 * off.signum()));
            self.lines.append(line(from, beyond, DIMENSION_PEN));
            self.lines.append(tick(far, on.along));
            self.board.take(Tilted::line(from, beyond, 0.5), THIN_LINE);
        }
        let [(_, from), (_, to)] = ends;
        self.lines.append(line(from, to, DIMENSION_PEN));
        self.board.take(Tilted::line(from, to, 1.0), THIN_LINE);
    }

    /// The sizes of cut sections, and the names of gates.
    pub(super) fn section_labels(&mut self) {
        for run in &self.subject.report.runs {
            let on = self.line_of(run);
            for section in &run.sections {
                let clear = section
                    .clear
                    .to_text(LengthStyle::Inches(InchFraction::Sixteenth));
                let label = match &section.fill {
                    Fill::Cut => {
                        let words = cut_label(section.rail, section.saw);
                        Label::new(Type::bold(6.0), [words])
                    }
                    Fill::Gate(gate) => {
                        Label::new(Type::bold(6.6), [format!("{} {clear}", gate.name)])
                    }
                    Fill::Full | Fill::Bay => continue,
                };
                let (from, to) = (self.paper.at(section.ends.0), self.paper.at(section.ends.1));
                let middle = from.between(to, 0.5);
                let on = match run.shape {
                    Side::Line => on,
                    Side::Arc { .. } => on.beside(from, to),
                };
                self.write_led(&label, seats_beside(on, middle, &label), middle, 2.5);
            }
        }
    }

    pub(super) fn flag_labels(&mut self) {
        let middle = self.middle();
        for flag in &self.subject.report.flags {
            let at = self.paper.at(flag.at);
            let (style, words) = if flag.wall {
                (Type::plain(6.0), flag.name.clone())
            } else if flag.settable {
                (Type::bold(6.6), format!("flag {}", flag.name))
            } else {
                let words = format!("{}: set no flag", flag.name);
                (Type::bold(6.6).colored(WARNING), words)
            };
            let label = Label::new(style, [words]);
            self.write_at(&label, at, 5.0, middle.minus(at));
        }
    }

    /// What each hand-dug post is near to.
    pub(super) fn post_labels(&mut self) {
        for run in &self.subject.report.runs {
            let yard = self.line_of(run).yard;
            for post in run.posts.iter().filter(|post| !post.by_hand.is_empty()) {
                let near = post.by_hand.join(", ");
                let label = Label::new(
                    Type::bold(5.6).colored(WARNING),
                    [format!("dig by hand: {near}")],
                );
                self.write_at(&label, self.paper.at(post.at), 5.5, yard);
            }
        }
    }
}

/// Name and length of a run; then how far inside the lot line its string is. Two
/// lines, so that the dimension line passes between them.
fn run_words(run: &RunReport) -> Vec<String> {
    let length = crew(run.length);
    let no_layout = run.posts.is_empty() && run.sections.is_empty();
    let (first, mut second) = match run.string_to_line {
        _ if no_layout => (format!("{}  {length}", run.name), "NO LAYOUT".to_owned()),
        None => (run.name.clone(), length),
        Some(inside) => {
            let doubt = run
                .line_sigma
                .plus_minus_95()
                .and_then(|feet| Length::from_feet(feet).ok())
                .map_or_else(|| "unknown".to_owned(), crew);
            (
                format!("{}  {length}", run.name),
                format!("string {} \u{b1} {doubt} inside the line", crew(inside)),
            )
        }
    };
    if !run.pinned {
        second.push_str(", ESTIMATE ONLY");
    }
    vec![first, second]
}

/// What a dimension line and its two extensions cover; without their ends, which
/// lie on the runs before and after, and that is no fault.
fn dimension_lines(on: Line, off: f64) -> [Tilted; 3] {
    let at = |share: f64, off: f64| on.start.between(on.end, share).plus(on.yard.times(off));
    [
        Tilted::line(at(0.05, off), at(0.95, off), 1.0),
        Tilted::line(at(0.0, off * 0.4), at(0.0, off), 0.5),
        Tilted::line(at(1.0, off * 0.4), at(1.0, off), 0.5),
    ]
}

/// Dimension lines at growing distances from the string, with seats on them; those
/// outside of the yard come last.
fn seats_of_run(on: Line) -> Vec<(f64, Seat)> {
    let mut seats = Vec::new();
    for off in [24.0, 30.0, 38.0, 48.0, 60.0, 74.0, -30.0, -44.0, -58.0] {
        for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
            seats.push((
                off,
                Seat {
                    center: on.start.between(on.end, share).plus(on.yard.times(off)),
                    along: on.along.readable(),
                },
            ));
        }
    }
    seats
}

/// Seats beside a section, in the yard before outside of it; past the ends of the
/// run only where the run is too short.
fn seats_beside(on: Line, middle: Xy, label: &Label) -> Vec<Seat> {
    let half = label.half();
    let station = middle.minus(on.start).dot(on.along);
    let least = half.x.min(on.length() / 2.0);
    let inward = station.clamp(least, on.length() - least) - station;
    let mut seats = Vec::new();
    for gap in [5.0, 9.0, 14.0, -6.0, -11.0, 20.0, -17.0, 28.0, -26.0] {
        for shift in [0.0, 8.0, -8.0, 16.0, -16.0, 26.0, -26.0, 38.0, -38.0] {
            let along = inward + shift;
            if station + along < least - 0.01 || station + along > on.length() - least + 0.01 {
                continue;
            }
            let away = gap + half.y * f64::signum(gap);
            seats.push(Seat {
                center: middle.plus(on.along.times(along)).plus(on.yard.times(away)),
                along: on.along.readable(),
            });
        }
    }
    seats
}
