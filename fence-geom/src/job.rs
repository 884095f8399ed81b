//! A whole job: from what was measured and wished to everything a crew sheet
//! prints. The roof of the library: it calls the floors below in the order of
//! the work.

mod bands;
mod ends;
mod findings;
mod flags;
mod on_arc;
mod on_ground;
mod report;
mod run;
mod site;
mod turns;

use crate::angle::Angle;
use crate::arc_layout::ArcLayoutError;
use crate::corner::CornerError;
use crate::deed::Deed;
use crate::estimate::Sigma;
use crate::ground_layout::GroundLayoutError;
use crate::layout::{Lattice, LayoutError, WhichEnd};
use crate::length::{Length, Shift};
use crate::locate::{Day, Locate, reasons_not_to_dig};
use crate::lot::LotError;
use crate::obstacle::Stretch;
use crate::offset::OffsetError;
use crate::pins::Pin;
use crate::point::Point;
use crate::product::{Product, ProductError};
use crate::ring::{RingError, Turn};
use crate::route::{Gap, GapError, RouteError};
use crate::square::{CornerCheck, SquareError};
use crate::survey::{Survey, SurveyError};
use crate::takeoff::takeoff;
use crate::tee::TeeError;
use crate::ties::TieLimits;
use crate::trade::TradeError;
use crate::traverse::traverse;

pub use report::{
    ArcPostReport, ArcReport, Fill, Finding, FlagReport, GateReport, JobReport, PlaceReport,
    PointDoubt, PostReport, RunReport, SectionReport, SquareReport, Trade, Trades, TurnCheck,
    TurnReport,
};

/// What a job is worked out from.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The record, where there is one.
    pub deed: Option<Deed>,
    /// All measured places: pins, corners of buildings, others.
    pub survey: Survey,
    /// The pins, in order around the lot; each stands at the place of its name,
    /// whatever its own record says.
    pub pins: Vec<Pin>,
    /// The names of the places that a crew can hold a tape at.
    pub visible: Vec<String>,
    /// Who accepted the lot line where pins are missing.
    pub line_accepted_by: Option<String>,
    /// Houses and sheds.
    pub buildings: Vec<Outline>,
    /// Where nothing may be built: easements, septic fields and the like.
    pub no_build: Vec<Outline>,
    /// From the lot line to the outermost part of the fence.
    pub inside: Inside,
    /// Where lines may stand instead, to save cuts.
    pub bands: Bands,
    /// What the fence is made of.
    pub product: Product,
    /// The lattice of the layouts.
    pub lattice: Lattice,
    /// What tapes a crew can pull.
    pub ties: TieLimits,
    /// The fence, stop by stop.
    pub routes: Vec<RoutePlan>,
    /// Wishes for single runs.
    pub run_wishes: Vec<RunWish>,
    /// The ground along runs that are not level.
    pub grounds: Vec<GroundPlan>,
    /// The gates.
    pub gates: Vec<GatePlan>,
    /// The locate ticket.
    pub locate: Option<Locate>,
    /// The day the crew digs.
    pub arrival: Option<Day>,
    /// Marked utilities and other things that holes keep away from.
    pub marks: Vec<Mark>,
    /// Square checks that were taped.
    pub squares: Vec<SquareReading>,
    /// Limits that the town or the owner sets.
    pub limits: Limits,
}

/// A place: a measured one by its name, one on a line of two, or coordinates.
#[derive(Clone, Debug, PartialEq)]
pub enum Spot {
    /// The place of this name.
    Named(String),
    /// The place so far from the one toward the other, such as 6 ft behind the
    /// front corner of a house along its wall.
    Toward {
        /// The place to measure from.
        from: String,
        /// The place to measure toward.
        toward: String,
        /// How far.
        by: Length,
    },
    /// These coordinates, taken as exact.
    At(Point),
}

/// A closed outline, such as a house.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Its name.
    pub name: String,
    /// Its corners in order.
    pub corners: Vec<Spot>,
}

/// Inside distances.
#[derive(Clone, Debug, PartialEq)]
pub struct Inside {
    /// On every side that is not named.
    pub each: Length,
    /// On these sides.
    pub sides: Vec<(String, Length)>,
}

/// The bands in which lines may stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Bands {
    /// By what steps lines are moved.
    pub step: Length,
    /// The side, and the least and greatest inside distance of its line.
    pub sides: Vec<(String, Length, Length)>,
}

