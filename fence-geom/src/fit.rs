//! Deed corners against found pins: how the deed lies on the ground, which pin
//! does not go with the others, and where to search for the rest.

mod rigid;

use crate::angle::Angle;
use crate::estimate::{Covariance, Ellipse, Estimate, NORMAL_95, Sigma, propagate};
use crate::length::{Length, QuantityError, Shift};
use crate::pins::Pin;
use crate::point::{Displacement, Point};
use crate::ring::Corner;

use rigid::{Pair, Rigid};

/// The chi-square quantile for two numbers that one honest pin in a thousand
/// exceeds: -2 ln 0.001. One in a thousand is the usual level of a search for
/// blunders (from memory, W. Baarda, *A Testing Procedure for Use in Geodetic
/// Networks*, Netherlands Geodetic Commission, 1968).
const SUSPECT_FROM: f64 = 13.815_510_557_964_274;

/// A pin explains a misfit as well as the most suspect one if leaving it out
/// leaves at most so much more behind: the 95 % chi-square quantile for one
/// number (3.841, from memory).
const AS_WELL: f64 = 3.841;

/// Pins closer together than this, in feet, are one pin.
const SAME_PLACE_FEET: f64 = 0.01;

/// How well a corner's place relative to the other corners is known from the
/// deed, in feet: the floor of the design for the rounding of calls.
///
/// Common practice, no source.
const DEED_FEET: f64 = 0.05;

/// What deed corners and pins say about each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// How far the deed's bearings are turned to lie on the pins: positive
    /// clockwise. Ground bearing = deed bearing + rotation.
    pub rotation: Angle,
    /// The standard error of the rotation, in radians.
    pub rotation_sigma: Sigma,
    /// Ground distance over deed distance, if it were let free. The fit itself
    /// holds it at 1.
    pub free_scale: f64,
    /// How well pins and deed go together: the standard error of one coordinate
    /// by the residuals, in feet.
    pub sigma: f64,
    /// Two for each pin less the three numbers of the fit.
    pub redundancy: usize,
    /// For each pin, in the order given.
    pub pins: Vec<PinFit>,
    /// For each deed corner, in the order given.
    pub corners: Vec<FittedCorner>,
    /// Where two pins alone disagree with the deed by more than their doubt;
    /// which one is wrong can't be told.
    pub disagreement: Option<Disagreement>,
}

/// How a pin goes with the others.
#[derive(Clone, Debug, PartialEq)]
pub struct PinFit {
    /// The name of its corner.
    pub name: String,
    /// The way from the fitted deed corner to the corner by the pin.
    pub residual: Displacement,
    /// The residual held against its own standard errors, as the square root of
    /// a chi-square of two numbers; `None` where the doubt is unknown or nothing
    /// checks the pin.
    pub standardized: Option<f64>,
    /// Whether the pin does not go with the others. Three pins at least are
    /// needed to say so; with just enough of them more than one may be suspect.
    pub suspect: bool,
}

/// A corner on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct FittedCorner {
    /// Its name.
    pub name: String,
    /// Where it is: the pin, unmoved, where one was found; else where the deed
    /// puts it.
    pub at: Point,
    /// Where the fitted deed puts it.
    pub by_deed: Point,
    /// What is known of it.
    pub standing: Standing,
    /// The standard error of the northing, in feet.
    pub sigma_north: Sigma,
    /// The standard error of the easting, in feet.
    pub sigma_east: Sigma,
    /// Its standard ellipse, `None` where the doubt is unknown.
    pub ellipse: Option<Ellipse>,
    /// For a corner not found: how far around to search. It holds 95 % if all
    /// pins are right, and reaches as far again around the place that the other
    /// pins give where a pin is suspect. `None` where a pin was found or the
    /// doubt is unknown.
    pub search_radius: Option<Length>,
}

/// What is known of a corner on the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Standing {
    /// A pin was found and accepted: it is the corner.
    Accepted,
    /// A pin was found; nobody has accepted it yet.
    Found,
    /// No pin was found: search here.
    Predicted,
}

/// Two pins whose distance is not that of the deed.
#[derive(Clone, Debug, PartialEq)]
pub struct Disagreement {
    /// One corner.
    pub first: String,
    /// The other.
    pub second: String,
    /// Distance on the ground less that of the deed.
    pub by: Shift,
    /// The standard error of that difference, in feet.
    pub sigma: Sigma,
}

