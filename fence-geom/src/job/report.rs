//! What a job comes to: everything a crew sheet prints, still as quantities.

use super::Spot;
use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::estimate::{Ellipse, Sigma, Verdict};
use crate::ground_layout::GroundReport;
use crate::layout::{Layout, LayoutStatus, RunnerUp};
use crate::length::{Length, Shift};
use crate::locate::NoDigReason;
use crate::lot::Lot;
use crate::obstacle::Stretch;
use crate::offset::Offset;
use crate::point::Point;
use crate::product::PostKind;
use crate::ring::{Side, Turn};
use crate::square::CornerAnswer;
use crate::takeoff::{RunCount, Takeoff};
use crate::ties::{NoTies, TwoTapes};
use crate::traverse::Closure;

/// A job worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct JobReport {
    /// The closure of the deed, where the job has one.
    pub closure: Option<Closure>,
    /// The measured places, in the order of the job.
    pub places: Vec<PlaceReport>,
    /// The lot, with what each corner stands on.
    pub lot: Lot,
    /// The doubt of each corner of the lot, in order.
    pub corner_doubt: Vec<PointDoubt>,
    /// The line of the posts' outside faces inside the lot, in all its pieces.
    pub offset: Offset,
    /// The flags to set, in the order of the routes.
    pub flags: Vec<FlagReport>,
    /// The turns of the string, in the order of the routes.
    pub turns: Vec<TurnReport>,
    /// The runs, in the order of the routes.
    pub runs: Vec<RunReport>,
    /// What moves of lines within their bands would save.
    pub trades: Trades,
    /// The square checks that were taped.
    pub squares: Vec<SquareReport>,
    /// What is to be heeded or mended, the worst first.
    pub findings: Vec<Finding>,
    /// Why the job must not be dug; empty where it may.
    pub no_dig: Vec<NoDigReason>,
    /// What each run takes.
    pub counts: Vec<RunCount>,
    /// The material of all runs.
    pub takeoff: Takeoff,
}

impl JobReport {
    /// Returns where a place of the job is, or `None` if the job measured no such
    /// place.
    #[must_use]
    pub fn place(&self, spot: &Spot) -> Option<Point> {
        let named = |name: &str| {
            let mut places = self.places.iter();
            let found = places.find(|place| place.name == name);
            found.map(|place| place.at).ok_or(())
        };
        spot.resolve(named).ok()
    }
}

/// A measured place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceReport {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: Point,
    /// How sure that is.
    pub doubt: PointDoubt,
}

/// How sure a place is, as far as measuring goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointDoubt {
    /// Standard error of the northing, in feet.
    pub sigma_north: Sigma,
    /// Standard error of the easting, in feet.
    pub sigma_east: Sigma,
    /// The standard ellipse; `None` where the doubt is unknown.
    pub ellipse: Option<Ellipse>,
}

/// A flag to set.
#[derive(Clone, Debug, PartialEq)]
pub struct FlagReport {
    /// Its name.
    pub name: String,
    /// Where it stands: the outside face of the posts; at a wall, on its face.
    pub at: Point,
    /// True at a wall, where the wall itself is the mark and no flag is set.
    pub wall: bool,
    /// How sure it is once set by its two tapes, against the marks on the
    /// ground; unknown where there are no tapes.
    pub doubt: PointDoubt,
    /// False where it hangs on a side that is not pinned: no flag to set there.
    pub settable: bool,
    /// The best two tapes to set it, or why there are none.
    pub ties: Result<TwoTapes, NoTies>,
}

/// Where the string turns from one run into the next, or one fence branches off another.
#[derive(Clone, Debug, PartialEq)]
pub struct TurnReport {
    /// The name of the flag at the turn.
    pub flag: String,
    /// The angle between the runs, on the yard's side.
    pub interior: Angle,
    /// Its standard error, in radians: what the survey leaves open.
    pub sigma: Sigma,
    /// Whether one of the two runs is on an arc, and turns with its tangent.
    pub curved: bool,
    /// Where a fence branches off: the run of the other fence on the yard's side of it,
    /// and its own run; the turn is between the two.
    pub along: Option<[String; 2]>,
    /// The tapes that check it; `None` where a run is too short for them, or on an arc.
    pub check: Option<TurnCheck>,
}