impl Default for Bands {
    /// No bands, and steps of 1/2 in.
    fn default() -> Self {
        Self {
            step: Length::saturating(0.5 / 12.0),
            sides: Vec::new(),
        }
    }
}

/// One line of fence.
#[derive(Clone, Debug, PartialEq)]
pub struct RoutePlan {
    /// Its name.
    pub name: String,
    /// Its stops in order, each with the name of the run that leaves it.
    pub stops: Vec<(StopPlan, String)>,
    /// Whether it goes on from the last stop to the first.
    pub closed: bool,
    /// The hand of the yard, walking the stops in order; needed only where no
    /// run lies along the lot.
    pub yard: Option<Turn>,
}

/// A stop of a route, with places still by name.
#[derive(Clone, Debug, PartialEq)]
pub enum StopPlan {
    /// The flag at a corner of the lot.
    Corner {
        /// The corner.
        corner: String,
    },
    /// A flag on the offset line of a side.
    OnSide {
        /// Name of the flag.
        name: String,
        /// The side.
        side: String,
        /// The corner whose flag is measured from.
        from: String,
        /// How far.
        distance: Length,
    },
    /// Where a line squared off a wall meets the offset line of a side.
    Squared {
        /// Name of the flag.
        name: String,
        /// Two places on the wall.
        wall: (Spot, Spot),
        /// The place the line starts from.
        at: Spot,
        /// The side.
        side: String,
    },
    /// Where a wall carried on in its own line meets the offset line of a side.
    Prolonged {
        /// Name of the flag.
        name: String,
        /// Two places on the wall; the line goes on from the second.
        wall: (Spot, Spot),
        /// The side.
        side: String,
    },
    /// The fence ends at a wall, or at another fence.
    Wall {
        /// Name of the place.
        name: String,
        /// The place on the wall's face.
        at: Spot,
        /// The permitted gap.
        gap: Gap,
        /// Whether the last panel is bracketed to the wall, without a post.
        bracketed: bool,
    },
    /// The fence branches off one given before, at a flag where that runs straight on.
    Tee {
        /// The flag.
        flag: String,
    },
    /// The fence ends free.
    Free {
        /// Name of the flag.
        name: String,
        /// Where it is.
        at: Spot,
    },
}

/// Wishes for one run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunWish {
    /// The run.
    pub run: String,
    /// Where only full sections are wanted.
    pub show: Vec<Stretch>,
    /// The end at which cuts should go.
    pub hide: Option<WhichEnd>,
    /// Whether cuts next to a gate are refused.
    pub guard: bool,
}

/// The ground along a run, as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct GroundPlan {
    /// The run.
    pub run: String,
    /// Places and heights above any one datum, in order.
    pub readings: Vec<(GroundStation, Shift)>,
    /// Whether the places were taped along the ground; else the tape was level.
    pub taped_along_ground: bool,
}

/// A place along a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GroundStation {
    /// Where the run starts.
    Start,
    /// So far from its start.
    At(Shift),
    /// Where the run ends.
    End,
}

/// A gate that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct GatePlan {
    /// Its name.
    pub name: String,
    /// The run it stands in.
    pub run: String,
    /// Clear between its posts.
    pub opening: Length,
    /// Where the middle should be, from the run's start.
    pub wish: Shift,
    /// The least place of the middle.
    pub from: Option<Shift>,
    /// The greatest place of the middle.
    pub to: Option<Shift>,
    /// One leaf or two.
    pub leaves: u32,
    /// For one leaf: the side of the opening its hinges are on.
    pub hinge: WhichEnd,
    /// Whether it swings into the yard.
    pub swings_in: bool,
}

/// Something that holes keep away from.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its name.
    pub name: String,
    /// One place, or the places along it.
    pub path: Vec<Spot>,
    /// How wide it is.
    pub width: Length,
    /// The standard error of its place across the path, in feet; unknown adds
    /// nothing that could be counted.
    pub sigma: Sigma,
    /// The least distance of any hole from its outside edge.
    pub clearance: Length,
    /// The distance from its outside edge within which holes are dug by hand:
    /// the state's tolerance zone for a utility; `None` where there is no such
    /// rule.
    pub zone: Option<Length>,
    /// Whose buried line it is, by a word of the owner's name in the ticket;
    /// `None` for what no ticket covers.
    pub owner: Option<String>,
}

/// A square check that was taped.
#[derive(Clone, Debug, PartialEq)]
pub struct SquareReading {
    /// The corner or flag.
    pub corner: String,
    /// The two legs.
    pub legs: (Length, Length),
    /// What the diagonal reads.
    pub diagonal: Length,
    /// The angle the corner should have.
    pub design: Angle,
    /// The run whose far end matters.
    pub run: Option<Length>,
}

