//! Each run of the routes: its request to the layout, and the layout put back
//! on the ground.

use super::flags::Flags;
use super::on_ground;
use super::report::{Fill, GateReport, PostReport, RunReport, SectionReport};
use super::site::{Site, Spots};
use super::{GatePlan, Job, JobError};
use crate::estimate::Sigma;
use crate::ground_layout::{
    GroundLayout, GroundLayoutError, GroundReport, lay_out_on_ground, request_on_ground,
    runners_up_on_ground,
};
use crate::layout::{
    Arrangement, Change, Choices, GateRequest, Layout, LayoutEnd, LayoutRequest, LayoutStatus,
    RunnerUp, SectionKind, WhichEnd, lay_out, runners_up,
};
use crate::length::{Length, Shift};
use crate::obstacle::{Stretch, joined, stretches_within};
use crate::point::{Displacement, Point};
use crate::product::{PostKind, Product};
use crate::profile::Profile;
use crate::route::{Route, Run, RunEnd, end_face};
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

/// The layout of a run, and over its ground where that was read.
pub(super) type LaidOut = (Layout, Option<(Profile, GroundLayout)>);

/// A run on its way through the layout.
pub(super) struct Work<'a> {
    job: &'a Job,
    run: &'a Run,
    name: &'a str,
    gates: Vec<&'a GatePlan>,
    ends: [End; 2],
    no_dig: Vec<Near>,
    hand_dig: Vec<Near>,
}