/// Three tapes that check a turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnCheck {
    /// From the flag back along the run that arrives; where a fence branches off, along the
    /// other fence.
    pub back: Length,
    /// From the flag on along the run that leaves.
    pub on: Length,
    /// Across, between the ends of the two.
    pub diagonal: Length,
}

/// A run of fence laid out.
#[derive(Clone, Debug, PartialEq)]
pub struct RunReport {
    /// Its name.
    pub name: String,
    /// The name of the flag or wall it starts at.
    pub from: String,
    /// The name of the flag or wall it ends at.
    pub to: String,
    /// The string from reference to reference: outside faces of the posts.
    pub start: Point,
    /// Where the string ends.
    pub end: Point,
    /// Straight, or the arc from the start to the end.
    pub shape: Side,
    /// From reference to reference along the string.
    pub length: Length,
    /// The way to face at the start, walking the run.
    pub azimuth: Azimuth,
    /// The hand of the yard for one who walks the run.
    pub yard: Turn,
    /// The side of the lot it runs along, if it does.
    pub side: Option<String>,
    /// From the lot line to the string, where it runs along the lot.
    pub string_to_line: Option<Length>,
    /// From the string to the hole centers of line posts, into the yard.
    pub string_to_holes: Length,
    /// Standard error of the string across its direction, in feet, at its worse
    /// end: of the flags as their tapes set them, against the marks on the
    /// ground.
    pub line_sigma: Sigma,
    /// False where it hangs on a side that is not pinned.
    pub pinned: bool,
    /// The layout.
    pub layout: Layout,
    /// Other layouts worth a look.
    pub runners_up: Vec<RunnerUp>,
    /// How many more would be, but do not hold on the ground of the run.
    pub runners_up_lost: usize,
    /// The posts in order; empty where there is no layout.
    pub posts: Vec<PostReport>,
    /// The sections in order.
    pub sections: Vec<SectionReport>,
    /// The run over its ground, where the ground was read and there is a layout.
    pub ground: Option<GroundReport>,
    /// The run on its arc, where it follows one and there is a layout.
    pub arc: Option<ArcReport>,
    /// Where holes are dug by hand, from the run's start, and because of what.
    pub hand_dig: Vec<(Stretch, String)>,
    /// Where no hole may be, from the run's start, and because of what.
    pub no_dig: Vec<(Stretch, String)>,
}

impl RunReport {
    /// True where a panel bracketed to a wall begins the run, with no post before it.
    #[must_use]
    pub fn starts_bracketed(&self) -> bool {
        match &self.layout.status {
            LayoutStatus::Optimal(best) => best.posts.first().is_some_and(|post| post.width == 0),
            LayoutStatus::None { .. } => false,
        }
    }

    /// True where a panel bracketed to a wall ends the run, with no post behind it.
    #[must_use]
    pub fn ends_bracketed(&self) -> bool {
        match &self.layout.status {
            LayoutStatus::Optimal(best) => best.posts.last().is_some_and(|post| post.width == 0),
            LayoutStatus::None { .. } => false,
        }
    }
}

/// A run on an arc: its posts on a circle, its sections chords.
#[derive(Clone, Debug, PartialEq)]
pub struct ArcReport {
    /// The center of the arc.
    pub center: Point,
    /// Whether a tape can be held at the center and pulled to the posts: it lies in the
    /// lot, in no building, and the tape is long enough.
    pub center_in_reach: bool,
    /// The radius of the string.
    pub radius: Length,
    /// The radius on which the centers of the posts stand.
    pub post_radius: Length,
    /// How much farther in they stand than half of the widest post, so that no section
    /// bulges past the line.
    pub moved_in: Length,
    /// The turn at a post between two full sections.
    pub full_turn: Angle,
    /// How far a full section or a gate misses its width, at the worst.
    pub misfit: Length,
    /// How each post is set, in the order of [`RunReport::posts`].
    pub posts: Vec<ArcPostReport>,
}

/// How a post on an arc is set with tapes: off a string pulled straight from the start
/// of the run to its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcPostReport {
    /// How far the fence turns here: from section to section, at an end from the
    /// arc's tangent.
    pub turn: Angle,
    /// From the start along the straight string.
    pub along_chord: Shift,
    /// From there square off the straight string to the center of the post: positive
    /// toward the yard.
    pub off_chord: Shift,
    /// From its center to that of the next post; `None` at the last.
    pub to_next: Option<Length>,
}