/// Limits that the town or the owner sets.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// The greatest height.
    pub height: Option<Length>,
    /// The least distance inside the lot line.
    pub inside: Option<Length>,
    /// Whether concrete over the lot line has been accepted.
    pub concrete_over_line_accepted: bool,
}

/// Why a job can't be worked out.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum JobError {
    /// A place that nothing defines.
    #[error("{what} names the place {name:?}, which is not defined: known are {known}")]
    UnknownPlace {
        /// Who names it.
        what: String,
        /// The name.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A run that no route has.
    #[error("{what} is for the run {name:?}, which no route has: the runs are {known}")]
    UnknownRun {
        /// Who names it.
        what: String,
        /// The name.
        name: String,
        /// The names there are.
        known: String,
    },
    /// Two runs of one name.
    #[error("two runs are called {name:?}: give each a name of its own")]
    SameRun {
        /// The name.
        name: String,
    },
    /// A side that the lot does not have.
    #[error(
        "an inside distance is for side {name:?}, which the lot does not have: its sides are {known}"
    )]
    UnknownSide {
        /// The name.
        name: String,
        /// The names there are.
        known: String,
    },
    /// An outline that is none.
    #[error("the outline of {name} is none")]
    Outline {
        /// The building or area.
        name: String,
        /// Why.
        source: RingError,
    },
    /// A mark or obstacle without a place.
    #[error("{name} has no place: give one place, or the places along it")]
    EmptyMark {
        /// The mark.
        name: String,
    },
    /// The measured places.
    #[error(transparent)]
    Survey(#[from] SurveyError),
    /// The lot.
    #[error(transparent)]
    Lot(#[from] LotError),
    /// The product.
    #[error(transparent)]
    Product(#[from] ProductError),
    /// The offset line.
    #[error("the inside distances can't be held")]
    Offset(#[from] OffsetError),
    /// A route.
    #[error("route {route:?} can't be run")]
    Route {
        /// The route.
        route: String,
        /// Why.
        source: RouteError,
    },
    /// Where a route branches off another.
    #[error("route {route:?} can't branch off")]
    Tee {
        /// The route.
        route: String,
        /// Why.
        source: TeeError,
    },
    /// Bands in a job with a tee.
    #[error(
        "moves within bands are not searched where a fence branches off another, as one does at {flag}: leave the bands out"
    )]
    BandsOnTee {
        /// The flag.
        flag: String,
    },
    /// The end of a run.
    #[error("run {run:?} has an end where no post can stand")]
    End {
        /// The run.
        run: String,
        /// Why.
        source: CornerError,
    },
    /// The layout of a run.
    #[error("run {run:?} can't be laid out")]
    Layout {
        /// The run.
        run: String,
        /// Why.
        source: LayoutError,
    },
    /// A band that does not hold the distance that is asked for.
    #[error(
        "the band of side {side} runs from {least:.3} to {most:.3} inside, and its line is asked for at {asked:.3}: give a band that holds it"
    )]
    Band {
        /// The side.
        side: String,
        /// Where the band begins.
        least: Length,
        /// Where the band ends.
        most: Length,
        /// The distance asked for.
        asked: Length,
    },
    /// A step of the bands that is none, or far too fine.
    #[error("band step {step:.4}: give at least 1/16 in, and at most 200 steps in a band")]
    BandStep {
        /// The step.
        step: Length,
    },
    /// A line that can't stand where its band lets it.
    #[error(
        "the line of side {side} can't stand {at:.3} inside, where its band lets it: narrow the band"
    )]
    BandEnd {
        /// The side.
        side: String,
        /// The distance.
        at: Length,
        /// Why.
        source: Box<JobError>,
    },
    /// The search over the bands.
    #[error("the moves of the lines can't be searched")]
    Trades(#[from] TradeError),
    /// The ground of a run.
    #[error("the ground of run {run:?} can't be used")]
    Ground {
        /// The run.
        run: String,
        /// Why.
        source: GroundLayoutError,
    },
    /// A run on an arc that can't be laid out.
    #[error("run {run:?} can't be laid out on its arc")]
    Arc {
        /// The run.
        run: String,
        /// Why.
        source: ArcLayoutError,
    },
    /// Ground read along a run on an arc.
    #[error(
        "the ground of run {run:?} is given, and the run is on an arc, which is laid out level: leave its ground out, and settle on the site how its sections step or rack"
    )]
    GroundOnArc {
        /// The run.
        run: String,
    },
    /// Bands in a job with a run on an arc.
    #[error(
        "moves within bands are searched for straight runs only, and run {run:?} is on an arc: leave the bands out"
    )]
    BandsOnArc {
        /// The run.
        run: String,
    },
    /// Two readings of the ground of one run.
    #[error("the ground of run {run:?} is given twice: give all its readings in one table")]
    GroundTwice {
        /// The run.
        run: String,
    },
    /// A reading at the end of a run that was taped along the ground.
    #[error(
        "the ground of run {run:?} is taped along the ground and read at its end: give what the tape read there, because the run's length is level"
    )]
    EndAlongGround {
        /// The run.
        run: String,
    },
    /// A square check.
    #[error("the square check at {corner} can't be judged")]
    Square {
        /// The corner.
        corner: String,
        /// Why.
        source: SquareError,
    },
    /// A gap at a wall.
    #[error(transparent)]
    Gap(#[from] GapError),
}

