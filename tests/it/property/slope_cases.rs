//! Ground small enough to be worked out by hand; the arithmetic stands beside each.

use fence_geom::{
    Build, Choices, LayoutEnd, LayoutRequest, Length, PostToStand, Rack, SlopeLimits, SlopeSection,
    SlopedRun, follow_ground, lay_out, lay_out_on_ground, posts_on_ground, runners_up,
    runners_up_on_ground,
};

use super::slope::{at, long, profile};

/// Panels of 96 in between posts without width, to keep the figures plain.
fn panels(count: u32) -> Vec<SlopeSection> {
    let post = |i: u32| (at(96.0 * f64::from(i)), Length::ZERO);
    (0..count)
        .map(|i| SlopeSection::between(post(i), post(i + 1), false))
        .collect()
}

fn follow(ground: &[(f64, f64)], count: u32, rack: Rack) -> SlopedRun {
    let limits = SlopeLimits {
        rack,
        ..SlopeLimits::default()
    };
    follow_ground(&profile(ground), &panels(count), &limits, long(96.0)).expect("sections")
}

#[track_caller]
fn close(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-6, "{found}, wanted {wanted}");
}

/// A fall of 6 in a panel: stepped, each panel is 1 in over its high end and
/// 1 + 6 in over its low end, 4 in on the average; racked, 1 in all along.
#[test]
fn one_grade() {
    let ground = [(0.0, 0.0), (384.0, -24.0)];
    let stepped = follow(&ground, 4, Rack::Level);
    assert_eq!(stepped.step_count(), 3);
    for (i, section) in stepped.sections.iter().enumerate() {
        close(section.gap_from.inches(), 1.0);
        close(section.largest_gap.inches(), 7.0);
        close(section.average_gap.inches(), 4.0);
        close(section.over.inches(), 3.0);
        let end = 96.0 * f64::from(u32::try_from(i).expect("few") + 1);
        close(section.largest_at.inches(), end);
    }
    stepped
        .steps
        .iter()
        .for_each(|step| close(step.inches(), -6.0));

    let racked = follow(&ground, 4, Rack::UpTo(long(6.0)));
    assert_eq!(racked.step_count(), 0);
    for section in &racked.sections {
        close(section.rise().inches(), -6.0);
        close(section.largest_gap.inches(), 1.0);
        // sqrt(96^2 + 6^2)
        close(section.rail().inches(), 96.187_317);
    }
}

/// A panel that racks 4 in on a fall of 6 in a panel: 2 in of wedge stay, 1 in at
/// the high end and 3 in at the low end, within the limit of 4 in. Two panels can
/// hold on at one post only if the second begins 3 in over the ground there, and
/// then it ends 5 in over it: over the limit. So every post steps, by 2 in.
#[test]
fn steeper_than_the_product_racks() {
    let run = follow(&[(0.0, 0.0), (288.0, -18.0)], 3, Rack::UpTo(long(4.0)));
    assert_eq!(run.step_count(), 2);
    for section in &run.sections {
        close(section.rise().inches(), -4.0);
        close(section.gap_from.inches(), 1.0);
        close(section.gap_to.inches(), 3.0);
        close(section.over.inches(), 0.0);
    }
}

/// A hump of 2 in in the middle of a panel on level ground. Level, the panel is
/// 1 in over the hump and 3 in over its ends, so no step is needed, and all three
/// stand level at 3 in: without a step the outer ones could tilt, each by 2 in, to
/// be 1 in over the ground at the far ends.
#[test]
fn a_hump_under_one_panel() {
    let ground = [
        (0.0, 0.0),
        (96.0, 0.0),
        (144.0, 2.0),
        (192.0, 0.0),
        (288.0, 0.0),
    ];
    let run = follow(&ground, 3, Rack::UpTo(long(12.0)));
    assert_eq!(run.step_count(), 0);
    let [first, second, third] = run.sections.as_slice() else {
        panic!("three sections");
    };
    close(first.gap_from.inches(), 1.0);
    close(first.gap_to.inches(), 3.0);
    close(second.least_gap.inches(), 1.0);
    close(second.largest_gap.inches(), 3.0);
    close(second.average_gap.inches(), 2.0);
    close(third.gap_to.inches(), 1.0);
    // Level panels alone hold on at both posts as well.
    let level = follow(&ground, 3, Rack::Level);
    assert_eq!(level.step_count(), 0);
    level
        .sections
        .iter()
        .for_each(|section| close(section.bottom_from.inches(), 3.0));
}

