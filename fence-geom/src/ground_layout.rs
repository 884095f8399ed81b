//! A run laid out on sloping ground.
//!
//! [`lay_out`] knows a straight, level line. On a slope a racked section takes
//! less of it than its rails are long: its level width is `rail x cos t`, where t
//! is the tilt of its rails; posts and gates stay plumb and level and take their
//! own width. So the run is laid out in **rail measure**: where a racked section
//! stands, each level foot counts `1 / cos t`; elsewhere each counts one. In rail
//! measure every full section is as long as every other, and a cut section's width
//! is what its panel is cut to.
//!
//! Where sections stand decides how they tilt, and how they tilt decides where
//! they stand. The first pass takes the tilt from the ground, and spreads what
//! posts don't stretch over section and post together, so that on one grade the
//! distance from post to post is right however many there are; each pass sets the
//! sections of the one before over the ground ([`follow_ground`]) and takes the
//! tilt from them, until every full section and every gate fits to a step of the
//! lattice. Usually one to three passes do. What is left is reported as
//! [`GroundLayout::misfit`]; "optimal" is said of the layout in the rail measure
//! of the pass that is returned. Where nothing racks, rail measure is level
//! measure and the one pass is the level layout.

use crate::layout::{
    Arrangement, Change, Choices, Found, Layout, LayoutEnd, LayoutError, LayoutRequest,
    LayoutStatus, RunnerUp, SectionKind, SectionPlace, Settled, WhichEnd, lay_out, outside,
    settled_runners_up,
};
use crate::length::{Length, Shift};
use crate::obstacle::Stretch;
use crate::product::{Build, PostKind, SlopeLimits};
use crate::profile::{Profile, ProfileError};
use crate::slope::{
    PostOnGround, PostToStand, SectionOnGround, SlopeError, SlopeSection, SlopedRun, follow_ground,
    posts_on_ground, rack_grade,
};

/// Passes after which the best so far is taken.
const MOST_PASSES: u32 = 8;

/// Steps by which a shift is tried to be longer where the grade breaks.
const MOST_LONGER: i64 = 4;

/// A run laid out on its ground.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundLayout {
    /// The layout in rail measure.
    pub layout: Layout,
    /// The request in rail measure, which the layout answers.
    pub request: LayoutRequest,
    /// The level station of the center of each post of the layout.
    pub posts: Vec<Shift>,
    /// The level first face and clear width of each section of the layout.
    pub sections: Vec<(Shift, Length)>,
    /// The sections over the ground; `None` where there is no layout.
    pub sloped: Option<SlopedRun>,
    /// The width of posts between two sections that are not gates.
    pub line_post: Length,
    /// How far the rails of a full section, or the opening of a gate, miss what
    /// they should be, at the worst.
    pub misfit: Length,
    /// The rail measure of the layout.
    measure: RailMeasure,
}

/// Other layouts of a run on its ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GroundRunnersUp {
    /// Each with how it stands over the ground.
    pub found: Vec<(RunnerUp, GroundLayout)>,
    /// How many more a person could want, but that do not hold on this ground.
    pub lost: usize,
}

/// A run over its ground: what a crew needs beside the layout.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundReport {
    /// The ground, by level stations.
    pub profile: Profile,
    /// The sections in order.
    pub sections: Vec<SectionOnGround>,
    /// The posts in order; a panel bracketed to a wall has none on that side.
    pub posts: Vec<PostOnGround>,
    /// How far full sections and gates miss their width, at the worst.
    pub misfit: Length,
}