/// A post of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct PostReport {
    /// Its place in the fence.
    pub kind: PostKind,
    /// The kind of post that the product has for that place, by which crews are told
    /// of it and material is counted.
    pub takes: PostKind,
    /// From the run's start to its center, along the string.
    pub station: Shift,
    /// The same for a tape: of an end post that can't shift, before it went to the
    /// nearest step of the layout, so that nothing is rounded twice.
    pub taped: Shift,
    /// Its center.
    pub at: Point,
    /// From the string to its center, into the yard.
    pub inside: Length,
    /// How much farther it stands from the string than half its width: on an arc, and
    /// where the run meets one.
    pub moved_in: Length,
    /// Whether this run digs its hole.
    pub hole: bool,
    /// Whether the hole is dug by hand, and because of what.
    pub by_hand: Vec<String>,
}

/// A section of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionReport {
    /// What fills it.
    pub fill: Fill,
    /// From the run's start to its first face.
    pub from: Shift,
    /// Its clear width, level.
    pub clear: Length,
    /// How long its rails are, face to face of its posts. More than `clear` where
    /// the section is racked.
    pub rail: Length,
    /// The length to saw for a cut; `None` for other sections.
    pub saw: Option<Length>,
    /// Its two ends, on the line from post to post.
    pub ends: (Point, Point),
}

/// What fills a section.
#[derive(Clone, Debug, PartialEq)]
pub enum Fill {
    /// A full panel.
    Full,
    /// A cut panel.
    Cut,
    /// A bay built in place, or of fabric.
    Bay,
    /// A gate.
    Gate(GateReport),
}

/// A gate in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct GateReport {
    /// Its name.
    pub name: String,
    /// How many leaves it has.
    pub leaves: u32,
    /// For one leaf: whether the hinges are on the side of the run's start.
    pub hinge_at_start: bool,
    /// Whether it swings into the yard.
    pub swings_in: bool,
    /// The hinge points, a leaf each: in the opening, on the string.
    pub hinges: Vec<Point>,
    /// Where the free edge of each leaf is when the gate is shut.
    pub shut: Vec<Point>,
    /// Where the free edge of each leaf is when the gate is square open.
    pub open: Vec<Point>,
}

/// What moves of lines within their bands would save.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trades {
    /// The fewest cuts first; empty where no band is given. Each was worked out with
    /// its lines moved.
    pub moves: Vec<Trade>,
    /// Runs over whose ground there were too many choices to lay each out: others
    /// that were not tried may have as few cuts for less. None where it is proven
    /// that none do.
    pub rough: Vec<String>,
    /// How many choices were left out or corrected because they turned out otherwise
    /// than they were counted.
    pub otherwise: usize,
}

/// Moves of lines within their bands: no others have as few cuts for less, as far as
/// [`Trades::rough`] allows to say.
#[derive(Clone, Debug, PartialEq)]
pub struct Trade {
    /// Cuts of the whole job.
    pub cuts: i64,
    /// Cuts with the lines where they are; `None` where a run has no layout then.
    pub cuts_now: Option<i64>,
    /// Holes dug by hand.
    pub hand_dug: i64,
    /// All moves together.
    pub moved: Length,
    /// The sides whose lines move, and how far: positive into the lot.
    pub moves: Vec<(String, Shift)>,
}

/// A square check that was taped.
#[derive(Clone, Debug, PartialEq)]
pub struct SquareReport {
    /// The corner or flag.
    pub corner: String,
    /// What the readings say.
    pub answer: CornerAnswer,
}

