//! What `fence deed` takes and answers.

use fence_geom::{AngleStyle, Azimuth, Closure, ClosureCheck, Point};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::deed_work::RuleField;
use crate::fields::LengthField;
use crate::request_unit::UnitField;

/// A deed to run out.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DeedRequest {
    /// The unit of bare numbers, such as "m" or "us-ft"; feet by default.
    #[expect(dead_code, reason = "the numbers are read in it")]
    pub(crate) unit: Option<UnitField>,
    /// The text of a land description or a call table, as `fence deed --help`
    /// describes it.
    pub(crate) calls: String,
    /// How much a tract may miss by and still close, in feet or with its unit;
    /// without it, what the rounding of its figures explains.
    pub(crate) tolerance: Option<LengthField>,
    /// Which answer to run out where missing figures have several, from one; of each
    /// tract.
    pub(crate) answer: Option<usize>,
    /// How the misclosure is shared out in the balanced corners.
    #[serde(default)]
    pub(crate) balance: RuleField,
}

/// What `fence deed FILE --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct DeedAnswer {
    /// The first tract.
    #[serde(flatten)]
    pub(crate) tract: TractRow,
    /// The other tracts and the exceptions, in order; each stands for itself.
    pub(crate) other_tracts: Vec<TractRow>,
    /// What looks like a call and could not be read.
    pub(crate) unread: Vec<UnreadRow>,
    /// What had to be assumed.
    pub(crate) assumed: Vec<String>,
    /// What was read and is no call, such as the bearing of a witness tree.
    pub(crate) notes: Vec<String>,
    /// Published closures of surveys to compare with.
    pub(crate) reference_closures: Vec<ReferenceRow>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// A tract run out.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TractRow {
    /// What the paper calls it.
    pub(crate) name: Option<String>,
    /// True for a tract that is taken out of another.
    pub(crate) is_exception: bool,
    /// The width of the strip whose centerline the calls are.
    pub(crate) strip_width_ft: Option<f64>,
    /// The calls that were read, in order, as courses.
    pub(crate) courses: Vec<CourseRow>,
    /// The corners, not adjusted; only those before the first gap.
    pub(crate) corners: Vec<CornerRow>,
    /// Where the last call ends; null where there is a gap.
    pub(crate) end: Option<PlaceRow>,
    /// How well the calls come back; null where there is a gap, where the calls do
    /// not come back, and where figures solved from closure leave nothing to check.
    pub(crate) closure: Option<ClosureRow>,
    /// True where figures solved from closure close the tract, so that no closure
    /// checks it.
    pub(crate) closed_by_construction: bool,
    /// How many answers the missing figures have.
    pub(crate) answers: usize,
    /// Which of them this is, from one.
    pub(crate) answer: usize,
    /// Why the calls can't be run out.
    pub(crate) problem: Option<String>,
    /// The area inside the courses and the line of the misclosure, or of the strip along
    /// them; null where there is a gap, and of another open line.
    pub(crate) area_sq_ft: Option<f64>,
    /// The same in acres.
    pub(crate) area_acres: Option<f64>,
    /// The same in hectares.
    pub(crate) area_hectares: Option<f64>,
    /// The area the paper states.
    pub(crate) stated_area_sq_ft: Option<f64>,
    /// The same in acres.
    pub(crate) stated_area_acres: Option<f64>,
    /// Whether the computed area is the stated one, as finely as that is written; null
    /// where none is stated.
    pub(crate) area_agrees: Option<bool>,
    /// Why the corners enclose no lot, such as two sides that cross; null where
    /// they do enclose one.
    pub(crate) ring_problem: Option<String>,
    /// The traverse made to close: computed, not what the paper says; null where
    /// there is nothing to share out.
    pub(crate) balanced: Option<BalancedRow>,
    /// The single slips that would explain the misclosure, the likeliest first; none
    /// where the tract closes.
    pub(crate) slips: Vec<SlipRow>,
    /// How the slips were searched; null where the tract closes.
    pub(crate) slip_search: Option<SlipSearchRow>,
    /// What a reader should know of this tract.
    pub(crate) remarks: Vec<String>,
}

/// A course.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CourseRow {
    /// The number of its line in the file.
    pub(crate) line: Option<usize>,
    /// The words it was read from.
    pub(crate) words: String,
    /// The corner it starts from; `?` where that is not known.
    pub(crate) from: String,
    /// The corner it ends at; `?` where that is not known.
    pub(crate) to: String,
    /// The direction as a quadrant bearing, of a curve that of its chord; null where
    /// the paper gives none and nothing was solved.
    pub(crate) bearing: Option<String>,
    /// The direction, clockwise from north.
    pub(crate) azimuth_deg: Option<f64>,
    /// The distance, of a curve that of its chord.
    pub(crate) distance_ft: Option<f64>,
    /// How far it goes north.
    pub(crate) latitude_ft: Option<f64>,
    /// How far it goes east.
    pub(crate) departure_ft: Option<f64>,
    /// True where the direction was solved from closure, the paper having none.
    pub(crate) bearing_solved: bool,
    /// True where the distance was.
    pub(crate) distance_solved: bool,
    /// The curve; null for a straight course.
    pub(crate) curve: Option<CurveRow>,
}

/// A curve.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CurveRow {
    /// The hand it turns to: `left` or `right`.
    pub(crate) turn: &'static str,
    /// Its radius.
    pub(crate) radius_ft: f64,
    /// Its central angle.
    pub(crate) delta_deg: f64,
    /// Its length.
    pub(crate) arc_ft: f64,
    /// The length of its chord.
    pub(crate) chord_ft: f64,
    /// Its tangent; null from half a circle on.
    pub(crate) tangent_ft: Option<f64>,
}

