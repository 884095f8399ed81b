//! Fits of deed corners to pins.

use fence_geom::{
    Azimuth, Corner, Ellipse, FitError, FitRules, FittedCorner, KnownDirection, Length, Pin,
    PinLocated, Point, Sigma, Standing, fit,
};
use fence_tests::Draws;
use proptest::prelude::*;

const NAMES: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// An invented lot of six corners.
const LOT: [(f64, f64); 6] = [
    (0.0, 0.0),
    (110.0, 5.0),
    (150.0, 60.0),
    (120.0, 130.0),
    (40.0, 140.0),
    (-10.0, 70.0),
];

fn deed() -> Vec<Corner> {
    NAMES
        .iter()
        .zip(LOT)
        .map(|(name, (n, e))| Corner {
            name: (*name).to_owned(),
            at: Point::new(n, e).expect("in range"),
        })
        .collect()
}

/// The corner turned clockwise about the origin and shifted.
fn on_ground(corner: &Corner, degrees: f64, north: f64, east: f64) -> Point {
    let way = corner.at - Point::ORIGIN;
    let turned = Azimuth::from_degrees(way.azimuth().degrees() + degrees).expect("an azimuth");
    Point::new(north, east)
        .expect("in range")
        .toward(turned, way.length())
}

fn sigma(x: f64) -> Sigma {
    Sigma::known(x).expect("a standard error")
}

/// The scale held, deed corners as good as this.
fn by(deed_sigma: Sigma) -> FitRules {
    FitRules {
        deed_sigma,
        ..FitRules::default()
    }
}

fn nudged(at: Point, north: f64, east: f64) -> Point {
    Point::new(at.north() + north, at.east() + east).expect("in range")
}

proptest! {
    /// What was turned and shifted is found again, and corners not found are put
    /// where they are.
    #[test]
    fn a_turn_and_a_shift_are_found_again(
        degrees in -179.0..179.0_f64, north in -1e6..1e6_f64, east in -1e6..1e6_f64, found in 2..6_usize,
    ) {
        let deed = deed();
        let pins: Vec<Pin> = deed[..found]
            .iter()
            .map(|c| Pin::new(&c.name, on_ground(c, degrees, north, east), sigma(0.03)))
            .collect();
        let answer = fit(&deed, &pins, &by(sigma(0.02))).expect("a fit");
        prop_assert!((answer.rotation.degrees() - degrees).abs() < 1e-8);
        prop_assert!((answer.free_scale.expect("two pins") - 1.0).abs() < 1e-9);
        prop_assert!(answer.sigma.value().expect("to spare") < 1e-6);
        prop_assert!(answer.pins.iter().all(|pin| !pin.suspect));
        prop_assert!(answer.disagreement.is_none());
        for (corner, fitted) in deed.iter().zip(&answer.corners) {
            let at = on_ground(corner, degrees, north, east);
            prop_assert!(fitted.at.distance(at).feet() < 1e-6);
            prop_assert_eq!(fitted.search_radius.is_some(), fitted.standing == Standing::Predicted);
        }
    }

    /// What a pin's residual is held against is what leaving the pin out takes off
    /// the sum of squares.
    #[test]
    fn a_standardized_residual_is_what_leaving_out_saves(which in 0..6_usize, start in 0..1000_u64) {
        let deed = deed();
        let mut draws = Draws::from(start);
        let mut pins: Vec<Pin> = deed
            .iter()
            .map(|c| {
                let at = on_ground(c, 3.0, 50.0, 70.0);
                let at = nudged(at, 0.01 * draws.normal(), 0.01 * draws.normal());
                Pin::new(&c.name, at, sigma(0.01))
            })
            .collect();
        pins[which].at = nudged(pins[which].at, 0.05, -0.04);
        let squares = |pins: &[Pin]| {
            let answer = fit(&deed, pins, &by(Sigma::ZERO)).expect("a fit");
            let sum: f64 = answer.pins.iter().map(|p| p.residual.dot(p.residual)).sum();
            (sum / (0.01 * 0.01), answer)
        };
        let (all, answer) = squares(&pins);
        pins.remove(which);
        let (without, _) = squares(&pins);
        let test = answer.pins[which].standardized.expect("known").powi(2);
        prop_assert!((test / (all - without) - 1.0).abs() < 0.01, "{} {}", test, all - without);
    }

    /// A pin is the corner, unmoved, whatever the fit makes of it; and a pin that
    /// is feet away from where five others put it is the one that is named.
    #[test]
    fn a_planted_blunder_is_named(which in 0..6_usize, toward in 0.0..360.0_f64, size in 0.8..5.0_f64, start in 0..1000_u64) {
        let deed = deed();
        let mut draws = Draws::from(start);
        let mut pins: Vec<Pin> = deed
            .iter()
            .map(|c| {
                let at = on_ground(c, 12.0, 500.0, 700.0);
                let at = nudged(at, 0.03 * draws.normal(), 0.03 * draws.normal());
                Pin::new(&c.name, at, sigma(0.03))
            })
            .collect();
        let away = Azimuth::from_degrees(toward).expect("an azimuth");
        pins[which].at = pins[which].at.toward(away, Length::from_feet(size).expect("in range"));
        pins[which].accepted_by = Some("an invented surveyor".to_owned());
        let answer = fit(&deed, &pins, &by(sigma(0.02))).expect("a fit");
        for (i, pin) in answer.pins.iter().enumerate() {
            prop_assert_eq!(pin.suspect, i == which, "{:?}", answer.pins);
        }
        for (corner, pin) in answer.corners.iter().zip(&pins) {
            prop_assert_eq!(corner.at, pin.at);
        }
        prop_assert_eq!(answer.corners[which].standing, Standing::Accepted);
    }
}