/// Why a run can't be laid out on its ground.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GroundLayoutError {
    /// The profile.
    #[error(transparent)]
    Profile(#[from] ProfileError),
    /// The layout.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The sections over the ground.
    #[error(transparent)]
    Slope(#[from] SlopeError),
}

/// Returns the best layout of a run on sloping ground, and its sections over that
/// ground. All lengths of the request are level.
///
/// `step_post` is the width of a post where the fence steps. Where the fence
/// steps at a post between two sections and that width is another than
/// [`LayoutRequest::line_post`], all posts between two sections of the run get
/// it: which of them step is not known before they are placed.
///
/// # Errors
///
/// A [`GroundLayoutError`] for a profile that does not cover the run, or what
/// [`lay_out`] and [`follow_ground`] refuse.
///
/// # Examples
///
/// On a grade of 3 in 4 a panel of 60 in takes 48 in of level ground, so two of
/// them and three posts of 4 in fill 108 in; the end may stand a quarter of an
/// inch either way, for what rounding leaves:
///
/// ```
/// use fence_geom::{
///     GroundReading, LayoutEnd, LayoutRequest, Length, Profile, Rack, Shift, SlopeLimits,
///     lay_out_on_ground,
/// };
///
/// let (long, at) = (Length::from_inches, Shift::from_inches);
/// let end = LayoutEnd::fixed(at(4.0)?, long(4.0)?, true);
/// let free = LayoutEnd { face_min: at(3.75)?, face_max: at(4.25)?, ..end };
/// let run = LayoutRequest::plain(long(108.0)?, long(60.0)?, long(12.0)?, long(4.0)?, end, free);
/// let ground = Profile::new(vec![
///     GroundReading { station: at(0.0)?, height: at(0.0)? },
///     GroundReading { station: at(108.0)?, height: at(81.0)? },
/// ])?;
/// let limits = SlopeLimits { rack: Rack::Freely, ..SlopeLimits::default() };
/// let laid = lay_out_on_ground(&run, &ground, &limits, long(4.0)?)?;
/// assert_eq!(laid.sections.len(), 2);
/// assert!((laid.sections[0].1.inches() - 48.0).abs() < 0.07);
/// let sloped = laid.sloped.ok_or("there is a layout")?;
/// assert!((sloped.sections[0].rail().inches() - 60.0).abs() < 0.07);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn lay_out_on_ground(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
    step_post: Length,
) -> Result<GroundLayout, GroundLayoutError> {
    profile.check_covers(request.length)?;
    let laid = settled(request, profile, limits)?;
    if step_post != request.line_post && laid.steps_between_sections() {
        let wider = LayoutRequest {
            line_post: step_post,
            ..request.clone()
        };
        return settled(&wider, profile, limits);
    }
    Ok(laid)
}

/// Returns other layouts worth a look, as [`runners_up`](crate::runners_up()) does,
/// each with how it stands over the ground.
///
/// They are found in the rail measure of the layout, in which their sections tilt as
/// those of the best do where they stand. One that the ground would make fit worse
/// than the best and worse than a step of the lattice, or hang farther above its
/// limit, is laid out anew by its own tilt; only sections made equal have no request
/// of their own by which they could be. Those that do not hold then are counted.
/// `request` and `limits` are those of the layout.
///
/// # Errors
///
/// A [`GroundLayoutError`], as from [`lay_out_on_ground`].
pub fn runners_up_on_ground(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
    laid: &GroundLayout,
    choices: &Choices,
) -> Result<GroundRunnersUp, GroundLayoutError> {
    let trial = Trial {
        level: &LayoutRequest {
            line_post: laid.line_post,
            ..request.clone()
        },
        profile,
        limits,
        laid,
    };
    let settle = |found| trial.settle(found);
    let (found, lost) = settled_runners_up(&laid.request, &laid.layout, choices, settle)?;
    Ok(GroundRunnersUp { found, lost })
}

/// What other layouts are tried over.
struct Trial<'a> {
    /// The level request of the best.
    level: &'a LayoutRequest,
    profile: &'a Profile,
    limits: &'a SlopeLimits,
    laid: &'a GroundLayout,
}

