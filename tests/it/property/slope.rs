//! What must hold of sections over sloping ground, and an independent search over
//! all lines of a few sections.

use fence_geom::{
    GroundReading, LayoutEnd, LayoutRequest, LayoutStatus, Length, Profile, ProfileError, Rack,
    Shift, SlopeError, SlopeLimits, SlopeSection, SlopedRun, follow_ground, lay_out,
    lay_out_on_ground, rack_grade,
};
use fence_tests::Draws;

pub(super) fn long(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

pub(super) fn at(inches: f64) -> Shift {
    Shift::from_inches(inches).expect("a shift")
}

pub(super) fn profile(readings: &[(f64, f64)]) -> Profile {
    let reading = |&(station, height): &(f64, f64)| GroundReading {
        station: at(station),
        height: at(height),
    };
    Profile::new(readings.iter().map(reading).collect()).expect("a profile")
}

/// Sections between posts of 4 in at these stations.
fn sections(centers: &[f64]) -> Vec<SlopeSection> {
    let post = |center: f64| (at(center), long(4.0));
    (centers.windows(2))
        .map(|two| SlopeSection::between(post(two[0]), post(two[1]), false))
        .collect()
}

fn limits(rack: Rack, least: f64, most: f64) -> SlopeLimits {
    SlopeLimits {
        rack,
        least_gap: long(least),
        most_gap: long(most),
        ..SlopeLimits::default()
    }
}

fn random_ground(draws: &mut Draws, length: f64, rough: f64) -> Profile {
    let mut readings = vec![(0.0, 0.0)];
    let mut station = 0.0;
    let mut height = 0.0;
    while station < length {
        let step = 24.0 + 96.0 * draws.even();
        station = f64::min(station + step, length);
        height += rough * (draws.even() - 0.5) * step;
        readings.push((station, height));
    }
    // Two readings closer than a hundredth of an inch would be one.
    readings.dedup_by(|b, a| b.0 - a.0 < 0.01);
    profile(&readings)
}

#[test]
fn gaps_are_never_less_than_the_least_and_steps_are_where_lines_part() {
    let mut draws = Draws::from(61);
    for round in 0..200 {
        let ground = random_ground(&mut draws, 500.0, 0.5);
        let rack = match round % 3 {
            0 => Rack::Level,
            1 => Rack::UpTo(long(10.0)),
            _ => Rack::Freely,
        };
        let panels = sections(&[2.0, 98.0, 194.0, 290.0, 386.0, 498.0]);
        let run = follow_ground(&ground, &panels, &limits(rack, 1.0, 4.0), long(92.0));
        let run = run.expect("sections over the ground");
        for (section, panel) in run.sections.iter().zip(&panels) {
            assert!(section.least_gap.inches() > 1.0 - 1e-9, "{section:?}");
            assert!(section.average_gap >= section.least_gap);
            assert!(section.largest_gap >= section.average_gap);
            // Against the ground itself: heights and stations were snapped.
            for share in 0..=20 {
                let s =
                    panel.from.feet() + (panel.to - panel.from).feet() * f64::from(share) / 20.0;
                let share = f64::from(share) / 20.0;
                let bottom = section.bottom_from.feet() + section.rise().feet() * share;
                let ground = ground.height(Shift::from_feet(s).expect("a shift"));
                let gap = 12.0 * (bottom - ground.feet());
                assert!(gap > 1.0 - 0.06, "{gap} at {s}");
                assert!(gap < section.largest_gap.inches() + 0.06);
            }
            let over = section.largest_gap.inches() - 4.0;
            assert!(
                section.over.inches() >= over - 1e-9
                    && section.over.inches() < over.max(0.0) + 0.0626
            );
            if let Some(grade) = rack_grade(rack, long(92.0)) {
                let tilt = section.rise().feet().abs() / section.width.feet();
                assert!(tilt <= grade + 1e-3, "{tilt} {grade}");
            }
        }
        assert_eq!(run.steps.len(), 4);
    }
}

/// What a choice of lines costs, in whole steps: excess, steps, doubled area,
/// squares of the rises.
type Cost = (i64, usize, i64, i64);

/// All lines of a section by brute force: heights at the joints in sixteenths of
/// an inch, with how far the largest gap is over the limit.
fn all_lines(
    ground: &[(i64, i64)],
    joints: (i64, i64),
    rise_most: i64,
    least: i64,
    most: i64,
) -> Vec<(i64, i64, i64)> {
    let width = joints.1 - joints.0;
    let mut lines = Vec::new();
    for u in -20..=120 {
        for v in -20..=120 {
            if i64::abs(v - u) > rise_most {
                continue;
            }
            let gaps = ground
                .iter()
                .map(|&(x, height)| u * (joints.1 - x) + v * (x - joints.0) - height * width);
            let gaps: Vec<i64> = gaps.collect();
            if gaps.iter().all(|gap| *gap >= least * width) {
                let largest = gaps.iter().max().expect("points");
                let over = (largest + width - 1).div_euclid(width) - most;
                lines.push((u, v, over.max(0)));
            }
        }
    }
    // The best first, so that the search is cut off early.
    lines.sort_by_key(|&(u, v, over)| (over, u + v));
    lines
}

/// The best of all choices of lines for all sections, one by one.
fn brute(all: &[Vec<(i64, i64, i64)>], widths: &[i64]) -> Cost {
    fn go(
        all: &[Vec<(i64, i64, i64)>],
        widths: &[i64],
        before: Option<i64>,
        so_far: Cost,
        best: &mut Cost,
    ) {
        let ([first, rest @ ..], [width, widths @ ..]) = (all, widths) else {
            *best = (*best).min(so_far);
            return;
        };
        for &(u, v, over) in first {
            let step = usize::from(before.is_some_and(|before| before != u));
            let cost = (
                so_far.0 + over,
                so_far.1 + step,
                so_far.2 + (u + v) * width,
                so_far.3 + (v - u) * (v - u),
            );
            // What is left can't make it less: all parts are positive here.
            if cost <= *best {
                go(rest, widths, Some(v), cost, best);
            }
        }
    }
    let mut best = (i64::MAX, usize::MAX, i64::MAX, i64::MAX);
    go(all, widths, None, (0, 0, 0, 0), &mut best);
    best
}

fn cost_of(run: &SlopedRun, panels: &[SlopeSection], datum: Shift) -> Cost {
    let sixteenths = |feet: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "small")]
        let steps = (feet * 192.0).round() as i64;
        steps
    };
    let over = run
        .sections
        .iter()
        .map(|section| sixteenths(section.over.feet()));
    let area = run.sections.iter().zip(panels).map(|(section, panel)| {
        let tilt = section.rise().feet() / (panel.to - panel.from).feet();
        let from = section.bottom_from.feet()
            - datum.feet()
            - tilt * (panel.from - panel.joint_from).feet();
        let width = (panel.joint_to - panel.joint_from).feet();
        let (from, to) = (sixteenths(from), sixteenths(from + tilt * width));
        (
            (from + to) * sixteenths(width) * 4,
            (to - from) * (to - from),
        )
    });
    let (area, tilt): (Vec<i64>, Vec<i64>) = area.unzip();
    (
        over.sum(),
        run.step_count(),
        area.iter().sum(),
        tilt.iter().sum(),
    )
}

