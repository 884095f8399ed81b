//! Fits of an invented lot to pins with errors of known size: how often the truth
//! lies where a fit says it does.

use fence_geom::{
    Azimuth, Corner, Ellipse, Fit, FitRules, FittedCorner, KnownDirection, Length, Pin, Point,
    Sigma, SigmaFrom, fit,
};

use crate::Draws;

/// An invented lot of six corners.
const LOT: [(&str, f64, f64); 6] = [
    ("A", 0.0, 0.0),
    ("B", 110.0, 5.0),
    ("C", 150.0, 60.0),
    ("D", 120.0, 130.0),
    ("E", 40.0, 140.0),
    ("F", -10.0, 70.0),
];

/// How the lot lies on the ground: turned clockwise, then shifted.
const TURN_DEGREES: f64 = 7.0;
const SHIFT: (f64, f64) = (100.0, 200.0);

/// The corner whose pin is lost.
const LOST: usize = 4;

/// What was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoundPins {
    /// Two pins, scale held.
    Two,
    /// Three pins, each with an ellipse of its own, scale held.
    ThreeWithEllipses,
    /// One pin and a known direction.
    OneAndDirection,
    /// Five pins, scale let free.
    FiveFreeScale,
}

/// How often the truth lay where the fit said, out of all trials.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FitCoverage {
    /// In the 95 % ellipse by the given standard errors.
    pub ellipse: f64,
    /// Within the search radius of the ellipse alone.
    pub radius: f64,
    /// In the 95 % ellipse by the residuals; not a number where there are none.
    pub by_residuals: f64,
    /// How often a pin failed its test although nothing was wrong with it.
    pub alarms: f64,
}

/// Returns the deed's corners.
#[must_use]
pub fn invented_deed() -> Vec<Corner> {
    LOT.iter()
        .map(|(name, north, east)| Corner {
            name: (*name).to_owned(),
            at: point(*north, *east),
        })
        .collect()
}

/// Returns where a corner lies on the ground.
///
/// # Panics
///
/// If the corner is out of range.
#[must_use]
pub fn on_invented_ground(corner: &Corner) -> Point {
    let way = corner.at - Point::ORIGIN;
    let turned = Azimuth::from_degrees(way.azimuth().degrees() + TURN_DEGREES).expect("an azimuth");
    point(SHIFT.0, SHIFT.1).toward(turned, way.length())
}

fn point(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("in range")
}

/// The standard errors of a pin, north and east, and their correlation.
fn doubt(found: FoundPins, pin: usize) -> (f64, f64, f64) {
    match (found, pin) {
        (FoundPins::ThreeWithEllipses, 0) => (0.02, 0.08, 0.0),
        (FoundPins::ThreeWithEllipses, 1) => (0.06, 0.05, 0.7),
        (FoundPins::ThreeWithEllipses, _) => (0.07, 0.03, -0.4),
        _ => (0.04, 0.04, 0.0),
    }
}

/// Simulates fits of what was found, `trials` times.
///
/// # Panics
///
/// If a fit can't be made.
#[must_use]
pub fn fit_coverage(found: FoundPins, trials: u32, seed: u64) -> FitCoverage {
    let mut draws = Draws::from(seed);
    let (mut ellipse, mut radius, mut by_residuals, mut alarms, mut tests) = (0, 0, 0, 0, 0);
    for _ in 0..trials {
        let (answer, truth) = simulated(found, &mut draws);
        let corner = &answer.corners[LOST];
        let known = corner.ellipse.expect("known");
        let off = corner.at.distance(truth);
        ellipse += u32::from(holds(&answer, corner, truth, SigmaFrom::Given) == Some(true));
        radius += u32::from(off <= known.search_radius_95());
        by_residuals +=
            u32::from(holds(&answer, corner, truth, SigmaFrom::Residuals) == Some(true));
        for pin in answer.pins.iter().filter(|pin| pin.detectable.is_some()) {
            tests += 1;
            alarms += u32::from(pin.standardized.expect("checked").powi(2) > 13.8155);
        }
    }
    let share = |count: u32, of: u32| f64::from(count) / f64::from(of);
    FitCoverage {
        ellipse: share(ellipse, trials),
        radius: share(radius, trials),
        by_residuals: share(by_residuals, trials),
        alarms: share(alarms, tests),
    }
}

/// One fit, and where the lost corner is in truth.
fn simulated(found: FoundPins, draws: &mut Draws) -> (Fit, Point) {
    const DEED_SIGMA: f64 = 0.05;
    let pins = match found {
        FoundPins::Two => 2,
        FoundPins::ThreeWithEllipses => 3,
        FoundPins::OneAndDirection => 1,
        FoundPins::FiveFreeScale => 5,
    };
    let deed = invented_deed();
    let truth = on_invented_ground(&deed[LOST]);
    let mut stated = deed.clone();
    for corner in &mut stated {
        corner.at = moved(
            corner.at,
            DEED_SIGMA * draws.normal(),
            DEED_SIGMA * draws.normal(),
        );
    }
    // The lost corner is passed over where five are found.
    let found_at = (0..deed.len()).filter(|i| *i != LOST).take(pins);
    let pins: Vec<Pin> = found_at
        .map(|i| {
            let (north, east, correlation) = doubt(found, i);
            let (first, second) = (draws.normal(), draws.normal());
            let mixed = correlation * first + (1.0 - correlation * correlation).sqrt() * second;
            let at = moved(on_invented_ground(&deed[i]), north * first, east * mixed);
            let mut pin = Pin::new(&deed[i].name, at, Sigma::known(north).expect("known"));
            pin.ellipse = Some(Ellipse::of_sigmas(north, east, correlation));
            pin
        })
        .collect();
    let azimuth = |degrees: f64| Azimuth::from_degrees(degrees).expect("an azimuth");
    let direction_sigma = 0.2_f64.to_radians();
    let rules = FitRules {
        deed_sigma: Sigma::known(DEED_SIGMA).expect("known"),
        free_scale: found == FoundPins::FiveFreeScale,
        direction: (found == FoundPins::OneAndDirection).then(|| KnownDirection {
            by_deed: azimuth(30.0),
            on_ground: azimuth(
                30.0 + TURN_DEGREES + (direction_sigma * draws.normal()).to_degrees(),
            ),
            sigma: Sigma::known(direction_sigma).expect("known"),
        }),
    };
    (fit(&stated, &pins, &rules).expect("a fit"), truth)
}

fn moved(at: Point, north: f64, east: f64) -> Point {
    point(at.north() + north, at.east() + east)
}

/// Whether an ellipse that is said to hold 95 % holds a place.
fn holds(fit: &Fit, corner: &FittedCorner, place: Point, from: SigmaFrom) -> Option<bool> {
    let [long, short] = fit.axes_95(corner, from)?.map(Length::feet);
    let way = place - corner.at;
    let lean = way.azimuth().radians() - corner.ellipse?.azimuth().radians();
    let off = way.length().feet();
    let (along, across) = (off * lean.cos() / long, off * lean.sin() / short);
    Some(along * along + across * across <= 1.0)
}