impl Trial<'_> {
    /// Sets another layout over the ground, by the tilt of the best or by its own.
    fn settle(&self, found: Found) -> Result<Settled<GroundLayout>, GroundLayoutError> {
        let Some(asked) = self.asked(&found, 0) else {
            return Ok(Settled::Same);
        };
        let layout = Layout {
            status: LayoutStatus::Optimal(found.arrangement.clone()),
            ..self.laid.layout.clone()
        };
        let answered = (found.request.clone(), self.laid.measure.clone());
        let set = set_on_ground(&asked, self.profile, self.limits, layout, answered)?;
        if self.fits(&set) {
            return Ok(Settled::Holds(Box::new(found), set));
        }
        let longer = match found.change {
            Change::Equal(..) => return Ok(Settled::Lost),
            Change::Shift(_) => MOST_LONGER,
            _ => 0,
        };
        let anew = (0..=longer).find_map(|more| self.anew(&found, more));
        Ok(anew.map_or(Settled::Lost, |(found, own)| {
            Settled::Holds(Box::new(found), own)
        }))
    }

    /// Lays another layout out by its own tilt; nothing where that does not fit, or a
    /// shift no longer saves anything. A shift is so many steps longer.
    fn anew(&self, found: &Found, more: i64) -> Option<(Found, GroundLayout)> {
        let asked = self.asked(found, more)?;
        // What its own measure refuses does not fit.
        let own = settled(&asked, self.profile, self.limits).ok()?;
        let LayoutStatus::Optimal(best) = &own.layout.status else {
            return None;
        };
        let is_shift = matches!(found.change, Change::Shift(_));
        if !self.fits(&own) || is_shift && !self.saves(best) {
            return None;
        }
        let as_asked = own.measure.request(self.level, &[]);
        let found = Found {
            request: own.request.clone(),
            arrangement: best.clone(),
            outside: if is_shift {
                outside(&as_asked, best).ok()?
            } else {
                [0; 2]
            },
            ..found.clone()
        };
        Some((found, own))
    }

    /// The level request of another layout; nothing where it is that of the best.
    fn asked(&self, found: &Found, more: i64) -> Option<LayoutRequest> {
        let mut asked = self.level.clone();
        let (best, other) = (&self.laid.request, &found.request);
        match found.change {
            Change::Gate(i) => {
                let new = other.gates.get(i)?.opening;
                let gate = asked.gates.get_mut(i)?;
                // In rail measure its own opening can look like another one.
                if new.minus(gate.opening).magnitude() <= self.step() {
                    return None;
                }
                gate.opening = new;
            }
            Change::Shift(WhichEnd::Start) => {
                asked.start = self.wider(asked.start, best.start, other.start, more);
            }
            Change::Shift(WhichEnd::End) => {
                asked.end = self.wider(asked.end, best.end, other.end, more);
            }
            Change::HandDug | Change::FewerPanels => asked.order.clone_from(&other.order),
            Change::WiderCuts => asked.min_cut = other.min_cut,
            Change::HiddenEnd(_) => asked.hide = other.hide,
            Change::Equal(..) => {}
        }
        Some(asked)
    }

    /// An end whose range is as much wider as that of another layout is, in whole
    /// steps, and so many more.
    fn wider(&self, level: LayoutEnd, best: LayoutEnd, other: LayoutEnd, more: i64) -> LayoutEnd {
        let lattice = self.level.lattice;
        let by = lattice.shift(lattice.nearest(other.face_max - best.face_max) + more);
        LayoutEnd {
            face_min: level.face_min - by,
            face_max: level.face_max + by,
            ..level
        }
    }

    fn step(&self) -> Length {
        self.level.lattice.shift(1).magnitude()
    }

    /// True if the ground takes it as well as the best, or to a step.
    fn fits(&self, set: &GroundLayout) -> bool {
        let most = self.laid.misfit.feet().max(self.step().feet());
        set.misfit.feet() <= most && set.worst_over() <= self.laid.worst_over()
    }

    /// True if it has fewer cuts or sections than the best.
    fn saves(&self, other: &Arrangement) -> bool {
        let LayoutStatus::Optimal(best) = &self.laid.layout.status else {
            return false;
        };
        let (new, old) = (&other.objective, &best.objective);
        new.cuts < old.cuts || new.sections < old.sections
    }
}

/// The request in rail measure as the ground alone tells it, before sections are
/// placed: on one grade, or where nothing racks, what the layout answers.
pub(crate) fn request_on_ground(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
) -> Result<LayoutRequest, GroundLayoutError> {
    profile.check_covers(request.length)?;
    let grade = rack_grade(limits.rack, request.full);
    let measure = RailMeasure::of_ground(profile, grade, request);
    Ok(measure.request(request, &vec![None; request.gates.len()]))
}

/// Lays a run out until it fits its own tilt.
fn settled(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
) -> Result<GroundLayout, GroundLayoutError> {
    let grade = rack_grade(limits.rack, request.full);
    let mut measure = RailMeasure::of_ground(profile, grade, request);
    let mut gates: Vec<Option<f64>> = vec![None; request.gates.len()];
    let mut best: Option<GroundLayout> = None;
    for _ in 0..MOST_PASSES {
        let laid = pass(request, profile, limits, measure, &gates)?;
        let fits = laid.sloped.is_none() || laid.misfit <= request.lattice.shift(1).magnitude();
        measure = laid.settled_measure();
        gates = laid.gate_middles(request.gates.len());
        if best.as_ref().is_none_or(|best| laid.misfit < best.misfit) {
            best = Some(laid);
        }
        if fits {
            break;
        }
    }
    match best {
        Some(best) => Ok(best),
        None => pass(request, profile, limits, measure, &gates),
    }
}

