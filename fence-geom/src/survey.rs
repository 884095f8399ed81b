//! Places that were measured one from another, and the joint doubt of them all.
//!
//! Every place goes back to given coordinates and tape readings: the base
//! observations. [`Survey::points`] is a function of these alone, so that one
//! [`propagate`](crate::propagate) from them carries the doubt to anything that
//! is computed from the places, and neighbors that share a reading share its
//! doubt.

use crate::bearing::Azimuth;
use crate::estimate::{Covariance, Sigma};
use crate::intersect::{IntersectError, TapesMeet, tapes_meet};
use crate::length::{Length, QuantityError};
use crate::point::Point;
use crate::ring::Turn;
use crate::tape::TapeModel;

/// A named place and how it was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredPlace {
    /// Its name.
    pub name: String,
    /// How it was measured.
    pub by: Measurement,
}

/// How a place was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Measurement {
    /// By given coordinates.
    Given {
        /// Where it is.
        at: Point,
        /// The standard error of each coordinate, in feet.
        sigma: Sigma,
    },
    /// By one tape in a direction that is taken as exact: the base line, which
    /// fixes how the job's plane lies.
    Along {
        /// The place where the tape starts.
        from: String,
        /// What it reads.
        reading: Length,
        /// The direction.
        toward: Azimuth,
    },
    /// By two tapes.
    Tapes {
        /// The place where the first starts, and what it reads.
        first: (String, Length),
        /// The place where the second starts, and what it reads.
        second: (String, Length),
        /// On which hand of the way from the first to the second it lies.
        hand: Turn,
    },
}

/// Measured places, in an order in which each needs only earlier ones.
///
/// # Examples
///
/// ```
/// use fence_geom::{Azimuth, Length, MeasuredPlace, Measurement, Point, Sigma, Survey, TapeModel, Turn};
///
/// let feet = Length::from_feet;
/// let survey = Survey::new(
///     vec![
///         MeasuredPlace {
///             name: "A".into(),
///             by: Measurement::Given { at: Point::ORIGIN, sigma: Sigma::ZERO },
///         },
///         MeasuredPlace {
///             name: "B".into(),
///             by: Measurement::Along {
///                 from: "A".into(),
///                 reading: feet(50.0)?,
///                 toward: Azimuth::NORTH,
///             },
///         },
///         MeasuredPlace {
///             name: "C".into(),
///             by: Measurement::Tapes {
///                 first: ("A".into(), feet(30.0)?),
///                 second: ("B".into(), feet(40.0)?),
///                 hand: Turn::Right,
///             },
///         },
///     ],
///     TapeModel::default(),
/// )?;
/// let points = survey.points(&survey.observations())?;
/// assert!((points[2].north() - 18.0).abs() < 1e-9 && (points[2].east() - 24.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    places: Vec<MeasuredPlace>,
    tape: TapeModel,
}

/// Why places don't follow from what was measured.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SurveyError {
    /// Two places of one name.
    #[error("two places are called {name:?}: give each a name of its own")]
    SameName {
        /// The name.
        name: String,
    },
    /// A tape that starts nowhere.
    #[error(
        "{name:?} is taped from {from:?}, which is no place of this job: define {from:?}, or correct the name"
    )]
    UnknownFrom {
        /// The place.
        name: String,
        /// The name that is not known.
        from: String,
    },
    /// Places that hang on each other.
    #[error(
        "{names} are only taped from each other: tape one of them from a place that stands by itself"
    )]
    Circle {
        /// Their names.
        names: String,
    },
    /// Two tapes that don't meet.
    #[error("{name:?} can't be placed from {first:?} and {second:?}")]
    NoMeeting {
        /// The place.
        name: String,
        /// Where one tape starts.
        first: String,
        /// Where the other starts.
        second: String,
        /// Why they don't meet.
        source: IntersectError,
    },
    /// A place out of range.
    #[error("{name:?} can't be placed")]
    Quantity {
        /// The place.
        name: String,
        /// What is out of range.
        source: QuantityError,
    },
    /// Another number of observations than the survey has.
    #[error("the survey has {needed} base observations, got {got}")]
    Count {
        /// How many it has.
        needed: usize,
        /// How many were given.
        got: usize,
    },
}

impl Survey {
    /// Creates a survey; all its tapes are read on the same tape.
    ///
    /// The places may come in any order; they are put in one in which each
    /// needs only earlier ones, and otherwise stay as given.
    ///
    /// # Errors
    ///
    /// A [`SurveyError`] that names the place at fault: a name used twice, a
    /// tape from a place that is not there, places that are only taped from each
    /// other, or tapes that don't meet.
    pub fn new(places: Vec<MeasuredPlace>, tape: TapeModel) -> Result<Self, SurveyError> {
        check_names(&places)?;
        let survey = Self {
            places: in_order(places)?,
            tape,
        };
        survey.points(&survey.observations())?;
        Ok(survey)
    }

    /// Returns the places in order.
    #[must_use]
    pub fn places(&self) -> &[MeasuredPlace] {
        &self.places
    }

    /// Returns what a reading of its tape is worth.
    #[must_use]
    pub const fn tape(&self) -> TapeModel {
        self.tape
    }

    /// Returns the index of the place with the given name.
    #[must_use]
    pub fn index(&self, name: &str) -> Option<usize> {
        self.places.iter().position(|place| place.name == name)
    }

    /// Returns the base observations, in feet: first the northing and easting of
    /// each given place, then the tape readings, both in the order of the
    /// places.
    #[must_use]
    pub fn observations(&self) -> Vec<f64> {
        let given = self.given().flat_map(|(at, _)| [at.north(), at.east()]);
        given
            .chain(self.readings().into_iter().map(Length::feet))
            .collect()
    }