/// Three short sections on a coarse ground, all figures whole sixteenths.
#[test]
fn the_choice_is_the_best_of_all_lines() {
    let mut draws = Draws::from(67);
    let mut stepped = 0;
    for _ in 0..60 {
        let mut whole = |most: f64| (draws.even() * most).floor();
        let heights: Vec<f64> = (0..7).map(|_| whole(24.0)).collect();
        let ground: Vec<(f64, f64)> = (heights.iter().zip(0_u32..))
            .map(|(height, i)| (8.0 * f64::from(i), height / 16.0))
            .collect();
        let rack = whole(12.0) / 16.0;
        let most = 0.5 + whole(8.0) / 16.0;
        let ground = profile(&ground);
        let centers = [0.0, 16.0, 32.0, 48.0];
        let panels = sections(&centers);
        // Grades are of the joints' distance, 16 in.
        let limits = limits(Rack::UpTo(long(rack)), 0.25, most);
        let run = follow_ground(&ground, &panels, &limits, long(16.0)).expect("sections");

        let datum = ground.lowest();
        let sixteenths = |value: f64, per: f64| {
            #[expect(clippy::cast_possible_truncation, reason = "small")]
            let steps = (value * per).round() as i64;
            steps
        };
        let all: Vec<Vec<(i64, i64, i64)>> = (panels.iter())
            .map(|panel| {
                let points: Vec<(i64, i64)> = (ground.between(panel.from, panel.to).iter())
                    .map(|reading| {
                        let height = (reading.height - datum).feet();
                        (
                            sixteenths(reading.station.feet(), 768.0),
                            sixteenths(height, 192.0),
                        )
                    })
                    .collect();
                let joints = (panel.joint_from, panel.joint_to);
                let joints = (
                    sixteenths(joints.0.feet(), 768.0),
                    sixteenths(joints.1.feet(), 768.0),
                );
                all_lines(
                    &points,
                    joints,
                    sixteenths(rack / 12.0, 192.0),
                    4,
                    sixteenths(most / 12.0, 192.0),
                )
            })
            .collect();
        let found = cost_of(&run, &panels, datum);
        assert_eq!(
            found,
            brute(&all, &[1024, 1024, 1024]),
            "{ground:?} {limits:?}"
        );
        stepped += run.step_count();
    }
    assert!(stepped > 20, "the cases are no trial: {stepped} steps");
}

