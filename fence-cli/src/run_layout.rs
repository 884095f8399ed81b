//! One run laid out for `fence posts`: straight and level, on its ground, or on an
//! arc.

use anyhow::{Context, bail};
use fence_geom::{
    Angle, ArcLayout, ArcLine, ArcYard, Arrangement, Choices, Cutting, GroundLayout, GroundReading,
    GroundReport, Lattice, Layout, LayoutRequest, LayoutStatus, Length, PostKind, Profile, Rack,
    RunnerUp, Shift, SlopeLimits, lay_out, lay_out_on_arc, lay_out_on_ground, least_arc_radius,
    runners_up, runners_up_on_arc, runners_up_on_ground,
};

use crate::contract::posts::{ArcAnswer, InchesOrText, PostsArc, PostsRequest, YardWord};

/// The height that a picture has where none is given.
const DRAWN_HEIGHT_IN: f64 = 72.0;

/// Posts and sections in their places, by the tape of the run.
#[derive(Default)]
pub(crate) struct Placed {
    /// The center of each post, and its kind.
    pub(crate) posts: Vec<(Shift, PostKind)>,
    /// Each section.
    pub(crate) sections: Vec<PlacedSection>,
}

/// A section in its place.
pub(crate) struct PlacedSection {
    /// Its first face.
    pub(crate) from: Shift,
    /// Its clear width.
    pub(crate) clear: Length,
    /// How long its rails are, face to face of its posts.
    pub(crate) rail: Length,
}

/// A run laid out.
pub(crate) struct RunLayout {
    /// The layout as it was searched.
    pub(crate) layout: Layout,
    /// Its posts and sections.
    pub(crate) placed: Placed,
    /// Other layouts worth a look.
    pub(crate) runners_up: Vec<(RunnerUp, Placed)>,
    /// How many more would be, but do not hold on the ground.
    pub(crate) runners_up_lost: usize,
    /// Where there is no layout: gates that no place lets stand together.
    pub(crate) gates_in_the_way: Vec<(usize, usize)>,
    /// How panels are cut.
    pub(crate) cutting: Cutting,
    /// The run over its ground.
    pub(crate) ground: Option<GroundReport>,
    /// The run on its arc.
    pub(crate) arc: Option<ArcLayout>,
    /// The least radius that the product allows.
    pub(crate) least_radius: Option<Length>,
    /// How high the fence stands, how deep its posts go, and the gap under it on
    /// level ground.
    pub(crate) height: Length,
    pub(crate) depth: Length,
    pub(crate) least_gap: Length,
}

impl RunLayout {
    /// Lays out what was asked; `request` is its straight part.
    pub(crate) fn new(
        asked: &PostsRequest,
        request: &LayoutRequest,
        choices: &Choices,
        assumed: &mut Vec<String>,
    ) -> anyhow::Result<Self> {
        let limits = slope_limits(asked, assumed)?;
        let mut length = |field: &str, given: &Option<InchesOrText>, default: Length| {
            optional(field, given.as_ref(), assumed).map(|length| length.unwrap_or(default))
        };
        let mut run = Self {
            layout: Layout {
                status: LayoutStatus::None {
                    blocking: Vec::new(),
                    relaxations: Vec::new(),
                },
                lattice: request.lattice,
                order: Vec::new(),
            },
            placed: Placed::default(),
            runners_up: Vec::new(),
            runners_up_lost: 0,
            gates_in_the_way: request.gates_in_the_way(),
            cutting: choices.cutting,
            ground: None,
            arc: None,
            least_radius: None,
            height: length(
                "height",
                &asked.height,
                Length::from_inches(DRAWN_HEIGHT_IN)?,
            )?,
            depth: length("depth", &asked.depth, Length::ZERO)?,
            least_gap: limits.least_gap,
        };
        let step_post = length("step_post", &asked.step_post, request.line_post)?;
        match (&asked.arc, asked.ground.is_empty()) {
            (Some(_), false) => bail!(
                "`arc` and `ground` are both given, and a run on an arc is laid out level: leave one of them out"
            ),
            (Some(arc), true) => run.on_arc(request, choices, arc, assumed)?,
            (None, false) => {
                let profile = profile(asked, assumed)?;
                run.on_ground(request, choices, &profile, &limits, step_post)?;
            }
            (None, true) => run.straight(request, choices)?,
        }
        Ok(run)
    }

