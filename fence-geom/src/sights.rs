//! A point where straight lines meet, or where a line meets a tape, with its
//! doubt; and a third tape against the point that two others give.

use crate::bearing::Azimuth;
use crate::estimate::{Covariance, Ellipse, Estimate, NORMAL_95, Sigma, propagate};
use crate::intersect::{
    IntersectError, LineMeetsTape, TapesMeet, line_meets_tape, lines_meet, tapes_meet,
};
use crate::length::{Length, QuantityError, Shift};
use crate::point::Point;
use crate::ring::Turn;
use crate::tape::TapeModel;
use crate::two_tapes::KnownPoint;

/// A straight line that a crew can follow.
#[derive(Clone, Debug, PartialEq)]
pub enum Sight {
    /// From a known point in a direction.
    Toward {
        /// The known point.
        from: KnownPoint,
        /// The direction.
        toward: Azimuth,
        /// Its standard error, in radians.
        sigma: Sigma,
    },
    /// Along two known points, or a distance aside of them.
    Along {
        /// The known point where the line starts.
        from: KnownPoint,
        /// The known point it leads to.
        to: KnownPoint,
        /// How far to the right of the two it runs; to the left it is negative.
        right: Shift,
        /// The standard error of that, in feet.
        sigma: Sigma,
    },
}

/// A place on a line, and how well it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct SightedPoint {
    /// Where it is.
    pub at: Point,
    /// How far along the first line from its start: negative is behind it.
    pub along: Shift,
    /// The standard error of its northing, in feet.
    pub sigma_north: Sigma,
    /// The standard error of its easting, in feet.
    pub sigma_east: Sigma,
    /// Its standard ellipse, `None` where the doubt is unknown.
    pub ellipse: Option<Ellipse>,
}

/// A third tape against one of the two places that two tapes give.
#[derive(Clone, Debug, PartialEq)]
pub struct ThirdTape {
    /// On which hand of the way from the first known point to the second the
    /// place lies.
    pub hand: Turn,
    /// Where it is by the first two tapes.
    pub at: Point,
    /// What the third tape reads beyond its distance to the place.
    pub over: Shift,
    /// The standard error of that, in feet.
    pub sigma: Sigma,
    /// Whether it agrees: the difference is within 95 %. `None` where the doubt
    /// is unknown.
    pub agrees: Option<bool>,
}

/// Returns where two lines meet, with the doubt of both and of their known points.
///
/// # Errors
///
/// [`IntersectError::Parallel`], or [`IntersectError::SamePoint`] for a line along
/// two known points that are one.
///
/// # Examples
///
/// ```
/// use fence_geom::{KnownPoint, Point, Shift, Sight, Sigma, point_from_sights};
///
/// let pin = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(KnownPoint { name: name.into(), at: Point::new(north, east)?, sigma: Sigma::ZERO })
/// };
/// let (a, b, c) = (pin("A", 0.0, 0.0)?, pin("B", 0.0, 100.0)?, pin("C", 80.0, 100.0)?);
/// let string = Sigma::known(0.02)?;
/// // Half a foot inside of two lines of a lot that lies to their left.
/// let inside = Shift::from_feet(-0.5)?;
/// let south = Sight::Along { from: a, to: b.clone(), right: inside, sigma: string };
/// let east = Sight::Along { from: b, to: c, right: inside, sigma: string };
/// let corner = point_from_sights(&south, &east)?;
/// assert!((corner.at.north() - 0.5).abs() < 1e-9 && (corner.at.east() - 99.5).abs() < 1e-9);
/// assert!((corner.sigma_north.value().unwrap_or(0.0) - 0.02).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn point_from_sights(first: &Sight, second: &Sight) -> Result<SightedPoint, IntersectError> {
    let base = Base::of(first.points().into_iter().chain(second.points()));
    let figures = [first.figure(), second.figure()];
    let meet = |values: &Values<'_>| {
        let (start, toward) = first.line(values, 0)?;
        let (other, direction) = second.line(values, 1)?;
        let meeting = lines_meet(start, toward, other, direction)?;
        Ok((meeting.at, meeting.along_first))
    };
    let (at, along) = base.plain(&figures, &[], &meet)?;
    Ok(base.sighted(at, along, &figures, None, &[], meet))
}