/// Works a job out: lot, offset line, flags with their tapes, runs with their
/// posts, checks and material.
///
/// Doubt is carried jointly from the base observations of the survey to every
/// place, corner and flag, so that neighbors share what they share.
///
/// # Errors
///
/// A [`JobError`] that names the part of the job at fault. A run that has no
/// layout is no error: it is a finding, and the rest of the job stands.
pub fn work_out(job: &Job) -> Result<JobReport, JobError> {
    job.product.check()?;
    let record = job.deed.as_ref().map(traverse);
    let plan = site::Plan::new(job, record.as_ref())?;
    let site = plan.site(&job.survey.observations())?;
    let doubts = plan.doubts(&site);
    let flags = flags::Flags::new(&plan, job, &site);
    let turns = turns::turns(&plan, job, &site);
    let runs = run::lay_out_runs(job, &site, &flags)?;
    let flags = flags.once(&site);
    let trades = bands::trades(job, &plan, &site, &runs)?;
    let squares = square_checks(job)?;
    let counts: Vec<_> = runs.iter().map(run::count).collect();
    let entered = job.marks.iter().filter_map(|mark| mark.owner.as_deref());
    let entered: Vec<&str> = entered.collect();
    let no_dig = reasons_not_to_dig(job.locate.as_ref(), job.arrival.as_ref(), &entered);
    let mut report = JobReport {
        closure: record.as_ref().map(|record| record.closure()),
        places: site::places(job, &site, &doubts),
        lot: site.lot,
        corner_doubt: doubts.corners,
        offset: site.offset,
        turns,
        flags,
        runs,
        trades,
        squares,
        findings: Vec::new(),
        no_dig,
        takeoff: takeoff(&counts, &job.product),
        counts,
    };
    report.findings = findings::findings(job, &report, &site.buildings);
    Ok(report)
}

impl Spot {
    /// Where the place is, by where the measured places are.
    fn resolve<E>(&self, named: impl Fn(&str) -> Result<Point, E>) -> Result<Point, E> {
        match self {
            Self::Named(name) => named(name),
            Self::At(point) => Ok(*point),
            Self::Toward { from, toward, by } => {
                let (from, toward) = (named(from)?, named(toward)?);
                let way = (toward - from).unit().unwrap_or_default();
                Ok(from + way * by.feet())
            }
        }
    }
}

impl RoutePlan {
    /// The stops that a run leaves, with the name of that run.
    fn legs(&self) -> impl Iterator<Item = &(StopPlan, String)> {
        let runs = if self.closed {
            self.stops.len()
        } else {
            self.stops.len().saturating_sub(1)
        };
        self.stops.iter().take(runs)
    }
}

impl Mark {
    /// From the path to its outside edge.
    fn half_width(&self) -> Length {
        Length::saturating(self.width.feet() / 2.0)
    }
}

fn square_checks(job: &Job) -> Result<Vec<SquareReport>, JobError> {
    job.squares
        .iter()
        .map(|reading| {
            let check = CornerCheck {
                design: reading.design,
                run: reading.run,
                tape: job.survey.tape(),
                ..CornerCheck::new(reading.legs.0, reading.legs.1, reading.diagonal)
            };
            let answer = check.judged().map_err(|source| JobError::Square {
                corner: reading.corner.clone(),
                source,
            })?;
            Ok(SquareReport {
                corner: reading.corner.clone(),
                answer,
            })
        })
        .collect()
}
