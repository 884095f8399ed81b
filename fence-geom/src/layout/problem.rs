//! The request in whole steps: snapped once, before any sum, and checked.

use super::error::LayoutError;
use super::lattice::Lattice;
use super::request::{GateRequest, LayoutEnd, LayoutRequest, WhichEnd};
use super::wish::{Wish, full_order};
use crate::length::{Length, Shift};
use crate::obstacle::Stretch;
use crate::product::{Build, PostKind};

/// Gates in one run. Every subset of the gates is a set of states of its own.
pub(super) const MOST_GATES: usize = 6;

/// Steps of the run times sets of gates: 2,000 ft of sixteenths with six gates
/// fit. Each such state takes up to 32 bytes.
pub(super) const MOST_WORK: i64 = 1 << 25;

/// How far a gate may be from its wish where no window is given, in inches.
const WINDOW_IN: f64 = 6.0;

/// A run in steps of its lattice.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    pub(super) length: i64,
    pub(super) line_post: i64,
    pub(super) gate_post: i64,
    pub(super) latch_post: i64,
    pub(super) full: i64,
    /// True where all sections but gates are bays, and none is full.
    pub(super) bays: bool,
    /// True where panels lie on the faces of the posts: they meet at the middle
    /// of a line post, and run to the far edge of a gate or end post.
    pub(super) on_face: bool,
    /// Snapped to a width that a cut may have.
    pub(super) cut_min: i64,
    /// The shortest that was asked for, which need not be a width that a cut may have.
    pub(super) cut_asked: i64,
    /// Below `cut_min` where no cut is possible.
    pub(super) cut_max: i64,
    /// Widths of cuts are so far apart.
    pub(super) cut_step: i64,
    pub(super) gates: Vec<Gate>,
    pub(super) start: End,
    pub(super) end: End,
    pub(super) no_dig: Vec<Span>,
    pub(super) hand_dig: Vec<Span>,
    pub(super) show: Vec<Span>,
    pub(super) guard: bool,
    pub(super) hide: Option<WhichEnd>,
    pub(super) order: Vec<Wish>,
}

/// A gate in steps; the window holds the middle of the opening.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gate {
    pub(super) opening: i64,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) wish: i64,
    pub(super) near_side: Beside,
    pub(super) far_side: Beside,
}

/// What a post has on one of its two sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Beside {
    /// A section that is no gate.
    Panel,
    /// The hinges of a gate.
    Hinge,
    /// The latch of a gate.
    Latch,
}

/// An end of the run in steps.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    pub(super) min: i64,
    pub(super) max: i64,
    pub(super) wish: i64,
    pub(super) post: i64,
    pub(super) hole: bool,
    /// How far a panel laps over the end post.
    pub(super) lap: i64,
}

/// A part of the run in steps; whether its ends belong to it depends on its use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub(super) from: i64,
    pub(super) to: i64,
}

impl Gate {
    /// The first place where the far face of the gate may be.
    pub(super) const fn first_far_face(&self) -> i64 {
        // Doubled values; the division rounds up.
        -((-(2 * self.from + self.opening)).div_euclid(2))
    }

    /// The last place where the near face of the gate may be.
    pub(super) const fn last_near_face(&self) -> i64 {
        (2 * self.to - self.opening).div_euclid(2)
    }

    /// How far the middle is from its wish in half steps, `near` being the near
    /// face; nothing outside the window.
    pub(super) const fn miss(&self, near: i64) -> Option<i64> {
        let middle = 2 * near + self.opening;
        if 2 * self.from <= middle && middle <= 2 * self.to {
            Some((middle - 2 * self.wish).abs())
        } else {
            None
        }
    }
}