/// Returns where a line meets a tape that is held at a known point: two places in
/// the order of the line, or one where the line grazes, whose doubt is then
/// unknown.
///
/// # Errors
///
/// [`IntersectError::Misses`] with the gap; [`IntersectError::SamePoint`] as for
/// [`point_from_sights`].
///
/// # Examples
///
/// ```
/// use fence_geom::{
///     Azimuth, KnownPoint, Length, Point, Sight, Sigma, TapeModel, points_from_sight_and_tape,
/// };
///
/// let pin = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(KnownPoint { name: name.into(), at: Point::new(north, east)?, sigma: Sigma::ZERO })
/// };
/// let wall = Sight::Toward {
///     from: pin("A", 0.0, 0.0)?,
///     toward: Azimuth::from_degrees(90.0)?,
///     sigma: Sigma::known(0.005)?,
/// };
/// let tree = pin("tree", 3.0, 10.0)?;
/// let tape = TapeModel::default();
/// let places = points_from_sight_and_tape(&wall, (&tree, Length::from_feet(5.0)?), &tape)?;
/// assert_eq!(places.len(), 2);
/// assert!((places[0].along.feet() - 6.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn points_from_sight_and_tape(
    sight: &Sight,
    held: (&KnownPoint, Length),
    tape: &TapeModel,
) -> Result<Vec<SightedPoint>, IntersectError> {
    let base = Base::of(sight.points().into_iter().chain([held.0]));
    let figures = [sight.figure()];
    let readings = [held.1];
    let places = |values: &Values<'_>| {
        let (start, toward) = sight.line(values, 0)?;
        line_meets_tape(start, toward, values.at(held.0)?, values.reading(0)?).map_err(Unmet::from)
    };
    match base.plain(&figures, &readings, &places)? {
        LineMeetsTape::Touch(one) => Ok(vec![SightedPoint {
            at: one.at,
            along: one.along,
            sigma_north: Sigma::UNKNOWN,
            sigma_east: Sigma::UNKNOWN,
            ellipse: None,
        }]),
        LineMeetsTape::Cross { first, second } => {
            let one = |is_first: bool, place: crate::intersect::Crossing| {
                let meet = |values: &Values<'_>| match places(values)? {
                    LineMeetsTape::Cross { first, .. } if is_first => Ok((first.at, first.along)),
                    LineMeetsTape::Cross { second, .. } => Ok((second.at, second.along)),
                    LineMeetsTape::Touch(_) => Err(Unmet::Nothing),
                };
                base.sighted(place.at, place.along, &figures, Some(tape), &readings, meet)
            };
            Ok(vec![one(true, first), one(false, second)])
        }
    }
}

/// Returns how a third tape agrees with each of the two places that two tapes
/// give; all three are read on the same tape.
///
/// # Errors
///
/// [`IntersectError`] with the gap if the first two tapes do not cross.
///
/// # Examples
///
/// ```
/// use fence_geom::{KnownPoint, Length, Point, Sigma, TapeModel, third_tape};
///
/// let pin = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(KnownPoint { name: name.into(), at: Point::new(north, east)?, sigma: Sigma::ZERO })
/// };
/// let (a, b, c) = (pin("A", 0.0, 0.0)?, pin("B", 0.0, 50.0)?, pin("C", 60.0, 0.0)?);
/// let feet = Length::from_feet;
/// let tapes = [(&a, feet(30.0)?), (&b, feet(40.0)?), (&c, feet(40.25)?)];
/// let checks = third_tape(tapes, &TapeModel::default())?;
/// assert_eq!(checks.map(|check| check.agrees), [Some(true), Some(false)]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn third_tape(
    tapes: [(&KnownPoint, Length); 3],
    tape: &TapeModel,
) -> Result<[ThirdTape; 2], IntersectError> {
    let [first, second, third] = tapes;
    let base = Base::of(tapes.map(|(known, _)| known));
    let readings = tapes.map(|(_, reading)| reading);
    let over = |hand: Turn| {
        move |values: &Values<'_>| {
            let (a, b) = (values.at(first.0)?, values.at(second.0)?);
            let meeting = tapes_meet(a, values.reading(0)?, b, values.reading(1)?)?;
            let TapesMeet::Cross { .. } = meeting else {
                return Err(Unmet::Nothing);
            };
            let at = meeting.on(hand);
            let distance = at.distance(values.at(third.0)?);
            Ok((at, values.reading(2)?.minus(distance)))
        }
    };
    let check = |hand: Turn| {
        let (at, shift) = base.plain(&[], &readings, &over(hand))?;
        let doubt = base.doubt(&[], Some(tape), &readings, |values| {
            Ok(vec![over(hand)(values)?.1.feet()])
        });
        let sigma = doubt.map_or(Sigma::UNKNOWN, |doubt| doubt.sigma(0));
        Ok(ThirdTape {
            hand,
            at,
            over: shift,
            sigma,
            agrees: sigma.value().map(|s| shift.feet().abs() <= s * NORMAL_95),
        })
    };
    Ok([check(Turn::Left)?, check(Turn::Right)?])
}

impl Sight {
    fn points(&self) -> Vec<&KnownPoint> {
        match self {
            Self::Toward { from, .. } => vec![from],
            Self::Along { from, to, .. } => vec![from, to],
        }
    }

    /// The figure that says where the line runs, with its standard error.
    fn figure(&self) -> (f64, Sigma) {
        match self {
            Self::Toward { toward, sigma, .. } => (toward.radians(), *sigma),
            Self::Along { right, sigma, .. } => (right.feet(), *sigma),
        }
    }