/// The place where a missing corner is predicted holds it within the search radius
/// in 95 of 100 cases: 4,000 draws leave 0.35 %.
#[test]
fn a_search_radius_holds_95_percent() {
    let deed = deed();
    let mut draws = Draws::from(3);
    let (pin_sigma, deed_sigma) = (0.04, 0.05);
    let mut held = 0_u32;
    for _ in 0..4000 {
        // The deed states each corner a little off; the pins are measured a little
        // off.
        let mut stated = deed.clone();
        let mut pins = Vec::new();
        for (corner, stated) in deed.iter().zip(&mut stated) {
            stated.at = nudged(
                corner.at,
                deed_sigma * draws.normal(),
                deed_sigma * draws.normal(),
            );
            let at = on_ground(corner, 7.0, 100.0, 200.0);
            let at = nudged(at, pin_sigma * draws.normal(), pin_sigma * draws.normal());
            pins.push(Pin::new(&corner.name, at, sigma(pin_sigma)));
        }
        let answer = fit(&stated, &pins[..3], &by(sigma(deed_sigma))).expect("a fit");
        let truth = on_ground(&deed[4], 7.0, 100.0, 200.0);
        let radius = answer.corners[4].search_radius.expect("known");
        held += u32::from(answer.corners[4].at.distance(truth) <= radius);
    }
    let share = f64::from(held) / 4000.0;
    assert!((share - 0.95).abs() < 0.012, "{share}");
}

