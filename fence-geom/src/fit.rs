//! Deed corners against found pins: how the deed lies on the ground, which pin
//! does not go with the others, and where to search for the rest.

mod search;
mod similarity;

use std::collections::{BTreeMap, BTreeSet};

use crate::angle::Angle;
use crate::bearing::Azimuth;
use crate::estimate::{Ellipse, NORMAL_95, Sigma, chance_of_squares, ellipse_factor_95};
use crate::length::{Length, METERS_PER_FOOT, Shift};
use crate::pins::Pin;
use crate::point::{Displacement, Point};
use crate::ring::Corner;
use crate::units::METERS_PER_SURVEY_FOOT;

use similarity::{Doubt, NoFit, Pair, PinCheck, Problem, Similarity, Turn};

pub use search::{SearchTape, SearchTapes, search_tapes};

/// The chance that an honest pin, or an honest fit as a whole, fails its test: one
/// in a thousand is the usual level of a search for blunders (from memory, W.
/// Baarda, *A Testing Procedure for Use in Geodetic Networks*, Netherlands Geodetic
/// Commission, 1968).
const FALSE_ALARM: f64 = 0.001;

/// How far past zero an honest number of standard errors is at that level, to
/// either side: the square root of 10.828 (from memory).
const NORMAL_999: f64 = 3.291;

/// A blunder is found with 80 % power at that level if leaving its pin out saves so
/// much, where two numbers of the pin are checked: the noncentrality of a
/// chi-square of two numbers, computed for this purpose. (For one number it is
/// 17.07, Baarda's figure.)
const FOUND_FROM: f64 = 19.662;

/// A pin explains a misfit as well as the most suspect one if leaving it out
/// leaves at most so much more behind: the 95 % chi-square quantile for one
/// number (3.841, from memory).
const AS_WELL: f64 = 3.841;

/// Corners mirrored fit far better if what is left is so many times less.
const FAR_BETTER: f64 = 10.0;

/// Pins closer together than this, in feet, are one pin.
const SAME_PLACE_FEET: f64 = 0.01;

/// How well a corner's place relative to the other corners is known from the
/// deed, in feet: the floor of the design for the rounding of calls.
///
/// Common practice, no source.
const DEED_FEET: f64 = 0.05;

/// Units that deeds and measurements get confused by, as ground distance over deed
/// distance.
const CONFUSIONS: [(f64, &str); 8] = [
    (
        METERS_PER_SURVEY_FOOT / METERS_PER_FOOT,
        "the deed is in U.S. survey feet and was taken as international feet",
    ),
    (
        METERS_PER_FOOT / METERS_PER_SURVEY_FOOT,
        "the pins are in U.S. survey feet and were taken as international feet",
    ),
    (
        1.0 / METERS_PER_FOOT,
        "the deed is in meters and was taken as feet",
    ),
    (
        METERS_PER_FOOT,
        "the pins are in meters and were taken as feet",
    ),
    (3.0, "the deed is in yards and was taken as feet"),
    (0.66, "the deed is in links and was taken as feet"),
    (16.5, "the deed is in rods and was taken as feet"),
    (66.0, "the deed is in chains and was taken as feet"),
];

/// How deed corners are fitted to pins.
///
/// # Examples
///
/// ```
/// use fence_geom::{FitRules, Sigma, default_deed_sigma};
///
/// let rules = FitRules::default();
/// assert_eq!(rules.deed_sigma, default_deed_sigma());
/// let plat = FitRules { deed_sigma: Sigma::known(0.01)?, ..rules };
/// assert!(!plat.free_scale);
/// # Ok::<(), fence_geom::EstimateError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitRules {
    /// The standard error of a deed corner's coordinates relative to the others, in
    /// feet.
    pub deed_sigma: Sigma,
    /// Whether the scale is let free; else ground and deed are of one scale.
    pub free_scale: bool,
    /// A direction that is known besides the pins.
    pub direction: Option<KnownDirection>,
}

/// A line whose direction is known both by the deed and on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownDirection {
    /// Its direction by the deed.
    pub by_deed: Azimuth,
    /// Its direction on the ground.
    pub on_ground: Azimuth,
    /// The standard error of the difference, in radians.
    pub sigma: Sigma,
}

