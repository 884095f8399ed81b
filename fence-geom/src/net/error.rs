//! Why a net has no answer.

use crate::length::Length;

/// Why a net can't be adjusted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum NetError {
    /// Nothing was measured.
    #[error("a net needs readings: give distances between its points")]
    Empty,
    /// A known point given twice.
    #[error("known point {name:?} is given twice: keep one of its places")]
    KnownTwice {
        /// The point.
        name: String,
    },
    /// Two known points in one place.
    #[error("known points {first:?} and {second:?} are the same place: correct one of them")]
    SamePlace {
        /// The one.
        first: String,
        /// The other.
        second: String,
    },
    /// A name that stands nowhere.
    #[error(
        "{reading}: {name:?} is no point of the net; a point must be known or be measured to, so correct the name"
    )]
    UnknownName {
        /// The reading or side at fault.
        reading: String,
        /// The name.
        name: String,
    },
    /// A reading from a point to itself.
    #[error("{reading}: {name:?} is named twice; a reading is between different points")]
    SameEnd {
        /// The reading.
        reading: String,
        /// The point.
        name: String,
    },
    /// A tape of no length.
    #[error("{reading}: a tape between two points must read more than zero")]
    NoLength {
        /// The reading.
        reading: String,
    },
    /// A tape that is not there.
    #[error("{reading}: tape number {tape} is not given; there are {tapes}")]
    UnknownTape {
        /// The reading.
        reading: String,
        /// Its tape, counted from 0.
        tape: usize,
        /// How many there are.
        tapes: usize,
    },
    /// A standard error of no use.
    #[error("{reading}: its standard error must be known and more than zero to weigh it")]
    Weight {
        /// The reading.
        reading: String,
    },
    /// A corner that is nearly straight.
    #[error(
        "{reading}: {degrees} degrees; a corner has 1 to 179 degrees: for points in a row say that one is on the line of the others"
    )]
    Straight {
        /// The reading.
        reading: String,
        /// Its angle.
        degrees: f64,
    },
    /// Points that can move without a reading telling.
    #[error("{}", hanging_words(hanging, more_tapes))]
    Hanging {
        /// The points that are not held.
        hanging: Vec<String>,
        /// Tapes that would hold them all, each between two points.
        more_tapes: Vec<(String, String)>,
    },
    /// Readings that can't all be right.
    #[error(
        "{point:?} can't be placed: {first} and {second} miss each other by {gap:.2}; measure both again"
    )]
    NoMeeting {
        /// The point.
        point: String,
        /// One reading.
        first: String,
        /// The other.
        second: String,
        /// By how much they miss.
        gap: Length,
    },
    /// A net that no start was found for.
    #[error(
        "no places were found that go with the readings of {points}; tape one of these from two points that are placed, or check the readings between them"
    )]
    NoStart {
        /// The points.
        points: String,
    },
    /// Too many mirror images.
    #[error(
        "the readings fit too many places: say on which side of a line each of these lies: {points}"
    )]
    TooManyAnswers {
        /// The points.
        points: String,
    },
    /// Sides that no answer agrees with.
    #[error(
        "no places go with both the readings and the sides: check left and right of each side given"
    )]
    Sides,
    /// Readings so far off that the iteration wanders.
    #[error(
        "the adjustment does not settle after {steps} steps: a reading is far off; check the longest first"
    )]
    Unsettled {
        /// How many steps were made.
        steps: u32,
    },
}

fn hanging_words(hanging: &[String], more_tapes: &[(String, String)]) -> String {
    let (points, verb) = match hanging {
        [one] => (format!("point {one}"), "hangs"),
        many => (format!("points {}", many.join(", ")), "hang"),
    };
    let tapes: Vec<String> = more_tapes
        .iter()
        .map(|(from, to)| format!("{from} to {to}"))
        .collect();
    let remedy = match tapes.as_slice() {
        [] => "measure more between these and points that stand".to_owned(),
        [one] => format!("one more tape would fix it, from {one}"),
        many => format!(
            "{} more tapes would fix it: {}",
            many.len(),
            many.join(", ")
        ),
    };
    format!("{points} {verb}: the readings let it move; {remedy}")
}