/// Something to heed or to mend.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Finding {
    /// The deed does not close within the rounding of its calls.
    DeedOpen {
        /// How far it misses.
        misclosure: Length,
        /// What rounding explains.
        allowed: Length,
    },
    /// A side without two accepted pins.
    NotPinned {
        /// The side.
        side: String,
        /// Who accepted the line all the same.
        accepted_by: Option<String>,
    },
    /// A pin that does not agree with the deed and the other pins.
    PinDisagrees {
        /// The pin.
        pin: String,
        /// How far it stands from where the deed puts it.
        by: Length,
    },
    /// Two pins whose distance is not the deed's: which one is wrong can't be
    /// told.
    PinsDisagree {
        /// One pin.
        first: String,
        /// The other.
        second: String,
        /// Distance on the ground less that of the deed.
        by: Shift,
    },
    /// A pin that looked disturbed.
    PinDisturbed {
        /// The pin.
        pin: String,
    },
    /// A mark of an owner who answered that it has no line here.
    ClearButMarked {
        /// The owner, by a word of its name.
        owner: String,
        /// The mark.
        mark: String,
    },
    /// Nobody was asked about private lines, which no owner marks.
    PrivateLinesNotAsked,
    /// A corner that was taped out of square, or can't be told.
    Square {
        /// The corner.
        corner: String,
        /// Out or undecided.
        verdict: Verdict,
    },
    /// A run without any layout that keeps all limits.
    NoLayout {
        /// The run.
        run: String,
        /// What, dropped alone, would give one; then the least that would do.
        blocking: Vec<String>,
    },
    /// A flag that no two tapes can set.
    NoTies {
        /// The flag.
        flag: String,
        /// Why.
        reason: NoTies,
    },
    /// A line nearer to the lot line than it can be told.
    InsideDoubtful {
        /// The run.
        run: String,
        /// The distance from the lot line.
        inside: Length,
        /// What is doubtful at 95 %.
        doubt: Length,
    },
    /// Concrete across the lot line.
    ConcreteOver {
        /// The run.
        run: String,
        /// How many holes.
        posts: usize,
        /// The farthest, over the line.
        over: Length,
        /// Whether the job accepts it.
        accepted: bool,
    },
    /// A hole that is dug by hand.
    HandDug {
        /// The run.
        run: String,
        /// The station of the post.
        station: Shift,
        /// What it is near to.
        near: Vec<String>,
    },
    /// A gate beside the post at an end of its run, which is another than a gate post.
    GateOnEnd {
        /// The gate.
        gate: String,
        /// The post that stands there.
        post: PostKind,
    },
    /// A gate that swings where it can't.
    Swing {
        /// The gate.
        gate: String,
        /// What it meets.
        meets: String,
    },
    /// A gap under a section that is larger than the product's limit.
    GapUnder {
        /// The run.
        run: String,
        /// The station of the gap.
        station: Shift,
        /// The gap.
        gap: Length,
        /// The limit.
        limit: Length,
    },
    /// Posts that no length in the product list is enough for.
    PostTooLong {
        /// The run.
        run: String,
        /// How many.
        posts: usize,
        /// The longest that is needed.
        needs: Length,
        /// The longest there is.
        longest: Length,
    },
    /// An arc on which the fence turns more at a post than the product does.
    TurnsTooMuch {
        /// The run.
        run: String,
        /// The most that it turns at a post.
        turn: Angle,
        /// What the product allows.
        limit: Angle,
        /// The least radius of post centers for full sections.
        least_radius: Length,
    },
    /// A stretch of fabric that is longer than the product is pulled tight over.
    LongPull {
        /// The run.
        run: String,
        /// From terminal post to terminal post.
        length: Length,
        /// What the product allows.
        limit: Length,
    },
    /// Higher than the limit that was entered.
    TooHigh {
        /// The product's height.
        height: Length,
        /// The limit.
        limit: Length,
    },
    /// Nearer to the lot line than the limit that was entered.
    TooNearLine {
        /// The side.
        side: String,
        /// The distance inside.
        inside: Length,
        /// The limit.
        limit: Length,
    },
}

impl Finding {
    /// Returns true for what must be mended, or can't be told, before the fence
    /// is built; false for a notice.
    #[must_use]
    pub fn is_trouble(&self) -> bool {
        match self {
            Self::NotPinned { accepted_by, .. } => accepted_by.is_none(),
            Self::ConcreteOver { accepted, .. } => !accepted,
            Self::HandDug { .. }
            | Self::GateOnEnd { .. }
            | Self::PinDisturbed { .. }
            | Self::LongPull { .. }
            | Self::ClearButMarked { .. }
            | Self::PrivateLinesNotAsked => false,
            _ => true,
        }
    }
}