/// One end of a run.
#[derive(Clone, Copy)]
struct End {
    kind: PostKind,
    request: LayoutEnd,
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
    /// The stretches of a run in which a hole center comes within `reach`. Posts of
    /// other widths stand on other lines; all of them count.
    fn near(&self, product: &Product, run: &Run, reach: Length) -> Vec<Near> {
        let stretches = PostKind::ALL.into_iter().flat_map(|kind| {
            let width = product.posts.of(kind).width;
            let line =
                [Shift::ZERO, run.length.forward()].map(|station| run.post_center(station, width));
            stretches_within(line[0], line[1], &self.path, reach)
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
        let posts = PostKind::ALL.map(|kind| product.posts.of(kind).width.feet());
        let slack = posts.into_iter().fold(0.0, f64::max) + moved.feet();
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
        for (run, (_, name)) in route.runs.iter().zip(plan.legs()) {
            let work = Work::new(job, &hazards, run, name)?;
            let (from, to) = (first_flag + run.from, first_flag + run.to);
            let pinned = [from, to]
                .into_iter()
                .all(|i| flags.reports.get(i).is_some_and(|flag| flag.settable));
            let sigma = flags.across(from, to);
            reports.push(work.report(site, route, sigma, pinned)?);
        }
        first_flag += route.flags.len();
    }
    Ok(reports)
}

impl<'a> Work<'a> {
    pub(super) fn new<'h>(
        job: &'a Job,
        hazards: impl IntoIterator<Item = &'h Hazard>,
        run: &'a Run,
        name: &'a str,
    ) -> Result<Self, JobError> {
        let end = |end: RunEnd, arrives: bool| {
            End::new(end, arrives, &job.product).map_err(|source| JobError::End {
                run: name.to_owned(),
                source,
            })
        };
        let mut work = Self {
            job,
            run,
            name,
            gates: job.gates.iter().filter(|gate| gate.run == name).collect(),
            // A corner post is dug once: by the run that arrives at it.
            ends: [end(run.start, false)?, end(run.end, true)?],
            no_dig: Vec::new(),
            hand_dig: Vec::new(),
        };
        for hazard in hazards {
            let near = |reach| hazard.near(&job.product, run, reach);
            work.no_dig.extend(near(hazard.never));
            work.hand_dig
                .extend(hazard.by_hand.into_iter().flat_map(near));
        }
        Ok(work)
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
            full: product.full,
            min_cut: product.min_cut,
            cut_step: product.cutting.step,
            gates: self
                .gates
                .iter()
                .map(|gate| GateRequest {
                    opening: gate.opening,
                    from: gate.from,
                    to: gate.to,
                    wish: Some(gate.wish),
                })
                .collect(),
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

    /// The layout; over its ground where that was read.
    pub(super) fn laid_out(&self) -> Result<LaidOut, JobError> {
        let request = self.request();
        let Some(profile) = self.profile()? else {
            let layout = lay_out(&request).map_err(|source| self.error(source))?;
            return Ok((layout, None));
        };
        let product = &self.job.product;
        let step = product.posts.step.width;
        let laid = lay_out_on_ground(&request, &profile, &product.slope, step)
            .map_err(|source| self.error(source))?;
        Ok((laid.layout.clone(), Some((profile, laid))))
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

    fn runners_up(&self, laid_out: &LaidOut) -> Result<Vec<RunnerUp>, JobError> {
        let request = self.request();
        let product = &self.job.product;
        let choices = Choices {
            gate_openings: product.gate_openings.clone(),
            cutting: product.cutting,
            // Only free ends may shift in a route.
            start_held: self.run.start != RunEnd::Free,
            end_held: self.run.end != RunEnd::Free,
        };
        let (layout, on_ground) = laid_out;
        let others = match on_ground {
            None => runners_up(&request, layout, &choices).map_err(|source| self.error(source))?,
            Some((profile, laid)) => {
                runners_up_on_ground(&request, profile, &product.slope, laid, &choices)
                    .map_err(|source| self.error(source))?
                    .into_iter()
                    .map(|(other, _)| other)
                    .collect()
            }
        };
        Ok(others.into_iter().map(|other| self.named(other)).collect())
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
        let runners_up = self.runners_up(&laid_out)?;
        let (layout, on_ground) = laid_out;
        let laid = on_ground.as_ref().map(|(_, laid)| laid);
        let (posts, sections) = match &layout.status {
            LayoutStatus::Optimal(best) => (self.posts(best, laid), self.sections(best, laid)),
            LayoutStatus::None { .. } => (Vec::new(), Vec::new()),
        };
        let ground = on_ground
            .as_ref()
            .and_then(|(profile, laid)| self.ground(profile, laid));
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
            length: self.run.length,
            azimuth: self.run.azimuth,
            yard: self.run.yard,
            side: self.run.side.map(|side| site.lot.ring().side_name(side)),
            string_to_line: self.run.string_to_line.map(Shift::magnitude),
            string_to_holes: Length::saturating(self.job.product.posts.line.width.feet() / 2.0),
            line_sigma,
            pinned,
            layout,
            runners_up,
            posts,
            sections,
            ground,
            hand_dig: self.hand_dig.clone(),
            no_dig: self.no_dig.clone(),
        })
    }

    fn posts(&self, best: &Arrangement, laid: Option<&GroundLayout>) -> Vec<PostReport> {
        let lattice = self.job.lattice;
        best.posts
            .iter()
            .enumerate()
            .filter(|(_, post)| post.width > 0)
            .map(|(i, post)| {
                let on_ground = laid.and_then(|laid| laid.post_kind(i));
                let kind = self.kind(i, best.posts.len(), on_ground.or(Some(post.kind)));
                let station = (laid.and_then(|laid| laid.posts.get(i)).copied())
                    .unwrap_or_else(|| lattice.half_steps(post.center_half_steps));
                let width = Length::saturating(lattice.inches(post.width) / 12.0);
                PostReport {
                    kind,
                    station,
                    at: self.run.post_center(station, width),
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

    fn sections(&self, best: &Arrangement, laid: Option<&GroundLayout>) -> Vec<SectionReport> {
        let lattice = self.job.lattice;
        best.sections
            .iter()
            .enumerate()
            .map(|(i, section)| {
                let (from, clear) = laid.and_then(|laid| laid.sections.get(i)).map_or_else(
                    || {
                        let clear = lattice.shift(section.clear);
                        (lattice.shift(section.from), clear.magnitude())
                    },
                    |placed| *placed,
                );
                let sloped = laid.and_then(|laid| laid.sloped.as_ref()?.sections.get(i));
                let rail = sloped.map_or(clear, SectionOnGround::rail);
                let fill = match section.kind {
                    SectionKind::Full => Fill::Full,
                    SectionKind::Cut => Fill::Cut,
                    SectionKind::Bay => Fill::Bay,
                    SectionKind::Gate(gate) => self
                        .gates
                        .get(gate)
                        .map_or(Fill::Cut, |gate| Fill::Gate(self.gate(gate, from, clear))),
                };
                let saw = (fill == Fill::Cut).then(|| self.job.product.cutting.saw_length(rail));
                SectionReport {
                    fill,
                    from,
                    clear,
                    rail,
                    saw,
                }
            })
            .collect()
    }

    /// A gate in its place: hinges and leaf edges on the string.
    fn gate(&self, plan: &GatePlan, from: Shift, clear: Length) -> GateReport {
        let edges = [from, from + clear.forward()].map(|s| self.run.string_at(s));
        let into = Displacement::polar(
            self.run.yard_direction(Shift::ZERO),
            Length::saturating(clear.feet() / f64::from(plan.leaves.max(1))),
        );
        let swing = if plan.swings_in { into } else { -into };
        let middle = self
            .run
            .string_at(from + Shift::saturating(clear.feet() / 2.0));
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

impl End {
    fn new(
        end: RunEnd,
        arrives: bool,
        product: &Product,
    ) -> Result<Self, crate::corner::CornerError> {
        let kind = match end {
            RunEnd::Corner { .. } => PostKind::Corner,
            _ => PostKind::End,
        };
        let post = match end {
            RunEnd::WallBracket { .. } => Length::ZERO,
            _ => product.posts.of(kind).width,
        };
        let face = end_face(end, post)?;
        // A wall post stands as near to the wall as it may.
        let request = LayoutEnd {
            face_min: face.least,
            face_max: face.most,
            face_wish: face.least,
            post,
            hole: post > Length::ZERO && (arrives || kind == PostKind::End),
        };
        Ok(Self { kind, request })
    }
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
    // A corner post without a hole here was set by the run before.
    count.posts = run
        .posts
        .iter()
        .filter(|post| post.hole || post.kind != PostKind::Corner)
        .map(|post| (post.kind, post.hole))
        .collect();
    count
}
