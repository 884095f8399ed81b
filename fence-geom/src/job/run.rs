//! Each run of the routes: its request to the layout, and the layout put back
//! on the ground.

use super::ends::{Beside, End, end_post};
use super::flags::Flags;
use super::report::{Fill, GateReport, PostReport, RunReport, SectionReport};
use super::site::{Site, Spots};
use super::{GatePlan, Job, JobError};
use super::{on_arc, on_ground};
use crate::arc_layout::{ArcLayout, ArcLine, centers_inside, lay_out_on_arc, runners_up_on_arc};
use crate::estimate::Sigma;
use crate::ground_layout::{
    GroundLayout, GroundLayoutError, GroundReport, lay_out_on_ground, request_on_ground,
    runners_up_on_ground,
};
use crate::layout::{
    Arrangement, Blocking, Change, Choices, GateRequest, Layout, LayoutEnd, LayoutRequest,
    LayoutStatus, PostPlace, RunnerUp, SectionKind, SectionPlace, WhichEnd, lay_out, runners_up,
};
use crate::length::{Length, Shift};
use crate::obstacle::{Stretch, joined, stretches_within, stretches_within_on_arc};
use crate::point::{Displacement, Point};
use crate::product::{PostKind, Product};
use crate::profile::Profile;
use crate::ring::{Side, Turn};
use crate::route::{Route, Run, RunEnd};
use crate::slope::SectionOnGround;
use crate::standards::{PIN_CLEARANCE, PIN_HAND_DIG};
use crate::takeoff::RunCount;

/// A stretch of a run and what is there.
pub(super) type Near = (Stretch, String);

/// Something that hole centers keep away from.
pub(super) struct Hazard {
    name: String,
    path: Vec<Point>,
    /// No hole center is nearer to its path.
    never: Length,
    /// A hole whose center is nearer is dug by hand; `None` where there is no such
    /// rule.
    by_hand: Option<Length>,
}

/// A run laid out.
pub(super) struct LaidOut {
    pub(super) layout: Layout,
    over: Over,
}

/// What a run was laid out over.
enum Over {
    Level,
    Ground(Profile, Box<GroundLayout>),
    Arc(ArcLine, Box<ArcLayout>),
}

impl LaidOut {
    fn ground(&self) -> Option<&GroundLayout> {
        match &self.over {
            Over::Ground(_, laid) => Some(laid),
            Over::Level | Over::Arc(..) => None,
        }
    }

    fn arc(&self) -> Option<&ArcLayout> {
        match &self.over {
            Over::Arc(_, laid) => Some(laid),
            Over::Level | Over::Ground(..) => None,
        }
    }
}

/// A run on its way through the layout.
pub(super) struct Work<'a> {
    job: &'a Job,
    run: &'a Run,
    name: &'a str,
    gates: Vec<&'a GatePlan>,
    ends: [End; 2],
    /// How far inside the string the post centers of a run on an arc are.
    inside: Option<Length>,
    no_dig: Vec<Near>,
    hand_dig: Vec<Near>,
}

/// Returns the marks and the pins with how far holes keep away from each.
pub(super) fn hazards(job: &Job, site: &Site) -> Result<Vec<Hazard>, JobError> {
    let hole = job.product.largest_hole_radius();
    let spots = Spots {
        job,
        places: &site.places,
    };
    let mut hazards = Vec::new();
    for mark in &job.marks {
        if mark.path.is_empty() {
            return Err(JobError::EmptyMark {
                name: mark.name.clone(),
            });
        }
        let path = mark.path.iter().map(|spot| spots.spot(spot, &mark.name));
        let doubt = Length::saturating(mark.sigma.plus_minus_95().unwrap_or_default());
        let edge = mark.half_width() + doubt + hole;
        hazards.push(Hazard {
            name: mark.name.clone(),
            path: path.collect::<Result<_, _>>()?,
            never: edge + mark.clearance,
            by_hand: mark.zone.map(|zone| edge + zone),
        });
    }
    for pin in &job.pins {
        let place = job.survey.index(&pin.corner);
        let at = place.and_then(|i| site.places.get(i));
        hazards.extend(at.map(|&at| Hazard {
            name: format!("pin {}", pin.corner),
            path: vec![at],
            never: hole + PIN_CLEARANCE,
            by_hand: Some(hole + PIN_HAND_DIG),
        }));
    }
    Ok(hazards)
}