/// A swale of 4 in in the middle of a panel: the panel spans it, 5 in over its
/// bottom, which is 1 in over the limit and can't be less.
#[test]
fn a_swale_under_one_panel() {
    let ground = [(0.0, 0.0), (48.0, -4.0), (96.0, 0.0)];
    let run = follow(&ground, 1, Rack::Freely);
    let section = run.sections[0];
    close(section.largest_gap.inches(), 5.0);
    close(section.largest_at.inches(), 48.0);
    close(section.over.inches(), 1.0);
    close(section.average_gap.inches(), 3.0);
    assert!(!section.is_racked());
}

/// Level ground and then a fall of 24 in a panel, for panels that rack 8 in: the
/// level ones hold on to the first racked one; on the fall every post steps by
/// 16 in, and the first step is where the second falling panel begins.
#[test]
fn a_level_stretch_meets_a_steep_one() {
    let ground = [(0.0, 0.0), (192.0, 0.0), (480.0, -72.0)];
    let run = follow(&ground, 5, Rack::UpTo(long(8.0)));
    assert_eq!(run.step_count(), 2);
    let steps: Vec<f64> = run.steps.iter().map(|step| step.inches()).collect();
    for (found, wanted) in steps.iter().zip([0.0, 0.0, -16.0, -16.0]) {
        close(*found, wanted);
    }
    // 1 in least, and what the rack leaves of the fall: 24 - 8.
    close(run.sections[4].largest_gap.inches(), 17.0);
    close(run.sections[4].over.inches(), 13.0);
}

/// A gate hangs level on a fall of 4 in a panel that its neighbors follow: 1 in
/// over its high end, 5 in over its low one.
#[test]
fn a_gate_hangs_level() {
    let limits = SlopeLimits {
        rack: Rack::Freely,
        most_gap: long(6.0),
        ..SlopeLimits::default()
    };
    let mut sections = panels(3);
    sections[1].level = true;
    let ground = profile(&[(0.0, 0.0), (288.0, -12.0)]);
    let run = follow_ground(&ground, &sections, &limits, long(96.0)).expect("sections");
    close(run.sections[1].rise().inches(), 0.0);
    close(run.sections[1].gap_from.inches(), 1.0);
    close(run.sections[1].gap_to.inches(), 5.0);
    // Its neighbors can hold on at both of its posts within the limit.
    assert_eq!(run.step_count(), 0);
}

/// Panels of 6 ft stepped by 6 in, posts 30 in deep that stand 2 in above: at a
/// step the post reaches the panel before it, whose bottom is 1 + 6 in over the
/// ground there. Over level ground the fence is 72 in high, so a panel is 71 in.
#[test]
fn posts_reach_the_higher_panel() {
    let limits = SlopeLimits {
        post_above: long(2.0),
        post_lengths: vec![long(120.0), long(108.0), long(96.0)],
        ..SlopeLimits::default()
    };
    let ground = profile(&[(0.0, 0.0), (192.0, -12.0)]);
    let run = follow_ground(&ground, &panels(2), &limits, long(96.0)).expect("sections");
    let stand: Vec<PostToStand> = [0.0, 96.0, 192.0]
        .map(|station| PostToStand {
            station: at(station),
            depth: long(30.0),
        })
        .to_vec();
    let posts = posts_on_ground(&ground, &run, &stand, &limits, long(72.0));
    let out: Vec<f64> = posts.iter().map(|post| post.stands_out.inches()).collect();
    for (found, wanted) in out.iter().zip([74.0, 80.0, 80.0]) {
        close(*found, wanted);
    }
    close(posts[1].step.inches(), -6.0);
    close(posts[0].needs.inches(), 104.0);
    assert_eq!(posts[0].stock, Some(long(108.0)));
    assert_eq!(posts[1].stock, Some(long(120.0)));
}