/// What deed corners and pins say about each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// How far the deed's bearings are turned to lie on the pins: positive
    /// clockwise. Ground bearing = deed bearing + rotation.
    pub rotation: Angle,
    /// The standard error of the rotation, in radians.
    pub rotation_sigma: Sigma,
    /// Ground distance over deed distance as fitted: 1 where it was held.
    pub scale: f64,
    /// Ground distance over deed distance, if it were let free; `None` for one pin.
    pub free_scale: Option<f64>,
    /// The standard error of the free scale.
    pub free_scale_sigma: Sigma,
    /// The confusion of units that explains the free scale, where its standard
    /// error tells it from 1.
    pub unit_confusion: Option<&'static str>,
    /// How well pins and deed go together: the standard error of one coordinate
    /// by the residuals, in feet; unknown where nothing is left to check.
    pub sigma: Sigma,
    /// Two for each pin and one for a known direction, less the three numbers of
    /// the fit, or four with a free scale.
    pub redundancy: usize,
    /// What the residuals say of the given standard errors: their variance over the
    /// given one (a posteriori over a priori); about 1 where these are right.
    /// `None` where the doubt is unknown or nothing is left to check.
    pub variance_factor: Option<f64>,
    /// The chance of residuals at least so large, if the given standard errors are
    /// right and no pin is off: the global test. Below 0.001 something is wrong.
    pub chance: Option<f64>,
    /// How many times better the best told of the unknowns is told than the worst.
    pub condition: f64,
    /// For each measured pin, in the order given.
    pub pins: Vec<PinFit>,
    /// How the known direction goes with the pins.
    pub direction: Option<DirectionFit>,
    /// For each deed corner, in the order given.
    pub corners: Vec<FittedCorner>,
    /// Where two pins alone disagree with the deed by more than their doubt;
    /// which one is wrong can't be told.
    pub disagreement: Option<Disagreement>,
    /// Whether the deed's corners mirrored would fit far better: then north and
    /// east, or left and right, were exchanged somewhere. It is never applied.
    pub mirrored: bool,
    /// What phones and maps say, which never entered the fit.
    pub hints: Vec<PhoneHint>,
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
    /// How much of the pin's two numbers the others check: from 0 to 2.
    pub redundancy: f64,
    /// The way to the corner by the pin from where the other pins alone put it;
    /// `None` where they can't.
    pub left_out: Option<Displacement>,
    /// A blunder of this size, in the direction in which it shows least, is found in
    /// 80 of 100 cases; `None` where nothing checks the pin in some direction.
    pub detectable: Option<Length>,
    /// Whether the pin does not go with the others. Three pins at least are
    /// needed to say so; with just enough of them more than one may be suspect,
    /// and which of them is wrong can't be told.
    pub suspect: bool,
}

/// How a known direction goes with the pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DirectionFit {
    /// The known rotation less the fitted one.
    pub residual: Angle,
    /// The residual over its own standard error; `None` where the doubt is unknown
    /// or nothing checks it.
    pub standardized: Option<f64>,
    /// Whether it does not go with the pins.
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
    /// Its standard ellipse by the given standard errors (a priori), `None` where
    /// the doubt is unknown.
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

/// Where a phone or a map puts a corner.
#[derive(Clone, Debug, PartialEq)]
pub struct PhoneHint {
    /// The name of the corner.
    pub name: String,
    /// Where it is by the phone.
    pub at: Point,
    /// How far that is from the corner as fitted.
    pub off: Length,
}

/// Whose standard errors an ellipse is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SigmaFrom {
    /// Those that were given (a priori).
    Given,
    /// Those that the residuals say (a posteriori), with the wider factor that goes
    /// with them.
    Residuals,
}