/// Lays a run out in one rail measure.
fn pass(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
    measure: RailMeasure,
    gates: &[Option<f64>],
) -> Result<GroundLayout, GroundLayoutError> {
    let in_rails = measure.request(request, gates);
    let layout = lay_out(&in_rails)?;
    set_on_ground(request, profile, limits, layout, (in_rails, measure))
}

/// Sets a layout over the ground: `answered` is the request that it answers, in
/// the rail measure beside it.
fn set_on_ground(
    request: &LayoutRequest,
    profile: &Profile,
    limits: &SlopeLimits,
    layout: Layout,
    answered: (LayoutRequest, RailMeasure),
) -> Result<GroundLayout, GroundLayoutError> {
    let (in_rails, measure) = answered;
    let mut laid = GroundLayout {
        layout,
        request: in_rails,
        posts: Vec::new(),
        sections: Vec::new(),
        sloped: None,
        line_post: request.line_post,
        misfit: Length::ZERO,
        measure,
    };
    let LayoutStatus::Optimal(best) = &laid.layout.status else {
        return Ok(laid);
    };
    let lattice = request.lattice;
    let centers = best.posts.iter().zip(anchors(best, request.build));
    let posts: Vec<Shift> = centers
        .map(|(post, anchor)| {
            let beside = lattice.half_steps(post.center_half_steps - anchor);
            laid.measure.level(lattice.half_steps(anchor)) + beside
        })
        .collect();
    let placed: Vec<SlopeSection> = (edges(best).zip(posts.iter().zip(posts.iter().skip(1))))
        .zip(&best.sections)
        .map(|(((after, before), (&from, &to)), section)| SlopeSection {
            from: from + lattice.half_steps(after),
            to: to - lattice.half_steps(before),
            joint_from: from,
            joint_to: to,
            level: matches!(section.kind, SectionKind::Gate(_)),
        })
        .collect();
    let sloped = follow_ground(profile, &placed, limits, request.full)?;
    laid.misfit = misfit(request, best, &sloped);
    laid.sections = (placed.iter())
        .map(|section| {
            let clear = section.to - section.from;
            (section.from, Length::saturating(clear.feet()))
        })
        .collect();
    laid.posts = posts;
    laid.sloped = Some(sloped);
    Ok(laid)
}

/// The place of each post that goes by the measure, in half steps; the post stands
/// beside it as on the level. It is the center, but where a panel lies on the face
/// of a post, the edge of the panel.
fn anchors(best: &Arrangement, build: Build) -> impl Iterator<Item = i64> {
    let on_face = build == Build::PanelsOnFace;
    let is_panel =
        move |section: &&SectionPlace| on_face && !matches!(section.kind, SectionKind::Gate(_));
    best.posts.iter().enumerate().map(move |(i, post)| {
        let before = i.checked_sub(1).and_then(|i| best.sections.get(i));
        let ends = before.filter(is_panel).map(SectionPlace::to);
        let begins = best
            .sections
            .get(i)
            .filter(is_panel)
            .map(|panel| panel.from);
        begins
            .or(ends)
            .map_or(post.center_half_steps, |edge| 2 * edge)
    })
}

/// How far each section begins after the center of the post before it, and ends
/// before that of the post after it, in half steps.
fn edges(best: &Arrangement) -> impl Iterator<Item = (i64, i64)> {
    (best
        .sections
        .iter()
        .zip(best.posts.iter().zip(best.posts.iter().skip(1))))
    .map(|(section, (before, after))| {
        (
            2 * section.from - before.center_half_steps,
            after.center_half_steps - 2 * section.to(),
        )
    })
}

/// How far full sections and gates miss what they should be, at the worst.
fn misfit(request: &LayoutRequest, best: &Arrangement, sloped: &SlopedRun) -> Length {
    let sections = best.sections.iter().zip(&sloped.sections);
    let off = sections.filter_map(|(placed, section)| {
        let wanted = match placed.kind {
            SectionKind::Full => request.full,
            SectionKind::Gate(gate) => request.gates.get(gate)?.opening,
            SectionKind::Cut | SectionKind::Bay => return None,
        };
        Some(section.rail().minus(wanted).magnitude().feet())
    });
    Length::saturating(off.fold(0.0, f64::max))
}

impl GroundReport {
    /// Returns at how many posts the fence steps.
    #[must_use]
    pub fn step_count(&self) -> usize {
        let steps = self.posts.iter();
        steps.filter(|post| post.step != Shift::ZERO).count()
    }
}