    fn straight(&mut self, request: &LayoutRequest, choices: &Choices) -> anyhow::Result<()> {
        self.layout = lay_out(request)?;
        let lattice = self.layout.lattice;
        if let LayoutStatus::Optimal(best) = &self.layout.status {
            self.placed = Placed::straight(best, lattice);
        }
        self.runners_up = (runners_up(request, &self.layout, choices)?.into_iter())
            .map(|other| {
                let placed = Placed::straight(&other.arrangement, lattice);
                (other, placed)
            })
            .collect();
        Ok(())
    }

    fn on_ground(
        &mut self,
        request: &LayoutRequest,
        choices: &Choices,
        profile: &Profile,
        limits: &SlopeLimits,
        step_post: Length,
    ) -> anyhow::Result<()> {
        let laid = lay_out_on_ground(request, profile, limits, step_post)?;
        let depths = vec![self.depth; laid.posts.len()];
        self.ground = laid.report(profile, limits, self.height, &depths);
        self.placed = Placed::on_ground(&laid);
        let others = runners_up_on_ground(request, profile, limits, &laid, choices)?;
        self.runners_up_lost = others.lost;
        self.runners_up = (others.found.into_iter())
            .map(|(other, laid)| (other, Placed::on_ground(&laid)))
            .collect();
        self.layout = laid.layout;
        Ok(())
    }

    fn on_arc(
        &mut self,
        request: &LayoutRequest,
        choices: &Choices,
        asked: &PostsArc,
        assumed: &mut Vec<String>,
    ) -> anyhow::Result<()> {
        let radius = optional("arc.radius", Some(&asked.radius), assumed)?;
        let arc = ArcLine {
            radius: radius.unwrap_or(Length::ZERO),
            yard: match asked.yard {
                YardWord::Center => ArcYard::Center,
                YardWord::Away => ArcYard::Away,
            },
        };
        let laid = lay_out_on_arc(request, &arc)?;
        let most_turn = (asked.most_turn_deg)
            .map(|degrees| Angle::from_degrees(degrees).context("`arc.most_turn_deg`"))
            .transpose()?;
        if most_turn.is_some_and(|turn| turn.degrees() <= 0.0) {
            bail!(
                "`arc.most_turn_deg` must be more than zero: give what the brackets swing, or leave it out"
            );
        }
        self.least_radius =
            most_turn.map(|turn| least_arc_radius(request.full + request.line_post, turn));
        self.placed = Placed::on_arc(&laid);
        let others = runners_up_on_arc(request, &arc, &laid, choices)?;
        self.runners_up = (others.into_iter())
            .map(|(other, laid)| (other, Placed::on_arc(&laid)))
            .collect();
        self.layout = laid.layout.clone();
        self.arc = Some(laid);
        Ok(())
    }

    /// Whether the ground and the arc allow what was laid out.
    pub(crate) fn is_within_limits(&self) -> bool {
        let gaps = self.ground.iter().flat_map(|ground| &ground.sections);
        let tight = self.arc.as_ref().zip(self.least_radius);
        gaps.map(|section| section.over)
            .all(|over| over == Length::ZERO)
            && tight.is_none_or(|(arc, least)| arc.post_radius >= least)
    }

    /// The arc as the answer has it.
    pub(crate) fn arc_answer(&self) -> Option<ArcAnswer> {
        let arc = self.arc.as_ref()?;
        Some(ArcAnswer {
            post_radius_ft: arc.post_radius.feet(),
            moved_in_in: arc.moved_in.inches(),
            full_turn_deg: arc.full_turn.degrees(),
            turns_deg: arc.posts.iter().map(|post| post.turn.degrees()).collect(),
            chords_in: (arc.sections.iter())
                .map(|section| section.chord.inches())
                .collect(),
            rises_in: (arc.sections.iter())
                .map(|section| section.rise.inches())
                .collect(),
            misfit_in: arc.misfit.inches(),
            least_radius_ft: self.least_radius.map(Length::feet),
        })
    }
}