/// Why deed and pins can't be fitted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FitError {
    /// One pin fixes no direction, and no scale.
    #[error(
        "a fit needs two pins at least, or one and a known direction with the scale held; got {pins}: find another pin"
    )]
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
    /// A direction without a standard error of its own.
    #[error(
        "a known direction needs its standard error, more than 0: say how well it is known, such as 0.25 degrees for a good compass"
    )]
    DirectionSigma,
    /// The equations do not tell the answer.
    #[error(
        "the pins hardly tell how the deed lies (condition {condition:.1e}): check their standard errors, which differ too widely, or find a pin farther away"
    )]
    Weak {
        /// How many times better the best told unknown is told than the worst.
        condition: f64,
    },
    /// The pins do not tell which way the deed lies.
    #[error(
        "the pins do not tell which way the deed lies: corners and pins do not resemble each other at all"
    )]
    NoDirection,
}

impl Default for FitRules {
    /// Scale held, no direction known, deed corners good to 0.05 ft (common
    /// practice, no source).
    fn default() -> Self {
        Self {
            deed_sigma: default_deed_sigma(),
            free_scale: false,
            direction: None,
        }
    }
}

/// Fits deed corners to found pins.
///
/// Rotation and shift are found by least squares, scale held at 1 or let free as
/// `rules` say; each pin weighs by its own doubt and the deed's. The fit moves no
/// pin. It tests pins, and says where the corners not found should be: the pin is
/// the corner where there is one. Pins located by phone take no part.
///
/// If the doubt of the deed or of a pin is unknown or zero, all pins weigh alike and
/// what follows is unknown.
///
/// # Errors
///
/// A [`FitError`] that names the corners or pins at fault.
///
/// # Accuracy
///
/// To first order: standard errors hold while the doubt of the rotation, in radians,
/// is small against 1.
///
/// # Source
///
/// Start: the closed form for the plane of S. Umeyama, "Least-Squares Estimation of
/// Transformation Parameters Between Two Point Patterns", IEEE Transactions on
/// Pattern Analysis and Machine Intelligence 13 (1991), 376-380. From there
/// Gauss-Newton steps by QR. Test of each pin: the drop of the sum of squares when it
/// is left out, after W. Baarda, *A Testing Procedure for Use in Geodetic Networks*,
/// Netherlands Geodetic Commission (1968), from memory, for the two numbers of a
/// point at once.
///
/// # Examples
///
/// ```
/// use fence_geom::{Corner, FitRules, Pin, Point, Sigma, fit};
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
/// let answer = fit(&deed, &pins, &FitRules::default())?;
/// // North in the deed is east on the ground.
/// assert!((answer.rotation.degrees() - 90.0).abs() < 1e-9);
/// assert!((answer.corners[2].at.north() - 450.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(corners: &[Corner], pins: &[Pin], rules: &FitRules) -> Result<Fit, FitError> {
    let measured: Vec<&Pin> = pins.iter().filter(|pin| pin.is_measured()).collect();
    check(corners, pins, &measured, rules)?;
    let input = Input::new(corners, &measured, rules)?;
    let found = input.solve()?;
    let squares: f64 = (input.pairs.iter())
        .map(|pair| pair.pin - found.place(pair.deed))
        .map(|residual| residual.dot(residual))
        .sum();
    let redundancy = input.redundancy();
    let checks: Vec<PinCheck> = input.pairs.iter().map(|pair| found.check(pair)).collect();
    let pin_fits = input.pin_fits(&found, &checks);
    let disagreement = input.disagreement();
    let fitted_corners = input.corners(&found, &pin_fits, disagreement.as_ref());
    let free = input.with_free_scale();
    let free_scale_sigma = (free.as_ref())
        .filter(|_| input.known)
        .map_or(Sigma::UNKNOWN, Similarity::scale_sigma);
    let free_scale = free.map(|free| free.scale);
    let known_squares = Some(found.squares).filter(|_| input.known && redundancy > 0);
    Ok(Fit {
        rotation: found.rotation(),
        rotation_sigma: input.if_known(found.rotation_sigma()),
        scale: found.scale,
        free_scale,
        free_scale_sigma,
        unit_confusion: free_scale.and_then(|scale| unit_confusion(scale, free_scale_sigma)),
        sigma: Sigma::computed((squares / small_count(redundancy)).sqrt()),
        redundancy,
        variance_factor: known_squares.map(|squares| squares / small_count(redundancy)),
        chance: known_squares.map(|squares| chance_of_squares(squares, count(redundancy))),
        condition: found.condition,
        direction: input.direction_fit(&found),
        mirrored: input.mirror_fits_far_better(found.squares),
        hints: hints(pins, &fitted_corners),
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

impl Fit {
    /// Returns half the long and half the short axis of the ellipse of a corner that
    /// holds 95 %; `None` where the doubt is unknown, or is to come from residuals
    /// of which there are none.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Corner, FitRules, Pin, Point, Sigma, SigmaFrom, fit};
    ///
    /// let deed = [("A", 0.0, 0.0), ("B", 90.0, 0.0), ("C", 90.0, 50.0), ("D", 0.0, 50.0)];
    /// let corner = |&(name, north, east): &(&str, f64, f64)| -> Result<_, fence_geom::QuantityError> {
    ///     Ok(Corner { name: name.to_string(), at: Point::new(north, east)? })
    /// };
    /// let deed = deed.iter().map(corner).collect::<Result<Vec<_>, _>>()?;
    /// let pins: Vec<Pin> = deed[..3].iter().map(|c| Pin::new(&c.name, c.at, Sigma::ZERO)).collect();
    /// let answer = fit(&deed, &pins, &FitRules::default())?;
    /// let [long, short] = answer.axes_95(&answer.corners[3], SigmaFrom::Given).ok_or("unknown")?;
    /// assert!(long >= short && long.feet() < 0.3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn axes_95(&self, corner: &FittedCorner, from: SigmaFrom) -> Option<[Length; 2]> {
        let ellipse = corner.ellipse?;
        let factor = match from {
            SigmaFrom::Given => ellipse_factor_95(None),
            SigmaFrom::Residuals => {
                self.variance_factor?.sqrt() * ellipse_factor_95(Some(count(self.redundancy)))
            }
        };
        let axes = [ellipse.semi_major(), ellipse.semi_minor()];
        Some(axes.map(|axis| Length::saturating(axis.feet() * factor)))
    }
}

fn check(
    corners: &[Corner],
    pins: &[Pin],
    measured: &[&Pin],
    rules: &FitRules,
) -> Result<(), FitError> {
    let least = match rules.direction {
        Some(_) if !rules.free_scale => 1,
        _ => 2,
    };
    if measured.len() < least {
        return Err(FitError::TooFewPins {
            pins: measured.len(),
        });
    }
    let deed = corners.iter().map(|c| (c.name.as_str(), c.at));
    check_apart(("corner", "corners"), &deed.collect::<Vec<_>>())?;
    let found = measured
        .iter()
        .map(|p| (p.corner.as_str(), p.corner_place()));
    check_apart(("pin for corner", "pins"), &found.collect::<Vec<_>>())?;
    let known: BTreeSet<&str> = corners.iter().map(|c| c.name.as_str()).collect();
    for pin in pins {
        if !known.contains(pin.corner.as_str()) {
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
    let mut names = BTreeSet::new();
    for (name, _) in places {
        if !names.insert(*name) {
            return Err(FitError::Twice {
                what: one,
                name: (*name).to_owned(),
            });
        }
    }
    // From south to north, what lies at one place lies close by.
    let mut ordered = places.to_vec();
    ordered.sort_by(|(_, a), (_, b)| a.north().total_cmp(&b.north()));
    for (i, (first, at)) in ordered.iter().enumerate() {
        let close = |(_, other): &&(&str, Point)| other.north() - at.north() < SAME_PLACE_FEET;
        for (second, other) in ordered.iter().skip(i + 1).take_while(close) {
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

/// What is fitted, ready for the equations.
#[derive(Clone, Debug)]
struct Input<'a> {
    corners: &'a [Corner],
    pins: Vec<&'a Pin>,
    /// Each pin beside its deed corner, in the order of the pins.
    pairs: Vec<Pair>,
    turn: Option<Turn>,
    free_scale: bool,
    deed_sigma: Sigma,
    /// Whether the doubt of every pin and of the deed is known.
    known: bool,
}

impl<'a> Input<'a> {
    fn new(corners: &'a [Corner], pins: &[&'a Pin], rules: &FitRules) -> Result<Self, FitError> {
        let doubts: Vec<Option<Doubt>> = pins
            .iter()
            .map(|pin| Doubt::new(with_deed(pin.variances()?, rules.deed_sigma)?))
            .collect();
        // A doubt of nothing would weigh without end; unknown doubt weighs nothing
        // that could be told. Then all weigh alike.
        let known = doubts.iter().all(Option::is_some);
        let deed: BTreeMap<&str, Point> = corners.iter().map(|c| (c.name.as_str(), c.at)).collect();
        let pairs = pins.iter().zip(doubts).filter_map(|(pin, doubt)| {
            Some(Pair {
                deed: *deed.get(pin.corner.as_str())?,
                pin: pin.corner_place(),
                doubt: doubt.filter(|_| known).unwrap_or(Doubt::ALIKE),
            })
        });
        Ok(Self {
            corners,
            pairs: pairs.collect(),
            pins: pins.to_vec(),
            turn: rules.direction.map(KnownDirection::turn).transpose()?,
            free_scale: rules.free_scale,
            deed_sigma: rules.deed_sigma,
            known,
        })
    }

    fn problem(&self) -> Problem<'_> {
        Problem {
            pairs: &self.pairs,
            turn: self.turn,
            free_scale: self.free_scale,
        }
    }

    fn solve(&self) -> Result<Similarity, FitError> {
        Similarity::of(self.problem()).map_err(FitError::from)
    }

    /// What is given less what is sought.
    fn redundancy(&self) -> usize {
        let given = 2 * self.pairs.len() + usize::from(self.turn.is_some());
        given.saturating_sub(3 + usize::from(self.free_scale))
    }

    fn if_known(&self, sigma: Sigma) -> Sigma {
        if self.known { sigma } else { Sigma::UNKNOWN }
    }

    fn with_free_scale(&self) -> Option<Similarity> {
        let problem = Problem {
            free_scale: true,
            ..self.problem()
        };
        let two = self.pairs.len() > 1;
        two.then(|| Similarity::of(problem).ok()).flatten()
    }

    /// Whether the corners turned over fit far better. Two points are as well
    /// fitted either way.
    fn mirror_fits_far_better(&self, squares: f64) -> bool {
        let turned_over = |pair: &Pair| Pair {
            deed: Point::ORIGIN + mirrored(pair.deed),
            ..*pair
        };
        let pairs: Vec<Pair> = self.pairs.iter().map(turned_over).collect();
        let problem = Problem {
            pairs: &pairs,
            turn: None,
            ..self.problem()
        };
        let fails =
            !self.known || chance_of_squares(squares, count(self.redundancy())) < FALSE_ALARM;
        let far_better = || {
            Similarity::of(problem)
                .is_ok_and(|mirror| mirror.squares * FAR_BETTER * FAR_BETTER < squares)
        };
        pairs.len() >= 3 && fails && far_better()
    }

    fn pin_fits(&self, found: &Similarity, checks: &[PinCheck]) -> Vec<PinFit> {
        let suspects = if self.known {
            suspects(checks)
        } else {
            vec![false; checks.len()]
        };
        let each = self.pins.iter().zip(&self.pairs).zip(checks).zip(suspects);
        each.map(|(((pin, pair), check), suspect)| PinFit {
            name: pin.corner.clone(),
            residual: pair.pin - found.place(pair.deed),
            standardized: check.saved.filter(|_| self.known).map(f64::sqrt),
            redundancy: check.redundancy,
            left_out: check.left_out,
            detectable: check
                .least_saved
                .filter(|_| self.known)
                .map(|saved| Length::saturating((FOUND_FROM / saved).sqrt())),
            suspect,
        })
        .collect()
    }

    fn direction_fit(&self, found: &Similarity) -> Option<DirectionFit> {
        let turn = self.turn?;
        let residual = (turn.radians - found.rotation().radians()).sin_cos();
        let radians = residual.0.atan2(residual.1);
        let fitted = found.rotation_sigma().value()?;
        // Of its variance the part is left that the pins check.
        let checked = turn.sigma * turn.sigma - fitted * fitted;
        let standardized = (self.known && checked > 1e-9 * turn.sigma * turn.sigma)
            .then(|| radians / checked.sqrt());
        Some(DirectionFit {
            residual: Angle::of_radians(radians),
            standardized,
            suspect: standardized.is_some_and(|w| w.abs() > NORMAL_999),
        })
    }

    /// Where two pins are a distance apart that is not the deed's.
    fn disagreement(&self) -> Option<Disagreement> {
        let (&[a, b], [first, second]) = (self.pairs.as_slice(), self.pins.as_slice()) else {
            return None;
        };
        if self.free_scale || !self.known {
            return None;
        }
        let way = b.pin - a.pin;
        let by = a.pin.distance(b.pin).minus(a.deed.distance(b.deed));
        let along = |pin: &Pin| Some(along(with_deed(pin.variances()?, self.deed_sigma)?, way));
        let sigma = Sigma::computed((along(first)? + along(second)?).sqrt());
        let beyond = by.magnitude().feet() > sigma.value()? * NORMAL_95;
        beyond.then(|| Disagreement {
            first: first.corner.clone(),
            second: second.corner.clone(),
            by,
            sigma,
        })
    }

    fn corners(
        &self,
        found: &Similarity,
        pins: &[PinFit],
        disagreement: Option<&Disagreement>,
    ) -> Vec<FittedCorner> {
        // The fits without one suspect pin each, wherever they exist.
        let without: Vec<Self> = (pins.iter().enumerate())
            .filter(|(_, pin)| pin.suspect)
            .map(|(i, _)| self.without(i))
            .collect();
        let others: Vec<(&Self, Similarity)> = without
            .iter()
            .filter_map(|input| Some((input, input.solve().ok()?)))
            .collect();
        let by_name: BTreeMap<&str, &Pin> =
            (self.pins.iter().map(|pin| (pin.corner.as_str(), *pin))).collect();
        (self.corners.iter())
            .map(|corner| match by_name.get(corner.name.as_str()) {
                Some(pin) => found_corner(pin, found.place(corner.at)),
                None => self.predicted(corner, found, &others, disagreement),
            })
            .collect()
    }

    fn without(&self, left_out: usize) -> Self {
        let mut rest = self.clone();
        rest.pins.remove(left_out);
        rest.pairs.remove(left_out);
        rest
    }

    fn predicted(
        &self,
        corner: &Corner,
        found: &Similarity,
        others: &[(&Self, Similarity)],
        disagreement: Option<&Disagreement>,
    ) -> FittedCorner {
        let at = found.place(corner.at);
        let ellipse = self.ellipse(found, corner.at);
        let variances = ellipse.map(Ellipse::variances);
        let sigma = |variance: Option<f64>| {
            variance.map_or(Sigma::UNKNOWN, |variance| Sigma::computed(variance.sqrt()))
        };
        let reach = |(input, other): &(&Self, Similarity)| {
            let around = input.ellipse(other, corner.at)?.search_radius_95();
            Some(at.distance(other.place(corner.at)) + around)
        };
        let search_radius = ellipse.map(|ellipse| {
            let apart = disagreement.map_or(Length::ZERO, |two| two.by.magnitude());
            let start = ellipse.search_radius_95() + apart;
            let reaches = others.iter().filter_map(reach);
            reaches.fold(
                start,
                |widest, reach| if reach > widest { reach } else { widest },
            )
        });
        FittedCorner {
            name: corner.name.clone(),
            at,
            by_deed: at,
            standing: Standing::Predicted,
            sigma_north: sigma(variances.map(|[north, ..]| north)),
            sigma_east: sigma(variances.map(|[_, east, _]| east)),
            ellipse,
            search_radius,
        }
    }

    /// The standard ellipse of a corner by the fit: the doubt of the fit and the
    /// corner's own place in the deed.
    fn ellipse(&self, found: &Similarity, deed: Point) -> Option<Ellipse> {
        let known = self.known.then(|| found.variances_at(deed))?;
        let [north, east, both] = with_deed(known, self.deed_sigma)?;
        Some(Ellipse::new(north, east, both))
    }
}

impl KnownDirection {
    fn turn(self) -> Result<Turn, FitError> {
        let sigma = self.sigma.value().filter(|sigma| *sigma > 0.0);
        Ok(Turn {
            radians: self.by_deed.clockwise_to(self.on_ground).radians(),
            sigma: sigma.ok_or(FitError::DirectionSigma)?,
        })
    }
}

impl From<NoFit> for FitError {
    fn from(error: NoFit) -> Self {
        match error {
            NoFit::NoDirection => Self::NoDirection,
            NoFit::Weak { condition } => Self::Weak { condition },
        }
    }
}

/// The variances of a place by pin or fit together with those of its deed corner.
fn with_deed([north, east, both]: [f64; 3], deed: Sigma) -> Option<[f64; 3]> {
    let deed = deed.value()?.powi(2);
    Some([north + deed, east + deed, both])
}

/// The variance along a way.
fn along([north, east, both]: [f64; 3], way: Displacement) -> f64 {
    way.unit().map_or(f64::midpoint(north, east), |unit| {
        let (n, e) = (unit.north(), unit.east());
        north * n * n + east * e * e + 2.0 * both * n * e
    })
}

fn mirrored(at: Point) -> Displacement {
    Displacement::of_feet(at.north(), -at.east())
}

/// The pins that do not go with the others: the one whose leaving out would mend
/// the fit most, and any that would mend it nearly as well.
fn suspects(checks: &[PinCheck]) -> Vec<bool> {
    let most = (checks.iter())
        .filter_map(|check| check.saved)
        .fold(0.0, f64::max);
    let suspect = |check: &PinCheck| {
        check.saved.is_some_and(|saved| {
            chance_of_squares(saved, count(check.checked)) < FALSE_ALARM && saved >= most - AS_WELL
        })
    };
    let enough = checks.len() >= 3;
    checks.iter().map(|c| enough && suspect(c)).collect()
}

/// The confusion of units nearest to a scale, where the scale is told from 1 and
/// not told from the confusion.
fn unit_confusion(scale: f64, sigma: Sigma) -> Option<&'static str> {
    let sigma = sigma.value().filter(|sigma| *sigma > 0.0)?;
    let told_from = |other: f64| (scale - other).abs() > NORMAL_999 * sigma;
    let nearest = (CONFUSIONS.iter())
        .filter(|(ratio, _)| !told_from(*ratio))
        .min_by(|(a, _), (b, _)| (scale - a).abs().total_cmp(&(scale - b).abs()))?;
    told_from(1.0).then_some(nearest.1)
}

/// The corner of a found pin: the pin, unmoved.
fn found_corner(pin: &Pin, by_deed: Point) -> FittedCorner {
    let ellipse = pin.variances().map(|[n, e, both]| Ellipse::new(n, e, both));
    let sigma = |variance: Option<f64>| {
        variance.map_or(Sigma::UNKNOWN, |variance| Sigma::computed(variance.sqrt()))
    };
    FittedCorner {
        name: pin.corner.clone(),
        at: pin.corner_place(),
        by_deed,
        standing: if pin.is_accepted() {
            Standing::Accepted
        } else {
            Standing::Found
        },
        sigma_north: sigma(pin.variances().map(|[north, ..]| north)),
        sigma_east: sigma(pin.variances().map(|[_, east, _]| east)),
        ellipse,
        search_radius: None,
    }
}

fn hints(pins: &[Pin], corners: &[FittedCorner]) -> Vec<PhoneHint> {
    let by_phone = pins.iter().filter(|pin| !pin.is_measured());
    let hint = |pin: &Pin| {
        let corner = corners.iter().find(|corner| corner.name == pin.corner)?;
        Some(PhoneHint {
            name: pin.corner.clone(),
            at: pin.corner_place(),
            off: corner.at.distance(pin.corner_place()),
        })
    };
    by_phone.filter_map(hint).collect()
}

/// A count of pins is far below where a count or a double ends.
fn count(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

fn small_count(many: usize) -> f64 {
    f64::from(count(many))
}
