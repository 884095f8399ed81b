//! What a fit says of its doubt, against simulated errors: the deed's corners and the
//! pins are drawn with the standard errors that the fit is told.

use fence_geom::{Azimuth, FitRules, Length, Pin, Point, Sigma, fit};
use fence_tests::{Draws, FoundPins, fit_coverage, invented_deed, on_invented_ground};

/// 4,000 trials leave a standard error of 0.34 % in a share of 95 %; the bench
/// `fit_coverage` holds 20,000 to 0.6 %.
#[test]
fn ellipses_and_search_radii_hold_95_percent() {
    for (found, seed) in [
        (FoundPins::Two, 11),
        (FoundPins::ThreeWithEllipses, 12),
        (FoundPins::OneAndDirection, 13),
        (FoundPins::FiveFreeScale, 14),
    ] {
        let coverage = fit_coverage(found, 4000, seed);
        for share in [coverage.ellipse, coverage.radius] {
            assert!((share - 0.95).abs() < 0.012, "{found:?}: {coverage:?}");
        }
    }
}

/// With the residuals' own standard error and the factor of the F distribution the
/// ellipse holds 95 % as well.
#[test]
fn ellipses_by_the_residuals_hold_95_percent() {
    for (found, seed) in [
        (FoundPins::ThreeWithEllipses, 21),
        (FoundPins::FiveFreeScale, 22),
    ] {
        let coverage = fit_coverage(found, 4000, seed);
        assert!((coverage.by_residuals - 0.95).abs() < 0.012, "{coverage:?}");
    }
}

/// One honest pin in a thousand fails its test: of 20,000 tests 20, give or take 4.5.
#[test]
fn honest_pins_fail_one_test_in_a_thousand() {
    let coverage = fit_coverage(FoundPins::FiveFreeScale, 4000, 31);
    assert!((coverage.alarms - 0.001).abs() < 0.001, "{coverage:?}");
}

/// A blunder of the size that a fit says it would find is found in 80 of 100 cases in
/// the direction in which it shows least, and more often in all others.
#[test]
fn a_blunder_of_the_detectable_size_is_detected() {
    const TRIALS: u32 = 800;
    let deed = invented_deed();
    let (pin_sigma, deed_sigma) = (0.04, 0.05);
    let sigma = |x: f64| Sigma::known(x).expect("a standard error");
    let rules = FitRules {
        deed_sigma: sigma(deed_sigma),
        ..FitRules::default()
    };
    let honest: Vec<Pin> = deed[..4]
        .iter()
        .map(|corner| Pin::new(&corner.name, on_invented_ground(corner), sigma(pin_sigma)))
        .collect();
    let size = fit(&deed, &honest, &rules).expect("a fit").pins[1].detectable;
    let size = size.expect("checked");
    let mut draws = Draws::from(41);
    let mut shares = Vec::new();
    for toward in (0..12_u32).map(|step| f64::from(step) * 15.0) {
        let away = Azimuth::from_degrees(toward).expect("an azimuth");
        let mut found = 0;
        for _ in 0..TRIALS {
            let mut nudged = |at: Point, sigma: f64| {
                Point::new(
                    at.north() + sigma * draws.normal(),
                    at.east() + sigma * draws.normal(),
                )
                .expect("in range")
            };
            let mut stated = deed.clone();
            for corner in &mut stated {
                corner.at = nudged(corner.at, deed_sigma);
            }
            let mut pins: Vec<Pin> = deed[..4]
                .iter()
                .map(|corner| {
                    let at = nudged(on_invented_ground(corner), pin_sigma);
                    Pin::new(&corner.name, at, sigma(pin_sigma))
                })
                .collect();
            pins[1].at = pins[1].at.toward(away, size);
            let answer = fit(&stated, &pins, &rules).expect("a fit");
            found += u32::from(answer.pins[1].standardized.expect("known").powi(2) > 13.8155);
        }
        shares.push(f64::from(found) / f64::from(TRIALS));
    }
    // A share of 80 % has a standard error of 1.4 %.
    let least = shares.iter().copied().fold(1.0, f64::min);
    assert!((least - 0.8).abs() < 0.05, "{shares:?}");
}

/// Where the rest is just enough for a fit, leaving out any pin mends it as well: all
/// are suspect, and none is named alone.
#[test]
fn pins_that_can_not_be_told_apart_are_all_suspect() {
    let deed = invented_deed();
    let mut pins: Vec<Pin> = deed[..3]
        .iter()
        .map(|c| {
            Pin::new(
                &c.name,
                on_invented_ground(c),
                Sigma::known(0.03).expect("known"),
            )
        })
        .collect();
    let north = Azimuth::from_degrees(0.0).expect("an azimuth");
    pins[1].at = pins[1]
        .at
        .toward(north, Length::from_feet(3.0).expect("in range"));
    let rules = FitRules {
        free_scale: true,
        ..FitRules::default()
    };
    let answer = fit(&deed, &pins, &rules).expect("a fit");
    assert!(
        answer.pins.iter().all(|pin| pin.suspect),
        "{:?}",
        answer.pins
    );
}