#[test]
fn along_the_ground_and_level_are_each_others_inverse_and_add_up() {
    let mut draws = Draws::from(71);
    for _ in 0..100 {
        let ground = random_ground(&mut draws, 900.0, 0.8);
        let place = |s: f64| Shift::from_feet(s).expect("a shift");
        let mut before = ground.along_ground(place(0.0));
        let mut sum = 0.0;
        for i in 1..=40 {
            let s = 75.0 * f64::from(i) / 40.0;
            let along = ground.along_ground(place(s));
            let back = ground.level(along);
            assert!((back.feet() - s).abs() < 1e-9, "{back:?} {s}");
            assert!(
                along.feet() >= s - 1e-12,
                "a slope is never shorter than its level"
            );
            sum += (along - before).feet();
            before = along;
        }
        assert!((sum - ground.along_ground(place(75.0)).feet()).abs() < 1e-9);
    }
}

#[test]
fn taped_along_the_ground_comes_back_level() {
    let mut draws = Draws::from(73);
    for _ in 0..50 {
        let ground = random_ground(&mut draws, 900.0, 0.8);
        let taped = (ground.readings().iter()).map(|reading| GroundReading {
            station: ground.along_ground(reading.station),
            height: reading.height,
        });
        let back = Profile::from_taped_along_ground(taped.collect()).expect("a profile");
        for (a, b) in back.readings().iter().zip(ground.readings()) {
            assert!((a.station - b.station).feet().abs() < 1e-9);
        }
    }
}

#[test]
fn a_level_profile_changes_nothing() {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    let run = LayoutRequest::plain(long(700.0), long(92.0), long(12.0), long(4.0), end, end);
    let ground = profile(&[(0.0, 5.0), (333.0, 5.0), (700.0, 5.0)]);
    let plain = lay_out(&run).expect("a layout");
    for rack in [Rack::Level, Rack::UpTo(long(10.0)), Rack::Freely] {
        let laid = lay_out_on_ground(&run, &ground, &limits(rack, 1.0, 4.0), long(6.0));
        let laid = laid.expect("a layout");
        assert_eq!(laid.layout, plain);
        assert!(laid.misfit.inches() < 1e-9);
        let sloped = laid.sloped.expect("sections");
        assert_eq!(sloped.step_count(), 0);
        for section in &sloped.sections {
            assert!((section.largest_gap.inches() - 1.0).abs() < 1e-9);
            assert!(!section.is_racked());
        }
    }
}