/// Why deed and pins can't be fitted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FitError {
    /// One pin fixes no direction.
    #[error("a fit needs two pins at least, got {pins}: find another pin")]
    TooFewPins {
        /// How many there are.
        pins: usize,
    },
    /// A pin for a corner that the deed does not have.
    #[error("pin {name:?} is for no corner of the deed; the corners are {corners}")]
    NoSuchCorner {
        /// The name on the pin.
        name: String,
        /// The names of the corners.
        corners: String,
    },
    /// Two corners or two pins of one name.
    #[error("{what} {name:?} is given twice: name each once")]
    Twice {
        /// "corner" or "pin for corner".
        what: &'static str,
        /// The name.
        name: String,
    },
    /// Two corners or two pins at one place.
    #[error(
        "{what} {first:?} and {second:?} are {apart:.3} apart, which is one place: check their figures"
    )]
    SamePlace {
        /// "corners" or "pins".
        what: &'static str,
        /// One of them.
        first: String,
        /// The other.
        second: String,
        /// How far apart they are.
        apart: Length,
    },
    /// The pins do not tell which way the deed lies.
    #[error(
        "the pins do not tell which way the deed lies: corners and pins do not resemble each other at all"
    )]
    NoDirection,
}

/// Fits deed corners to found pins.
///
/// Rotation and shift are found by least squares, scale held at 1; each pin
/// weighs by its own doubt and the deed's. The fit moves no pin. It tests pins,
/// and says where the corners not found should be: the pin is the corner where
/// there is one.
///
/// `deed_sigma` is the standard error of a deed corner's coordinates relative to
/// the others; [`default_deed_sigma`] if nothing better is known. If it or the
/// doubt of a pin is unknown, all pins weigh alike and what follows is unknown.
///
/// # Errors
///
/// A [`FitError`] that names the corners or pins at fault.
///
/// # Source
///
/// Least-squares rotation in closed form: S. Umeyama, "Least-Squares Estimation
/// of Transformation Parameters Between Two Point Patterns", IEEE Transactions
/// on Pattern Analysis and Machine Intelligence 13 (1991), 376-380, for the
/// plane.
///
/// # Examples
///
/// ```
/// use fence_geom::{Corner, Pin, Point, Sigma, default_deed_sigma, fit};
///
/// let corner = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(Corner { name: name.into(), at: Point::new(north, east)? })
/// };
/// let deed = [corner("A", 0.0, 0.0)?, corner("B", 100.0, 0.0)?, corner("C", 100.0, 50.0)?];
/// let sigma = Sigma::known(0.03)?;
/// let pins = [
///     Pin::new("A", Point::new(500.0, 500.0)?, sigma),
///     Pin::new("B", Point::new(500.0, 600.0)?, sigma),
/// ];
/// let answer = fit(&deed, &pins, default_deed_sigma())?;
/// // North in the deed is east on the ground.
/// assert!((answer.rotation.degrees() - 90.0).abs() < 1e-9);
/// assert!((answer.corners[2].at.north() - 450.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(corners: &[Corner], pins: &[Pin], deed_sigma: Sigma) -> Result<Fit, FitError> {
    check(corners, pins)?;
    let pairs = paired(corners, pins, deed_sigma);
    let rigid = Rigid::of(&pairs).ok_or(FitError::NoDirection)?;
    let residuals: Vec<Displacement> = pairs
        .iter()
        .map(|pair| pair.pin - rigid.place(pair.deed))
        .collect();
    // Each pin gives two numbers, the fit takes three.
    let redundancy = 2 * pins.len() - 3;
    let squares: f64 = residuals.iter().map(|v| v.dot(*v)).sum();
    let known = pairs.iter().all(|pair| pair.sigma.value().is_some());
    let tests = if known {
        rigid::tests(&pairs, &residuals)
    } else {
        vec![None; pins.len()]
    };
    let suspects = suspects(&tests, pins.len());
    let disagreement = disagreement(&pairs, pins);
    let fitted_corners = corners
        .iter()
        .map(|corner| {
            let mut fitted = fitted(corner, corners, pins, deed_sigma, &rigid);
            fitted.search_radius = search_radius(
                &fitted,
                corner,
                &Doubtful {
                    corners,
                    pins,
                    suspects: &suspects,
                    disagreement: disagreement.as_ref(),
                    deed_sigma,
                },
            );
            fitted
        })
        .collect();
    let pin_fits = pins
        .iter()
        .zip(&residuals)
        .zip(tests.iter().zip(&suspects))
        .map(|((pin, residual), (test, &suspect))| PinFit {
            name: pin.corner.clone(),
            residual: *residual,
            standardized: test.map(f64::sqrt),
            suspect,
        })
        .collect();
    let (rotation, rotation_sigma) = rotation(corners, pins, deed_sigma, &rigid);
    Ok(Fit {
        rotation,
        rotation_sigma,
        free_scale: rigid.free_scale,
        sigma: (squares / small_count(redundancy)).sqrt(),
        redundancy,
        pins: pin_fits,
        corners: fitted_corners,
        disagreement,
    })
}