impl Hazard {
    /// The stretches of a run in which a hole center comes within `reach`, for
    /// centers so many feet inside its string.
    fn near(&self, run: &Run, inside: &[f64], reach: Length) -> Vec<Near> {
        let stretches = inside.iter().flat_map(|&feet| {
            let [from, to] =
                [Shift::ZERO, run.length.forward()].map(|station| run.inside_string(station, feet));
            match (run.shape, run.center(), run.radius()) {
                (Side::Arc { delta, turn }, Some(center), Some(radius)) => {
                    let sweep = turn.signed(delta);
                    let near = stretches_within_on_arc(center, from, sweep, &self.path, reach);
                    let scale = radius.feet() / from.distance(center).feet();
                    near.into_iter().map(|near| near.scaled(scale)).collect()
                }
                _ => stretches_within(from, to, &self.path, reach),
            }
        });
        joined(stretches.collect())
            .into_iter()
            .map(|stretch| (stretch, self.name.clone()))
            .collect()
    }

    /// True if it may come near to a hole of a run whose string moves by so much
    /// at most.
    pub(super) fn may_reach(&self, product: &Product, run: &Run, moved: Length) -> bool {
        let zone = self.by_hand.unwrap_or_default().feet();
        let posts = product.posts;
        let widths = posts.kinds().map(|kind| posts.of(kind).width.feet());
        let slack = widths.fold(0.0, f64::max) + moved.feet();
        let reach = Length::saturating(self.never.feet().max(zone) + slack);
        // A hole at an end may stand past it.
        let (from, to) = (-slack, run.length.feet() + slack);
        stretches_within(run.string.0, run.string.1, &self.path, reach)
            .into_iter()
            .any(|near| near.from.feet() <= to && from <= near.to.feet())
    }
}

/// Lays out all runs of all routes, in order.
pub(super) fn lay_out_runs(
    job: &Job,
    site: &Site,
    flags: &Flags,
) -> Result<Vec<RunReport>, JobError> {
    let mut reports = Vec::new();
    let hazards = hazards(job, site)?;
    let mut first_flag = 0;
    for (plan, route) in job.routes.iter().zip(&site.routes) {
        let named = || route.runs.iter().zip(plan.legs());
        let inside = named()
            .map(|(run, (_, name))| inside_on_arc(job, run, name))
            .collect::<Result<Vec<_>, _>>()?;
        let inside_at = |meets: &dyn Fn(&Run) -> bool| {
            let mut runs = route.runs.iter().zip(&inside);
            runs.find(|(run, _)| meets(run))
                .and_then(|(_, inside)| *inside)
        };
        for (run, (_, name)) in named() {
            let beside = [
                inside_at(&|other| other.to == run.from),
                inside_at(&|other| other.from == run.to),
            ];
            let work = Work::new(job, &hazards, run, name, beside)?;
            let (from, to) = (first_flag + run.from, first_flag + run.to);
            let pinned = [from, to]
                .into_iter()
                .all(|i| flags.reports.get(i).is_some_and(|flag| flag.settable));
            let sigma = flags.across(from, to, run.ways());
            reports.push(work.report(site, route, sigma, pinned)?);
        }
        first_flag += route.flags.len();
    }
    on_ground::share_posts(job, &mut reports);
    Ok(reports)
}