impl Problem {
    /// Snaps and checks a request.
    pub(super) fn new(request: &LayoutRequest) -> Result<Self, LayoutError> {
        let snap = Snap(request.lattice);
        snap.check_products(request)?;
        if request.gates.len() > MOST_GATES {
            return Err(LayoutError::TooManyGates {
                count: request.gates.len(),
            });
        }
        let full = snap.size("full", request.full)?;
        if request.min_cut > request.full {
            return Err(LayoutError::CutLongerThanFull {
                min_cut_in: request.min_cut.inches(),
                full_in: request.full.inches(),
            });
        }
        let bays = matches!(request.build, Build::Stick | Build::Fabric);
        let cut_step = snap.cut_step(request, bays)?;
        // Snapped up, but never past a full section that was snapped down.
        let cut_min = request.lattice.above(request.min_cut.forward()).min(full);
        let cut_min = snap.positive("min_cut", request.min_cut, cut_min)?;
        let gates = request.gates.iter().enumerate();
        let problem = Self {
            length: snap.size("length", request.length)?,
            line_post: snap.size("line_post", request.line_post)?,
            gate_post: snap.size("gate_post", request.gate_post)?,
            latch_post: match request.latch_post {
                Some(width) => snap.size("latch_post", width)?,
                None => snap.size("gate_post", request.gate_post)?,
            },
            full,
            bays,
            on_face: request.build == Build::PanelsOnFace,
            cut_min: shortest_cut(full, cut_step, cut_min),
            cut_asked: cut_min,
            cut_max: if bays { full } else { full - cut_step },
            cut_step,
            gates: gates
                .map(|(i, gate)| {
                    // Without a post of its own a latch hangs on a gate post.
                    let latch = gate.latch.filter(|_| request.latch_post.is_some());
                    snap.gate(i, gate, sides(latch))
                })
                .collect::<Result<_, _>>()?,
            start: snap.end("start", &request.start, request.build)?,
            end: snap.end("end", &request.end, request.build)?,
            no_dig: snap.outward("no_dig", &request.no_dig)?,
            hand_dig: snap.outward("hand_dig", &request.hand_dig)?,
            show: snap.show(&request.show, bays)?,
            guard: request.guard && !bays,
            hide: request.hide.filter(|_| !bays),
            order: full_order(&request.order)?,
        };
        problem.check_laps(request)?;
        problem.check_gates(request)?;
        problem.check_fixed_gates(request.lattice)?;
        problem.check_work(request)?;
        Ok(problem)
    }

    /// True where a post of the run can have this on a side.
    pub(super) fn has(&self, side: Beside) -> bool {
        match side {
            Beside::Panel => true,
            Beside::Hinge => !self.gates.is_empty(),
            Beside::Latch => {
                let sides = |gate: &Gate| [gate.near_side, gate.far_side];
                (self.gates.iter()).any(|gate| sides(gate).contains(&side))
            }
        }
    }

    /// The kind of post between two neighbors: one that bears hinges is a gate
    /// post, whatever is on its other side.
    pub(super) const fn post_kind(&self, beside: [Beside; 2]) -> PostKind {
        match beside {
            [Beside::Panel, Beside::Panel] => PostKind::Line,
            [Beside::Hinge, _] | [_, Beside::Hinge] => PostKind::Gate,
            _ => PostKind::Latch,
        }
    }

    /// The width of the post between two neighbors.
    pub(super) const fn post_width(&self, beside: [Beside; 2]) -> i64 {
        match self.post_kind(beside) {
            PostKind::Line => self.line_post,
            PostKind::Latch => self.latch_post,
            _ => self.gate_post,
        }
    }

    /// How far apart the post between two neighbors keeps them: not at all where
    /// panels lie on it.
    pub(super) const fn spacing(&self, beside: [Beside; 2]) -> i64 {
        match beside {
            [Beside::Panel, _] | [_, Beside::Panel] if self.on_face => 0,
            _ => self.post_width(beside),
        }
    }

    /// How many half steps past the far face of the first of two neighbors the
    /// center of the post between them is. Where panels lie on it, a line post has
    /// their joint on its middle, and a gate post stands beside its gate.
    pub(super) const fn center_past(&self, beside: [Beside; 2]) -> i64 {
        let width = self.post_width(beside);
        match beside {
            [Beside::Panel, Beside::Panel] if self.on_face => 0,
            [Beside::Panel, _] if self.on_face => -width,
            _ => width,
        }
    }

    /// The least and the greatest width of the posts between sections.
    pub(super) fn post_widths(&self) -> (i64, i64) {
        let (line, gate, latch) = (self.line_post, self.gate_post, self.latch_post);
        (line.min(gate).min(latch), line.max(gate).max(latch))
    }