/// Returns the standard error of a deed corner relative to the others where
/// nothing better is known: 0.05 ft (common practice, no source).
#[must_use]
pub fn default_deed_sigma() -> Sigma {
    Sigma::computed(DEED_FEET)
}

fn check(corners: &[Corner], pins: &[Pin]) -> Result<(), FitError> {
    if pins.len() < 2 {
        return Err(FitError::TooFewPins { pins: pins.len() });
    }
    let deed = corners.iter().map(|c| (c.name.as_str(), c.at));
    check_apart(("corner", "corners"), &deed.collect::<Vec<_>>())?;
    let found = pins.iter().map(|p| (p.corner.as_str(), p.corner_place()));
    check_apart(("pin for corner", "pins"), &found.collect::<Vec<_>>())?;
    for pin in pins {
        if !corners.iter().any(|corner| corner.name == pin.corner) {
            let names: Vec<&str> = corners.iter().map(|c| c.name.as_str()).collect();
            return Err(FitError::NoSuchCorner {
                name: pin.corner.clone(),
                corners: names.join(", "),
            });
        }
    }
    Ok(())
}

fn check_apart(
    (one, many): (&'static str, &'static str),
    places: &[(&str, Point)],
) -> Result<(), FitError> {
    for (i, (first, at)) in places.iter().enumerate() {
        for (second, other) in places.iter().skip(i + 1) {
            if first == second {
                return Err(FitError::Twice {
                    what: one,
                    name: (*first).to_owned(),
                });
            }
            let apart = at.distance(*other);
            if apart.feet() < SAME_PLACE_FEET {
                return Err(FitError::SamePlace {
                    what: many,
                    first: (*first).to_owned(),
                    second: (*second).to_owned(),
                    apart,
                });
            }
        }
    }
    Ok(())
}

/// Each pin beside its deed corner, in the order of the pins.
fn paired(corners: &[Corner], pins: &[Pin], deed_sigma: Sigma) -> Vec<Pair> {
    let sigmas: Vec<Sigma> = pins.iter().map(|p| p.sigma.combined(deed_sigma)).collect();
    // A doubt of nothing would weigh without end; unknown doubt weighs nothing
    // that could be told. Then all weigh alike.
    let usable = sigmas.iter().all(|s| s.value().is_some_and(|v| v > 0.0));
    pins.iter()
        .zip(sigmas)
        .filter_map(|(pin, sigma)| {
            let corner = corners.iter().find(|corner| corner.name == pin.corner)?;
            let variance = sigma.value().map(|v| v * v).filter(|_| usable);
            Some(Pair {
                deed: corner.at,
                pin: pin.corner_place(),
                weight: variance.map_or(1.0, |v| 1.0 / v),
                sigma: if usable { sigma } else { Sigma::UNKNOWN },
            })
        })
        .collect()
}

/// The pins that do not go with the others: the one whose leaving out would mend
/// the fit most, and any that would mend it nearly as well.
fn suspects(tests: &[Option<f64>], pins: usize) -> Vec<bool> {
    let most = tests.iter().flatten().copied().fold(0.0, f64::max);
    let suspect = |test: &Option<f64>| {
        pins >= 3 && test.is_some_and(|test| test > SUSPECT_FROM && test >= most - AS_WELL)
    };
    tests.iter().map(suspect).collect()
}

fn disagreement(pairs: &[Pair], pins: &[Pin]) -> Option<Disagreement> {
    let (&[a, b], [first, second]) = (pairs, pins) else {
        return None;
    };
    let by = a.pin.distance(b.pin).minus(a.deed.distance(b.deed));
    let sigma = a.sigma.combined(b.sigma);
    let beyond = by.magnitude().feet() > sigma.value()? * NORMAL_95;
    beyond.then(|| Disagreement {
        first: first.corner.clone(),
        second: second.corner.clone(),
        by,
        sigma,
    })
}

fn fitted(
    corner: &Corner,
    corners: &[Corner],
    pins: &[Pin],
    deed_sigma: Sigma,
    rigid: &Rigid,
) -> FittedCorner {
    let by_deed = rigid.place(corner.at);
    let name = corner.name.clone();
    if let Some(pin) = pins.iter().find(|pin| pin.corner == corner.name) {
        let standing = if pin.is_accepted() {
            Standing::Accepted
        } else {
            Standing::Found
        };
        let variance = pin.sigma.value().map(|v| v * v);
        return FittedCorner {
            name,
            at: pin.corner_place(),
            by_deed,
            standing,
            sigma_north: pin.sigma,
            sigma_east: pin.sigma,
            ellipse: variance.map(|v| Ellipse::new(v, v, 0.0)),
            search_radius: None,
        };
    }
    let doubt = predicted(Some(corner), corners, pins, deed_sigma);
    let sigma = |i| doubt.as_ref().map_or(Sigma::UNKNOWN, |d| d.sigma(i));
    FittedCorner {
        name,
        at: by_deed,
        by_deed,
        standing: Standing::Predicted,
        sigma_north: sigma(0),
        sigma_east: sigma(1),
        ellipse: doubt.as_ref().and_then(|d| d.ellipse(0, 1)),
        search_radius: None,
    }
}