    /// A point of the line and its direction.
    fn line(&self, values: &Values<'_>, figure: usize) -> Result<(Point, Azimuth), Unmet> {
        let figure = values.figure(figure)?;
        match self {
            Self::Toward { from, .. } => {
                let toward = Azimuth::from_radians(figure).map_err(|_| Unmet::Nothing)?;
                Ok((values.at(from)?, toward))
            }
            Self::Along { from, to, .. } => {
                let (start, end) = (values.at(from)?, values.at(to)?);
                let unit = (end - start)
                    .unit()
                    .ok_or(Unmet::Intersect(IntersectError::SamePoint))?;
                Ok((start + unit.turned_right() * figure, unit.azimuth()))
            }
        }
    }
}

/// The known points of a task, each once: a point that two lines share has one
/// error.
struct Base<'a> {
    points: Vec<&'a KnownPoint>,
}

/// Values of all that a place depends on: coordinates, figures of lines, readings.
struct Values<'a> {
    base: &'a Base<'a>,
    figures: usize,
    values: &'a [f64],
}

impl<'a> Base<'a> {
    fn of(points: impl IntoIterator<Item = &'a KnownPoint>) -> Self {
        let mut distinct: Vec<&KnownPoint> = Vec::new();
        for point in points {
            if !distinct.contains(&point) {
                distinct.push(point);
            }
        }
        Self { points: distinct }
    }

    fn values(&self, figures: &[(f64, Sigma)], readings: &[Length]) -> Vec<f64> {
        let places = (self.points.iter()).flat_map(|known| [known.at.north(), known.at.east()]);
        let figures = figures.iter().map(|(figure, _)| *figure);
        let readings = readings.iter().map(|reading| reading.feet());
        places.chain(figures).chain(readings).collect()
    }

    /// The answer for the values as they are.
    fn plain<T>(
        &self,
        figures: &[(f64, Sigma)],
        readings: &[Length],
        f: &impl Fn(&Values<'_>) -> Result<T, Unmet>,
    ) -> Result<T, IntersectError> {
        f(&Values {
            base: self,
            figures: figures.len(),
            values: &self.values(figures, readings),
        })
        .map_err(|unmet| match unmet {
            Unmet::Intersect(error) => error,
            Unmet::Nothing => IntersectError::SamePoint,
        })
    }

    /// The doubt of the answers; `None` where they bend too much for it.
    fn doubt(
        &self,
        figures: &[(f64, Sigma)],
        tape: Option<&TapeModel>,
        readings: &[Length],
        f: impl Fn(&Values<'_>) -> Result<Vec<f64>, Unmet>,
    ) -> Option<Estimate> {
        let sigmas: Vec<Sigma> = (self.points.iter())
            .flat_map(|known| [known.sigma, known.sigma])
            .chain(figures.iter().map(|(_, sigma)| *sigma))
            .collect();
        let mut covariance = Covariance::independent(&sigmas);
        if let Some(tape) = tape {
            covariance = covariance.joined(&tape.covariance(readings));
        }
        propagate(&self.values(figures, readings), &covariance, |values| {
            f(&Values {
                base: self,
                figures: figures.len(),
                values,
            })
        })
        .ok()
    }

    fn sighted(
        &self,
        at: Point,
        along: Shift,
        figures: &[(f64, Sigma)],
        tape: Option<&TapeModel>,
        readings: &[Length],
        meet: impl Fn(&Values<'_>) -> Result<(Point, Shift), Unmet>,
    ) -> SightedPoint {
        let doubt = self.doubt(figures, tape, readings, |values| {
            let (at, _) = meet(values)?;
            Ok(vec![at.north(), at.east()])
        });
        let sigma = |i| doubt.as_ref().map_or(Sigma::UNKNOWN, |d| d.sigma(i));
        SightedPoint {
            at,
            along,
            sigma_north: sigma(0),
            sigma_east: sigma(1),
            ellipse: doubt.as_ref().and_then(|doubt| doubt.ellipse(0, 1)),
        }
    }
}

impl Values<'_> {
    fn at(&self, known: &KnownPoint) -> Result<Point, Unmet> {
        let index = self.base.points.iter().position(|point| *point == known);
        let index = index.ok_or(Unmet::Nothing)?;
        Ok(Point::new(self.get(2 * index)?, self.get(2 * index + 1)?)?)
    }

    fn figure(&self, index: usize) -> Result<f64, Unmet> {
        self.get(2 * self.base.points.len() + index)
    }

    fn reading(&self, index: usize) -> Result<Length, Unmet> {
        let feet = self.get(2 * self.base.points.len() + self.figures + index)?;
        Ok(Length::from_feet(feet)?)
    }

    fn get(&self, index: usize) -> Result<f64, Unmet> {
        self.values.get(index).copied().ok_or(Unmet::Nothing)
    }
}

/// There is no place, for the values or a step beside them.
#[derive(Debug)]
enum Unmet {
    Intersect(IntersectError),
    Nothing,
}

impl From<IntersectError> for Unmet {
    fn from(error: IntersectError) -> Self {
        Self::Intersect(error)
    }
}

impl From<QuantityError> for Unmet {
    fn from(_: QuantityError) -> Self {
        Self::Nothing
    }
}
