//! What `fence deed` takes and answers.

use fence_geom::{AngleStyle, Azimuth, Closure, Point};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A deed to run out.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DeedRequest {
    /// The text of a call table, one call a line, as `fence deed --help` describes
    /// it.
    pub(crate) calls: String,
}

/// What `fence deed FILE --json` prints.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct DeedAnswer {
    /// The calls that were read, in order, as courses.
    pub(crate) courses: Vec<CourseRow>,
    /// The corners, not adjusted; only those before the first unread line.
    pub(crate) corners: Vec<CornerRow>,
    /// Where the last call ends; null where a call is unread.
    pub(crate) end: Option<PlaceRow>,
    /// How well the calls come back; null where a call is unread.
    pub(crate) closure: Option<ClosureRow>,
    /// The area inside the courses and the line of the misclosure; null where a
    /// call is unread.
    pub(crate) area_sq_ft: Option<f64>,
    /// The same in acres.
    pub(crate) area_acres: Option<f64>,
    /// The area the paper states.
    pub(crate) stated_area_sq_ft: Option<f64>,
    /// The same in acres.
    pub(crate) stated_area_acres: Option<f64>,
    /// Why the corners enclose no lot, such as two sides that cross; null where
    /// they do enclose one.
    pub(crate) ring_problem: Option<String>,
    /// The lines that could not be read.
    pub(crate) unread: Vec<UnreadRow>,
    /// What had to be assumed.
    pub(crate) assumed: Vec<String>,
    /// The traverse made to close: computed, not what the paper says; null where
    /// a call is unread or the last call does not come back.
    pub(crate) balanced: Option<BalancedRow>,
    /// Published closures of surveys to compare with.
    pub(crate) reference_closures: Vec<ReferenceRow>,
    /// What to keep in mind.
    pub(crate) cautions: Vec<String>,
}

/// A course.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CourseRow {
    /// The number of its line in the file.
    pub(crate) line: Option<usize>,
    /// The line.
    pub(crate) words: String,
    /// The corner it starts from; `?` where that is not known.
    pub(crate) from: String,
    /// The corner it ends at; `?` where that is not known.
    pub(crate) to: String,
    /// The direction as a quadrant bearing.
    pub(crate) bearing: String,
    /// The direction, clockwise from north.
    pub(crate) azimuth_deg: f64,
    /// The distance.
    pub(crate) distance_ft: f64,
    /// How far it goes north.
    pub(crate) latitude_ft: f64,
    /// How far it goes east.
    pub(crate) departure_ft: f64,
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
    /// The rule: `compass`.
    pub(crate) rule: &'static str,
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