    /// Returns the joint doubt of the base observations, in the order of
    /// [`Survey::observations`].
    #[must_use]
    pub fn covariance(&self) -> Covariance {
        self.covariance_with(&[])
    }

    /// Returns the joint doubt of the base observations, followed by that of
    /// `more` readings of the same tape: its scale is one unknown for all.
    #[must_use]
    pub fn covariance_with(&self, more: &[Length]) -> Covariance {
        let sigmas: Vec<Sigma> = self.given().flat_map(|(_, sigma)| [sigma, sigma]).collect();
        let readings = [self.readings().as_slice(), more].concat();
        Covariance::independent(&sigmas).joined(&self.tape.covariance(&readings))
    }

    /// Returns where the places are for the given base observations, in order.
    ///
    /// # Errors
    ///
    /// A [`SurveyError`] where tapes don't meet, or the observations are not as
    /// many as the survey has.
    pub fn points(&self, observations: &[f64]) -> Result<Vec<Point>, SurveyError> {
        let (mut given, mut tapes) = self.split(observations)?;
        let mut points: Vec<Point> = Vec::with_capacity(self.places.len());
        for place in &self.places {
            let at = |name: &String| {
                self.index(name)
                    .and_then(|i| points.get(i).copied())
                    .unwrap_or_default()
            };
            let mut reading = || {
                let feet = tapes.next().unwrap_or_default();
                Length::from_feet(feet).map_err(|source| place.out_of_range(source))
            };
            let point = match &place.by {
                Measurement::Given { .. } => {
                    let north = given.next().unwrap_or_default();
                    let east = given.next().unwrap_or_default();
                    Point::new(north, east).map_err(|source| place.out_of_range(source))?
                }
                Measurement::Along { from, toward, .. } => at(from).toward(*toward, reading()?),
                Measurement::Tapes {
                    first,
                    second,
                    hand,
                } => {
                    let (to_first, to_second) = (reading()?, reading()?);
                    let meet = tapes_meet(at(&first.0), to_first, at(&second.0), to_second)
                        .map_err(|source| SurveyError::NoMeeting {
                            name: place.name.clone(),
                            first: first.0.clone(),
                            second: second.0.clone(),
                            source,
                        })?;
                    match (meet, hand) {
                        (TapesMeet::Touch(point), _) => point,
                        (TapesMeet::Cross { left, .. }, Turn::Left) => left,
                        (TapesMeet::Cross { right, .. }, Turn::Right) => right,
                    }
                }
            };
            points.push(point);
        }
        Ok(points)
    }

    /// The observations as those of given places and those of tapes.
    fn split<'a>(
        &self,
        observations: &'a [f64],
    ) -> Result<
        (
            impl Iterator<Item = f64> + 'a,
            impl Iterator<Item = f64> + 'a,
        ),
        SurveyError,
    > {
        let given = 2 * self.given().count();
        let needed = given + self.readings().len();
        match observations.split_at_checked(given) {
            Some((places, tapes)) if observations.len() == needed => {
                Ok((places.iter().copied(), tapes.iter().copied()))
            }
            _ => Err(SurveyError::Count {
                needed,
                got: observations.len(),
            }),
        }
    }

    fn given(&self) -> impl Iterator<Item = (Point, Sigma)> {
        self.places.iter().filter_map(|place| match place.by {
            Measurement::Given { at, sigma } => Some((at, sigma)),
            _ => None,
        })
    }

    fn readings(&self) -> Vec<Length> {
        self.places
            .iter()
            .flat_map(|place| match &place.by {
                Measurement::Given { .. } => vec![],
                Measurement::Along { reading, .. } => vec![*reading],
                Measurement::Tapes { first, second, .. } => vec![first.1, second.1],
            })
            .collect()
    }
}

fn check_names(places: &[MeasuredPlace]) -> Result<(), SurveyError> {
    for (i, place) in places.iter().enumerate() {
        if places
            .iter()
            .skip(i + 1)
            .any(|other| other.name == place.name)
        {
            return Err(SurveyError::SameName {
                name: place.name.clone(),
            });
        }
        let known = |from: &String| places.iter().any(|other| other.name == *from);
        if let Some(from) = place.by.starts().into_iter().find(|from| !known(from)) {
            return Err(SurveyError::UnknownFrom {
                name: place.name.clone(),
                from: from.clone(),
            });
        }
    }
    Ok(())
}

/// Puts places in an order in which each needs only earlier ones: again and
/// again, the first of the rest that can be placed.
fn in_order(mut rest: Vec<MeasuredPlace>) -> Result<Vec<MeasuredPlace>, SurveyError> {
    let mut placed: Vec<MeasuredPlace> = Vec::with_capacity(rest.len());
    while !rest.is_empty() {
        let known = |from: &String| placed.iter().any(|earlier| earlier.name == *from);
        let next = rest
            .iter()
            .position(|place| place.by.starts().into_iter().all(known));
        let Some(next) = next else {
            return Err(SurveyError::Circle {
                names: rest
                    .iter()
                    .map(|place| place.name.as_str())
                    .collect::<Vec<_>>()
                    .join(", "),
            });
        };
        placed.push(rest.remove(next));
    }
    Ok(placed)
}

impl MeasuredPlace {
    fn out_of_range(&self, source: QuantityError) -> SurveyError {
        SurveyError::Quantity {
            name: self.name.clone(),
            source,
        }
    }
}

impl Measurement {
    /// The names of the places it was measured from.
    fn starts(&self) -> Vec<&String> {
        match self {
            Self::Given { .. } => vec![],
            Self::Along { from, .. } => vec![from],
            Self::Tapes { first, second, .. } => vec![&first.0, &second.0],
        }
    }
}

#[cfg(test)]
mod tests;