impl Placed {
    fn straight(best: &Arrangement, lattice: Lattice) -> Self {
        let section = |from: i64, clear: i64| {
            let clear = lattice.shift(clear).magnitude();
            PlacedSection {
                from: lattice.shift(from),
                clear,
                rail: clear,
            }
        };
        Self {
            posts: (best.posts.iter())
                .map(|post| (lattice.half_steps(post.center_half_steps), post.kind))
                .collect(),
            sections: (best.sections.iter())
                .map(|placed| section(placed.from, placed.clear))
                .collect(),
        }
    }

    fn on_ground(laid: &GroundLayout) -> Self {
        let rails = laid.sloped.iter().flat_map(|run| &run.sections);
        Self {
            posts: (laid.posts.iter().enumerate())
                .map(|(i, &station)| (station, laid.post_kind(i).unwrap_or(PostKind::Line)))
                .collect(),
            sections: (laid.sections.iter().zip(rails))
                .map(|(&(from, clear), section)| PlacedSection {
                    from,
                    clear,
                    rail: section.rail(),
                })
                .collect(),
        }
    }

    fn on_arc(laid: &ArcLayout) -> Self {
        let LayoutStatus::Optimal(best) = &laid.layout.status else {
            return Self::default();
        };
        Self {
            posts: (laid.posts.iter().zip(&best.posts))
                .map(|(post, placed)| (post.station, placed.kind))
                .collect(),
            sections: (laid.sections.iter())
                .map(|section| PlacedSection {
                    from: section.from,
                    clear: section.clear,
                    rail: section.clear,
                })
                .collect(),
        }
    }
}

fn optional(
    field: &str,
    given: Option<&InchesOrText>,
    assumed: &mut Vec<String>,
) -> anyhow::Result<Option<Length>> {
    let Some(given) = given else { return Ok(None) };
    assumed.extend(given.0.assumed.iter().cloned());
    Length::from_feet(given.0.value.feet())
        .map(Some)
        .with_context(|| format!("`{field}` can't be less than zero"))
}

fn slope_limits(asked: &PostsRequest, assumed: &mut Vec<String>) -> anyhow::Result<SlopeLimits> {
    let usual = SlopeLimits::default();
    let Some(slope) = &asked.slope else {
        return Ok(usual);
    };
    let mut length =
        |field: &str, given: &Option<InchesOrText>| optional(field, given.as_ref(), assumed);
    let rack = match (length("slope.rack", &slope.rack)?, slope.rack_freely) {
        (Some(_), true) => {
            bail!("`slope` has both `rack` and `rack_freely`: leave one of them out")
        }
        (Some(rise), false) => Rack::UpTo(rise),
        (None, true) => Rack::Freely,
        (None, false) => Rack::Level,
    };
    Ok(SlopeLimits {
        rack,
        least_gap: length("slope.least_gap", &slope.least_gap)?.unwrap_or(usual.least_gap),
        most_gap: length("slope.most_gap", &slope.most_gap)?.unwrap_or(usual.most_gap),
        post_above: length("slope.post_above", &slope.post_above)?.unwrap_or_default(),
        post_lengths: (slope.post_lengths.iter())
            .filter_map(|given| optional("slope.post_lengths", Some(given), assumed).transpose())
            .collect::<anyhow::Result<_>>()?,
    })
}

fn profile(asked: &PostsRequest, assumed: &mut Vec<String>) -> anyhow::Result<Profile> {
    let mut shift = |given: &InchesOrText| {
        assumed.extend(given.0.assumed.iter().cloned());
        given.0.value
    };
    let readings = (asked.ground.iter())
        .map(|reading| GroundReading {
            station: shift(&reading.at),
            height: shift(&reading.height),
        })
        .collect();
    let profile = if asked.along_ground {
        Profile::from_taped_along_ground(readings)
    } else {
        Profile::new(readings)
    };
    profile.context("`ground`")
}