impl<'a> Work<'a> {
    pub(super) fn new<'h>(
        job: &'a Job,
        hazards: impl IntoIterator<Item = &'h Hazard>,
        run: &'a Run,
        name: &'a str,
        beside: Beside,
    ) -> Result<Self, JobError> {
        let inside = inside_on_arc(job, run, name)?;
        let end = |end: RunEnd, arrives: bool, beside: Option<Length>| {
            End::new(end, arrives, &job.product, [inside, beside]).map_err(|source| JobError::End {
                run: name.to_owned(),
                source,
            })
        };
        let mut work = Self {
            job,
            run,
            name,
            gates: gates_of(job, name),
            ends: [
                end(run.start, false, beside[0])?,
                end(run.end, true, beside[1])?,
            ],
            inside,
            no_dig: Vec::new(),
            hand_dig: Vec::new(),
        };
        let inside = work.center_lines();
        for hazard in hazards {
            let near = |reach| hazard.near(run, &inside, reach);
            work.no_dig.extend(near(hazard.never));
            work.hand_dig
                .extend(hazard.by_hand.into_iter().flat_map(near));
        }
        Ok(work)
    }

    /// How far inside the string centers of posts may stand, in feet. Posts of other
    /// widths stand on other lines; all of them count.
    fn center_lines(&self) -> Vec<f64> {
        let posts = self.job.product.posts;
        let width = |kind| posts.of(kind).width.feet() / 2.0;
        let mut lines = match self.inside {
            Some(inside) => vec![inside.feet()],
            None => posts.kinds().map(width).collect(),
        };
        let ends = self.ends.iter().filter_map(|end| end.inside);
        lines.extend(ends.map(Length::feet));
        lines
    }

    pub(super) fn request(&self) -> LayoutRequest {
        let product = &self.job.product;
        let wish = self
            .job
            .run_wishes
            .iter()
            .find(|wish| wish.run == self.name);
        let stretches = |near: &[Near]| near.iter().map(|(stretch, _)| *stretch).collect();
        LayoutRequest {
            length: self.run.length,
            build: product.build,
            line_post: product.posts.line.width,
            gate_post: product.posts.gate.width,
            latch_post: product.posts.latch.map(|post| post.width),
            full: product.full,
            min_cut: product.min_cut,
            cut_step: product.cutting.step,
            gates: self.gates.iter().map(|gate| gate_request(gate)).collect(),
            start: self.ends[0].request,
            end: self.ends[1].request,
            no_dig: stretches(&self.no_dig),
            hand_dig: stretches(&self.hand_dig),
            show: wish.map_or_else(Vec::new, |wish| wish.show.clone()),
            guard: wish.is_some_and(|wish| wish.guard),
            hide: wish.and_then(|wish| wish.hide),
            lattice: self.job.lattice,
            order: Vec::new(),
        }
    }

    /// The ground of the run, where it was read.
    fn profile(&self) -> Result<Option<Profile>, JobError> {
        let plan = self.job.grounds.iter().find(|plan| plan.run == self.name);
        plan.map(|plan| on_ground::profile(plan, self.run.length))
            .transpose()
    }

    fn error(&self, source: impl Into<GroundLayoutError>) -> JobError {
        on_ground::error(self.name, source.into())
    }

    /// The layout: on its arc, or over its ground where that was read.
    pub(super) fn laid_out(&self) -> Result<LaidOut, JobError> {
        let request = self.request();
        if let Some(arc) = on_arc::line(self.run) {
            let laid = lay_out_on_arc(&request, &arc)
                .map_err(|source| on_arc::error(self.name, source))?;
            return Ok(LaidOut {
                layout: laid.layout.clone(),
                over: Over::Arc(arc, Box::new(laid)),
            });
        }
        let Some(profile) = self.profile()? else {
            let layout = lay_out(&request).map_err(|source| self.error(source))?;
            return Ok(LaidOut {
                layout,
                over: Over::Level,
            });
        };
        let product = &self.job.product;
        let step = product.posts.step.width;
        let laid = lay_out_on_ground(&request, &profile, &product.slope, step)
            .map_err(|source| self.error(source))?;
        Ok(LaidOut {
            layout: laid.layout.clone(),
            over: Over::Ground(profile, Box::new(laid)),
        })
    }

    /// The request by which cuts are counted where lines move; `None` where the
    /// moved run leaves the ground that was read.
    pub(super) fn counted_request(&self) -> Result<Option<LayoutRequest>, JobError> {
        let request = self.request();
        let Some(profile) = self.profile()? else {
            return Ok(Some(request));
        };
        match request_on_ground(&request, &profile, &self.job.product.slope) {
            Ok(request) => Ok(Some(request)),
            Err(GroundLayoutError::Profile(_)) => Ok(None),
            Err(source) => Err(self.error(source)),
        }
    }

    /// Other layouts worth a look, and how many more do not hold on the ground.
    fn runners_up(&self, laid_out: &LaidOut) -> Result<(Vec<RunnerUp>, usize), JobError> {
        let request = self.request();
        let product = &self.job.product;
        let choices = Choices {
            gate_openings: product.gate_openings.clone(),
            cutting: product.cutting,
            // Only free ends may shift in a route.
            start_held: self.run.start != RunEnd::Free,
            end_held: self.run.end != RunEnd::Free,
        };
        let layout = &laid_out.layout;
        let mut lost = 0;
        let others = match &laid_out.over {
            Over::Level => {
                runners_up(&request, layout, &choices).map_err(|source| self.error(source))?
            }
            Over::Ground(profile, laid) => {
                let others =
                    runners_up_on_ground(&request, profile, &product.slope, laid, &choices)
                        .map_err(|source| self.error(source))?;
                lost = others.lost;
                others.found.into_iter().map(|(other, _)| other).collect()
            }
            Over::Arc(arc, laid) => runners_up_on_arc(&request, arc, laid, &choices)
                .map_err(|source| on_arc::error(self.name, source))?
                .into_iter()
                .map(|(other, _)| other)
                .collect(),
        };
        let others = others.into_iter().map(|other| self.named(other));
        Ok((others.collect(), lost))
    }

    /// The same with its gate called by its name.
    fn named(&self, other: RunnerUp) -> RunnerUp {
        let Change::Gate(i) = other.change else {
            return other;
        };
        let after = other.words.strip_prefix(&format!("gate {}", i + 1));
        match (after, self.gates.get(i)) {
            (Some(after), Some(gate)) => RunnerUp {
                words: format!("{}{after}", gate.name),
                ..other
            },
            _ => other,
        }
    }

    fn ground(&self, profile: &Profile, laid: &GroundLayout) -> Option<GroundReport> {
        let product = &self.job.product;
        let depths: Vec<Length> = (0..laid.posts.len())
            .map(|i| {
                product
                    .posts
                    .of(self.kind(i, laid.posts.len(), laid.post_kind(i)))
                    .depth
            })
            .collect();
        laid.report(profile, &product.slope, product.height, &depths)
    }

    /// The kind of one of so many posts.
    fn kind(&self, post: usize, posts: usize, laid: Option<PostKind>) -> PostKind {
        if post == 0 {
            self.ends[0].kind
        } else if post + 1 == posts {
            self.ends[1].kind
        } else {
            laid.unwrap_or(PostKind::Line)
        }
    }

    fn report(
        &self,
        site: &Site,
        route: &Route,
        line_sigma: Sigma,
        pinned: bool,
    ) -> Result<RunReport, JobError> {
        let laid_out = self.laid_out()?;
        let (runners_up, runners_up_lost) = self.runners_up(&laid_out)?;
        let (posts, sections) = match &laid_out.layout.status {
            LayoutStatus::Optimal(best) => {
                (self.posts(best, &laid_out), self.sections(best, &laid_out))
            }
            LayoutStatus::None { .. } => (Vec::new(), Vec::new()),
        };
        let ground = match &laid_out.over {
            Over::Ground(profile, laid) => self.ground(profile, laid),
            Over::Level | Over::Arc(..) => None,
        };
        let arc = match (&laid_out.over, &laid_out.layout.status) {
            (Over::Arc(_, laid), LayoutStatus::Optimal(best)) => {
                let standing = best.posts.iter().enumerate();
                let standing = standing.filter(|(_, post)| post.width > 0);
                let centers: Vec<_> = standing
                    .zip(&posts)
                    .map(|((i, _), post)| (i, post.at))
                    .collect();
                on_arc::report(self.job, site, self.run, laid, &centers)
            }
            _ => None,
        };
        let layout = self.without_held_ends(laid_out.layout);
        let flag = |i: usize| {
            route
                .flags
                .get(i)
                .map_or_else(String::new, |flag| flag.name.clone())
        };
        Ok(RunReport {
            name: self.name.to_owned(),
            from: flag(self.run.from),
            to: flag(self.run.to),
            start: self.run.string.0,
            end: self.run.string.1,
            shape: self.run.shape,
            length: self.run.length,
            azimuth: self.run.azimuth,
            yard: self.run.yard,
            side: self.run.side.map(|side| site.lot.ring().side_name(side)),
            string_to_line: self.run.string_to_line.map(Shift::magnitude),
            string_to_holes: self.string_to_holes(),
            line_sigma,
            pinned,
            layout,
            runners_up,
            runners_up_lost,
            posts,
            sections,
            ground,
            arc,
            hand_dig: self.hand_dig.clone(),
            no_dig: self.no_dig.clone(),
        })
    }

    /// The layout without the end faces among what could give way, where a corner
    /// holds them.
    fn without_held_ends(&self, mut layout: Layout) -> Layout {
        let held = |end| matches!(end, RunEnd::Corner { .. } | RunEnd::Tee { .. });
        let may_give = |rule: &Blocking| match rule {
            Blocking::StartFace => !held(self.run.start),
            Blocking::EndFace => !held(self.run.end),
            _ => true,
        };
        if let LayoutStatus::None {
            blocking,
            relaxations,
        } = &mut layout.status
        {
            blocking.retain(may_give);
            relaxations.retain(|least| may_give(&least.rule));
        }
        layout
    }

    /// From the string to the hole centers of line posts.
    fn string_to_holes(&self) -> Length {
        let half = Length::saturating(self.job.product.posts.line.width.feet() / 2.0);
        self.inside.unwrap_or(half)
    }

    /// The station and the center of each post of the layout, and how far inside the
    /// string that is; where a panel is bracketed to a wall one has no width.
    fn centers(&self, best: &Arrangement, laid: &LaidOut) -> Vec<(Shift, Point, Length)> {
        let lattice = self.job.lattice;
        let last = best.posts.len().saturating_sub(1);
        let center = |(i, post): (usize, &PostPlace)| {
            let on_ground = laid.ground().and_then(|laid| laid.posts.get(i)).copied();
            let on_arc = laid.arc().and_then(|laid| laid.posts.get(i));
            let station = (on_ground.or(on_arc.map(|post| post.station)))
                .unwrap_or_else(|| lattice.half_steps(post.center_half_steps));
            let half = Length::saturating(lattice.inches(post.width) / 24.0);
            let end = match i {
                0 => self.ends[0].inside,
                i if i == last => self.ends[1].inside,
                _ => None,
            };
            let inside = end.or(self.inside).unwrap_or(half);
            let at = self.run.inside_string(station, inside.feet());
            (station, at, inside)
        };
        best.posts.iter().enumerate().map(center).collect()
    }

    /// Where the center of an end post is that can't shift; the layout has it on the
    /// nearest step of the lattice.
    fn held_center(&self, post: usize, last: usize) -> Option<Shift> {
        let [start, end] = self.ends.map(|end| end.request);
        let request = if post == 0 { start } else { end };
        if (post != 0 && post != last) || request.face_min != request.face_max {
            return None;
        }
        let center = request.face_min - Shift::saturating(request.post.feet() / 2.0);
        Some(if post == 0 {
            center
        } else {
            self.run.length.forward() - center
        })
    }

    fn posts(&self, best: &Arrangement, laid: &LaidOut) -> Vec<PostReport> {
        let lattice = self.job.lattice;
        (best.posts.iter().zip(self.centers(best, laid)))
            .enumerate()
            .filter(|(_, (post, _))| post.width > 0)
            .map(|(i, (post, (station, at, inside)))| {
                let on_ground = laid.ground().and_then(|laid| laid.post_kind(i));
                let kind = self.kind(i, best.posts.len(), on_ground.or(Some(post.kind)));
                let half = Length::saturating(lattice.inches(post.width) / 24.0);
                let last = best.posts.len().saturating_sub(1);
                let held = matches!(laid.over, Over::Level).then(|| self.held_center(i, last));
                PostReport {
                    kind,
                    takes: self.job.product.posts.kind_for(kind),
                    station,
                    taped: held.flatten().unwrap_or(station),
                    at,
                    inside,
                    moved_in: Length::saturating(inside.feet() - half.feet()),
                    hole: post.hole,
                    by_hand: self.by_hand(station, post.hand_dug),
                }
            })
            .collect()
    }

    /// What a hand-dug hole is near to.
    fn by_hand(&self, station: Shift, hand_dug: bool) -> Vec<String> {
        if !hand_dug {
            return Vec::new();
        }
        // Stretches snap outward by up to a step before they are compared.
        let step = self.job.lattice.shift(1).feet();
        let mut names: Vec<String> = self
            .hand_dig
            .iter()
            .filter(|(stretch, _)| {
                let s = station.feet();
                stretch.from.feet() - step <= s && s <= stretch.to.feet() + step
            })
            .map(|(_, name)| name.clone())
            .collect();
        names.dedup();
        names
    }

    fn sections(&self, best: &Arrangement, laid: &LaidOut) -> Vec<SectionReport> {
        let centers = self.centers(best, laid);
        let between = centers.iter().zip(centers.iter().skip(1));
        best.sections
            .iter()
            .zip(between)
            .enumerate()
            .map(|(i, (section, (before, after)))| {
                let (from, clear) = self.section_place(i, section, laid);
                let sloped = laid
                    .ground()
                    .and_then(|laid| laid.sloped.as_ref()?.sections.get(i));
                let rail = sloped.map_or(clear, SectionOnGround::rail);
                let ends = self.section_ends(from, clear, [before, after]);
                let fill = match section.kind {
                    SectionKind::Full => Fill::Full,
                    SectionKind::Cut => Fill::Cut,
                    SectionKind::Bay => Fill::Bay,
                    SectionKind::Gate(gate) => self.gates.get(gate).map_or(Fill::Cut, |gate| {
                        Fill::Gate(self.gate(gate, from, clear, ends))
                    }),
                };
                let saw = (fill == Fill::Cut).then(|| self.job.product.cutting.saw_length(rail));
                SectionReport {
                    fill,
                    from,
                    clear,
                    rail,
                    saw,
                    ends,
                }
            })
            .collect()
    }

    /// The first face of a section and its clear width.
    fn section_place(&self, i: usize, section: &SectionPlace, laid: &LaidOut) -> (Shift, Length) {
        let lattice = self.job.lattice;
        let on_ground = laid.ground().and_then(|laid| laid.sections.get(i)).copied();
        let on_arc = laid.arc().and_then(|laid| laid.sections.get(i));
        let placed = on_ground.or(on_arc.map(|section| (section.from, section.clear)));
        placed.unwrap_or_else(|| {
            let clear = lattice.shift(section.clear);
            (lattice.shift(section.from), clear.magnitude())
        })
    }

    /// The two ends of a section: on an arc, on the chord between the centers of its
    /// posts.
    fn section_ends(
        &self,
        from: Shift,
        clear: Length,
        [before, after]: [&(Shift, Point, Length); 2],
    ) -> (Point, Point) {
        if self.inside.is_some() {
            let along = (after.1 - before.1).unit().unwrap_or_default();
            let first = before.1 + along * (from.feet() - before.0.feet());
            return (first, first + along * clear.feet());
        }
        let inside = self.string_to_holes().feet();
        let at = |station| self.run.inside_string(station, inside);
        (at(from), at(from + clear.forward()))
    }

    /// A gate in its place: hinges and leaf edges on the string; on an arc, in front
    /// of its section by half a line post.
    fn gate(
        &self,
        plan: &GatePlan,
        from: Shift,
        clear: Length,
        ends: (Point, Point),
    ) -> GateReport {
        let leaf = clear.feet() / f64::from(plan.leaves.max(1));
        let half = Shift::saturating(clear.feet() / 2.0);
        let (edges, middle, into) = if self.inside.is_some() {
            let along = (ends.1 - ends.0).unit().unwrap_or_default();
            let yard = match self.run.yard {
                Turn::Right => along.turned_right(),
                Turn::Left => -along.turned_right(),
            };
            let front = -(yard * (self.job.product.posts.line.width.feet() / 2.0));
            let edges = [ends.0 + front, ends.1 + front];
            (edges, edges[0] + along * half.feet(), yard * leaf)
        } else {
            let edges = [from, from + clear.forward()].map(|s| self.run.string_at(s));
            let middle = self.run.string_at(from + half);
            let into = Displacement::polar(self.run.yard_direction(from), Length::saturating(leaf));
            (edges, middle, into)
        };
        let swing = if plan.swings_in { into } else { -into };
        let (hinges, shut): (Vec<Point>, Vec<Point>) = match (plan.leaves, plan.hinge) {
            (2, _) => (edges.to_vec(), vec![middle, middle]),
            (_, WhichEnd::Start) => (vec![edges[0]], vec![edges[1]]),
            (_, WhichEnd::End) => (vec![edges[1]], vec![edges[0]]),
        };
        GateReport {
            name: plan.name.clone(),
            leaves: plan.leaves,
            hinge_at_start: plan.hinge == WhichEnd::Start,
            swings_in: plan.swings_in,
            open: hinges.iter().map(|&hinge| hinge + swing).collect(),
            hinges,
            shut,
        }
    }
}

