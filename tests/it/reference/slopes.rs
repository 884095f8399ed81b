//! Leveling, and tapes on a slope, against published figures.

use fence_geom::{
    GroundReading, HEIGHT_STEP, Length, Profile, Shift, SlopeLimits, SlopeSection, follow_ground,
    height_of_instrument,
};
use fence_tests::assert_printed;

fn feet(feet: f64) -> Shift {
    Shift::from_feet(feet).expect("a shift")
}

fn rod(feet: f64) -> Length {
    Length::from_feet(feet).expect("a rod reading")
}

/// Source: "Differential Leveling", class notes on methods for determining
/// differences in elevation, undated (a document site's copy), section 2: a bench
/// mark at 820.00 ft and a plus sight of 8.42 ft give a height of instrument of
/// 828.42 ft; a minus sight is taken off that, here of 1.20 ft.
#[test]
fn a_plus_sight_gives_the_height_of_instrument() {
    let sight = height_of_instrument(feet(820.0), rod(8.42));
    assert_printed(sight.feet(), "828.42", 0.5);
    let ground = Profile::from_rod(sight, [(feet(0.0), rod(8.42)), (feet(50.0), rod(1.20))]);
    let ground = ground.expect("a profile");
    assert_printed(ground.height(feet(0.0)).feet(), "820.00", 0.5);
    assert_printed(ground.height(feet(50.0)).feet(), "827.22", 0.5);
}

/// Source: "Leveling Example", a study page for the Fundamentals of Engineering
/// examination, undated: bench mark 520.50 ft, backsight 4.25 ft, foresight
/// 6.80 ft; printed 524.75 ft and 517.95 ft.
#[test]
fn a_turning_point_below_its_bench_mark() {
    let sight = height_of_instrument(feet(520.5), rod(4.25));
    assert_printed(sight.feet(), "524.75", 0.5);
    let ground = Profile::from_rod(sight, [(feet(0.0), rod(4.25)), (feet(10.0), rod(6.80))]);
    assert_printed(
        ground.expect("a profile").height(feet(10.0)).feet(),
        "517.95",
        0.5,
    );
}

/// ASTM F567-07, "Standard Practice for Installation of Chain-Link Fence", ASTM
/// International, 2007, section 4.1: line posts at most 10 ft apart, measured
/// parallel to the grade. The level distance is by plane geometry: on a grade of
/// 3 in 4 it is 8 ft, and on 10 percent `10 / sqrt(1.01)` = 9.950 ft.
#[test]
fn posts_ten_feet_apart_along_the_grade() {
    let slope = |rise: f64, level: f64| {
        Profile::new(vec![
            GroundReading {
                station: feet(0.0),
                height: feet(0.0),
            },
            GroundReading {
                station: feet(level),
                height: feet(rise),
            },
        ])
        .expect("a profile")
    };
    assert_printed(slope(75.0, 100.0).level(feet(10.0)).feet(), "8.000", 0.5);
    assert_printed(slope(10.0, 100.0).level(feet(10.0)).feet(), "9.950", 0.5);
    // A tape along 10 percent reads long by half a percent: 1 ft in 200 ft.
    assert_printed(
        slope(20.0, 200.0).along_ground(feet(200.0)).feet(),
        "201.0",
        0.5,
    );
}

/// Source: "How to build a step down fence on a slope", section "Planning the slope
/// layout" (engineerfix.com, undated; weak): 36 in of fall over 40 ft in panels of 8 ft
/// are 5 panels that step by 7.2 in, here to the 1/16 in of a rule. (Five panels step at
/// the four posts between them; a fifth step is left to an end.)
#[test]
fn five_panels_that_step_by_a_fifth_of_the_fall() {
    let ground = Profile::new(
        [(0.0, 0.0), (40.0, -3.0)]
            .map(|(station, height)| GroundReading {
                station: feet(station),
                height: feet(height),
            })
            .to_vec(),
    )
    .expect("a profile");
    let post = |at: f64| (feet(at), Length::ZERO);
    let panels = [0.0, 8.0, 16.0, 24.0, 32.0]
        .map(|from| SlopeSection::between(post(from), post(from + 8.0), false));
    let stepped = follow_ground(&ground, &panels, &SlopeLimits::default(), rod(8.0));
    let stepped = stepped.expect("a run");
    assert_eq!(stepped.step_count(), 4);
    for step in stepped.steps {
        assert!(
            (step.inches() + 7.2).abs() <= HEIGHT_STEP.inches(),
            "{step}"
        );
    }
}
