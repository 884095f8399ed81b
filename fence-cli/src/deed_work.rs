//! The tracts of a deed worked out, each by itself.

use fence_geom::{
    Area, AreaCheck, BalanceRule, Balanced, Closure, ClosureCheck, Completed, Corner, Course,
    CourseErrors, Description, Length, SlipError, SlipSearch, StatedCall, StatedCourse, Tract,
    Traverse, area_left_open, balance, check_area, check_strip_area, complete, find_slips,
    strip_area, traverse,
};

/// How the tracts are to be worked out.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wish {
    /// What a closed tract may miss by, where that is not left to the rounding of its
    /// figures.
    pub(crate) tolerance: Option<Length>,
    /// Which answer to take where there are several, from one.
    pub(crate) answer: Option<usize>,
    /// How the misclosure is shared out.
    pub(crate) rule: RuleField,
}

/// How a misclosure is shared out.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    clap::ValueEnum,
    serde::Deserialize,
    serde::Serialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum RuleField {
    /// In proportion to the lengths of the courses.
    #[default]
    Compass,
    /// Latitudes by latitudes, departures by departures.
    Transit,
    /// Each course by the errors of its distance and its direction.
    LeastSquares,
}

impl RuleField {
    fn rule(self) -> BalanceRule {
        match self {
            Self::Compass => BalanceRule::Compass,
            Self::Transit => BalanceRule::Transit,
            Self::LeastSquares => BalanceRule::LeastSquares(CourseErrors::default()),
        }
    }

    /// The rule in words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Compass => "the compass rule",
            Self::Transit => "the transit rule",
            Self::LeastSquares => "least squares",
        }
    }
}

/// A tract and what comes of it.
pub(crate) struct TractWork {
    pub(crate) stated: Tract,
    pub(crate) outcome: Outcome,
}

/// What comes of a tract.
pub(crate) enum Outcome {
    /// Nothing but the courses before a gap.
    Gap(Gap),
    Whole(Box<Whole>),
}

/// A tract with a gap: a call that is unread, or can't be run out.
pub(crate) struct Gap {
    /// The courses before it, and the corners they reach.
    pub(crate) courses: Vec<Course>,
    pub(crate) corners: Vec<Corner>,
    /// Why, where it is not an unread call.
    pub(crate) problem: Option<String>,
}

/// A tract run out.
pub(crate) struct Whole {
    /// The answers, of which one is run out.
    pub(crate) answers: Vec<Completed>,
    /// The index of that one.
    pub(crate) chosen: usize,
    pub(crate) traverse: Traverse,
    /// Whether its end is its beginning.
    pub(crate) comes_back: bool,
    pub(crate) rule: RuleField,
    pub(crate) balanced: Option<Balanced>,
    pub(crate) ring_problem: Option<String>,
    /// What a closed tract may miss by.
    pub(crate) limit: Length,
    /// The slips, where the tract misses by more.
    pub(crate) search: Option<Result<SlipSearch, SlipError>>,
}

/// Works out every tract of a description.
///
/// # Errors
///
/// Says how many answers there are where the wish is for another.
pub(crate) fn work_out_tracts(
    description: &Description,
    wish: Wish,
) -> anyhow::Result<Vec<TractWork>> {
    let unread = description.unread.iter().map(|unread| unread.at.start);
    let gap = unread.min();
    let tracts = description.tracts.iter();
    tracts
        .map(|tract| TractWork::of(tract, gap, wish))
        .collect()
}

impl TractWork {
    /// A tract of which no call could be read.
    pub(crate) fn without_calls() -> Self {
        let stated = Tract::default();
        Self {
            outcome: Outcome::Gap(Gap::of(&stated, None, None)),
            stated,
        }
    }

    fn of(tract: &Tract, gap: Option<usize>, wish: Wish) -> anyhow::Result<Self> {
        // Where a call is unread it is not known whose it is.
        let outcome = if gap.is_some() {
            Outcome::Gap(Gap::of(tract, gap, None))
        } else {
            match complete(tract) {
                Ok(answers) => Outcome::Whole(Box::new(Whole::of(tract, answers, wish)?)),
                Err(error) => Outcome::Gap(Gap::of(tract, None, Some(error.to_string()))),
            }
        };
        Ok(Self {
            stated: tract.clone(),
            outcome,
        })
    }

    pub(crate) fn whole(&self) -> Option<&Whole> {
        match &self.outcome {
            Outcome::Whole(whole) => Some(whole),
            Outcome::Gap(_) => None,
        }
    }

    /// The courses that could be run out, and the corners they reach.
    pub(crate) fn courses(&self) -> &[Course] {
        match &self.outcome {
            Outcome::Whole(whole) => whole.traverse.courses(),
            Outcome::Gap(gap) => &gap.courses,
        }
    }

    pub(crate) fn corners(&self) -> &[Corner] {
        match &self.outcome {
            Outcome::Whole(whole) => whole.traverse.corners(),
            Outcome::Gap(gap) => &gap.corners,
        }
    }