    /// The shortest cut that is at least so wide.
    pub(super) const fn shortest_cut(&self, least: i64) -> i64 {
        shortest_cut(self.full, self.cut_step, least)
    }

    /// The shortest that any cut could be: as long as what it lies on of the two
    /// widest posts that it can have beside it.
    pub(super) fn least_cut(&self) -> i64 {
        (self.posts_under_a_cut() + 1).div_euclid(2).max(1)
    }

    /// In half steps: half of a line post, all of another. A guarded gate has no cut
    /// beside it, and one gate alone no cut between its posts.
    fn posts_under_a_cut(&self) -> i64 {
        if !self.on_face {
            return 0;
        }
        let gates = if self.guard { 0 } else { self.gates.len() };
        let gate_post = 2 * self.gate_post.max(self.latch_post);
        let mut parts = vec![self.line_post, self.line_post];
        parts.extend([self.start.lap, self.end.lap].map(|lap| 2 * lap));
        parts.extend(std::iter::repeat_n(gate_post, gates.min(2)));
        parts.sort_unstable();
        parts.iter().rev().take(2).sum()
    }

    /// The first place where a section may begin.
    pub(super) const fn first(&self) -> i64 {
        self.start.min - self.start.lap
    }

    /// The last place where a section may end.
    pub(super) const fn last(&self) -> i64 {
        self.length - self.end.min + self.end.lap
    }

    /// The face of the end post where the last section ends at a place.
    pub(super) const fn end_face(&self, at: i64, gate: bool) -> i64 {
        self.length - at + if gate { 0 } else { self.end.lap }
    }

    /// The gates that are not in a set, in the order given.
    pub(super) fn gates_left(&self, placed: usize) -> impl Iterator<Item = usize> {
        (0..self.gates.len()).filter(move |gate| placed & (1 << gate) == 0)
    }

    /// The last far face of a cut that begins at `near`: its width and the parts
    /// that show limit it.
    pub(super) fn last_cut_face(&self, near: i64) -> i64 {
        self.show
            .iter()
            .filter(|show| show.from < show.to && show.to > near)
            .map(|show| show.from)
            .fold(near + self.cut_max, i64::min)
    }

    /// How far a cut is from the end that hides cuts.
    pub(super) fn reach(&self, near: i64, far: i64) -> i64 {
        let from = |reference: i64| (near - reference).abs().min((far - reference).abs());
        match self.hide {
            None => 0,
            Some(WhichEnd::Start) => from(0),
            Some(WhichEnd::End) => from(self.length),
        }
    }

    /// The most sections that fit.
    pub(super) fn most_sections(&self) -> i64 {
        let post = if self.on_face {
            0
        } else {
            self.post_widths().0
        };
        let least = self.cut_min.min(self.full) + post;
        let gates = i64::try_from(self.gates.len()).unwrap_or(i64::MAX);
        (self.last() - self.first()).max(0) / least.max(1) + 1 + gates
    }

    /// Refuses cuts that would not clear the posts they lie on.
    fn check_laps(&self, request: &LayoutRequest) -> Result<(), LayoutError> {
        if self.cut_min < self.least_cut() {
            return Err(LayoutError::CutUnderPosts {
                min_cut_in: request.lattice.inches(self.cut_min),
                posts_in: request.lattice.inches(self.least_cut()),
            });
        }
        Ok(())
    }

    /// Refuses gates that no change of the rest would let stand.
    fn check_gates(&self, request: &LayoutRequest) -> Result<(), LayoutError> {
        let inches = |steps| request.lattice.inches(steps);
        let room = (self.last() - self.first()).max(self.length);
        for (gate, asked) in self.gates.iter().enumerate() {
            if asked.opening > room {
                return Err(LayoutError::GateWiderThanRun {
                    gate,
                    opening_in: inches(asked.opening),
                    run_in: inches(self.length),
                });
            }
            if asked.to < 0 || asked.from > self.length {
                return Err(LayoutError::WindowOutsideRun {
                    gate,
                    from_in: inches(asked.from),
                    to_in: inches(asked.to),
                    run_in: inches(self.length),
                });
            }
        }
        Ok(())
    }