proptest! {
    /// Turning and shifting the pins turns and shifts the answer, and changes nothing
    /// that does not depend on where north is.
    #[test]
    fn a_fit_goes_with_the_pins(degrees in -179.0..179.0_f64, north in -1e5..1e5_f64, east in -1e5..1e5_f64, start in 0..1000_u64, free: bool) {
        let deed = deed();
        let mut draws = Draws::from(start);
        let pins: Vec<Pin> = deed[..4]
            .iter()
            .map(|c| {
                let at = nudged(c.at, 0.2 * draws.normal(), 0.2 * draws.normal());
                let mut pin = Pin::new(&c.name, at, sigma(0.03));
                pin.ellipse = Some(Ellipse::of_sigmas(0.05, 0.02, 0.3));
                pin
            })
            .collect();
        let turned: Vec<Pin> = pins
            .iter()
            .map(|pin| {
                let as_corner = Corner { name: pin.corner.clone(), at: pin.at };
                let at = on_ground(&as_corner, degrees, north, east);
                let ellipse = pin.ellipse.expect("given");
                // The standard ellipse of 1 : 2.5 turns with the pin.
                Pin { at, ellipse: Some(turned_ellipse(ellipse, degrees)), ..pin.clone() }
            })
            .collect();
        let rules = FitRules { free_scale: free, ..FitRules::default() };
        let (before, after) = (fit(&deed, &pins, &rules).expect("a fit"), fit(&deed, &turned, &rules).expect("a fit"));
        let turn = (after.rotation - before.rotation).degrees() - degrees;
        prop_assert!((turn + 540.0).rem_euclid(360.0) - 180.0 < 1e-7);
        prop_assert!((after.scale - before.scale).abs() < 1e-8);
        prop_assert!((after.chance.expect("known") - before.chance.expect("known")).abs() < 1e-6);
        for (a, b) in after.pins.iter().zip(&before.pins) {
            prop_assert!((a.residual.length().feet() - b.residual.length().feet()).abs() < 1e-6);
            prop_assert!((a.standardized.expect("known") - b.standardized.expect("known")).abs() < 1e-4);
            prop_assert_eq!(a.suspect, b.suspect);
        }
        for (a, b) in after.corners.iter().zip(&before.corners) {
            let as_corner = Corner { name: b.name.clone(), at: b.at };
            prop_assert!(a.at.distance(on_ground(&as_corner, degrees, north, east)).feet() < 1e-6);
            let feet = |corner: &FittedCorner| corner.search_radius.map_or(0.0, Length::feet);
            prop_assert!((feet(a) - feet(b)).abs() < 1e-6);
        }
    }

    /// One pin and a known direction put every corner where it is.
    #[test]
    fn one_pin_and_a_direction_will_do(degrees in -179.0..179.0_f64, line in 0.0..360.0_f64) {
        let deed = deed();
        let pins = [Pin::new("B", on_ground(&deed[1], degrees, 40.0, 90.0), sigma(0.03))];
        let azimuth = |degrees: f64| Azimuth::from_degrees(degrees).expect("an azimuth");
        let rules = FitRules {
            direction: Some(KnownDirection {
                by_deed: azimuth(line),
                on_ground: azimuth(line + degrees),
                sigma: sigma(0.25_f64.to_radians()),
            }),
            ..FitRules::default()
        };
        let answer = fit(&deed, &pins, &rules).expect("a fit");
        prop_assert_eq!(answer.redundancy, 0);
        prop_assert!(answer.free_scale.is_none() && answer.chance.is_none());
        for (corner, fitted) in deed.iter().zip(&answer.corners) {
            prop_assert!(fitted.at.distance(on_ground(corner, degrees, 40.0, 90.0)).feet() < 1e-9);
        }
        // Of two corners the one farther from the pin is less well known.
        let radius = |i: usize| answer.corners[i].search_radius.expect("known");
        prop_assert!(radius(4) > radius(0) && radius(0) > radius(2));
    }

    /// Let free, the scale is found; a confusion of units is named where the scale
    /// tells it, and nothing is named where it does not. Errors are a third of the
    /// standard errors, so that chance has no part in it.
    #[test]
    fn a_confusion_of_units_is_named(degrees in -179.0..179.0_f64, start in 0..1000_u64) {
        let mut draws = Draws::from(start);
        let stated = deed();
        let mut named = |ratio: f64, size: f64, off: f64| {
            let deed: Vec<Corner> = stated
                .iter()
                .map(|c| Corner { at: Point::ORIGIN + (c.at - Point::ORIGIN) * size, ..c.clone() })
                .collect();
            let pins: Vec<Pin> = deed
                .iter()
                .map(|c| {
                    let grown = Corner { at: Point::ORIGIN + (c.at - Point::ORIGIN) * ratio, ..c.clone() };
                    let at = on_ground(&grown, degrees, 40.0, 90.0);
                    Pin::new(&c.name, nudged(at, 0.3 * off * draws.normal(), 0.3 * off * draws.normal()), sigma(off))
                })
                .collect();
            let rules = FitRules { free_scale: true, ..by(sigma(off / 10.0)) };
            fit(&deed, &pins, &rules).expect("a fit").unit_confusion
        };
        let survey = 1200.0 / 3937.0 / 0.3048;
        prop_assert_eq!(named(1.0, 1.0, 0.02), None);
        // Two parts in a million of 150 ft are lost in 0.02 ft, and told over 100 miles.
        prop_assert_eq!(named(survey, 1.0, 0.02), None);
        prop_assert!(named(survey, 4000.0, 0.02).expect("told").contains("deed is in U.S. survey feet"));
        prop_assert!(named(1.0 / 0.3048, 1.0, 0.02).expect("told").contains("deed is in meters"));
        prop_assert!(named(0.3048, 1.0, 0.02).expect("told").contains("pins are in meters"));
        prop_assert_eq!(named(1.1, 1.0, 0.02), None);
    }

    /// A deed turned over is told, and not turned back.
    #[test]
    fn a_mirror_image_is_told(degrees in -179.0..179.0_f64) {
        let deed = deed();
        let pins = |mirrored: bool| -> Vec<Pin> {
            let turned_over = |c: &Corner| Corner {
                at: Point::new(c.at.north(), if mirrored { -c.at.east() } else { c.at.east() }).expect("in range"),
                ..c.clone()
            };
            deed[..4].iter().map(|c| Pin::new(&c.name, on_ground(&turned_over(c), degrees, 9.0, 4.0), sigma(0.05))).collect()
        };
        let answer = fit(&deed, &pins(true), &FitRules::default()).expect("a fit");
        prop_assert!(answer.mirrored && answer.chance.expect("known") < 0.001);
        prop_assert!(answer.sigma.value().expect("to spare") > 1.0);
        prop_assert!(!fit(&deed, &pins(false), &FitRules::default()).expect("a fit").mirrored);
    }

    /// A phone's position takes no part, wherever it is.
    #[test]
    fn a_phone_only_hints(north in -90.0..90.0_f64, east in -90.0..90.0_f64) {
        let deed = deed();
        let mut pins: Vec<Pin> = deed[..3].iter().map(|c| Pin::new(&c.name, c.at, sigma(0.03))).collect();
        let without = fit(&deed, &pins, &FitRules::default()).expect("a fit");
        let mut phone = Pin::new("E", nudged(deed[4].at, north, east), sigma(0.03));
        phone.located = PinLocated::ByPhone;
        pins.push(phone);
        let with = fit(&deed, &pins, &FitRules::default()).expect("a fit");
        prop_assert_eq!(&with.corners, &without.corners);
        prop_assert!((with.hints[0].off.feet() - north.hypot(east)).abs() < 1e-6);
    }
}