    /// Whether nothing is wrong with the tract.
    pub(crate) fn is_good(&self) -> bool {
        self.whole().is_some_and(|whole| {
            let is_strip = self.stated.strip_width.is_some();
            is_strip || (whole.closes() && whole.ring_problem.is_none())
        })
    }
}

impl Gap {
    fn of(tract: &Tract, gap: Option<usize>, problem: Option<String>) -> Self {
        let is_before_gap = |call: &&StatedCall| {
            let at = call.written.as_ref().map(|written| written.at.start);
            gap.is_none_or(|gap| at.is_some_and(|at| at < gap))
        };
        let mut before = Tract {
            calls: (tract.calls.iter().take_while(is_before_gap))
                .take_while(|call| has_all_parts(call))
                .cloned()
                .collect(),
            stated_area: None,
            ..tract.clone()
        };
        // It ends where the gap begins, and that is no corner of the tract.
        if let Some(last) = before.calls.last_mut() {
            last.corner.get_or_insert_with(|| "?".to_owned());
        }
        let run = complete(&before)
            .ok()
            .and_then(|answers| answers.into_iter().next())
            .map(|completed| traverse(&completed.deed));
        Self {
            courses: run
                .as_ref()
                .map_or_else(Vec::new, |run| run.courses().to_vec()),
            corners: run.map_or_else(Vec::new, |run| run.corners().to_vec()),
            problem,
        }
    }
}

fn has_all_parts(call: &StatedCall) -> bool {
    match call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => direction.is_some() && distance.is_some(),
        StatedCourse::Curve(_) => true,
    }
}

/// The tract with what an answer settles: the hands of curves, and a last call left
/// out.
fn as_run_out(tract: &Tract, completed: &Completed) -> Tract {
    let mut settled = tract.clone();
    for &(call, hand) in &completed.hands_tried {
        if let Some(StatedCourse::Curve(elements)) =
            settled.calls.get_mut(call).map(|call| &mut call.course)
        {
            elements.turn = Some(hand);
        }
    }
    settled.calls.truncate(completed.deed.calls().len());
    settled
}

impl Whole {
    fn of(tract: &Tract, answers: Vec<Completed>, wish: Wish) -> anyhow::Result<Self> {
        let chosen = wish.answer.unwrap_or(1);
        let count = answers.len();
        let Some(completed) = chosen.checked_sub(1).and_then(|i| answers.get(i)) else {
            anyhow::bail!(
                "there is no answer {chosen}: {}",
                match count {
                    1 => "the tract has one".to_owned(),
                    more => format!("the tract has {more}, from 1 on"),
                }
            );
        };
        let run = traverse(&completed.deed);
        let limit = wish.tolerance.unwrap_or(run.closure().allowed());
        // The centerline of a strip names no last corner and yet does not come back.
        let comes_back = run.returns() && tract.strip_width.is_none();
        let check = run.closure().check();
        let misses = run.closure().misclosure() > limit;
        Ok(Self {
            chosen: chosen - 1,
            rule: wish.rule,
            comes_back,
            balanced: (comes_back && check != ClosureCheck::Nothing)
                .then(|| balance(&run, wish.rule.rule()).ok())
                .flatten(),
            ring_problem: comes_back
                .then(|| run.ring().err().map(|error| error.to_string()))
                .flatten(),
            search: (comes_back && check == ClosureCheck::Whole && misses)
                .then(|| find_slips(&as_run_out(tract, completed), limit)),
            limit,
            traverse: run,
            answers,
        })
    }

    pub(crate) fn completed(&self) -> Option<&Completed> {
        self.answers.get(self.chosen)
    }

    /// The closure, where there is something to check.
    pub(crate) fn closure(&self) -> Option<Closure> {
        let closure = self.traverse.closure();
        (self.comes_back && closure.check() != ClosureCheck::Nothing).then_some(closure)
    }

    /// The stated area against the computed one; `None` where none is stated, or where
    /// there is none to compare.
    pub(crate) fn area_check(&self, work: &TractWork) -> Option<AreaCheck> {
        let stated = work.stated.stated_area?;
        if let Some(width) = work.stated.strip_width {
            return Some(check_strip_area(&self.traverse, width, stated, self.limit));
        }
        if !self.comes_back {
            return None;
        }
        let perimeter = self.traverse.closure().perimeter();
        let open = area_left_open(stated, self.limit, perimeter);
        Some(check_area(&self.traverse, stated, open))
    }

    /// The area inside the calls, or of the strip along them.
    pub(crate) fn area(&self, work: &TractWork) -> Option<Area> {
        match work.stated.strip_width {
            Some(width) => Some(strip_area(&self.traverse, width)),
            None => self.comes_back.then(|| self.traverse.area()),
        }
    }

    pub(crate) fn closes(&self) -> bool {
        self.comes_back && closes(&self.traverse, self.limit)
    }
}

/// Whether the calls come back to where they begin, within a limit: what a deed is
/// judged by wherever something is to be built on it.
pub(crate) fn closes(run: &Traverse, limit: Length) -> bool {
    run.returns() && run.closure().misclosure() <= limit
}