/// A slip that would explain a misclosure.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SlipRow {
    /// The call, from one; of two neighbors, the first.
    pub(crate) call: usize,
    /// What went wrong.
    pub(crate) kind: String,
    /// The figure of the call in which it is.
    pub(crate) figure: String,
    /// The figure as stated; null where the whole call is meant.
    pub(crate) before: Option<String>,
    /// The figure that would close the tract; null where there is none to give.
    pub(crate) after: Option<String>,
    /// The slip in a sentence.
    pub(crate) sentence: String,
    /// The misclosure that is left with it.
    pub(crate) misclosure_ft: f64,
    /// True where that is within the limit.
    pub(crate) closes: bool,
    /// The area with it.
    pub(crate) area_sq_ft: f64,
    /// The same in acres.
    pub(crate) area_acres: f64,
    /// Whether that is the stated area; null where none is stated.
    pub(crate) area_agrees: Option<bool>,
}

/// How slips were searched.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SlipSearchRow {
    /// How many single changes were tried.
    pub(crate) tried: usize,
    /// How many of them close the tract.
    pub(crate) closing: usize,
    /// How many would by chance; null where the misclosure is too small to tell.
    pub(crate) closing_by_chance: Option<f64>,
    /// What a closed tract may miss by.
    pub(crate) limit_ft: f64,
    /// The bearing of the course that would close the tract were it left out: any
    /// tract has one.
    pub(crate) closing_course_bearing: String,
    /// Its distance.
    pub(crate) closing_course_distance_ft: f64,
}

/// A named corner.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CornerRow {
    /// Its name.
    pub(crate) name: String,
    /// Feet north.
    pub(crate) north_ft: f64,
    /// Feet east.
    pub(crate) east_ft: f64,
}

/// A place.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PlaceRow {
    /// Feet north.
    pub(crate) north_ft: f64,
    /// Feet east.
    pub(crate) east_ft: f64,
}

/// The closure.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ClosureRow {
    /// How far from the beginning the calls end.
    pub(crate) misclosure_ft: f64,
    /// The bearing from the beginning to where the calls end; null when exact.
    pub(crate) bearing: Option<String>,
    /// The same, clockwise from north.
    pub(crate) azimuth_deg: Option<f64>,
    /// N of the precision 1:N; null when exact.
    pub(crate) ratio: Option<f64>,
    /// The sum of the distances.
    pub(crate) perimeter_ft: f64,
    /// The sum of the latitudes.
    pub(crate) latitude_ft: f64,
    /// The sum of the departures.
    pub(crate) departure_ft: f64,
    /// The largest misclosure that the rounding of the calls explains, at 95 %.
    pub(crate) allowed_ft: f64,
    /// True if the misclosure is not larger than that.
    pub(crate) within_rounding: bool,
    /// What the misclosure checks: `whole` for all figures; `part` where one was
    /// solved, so that what it could not take up checks the others.
    pub(crate) checks: &'static str,
}

impl PlaceRow {
    pub(crate) const fn of(point: Point) -> Self {
        Self {
            north_ft: point.north(),
            east_ft: point.east(),
        }
    }
}

impl ClosureRow {
    pub(crate) fn of(closure: Closure) -> Self {
        Self {
            misclosure_ft: closure.misclosure().feet(),
            bearing: closure.direction().map(bearing_text),
            azimuth_deg: closure.direction().map(Azimuth::degrees),
            ratio: closure.ratio(),
            perimeter_ft: closure.perimeter().feet(),
            latitude_ft: closure.gap().north(),
            departure_ft: closure.gap().east(),
            allowed_ft: closure.allowed().feet(),
            within_rounding: closure.is_within_rounding(),
            checks: match closure.check() {
                ClosureCheck::Whole => "whole",
                ClosureCheck::Part => "part",
                ClosureCheck::Nothing => "nothing",
            },
        }
    }
}

/// The bearing to the second, for reading.
pub(crate) fn bearing_text(azimuth: Azimuth) -> String {
    azimuth.bearing().to_text(AngleStyle::SECONDS)
}

/// A line that could not be read.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct UnreadRow {
    /// Its number in the file, from one.
    pub(crate) line: usize,
    /// The line.
    pub(crate) words: String,
    /// What is wrong with it.
    pub(crate) problem: String,
    /// What would be accepted.
    pub(crate) accepted: String,
}

/// The traverse made to close.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BalancedRow {
    /// The rule.
    pub(crate) rule: RuleField,
    /// The computed courses.
    pub(crate) courses: Vec<BalancedCourseRow>,
    /// The computed corners.
    pub(crate) corners: Vec<CornerRow>,
    /// The area inside.
    pub(crate) area_sq_ft: f64,
    /// The same in acres.
    pub(crate) area_acres: f64,
}

/// A computed course.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BalancedCourseRow {
    /// What was added to the latitude.
    pub(crate) latitude_correction_ft: f64,
    /// What was added to the departure.
    pub(crate) departure_correction_ft: f64,
    /// The computed latitude.
    pub(crate) latitude_ft: f64,
    /// The computed departure.
    pub(crate) departure_ft: f64,
    /// The computed direction as a quadrant bearing.
    pub(crate) bearing: String,
    /// The same, clockwise from north.
    pub(crate) azimuth_deg: f64,
    /// The computed distance.
    pub(crate) distance_ft: f64,
    /// Balanced less raw distance.
    pub(crate) distance_residual_ft: f64,
    /// Balanced less raw direction, positive to the right.
    pub(crate) bearing_residual_deg: f64,
}

/// A published closure.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ReferenceRow {
    /// N of 1:N.
    pub(crate) ratio: u32,
    /// What land it is for.
    pub(crate) applies_to: &'static str,
    /// Where it is published.
    pub(crate) source: &'static str,
}