    /// Refuses gates that are fixed in place where they overlap.
    fn check_fixed_gates(&self, lattice: Lattice) -> Result<(), LayoutError> {
        let fixed = |gate: &Gate| gate.from == gate.to;
        let pairs = self.gates_in_the_way().into_iter();
        let mut pairs = pairs.filter_map(|(first, second)| {
            let (a, b) = (self.gates.get(first)?, self.gates.get(second)?);
            let (a, b) = if a.from <= b.from { (a, b) } else { (b, a) };
            (fixed(a) && fixed(b)).then_some((first, second, a, b))
        });
        let Some((first, second, a, b)) = pairs.next() else {
            return Ok(());
        };
        Err(LayoutError::GatesOverlap {
            first,
            second,
            apart_in: lattice.inches(b.from - a.from),
            needed_in: lattice.half_steps(self.apart(a, b)).inches(),
        })
    }

    /// The pairs of gates that get in each other's way wherever their windows let
    /// them stand.
    pub(super) fn gates_in_the_way(&self) -> Vec<(usize, usize)> {
        let fit = |a: &Gate, b: &Gate| 2 * (b.to - a.from) >= self.apart(a, b);
        let meet = |a: &Gate, b: &Gate| !fit(a, b) && !fit(b, a);
        let gates = self.gates.iter().enumerate();
        gates
            .clone()
            .flat_map(|(i, a)| {
                let later = gates.clone().skip(i + 1);
                let meeting = later.filter(move |(_, b)| meet(a, b));
                meeting.map(move |(j, _)| (i, j))
            })
            .collect()
    }

    /// The nearest that the middles of two gates may be, the one behind the other,
    /// in half steps.
    const fn apart(&self, before: &Gate, after: &Gate) -> i64 {
        let post = self.post_width([before.far_side, after.near_side]);
        before.opening + after.opening + 2 * post
    }

    fn check_work(&self, request: &LayoutRequest) -> Result<(), LayoutError> {
        let steps = (self.last() - self.first()).max(self.length);
        if steps > MOST_WORK >> self.gates.len() {
            return Err(LayoutError::TooMuchWork {
                steps,
                lattice: request.lattice,
                gates: self.gates.len(),
            });
        }
        Ok(())
    }
}

/// What the two sides of a gate are to the posts beside them.
const fn sides(latch: Option<WhichEnd>) -> (Beside, Beside) {
    match latch {
        None => (Beside::Hinge, Beside::Hinge),
        Some(WhichEnd::Start) => (Beside::Latch, Beside::Hinge),
        Some(WhichEnd::End) => (Beside::Hinge, Beside::Latch),
    }
}

/// What is cut off is a whole number of steps of the cut.
const fn shortest_cut(full: i64, step: i64, least: i64) -> i64 {
    full - (full - least) / step * step
}

/// Snapping with the name of the field at hand.
struct Snap(Lattice);

impl Snap {
    /// The step of cut widths: one step of the lattice where any width is cut.
    fn cut_step(&self, request: &LayoutRequest, bays: bool) -> Result<i64, LayoutError> {
        match request.cut_step {
            Some(step) if !bays => self.size("cut_step", step),
            _ => Ok(1),
        }
    }

    fn check_products(&self, request: &LayoutRequest) -> Result<(), LayoutError> {
        let mut widths = vec![
            ("line_post".to_owned(), request.line_post),
            ("gate_post".to_owned(), request.gate_post),
            ("full".to_owned(), request.full),
            ("start.post".to_owned(), request.start.post),
            ("end.post".to_owned(), request.end.post),
        ];
        widths.extend((request.latch_post).map(|width| ("latch_post".to_owned(), width)));
        widths.extend(request.cut_step.map(|step| ("cut_step".to_owned(), step)));
        let gates = request.gates.iter().enumerate();
        widths.extend(gates.map(|(i, gate)| (format!("gates[{i}].opening"), gate.opening)));
        let Some((field, width)) = widths.iter().find(|(_, width)| !self.0.holds(*width)) else {
            return Ok(());
        };
        let all: Vec<Length> = widths.iter().map(|&(_, width)| width).collect();
        Err(LayoutError::OffLattice {
            field: field.clone(),
            inches: width.inches(),
            lattice: self.0,
            fits: Lattice::that_holds(&all),
        })
    }