/// Posts of 6 in where the fence steps, of 4 in else: a run that steps gets 6 in
/// posts between its panels, so two panels of 92 in and their posts take 6 in and
/// not 4 in between them.
#[test]
fn a_wider_step_post_feeds_the_layout() {
    let end = LayoutEnd {
        face_max: at(8.0),
        ..LayoutEnd::fixed(at(2.0), long(4.0), true)
    };
    let run = LayoutRequest::plain(long(194.0), long(92.0), long(12.0), long(4.0), end, end);
    let limits = SlopeLimits::default();
    let level = profile(&[(0.0, 0.0), (194.0, 0.0)]);
    let laid = lay_out_on_ground(&run, &level, &limits, long(6.0)).expect("a layout");
    assert_eq!(laid.line_post, long(4.0));
    let slope = profile(&[(0.0, 0.0), (194.0, -24.0)]);
    let laid = lay_out_on_ground(&run, &slope, &limits, long(6.0)).expect("a layout");
    assert_eq!(laid.line_post, long(6.0));
    close((laid.sections[1].0 - laid.sections[0].0).inches(), 98.0);
}

/// Panels of 60 in on the face of posts of 4 in, on a grade of 3 in 4: each takes
/// 48 in of the level, from the outer edge of the first post to that of the last,
/// and they meet at the middle of the post between.
#[test]
fn panels_on_the_face_rack_from_edge_to_edge() {
    let end = LayoutEnd::fixed(at(4.0), long(4.0), true);
    let run = LayoutRequest {
        build: Build::PanelsOnFace,
        ..LayoutRequest::plain(long(96.0), long(60.0), long(12.0), long(4.0), end, end)
    };
    let limits = SlopeLimits {
        rack: Rack::Freely,
        ..SlopeLimits::default()
    };
    let ground = profile(&[(0.0, 0.0), (96.0, 72.0)]);
    let laid = lay_out_on_ground(&run, &ground, &limits, long(4.0)).expect("a layout");
    let places: Vec<(f64, f64)> = (laid.sections.iter())
        .map(|(from, clear)| (from.inches(), clear.inches()))
        .collect();
    assert_eq!(places.len(), 2, "{places:?}");
    close(places[0].0, 0.0);
    close(places[0].1, 48.0);
    close(places[1].0, 48.0);
    close(places[1].1, 48.0);
    let centers: Vec<f64> = laid.posts.iter().map(|post| post.inches()).collect();
    close(centers[1], 48.0);
    assert!(laid.misfit.inches() < 1e-6);
}

/// An inch too long for five panels, as on the level: the runners-up are the same
/// where the ground is level, and on a slope each fills the run.
#[test]
fn runners_up_stand_over_the_ground_too() {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    let run = LayoutRequest::plain(long(481.0), long(92.0), long(12.0), long(4.0), end, end);
    let limits = SlopeLimits {
        rack: Rack::Freely,
        ..SlopeLimits::default()
    };
    let choices = Choices::default();
    let others = |height: f64| {
        let ground = profile(&[(0.0, 0.0), (481.0, height)]);
        let laid = lay_out_on_ground(&run, &ground, &limits, long(4.0)).expect("a layout");
        let others = runners_up_on_ground(&run, &ground, &limits, &laid, &choices);
        others.expect("runners-up").found
    };
    let words: Vec<String> = others(0.0)
        .into_iter()
        .map(|(other, _)| other.words)
        .collect();
    let flat = lay_out(&run).expect("sound");
    let flat = runners_up(&run, &flat, &choices).expect("runners-up");
    let expected: Vec<String> = flat.into_iter().map(|other| other.words).collect();
    assert_eq!(words, expected);

    let sloped = others(48.0);
    assert!(!sloped.is_empty());
    for (other, laid) in sloped {
        let last = laid.posts.last().expect("posts").inches();
        // The end may shift, and the range is told in the words.
        assert!((last - 481.0).abs() <= 6.1, "{}", other.words);
        for ((from, clear), next) in laid.sections.iter().zip(laid.sections.iter().skip(1)) {
            close((next.0 - *from - clear.forward()).inches(), 4.0);
        }
        assert!(laid.misfit.inches() <= 0.0625 + 1e-9, "{}", other.words);
    }
}