#[test]
fn racked_panels_keep_their_rails() {
    let mut draws = Draws::from(79);
    let end = LayoutEnd {
        face_max: at(6.0),
        ..LayoutEnd::fixed(at(2.0), long(4.0), true)
    };
    for _ in 0..40 {
        let length = 400.0 + 400.0 * draws.even();
        let run = LayoutRequest::plain(long(length), long(92.0), long(12.0), long(4.0), end, end);
        let grade = 0.4 * (draws.even() - 0.5);
        let ground = profile(&[(0.0, 0.0), (length, grade * length)]);
        let laid = lay_out_on_ground(&run, &ground, &limits(Rack::Freely, 1.0, 4.0), long(4.0));
        let laid = laid.expect("a layout");
        assert!(laid.misfit.inches() <= 0.0626, "{}", laid.misfit.inches());
        let LayoutStatus::Optimal(best) = &laid.layout.status else {
            panic!("no layout");
        };
        // Posts of 4 in and the level widths fill the run from end to end.
        let clear: f64 = laid.sections.iter().map(|section| section.1.inches()).sum();
        let posts = 4.0 * f64::from(u32::try_from(best.posts.len()).expect("few") - 2);
        let ends = laid.sections[0].0.inches();
        let last = laid.sections.last().expect("a section");
        let to_end = length - last.0.inches() - last.1.inches();
        assert!((clear + posts + ends + to_end - length).abs() < 1e-6);
        assert!(ends > 1.9 && ends < 6.1 && to_end > 1.9 && to_end < 6.1);
    }
}

#[test]
fn readings_out_of_order_or_off_the_run_are_refused() {
    let reading = |station, height| GroundReading {
        station: at(station),
        height: at(height),
    };
    let twice = Profile::new(vec![
        reading(0.0, 0.0),
        reading(12.0, 1.0),
        reading(12.0, 2.0),
    ]);
    assert!(matches!(
        twice,
        Err(ProfileError::NotIncreasing { number: 3, .. })
    ));
    let one = Profile::new(vec![reading(0.0, 0.0)]);
    assert_eq!(one, Err(ProfileError::TooFew { count: 1 }));
    let cliff = Profile::from_taped_along_ground(vec![reading(0.0, 0.0), reading(12.0, 13.0)]);
    assert!(matches!(cliff, Err(ProfileError::SteeperThanTape { .. })));
    // NaN stops where a shift is made.
    assert!(Shift::from_feet(f64::NAN).is_err());

    let run = long(600.0);
    let past = profile(&[(0.0, 0.0), (601.0, 0.0)]).check_covers(run);
    assert!(matches!(past, Err(ProfileError::OutsideRun { .. })));
    let short = profile(&[(0.0, 0.0), (590.0, 0.0)]).check_covers(run);
    let error = short.expect_err("the end is not read");
    assert!(
        error.to_string().contains("read it at both ends"),
        "{error}"
    );
}

#[test]
fn limits_and_sections_that_can_not_be_are_refused() {
    let ground = profile(&[(0.0, 0.0), (200.0, 10.0)]);
    let panels = sections(&[0.0, 96.0]);
    let swapped = follow_ground(&ground, &panels, &limits(Rack::Level, 4.0, 1.0), long(92.0));
    assert!(matches!(swapped, Err(SlopeError::Gaps { .. })));
    let narrow = sections(&[0.0, 3.0]);
    let narrow = follow_ground(&ground, &narrow, &limits(Rack::Level, 1.0, 4.0), long(92.0));
    assert!(matches!(narrow, Err(SlopeError::NoWidth { number: 1, .. })));
    let high = profile(&[(0.0, 0.0), (200.0, 1e9)]);
    let high = follow_ground(&high, &panels, &limits(Rack::Freely, 1.0, 4.0), long(92.0));
    assert!(matches!(high, Err(SlopeError::TooLarge { .. })));
    let gaping = limits(Rack::Freely, 0.0, 12.0 * 999.0);
    let many = sections(&(0..400).map(|i| 96.0 * f64::from(i)).collect::<Vec<_>>());
    let steep = profile(&[(0.0, 0.0), (38_400.0, 11_000.0)]);
    let work = follow_ground(&steep, &many, &gaping, long(92.0));
    assert_eq!(work, Err(SlopeError::TooMuchWork));
}