fn gates_of<'a>(job: &'a Job, run: &str) -> Vec<&'a GatePlan> {
    job.gates.iter().filter(|gate| gate.run == run).collect()
}

fn gate_request(gate: &GatePlan) -> GateRequest {
    GateRequest {
        opening: gate.opening,
        from: gate.from,
        to: gate.to,
        wish: Some(gate.wish),
        // Two leaves hang on both their posts.
        latch: (gate.leaves < 2).then(|| gate.hinge.other()),
    }
}

/// How far inside its string the post centers of a run on an arc are; `None` for a
/// straight one.
fn inside_on_arc(job: &Job, run: &Run, name: &str) -> Result<Option<Length>, JobError> {
    let Some(arc) = on_arc::line(run) else {
        return Ok(None);
    };
    if job.grounds.iter().any(|ground| ground.run == name) {
        return Err(JobError::GroundOnArc {
            run: name.to_owned(),
        });
    }
    let product = &job.product;
    let end = |end| LayoutEnd::fixed(Shift::ZERO, end_post(end, product).1, false);
    let request = LayoutRequest {
        build: product.build,
        gate_post: product.posts.gate.width,
        latch_post: product.posts.latch.map(|post| post.width),
        gates: gates_of(job, name).into_iter().map(gate_request).collect(),
        ..LayoutRequest::plain(
            run.length,
            product.full,
            product.min_cut,
            product.posts.line.width,
            end(run.start),
            end(run.end),
        )
    };
    let inside = centers_inside(&request, &arc).map_err(|source| on_arc::error(name, source))?;
    Ok(Some(inside))
}

/// Returns what a run takes of the material.
pub(super) fn count(run: &RunReport) -> RunCount {
    let mut count = RunCount {
        name: run.name.clone(),
        length: run.length,
        ..RunCount::default()
    };
    for section in &run.sections {
        match &section.fill {
            Fill::Full | Fill::Bay => count.full += 1,
            Fill::Cut => count.cuts.push(section.rail),
            Fill::Gate(gate) => count.gates.push((section.clear, gate.leaves)),
        }
    }
    // A post without a hole here was set by the run before.
    count.posts = run
        .posts
        .iter()
        .filter(|post| post.hole)
        .map(|post| (post.kind, post.hole))
        .collect();
    count
}