impl GroundLayout {
    /// Returns the kind of a post of the layout, counted from 0: a line post at
    /// which the fence steps is a step post.
    #[must_use]
    pub fn post_kind(&self, post: usize) -> Option<PostKind> {
        let LayoutStatus::Optimal(best) = &self.layout.status else {
            return None;
        };
        let kind = best.posts.get(post)?.kind;
        let steps = self.sloped.as_ref().map(|sloped| &sloped.steps);
        let step = steps.and_then(|steps| steps.get(post.checked_sub(1)?));
        Some(match step {
            Some(step) if kind == PostKind::Line && *step != Shift::ZERO => PostKind::Step,
            _ => kind,
        })
    }

    /// Returns the run over its ground, with posts `depths` deep, one for each post
    /// of the layout; `None` where there is no layout. `height` is that of the
    /// fence over level ground.
    #[must_use]
    pub fn report(
        &self,
        profile: &Profile,
        limits: &SlopeLimits,
        height: Length,
        depths: &[Length],
    ) -> Option<GroundReport> {
        let LayoutStatus::Optimal(best) = &self.layout.status else {
            return None;
        };
        let sloped = self.sloped.as_ref()?;
        let stand: Vec<PostToStand> = (self.posts.iter().zip(depths))
            .map(|(&station, &depth)| PostToStand { station, depth })
            .collect();
        let posts = posts_on_ground(profile, sloped, &stand, limits, height);
        Some(GroundReport {
            profile: profile.clone(),
            sections: sloped.sections.clone(),
            posts: (posts.into_iter().zip(&best.posts))
                .filter(|(_, placed)| placed.width > 0)
                .map(|(post, _)| post)
                .collect(),
            misfit: self.misfit,
        })
    }

    fn steps_between_sections(&self) -> bool {
        let LayoutStatus::Optimal(best) = &self.layout.status else {
            return false;
        };
        let Some(sloped) = &self.sloped else {
            return false;
        };
        let is_gate = |kind| matches!(kind, SectionKind::Gate(_));
        (best.sections.iter().zip(best.sections.iter().skip(1)))
            .zip(&sloped.steps)
            .any(|((before, after), step)| {
                *step != Shift::ZERO && !is_gate(before.kind) && !is_gate(after.kind)
            })
    }

    /// How far the worst gap under a section is over its limit.
    fn worst_over(&self) -> Length {
        let sections = self.sloped.iter().flat_map(|run| &run.sections);
        let over = sections.map(|section| section.over.feet());
        Length::saturating(over.fold(0.0, f64::max))
    }

    /// The rail measure of the sections as they stand.
    fn settled_measure(&self) -> RailMeasure {
        let sections = self
            .sections
            .iter()
            .zip(self.sloped.iter().flat_map(|run| &run.sections));
        let pieces = sections.map(|((from, clear), section)| {
            let stretch = section.rail().feet() / clear.feet();
            (from.feet(), (*from + clear.forward()).feet(), stretch)
        });
        RailMeasure::of_pieces(pieces)
    }

    /// Where the middle of each gate stands, level, in feet.
    fn gate_middles(&self, count: usize) -> Vec<Option<f64>> {
        let mut middles = vec![None; count];
        let LayoutStatus::Optimal(best) = &self.layout.status else {
            return middles;
        };
        for (placed, (from, clear)) in best.sections.iter().zip(&self.sections) {
            if let SectionKind::Gate(gate) = placed.kind
                && let Some(middle) = middles.get_mut(gate)
            {
                *middle = Some(from.feet() + clear.feet() / 2.0);
            }
        }
        middles
    }
}

/// Level stations against stations in rail measure.
#[derive(Clone, Debug, PartialEq)]
struct RailMeasure {
    /// Level and rail stations, both growing; none where they are the same.
    /// Before the first and after the last each foot counts one.
    knots: Vec<(f64, f64)>,
    /// How far behind a face the place is that is measured, in feet: half a post
    /// where posts count as they stretch, nothing where they count one.
    half_post: f64,
}

impl RailMeasure {
    /// As if full sections and line posts stood everywhere, racked as the ground
    /// slopes, as far as the product racks.
    fn of_ground(profile: &Profile, grade: Option<f64>, request: &LayoutRequest) -> Self {
        let most = grade.unwrap_or(f64::INFINITY);
        // Panels on the face of the posts meet at their middles: posts take nothing.
        let post = match request.build {
            Build::PanelsOnFace => 0.0,
            Build::Panels | Build::Stick | Build::Fabric => request.line_post.feet(),
        };
        let full = request.full.feet();
        let readings = profile.readings();
        let pieces = readings.iter().zip(readings.iter().skip(1));
        Self::of_pieces(pieces.map(|(before, after)| {
            let (from, to) = (before.station.feet(), after.station.feet());
            let rise = (after.height - before.height).feet();
            let tilt = (rise.abs() / (to - from)).min(most);
            let level = full / tilt.hypot(1.0);
            (from, to, (full + post) / (level + post))
        }))
        .about(post / 2.0)
    }