fn turned_ellipse(ellipse: Ellipse, degrees: f64) -> Ellipse {
    let azimuth = ellipse.azimuth().radians() + degrees.to_radians();
    let (long, short) = (
        ellipse.semi_major().feet().powi(2),
        ellipse.semi_minor().feet().powi(2),
    );
    let (sin, cos) = azimuth.sin_cos();
    Ellipse::new(
        long * cos * cos + short * sin * sin,
        long * sin * sin + short * cos * cos,
        (long - short) * sin * cos,
    )
}

/// A direction that the pins do not bear out is suspect.
#[test]
fn a_wrong_direction_is_told() {
    let deed = deed();
    let pins: Vec<Pin> = deed[..2]
        .iter()
        .map(|c| Pin::new(&c.name, c.at, sigma(0.03)))
        .collect();
    let answer = |degrees: f64| {
        let direction = KnownDirection {
            by_deed: Azimuth::NORTH,
            on_ground: Azimuth::from_degrees(degrees).expect("an azimuth"),
            sigma: sigma(0.1_f64.to_radians()),
        };
        let rules = FitRules {
            direction: Some(direction),
            ..FitRules::default()
        };
        fit(&deed, &pins, &rules).expect("a fit")
    };
    assert!(!answer(0.1).direction.expect("given").suspect);
    assert!(answer(1.0).direction.expect("given").suspect);
}

/// Two pins can disagree; which one is wrong is not said, and the search is as
/// much wider.
#[test]
fn two_pins_disagree_without_a_suspect() {
    let deed = deed();
    let at = |i: usize, off: f64| nudged(on_ground(&deed[i], 0.0, 0.0, 0.0), off, 0.0);
    let pins = [
        Pin::new("A", at(0, 0.0), sigma(0.03)),
        Pin::new("B", at(1, 1.5), sigma(0.03)),
    ];
    let answer = fit(&deed, &pins, &by(sigma(0.02))).expect("a fit");
    let two = answer.disagreement.expect("they disagree");
    assert!((two.by.feet() - 1.5).abs() < 0.01, "{two:?}");
    assert!(answer.pins.iter().all(|pin| !pin.suspect));
    assert!(answer.corners[3].search_radius.expect("known").feet() > 1.5);
}

#[test]
fn what_can_not_be_fitted_is_named() {
    let deed = deed();
    let pin = |name: &str, north: f64| {
        Pin::new(name, Point::new(north, 0.0).expect("in range"), sigma(0.03))
    };
    let refused = |pins: &[Pin]| fit(&deed, pins, &by(sigma(0.02))).expect_err("refused");
    assert_eq!(refused(&[pin("A", 0.0)]), FitError::TooFewPins { pins: 1 });
    let same = refused(&[pin("A", 0.0), pin("B", 0.005)]);
    assert!(
        matches!(same, FitError::SamePlace { what: "pins", .. }),
        "{same}"
    );
    let twice = refused(&[pin("A", 0.0), pin("A", 50.0)]);
    assert!(matches!(twice, FitError::Twice { .. }), "{twice}");
    let alone = FitRules {
        direction: Some(KnownDirection {
            by_deed: Azimuth::NORTH,
            on_ground: Azimuth::NORTH,
            sigma: Sigma::ZERO,
        }),
        ..FitRules::default()
    };
    let exact = fit(&deed, &[pin("A", 0.0)], &alone).expect_err("refused");
    assert_eq!(exact, FitError::DirectionSigma);
    let free = FitRules {
        free_scale: true,
        ..alone
    };
    let scale = fit(&deed, &[pin("A", 0.0)], &free).expect_err("refused");
    assert_eq!(scale, FitError::TooFewPins { pins: 1 });
    let mut phone = pin("B", 50.0);
    phone.located = PinLocated::ByPhone;
    assert_eq!(
        refused(&[pin("A", 0.0), phone]),
        FitError::TooFewPins { pins: 1 }
    );
    let none = refused(&[pin("A", 0.0), pin("Z", 50.0)]);
    assert!(matches!(none, FitError::NoSuchCorner { .. }), "{none}");
}