    /// A size that must be there: nearest step, at least one.
    fn size(&self, field: &str, length: Length) -> Result<i64, LayoutError> {
        self.positive(field, length, self.0.nearest(length.forward()))
    }

    fn positive(&self, field: &str, length: Length, steps: i64) -> Result<i64, LayoutError> {
        if steps < 1 {
            return Err(LayoutError::NotPositive {
                field: field.to_owned(),
                inches: length.inches(),
                lattice: self.0,
            });
        }
        Ok(steps)
    }

    /// A range snapped inward, which leaves it empty where it holds no step; one
    /// fixed place goes to the nearest step, since inward would empty it.
    fn inward(&self, field: &str, from: Shift, to: Shift) -> Result<Span, LayoutError> {
        check_order(field, from, to)?;
        if from == to {
            let place = self.0.nearest(from);
            return Ok(Span {
                from: place,
                to: place,
            });
        }
        Ok(Span {
            from: self.0.above(from),
            to: self.0.below(to),
        })
    }

    fn outward(&self, field: &str, stretches: &[Stretch]) -> Result<Vec<Span>, LayoutError> {
        let numbered = stretches.iter().enumerate();
        numbered
            .map(|(i, stretch)| {
                check_order(&format!("{field}[{i}]"), stretch.from, stretch.to)?;
                Ok(Span {
                    from: self.0.below(stretch.from),
                    to: self.0.above(stretch.to),
                })
            })
            .collect()
    }

    /// Parts that show, snapped outward. They are open, so one without length
    /// is empty, and stays so. Bays all look alike: nothing is asked of them.
    fn show(&self, stretches: &[Stretch], bays: bool) -> Result<Vec<Span>, LayoutError> {
        let mut spans = self.outward("show", stretches)?;
        if bays {
            spans.clear();
        }
        for (span, stretch) in spans.iter_mut().zip(stretches) {
            if stretch.from == stretch.to {
                span.to = span.from;
            }
        }
        Ok(spans)
    }

    fn gate(
        &self,
        i: usize,
        gate: &GateRequest,
        (near_side, far_side): (Beside, Beside),
    ) -> Result<Gate, LayoutError> {
        let opening = self.size(&format!("gates[{i}].opening"), gate.opening)?;
        let field = format!("gates[{i}].window");
        if let (Some(from), Some(to)) = (gate.from, gate.to) {
            let window = self.inward(&field, from, to)?;
            let middle = Shift::saturating((from.feet() + to.feet()) / 2.0);
            return Ok(Gate {
                opening,
                from: window.from,
                to: window.to,
                wish: self.0.nearest(gate.wish.unwrap_or(middle)),
                near_side,
                far_side,
            });
        }
        let Some(wish) = gate.wish else {
            return Err(LayoutError::GateWithoutPlace { gate: i });
        };
        let wish = self.0.nearest(wish);
        let around = self.0.below(Shift::saturating(WINDOW_IN / 12.0));
        let from = gate.from.map_or(wish - around, |from| self.0.above(from));
        let to = gate.to.map_or(wish + around, |to| self.0.below(to));
        if from > to {
            return Err(LayoutError::Inverted {
                field,
                from_in: self.0.inches(from),
                to_in: self.0.inches(to),
            });
        }
        Ok(Gate {
            opening,
            from,
            to,
            wish,
            near_side,
            far_side,
        })
    }

    fn end(&self, field: &str, end: &LayoutEnd, build: Build) -> Result<End, LayoutError> {
        let face = self.inward(&format!("{field}.face"), end.face_min, end.face_max)?;
        let post = self.0.nearest(end.post.forward());
        Ok(End {
            min: face.from,
            max: face.to,
            wish: self.0.nearest(end.face_wish),
            post,
            hole: end.hole,
            lap: if build == Build::PanelsOnFace {
                post
            } else {
                0
            },
        })
    }
}

fn check_order(field: &str, from: Shift, to: Shift) -> Result<(), LayoutError> {
    if from > to {
        return Err(LayoutError::Inverted {
            field: field.to_owned(),
            from_in: from.inches(),
            to_in: to.inches(),
        });
    }
    Ok(())
}