    /// The same measure, with faces measured from the centers of line posts.
    fn about(self, half_post: f64) -> Self {
        Self { half_post, ..self }
    }

    /// Pieces in order, each with what a level foot of it counts.
    fn of_pieces(pieces: impl Iterator<Item = (f64, f64, f64)>) -> Self {
        let mut knots: Vec<(f64, f64)> = Vec::new();
        let mut stretched = false;
        for (from, to, stretch) in pieces {
            let rail = knots
                .last()
                .map_or(from, |(level, rail)| rail + (from - level));
            knots.push((from, rail));
            knots.push((to, rail + (to - from) * stretch));
            stretched |= stretch > 1.0;
        }
        if !stretched {
            knots.clear();
        }
        let half_post = 0.0;
        Self { knots, half_post }
    }

    fn rail(&self, station: Shift) -> Shift {
        Shift::saturating(along(station.feet(), self.knots.iter().copied()))
    }

    fn level(&self, rail: Shift) -> Shift {
        let turned = self.knots.iter().map(|&(level, rail)| (rail, level));
        Shift::saturating(along(rail.feet(), turned))
    }

    /// The request in rail measure. `gates` says where a gate stood before.
    fn request(&self, request: &LayoutRequest, gates: &[Option<f64>]) -> LayoutRequest {
        if self.knots.is_empty() {
            return request.clone();
        }
        let end = self.rail(request.length.forward());
        let half = Shift::saturating(self.half_post);
        // A panel on the face of its end post begins at the post's far edge.
        let before_face = |end: LayoutEnd| match request.build {
            Build::PanelsOnFace => end.post.forward(),
            Build::Panels | Build::Stick | Build::Fabric => half,
        };
        let stretch = |stretch: &Stretch| Stretch {
            from: self.rail(stretch.from),
            to: self.rail(stretch.to),
        };
        let mut mapped = LayoutRequest {
            length: Length::saturating(end.feet()),
            no_dig: request.no_dig.iter().map(stretch).collect(),
            hand_dig: request.hand_dig.iter().map(stretch).collect(),
            show: request.show.iter().map(stretch).collect(),
            start: faces(request.start, |face| {
                let into = before_face(request.start);
                self.rail(face - into) + into
            }),
            end: faces(request.end, |face| {
                let into = before_face(request.end);
                end - self.rail(request.length.forward() - face + into) + into
            }),
            ..request.clone()
        };
        for (gate, stood) in mapped.gates.iter_mut().zip(gates) {
            let window = || Some(gate.from?.feet().midpoint(gate.to?.feet()));
            let middle = stood.or_else(|| gate.wish.map(Shift::feet)).or_else(window);
            let reach = gate.opening.feet() / 2.0 + self.half_post;
            if let Some(middle) = middle {
                let post = |side: f64| self.rail(Shift::saturating(middle + side * reach));
                let opening = (post(1.0) - post(-1.0) - half - half).feet();
                // A width off the lattice is refused, and this one is computed.
                let step = request.lattice.shift(1).feet();
                gate.opening = Length::saturating((opening / step).round() * step);
            }
            for place in [&mut gate.from, &mut gate.to, &mut gate.wish] {
                *place = place.map(|place| self.rail(place));
            }
        }
        mapped
    }
}

fn faces(end: LayoutEnd, rail: impl Fn(Shift) -> Shift) -> LayoutEnd {
    LayoutEnd {
        face_min: rail(end.face_min),
        face_max: rail(end.face_max),
        face_wish: rail(end.face_wish),
        ..end
    }
}

/// The second coordinate of a broken line at the first one; beyond its ends it
/// goes on one for one.
fn along(at: f64, knots: impl Iterator<Item = (f64, f64)>) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    for (x, y) in knots {
        if at <= x {
            return before.map_or(y - (x - at), |(x0, y0)| {
                if x > x0 {
                    y0 + (y - y0) * (at - x0) / (x - x0)
                } else {
                    y
                }
            });
        }
        before = Some((x, y));
    }
    before.map_or(at, |(x, y)| y + (at - x))
}