/// What a fit left in doubt, for the search radii.
struct Doubtful<'a> {
    corners: &'a [Corner],
    pins: &'a [Pin],
    suspects: &'a [bool],
    disagreement: Option<&'a Disagreement>,
    deed_sigma: Sigma,
}

/// How far to search around a predicted corner, whichever suspect pin is wrong.
fn search_radius(fitted: &FittedCorner, corner: &Corner, doubt: &Doubtful<'_>) -> Option<Length> {
    if fitted.standing != Standing::Predicted {
        return None;
    }
    let mut radius = fitted.ellipse?.search_radius_95();
    if let Some(two) = doubt.disagreement {
        radius = radius + two.by.magnitude();
    }
    for (left_out, _) in doubt.suspects.iter().enumerate().filter(|(_, s)| **s) {
        let others = doubt
            .pins
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != left_out);
        let others: Vec<Pin> = others.map(|(_, pin)| pin.clone()).collect();
        let pairs = paired(doubt.corners, &others, doubt.deed_sigma);
        let Some(rigid) = Rigid::of(&pairs) else {
            continue;
        };
        let by_others = rigid.place(corner.at);
        let around = predicted(Some(corner), doubt.corners, &others, doubt.deed_sigma)?
            .ellipse(0, 1)?
            .search_radius_95();
        let reach = fitted.at.distance(by_others) + around;
        if reach > radius {
            radius = reach;
        }
    }
    Some(radius)
}

fn rotation(corners: &[Corner], pins: &[Pin], deed_sigma: Sigma, rigid: &Rigid) -> (Angle, Sigma) {
    let doubt = predicted(None, corners, pins, deed_sigma);
    let sigma = doubt.map_or(Sigma::UNKNOWN, |d| d.sigma(0));
    (rigid.rotation(), sigma)
}

/// The place of a corner not found, or the turn from the fitted rotation, with
/// the doubt of pins and deed.
fn predicted(
    corner: Option<&Corner>,
    corners: &[Corner],
    pins: &[Pin],
    deed_sigma: Sigma,
) -> Option<Estimate> {
    let pairs = paired(corners, pins, deed_sigma);
    let first = Rigid::of(&pairs)?.rotation();
    let mut values = Vec::new();
    let mut sigmas = Vec::new();
    for (pair, pin) in pairs.iter().zip(pins) {
        values.extend([pair.pin.north(), pair.pin.east()]);
        values.extend([pair.deed.north(), pair.deed.east()]);
        sigmas.extend([pin.sigma, pin.sigma, deed_sigma, deed_sigma]);
    }
    if let Some(corner) = corner {
        values.extend([corner.at.north(), corner.at.east()]);
        sigmas.extend([deed_sigma, deed_sigma]);
    }
    let doubt = Covariance::independent(&sigmas);
    propagate(&values, &doubt, |values| -> Result<Vec<f64>, NoFit> {
        let moved = moved(&pairs, values)?;
        let rigid = Rigid::of(&moved).ok_or(NoFit)?;
        let rest = values.get(4 * pairs.len()..).unwrap_or_default();
        match rest {
            &[north, east] => {
                let at = rigid.place(Point::new(north, east)?);
                Ok(vec![at.north(), at.east()])
            }
            // From the fitted rotation on, so that no full turn comes between.
            _ => Ok(vec![turn_between(first, rigid.rotation())]),
        }
    })
    .ok()
}

/// The pairs with the coordinates of `values`: pin and deed corner by turns.
fn moved(pairs: &[Pair], values: &[f64]) -> Result<Vec<Pair>, NoFit> {
    let at = |pair: &Pair, chunk: &[f64]| match chunk {
        &[pin_north, pin_east, deed_north, deed_east] => Ok(Pair {
            pin: Point::new(pin_north, pin_east)?,
            deed: Point::new(deed_north, deed_east)?,
            ..*pair
        }),
        _ => Err(NoFit),
    };
    let chunks = values.chunks(4);
    pairs.iter().zip(chunks).map(|(p, c)| at(p, c)).collect()
}

fn turn_between(from: Angle, to: Angle) -> f64 {
    let turn = (to - from).radians();
    turn.sin().atan2(turn.cos())
}

/// A count of pins is far below where a double misses a whole number.
fn small_count(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// No fit a step beside the figures.
#[derive(Debug)]
struct NoFit;

impl From<QuantityError> for NoFit {
    fn from(_: QuantityError) -> Self {
        Self
    }
}
